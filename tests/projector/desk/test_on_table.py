"""A number changed at a tape check while cutting: same place, cuts stay facts, also after a power cut. No child is started."""

import asyncio
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from calibration.errors import Refused, WrongInput
from projector.desk.desk import Desk
from projector.desk.hand_tasks import TapedAnew
from projector.desk.on_table import OnTable, work_from
from projector.desk.tasks import Prepared
from projector.session.commands import Command
from projector.steps.step import Step, TapeRead
from tests.cutting.product import garment, lay
from tests.projector.made_up import table

HIP = TapeRead("skirt front", "hip", 300.0, 250.0)
MOVES = {("skirt front", "hip"): "side_hip"}


def prepared(mm: float) -> Prepared:
    """Three steps on a real lay, the second a tape check with this number; the first is cut."""
    laid = lay(garment("middle", {"lining": False}), "lengthwise")
    cut = Step("Cut the front", "Cut.", "cut", "main", 0, 0, is_fact=True)
    check = Step(f"Tape {mm:g}", "Tape.", "check", "main", 0, 0, tapes=(replace(HIP, sewn_mm=mm),))
    return Prepared("order", "cm", laid, (cut, check, replace(cut, title="Cut the skirt")), MOVES)


def standing(folder: Path) -> tuple[Desk, OnTable]:
    """At the tape check, the front cut."""
    journal = folder / "order.jsonl"
    real = table("ready")
    work = work_from(prepared(250.0), real)
    desk = Desk(work, real, folder / "t.yaml", journal)
    on = OnTable(desk, "order", folder, lambda _: journal)
    on.prepared = prepared(250.0)
    desk.apply(Command("done"))
    assert (desk.snapshot.step, desk.snapshot.done) == (1, (0,))
    return desk, on


def retape(on: OnTable, answer: Any, place: int = 0, typed: str = "26") -> dict[str, Any]:
    asked: dict[str, Any] = {}

    async def run(task: str, arguments: dict[str, Any]) -> Any:
        asked.update(arguments, task=task)
        if isinstance(answer, Exception):
            raise answer
        return answer

    asyncio.run(on.retape(run, place, typed))
    return asked


def test_the_same_place_after_a_number_was_changed_and_after_a_power_cut(tmp_path: Path) -> None:
    desk, on = standing(tmp_path)
    before = desk.snapshot
    asked = retape(on, TapedAnew(prepared(260.0), {"side_hip": 10.0}, True))
    assert (asked["task"], asked["wanted_mm"], asked["done"], asked["read"].where) == ("retape", pytest.approx(260.0), (0,), "hip")
    now = desk.snapshot
    assert (now.step, now.done, now.title, now.cloth_at) == (1, (0,), "Tape 260", before.cloth_at)
    assert now.number > before.number
    assert now.message is not None
    again = Desk(work_from(prepared(260.0), table("ready")), table("ready"), tmp_path / "t.yaml", tmp_path / "order.jsonl")
    assert (again.snapshot.step, again.snapshot.done) == (1, (0,))


def test_a_refused_change_changes_nothing(tmp_path: Path) -> None:
    desk, on = standing(tmp_path)
    before = desk.snapshot
    with pytest.raises(Refused, match="already cut"):
        retape(on, Refused("No.", "It is already cut.", "Sew it so."))
    with pytest.raises(WrongInput, match="no such number"):
        retape(on, None, place=1)
    with pytest.raises(WrongInput):
        retape(on, None, typed="a lot")
    assert desk.snapshot == before
    assert on.moves(HIP)
    assert not on.moves(replace(HIP, where="bust"))


def test_keys_change_the_chosen_number_by_half_a_centimetre(tmp_path: Path) -> None:
    """From the nearest whole half: 250 mm to 255 and 245; the same number stays chosen; no number, no change."""
    desk, on = standing(tmp_path)
    asked: list[dict[str, Any]] = []

    async def run(task: str, arguments: dict[str, Any]) -> Any:
        asked.append(arguments)
        return TapedAnew(prepared(arguments["wanted_mm"]), {"side_hip": 1.0}, True)

    async def whole() -> None:
        await on.change_number(run, True)
        await on.change_number(run, False)
        await on.change_number(run, False)
        desk.apply(Command("next"))
        with pytest.raises(WrongInput, match="no number"):
            await on.change_number(run, True)

    asyncio.run(whole())
    assert [one["wanted_mm"] for one in asked] == [255.0, 250.0, 245.0]
    assert [one["read"].sewn_mm for one in asked] == [250.0, 255.0, 250.0]
    with pytest.raises(Refused, match="no number"):
        desk.apply(Command("number"))


def test_what_is_cut_is_not_laid_anew(tmp_path: Path) -> None:
    """Neither the order on the table nor one put aside gets another lay once it is begun; uncut it may."""
    desk, on = standing(tmp_path)
    before, laid = desk.snapshot, prepared(250.0).lay
    with pytest.raises(Refused, match="being cut"):
        asyncio.run(on.open("order", laid))
    on.order = "another"  # the same journal, put aside by now
    with pytest.raises(Refused, match="being cut"):
        asyncio.run(on.open("order", laid))
    assert desk.snapshot == before
