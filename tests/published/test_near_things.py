"""What keeps off what in a bodice: necks, shoulder princess seams, armholes, darts, levels; on bodies at which each distance binds.

All distances are ours, no source. NEAR 0.1 mm: points are rounded to 1e-4, curves flattened to 0.05; a neck gives way in halvings, so
that up to 2 mm more are left than asked.
"""

from itertools import pairwise
from math import dist
from typing import Any

import pytest

from projector.draft.style import style_from_mapping
from projector.garment.alter import alter
from tests.published import by_hand
from tests.published.pieces import drafted, edge, line_mm, named
from tests.published.test_far_limits import BARE
from tests.published.test_lines_by_hand import FULL_DARTED
from tests.published.test_marks_and_rooms import least_apart
from tests.published.test_shared_frame import MIDDLE

NEAR, MORE = 0.1, 2.0
WALKED_MM = 0.5
"""A neck may come nearer by this: the draft walks it in steps of 4."""


def above_bust(piece: dict[str, Any], name: str) -> list[tuple[float, float]]:
    """The part of an edge above the bust line."""
    return [point for point in named(piece, name) if point[1] < piece["levels"]["bust"]]


THIN_AND_BROAD = {
    "bust": 765.5, "underbust": 583.0, "waist": 603.4, "hip": 864.0, "stature": 1696.5, "nape_waist": 407.0, "neck": 326.5,
    "shoulder_width": 389.2, "across_back": 343.0, "upper_arm": 227.6, "wrist": 148.1, "arm_length": 609.4, "waist_hip": 175.4,
    "waist_knee": 562.0, "waist_floor": 1048.1, "shoulder_drop": 49.3, "bust_span": 153.8, "neck_bust": 240.7,
}  # fmt: skip


def test_a_shoulder_princess_keeps_18_off_armhole_and_neck() -> None:
    """Its side panel is so wide all the way up, and the seam keeps so far from the neck beside which it begins."""
    pieces = drafted(THIN_AND_BROAD, princess="shoulder", neck_widen_mm=84, neck_drop_mm=3, **BARE)
    side = least_apart(above_bust(pieces["front_side"], "princess"), edge(pieces["front_side"], "armhole"))
    assert 18.0 - NEAR <= side < 18.0 + MORE
    assert 18.0 - NEAR <= least_apart(above_bust(pieces["front"], "princess"), edge(pieces["front"], "neck")) < 18.0 + MORE


def test_beyond_70_a_shoulder_princess_keeps_30_off_the_neck() -> None:
    """Nearer its upper end it runs beside the neck; here the nearest place lies just beyond."""
    pieces = drafted(
        {**MIDDLE, "neck_bust": 265.0, "shoulder_width": 390.0},
        princess="shoulder",
        neck="square",
        neck_widen_mm=52,
        neck_drop_mm=17,
        **BARE,
    )
    assert "so it keeps clear of armhole and princess seam" in pieces["said"]
    seam = above_bust(pieces["front"], "princess")
    beyond = [point for point in seam if dist(point, seam[0]) > 70.0]
    assert 30.0 - WALKED_MM - NEAR <= least_apart(edge(pieces["front"], "neck"), beyond) < 30.0 + MORE


def test_a_deep_neck_keeps_25_off_the_tips_of_side_darts() -> None:
    pieces = drafted({**MIDDLE, "neck_bust": 252.0}, princess="none", neck="square", neck_widen_mm=58, neck_drop_mm=156, **BARE)
    assert "so it keeps clear of armhole and princess seam" in pieces["said"]
    neck = edge(pieces["front"], "neck")
    tips = [tuple(dart["legs"][1]) for dart in pieces["front"]["darts"]]
    apart = min(least_apart(neck, [tip, (tip[0] + 0.6, tip[1])]) for tip in tips)
    assert 25.0 - NEAR <= apart < 25.0 + MORE


def test_a_lining_s_side_darts_open_above_three_quarters_of_the_side() -> None:
    """40 lower than the dress's, on a short side less: measured along the sewn side from the underarm, which the facing covers."""
    for nape_waist, is_short in ((360.0, True), (370.0, True), (400.0, False)):
        card = {**FULL_DARTED, "nape_waist": nape_waist}
        main, lining, facing = (drafted(card, of=of, princess="none") for of in ("main", "lining", "facing"))
        assert len(lining["front"]["darts"]) == len(main["front"]["darts"])
        opened = [line_mm(named(each["front"], "side 1")) + line_mm(named(each["front"], "side 2")) for each in (main, lining)]
        opened[1] += line_mm(named(facing["front_facing"], "side"))
        most = 0.75 * line_mm(edge(main["back"], "side"))
        assert opened[1] == pytest.approx(most if is_short else opened[0] + 40.0, abs=NEAR)
        assert (most < opened[0] + 40.0) == is_short


def test_an_inset_s_neckline_is_no_corner_at_its_centre() -> None:
    """Its handle there, tenths of 0.8 of the neck's half width, is 22 long at least: 0.4 of it from a half width of 68.8 on, on a smaller
    neck 0.5, which hangs 6 mm or more higher."""
    deep = [drafted_inset_mm(5.0 * half) for half in (69.2, 69.0, 68.5, 68.3)]
    assert [abs(one - other) > 5.0 for one, other in pairwise(deep)] == [False, True, False]


