"""Skirts at the least: levels near a hem, marks near an end, darts of a short hip, sides let out at a fitting; just short and just beyond.

Source of the figures: the drafting specification (3.7, 3.11), own derivation or common practice, no source. NEAR 0.1 mm: points are
rounded to 1e-4, curves flattened to 0.05.
"""

from contextlib import nullcontext
from math import dist
from typing import Any

import pytest

from calibration.errors import TableError
from projector.draft.style import style_from_mapping
from projector.garment.alter import alter
from projector.garment.pieces import Piece
from tests.published.pieces import apart_mm, at_level, bezier, drafted, edge, line_mm, named
from tests.published.test_far_limits import BARE
from tests.published.test_marks_and_rooms import notches
from tests.published.test_shared_frame import MIDDLE

NEAR = 0.1
DOWN = (0.0, 1.0)
BLOUSE: dict[str, Any] = {"skirt": "none", **BARE}


def fitted(name: str, style: dict[str, Any], **lines: float) -> Piece:
    """One piece of the middle body's dress after a fitting."""
    return next(each for each in alter(MIDDLE, style_from_mapping(style), lines).cut.pieces if each.name == name)


@pytest.mark.parametrize("skirt", ["straight", "circle"])
@pytest.mark.parametrize(("longer", "is_told"), [(4.5, False), (5.5, True)])
def test_a_knee_line_within_5_of_the_hem_is_left_out(skirt: str, longer: float, is_told: bool) -> None:
    front = drafted(MIDDLE, skirt=skirt, length=MIDDLE["waist_knee"] + longer, **BARE)["skirt_front"]
    assert ("knee" in front["levels"]) == is_told


@pytest.mark.parametrize(("hem", "is_told"), [(-25.5, False), (-24.5, True)])
def test_a_hip_line_within_5_of_a_blouse_s_hem_is_left_out(hem: float, is_told: bool) -> None:
    """A blouse ends 30 below the hip; at a fitting its hem comes up."""
    assert ("hip" in fitted("skirt front", BLOUSE, hem=hem).levels) == is_told


@pytest.mark.parametrize(("cup", "is_marked"), [(112.0, False), (114.0, True)])
def test_a_circle_s_seam_within_4_of_the_bodice_s_needs_no_mark(cup: float, is_marked: bool) -> None:
    """A bodice's front is wider than its back by 2 g at the waist, g = 3 + (cup - 100)/12: its side seam lies g beyond the circle's."""
    pieces = drafted({**MIDDLE, "underbust": 920.0 - cup}, skirt="circle", **BARE)
    assert bool(notches(pieces["skirt_back"], "waist")) == is_marked


SMALL_WAIST = {**MIDDLE, "waist": 560.0, "hip": 1085.0, "bust": 900.0, "underbust": 770.0}


def test_skirt_darts_are_40_long_at_least() -> None:
    """On a short hip; the front's end at half of it, each next one 14 higher: 60, 46 and not 32."""
    front = drafted({**SMALL_WAIST, "waist_hip": 120.0}, skirt="straight", bodice=False, **BARE)["skirt_front"]
    assert [dart["legs"][1][1] for dart in front["darts"]] == pytest.approx([60.0, 46.0, 40.0], abs=NEAR)


def test_skirt_darts_keep_20_apart_along_the_waist() -> None:
    """The first carries on the bodice's seam; with a wide span it lies 20 a dart before the last 25 to the side."""
    front = drafted({**SMALL_WAIST, "bust_span": 300.0, "neck_bust": 275.0}, skirt="straight", **BARE)["skirt_front"]
    assert len(front["darts"]) == 3
    runs = [line_mm(named(front, f"waist {place}")) for place in range(1, 5)]
    assert runs[0] == pytest.approx(sum(runs) - 25.0 - 40.0, abs=0.3)  # placed by three rounds


@pytest.mark.parametrize(("hip", "goes"), [(1279.0, True), (1282.0, False)])
def test_a_waist_that_three_wide_darts_cannot_take_in_is_refused(hip: float, goes: bool) -> None:
    """Each at most 1.6 times 28 in front, 134.4 in all: front waist (560 + 22)/4 + 5.5, hip quarter (hip + 50)/4 + 2.75, 50 in the side."""
    assert ((hip + 50) / 4 + 2.75 - 151.0 - 50.0 < 134.4) == goes
    with nullcontext() if goes else pytest.raises(TableError, match="waist cannot be taken in"):
        drafted({**SMALL_WAIST, "hip": hip}, skirt="straight", bodice=False, **BARE)


def side_out(card: dict[str, float], style: dict[str, Any], **lines: float) -> float:
    """How far in the front's side lies at the hem from where it is widest."""
    cut = alter(card, style_from_mapping(style), lines).cut
    side = next(edge.points for piece in cut.pieces if piece.name == "skirt front" for edge in piece.edges if edge.kind == "side")
    return max(x for x, _ in side) - side[-1][0]


@pytest.mark.parametrize(("length", "goes"), [(305.0, False), (306.5, True)])
def test_a_short_skirt_falls_straight(length: float, goes: bool) -> None:
    """Up to 20 below the 50.8 by which it holds the hip; longer it tapers, and is let out at a fitting's hem."""
    card, style = {**MIDDLE, "waist_hip": 235.0}, {"length": length, **BARE}
    assert (side_out(card, {**style, "skirt": "tapered"}) > 1.0) == goes
    assert (side_out(card, {**style, "skirt": "straight"}, side_hem=-10.0) > 1.0) == goes


def test_a_side_let_out_at_the_hem() -> None:
    """From 50.8 under the hip one curve, upright at both ends, handles a quarter of the chord."""
    piece = next(each for each in alter(MIDDLE, style_from_mapping({"skirt": "straight", **BARE}), {"side_hem": 30.0}).cut.pieces
                 if each.name == "skirt front")  # fmt: skip
    side = [point for each in piece.edges if each.kind == "side" for point in each.points]
    hip, held_y, low = at_level(side, MIDDLE["waist_hip"]), MIDDLE["waist_hip"] + 50.8, side[-1]
    assert low[0] - hip == pytest.approx(30.0, abs=NEAR)
    curve = bezier((hip, held_y), DOWN, low, DOWN, 0.25, 0.25)
    assert apart_mm([point for point in side if point[1] >= held_y], curve) < NEAR


def test_an_a_line_hem_by_hand() -> None:
    """One curve, square to the side and level at the centre: the handle at the side down to the hem's level, the other a third of the
    chord."""
    front = drafted(MIDDLE, skirt="a_line", flare_mm=60, length=500, **BARE)["skirt_front"]
    hem, side = named(front, "hem"), edge(front, "side")
    chord = dist(hem[0], hem[-1])
    along = side[-1][0] - side[-2][0], side[-1][1] - side[-2][1]
    heading = -along[1] / dist((0, 0), along), along[0] / dist((0, 0), along)
    first = (hem[-1][1] - hem[0][1]) / heading[1] / chord
    assert apart_mm(hem, bezier(hem[0], heading, hem[-1], (-1.0, 0.0), first, 1 / 3)) < NEAR
