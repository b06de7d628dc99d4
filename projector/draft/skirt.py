"""Skirts to the waist of the bodice: straight, tapered, A-line. y = 0 at the front waist, x out from the centre, mm.

Origins: hip quarters and side suppression after the metric skirt block (WikiEducator); dart limits from pattern-making
pages (1 in); hip hold of 50.8 mm below the hip is the trade's habit (common practice, no source).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil

import numpy as np

from projector.draft.adjust import NO_CHANGE, Adjust
from projector.draft.curve import Cubic, Curve, clamp, flat, length, line, smooth, unit
from projector.draft.panel import DraftRefused
from projector.draft.ring import Sector
from projector.draft.style import Style
from projector.draft.waistline import DartTip, WaistEnds, Waistline, placed, waistline
from projector.draft.walking import Levels, VentPlan, vent_plan

CENTRE_BACK_DIP_MM = 8.0
SIDE_RAISE_SHARE, SIDE_RAISE_MOST_MM = 0.28, 14.0
SIDE_IN_SHARE, SIDE_IN_MOST_MM = 0.275, 50.0
FLATTENED_HIP_MM = 0.02
"""What rounding may take from the whole girth, given back."""
HIP_HOLD_MM = 50.8
ZIP_TO_HIP_SHARE = 0.75
"""The zip ends at this share of waist to hip."""
DART_LEAST_MM = 4.0
FRONT_DART_MM, BACK_DART_MM = 28.0, 34.0
DARTS_MOST = 3
FRONT_DART_SHARE, BACK_DART_SHARE = 0.50, 0.68
NEXT_DART_SHORTER_MM = 14.0
LAST_DART_FROM_SIDE_MM = 25.0
KNEE_BELOW_HIP_LEAST_MM = 150.0
FULL_LENGTH_OVER_FLOOR_MM = 30.0
HEM_BELOW_HIP_LEAST_MM = 60.0
SIDE_HELD_MM = 4.0
"""So much of the side stays straight under the hip. Ours."""
BLOUSE_BELOW_HIP_MM = 30.0
"""A blouse ends so far below the hip line that its lining, an inch shorter, still reaches it."""


@dataclass(frozen=True, slots=True)
class SkirtNeed:
    """What the skirt is sewn to: quarter waists and how far from the centre the first dart should sit (arc on the waist)."""

    front: float
    back: float
    front_first: float
    back_first: float
    adjust: Adjust = NO_CHANGE


@dataclass(frozen=True, slots=True)
class Quarter:
    """Front or back half: waist from the centre outward, side down, hem from the side in, centre at x = 0."""

    waist: Waistline
    side: Curve
    hem: Curve
    centre_top: complex

    @property
    def hem_centre(self) -> complex:
        """Where the hem meets the centre line."""
        return self.hem[-1].d


@dataclass(frozen=True, slots=True)
class Skirt:
    """Both quarters, levels, and the vent that a step needs (0: none)."""

    front: Quarter
    back: Quarter
    hip_y: float
    knee_y: float
    hem_y: float
    vent: VentPlan
    warnings: tuple[str, ...] = ()
    sector: Sector | None = None
    """The ring sector of a circle skirt; then both quarters are one shape."""
    side_mark: float = 0.0
    """Circle: where, from the centre along the front waist, the bodice's side seam falls (beyond its end: on the back)."""


@dataclass(frozen=True, slots=True)
class _Widths:
    """Quarter hips, side inset, what the darts must still take."""

    front_hip: float
    back_hip: float
    side_in: float
    front_dart: float
    back_dart: float


def hem_level(measures: Mapping[str, float], style: Style, said: list[str]) -> float:
    """Length below the waist, mm."""
    if style.skirt == "none":
        return measures["waist_hip"] + BLOUSE_BELOW_HIP_MM
    wanted = {"knee": measures["waist_knee"], "full": measures["waist_floor"] - FULL_LENGTH_OVER_FLOOR_MM}
    y = wanted[style.length] if isinstance(style.length, str) else style.length
    least = measures["waist_hip"] + HEM_BELOW_HIP_LEAST_MM
    if y < least:
        said.append(f"The skirt is {least:.0f} mm long, not {y:.0f} mm: it must hold {HEM_BELOW_HIP_LEAST_MM:.0f} mm below the hip line.")
    return max(y, least)


