"""Finished bodices against the drafting specification worked out by hand (by_hand.py), on bodies at which each of its limits binds.

NEAR 0.1 mm: points are rounded to 1e-4, curves flattened to 0.05, and 0.02 to 0.11 mm of a girth are given back for that. LONG 0.25 mm:
the sewn waist adds up to four runs and what rounding takes of them.
"""

import re
from functools import lru_cache
from math import atan2, cos, degrees, dist, radians
from typing import Any

import numpy as np
import pytest

from projector.body.complete import complete_measures
from tests.published import by_hand
from tests.published.by_hand import Card
from tests.published.pieces import at_level, drafted, edge, sewn_mm

NEAR, LONG = 0.1, 0.25

MIDDLE: Card = {
    "bust": 920.0, "underbust": 785.0, "waist": 740.0, "hip": 1000.0, "nape_waist": 405.0, "stature": 1680.0, "neck": 365.0,
    "shoulder_width": 390.0, "across_back": 365.0, "neck_bust": 270.0, "bust_span": 190.0, "upper_arm": 260.0, "wrist": 160.0,
    "arm_length": 560.0, "waist_hip": 200.0, "waist_knee": 580.0, "waist_floor": 1040.0, "shoulder_drop": 66.0,
}  # fmt: skip
FULLEST: Card = {
    **MIDDLE, "bust": 1180.0, "underbust": 845.0, "waist": 860.0, "neck_bust": 345.0, "bust_span": 250.0, "upper_arm": 305.0,
}  # fmt: skip
BODIES: dict[str, Card] = {
    "middle": MIDDLE,
    "square shoulders": {**MIDDLE, "shoulder_drop": 36.0},
    "sloping shoulders": {**MIDDLE, "shoulder_drop": 92.0, "neck_bust": 275.0},
    "thin neck": {**MIDDLE, "neck": 281.0, "bust": 850.0, "underbust": 735.0},
    "thick neck": {**MIDDLE, "neck": 500.0, "bust": 1120.0, "underbust": 960.0, "waist": 930.0, "shoulder_width": 380.0, "neck_bust": 310.0,
                   "bust_span": 230.0, "upper_arm": 300.0},
    "narrow shoulders": {**MIDDLE, "shoulder_width": 272.0, "neck": 400.0, "across_back": 300.0},
    "small cup": {**MIDDLE, "underbust": 850.0, "neck_bust": 255.0},
    "full cup": {**MIDDLE, "bust": 1020.0, "underbust": 780.0, "neck_bust": 310.0, "bust_span": 210.0},
    "fuller cup": {**MIDDLE, "bust": 1060.0, "underbust": 785.0, "neck_bust": 325.0, "bust_span": 215.0, "waist": 780.0},
    "small waist": {**MIDDLE, "waist": 590.0, "underbust": 760.0},
    "waist over bust": {**MIDDLE, "waist": 990.0, "hip": 1010.0},
    "short back": {**MIDDLE, "nape_waist": 340.0, "neck_bust": 250.0},
    "long back": {**MIDDLE, "nape_waist": 474.0, "bust": 850.0, "underbust": 735.0, "neck_bust": 285.0},
    "armhole depth taped": {**MIDDLE, "scye_depth": 205.0, "nape_waist": 420.0},
    "narrow back": {**MIDDLE, "across_back": 320.0},
    "low bust": {**MIDDLE, "neck_bust": 405.0},
    "low bust, small waist": {**MIDDLE, "neck_bust": 405.0, "waist": 620.0},
    "high bust": {**MIDDLE, "neck_bust": 250.0},
    "fullest cup": FULLEST,
    "flat, front taped short": {**MIDDLE, "underbust": 888.0, "front_waist": 405.0, "neck_bust": 225.0},
    "fullest cup, front taped long": {**FULLEST, "front_waist": 600.0},
    "front taped": {**MIDDLE, "front_waist": 462.0, "neck_bust": 268.0},
    "front taped short": {**MIDDLE, "front_waist": 447.0, "neck_bust": 268.0},
    "under bust taped": {**MIDDLE, "shoulder_underbust": 350.0},
}  # fmt: skip


@lru_cache
def made(name: str) -> dict[str, Any]:
    """Pieces by part, warnings under `said`."""
    return drafted(BODIES[name], lining=False, facings=False, skirt="none")


def depth_of(name: str) -> float:
    """D as drawn; `test_underarm` holds it to the rule wherever the governor did not move it."""
    return float(made(name)["back"]["levels"]["underarm"]) - 1.0


MOVED = {
    "thick neck", "narrow shoulders", "full cup", "fuller cup", "narrow back", "low bust, small waist", "fullest cup",
    "fullest cup, front taped long",
}  # fmt: skip
"""Bodies whose armhole the rule leaves too small or too large for the arm."""


