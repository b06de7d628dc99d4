"""The front with darts only: the bust dart in the side seam, one or two; the waist dart, one or two. Frame as in frame.py, mm.

A dart too wide to lie flat becomes two (pattern-making pages split above 1 in; our limits are wider, a bust is round), both
pointing at the bust point; the side between two side darts is turned by half the bust dart.
"""

from dataclasses import dataclass, replace

from projector.draft.bodice_front import Front
from projector.draft.curve import clamp, direction, smooth, turned, unit
from projector.draft.panel import DraftRefused
from projector.draft.waistline import DartTip, OpenDart, WaistEnds, Waistline, waistline

SIDE_DART_BELOW_UNDERARM_MM = 60.0
SIDE_DART_OVER_UNDERBUST_MM = 10.0
SIDE_DART_SHORT_MM, SIDE_DARTS_SHORT_MM = 22.0, 45.0
"""How far a tip ends before the bust point: a single side dart, and each of two."""
SIDE_TIPS_APART_MM = 18.5
SIDE_DART_ONE_MOST_MM = 55.0
SIDE_DARTS_APART_MM, SIDE_DARTS_APART_LEAST_MM = 42.0, 24.0
LOWER_SIDE_DART_MM = 102.0
HIGHEST_SIDE_DART_MM = 20.0
LOWEST_SHARE = 0.75
"""A side dart opens above this share of the way from underarm to waist."""
LINING_DARTS_LOWER_MM = 40.0
"""A lining's side darts open so much lower: clear of a facing of neck and armhole in one. Ours."""
SIDE_DART_MOST_MM = 75.0
WAIST_DART_SHORT_MM = 15.0
WAIST_DART_ONE_MOST_MM = 38.0
WAIST_DART_MOST_MM = 60.0
WAIST_DART_LEAST_MM = 3.2
INSIDE_MM = 0.005
"""A bent level line ends so far inside its piece."""
SECOND_DART_OUT_SHARE, SECOND_DART_LOWER_MM = 0.42, 40.0
"""The second waist dart: this share of the way from the bust point to the side, its tip so much lower."""


@dataclass(frozen=True, slots=True)
class SideDart:
    """Upper leg end, tip, lower leg end, each where it lies on the panel; `at_mm`: its mouth below the underarm, along the sewn side."""

    upper: complex
    tip: complex
    lower: complex
    at_mm: float
    turn_above: float
    """How far the side above it is turned about the bust point, radians."""


def _dart(front: Front, at_mm: float, turn_below: float, turn_above: float, short_mm: float) -> SideDart:
    at = front.underarm + front.side_heading * at_mm
    upper, lower = (turned(at, front.bust_point, -turn) for turn in (turn_above, turn_below))
    middle = (upper + lower) / 2
    short = min(short_mm, 0.5 * abs(middle - front.bust_point))
    return SideDart(upper, front.bust_point + unit(middle - front.bust_point) * short, lower, at_mm, turn_above)


def side_darts(front: Front, underbust_y: float, lower_mm: float = 0.0) -> tuple[SideDart, ...]:
    """Bust dart moved into the side seam, one or two from the underarm down; refuses what cannot be pressed flat.

    `lower_mm`: the same darts further down the side (a lining's, under its facing).
    """
    found = _side_darts(front, underbust_y)
    room = LOWEST_SHARE * abs(front.side_waist - front.underarm) - found[-1].at_mm
    down = min(lower_mm, room)
    if down <= 0:
        return found
    if len(found) == 2:
        return _two_darts(front, found[0].at_mm + down, found[1].at_mm + down)
    return (_dart(front, found[0].at_mm + down, 0.0, front.turn, SIDE_DART_SHORT_MM),)


def _side_darts(front: Front, underbust_y: float) -> tuple[SideDart, ...]:
    along = abs(front.side_waist - front.underarm)
    over_underbust = max(HIGHEST_SIDE_DART_MM, underbust_y - SIDE_DART_OVER_UNDERBUST_MM - front.underarm.imag)
    one = _dart(front, min(SIDE_DART_BELOW_UNDERARM_MM, 0.4 * along, over_underbust), 0.0, front.turn, SIDE_DART_SHORT_MM)
    if abs(one.upper - one.lower) <= SIDE_DART_ONE_MOST_MM:
        return (one,)
    low = min(LOWER_SIDE_DART_MM, 0.55 * along, over_underbust)
    high = max(HIGHEST_SIDE_DART_MM, low - SIDE_DARTS_APART_MM)
    two = _two_darts(front, high, low)
    found = two if low - high >= SIDE_DARTS_APART_LEAST_MM else (one,)
    width = max(abs(dart.upper - dart.lower) for dart in found)
    if width > SIDE_DART_MOST_MM:
        raise DraftRefused(
            "The bust is too full for darts only.",
            f"The bust dart would be {width:.0f} mm wide, {SIDE_DART_MOST_MM:.0f} mm is the most that lies flat.",
            "Choose princess: armhole.",
        )
    return found


