"""The numbers that bodice, skirt and sleeve share: widths, levels, ease and the bust balance. Frames and formulas of the draft, mm.

Nape at (0, 0), x out, y down. Angles in radians inside, degrees in the formulas as written. Where no source stands
beside a number it is our own derivation, tried on real bodies; the trade's practice is named where it is followed.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import radians, sqrt

from projector.body.balance import (
    BACK_SHOULDER_EASE_MM,
    RAISE_MM,
    THETA_LEAST_DEG,
    THETA_MOST_DEG,
    armhole_depth_mm,
    clamp,
    closed_bust_level_mm,
    cup_turn_deg,
    front_more_mm,
    front_waist_more_mm,
    held_bust_level_mm,
    shoulders_of,
)
from projector.body.stand_ins import scye_depth_by_bust_mm
from projector.draft.adjust import NO_CHANGE, Adjust
from projector.draft.curve import NoRoot, direction, root, unit
from projector.draft.panel import DraftRefused
from projector.draft.style import Style

FLATTENED_BUST_MM, FLATTENED_WAIST_MM = 0.11, 0.02
"""What flattened curves take from a whole girth, given back: no girth falls short of the ease asked for."""

FULL_CUP_MM, FRONT_HIGHER_MM = 100.0, 5.0
"""Over a cup from the first up the front stands the second higher than the back, neck point over the waist. Ours."""


@dataclass(frozen=True, slots=True)
class Tuning:
    """What the armhole governor has changed so far; all zero to begin with."""

    underarm_mm: float = 0.0
    bust_mm: float = 0.0
    is_back_dart_low: bool = False
    is_bust_held: bool = False
    """The underarm had to go below what the bust level wants: the bust line follows it."""


@dataclass(frozen=True, slots=True)
class Frame:
    """Widths and levels of one body in one ease, quarters in mm."""

    neck_half: float
    neck_rise: float
    front_slope: float
    back_slope: float
    front_shoulder_length: float
    underarm_y: float
    back_waist_y: float
    side_waist_y: float
    cup: float
    front_bust: float
    back_bust: float
    front_waist: float
    back_waist: float
    side_in: float
    bust_x: float
    drop_to_bust: float
    bust_turn: float
    bust_y: float
    bust_y_wanted: float
    underbust_y: float
    adjust: Adjust = NO_CHANGE

    @property
    def bust_point(self) -> complex:
        """BP."""
        return complex(self.bust_x, self.bust_y)

    @property
    def back_neck_point(self) -> complex:
        """Side neck of the back, before any widening."""
        return complex(self.neck_half, -self.neck_rise)

    @property
    def front_neck_point(self) -> complex:
        """Side neck of the front, before any widening."""
        return complex(self.neck_half, self.bust_y - self.drop_to_bust)

    @property
    def front_higher(self) -> float:
        """How much higher the front's neck point stands than the back's, mm."""
        return self.back_neck_point.imag - self.front_neck_point.imag

    @property
    def back_shoulder_tip(self) -> complex:
        """Shoulder point of the back; its seam is eased into the front's."""
        back_mm = self.front_shoulder_length + BACK_SHOULDER_EASE_MM
        if not self.adjust.shoulder_tip:
            return self.back_neck_point + back_mm * direction(self.back_slope)
        # A tip moved at a fitting changes both lengths, unlike on unlike slopes: the back's is the front's and its ease again.
        front_mm = abs(self.front_shoulder_tip - self.front_neck_point)
        return self.back_neck_point + (front_mm + BACK_SHOULDER_EASE_MM) * unit(
            back_mm * direction(self.back_slope) - 1j * self.adjust.shoulder_tip
        )

    @property
    def front_shoulder_tip(self) -> complex:
        """Shoulder point of the front."""
        return self.front_neck_point + self.front_shoulder_length * direction(self.front_slope) - 1j * self.adjust.shoulder_tip

    @property
    def front_shoulder(self) -> complex:
        """Unit direction of the front shoulder outward."""
        return unit(self.front_shoulder_tip - self.front_neck_point)

    @property
    def back_shoulder(self) -> complex:
        """Unit direction of the back shoulder outward."""
        return unit(self.back_shoulder_tip - self.back_neck_point)