def ease_of(name: str) -> float:
    """Ease at the bust: the style's, or what the governor says it gave instead."""
    found = re.search(r"Bust ease is (\d+) mm instead of 45 mm", made(name)["said"])
    return float(found[1]) if found else by_hand.EASE_BUST


ALL = pytest.mark.parametrize("name", BODIES)


@ALL
def test_underarm(name: str) -> None:
    """D and its level line 1 mm lower (so that it lies on the piece); moved by the governor on these bodies and on no other."""
    assert ("underarm lies" in made(name)["said"]) == (name in MOVED)
    if name not in MOVED:
        assert depth_of(name) == pytest.approx(by_hand.underarm(BODIES[name]), abs=NEAR)
    assert edge(made(name)["back"], "armhole")[-1][1] == pytest.approx(depth_of(name), abs=NEAR)


@ALL
def test_necks_and_shoulders(name: str) -> None:
    """Neck points, slopes and lengths of 3.1; the front's neck hangs k over the bust line."""
    card, back, front = BODIES[name], made(name)["back"], made(name)["front"]
    tops, (_, bust_y) = by_hand.shoulder(card), by_hand.bust_level(card, depth_of(name))
    assert edge(back, "neck")[-1] == pytest.approx((tops.n, -tops.r), abs=NEAR)
    assert edge(back, "shoulder")[-1] == pytest.approx(tops.back_tip, abs=NEAR)
    neck_y = bust_y - by_hand.neck_to_bust(card)
    assert edge(front, "neck")[-1] == pytest.approx((tops.n, neck_y), abs=NEAR)
    assert edge(front, "shoulder")[-1] == pytest.approx((tops.s, neck_y + tops.front_fall), abs=NEAR)
    assert edge(front, "neck")[0][1] - neck_y == pytest.approx(card["neck"] / 5 + 6, abs=NEAR)  # Ingalls, French lining draft: 1/4 in


@ALL
def test_levels(name: str) -> None:
    """Bust, under bust, side waist 10 below the centre back's."""
    card, back = BODIES[name], made(name)["back"]
    _, bust_y = by_hand.bust_level(card, depth_of(name))
    assert back["levels"]["bust"] == pytest.approx(bust_y, abs=NEAR)
    assert back["levels"]["underbust"] == pytest.approx(by_hand.underbust_level(card, bust_y), abs=NEAR)
    assert edge(back, "side")[-1][1] == pytest.approx(card["nape_waist"] + 10, abs=NEAR)
    assert edge(back, "waist")[-1][1] == pytest.approx(card["nape_waist"], abs=NEAR)


@ALL
def test_bust_dart(name: str) -> None:
    """Both tops of the princess seam lie equally far from the bust point, theta apart: R(P, theta)."""
    card = BODIES[name]
    turn, bust_y = by_hand.bust_level(card, depth_of(name))
    about = card["bust_span"] / 2, bust_y
    tops = edge(made(name)["front"], "princess")[0], edge(made(name)["front_side"], "princess")[-1]
    (x1, y1), (x2, y2) = ((x - about[0], y - about[1]) for x, y in tops)
    assert dist((x1, y1), (0, 0)) == pytest.approx(dist((x2, y2), (0, 0)), abs=NEAR)
    assert degrees(atan2(y2, x2) - atan2(y1, x1)) == pytest.approx(turn, abs=0.05)  # 0.1 mm at 130 mm


@ALL
def test_quarters(name: str) -> None:
    """Quarter bust at the bust line (what the centre back takes there is given back), sewn waists, the side inset of both."""
    card, back = BODIES[name], made(name)["back"]
    wanted, (_, bust_y) = by_hand.widths(card, ease_of(name)), by_hand.bust_level(card, depth_of(name))
    side = edge(made(name)["front_side"], "side")
    assert at_level(side, bust_y) == pytest.approx(wanted.front, abs=NEAR)
    assert at_level(edge(back, "side"), bust_y) - at_level(edge(back, "opening"), bust_y) == pytest.approx(wanted.back, abs=NEAR)
    assert at_level(side, bust_y) - side[-1][0] == pytest.approx(wanted.side_in, abs=NEAR)
    front_mm = sewn_mm(made(name)["front"], "waist") + sewn_mm(made(name)["front_side"], "waist")
    assert front_mm == pytest.approx(wanted.front_waist, abs=LONG)
    # without a dart nothing takes up what the curve is longer than a straight waist
    assert sewn_mm(back, "waist") == pytest.approx(wanted.back_waist, abs=LONG if back["darts"] else 2 * LONG)


