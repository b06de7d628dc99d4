"""Lengths typed in a hurry: read as the tape reads, or refused in words; never guessed, never a defect."""

import pytest

from calibration.errors import WrongInput
from calibration.units import mm_from_text


@pytest.mark.parametrize(
    ("typed", "mm"),
    [
        ("34 1/2", 876.3), ("34½", 876.3), ("34-1/2", 876.3), ('34 1/2"', 876.3), ("34,5", 876.3), ("87.6cm", 876.0), ("0", 0.0),
        (" 1/2 in ", 12.7), (f"{'34':>60}", 863.6),
    ],
)  # fmt: skip
def test_what_a_tape_reads(typed: str, mm: float) -> None:
    assert mm_from_text(typed, "in") == pytest.approx(mm, abs=1e-9)


@pytest.mark.parametrize(
    "typed",
    [
        "-3", " - 1/2", "−3", "trente", "", "½½", "34 1/0", "34..5", "1e9", "34 5", "34.5 1/2", "nan", "inf", f"{'34':>61}", "9" * 400,
        "9" * 5000, f"1/{'9' * 5000}",
    ],
)  # fmt: skip
def test_what_is_no_length(typed: str) -> None:
    """`-3` was once read as 3; numbers of thousands of figures were a defect."""
    with pytest.raises(WrongInput) as told:
        mm_from_text(typed, "in")
    assert len(str(told.value)) < 250
    assert ("0 under the stroke" in told.value.why) == typed.endswith("/0")
