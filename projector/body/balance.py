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


def _clamp(value: float, low: float, high: float) -> float:
    return max(low, min(high, value))


def cup_turn_deg(cup_mm: float) -> float:
    """Bust dart angle from bust minus underbust (own line, softer than textbooks by about 4 degrees)."""
    return _clamp(4 + 0.08 * cup_mm, 5, 30)


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
        across = self.bust_span / 2 - self._neck_half
        return sqrt(max(self.neck_bust**2 - across**2, 1.0))

    @property
    def _neck_half(self) -> float:
        return _clamp(self.neck / 5, 58, 96)

    def armhole_depth_mm(self, nape_waist_mm: float | None) -> float:
        """D, clamped by the back length once that is known."""
        if nape_waist_mm is None:
            return self.scye_depth
        return _clamp(self.scye_depth, 0.42 * nape_waist_mm, 0.57 * nape_waist_mm)

    def bust_level_mm(self, theta_deg: float, armhole_depth_mm: float) -> float:
        """y_b of the closing condition for one bust dart angle, before any clamp."""
        n = self._neck_half
        slope_deg = _clamp(20 + degrees((self.shoulder_drop - 60) / 135), 13, 27)  # 135: half shoulder of the mean woman
        half_shoulder = max(self.shoulder_width / 2, n + 55)
        front_drop = (half_shoulder - n) * tan(radians(slope_deg + 2))
        back_shoulder = (half_shoulder - n) / cos(radians(slope_deg + 2)) + 6
        back_tip_y = -_clamp(n / 3, 18, 30) + back_shoulder * sin(radians(slope_deg - 2))
        cup = self.bust - self.underbust
        quarter = (self.bust + BUST_EASE_MM) / 4 + _clamp(6 + (cup - 100) / 6, 4, 30)
        reach, back_depth = quarter - self.bust_span / 2, armhole_depth_mm - back_tip_y
        drop = self.neck_to_bust_level_mm
        return closed_bust_level_mm(radians(theta_deg), armhole_depth_mm, drop, reach, front_drop, back_depth)

    def nape_waist_from_front_mm(self, front_waist_mm: float, nape_waist_mm: float | None) -> float:
        """One round of NW = y_b + FW - NB - raise; `nape_waist_mm` from the round before, None at first."""
        level = self.bust_level_mm(self.theta_from_cup_deg, self.armhole_depth_mm(nape_waist_mm))
        return level + front_waist_mm - self.neck_bust - RAISE_MM

    def front_waist_from_back_mm(self, nape_waist_mm: float) -> float:
        """Implied FW = NB + Y - y_b, with y_b held between armhole and waist."""
        depth, side_waist = self.armhole_depth_mm(nape_waist_mm), nape_waist_mm + RAISE_MM
        level = self.bust_level_mm(self.theta_from_cup_deg, depth)
        return self.neck_bust + side_waist - _clamp(level, depth + BELOW_ARMHOLE_MM, side_waist - ABOVE_WAIST_MM)

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
