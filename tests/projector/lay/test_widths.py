"""Cloth needed over the widths of cloth, against the trade's table of equal amounts.

Source: fabric width conversion table, sewwithsarah.com, the same in a second copy (greenspun.com): each row is what one garment takes
of cloth 35 to 36, 44 to 45 and 58 to 60 inches wide, in yards.
"""

from statistics import mean

import pytest

from calibration.units import MM_PER_INCH
from projector.api import pieces_for
from projector.lay.cloth import Cloth
from projector.lay.run import run_task
from projector.lay.task import Bench, make_task
from projector.steps.given import garment_from_json
from tests.projector.lay.made_up import TOOLS
from tests.published.bodies import scattered

WIDTHS_IN = (36, 45, 59)
ROWS_YD = (
    (1.75, 1.375, 1.0), (2.0, 1.625, 1.25), (2.25, 1.75, 1.375), (2.5, 2.125, 1.625), (2.875, 2.25, 1.75), (3.125, 2.5, 1.875),
    (3.375, 2.75, 2.0), (3.75, 2.875, 2.25), (4.25, 3.125, 2.375), (4.5, 3.375, 2.625), (4.75, 3.625, 2.75), (5.0, 3.875, 2.875),
)  # fmt: skip
ROUNDED = 0.01
"""The table is rounded to the eighth of a yard: on its 1 to 5 yards a ratio moves by 0.01 to 0.05; the least of it is allowed beyond
the extremes of its rows."""


def test_the_table_is_the_published_one() -> None:
    """Its extremes and means as they were worked out from the page."""
    to_45, to_60 = ([row[n] / row[0] for row in ROWS_YD] for n in (1, 2))
    assert [round(each, 3) for each in (min(to_45), max(to_45), min(to_60), max(to_60))] == [0.735, 0.85, 0.559, 0.65]
    assert mean(to_45) == pytest.approx(0.78, abs=0.01)
    assert mean(to_60) == pytest.approx(0.59, abs=0.01)


@pytest.mark.parametrize(
    ("woman", "style"),
    [
        (3, {"sleeve": "short"}),
        pytest.param(40, {"skirt": "tapered", "length": "full", "sleeve": "elbow"}, marks=pytest.mark.long),
        pytest.param(90, {"sleeve": "long"}, marks=pytest.mark.long),
    ],
)
def test_open_lays_over_three_widths_follow_the_trade(woman: int, style: dict[str, str]) -> None:
    pieces = [piece for piece in garment_from_json(pieces_for(scattered()[woman], style)).pieces if piece.cloth == "main"]
    used = []
    for width in WIDTHS_IN:
        cloth = Cloth("main", width * MM_PER_INCH)
        used.append(
            run_task(make_task(Bench(cloth), cloth, pieces, "open"), 60, 1, TOOLS).used_mm
        )  # 60 trials: the first lays are 4 % longer, all alike
    for number in (1, 2):
        ratios = [row[number] / row[0] for row in ROWS_YD]
        assert min(ratios) - ROUNDED <= used[number] / used[0] <= max(ratios) + ROUNDED, used
