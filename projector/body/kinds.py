"""Every measure there is: key, ISO 8559 name, trade word, how to take it, the plausible range in mm.

One row per measure. Ranges and how-to lines: the drafting specification, "Measurements" (plausible bodies, own limits);
names: ISO 8559-1:2017 terms where it has one. Shop keys: common practice, no source.
"""

from dataclasses import dataclass
from typing import Literal

Sort = Literal["girth", "length", "width"]


@dataclass(frozen=True, slots=True)
class MeasureKind:
    """What is known of one measure, whoever's it is. `shop`: only on a shop's card, turned into another key."""

    key: str
    trade: str
    iso: str
    how: str
    low_mm: float
    high_mm: float
    sort: Sort
    shop: bool = False


KINDS: tuple[MeasureKind, ...] = (
    MeasureKind("bust", "round bust", "Bust girth", "level over the fullest points, bra on, arms down", 600, 1800, "girth"),
    MeasureKind("underbust", "round under bust", "Underbust girth", "level right under the breasts, snug", 520, 1550, "girth"),
    MeasureKind("waist", "round waist", "Waist girth", "tie a string, bend sideways, measure where it settles", 450, 1800, "girth"),
    MeasureKind("hip", "round hip", "Hip girth", "level over the fullest seat", 650, 1900, "girth"),
    MeasureKind("nape_waist", "back half length", "Cervical to waist, back", "neck bone to string", 290, 520, "length"),
    MeasureKind("stature", "height", "Stature", "against a wall, no shoes", 1200, 2100, "length"),
    MeasureKind("neck", "round neck", "Neck-base girth", "round the root of the neck, over the neck bone", 280, 520, "girth"),
    MeasureKind("shoulder_width", "shoulder", "Shoulder width", "bone to bone across the back, over the neck bone", 270, 520, "width"),
    MeasureKind("across_back", "across back", "Back width", "armhole to armhole, half way down it, arms relaxed", 250, 520, "width"),
    MeasureKind("neck_bust", "shoulder to nipple", "Neck shoulder point to breast point", "side of neck to bust point", 200, 420, "length"),
    MeasureKind("bust_span", "nipple to nipple", "Breast-point width", "straight between the points", 120, 330, "width"),
    MeasureKind(
        "front_waist",
        "front half length",
        "Neck shoulder to waist, front",
        "side of neck, over the bust point, to the string",
        330,
        650,
        "length",
    ),
    MeasureKind("upper_arm", "round arm", "Upper arm girth", "fullest part, arm hanging", 160, 600, "girth"),
    MeasureKind("wrist", "round wrist", "Wrist girth", "over the bone", 110, 260, "girth"),
    MeasureKind("arm_length", "sleeve length", "Arm length", "shoulder bone, bent elbow, wrist bone", 380, 750, "length"),
    MeasureKind("waist_hip", "waist to hip", "Waist to hips", "down the side, string to fullest seat", 110, 320, "length"),
    MeasureKind("waist_knee", "waist to knee", "Waist to knee", "string to the middle of the knee-cap, at the side", 400, 800, "length"),
    MeasureKind("waist_floor", "waist to floor", "Waist height", "string to the floor, in her shoes if known", 750, 1300, "length"),
    MeasureKind("scye_depth", "armhole depth", "Scye depth", "neck bone to the level of a card held in the armpits", 110, 290, "length"),
    MeasureKind(
        "shoulder_drop", "shoulder drop", "Neck to shoulder drop", "level from the neck bone, down to the shoulder bone", 8, 115, "length"
    ),
    MeasureKind(
        "round_shoulders", "round both arms", "Shoulder girth", "level round chest and both upper arms, arms hanging", 750, 2000, "girth"
    ),
    MeasureKind("half_length", "half length", "", "shoulder at the neck, over the bust, to the string", 330, 650, "length", True),
    MeasureKind(
        "front_half_length", "front half length", "", "shoulder at the neck, over the bust, to the string", 330, 650, "length", True
    ),
    MeasureKind("back_half_length", "back half length", "", "neck bone, down the back, to the string", 290, 520, "length", True),
    MeasureKind("shoulder_bust", "shoulder to bust", "", "shoulder at the neck to the bust point", 200, 420, "length", True),
    MeasureKind(
        "shoulder_underbust", "shoulder to under bust", "", "shoulder at the neck, over the bust, to under it", 240, 560, "length", True
    ),
    MeasureKind("shoulder_hip", "hip line", "", "shoulder at the neck, over the bust, to the fullest seat", 460, 940, "length", True),
    MeasureKind("shoulder_knee", "knee length", "", "shoulder at the neck, over the bust, to the knee", 760, 1420, "length", True),
    MeasureKind(
        "full_length", "full length", "", "shoulder at the neck (or the waist: say so on the card) to the floor", 750, 1900, "length", True
    ),
    MeasureKind("round_sleeve", "round sleeve", "", "round the arm where the sleeve ends", 110, 700, "girth", True),
    MeasureKind(
        "neck_depth", "neck depth", "", "shoulder at the neck straight down to where the front neck shall end", 30, 380, "length", True
    ),
    MeasureKind(
        "neck_width", "neck width", "", "from the centre out to where the neck shall begin on the shoulder", 40, 220, "width", True
    ),
)

BY_KEY: dict[str, MeasureKind] = {kind.key: kind for kind in KINDS}


def named(key: str) -> str:
    """`Round bust (bust)`: as the shop says it and as the card has it."""
    return f"{BY_KEY[key].trade.capitalize()} ({key})"


TORSO_GIRTHS = ("bust", "underbust", "waist", "hip")

SAME_AS: dict[str, str] = {
    "half_length": "front_waist",
    "front_half_length": "front_waist",
    "back_half_length": "nape_waist",
    "shoulder_bust": "neck_bust",
}
"""Shop keys that are another name for a measure of the table."""

BODY_LENGTHS: frozenset[str] = frozenset({"stature", "nape_waist", "front_waist", "half_length", "front_half_length", "back_half_length"})
"""Of these one is enough to draft a bodice: the height, or a half length by either name."""

FROM_SHOULDER: dict[str, str] = {"shoulder_hip": "waist_hip", "shoulder_knee": "waist_knee", "full_length": "waist_floor"}
"""Shop keys that run over the front half length first."""

STAND_IN_ERROR_MM: dict[str, float | None] = {
    "underbust": None, "nape_waist": 23, "neck": 15, "shoulder_width": 18, "across_back": 23, "neck_bust": None, "bust_span": None,
    "upper_arm": 20, "wrist": 7, "arm_length": 18, "waist_hip": 22, "waist_knee": 18, "waist_floor": 21,
    "scye_depth": 15, "shoulder_drop": 13, "round_shoulders": 36,
}  # fmt: skip
"""Standard deviation of rule minus measured over 1,986 women (the drafting specification), of `round_shoulders` over 260 (openintro
`bdims`); None: no data, unknown."""