def _two_darts(front: Front, high_mm: float, low_mm: float) -> tuple[SideDart, SideDart]:
    """Both end so far before the bust point that cloth lies between their tips."""

    def drawn(short_mm: float) -> tuple[SideDart, SideDart]:
        half = front.turn / 2
        return _dart(front, high_mm, half, front.turn, short_mm), _dart(front, low_mm, 0.0, half, short_mm)

    upper, lower = drawn(SIDE_DARTS_SHORT_MM)
    return drawn(SIDE_DARTS_SHORT_MM * max(1.0, SIDE_TIPS_APART_MM / abs(upper.tip - lower.tip)))


def bust_line(front: Front, darts: tuple[SideDart, ...], bust_y: float) -> tuple[complex, ...] | None:
    """The bust line where it bends: its outer part lies above a dart that opens below the bust line; None when it is level."""
    share = (bust_y - front.underarm.imag) / (front.side_waist.imag - front.underarm.imag)
    reach = share * abs(front.side_waist - front.underarm)
    turn = next((dart.turn_above for dart in darts if reach < dart.at_mm), 0.0)
    if not turn:
        return None
    beyond = (front.underarm + (front.side_waist - front.underarm) * share).real - front.bust_point.real
    return (complex(INSIDE_MM, bust_y), front.bust_point, front.bust_point + direction(-turn) * (beyond - INSIDE_MM))


def with_fitting_waist(front: Front, ends: WaistEnds, need_mm: float) -> Front:
    """A waist dart too wide to lie flat becomes two; one too small to sew is left out, the waist one smooth line.

    Raises NoRoot when two darts do not close.
    """
    dart = front.waist.darts[0]
    width = abs(dart.outer - dart.inner)
    if width < WAIST_DART_LEAST_MM:
        whole = smooth(front.centre_waist, 1, front.side_waist, front.side_heading * -1j)
        return replace(front, waist=Waistline(((whole,),), (), (), ()))
    if width <= WAIST_DART_ONE_MOST_MM:
        return front
    first = front.bust_point
    height = front.centre_waist.imag - first.imag
    second = first + complex(SECOND_DART_OUT_SHARE * (front.side_waist.real - first.real), min(SECOND_DART_LOWER_MM, 0.4 * height))
    tips = (DartTip(first, height, 0.5), DartTip(second, front.centre_waist.imag - second.imag, 0.5))
    return replace(front, waist=waistline(ends, tips, need_mm, +1))


def waist_darts(front: Front) -> tuple[OpenDart, ...]:
    """The front waist darts, the first one's tip 15 mm below the bust point; refuses what cannot be pressed flat."""
    darts = front.waist.darts
    width = max((abs(dart.outer - dart.inner) for dart in darts), default=0.0)
    if width > WAIST_DART_MOST_MM:
        raise DraftRefused(
            "The waist is too small for darts only.",
            f"Each of {len(darts)} front waist darts would be {width:.0f} mm wide, {WAIST_DART_MOST_MM:.0f} mm is the most that lies flat.",
            "Choose princess: armhole.",
        )
    if not darts:
        return ()
    height = (darts[0].inner.imag + darts[0].outer.imag) / 2 - front.bust_point.imag
    first = replace(darts[0], tip=front.bust_point + 1j * clamp(WAIST_DART_SHORT_MM, 0, 0.4 * height))
    return (first, *darts[1:])


def _away(point: complex, a: complex, b: complex) -> float:
    """Distance of a point from the stretch a to b."""
    along = b - a
    share = clamp(((point - a) * along.conjugate()).real / abs(along) ** 2, 0, 1)
    return abs(point - a - along * share)


def kept_clear(waists: tuple[OpenDart, ...], busts: tuple[SideDart, ...]) -> tuple[OpenDart, ...]:
    """Waist darts shortened along their own axis where their tips come too near a side dart."""
    legs = [(end, dart.tip) for dart in busts for end in (dart.upper, dart.lower)]
    out = []
    for dart in waists:
        mouth = (dart.inner + dart.outer) / 2
        tip, axis = dart.tip, unit(mouth - dart.tip)
        while min(_away(tip, *leg) for leg in legs) < SIDE_TIPS_APART_MM and abs(mouth - tip) > 40:
            tip += 3 * axis
        out.append(replace(dart, tip=tip))
    return tuple(out)
