"""Women scattered like a military survey: 2,000 and more cards as an outside judge would make them, mm.

The survey's 1,986 women (ANSUR II, Gordon et al., NATICK/TR-15/007) are on no package registry. What is published of them
stands below: least, 5 %, mean, 95 %, most of each measure, and of differences between two. Women drawn here have those
marginals (straight between the five in normal scores) and go together by correlations that give the published spreads of
bust - waist and hip - waist (0.85, 0.71); the other correlations are from memory. Lengths without published figures are the
rules of the drafting specification, section 2, with its errors.

`navel`: the survey's waist, at the navel. `natural`: moved up 30 mm and made smaller by 0.915 (drafting specification,
section 7). Shoulder width = 1.04 biacromial, upper arm = 0.95 of the flexed one (assumed, ibid.). Nobody measured underbust,
span or neck to bust: left out, or scattered about their rules with `scatter_cup`.
"""

from typing import Literal

import numpy as np
from numpy.typing import NDArray

from tests.published.size_rows import Card

FIVE: dict[str, tuple[float, float, float, float, float]] = {
    "stature": (1409, 1525, 1628.5, 1740, 1829),
    "bust": (695, 824, 946.9, 1094, 1266),
    "waist": (611, 710, 860.9, 1040, 1334),
    "hip": (798, 901, 1021.2, 1156, 1341),
    "neck": (302, 340, 371.2, 405, 457),
    "biacromial": (283, 335, 365.3, 396, 422),
    "nape_waist": (345, 384, 425.4, 470, 532),
    "biceps": (216, 259, 305.6, 360, 435),
    "wrist": (124, 142, 154.8, 168, 183),
    "arm_length": (410, 497, 543.6, 594, 662),
    "knee_height": (346, 408, 449.0, 493, 540),
    "scye_depth": (113, 133, 156.6, 180, 212),
    "shoulder_drop": (16, 39, 60, 82, 113),
}
"""Least, 5 %, mean (taken as middle), 95 %, most."""

SCORES = (-3.4, -1.645, 0.0, 1.645, 3.4)  # least and most of 1,986
GIRTHS = {
    ("bust", "waist"): 0.85, ("hip", "waist"): 0.71, ("bust", "hip"): 0.76, ("bust", "biceps"): 0.80, ("hip", "biceps"): 0.78,
    ("waist", "biceps"): 0.74, ("bust", "neck"): 0.68, ("waist", "neck"): 0.60, ("hip", "neck"): 0.55, ("neck", "biceps"): 0.62,
    ("bust", "wrist"): 0.52, ("hip", "wrist"): 0.55, ("waist", "wrist"): 0.48, ("neck", "wrist"): 0.55, ("biceps", "wrist"): 0.62,
    ("bust", "biacromial"): 0.35, ("hip", "biacromial"): 0.33, ("wrist", "biacromial"): 0.42, ("neck", "biacromial"): 0.35,
    ("bust", "scye_depth"): 0.18,
}  # fmt: skip
LENGTHS = {
    ("stature", "biacromial"): 0.48, ("stature", "nape_waist"): 0.65, ("stature", "arm_length"): 0.80, ("stature", "knee_height"): 0.87,
    ("arm_length", "knee_height"): 0.78, ("nape_waist", "knee_height"): 0.38, ("nape_waist", "arm_length"): 0.35,
    ("stature", "wrist"): 0.35, ("stature", "hip"): 0.25, ("stature", "bust"): 0.15, ("stature", "waist"): 0.08,
    ("stature", "neck"): 0.2, ("stature", "scye_depth"): 0.35, ("nape_waist", "bust"): 0.25, ("arm_length", "biacromial"): 0.35,
    ("arm_length", "wrist"): 0.35, ("shoulder_drop", "scye_depth"): 0.55,
}  # fmt: skip