def drafted_inset_mm(neck: float) -> float:
    """How deep an inset behind a V hangs that is asked for deeper than shows."""
    pieces = drafted({**MIDDLE, "neck": neck}, neck="v", neck_drop_mm=120, inset=226, **BARE)
    line = named(next(piece for piece in pieces["all"] if piece["part"] == "inset"), "neck")
    return line[0][1] - line[-1][1]


def test_a_level_within_6_of_an_off_shoulder_top_is_left_out() -> None:
    """A centre front lowered at a fitting may end above the line of the underarms; a level line needs cloth above it."""
    style = style_from_mapping({"sleeve": "off_shoulder", "lining": False})
    small = {**MIDDLE, "round_shoulders": 1060.0, "upper_arm": 225.0, "underbust": 880.0}
    gaps = {}
    for lower in (47.0, 48.0, 49.0, 49.5, 50.0, 51.0):
        cut = alter(small, style, {"neck_front": lower}).cut
        centre, side = (next(piece for piece in cut.pieces if piece.name == name) for name in ("front centre", "front side"))
        underarm = side.levels["underarm"]
        assert isinstance(underarm, float)
        gaps[underarm - min(y for each in centre.edges if each.name == "top" for _, y in each.points)] = "underarm" in centre.levels
    assert all(is_told == (gap > 6.0) for gap, is_told in gaps.items())
    assert max(gap for gap in gaps if gap <= 6.0) > 5.2
    assert min(gap for gap in gaps if gap > 6.0) < 6.8


@pytest.mark.parametrize(("under", "is_told"), [(20.5, False), (21.5, True)])
def test_a_level_within_5_of_a_side_dart_s_mouth_is_left_out(under: float, is_told: bool) -> None:
    """A bust line 4 under the underarm, the dart's mouth 20 under it: the under bust comes 4.5 or 5.5 below the mouth's end."""
    pieces = drafted({**MIDDLE, "neck_bust": 235.0, "shoulder_underbust": 235.0 + under}, princess="none", **BARE)
    assert ("underbust" in pieces["front"]["levels"]) == is_told


@pytest.mark.parametrize("taped", [285.0, 400.0, 470.0])
def test_a_taped_under_bust_line_is_held(taped: float) -> None:
    """20 under the bust line at least, 15 above the waist at most (section 3.11)."""
    card = {**MIDDLE, "shoulder_underbust": taped}
    levels = drafted(card, **BARE)["back"]["levels"]
    assert levels["underbust"] == pytest.approx(by_hand.underbust_level(card, levels["bust"]), abs=NEAR)


def test_a_sleeve_shortened_at_a_fitting_ends_40_below_its_biceps() -> None:
    """At least; 0.17 of the arm's length, 95, less 60 would be 35."""
    cut = alter(MIDDLE, style_from_mapping({"sleeve": "short", **BARE}), {"sleeve_length": -60.0}).cut
    hem = next(each.points for piece in cut.pieces if piece.name == "sleeve" for each in piece.edges if each.name == "hem")
    assert hem[0][1] == pytest.approx(40.0, abs=NEAR)


@pytest.mark.parametrize("arm", [195.0, 205.0])
def test_a_sleeve_whose_head_stands_too_high_grows_by_3(arm: float) -> None:
    """From 55 over the arm."""
    sleeve = drafted({**MIDDLE, "upper_arm": arm}, sleeve="long", **BARE)["sleeve"]
    steps = (named(sleeve, "cap front")[-1][0] - named(sleeve, "cap back")[0][0] - arm - 55.0) / 3.0
    assert round(steps) >= 1
    assert steps == pytest.approx(round(steps), abs=0.01)


def test_a_side_takes_in_32_at_most() -> None:
    """0.15 of both quarters' intake otherwise (3.2): here 34. Read off the side's slope below the bust line."""
    card = {**MIDDLE, "bust": 1020.0, "underbust": 880.0, "waist": 590.0}
    assert 0.15 * ((card["bust"] + 45) - (card["waist"] + 22)) / 2 == pytest.approx(34.0, abs=0.1)
    side = drafted(card, **BARE)["front_side"]
    (x0, y0), (x1, y1) = named(side, "side")[0], named(side, "side")[-1]
    assert (x0 - x1) / (y1 - y0) * (y1 - side["levels"]["bust"]) == pytest.approx(32.0, abs=NEAR)


def test_how_often_each_piece_is_cut() -> None:
    """Fronts on the fold once, all else in pairs; a back on the fold (side zip) once."""
    pieces, closed = drafted(MIDDLE, sleeve="long", **BARE), drafted(MIDDLE, zip="side", **BARE)
    for part, count in {"front": 1, "front_side": 2, "back": 2, "sleeve": 2, "skirt_front": 1, "skirt_back": 2}.items():
        assert pieces[part]["cut"]["count"] == count, part
    assert closed["back"]["cut"]["count"] == 1
