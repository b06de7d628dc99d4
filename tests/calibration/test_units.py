"""Lengths typed in a hurry: read as the tape reads, or refused in words; never guessed, never a defect."""

from fractions import Fraction

import pytest

from calibration.errors import WrongInput
from calibration.units import cloth_text, eighths_text, mm_from_text, yards_saved_text, yards_up


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


@pytest.mark.parametrize(
    ("mm", "told"), [(298.45, "11 3/4"), (-3.175, "-1/8"), (25.4, "1"), (0.0, "0"), (1.58, "0"), (1.6, "1/8"), (880.0, "34 5/8")]
)
def test_inches_are_told_to_the_nearest_eighth(mm: float, told: str) -> None:
    """25.4 mm to the inch: an eighth is 3.175 mm, half of one 1.5875."""
    assert eighths_text(mm) == told


@pytest.mark.parametrize(("over", "bought", "saved"), [(0.0095, 8, 8), (0.0105, 9, 8), (-0.0095, 8, 8), (-0.0105, 8, 7), (114.2, 9, 8)])
def test_yards_are_bought_up_and_saved_down_to_the_eighth(over: float, bought: int, saved: int) -> None:
    """A yard of 914.4 mm and a little: a hair of 0.01 mm buys no eighth and loses none; an eighth is 114.3."""
    assert yards_up(914.4 + over) == Fraction(bought, 8)
    assert yards_saved_text(914.4 + over) == {7: "7/8 yd", 8: "1 yd"}[saved]


@pytest.mark.parametrize(("mm", "told"), [(1850.0095, "1.85 m"), (1850.0105, "1.86 m"), (1841.0, "1.85 m")])
def test_metres_are_bought_up_to_the_hundredth(mm: float, told: str) -> None:
    """By the same hair."""
    assert cloth_text(mm).startswith(f"{told} (2 1/8 yd")
