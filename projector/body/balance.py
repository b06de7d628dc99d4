"""Bust balance: how the bust dart, the bust level and the two half lengths hang together. mm, degrees, y down from the nape.

Own derivation (the drafting specification, 3.1, 3.3, 3.11): with the bust dart closed the front armhole is 22 mm shallower
than the back's. The body stage needs it to work out one half length from the other and to compare a measured front
length with the cup.
"""

from dataclasses import dataclass
from math import cos, degrees, radians, sin, sqrt, tan

BUST_EASE_MM = 45.0
RAISE_MM = 10.0
"""The waist at the side lies this much below the centre back's: the trade's raised back waist (common practice; amount ours)."""
ARMHOLE_BALANCE_MM = 22.0
"""Closed front armhole shallower than the back's."""
THETA_LEAST_DEG, THETA_MOST_DEG = 3.0, 38.0
ABOVE_WAIST_MM, BELOW_ARMHOLE_MM = 75.0, 4.0
"""The bust level is held between these: over the waist at the side, under the armhole line."""
UNSEEN_MM = 3.0
"""The bust level is moved by less than this without a word."""
BACK_SHOULDER_EASE_MM = 6.0
"""Back shoulder longer than front, eased in: 1/4 in, Every Woman's Encyclopaedia."""


def clamp(value: float, low: float, high: float) -> float:
    """Value held between low and high."""
    return min(max(value, low), high)


def cup_turn_deg(cup_mm: float) -> float:
    """Bust dart angle from bust minus underbust (own line, softer than textbooks by about 4 degrees)."""
    return clamp(4 + 0.08 * cup_mm, 5, 30)


def front_more_mm(cup_mm: float) -> float:
    """How much more than a quarter of the bust the front takes; the back takes as much less."""
    return clamp(6 + (cup_mm - 100) / 6, 4, 30)


def front_waist_more_mm(cup_mm: float) -> float:
    """The same at the waist."""
    return clamp(front_more_mm(cup_mm) / 2, 2, 7)


def armhole_depth_mm(scye_depth_mm: float, nape_waist_mm: float) -> float:
    """Underarm below the nape, held to what its back length allows."""
    return clamp(scye_depth_mm, 0.42 * nape_waist_mm, 0.57 * nape_waist_mm)


def held_bust_level_mm(level_mm: float, armhole_mm: float, side_waist_mm: float) -> float:
    """The bust level held between armhole and waist; all three y from the nape."""
    return clamp(level_mm, armhole_mm + BELOW_ARMHOLE_MM, side_waist_mm - ABOVE_WAIST_MM)


@dataclass(frozen=True, slots=True)
class Shoulders:
    """Neck and shoulders before any widening, mm and radians. `half`: nape to shoulder bone, level."""

    neck_half: float
    neck_rise: float
    front_slope: float
    back_slope: float
    half: float

    @property
    def length(self) -> float:
        """The front's seam."""
        return (self.half - self.neck_half) / cos(self.front_slope)

    @property
    def front_fall(self) -> float:
        """Front shoulder tip below the side neck."""
        return (self.half - self.neck_half) * tan(self.front_slope)

    @property
    def back_tip_y(self) -> float:
        """Back shoulder tip, y from the nape."""
        return -self.neck_rise + (self.length + BACK_SHOULDER_EASE_MM) * sin(self.back_slope)


def shoulders_of(neck_mm: float, width_mm: float, drop_mm: float) -> Shoulders:
    """From round neck, shoulder width bone to bone and shoulder drop."""
    neck_half = clamp(neck_mm / 5, 58, 96)
    slope = clamp(20 + degrees((drop_mm - 60) / 135), 13, 27)  # 135: half shoulder of the mean woman
    half = max(width_mm / 2, neck_half + 55)
    return Shoulders(neck_half, clamp(neck_half / 3, 18, 30), radians(slope + 2), radians(slope - 2), half)


