"""Corners of a cut line and words about an allowance, on lines drawn by hand: just short of each limit and just beyond. mm.

EXACT 0.01 mm: nothing is flattened.
"""

from cmath import exp
from dataclasses import replace
from math import pi, radians, sin

import numpy as np
import pytest

from projector.draft.bodice import draw_bodice
from projector.draft.curve import Points, length
from projector.draft.panel import EdgeKind
from projector.draft.style import style_from_mapping
from projector.garment.alter import Cover
from projector.garment.build import skirt_need
from projector.garment.cut_line import Run, cut_ring
from tests.published.test_shared_frame import MIDDLE

EXACT = 0.01
ALLOWANCE = 15.0


def corner_of(interior: float, second: EdgeKind) -> tuple[Points, complex, complex]:
    """Cut line of a piece with a side of 200 going right to (200, 0), where an edge of 300 follows at this inner angle; both directions."""
    along, away = 1 + 0j, exp(1j * (pi - radians(interior)))
    corner, end = 200 + 0j, 200 + 300 * away
    ring = cut_ring(
        (
            Run(np.array([0j, corner]), ALLOWANCE, "side", False),
            Run(np.array([corner, end]), ALLOWANCE, second, False),
            Run(np.array([end, 1j * end.imag + min(0.0, end.real - 400.0)]), ALLOWANCE, "waist", False),
            Run(np.array([1j * end.imag + min(0.0, end.real - 400.0), 0j]), ALLOWANCE, "waist", False),
        )
    )
    return ring, along, away


def has(ring: Points, at: complex) -> bool:
    return bool(np.abs(ring - at).min() < EXACT)


@pytest.mark.parametrize(("interior", "is_square"), [(24.0, False), (26.0, True), (154.0, True), (156.0, False)])
def test_a_seam_s_allowance_is_ended_square_at_corners_between_25_and_155_degrees(interior: float, is_square: bool) -> None:
    """Where the later edge's cut line crosses the seam's own line: both partners end alike. Others are mitred or cut off."""
    ring, along, _ = corner_of(interior, "armhole")
    on_seam = 200 + along * ALLOWANCE / sin(radians(interior))
    assert has(ring, on_seam + along * -1j * ALLOWANCE) == is_square


@pytest.mark.parametrize(("interior", "is_turned_up"), [(64.0, False), (66.0, True), (114.0, True), (116.0, False)])
def test_a_hem_is_turned_up_where_it_stands_square_to_its_side(interior: float, is_turned_up: bool) -> None:
    """Within 25 degrees the side's cut line is reflected about the hem; else the side's allowance is ended square."""
    ring, along, _ = corner_of(interior, "hem")
    assert has(ring, 200 + along * ALLOWANCE / sin(radians(interior)) + along * -1j * ALLOWANCE) != is_turned_up


def test_a_sharp_corner_of_edges_sewn_at_once_is_cut_off() -> None:
    """Under 50 degrees a mitre would stand out over twice the allowance: both lines run on by 0.6 of it."""
    ring, along, away = corner_of(40.0, "side")
    assert has(ring, 200 + along * -1j * ALLOWANCE + 0.6 * ALLOWANCE * along)
    assert has(ring, 200 + away * -1j * ALLOWANCE - 0.6 * ALLOWANCE * away)


@pytest.mark.parametrize(("left", "told"), [(4.9, "less than 1/8 in"), (4.7, "1/8 in")])
def test_cloth_short_by_less_than_a_sixteenth_is_not_told_by_the_inch(left: float, told: str) -> None:
    """6.4 (1/4 in) is the least that is sewn; 1.5 and 1.7 are lacking."""
    words = Cover("back", "side", left, False).says("in")
    assert f"is {told} short" in words


def test_where_a_skirt_s_darts_begin_without_a_bodice() -> None:
    """Half of its quarter waist in front, 0.45 behind (ours)."""
    need = skirt_need(MIDDLE, style_from_mapping({"bodice": False}), None)
    quarter = (MIDDLE["waist"] + 22.0) / 4
    assert (need.front_first, need.back_first) == pytest.approx((0.5 * quarter, 0.45 * quarter))


def test_where_a_skirt_s_dart_begins_behind_a_bodice_without_one() -> None:
    """0.45 of the back's waist (ours); where the bodice has a dart the skirt's stands under it."""
    style = style_from_mapping({})
    bodice = draw_bodice(MIDDLE, style)
    plain = replace(bodice.back.waist, darts=())
    need = skirt_need(MIDDLE, style, replace(bodice, back=replace(bodice.back, waist=plain)))
    assert need.back_first == pytest.approx(0.45 * plain.length)
    assert skirt_need(MIDDLE, style, bodice).back_first == pytest.approx(length(plain.runs[0]))
