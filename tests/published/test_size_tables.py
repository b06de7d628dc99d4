"""What the published size tables say by themselves, and the closed forms of 1918."""

from itertools import pairwise

import pytest

from calibration.units import MM_PER_INCH
from tests.published.size_rows import ASTM, MISSES, WOMEN, size_rows


def test_misses_hip_is_bust_and_two_inches() -> None:
    """Source: TRADE figures' own remark on the table of sewingscholar.blogspot.com; all 8 columns, exactly."""
    assert [hip - bust for hip, bust in zip(MISSES["hip"], MISSES["bust"], strict=True)] == [2] * 8


def test_tables_are_whole_and_rise() -> None:
    for table, count in ((ASTM, 12), (MISSES, 8), (WOMEN, 7)):
        for values in table.values():
            assert len(values) == count
            assert all(a < b for a, b in pairwise(values))
    assert len(size_rows()) == 39


def test_inch_rows_become_exact_millimetres() -> None:
    assert size_rows()["misses 12"]["bust"] == pytest.approx(34 * MM_PER_INCH)
