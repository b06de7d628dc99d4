"""What a taped line may be, and what it leaves of the size: just short of each limit and just beyond."""

from contextlib import nullcontext
from dataclasses import replace
from math import hypot, sqrt

import numpy as np
import pytest

from calibration.errors import Refused, WrongInput
from calibration.size import line_percent, proved, size_percent, tape_limit_mm
from calibration.table import Table, Taped
from tests.calibration.exact import MADE

TABLE = replace(Table.demonstration((1920, 1080)), is_demonstration=False, size_percent=0.3)
LONGEST = max(float(np.hypot(*(a - b))) for a in TABLE.places_mm(2, 2) for b in TABLE.places_mm(2, 2))


@pytest.mark.parametrize(("shown", "goes"), [(299.0, False), (301.0, True), (1.019 * LONGEST, True), (1.021 * LONGEST, False)])
def test_a_line_of_300_or_more_proves_the_size_if_the_light_holds_it(shown: float, goes: bool) -> None:
    """2 % over the light's own diagonal is what a printed sheet may have left of the size."""
    with nullcontext() if goes else pytest.raises(WrongInput):
        proved(TABLE, shown, shown, MADE)


@pytest.mark.parametrize(("share", "goes"), [(1.45, True), (1.55, False)])
def test_line_and_bars_may_differ_by_half_more_than_both_explain(share: float, goes: bool) -> None:
    """1.5 times the root sum of squares of both 95 % errors."""
    off = share * hypot(0.3, line_percent(TABLE, 1000.0)) / 100.0
    with nullcontext() if goes else pytest.raises(Refused):
        proved(TABLE, 1000.0, 1000.0 * (1.0 + off), MADE)


@pytest.mark.parametrize(("length", "limit"), [(500.0, 0.5), (1000.0, 0.5), (1001.0, 0.7), (2500.0, 0.9)])
def test_a_tape_of_class_two(length: float, limit: float) -> None:
    """0.3 + 0.2 for each metre begun (Directive 2014/32/EU, annex X, MI-008)."""
    assert tape_limit_mm(length) == pytest.approx(limit)


def test_what_the_long_line_leaves_of_the_size() -> None:
    """Reading, tape and the shape's error at both ends: a radius that holds 95 % of a round scatter is 2.45 times its sd along one axis
    (root of chi squared, two degrees of freedom: 5.991); stated with the factor 2 (GUM)."""
    radius = float(np.nanmedian(TABLE.shape_error_mm(TABLE.places_mm())))
    taped = hypot(0.5, 0.5) / sqrt(3.0)
    assert line_percent(TABLE, 1000.0) == pytest.approx(2.0 * hypot(taped, sqrt(2.0) * radius / sqrt(5.991)) / 10.0, rel=0.003)


def test_what_taped_bars_leave_of_the_size() -> None:
    """Reading to 0.5 and a tape's limit of 0.5, both rectangular, factor 2: 0.33 % of one bar of 250. Of two the readings average, the
    tape's error does not: 2 √((0.5²/2 + 0.5²)/3)/250 = 0.28 %."""
    assert size_percent(Taped(bar_x_mm=250.0)) == pytest.approx(100 * 2 * sqrt(2 * 0.25 / 3) / 250.0)
    assert size_percent(Taped(bar_x_mm=250.0, bar_y_mm=250.0)) == pytest.approx(100 * 2 * sqrt((0.125 + 0.25) / 3) / 250.0)