def _widths(measures: Mapping[str, float], style: Style, need: SkirtNeed) -> _Widths:
    """Hip quarters and how the intake is spent; small dart rests go to the other quarter or into the side."""
    adjust = need.adjust
    waist_f, waist_b = need.front - adjust.side_waist, need.back - adjust.side_waist - adjust.centre_back_waist
    hip = (measures["hip"] + style.eases.hip_mm + FLATTENED_HIP_MM) / 4
    shift = clamp((waist_f - waist_b) / 4, 0, 8)
    front, back = hip + shift, hip - shift
    grow = max(0.0, waist_f - front, waist_b - back)  # waist larger than hip: hangs from the waist
    front, back = front + grow, back + grow
    intake_f, intake_b = front - waist_f, back - waist_b
    side = min(SIDE_IN_SHARE * (intake_f + intake_b), SIDE_IN_MOST_MM, intake_f, intake_b)
    rest_f, rest_b = intake_f - side, intake_b - side
    if rest_f + rest_b < DART_LEAST_MM:
        side += (rest_f + rest_b) / 2
        move = (rest_f - rest_b) / 2
    elif rest_f < DART_LEAST_MM:
        move = rest_f
    elif rest_b < DART_LEAST_MM:
        move = -rest_b
    else:
        move = 0.0
    front, back = front - move, back + move
    dart_f, dart_b = front - waist_f - side, back - waist_b - side
    # A fitting moves the side at waist and hip; the darts stay as they are.
    out = adjust.side_hip
    return _Widths(front + out, back + out, side + out - adjust.side_waist, dart_f, dart_b)


def _side(style: Style, waist: complex, hip: complex, hem_y: float, knee_y: float, hem_out: float) -> Curve:
    """Side seam from the waist down to the hem: hip curve, hold, then as the style falls. `hem_out`: let out at the hem."""
    if style.skirt == "a_line":
        fall = unit(complex(style.flare_mm + hem_out, hem_y - hip.imag))
        end = hip + fall * (hem_y - hip.imag)
        return (smooth(waist, hip - waist, hip, fall), line(hip, end))
    curve = smooth(waist, hip - waist, hip, 1j)
    held = hip + 1j * HIP_HOLD_MM
    if style.skirt != "tapered" or hem_y <= held.imag + 20:
        end = complex(hip.real + hem_out, hem_y)
        if not hem_out or hem_y <= held.imag + 20:
            return (curve, line(hip, complex(hip.real, hem_y)))
        return (curve, line(hip, held), smooth(held, 1j, end, 1j, 0.25, 0.25))
    knee_at = min(knee_y, hem_y)
    taper = style.taper_mm * min(1.0, (knee_at - hip.imag) / (knee_y - hip.imag))
    knee = complex(hip.real - taper + hem_out, knee_at)
    below = (line(knee, complex(knee.real, hem_y)),) if hem_y > knee_at + 1 else ()
    return (curve, line(hip, held), smooth(held, 1j, knee, 1j, 0.25, 0.25), *below)


def _hem(side: Curve, hem_y: float) -> Curve:
    """Hem from the side in, square to side and centre."""
    start, heading = side[-1].d, side[-1].end * 1j
    end = complex(0, hem_y)
    if abs(start.imag - hem_y) < 1e-9:
        return (line(start, end),)
    falls = abs((hem_y - start.imag) / heading.imag)  # a longer handle would carry the hem under its own level
    return (Cubic(start, start + heading * falls, end + abs(end - start) / 3, end),)


def _tips(count: int, hip_y: float, share: float, xs: list[float]) -> tuple[DartTip, ...]:
    tips = []
    for place in range(count):
        reach = max(40.0, share * hip_y - NEXT_DART_SHORTER_MM * place)
        tips.append(DartTip(complex(xs[place], reach), reach, 1 / count))
    return tuple(tips)


def _waist(ends: WaistEnds, need: float, rest: float, first: float, hip_y: float, share: float, each: float) -> Waistline:
    """Waist with its darts; the first carries on the bodice's seam or dart, the last keeps 25 mm from the side."""
    if rest < DART_LEAST_MM:
        return waistline(ends, (), need, -1)
    count = min(DARTS_MOST, ceil(rest / each))
    last = need - LAST_DART_FROM_SIDE_MM
    first = min(first, last - 20 * (count - 1))
    arcs = [first + (last - first) * place / max(1, count) for place in range(count)]
    starts = [arc + (place + 0.5) * rest / count for place, arc in enumerate(arcs)]
    return placed(lambda xs: waistline(ends, _tips(count, hip_y, share, list(xs)), need, -1), starts, arcs)