Waist = Literal["natural", "navel"]
NATURAL_SHARE, NATURAL_HIGHER_MM = 0.915, 30.0
CUP_MM = {"underbust": 40.0, "bust_span": 10.0, "neck_bust": 15.0}
"""Standard deviations about the rules: drafting specification, section 7, "scattered"."""


def _scores(count: int, chance: np.random.Generator) -> dict[str, NDArray[np.float64]]:
    """Normal scores of every measure for `count` women, correlated."""
    keys = list(FIVE)
    r = np.eye(len(keys))
    for (one, two), value in (GIRTHS | LENGTHS).items():
        i, j = keys.index(one), keys.index(two)
        r[i, j] = r[j, i] = value
    values, vectors = np.linalg.eigh(r)  # made by hand: the nearest matrix that can be one
    near = vectors @ np.diag(np.maximum(values, 1e-3)) @ vectors.T
    scale = np.sqrt(np.diag(near))
    drawn = chance.multivariate_normal(np.zeros(len(keys)), near / np.outer(scale, scale), size=count)
    return {key: np.clip(drawn[:, i], SCORES[0], SCORES[-1]) for i, key in enumerate(keys)}


def _cup(card: Card, chance: np.random.Generator) -> Card:
    bust = card["bust"]
    rules = {"underbust": 0.933 * bust - 84, "bust_span": bust / 5 + 5, "neck_bust": bust / 5 + 85}
    moved = {key: rule + CUP_MM[key] * float(np.clip(chance.normal(), -2.5, 2.5)) for key, rule in rules.items()}
    moved["underbust"] = min(max(moved["underbust"], 525.0), bust - 30)
    moved["neck_bust"] = max(moved["neck_bust"], 205.0)
    return {**card, **moved}


def surveyed(count: int, seed: int, waist: Waist = "natural", scatter_cup: bool = False, with_scye: bool = False) -> list[Card]:
    """`count` women. `with_scye`: with nape to axilla as scye depth, which is shallower than a card held in the armpits."""
    chance = np.random.default_rng(seed)
    scores = _scores(count, chance)
    columns = {key: np.interp(scores[key], SCORES, FIVE[key]) for key in FIVE}
    cards = []
    for i in range(count):
        card = _card({key: float(values[i]) for key, values in columns.items()}, waist, chance)
        if not with_scye:
            del card["scye_depth"]
        cards.append({key: round(mm, 1) for key, mm in (_cup(card, chance) if scatter_cup else card).items()})
    return cards


def _card(one: Card, waist: Waist, chance: np.random.Generator) -> Card:
    """One woman's measures from the survey's columns."""
    up, share = (NATURAL_HIGHER_MM, NATURAL_SHARE) if waist == "natural" else (0.0, 1.0)
    stature = one["stature"]
    floor = 0.62 * stature - NATURAL_HIGHER_MM + 14 * float(chance.normal()) + up
    to_hip = floor - (0.51 * stature + 15 * float(chance.normal()))  # height of the buttocks: 0.51 of stature, from memory
    return {
        "bust": one["bust"], "waist": share * one["waist"], "hip": one["hip"], "stature": stature,
        "nape_waist": one["nape_waist"] - up, "neck": one["neck"], "shoulder_width": 1.04 * one["biacromial"],
        "across_back": one["bust"] / 4 + 137 + 23 * float(np.clip(chance.normal(), -3, 3)),
        "upper_arm": 0.95 * one["biceps"], "wrist": one["wrist"], "arm_length": one["arm_length"],
        "waist_hip": max(to_hip, 115.0), "waist_knee": floor - one["knee_height"], "waist_floor": floor,
        "shoulder_drop": one["shoulder_drop"], "scye_depth": one["scye_depth"],
    }  # fmt: skip


def spread_of(cards: list[Card], key: str) -> tuple[float, float, float]:
    """5 %, middle, 95 % of a girth minus the waist."""
    low, middle, high = np.percentile([card[key] - card["waist"] for card in cards], (5, 50, 95))
    return float(low), float(middle), float(high)