def _widths(measures: Mapping[str, float], style: Style, tuning: Tuning) -> tuple[float, float, float, float, float]:
    """Front and back quarter bust, front and back waist need, side inset."""
    ease = style.eases
    bust = (measures["bust"] + ease.bust_mm + tuning.bust_mm + FLATTENED_BUST_MM) / 4
    waist = (measures["waist"] + ease.waist_mm + FLATTENED_WAIST_MM) / 4
    cup = measures["bust"] - measures["underbust"]
    f = front_more_mm(cup)
    # Waist larger than bust: both quarters flare alike, so that no dart remains in one and none in the other.
    g = f if measures["waist"] > measures["bust"] else front_waist_more_mm(cup)
    front, back = bust + f - waist - g, bust - f - waist + g
    total = front + back
    side_in = min(0.15 * total, 32, front, back) if total >= 0 else min(front, back)
    return bust + f, bust - f, waist + g, waist - g, side_in


def _balance(measures: Mapping[str, float], widths: "_Balance") -> tuple[float, float]:
    """Bust dart angle (radians) and the bust level wanted, before clamping."""
    if "front_waist" in measures:
        bust_y = widths.side_waist_y - (measures["front_waist"] - measures["neck_bust"])
        least, most = radians(THETA_LEAST_DEG), radians(THETA_MOST_DEG)
        try:
            return root(lambda t: widths.level(t) - bust_y, least, most), bust_y
        except NoRoot:
            return min((least, most), key=lambda t: abs(widths.level(t) - bust_y)), bust_y
    turn = radians(cup_turn_deg(measures["bust"] - measures["underbust"]))
    return turn, widths.level(turn)


@dataclass(frozen=True, slots=True)
class _Balance:
    """The closing condition: dart closed, front armhole depth = back armhole depth - 22."""

    underarm_y: float
    side_waist_y: float
    drop_to_bust: float
    reach: float
    shoulder_fall: float
    back_depth: float

    def level(self, turn: float) -> float:
        """Bust level for a dart of `turn` radians."""
        return closed_bust_level_mm(turn, self.underarm_y, self.drop_to_bust, self.reach, self.shoulder_fall, self.back_depth)


def _drop_to_bust(neck_bust: float, across: float) -> float:
    """Height of the side neck over the bust point from the slanting measure."""
    if neck_bust <= abs(across) + 60:
        raise DraftRefused(
            "The bust point cannot be placed.",
            f"Shoulder to nipple {neck_bust:.0f} mm is too short for a bust point {abs(across):.0f} mm further out than the neck.",
            "Measure shoulder to nipple and nipple to nipple again.",
        )
    return sqrt(neck_bust**2 - across**2)


def underarm_level(measures: Mapping[str, float], tuning: Tuning) -> float:
    """Depth of the underarm below the nape; given scye depth, or B/12 + 120, held between 0.42 and 0.57 of nape to waist."""
    depth = measures.get("scye_depth", scye_depth_by_bust_mm(measures["bust"]))
    return armhole_depth_mm(depth, measures["nape_waist"]) + tuning.underarm_mm


def frame_of(measures: Mapping[str, float], style: Style, tuning: Tuning) -> Frame:
    """All shared numbers. `measures` in mm, complete but for front_waist and shoulder_underbust.

    Raises DraftRefused where the bust point cannot be placed.
    """
    shoulders = shoulders_of(measures["neck"], measures["shoulder_width"], measures["shoulder_drop"])
    front_bust, back_bust, front_waist, back_waist, side_in = _widths(measures, style, tuning)
    underarm = underarm_level(measures, tuning)
    waist_y = measures["nape_waist"] + RAISE_MM
    bust_x = measures["bust_span"] / 2
    drop = _drop_to_bust(measures["neck_bust"], bust_x - shoulders.neck_half)
    balance = _Balance(underarm, waist_y, drop, front_bust - bust_x, shoulders.front_fall, underarm - shoulders.back_tip_y)
    turn, wanted = _balance(measures, balance)
    bust_y = held_bust_level_mm(wanted, underarm, waist_y)
    cup = measures["bust"] - measures["underbust"]
    low = measures.get("shoulder_underbust")
    below = clamp(45 + 0.15 * cup, 50, max(50, 0.5 * (waist_y - bust_y))) if low is None else low - measures["neck_bust"]
    return Frame(
        neck_half=shoulders.neck_half, neck_rise=shoulders.neck_rise,
        front_slope=shoulders.front_slope, back_slope=shoulders.back_slope, front_shoulder_length=shoulders.length,
        underarm_y=underarm, back_waist_y=measures["nape_waist"], side_waist_y=waist_y,
        cup=cup, front_bust=front_bust, back_bust=back_bust, front_waist=front_waist, back_waist=back_waist, side_in=side_in,
        bust_x=bust_x, drop_to_bust=drop, bust_turn=turn, bust_y=bust_y, bust_y_wanted=wanted,
        underbust_y=bust_y + clamp(below, 20, waist_y - bust_y - 15),
    )  # fmt: skip
