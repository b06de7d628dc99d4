"""Puff and flared sleeves made from a fitted one."""

from math import degrees

import pytest

from projector.draft.curve import angle_between, length, line
from projector.draft.sleeve import BACK_HANDLES, FRONT_HANDLES, half_cap
from projector.draft.sleeve_fuller import SleeveLines, flared, puffed


def _fitted(front: float = 160, back: float = 172, height: float = 140) -> SleeveLines:
    under, hem = complex(front, 0), complex(front - 6, 100)
    back_under, back_hem = complex(-back, 0), complex(-back + 6, 100)
    return SleeveLines(
        (half_cap(-back, height, BACK_HANDLES).back(),), (half_cap(front, height, FRONT_HANDLES),),
        (line(under, hem),), (line(hem, back_hem),), (line(back_hem, back_under),),
    )  # fmt: skip


def _corner_deg(before: complex, after: complex) -> float:
    return 180 - degrees(angle_between(before, after))


@pytest.mark.parametrize("height", [90, 140, 170])
@pytest.mark.parametrize("spread_mm", [60, 130, 200])
def test_flared_cap_still_fits_the_armhole(height: float, spread_mm: float) -> None:
    """Slash and spread hinges on the cap: 0.05 mm, the flattening of a curve."""
    fitted = _fitted(height=height)
    wide = flared(fitted, 190, spread_mm)
    assert length(wide.back_cap) == pytest.approx(length(fitted.back_cap), abs=0.05)
    assert length(wide.front_cap) == pytest.approx(length(fitted.front_cap), abs=0.05)
    assert length(wide.hem) - (160 + 172) == pytest.approx(spread_mm, abs=0.1)


def test_flared_under_seams_are_equal_and_square() -> None:
    wide = flared(_fitted(), 190, 130)
    assert length(wide.front_under) == pytest.approx(length(wide.back_under), abs=1e-6)
    corners = [
        (wide.front_cap[-1].end, wide.front_under[0].start), (wide.front_under[-1].end, wide.hem[0].start),
        (wide.hem[-1].end, wide.back_under[0].start), (wide.back_under[-1].end, wide.back_cap[0].start),
    ]  # fmt: skip
    assert [_corner_deg(*corner) for corner in corners] == pytest.approx([90] * 4, abs=0.5)


def test_outlines_close() -> None:
    for lines in (flared(_fitted(), 190, 130), puffed(_fitted())):
        runs = (lines.back_cap, lines.front_cap, lines.front_under, lines.hem, lines.back_under)
        for before, after in zip((runs[-1], *runs[:-1]), runs, strict=True):
            assert abs(before[-1].d - after[0].a) < 1e-6


def test_puff_is_wider_and_higher_and_keeps_its_under_seams() -> None:
    """1.5 times as wide, its cap 22 higher (common practice: 1.3 to 2 times, 15 to 30); so a third to a half longer round the cap."""
    fitted = _fitted()
    full = puffed(fitted)
    assert full.front_cap[-1].d.real == pytest.approx(1.5 * 160)
    assert full.back_cap[-1].d.imag == pytest.approx(-140 - 22)
    assert length(full.front_under) == pytest.approx(length(fitted.front_under))
    assert 1.25 < full.cap_mm / fitted.cap_mm < 1.5
