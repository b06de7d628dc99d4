"""Limits that only far bodies reach, read back from finished pieces: a flat cup, a wide hip, a knee near the hip, a bust near the underarm.

Source: the drafting specification (3.4 to 3.7, 3.11), own derivation or common practice, no source. NEAR 0.1 mm: points are rounded to
1e-4, curves flattened to 0.05.
"""

from math import dist, pi
from typing import Any

import numpy as np
import pytest

from calibration.errors import TableError
from projector.api import pieces_for
from tests.published.pieces import at_level, drafted, edge, least_radius, level_y, line_mm, named, sewn_mm
from tests.published.test_lines_by_hand import FULL_DARTED, darted
from tests.published.test_marks_and_rooms import off_shoulder
from tests.published.test_shared_frame import MIDDLE

NEAR = 0.1
BARE: dict[str, Any] = {"lining": False, "facings": False}


def front_higher(cup: float, front_mm: float) -> float | None:
    """How much higher the front's neck point stands than the back's; None: refused."""
    try:
        pieces = drafted({**MIDDLE, "underbust": 920.0 - cup, "neck_bust": 268.0, "front_waist": front_mm}, **BARE)
    except TableError:
        return None
    return edge(pieces["back"], "neck")[-1][1] - edge(pieces["front"], "neck")[-1][1]


def test_over_a_cup_of_100_the_front_stands_5_higher() -> None:
    """Section 3.5. A quarter of a mm of front length is a quarter of it; a smaller cup is drafted with less."""
    full = {mm: front_higher(101.0, mm) for mm in np.arange(444.5, 446.5, 0.25).tolist()}
    drawn = [higher for higher in full.values() if higher is not None]
    assert 5.0 - 0.01 <= min(drawn) < 5.3
    refused = [mm for mm, higher in full.items() if higher is None]
    assert refused
    small = front_higher(99.0, max(refused))
    assert small is not None
    assert small < 5.0
    with pytest.raises(TableError, match="too short for this cup"):
        drafted({**MIDDLE, "underbust": 819.0, "neck_bust": 268.0, "front_waist": max(refused)}, **BARE)


def test_darts_too_wide_to_lie_flat_are_refused() -> None:
    """One side dart up to 75 (where the under bust leaves room for one), two waist darts up to 60 each (ours)."""
    widths = []
    for cup in range(220, 234, 2):
        card = {**FULL_DARTED, "bust": 1060.0, "underbust": 1060.0 - cup, "neck_bust": 285.0, "shoulder_underbust": 307.0}
        try:
            widths.append(max(dist(legs[0], legs[2]) for legs in darted(card)[2]))
        except TableError:
            break
    assert len(widths) < 7
    assert 74.0 < widths[-1] <= 75.0
    widths = []
    for waist in range(515, 480, -5):
        try:
            widths.append(max(dist(legs[0], legs[2]) for legs in darted({**FULL_DARTED, "waist": float(waist)})[3]))
        except TableError:
            break
    assert len(widths) < 7
    assert 59.0 < widths[-1] <= 60.0 + NEAR


def test_second_waist_dart_lies_40_lower() -> None:
    """Where no side dart is near."""
    _, bust, _, waist = darted({**FULL_DARTED, "neck_bust": 320.0, "shoulder_underbust": 420.0})
    assert waist[1][1][1] - bust[1] == pytest.approx(40.0, abs=NEAR)


def inset_of(widen: float, drop: float, deep: float) -> tuple[float, float, float]:
    """V's depth, the inset's, and the least share of the way by which its neckline keeps off the V."""
    pieces = drafted(MIDDLE, neck="v", neck_widen_mm=widen, neck_drop_mm=drop, inset=deep, lining=False)
    inset = next(piece for piece in pieces["all"] if piece["part"] == "inset")
    v, neck = edge(pieces["front"], "neck"), named(inset, "neck")
    point, foot = v[-1], v[0]
    down = complex(foot[0] - point[0], foot[1] - point[1])
    away = [complex(x - point[0], y - point[1]) for x, y in neck[:-1]]
    share = min((down.conjugate() * each).imag / abs(down) / abs(each) for each in away)
    return foot[1] - point[1], neck[0][1] - point[1], share


