"""A dress changed in mid-cut, proved on virtual cloth: what was cut stays as it was cut, and is cut again in hand where it is too large."""

from typing import Any

import pytest

from calibration.errors import Refused
from projector.garment.pieces import Garment
from projector.lay.lay import Lay, Plan
from projector.retape import carry
from projector.steps.make import make_steps
from projector.steps.step import Step
from projector.steps.words import LANGUAGES
from tests.cutting.product import as_files, garment, lay
from tests.cutting.simulator import prove

PLAIN: dict[str, Any] = {"lining": False}
SMALLER: dict[str, Any] = {"ease": {"bust_mm": 30, "waist_mm": 12, "hip_mm": 30}}
SMALLEST = {"bust_mm": 30, "waist_mm": 12, "hip_mm": 25}


def _carried(style: dict[str, Any], change: dict[str, Any], plan: Plan, share: float) -> tuple[Garment, Lay, list[Step], int]:
    """The changed dress after this share of the steps: what was done as it was done, the rest as it is told now."""
    dress = garment("middle", style)
    laid = lay(dress, plan)
    steps = make_steps(dress, laid)
    done = round(share * len(steps))
    changed, where = carry(dress, laid, steps, range(done), garment("middle", {**style, **change}), "in")
    return changed, where, [*steps[:done], *make_steps(changed, where)[done:]], done


@pytest.mark.parametrize(
    ("style", "change", "plan"),
    [
        (PLAIN, SMALLER, "lengthwise"),
        (PLAIN, {"fitted": True}, "quarters_along"),
        ({**PLAIN, "sleeve": "short", "neck": "v", "neck_drop_mm": 40}, SMALLER, "open"),
        ({**PLAIN, "princess": "none"}, {"fitted": True}, "crossed_four"),
        ({**PLAIN, "zip": "side"}, {"fitted": True, **SMALLER}, "crosswise"),
    ],
    ids=["lengthwise", "quarters, fitted", "open", "crossed, fitted", "crosswise, both"],
)
def test_everything_cut_and_then_made_smaller(style: dict[str, Any], change: dict[str, Any], plan: Plan) -> None:
    changed, where, steps, done = _carried(style, change, plan, 1.0)
    again = steps[done:]
    assert changed.is_cut_again
    assert {step.op for step in again} <= {"place", "cut", "mark", "tag"}
    assert any(step.op == "cut" for step in again)
    assert all(step.is_again and 0 < len(step.title.split()) <= 8 for step in again)
    assert [str(fault) for fault in prove(*as_files(changed, where, tuple(steps)))[:10]] == []


@pytest.mark.parametrize(
    ("plan", "share"),
    [("lengthwise", 0.35), ("lengthwise", 0.62), ("lengthwise", 0.8), ("quarters_along", 0.62), ("quarters_along", 0.8)],
)
def test_changed_in_the_middle_of_the_cut(plan: Plan, share: float) -> None:
    changed, where, steps, _ = _carried(PLAIN, SMALLER, plan, share)
    assert [str(fault) for fault in prove(*as_files(changed, where, tuple(steps)))[:10]] == []


def test_what_is_not_cut_yet_may_have_no_room_for_a_facing_that_grew() -> None:
    """In quarters the back facing ends the lay: with a bust of less ease it grows beyond the cut end."""
    with pytest.raises(Refused, match=r"back facing: .*\d mm from x1 of .*, 10 wanted"):
        _carried(PLAIN, SMALLER, "quarters_along", 0.35)


def test_a_change_too_small_for_shears_cuts_nothing_again() -> None:
    """1/16 in (1.6 mm) less at the hip, 0.4 a quarter."""
    changed, where, steps, done = _carried(PLAIN, {"ease": {"hip_mm": 50 - 1.6}}, "lengthwise", 1.0)
    assert steps[done:] == []
    assert prove(*as_files(changed, where, tuple(steps))) == []


def test_a_second_change_after_something_was_cut_again_is_refused() -> None:
    changed, where, steps, done = _carried(PLAIN, SMALLER, "lengthwise", 1.0)
    smallest = garment("middle", {**PLAIN, "ease": SMALLEST})
    carry(changed, where, steps, range(done), smallest, "in")
    with pytest.raises(Refused, match="again once"):
        carry(changed, where, steps, range(done + 3), smallest, "in")


def test_a_second_change_before_that_starts_from_what_was_cut() -> None:
    changed, where, steps, done = _carried(PLAIN, SMALLER, "lengthwise", 1.0)
    smallest = garment("middle", {**PLAIN, "ease": SMALLEST})
    twice, there = carry(changed, where, steps, range(done), smallest, "in")
    assert all(piece.was is None or piece.was.was is None for piece in twice.pieces)
    assert prove(*as_files(twice, there, (*steps[:done], *make_steps(twice, there)[done:]))) == []


def test_cut_again_in_french() -> None:
    changed, where, steps, done = _carried(PLAIN, SMALLER, "lengthwise", 1.0)
    french = make_steps(changed, where, words=LANGUAGES["fr"])[done:]
    assert [(one.op, one.lines) for one in french] == [(one.op, one.lines) for one in steps[done:]]
    assert not {one.title for one in french} & {one.title for one in steps[done:]}
