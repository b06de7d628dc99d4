"""A lay with a binding moved by hand: the bias strips are laid anew round the moved pieces, or the page is told why not."""

import asyncio
from pathlib import Path
from typing import Any

import pytest
from shapely.geometry import Polygon

from calibration.errors import Refused
from projector.book.orders import order_from
from projector.desk import lay_tasks
from projector.desk.hand_lay import HandLay
from projector.lay.lay import Lay
from projector.making import garment_of
from tests.cutting.product import as_files
from tests.cutting.simulator import prove
from tests.lay_checker.binding import binding_faults
from tests.projector.desk.test_hand_lay import do, for_table, run
from tests.projector.lay.made_up import told

WANTED_MM = 1200.0
ORDER: dict[str, Any] = {
    "name": "bound dress", "client": "tomasina", "style": {"lining": False, "facings": False},
    "cloth": {"main": {"width": "150 cm"}}, "binding": "120 cm, 3 cm",
}  # fmt: skip


def made(folder: Path, fold: str, order: dict[str, Any]) -> HandLay:
    hand = HandLay(folder, run)
    asyncio.run(hand.make(order, fold, None, None))
    return hand


def lay_in(hand: HandLay) -> Lay:
    assert hand.in_hand is not None
    return hand.in_hand.now.lay


@pytest.fixture(autouse=True)
def _few_trials(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(lay_tasks, "PAGE_TRIALS", 1)


@pytest.mark.parametrize("fold", ["open", "lengthwise"])
def test_strips_follow_and_are_cut(tmp_path: Path, fold: str) -> None:
    """The last piece pushed along: what is laid then is a right binding, told on the page, kept through the journal, and cut."""
    hand = made(tmp_path, fold, ORDER)
    number = max(range(len(lay_in(hand).placed)), key=lambda n: max(x for x, _ in lay_in(hand).placed[n].outline))
    do(hand, do="move", cloth="main", number=number, dx_mm=330.0, dy_mm=0.0)
    after = lay_in(hand)
    assert binding_faults(told(after), WANTED_MM) == []
    assert after.binding is not None
    assert hand.shown()["binding"]["count"] == len(after.binding.strips)
    again = HandLay(tmp_path, run)
    assert for_table(again, ORDER) == after
    garment = garment_of(order_from(ORDER, "dress", None, tmp_path, tmp_path))
    assert [str(fault) for fault in prove(*as_files(garment, after))] == []


def test_a_piece_laid_on_the_strips_drives_them_away(tmp_path: Path) -> None:
    hand = made(tmp_path, "open", {**ORDER, "binding": "40 cm, 25 mm"})
    number = max(range(len(lay_in(hand).placed)), key=lambda n: max(x for x, _ in lay_in(hand).placed[n].outline))
    do(hand, do="move", cloth="main", number=number, dx_mm=600.0, dy_mm=0.0)
    before = lay_in(hand)
    assert before.binding is not None
    assert before.binding.region, "a short binding lies in the room that the move left"
    x = before.binding.strips[0][0][0]
    corner = min(before.placed[number].outline)
    do(hand, do="move", cloth="main", number=number, dx_mm=x + 60.0 - corner[0], dy_mm=0.0)
    after = lay_in(hand)
    assert after.binding is not None
    moved = Polygon(after.placed[number].outline)
    assert any(moved.intersects(Polygon(strip)) for strip in before.binding.strips)
    assert not any(moved.intersects(Polygon(strip)) for strip in after.binding.strips)


def test_no_cloth_left_for_it_is_told_and_not_cut(tmp_path: Path) -> None:
    needed = lay_in(made(tmp_path, "lengthwise", {**ORDER, "binding": ""})).cloth_needed_mm
    order = {**ORDER, "cloth": {"main": {"width": "150 cm", "lengths": [f"{needed + 400.0:.0f} mm"]}}}
    hand = made(tmp_path, "lengthwise", order)
    assert hand.shown()["wrong"] == []
    number = max(range(len(lay_in(hand).placed)), key=lambda n: max(x for x, _ in lay_in(hand).placed[n].outline))
    shown = do(hand, do="move", cloth="main", number=number, dx_mm=200.0, dy_mm=0.0)
    assert any("binding needs" in wrong and "longest that is left" in wrong for wrong in shown["wrong"])
    assert shown["binding"] is None
    with pytest.raises(Refused, match="cannot be cut"):
        for_table(hand, order)
    assert do(hand, do="undo")["wrong"] == []
    assert binding_faults(told(lay_in(hand)), WANTED_MM) == []