def test_insets_behind_a_shallow_v() -> None:
    """25 between its neckline and the V's foot, 40 deep at least; its neckline opens from the V by 0.06 of the way (all ours)."""
    v, deep, _ = inset_of(90, 40, 95)
    assert v - deep == pytest.approx(25.0, abs=NEAR)
    assert inset_of(90, 24, 60)[1] == pytest.approx(40.6, abs=0.5)
    with pytest.raises(TableError, match="does not show"):
        inset_of(90, 22, 60)
    for widen, drop, deep in ((0, 150, 200), (90, 150, 200), (60, 60, 110)):
        assert 0.06 - 0.001 <= inset_of(widen, drop, deep)[2] < 0.07


@pytest.mark.parametrize("turn", [0.5, 0.75, 1.0])
def test_circle_turns(turn: float) -> None:
    """Half, three quarter and full circles: the hem's arc less the waist's is the length times the angle (geometry)."""
    front = drafted(MIDDLE, skirt="circle", circle_turn=turn, lining=False)["skirt_front"]
    arc = line_mm(named(front, "hem")) - line_mm(named(front, "waist"))
    assert arc / MIDDLE["waist_knee"] / (2 * pi) * 4 == pytest.approx(turn, abs=0.001)
    with pytest.raises(TableError):
        drafted(MIDDLE, skirt="circle", circle_turn=turn + 0.1 if turn < 1 else 1.1)


def test_vent_top() -> None:
    """Its extension ends in a slope of 45 degrees that begins 20 above the vent's end."""
    found = pieces_for(MIDDLE, {"skirt": "tapered", "length": "full", "lining": False})
    back = next(piece for piece in found["pieces"] if piece["part"] == "skirt_back")
    above = edge(back, "hem")[0][1] - named(back, "vent top")[-1][1] - found["finished"]["vent_from_hem_mm"]
    assert above == pytest.approx(20.0, abs=NEAR)


FAR_STRAP = {"bust": 1020.0, "underbust": 790.0, "neck_bust": 300.0, "bust_span": 160.0, "shoulder_width": 440.0}


@pytest.mark.parametrize(
    ("body", "style", "share"),
    [
        ({"bust_span": 150.0, "shoulder_width": 440.0}, {"neck_widen_mm": 80}, 0.50),  # bends with a radius of 18.6: just wide enough
        (FAR_STRAP, {"neck_widen_mm": 90}, 0.28),  # the first of 0.50, 0.42, 0.35, 0.28, 0.26 that does
        ({}, {"neck": "square", "neck_drop_mm": 160, "neck_widen_mm": 40}, 0.70),  # out beside a deep neck
        ({"shoulder_width": 285.0}, {"neck": "square", "neck_drop_mm": 160}, None),  # until 25 of strap are left outside it
    ],
)
def test_where_a_shoulder_princess_starts(body: dict[str, float], style: dict[str, Any], share: float | None) -> None:
    """Middle of the strap; nearer the neck where it would bend under a radius of 18, further out beside a deep neck (ours)."""
    pieces = drafted({**MIDDLE, **body}, princess="shoulder", **BARE, **style)
    inside, outside = sewn_mm(pieces["front"], "shoulder"), sewn_mm(pieces["front_side"], "shoulder")
    if share is None:
        assert outside == pytest.approx(25.0, abs=NEAR)
    else:
        assert inside / (inside + outside) == pytest.approx(share, abs=0.001)
    for part in ("front", "front_side"):
        assert least_radius(named(pieces[part], "princess")) > 18.0 - 0.1


def test_edges_pass_the_bust_point_straight_down() -> None:
    """As long as they bend no more sharply than a radius of 18 (here 18.6): 6 degrees of leaning in would be 0.6 mm in 6."""
    body = {**MIDDLE, "bust_span": 150.0, "shoulder_width": 440.0}
    front = drafted(body, princess="shoulder", neck_widen_mm=80, **BARE)["front"]
    seam, bust_y = named(front, "princess"), front["levels"]["bust"]
    assert 18.0 < least_radius(seam) < 19.5
    assert [at_level(seam, bust_y + down) for down in (-6, 0, 6)] == pytest.approx([75.0] * 3, abs=NEAR)