@ALL
def test_centre_back(name: str) -> None:
    """In at the waist by a quarter of what side and darts leave, a parabola from 0.55 of the armhole depth (not above the neck + 5)."""
    wanted, opening = by_hand.widths(BODIES[name], ease_of(name)), edge(made(name)["back"], "opening")
    taken = wanted.back - wanted.back_waist - wanted.side_in
    assert opening[0][0] == pytest.approx(by_hand.held(0.25 * taken, 0, 14), abs=NEAR)
    start, waist_y = 0.55 * depth_of(name), BODIES[name]["nape_waist"]
    for share in (0.3, 0.6, 0.9):  # of the way down the parabola: x = in times the square of it
        assert at_level(opening, start + share * (waist_y - start)) == pytest.approx(opening[0][0] * share**2, abs=NEAR)


@ALL
def test_armholes(name: str) -> None:
    """Back: vertical 55 % down at the narrowest of across_back/2 + 4, tip + 4, underarm - 34. Front, cut there by the princess seam:
    56 % down with the dart closed, the narrowest of tip - 14, closed underarm - 26, back's - 6."""
    card = BODIES[name]
    hole, tip = edge(made(name)["back"], "armhole"), edge(made(name)["back"], "shoulder")[-1]
    x = min(card["across_back"] / 2 + 4, tip[0] + 4, hole[-1][0] - 34)
    y = tip[1] + 0.55 * (hole[-1][1] - tip[1])
    assert min(dist((x, y), point) for point in hole) < NEAR
    assert min(point[0] for point in hole if abs(point[1] - y) < 6) == pytest.approx(x, abs=NEAR)
    turn, bust_y = by_hand.bust_level(card, depth_of(name))
    lower, front_tip = edge(made(name)["front_side"], "armhole"), edge(made(name)["front"], "shoulder")[-1]
    away = complex(*lower[-1]) - complex(card["bust_span"] / 2, bust_y)
    closed = complex(card["bust_span"] / 2, bust_y) + away * complex(cos(radians(turn)), -np.sin(radians(turn)))
    wanted = min(front_tip[0] - 14, closed.real - 26, x - 6), front_tip[1] + 0.56 * (closed.imag - front_tip[1])
    assert edge(made(name)["front"], "armhole")[-1] == pytest.approx(wanted, abs=NEAR)


@ALL
def test_back_dart_tip(name: str) -> None:
    """At bust level on the middle of the quarter, or at 0.38 and 0.70 of it, the second 15 lower; not within 60 of the waist."""
    back, darts = made(name)["back"], made(name)["back"]["darts"]
    bust_y, waist_y = back["levels"]["bust"], BODIES[name]["nape_waist"]
    reach = at_level(edge(back, "side"), bust_y)
    top = back["levels"]["underbust"] if darts and darts[0]["legs"][1][1] > bust_y + 1 else bust_y  # lower where the underbust wants it
    for place, (dart, share) in enumerate(zip(darts, (0.5,) if len(darts) == 1 else (0.38, 0.70), strict=True) if darts else ()):
        assert dart["legs"][1] == pytest.approx((share * reach, min(top + 15 * place, waist_y - 60)), abs=NEAR)


BACK_TAPED = [name for name, card in BODIES.items() if "front_waist" not in card]


def front_by_hand(card: Card) -> tuple[float, float]:
    """(FW = NB + Y - y_b, y_b), before the governor."""
    _, bust_y = by_hand.bust_level(card, by_hand.underarm(card))
    return card["neck_bust"] + card["nape_waist"] + 10 - bust_y, bust_y


def is_free(card: Card) -> bool:
    """The bust line is held neither by the underarm nor by the waist: then the way back is one."""
    return by_hand.underarm(card) + 4.5 < front_by_hand(card)[1] < card["nape_waist"] - 65.5


@pytest.mark.parametrize("name", BACK_TAPED)
def test_the_front_half_length_worked_out_from_the_back(name: str) -> None:
    """Section 2."""
    card = BODIES[name]
    assert complete_measures(card, "waist").mm("front_waist") == pytest.approx(front_by_hand(card)[0], abs=NEAR)


@pytest.mark.parametrize("name", [name for name in BACK_TAPED if is_free(BODIES[name])])
def test_the_back_half_length_worked_out_from_the_front(name: str) -> None:
    """NW = y_b + FW - NB - 10 (section 2). 0.5 mm: the rounds shrink to that."""
    card = BODIES[name]
    without = {key: mm for key, mm in card.items() if key != "nape_waist"} | {"front_waist": front_by_hand(card)[0]}
    assert complete_measures(without, "waist").mm("nape_waist") == pytest.approx(card["nape_waist"], abs=0.5)
