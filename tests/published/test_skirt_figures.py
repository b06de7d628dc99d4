"""Published skirt drafts drawn with our waistline and bias strips."""

from math import asin, hypot, radians, sin

import pytest

from projector.draft.waistline import DartTip, WaistEnds, Waistline, waistline
from projector.lay.bias import joined_mm, strips_in
from projector.lay.cloth import Light

W_MM, H_MM = 673.0, 914.0
"""Bodies of the WikiEducator block's worked figures."""


def _quarter(edge_mm: float, raise_mm: float, dart_long_mm: float, need_mm: float) -> Waistline:
    """Quarter waist: centre square, side raised, one vertical dart in its middle, tip below the waist."""
    ends = WaistEnds(0j, 1, complex(edge_mm, -raise_mm), 1)
    return waistline(ends, (DartTip(complex(edge_mm / 2, dart_long_mm), dart_long_mm, 1.0),), need_mm, -1)


def _mouth_mm(quarter: Waistline) -> float:
    dart = quarter.darts[0]
    return abs(dart.inner - dart.outer)


@pytest.mark.parametrize(("edge_mm", "dart_long_mm", "sewn_mm"), [(W_MM / 4 + 32, 120, W_MM / 4 + 12), (W_MM / 4 + 20, 100, W_MM / 4)])
def test_metric_skirt_block_sews_to_its_waist_with_its_two_centimetre_dart(edge_mm: float, dart_long_mm: float, sewn_mm: float) -> None:
    """Source: wikieducator.org, "Handout for drafting skirt block": waist W/4 + 2 (+ 1.2 behind), raise 1, dart 2 wide, 12 or 10 long (cm).

    The raised waistline is a curve half a millimetre longer than the block's width and the dart's mouth is cut on the
    slope: its 20 mm may come out up to 1 mm wider.
    """
    quarter = _quarter(edge_mm, 10, dart_long_mm, sewn_mm)
    assert quarter.length == pytest.approx(sewn_mm, abs=0.1)
    assert _mouth_mm(quarter) == pytest.approx(20.0, abs=1.0)


def test_metric_skirt_block_leaves_24_mm_of_waist_ease() -> None:
    """Same source, derived: back W/4 + 12 and front W/4 once sewn."""
    whole = 2 * (_quarter(W_MM / 4 + 32, 10, 120, W_MM / 4 + 12).length + _quarter(W_MM / 4 + 20, 10, 100, W_MM / 4).length)
    assert whole - W_MM == pytest.approx(24.0, abs=0.2)


def test_nigerian_school_skirt_takes_its_inch_in_one_dart() -> None:
    """Source: Nigerian JSS2 Home Economics (allsaintssecschool.com 2020/05/21), cm: W/4 + 2.5, dart 2.5 by 12.5, side raised 1.25."""
    quarter = _quarter(700 / 4 + 25, 12.5, 125, 700 / 4)
    assert quarter.length == pytest.approx(175.0, abs=0.1)
    assert _mouth_mm(quarter) == pytest.approx(25.0, abs=1.2)


def test_waistline_dart_is_as_wide_as_its_angle_says() -> None:
    """Chord of a circle about the tip: 2 r sin(angle/2). Source: geometry."""
    dart = _quarter(232, 10, 120, 212).darts[0]
    leg = abs(dart.inner - dart.tip)
    assert leg == pytest.approx(abs(dart.outer - dart.tip), abs=1e-9)
    assert 2 * leg * sin(dart.angle / 2) == pytest.approx(abs(dart.inner - dart.outer), abs=1e-6)
    assert 2 * asin(abs(dart.inner - dart.outer) / 2 / leg) == pytest.approx(dart.angle, abs=radians(1e-6))


def test_bias_strip_of_the_whole_width() -> None:
    """A 45 degree line across a cloth is root two of its width, where the light shows it whole. Source: geometry (Pythagoras)."""
    whole = Light(1100.0, 1000.0)
    strips = strips_in(1300.0, 40.0, along_mm=1100.0, across_mm=1000.0, light=whole)
    assert strips is not None
    assert len(strips) == 1
    lower, upper = strips[0][0], strips[0][3]
    assert hypot(upper[0] - lower[0], upper[1] - lower[1]) == pytest.approx(1414.214, abs=0.001)
    assert joined_mm(strips, 40.0) == pytest.approx(1414.214 - 40.0, abs=0.001)  # its slanting ends squared off
    longer = strips_in(1375.0, 40.0, along_mm=1100.0, across_mm=1000.0, light=whole)
    assert longer is not None
    assert len(longer) == 2  # a millimetre more than one strip gives