def _quarter(
    measures: Mapping[str, float], style: Style, adjust: Adjust, need: float, rest: float, first: float, hip: float,
    widths: _Widths, hem_y: float, is_front: bool,
) -> Quarter:  # fmt: skip
    hip_y = measures["waist_hip"]
    raised = clamp(SIDE_RAISE_SHARE * widths.side_in, 0, SIDE_RAISE_MOST_MM)
    knee_y = max(measures["waist_knee"], hip_y + KNEE_BELOW_HIP_LEAST_MM)
    centre, centre_heading = complex(0, 0), 1 + 0j
    if not is_front:
        centre = complex(-adjust.centre_back_waist, CENTRE_BACK_DIP_MM)
        centre_heading = unit(centre - complex(0, ZIP_TO_HIP_SHARE * hip_y)) * 1j  # square to the centre-back seam
    share, each = (FRONT_DART_SHARE, FRONT_DART_MM) if is_front else (BACK_DART_SHARE, BACK_DART_MM)
    side_x = hip - widths.side_in
    for _ in range(4):  # without darts the waist's own length settles where the side starts
        side = _side(style, complex(side_x, -raised), complex(hip, hip_y), hem_y, knee_y, adjust.side_hem - adjust.side_hip)
        ends = WaistEnds(centre, centre_heading, side[0].a, side[0].start * -1j)
        waist = _waist(ends, need, rest, first, hip_y, share, each)
        if waist.darts or abs(waist.length - need) < 1e-4:
            break
        side_x += need - waist.length
    return Quarter(waist, side, _hem(side, hem_y), centre)


def _half_widths(quarter: Quarter, levels: Levels) -> Levels:
    """Width of a quarter at each level y below the hip, mm."""
    points = flat(quarter.side[1:] if len(quarter.side) > 1 else quarter.side)
    return np.interp(levels, points.imag, points.real)


def _refuse_hem_in_hip(below_mm: float, moved_mm: float) -> None:
    """A hem shortened at a fitting into the hip's curve leaves no side to sew. `below_mm`: what is left of the side, less its least."""
    if moved_mm < 0 and below_mm < 0:
        raise DraftRefused(
            "The hem cannot be so short.",
            f"{-moved_mm:.0f} mm shorter, it or its lining ends in the hip's curve; {max(0.0, below_mm - moved_mm):.0f} mm is the most.",
            "Pin less at hem, or choose lining: false.",
        )


def draw_skirt(measures: Mapping[str, float], style: Style, need: SkirtNeed, shorter_mm: float = 0.0) -> Skirt:
    """Straight, tapered, A-line skirt, or the short straight one of a blouse; a lining's is `shorter_mm` shorter.

    Raises DraftRefused (or NoRoot from the waist).
    """
    said: list[str] = []
    widths = _widths(measures, style, need)
    hem_y = hem_level(measures, style, said) + need.adjust.hem - shorter_mm
    _refuse_hem_in_hip(hem_y - measures["waist_hip"] - SIDE_HELD_MM, need.adjust.hem)
    if (
        min(widths.front_dart, widths.back_dart) < -1
        or max(widths.front_dart / FRONT_DART_MM, widths.back_dart / BACK_DART_MM) > DARTS_MOST * 1.6
    ):
        raise DraftRefused(
            "The skirt's waist cannot be taken in.",
            f"Hip {measures['hip']:.0f} mm on waist {measures['waist']:.0f} mm leaves "
            f"{max(widths.front_dart, widths.back_dart):.0f} mm a quarter for darts.",
            "Measure waist and hip again.",
        )
    front = _quarter(measures, style, need.adjust, need.front, widths.front_dart, need.front_first, widths.front_hip, widths, hem_y, True)
    back = _quarter(measures, style, need.adjust, need.back, widths.back_dart, need.back_first, widths.back_hip, widths, hem_y, False)

    def girths_at(levels: Levels) -> Levels:
        return 2 * (_half_widths(front, levels) + _half_widths(back, levels))

    vent = vent_plan(measures, girths_at, measures["waist_hip"], hem_y, length(front.hem) + length(back.hem))
    return Skirt(front, back, measures["waist_hip"], measures["waist_knee"], hem_y, vent, tuple(said))
