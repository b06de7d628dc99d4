"""The drafting specification worked out by hand (2, 3.1 to 3.3, 3.11), every number typed from its page. mm, y down from the nape.

Shares nothing with the product. Origins of the numbers, as the specification gives them: neck/5 from a published block (motley-muse);
1/4 in of shoulder ease (Every Woman's Encyclopaedia); ease 45 and 22 (Central Washington University); all else own derivation or common
practice, no source. The tests that read them back hold the draft to its written rules; that the rules fit a body is another question.
"""

from dataclasses import dataclass
from math import cos, radians, sin, sqrt, tan

Card = dict[str, float]
EASE_BUST, EASE_WAIST = 45.0, 22.0


def held(value: float, low: float, high: float) -> float:
    """Between low and high."""
    return sorted((low, value, high))[1]


@dataclass(frozen=True, slots=True)
class Shoulder:
    """Neck half width n, rise r, half shoulder s, angle a in degrees before the 2 degrees that front and back differ by."""

    n: float
    r: float
    s: float
    a: float

    @property
    def front_mm(self) -> float:
        """(s - n)/cos(a + 2)."""
        return (self.s - self.n) / cos(radians(self.a + 2))

    @property
    def front_fall(self) -> float:
        """Tip under the front neck point."""
        return (self.s - self.n) * tan(radians(self.a + 2))

    @property
    def back_tip(self) -> tuple[float, float]:
        """Back neck (n, -r) and 6 more than the front's length at a - 2."""
        long, turn = self.front_mm + 6, radians(self.a - 2)
        return self.n + long * cos(turn), -self.r + long * sin(turn)


def shoulder(card: Card) -> Shoulder:
    """Section 3.1."""
    n = held(card["neck"] / 5, 58, 96)
    a = held(20 + (card["shoulder_drop"] - 60) / 135 * 57.29578, 13, 27)
    return Shoulder(n, held(n / 3, 18, 30), max(card["shoulder_width"] / 2, n + 55), a)


@dataclass(frozen=True, slots=True)
class Widths:
    """Quarter bust and waist need, front and back; the side inset sigma of both."""

    front: float
    back: float
    front_waist: float
    back_waist: float
    side_in: float


def widths(card: Card, ease_bust: float = EASE_BUST) -> Widths:
    """Sections 3.1 and 3.2, standard ease; `ease_bust`: what the governor raised it to."""
    cup = card["bust"] - card["underbust"]
    f = held(6 + (cup - 100) / 6, 4, 30)
    g = f if card["waist"] > card["bust"] else held(f / 2, 2, 7)
    bust, waist = (card["bust"] + ease_bust) / 4, (card["waist"] + EASE_WAIST) / 4
    front, back = bust + f - waist - g, bust - f - waist + g
    whole = 0.15 * (front + back)
    side = min(whole, 32.0, front, back) if front + back >= 0 else min(front, back)
    return Widths(bust + f, bust - f, waist + g, waist - g, side)


def underarm(card: Card) -> float:
    """D before the governor."""
    return held(card.get("scye_depth", card["bust"] / 12 + 120), 0.42 * card["nape_waist"], 0.57 * card["nape_waist"])


def cup_turn(card: Card) -> float:
    """theta from the cup, degrees."""
    return held(4 + 0.08 * (card["bust"] - card["underbust"]), 5, 30)


def neck_to_bust(card: Card) -> float:
    """k: the bust point under the front neck point."""
    across = card["bust_span"] / 2 - shoulder(card).n
    return sqrt(card["neck_bust"] ** 2 - across**2)


def wanted_bust_level(card: Card, turn_deg: float, depth: float) -> float:
    """The closing condition of section 3.3, before it is held: the closed front armhole is 22 shallower than the back's."""
    tops, theta = shoulder(card), radians(turn_deg)
    reach = widths(card).front - card["bust_span"] / 2
    rest = neck_to_bust(card) - reach * sin(theta) - tops.front_fall - (depth - tops.back_tip[1]) + 22
    return depth + rest / cos(theta)


def bust_level(card: Card, depth: float) -> tuple[float, float]:
    """(theta in degrees, y_b): from the cup, or from a measured front length, theta then between 3 and 38; y_b held."""
    side_waist = card["nape_waist"] + 10
    if "front_waist" not in card:
        turn = cup_turn(card)
        return turn, held(wanted_bust_level(card, turn, depth), depth + 4, side_waist - 75)
    level = side_waist - (card["front_waist"] - card["neck_bust"])
    low, high = 3.0, 38.0
    ends = [wanted_bust_level(card, turn, depth) - level for turn in (low, high)]
    if ends[0] * ends[1] > 0:
        turn = low if abs(ends[0]) < abs(ends[1]) else high
    else:
        for _ in range(50):
            turn = (low + high) / 2
            is_low = (wanted_bust_level(card, turn, depth) - level) * ends[0] > 0
            low, high = (turn, high) if is_low else (low, turn)
    return turn, held(level, depth + 4, side_waist - 75)


def underbust_level(card: Card, bust_y: float) -> float:
    """Section 3.11, with its own guard of 20 mm under the bust and 15 above the waist."""
    to_waist = card["nape_waist"] + 10 - bust_y
    if "shoulder_underbust" in card:
        below = card["shoulder_underbust"] - card["neck_bust"]
    else:
        below = held(45 + 0.15 * (card["bust"] - card["underbust"]), 50, max(50, 0.5 * to_waist))
    return bust_y + held(below, 20, to_waist - 15)
