"""The lay in her hand: moved, judged at once, undone, locked, put on the table; the print's row in step on every partner."""

import asyncio
from pathlib import Path
from typing import Any

import pytest

from calibration.errors import Refused, WrongInput
from calibration.keep import NotKept
from projector.desk import lay_tasks
from projector.desk.hand_lay import HandLay

REPEAT_MM = 120.0
DRAWN_MM = 1.0
"""Drawings for the page are told in whole millimetres."""
ORDER: dict[str, Any] = {
    "name": "grey day dress", "client": "tomasina", "style": {"lining": False, "facings": False},
    "cloth": {"main": {"width": "150 cm", "lengths": ["4 m"], "repeat": f"{REPEAT_MM:g} mm", "up": "either"}},
}  # fmt: skip


async def run(task: str, arguments: dict[str, Any]) -> Any:
    """As the worker does, here."""
    return getattr(lay_tasks, task)(**arguments)


def do(hand: HandLay, **act: Any) -> dict[str, Any]:
    return asyncio.run(hand.act(act, None))


@pytest.fixture
def hand(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> HandLay:
    monkeypatch.setattr(lay_tasks, "PAGE_TRIALS", 1)
    made = HandLay(tmp_path, run)
    asyncio.run(made.make(ORDER, "lengthwise", {"piece": "front centre", "level": "bust"}, None))
    return made


def for_table(hand: HandLay, order: dict[str, Any]) -> Any:
    return asyncio.run(hand.for_table(order, None))


def places(told: dict[str, Any]) -> dict[str, str]:
    return {placed["piece"]: placed["d"] for each in told["drawings"] for placed in each["placed"]}


def test_a_move_is_judged_at_once_and_undone(hand: HandLay) -> None:
    before = hand.shown()
    assert (before["wrong"], before["can_undo"]) == ([], False)
    number = next(each["number"] for each in before["drawings"][0]["placed"] if each["piece"] == "skirt back")
    moved = do(hand, do="move", cloth="main", number=number, dx_mm=25.0, dy_mm=-60.0)
    assert any("skirt back" in wrong for wrong in moved["wrong"])
    assert {name for name, d in places(moved).items() if d != places(before)[name]} == {"skirt back"}
    with pytest.raises(Refused, match="cannot be cut"):
        for_table(hand, ORDER)
    tidied = do(hand, do="tidy", cloth="main")
    assert tidied["wrong"] == []
    for _ in range(2):
        undone = do(hand, do="undo")
    assert places(undone) == places(before)
    assert hand.in_hand is not None
    assert for_table(hand, {**ORDER, "name": "another name"}) is hand.in_hand.now.lay
    assert for_table(hand, {**ORDER, "style": {}}) is None  # another dress by now


def test_what_is_locked_or_not_there_stays(hand: HandLay) -> None:
    assert do(hand, do="lock", piece="skirt front")["locked"] == ["skirt front"]
    number = next(each["number"] for each in hand.shown()["drawings"][0]["placed"] if each["piece"] == "skirt front")
    for act in (
        {"do": "move", "number": number, "dx_mm": 5.0}, {"do": "move", "number": 99}, {"do": "move", "number": 0, "dx_mm": "far"},
        {"do": "burn", "number": 0}, {"do": "turn", "cloth": "velvet", "number": 0}, {"do": "move", "number": 0, "dx_mm": 1e300},
    ):  # fmt: skip
        with pytest.raises(WrongInput):
            do(hand, **act)
    assert do(hand, do="undo")["locked"] == []
    assert not hand.shown()["can_undo"]
    with pytest.raises(WrongInput):
        do(hand, do="lock", piece="nothing of ours")


def test_what_was_done_by_hand_is_there_after_the_program_ended(hand: HandLay, tmp_path: Path) -> None:
    number = next(each["number"] for each in hand.shown()["drawings"][0]["placed"] if each["piece"] == "skirt back")
    do(hand, do="move", cloth="main", number=number, dx_mm=25.0)
    do(hand, do="lock", piece="skirt back")
    told = do(hand, do="tidy", cloth="main")
    with hand.journal.path.open("ab") as file:
        file.write(b'{"at": "now", "comm')  # torn by a power cut
    again = HandLay(tmp_path, run)
    undone, undone_again = do(hand, do="undo"), do(again, do="undo")
    assert (places(undone_again), undone_again["locked"]) == (places(undone), ["skirt back"])
    assert undone_again["can_undo"]
    assert hand.in_hand == again.in_hand
    assert len(told["drawings"][0]["crosses"]) == len(undone["drawings"][0]["crosses"]) > 2  # the print's row is shown while she moves


def test_what_cannot_be_written_down_is_not_done(hand: HandLay) -> None:
    before = places(hand.shown())
    hand.journal.path.unlink()
    hand.journal.path.mkdir()  # writing into it fails whoever we are
    with pytest.raises(NotKept, match="not written down"):
        do(hand, do="move", cloth="main", number=0, dx_mm=25.0)
    assert (places(hand.shown()), hand.shown()["can_undo"]) == (before, False)


def test_the_row_of_the_print_meets_on_every_partner(hand: HandLay) -> None:
    """A cross of every partner lies whole repeats from the motif's own along the cloth (LAY section on prints)."""
    told = hand.shown()
    crosses = told["drawings"][0]["crosses"]
    assert len(crosses) > 2
    assert {each["piece"] for each in told["partners"]} >= {"front side"}
    off = [(x - crosses[0][0] + REPEAT_MM / 2) % REPEAT_MM - REPEAT_MM / 2 for x, _ in crosses]
    assert max(map(abs, off)) <= DRAWN_MM + 0.5