def closed_bust_level_mm(
    turn: float, underarm_y: float, drop_to_bust: float, reach: float, shoulder_fall: float, back_depth: float
) -> float:
    """The closing condition: dart of `turn` radians closed, front armhole depth = back armhole depth - ARMHOLE_BALANCE_MM.

    drop_to_bust: side neck over the bust point; reach: quarter bust beyond the bust point; shoulder_fall: front shoulder tip
    below the side neck; back_depth: underarm below the back shoulder tip. Returns the bust level, y from the nape.
    """
    rest = drop_to_bust - reach * sin(turn) - shoulder_fall - back_depth + ARMHOLE_BALANCE_MM
    return underarm_y + rest / cos(turn)


@dataclass(frozen=True, slots=True)
class Balance:
    """The measures that the balance needs, mm."""

    bust: float
    underbust: float
    neck: float
    shoulder_width: float
    shoulder_drop: float
    neck_bust: float
    bust_span: float
    scye_depth: float

    @property
    def theta_from_cup_deg(self) -> float:
        """Bust dart of this cup."""
        return cup_turn_deg(self.bust - self.underbust)

    @property
    def neck_to_bust_level_mm(self) -> float:
        """k: the bust point below the front neck point."""
        across = self.bust_span / 2 - self._shoulders.neck_half
        return sqrt(max(self.neck_bust**2 - across**2, 1.0))

    @property
    def _shoulders(self) -> Shoulders:
        return shoulders_of(self.neck, self.shoulder_width, self.shoulder_drop)

    def armhole_depth_mm(self, nape_waist_mm: float | None) -> float:
        """D, clamped by the back length once that is known."""
        return self.scye_depth if nape_waist_mm is None else armhole_depth_mm(self.scye_depth, nape_waist_mm)

    def bust_level_mm(self, theta_deg: float, armhole_depth_mm: float) -> float:
        """y_b of the closing condition for one bust dart angle, before any clamp."""
        shoulders = self._shoulders
        quarter = (self.bust + BUST_EASE_MM) / 4 + front_more_mm(self.bust - self.underbust)
        reach, back_depth = quarter - self.bust_span / 2, armhole_depth_mm - shoulders.back_tip_y
        drop = self.neck_to_bust_level_mm
        return closed_bust_level_mm(radians(theta_deg), armhole_depth_mm, drop, reach, shoulders.front_fall, back_depth)

    def nape_waist_from_front_mm(self, front_waist_mm: float, nape_waist_mm: float | None) -> float:
        """One round of NW = y_b + FW - NB - raise; `nape_waist_mm` from the round before, None at first."""
        level = self.bust_level_mm(self.theta_from_cup_deg, self.armhole_depth_mm(nape_waist_mm))
        return level + front_waist_mm - self.neck_bust - RAISE_MM

    def front_waist_from_back_mm(self, nape_waist_mm: float) -> float:
        """Implied FW = NB + Y - y_b, with y_b held between armhole and waist."""
        depth, side_waist = self.armhole_depth_mm(nape_waist_mm), nape_waist_mm + RAISE_MM
        level = self.bust_level_mm(self.theta_from_cup_deg, depth)
        return self.neck_bust + side_waist - held_bust_level_mm(level, depth, side_waist)

    def theta_from_lengths_deg(self, front_waist_mm: float, nape_waist_mm: float) -> float:
        """The bust dart for which both half lengths agree; the nearest end of 3-38 degrees when none does."""
        depth = self.armhole_depth_mm(nape_waist_mm)
        wanted = nape_waist_mm + RAISE_MM - (front_waist_mm - self.neck_bust)
        low, high = THETA_LEAST_DEG, THETA_MOST_DEG
        if self.bust_level_mm(low, depth) <= wanted:
            return low
        if self.bust_level_mm(high, depth) >= wanted:
            return high
        for _ in range(60):
            middle = (low + high) / 2
            low, high = (middle, high) if self.bust_level_mm(middle, depth) > wanted else (low, middle)
        return (low + high) / 2