@pytest.mark.parametrize("princess", ["armhole", "none"])
def test_a_side_zip_begins_60_below_the_underarm(princess: str) -> None:
    """The specification's row; on a darted front below its dart."""
    pieces = drafted(MIDDLE, zip="side", princess=princess, **BARE)
    front = pieces["front_side" if princess == "armhole" else "front"]
    sewn = sum(line_mm([tuple(point) for point in each["points"]]) for each in front["edges"] if each["kind"] == "side")
    assert sewn == pytest.approx(60.0, abs=NEAR)
    assert sewn_mm(pieces["back"], "side") == pytest.approx(60.0, abs=NEAR)


def test_three_skirt_darts_at_most() -> None:
    """One for each 28 mm in front, of 34 behind; a hip 520 mm over the waist leaves 95 in front: three wide ones, not four."""
    card = {**MIDDLE, "waist": 560.0, "hip": 1085.0, "bust": 900.0, "underbust": 770.0}
    front = drafted(card, skirt="straight", bodice=False, **BARE)["skirt_front"]
    assert len(front["darts"]) == 3
    assert sum(abs(dart["legs"][2][0] - dart["legs"][0][0]) for dart in front["darts"]) > 3 * 28


def test_a_knee_near_the_hip_is_drawn_150_below_it() -> None:
    """A tapered skirt would else turn in at once."""
    card = {**MIDDLE, "waist_hip": 270.0, "waist_knee": 405.0, "stature": 1640.0}
    front = drafted(card, skirt="tapered", length=600, **BARE)["skirt_front"]
    side = edge(front, "side")
    hip = max(x for x, _ in side)
    assert hip - at_level(side, 270.0 + 150.0) == pytest.approx(25.4, abs=NEAR)
    assert hip - at_level(side, 270.0 + 140.0) < 25.4 - 0.5


def test_side_darts_near_the_underarm() -> None:
    """Two need 24 between their mouths, the upper 20 below the underarm at least and the lower 10 above the under bust: with 43 of side
    there is one, with 47 two."""
    plain = drafted({**FULL_DARTED, "neck_bust": 285.0}, princess="none", **BARE)
    room = level_y(plain["front"], "bust") - edge(plain["back"], "armhole")[-1][1] - 10
    for side_mm, count in ((43.0, 1), (47.0, 2)):
        front, _, side, _ = darted({**FULL_DARTED, "neck_bust": 285.0, "shoulder_underbust": 285.0 + side_mm - room})
        assert len(side) == count
    assert line_mm(named(front, "side 1")) == pytest.approx(20.0, abs=NEAR)
    assert line_mm(named(front, "side 2")) == pytest.approx(27.0, abs=NEAR)


def test_off_shoulder_band_45_to_70_high() -> None:
    """Low under a deep armhole and square shoulders it would be a sleeve, under sloping ones a cord."""
    highs = [
        line_mm(named(off_shoulder(**changed)["shoulder_band_front"], "centre")) / 2
        for changed in ({"shoulder_drop": 92.0, "upper_arm": 330.0}, {"shoulder_drop": 30.0, "scye_depth": 215.0, "upper_arm": 235.0})
    ]
    assert highs == [pytest.approx(45.0, abs=NEAR), pytest.approx(70.0, abs=NEAR)]


def test_skirt_alone() -> None:
    """Quarter waists (W + 22)/4 and 5.9 more in front (cup 135: half of 11.8), as in the bodice; circle quarters alike."""
    pieces = drafted(MIDDLE, bodice=False, **BARE)
    assert sewn_mm(pieces["skirt_front"], "waist") == pytest.approx((740 + 22) / 4 + 5.92, abs=0.25)
    assert sewn_mm(pieces["skirt_back"], "waist") == pytest.approx((740 + 22) / 4 - 5.92, abs=0.25)
    circle = drafted(MIDDLE, bodice=False, skirt="circle", **BARE)
    assert sewn_mm(circle["skirt_front"], "waist") == pytest.approx((740 + 22) / 4, abs=NEAR)
