"""A waistline with darts: drawn as one curve with every dart closed, then opened again.

So the legs of each dart are equal and the edges beside it run on smoothly once it is sewn, by construction.
Bodice: tips above the waist, `sign` +1; skirt: tips below, `sign` -1. Closing a dart turns what lies outside it by
sign·angle about its tip, so outer darts are carried by the inner ones.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import asin

from projector.draft.curve import Cubic, Curve, crossing, direction, length, root, smooth, turned

NOTHING_TO_TAKE_MM = 3.0
"""A waist up to this much too short stays as it is, its dart shut: the skirt takes its sewn length from here anyway."""


@dataclass(frozen=True, slots=True)
class DartTip:
    """A dart about a vertical axis through its tip; `height` from tip to waist, `share` of the whole intake."""

    at: complex
    height: float
    share: float


@dataclass(frozen=True, slots=True)
class OpenDart:
    """Leg ends on the waist, inner (towards the centre) and outer, and the angle between the legs."""

    inner: complex
    tip: complex
    outer: complex
    angle: float


@dataclass(frozen=True, slots=True)
class Waistline:
    """Runs between darts from the centre outward (one more than darts), darts between them, headings at the darts."""

    runs: tuple[Curve, ...]
    darts: tuple[OpenDart, ...]
    inner_headings: tuple[complex, ...]
    outer_headings: tuple[complex, ...]

    @property
    def length(self) -> float:
        """Sewn length, mm."""
        return sum(length(run) for run in self.runs)


@dataclass(frozen=True, slots=True)
class WaistEnds:
    """Centre and side ends of the opened waist with the heading (outward) square to centre and side."""

    centre: complex
    centre_heading: complex
    side: complex
    side_heading: complex


def _angles(tips: Sequence[DartTip], intake: float) -> list[float]:
    return [2 * asin(min(0.99, intake * tip.share / 2 / tip.height)) for tip in tips]


def _closed(ends: WaistEnds, tips: Sequence[DartTip], angles: Sequence[float], sign: int) -> Cubic:
    """The one curve with all darts closed, in the place of the centre run."""
    side, heading = ends.side, ends.side_heading
    for tip, angle in zip(reversed(tips), reversed(angles), strict=True):
        side = turned(side, tip.at, sign * angle)
        heading *= direction(sign * angle)
    return smooth(ends.centre, ends.centre_heading, side, heading)


def _open(closed: Cubic, tips: Sequence[DartTip], angles: Sequence[float], sign: int) -> Waistline:
    """Split where the inner leg of each dart meets the waist, then turn the outer part back."""
    runs: list[Curve] = []
    darts: list[OpenDart] = []
    inner_headings: list[complex] = []
    outer_headings: list[complex] = []
    rest = closed
    for tip, angle in zip(tips, angles, strict=True):
        # `rest` lies in the frame in which this dart's inner side is already in its opened place.
        down = 1j * sign
        ray = down * direction(sign * angle / 2)
        inner, rest = rest.split(crossing(rest, tip.at, ray))
        outer = turned(inner.d, tip.at, -sign * angle)
        runs.append((inner,))
        inner_headings.append(inner.end)
        rest = rest.turned(tip.at, -sign * angle)
        outer_headings.append(inner.end * direction(-sign * angle))
        darts.append(OpenDart(inner.d, tip.at, outer, angle))
    runs.append((rest,))
    return Waistline(tuple(runs), tuple(darts), tuple(inner_headings), tuple(outer_headings))


def waistline(ends: WaistEnds, tips: Sequence[DartTip], need_mm: float, sign: int) -> Waistline:
    """Waistline whose sewn length is `need_mm`, taken in by the darts.

    Raises NoRoot when no intake gives that length (the caller words it).
    """
    if not tips:
        return Waistline(((smooth(ends.centre, ends.centre_heading, ends.side, ends.side_heading),),), (), (), ())

    def excess(intake: float) -> float:
        return _closed(ends, tips, _angles(tips, intake), sign).length() - need_mm

    intake = 0.0
    if excess(0.0) > 0 or excess(0.0) < -NOTHING_TO_TAKE_MM:
        intake = root(excess, 0.0, min(1.6 * min(tip.height / tip.share for tip in tips), abs(ends.side - ends.centre) * 0.9))
    angles = _angles(tips, intake)
    return _open(_closed(ends, tips, angles, sign), tips, angles, sign)


def placed(draw: Callable[[Sequence[float]], Waistline], xs: Sequence[float], arcs: Sequence[float]) -> Waistline:
    """Move the dart axes until the sewn waist splits at the arcs wanted (from the centre); three rounds reach 0.1 mm."""
    found = draw(xs)
    for _ in range(3):
        run, moved = 0.0, []
        for x, arc, part in zip(xs, arcs, found.runs, strict=False):
            run += length(part)
            moved.append(x + arc - run)
        if all(abs(a - b) < 0.05 for a, b in zip(xs, moved, strict=True)):
            break
        xs = moved
        found = draw(xs)
    return found
