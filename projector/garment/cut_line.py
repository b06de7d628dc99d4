"""From the sewing outline to the cut line: even along every edge, corners that sew, darts capped as pressed.

Outlines run clockwise as drawn (the piece to the right hand), so outward of a direction d is d·(-i). Complex points, mm.
Corners: on a fold the line ends on the fold's own line, a sharp tip there square to it; at a hem the neighbour's cut line is
reflected about the hem, so that the turned hem lies flat; where a seam sewn first meets a later edge its allowance is ended square,
at the same place on both partners, so that raw edges meet; other corners are mitred, sharp ones cut off.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, radians, sin

import numpy as np
import shapely

from projector.draft.curve import Points, angle_between, unit
from projector.draft.panel import EdgeKind
from projector.garment.lines import NO_STEP_MM, begin_on, crossing_of, end_on, first_on_line, head, reflected, thinned

STRAIGHT_ON = radians(2.0)
MITRE_LEAST = radians(50.0)
"""Interior angles under this are cut off square: a mitre would stand out over twice the allowance."""
HEM_SQUARE = radians(25.0)
REACH_MM = 200.0
TONGUE = 2.4
"""A dart's mouth may stand out so many allowances before it is pressed the other way."""
_RANK: dict[EdgeKind, int] = {"princess": 0, "shoulder": 1, "side": 1, "under": 1, "centre": 1, "opening": 1, "hem": 3}
"""Order of sewing; kinds not named come after the long seams (2)."""


@dataclass(frozen=True, slots=True)
class Run:
    """One edge: its flattened sewing line, allowance, kind, fold."""

    points: Points
    allowance: float
    kind: EdgeKind
    fold: bool

    @property
    def start(self) -> complex:
        """Unit direction at its beginning."""
        return unit(complex(self.points[1] - self.points[0]))

    @property
    def end(self) -> complex:
        """Unit direction at its end."""
        return unit(complex(self.points[-1] - self.points[-2]))


def offset(points: Points, by: float) -> Points:
    """Parallel line `by` outward; mitred at its own vertices, loops of narrow hollows taken out."""
    if by == 0:
        return points
    steps = np.diff(points)
    steps = steps / np.abs(steps)
    normals = steps * -1j
    at = np.empty(len(points), dtype=np.complex128)
    at[0], at[-1] = normals[0], normals[-1]
    both = normals[:-1] + normals[1:]
    at[1:-1] = both / (np.abs(both) ** 2 / 2)
    moved = points + by * at
    if len(points) > 2 and (np.real(np.conj(np.diff(moved)) * steps) <= 0).any():
        hollow = shapely.offset_curve(shapely.LineString(np.column_stack([points.real, points.imag])), -by, join_style="mitre")
        xy = shapely.get_coordinates(hollow)
        moved = xy[:, 0] + 1j * xy[:, 1]
        if abs(moved[0] - (points[0] + by * at[0])) > abs(moved[-1] - (points[0] + by * at[0])):
            moved = moved[::-1]
    return moved


def _end_at(line: Points, at: complex, along: complex) -> Points:
    """The line, ended in `at`: what lies beyond it (measured along its last direction) is left out."""
    keep = len(line)
    while keep > 1 and ((line[keep - 1] - at) * along.conjugate()).real > -1e-9 and abs(line[keep - 1] - at) > 1e-9:
        keep -= 1
    return np.append(line[:keep], at)


def _begin_at(line: Points, at: complex, along: complex) -> Points:
    return _end_at(line[::-1], at, -along)[::-1]


# ------------------------------------------------------------------ corners


@dataclass(slots=True)
class _Side:
    """An edge while its cut line is being made."""

    run: Run
    line: Points


def _crossed(first: _Side, second: _Side) -> None:
    """Inner corner: both lines are cut where they cross."""
    a = np.append(first.line, first.line[-1] + first.run.end * REACH_MM)
    b = np.concatenate([[second.line[0] - second.run.start * REACH_MM], second.line])
    found = crossing_of(b[::-1], a[::-1])  # from the far ends inward would find a later loop first: look from the corner
    if found is None:
        return
    i, j, at = found
    second.line = head(b[::-1], i, at)[::-1]
    first.line = head(a, len(a) - 2 - j, at)


def _hem_corner(first: _Side, second: _Side, corner: complex) -> None:
    """Neighbour's cut line reflected about the hem, down to the hem's depth."""
    is_hem_second = second.run.kind == "hem"
    hem, other = (second, first) if is_hem_second else (first, second)
    along = hem.run.start if is_hem_second else hem.run.end
    line = other.line if is_hem_second else other.line[::-1]  # now ends at the hem
    heading = other.run.end if is_hem_second else -other.run.start
    line = end_on(line, heading, corner, along)
    depth = np.abs(np.imag(np.conj(along) * (line - corner)))
    near = len(line) - 1
    while near > 0 and depth[near - 1] < hem.run.allowance:
        near -= 1
    above = line[near:][::-1]
    if near > 0 and depth[near - 1] > hem.run.allowance:
        share = (hem.run.allowance - depth[near]) / (depth[near - 1] - depth[near])
        above = np.append(above, line[near] + (line[near - 1] - line[near]) * share)
    else:
        reach = hem.run.allowance / abs((np.conj(along) * heading).imag)
        above = np.append(above, line[-1] - heading * reach)
    turned = reflected(above[1:], corner, along)
    line = np.concatenate([line, turned])
    other.line = line if is_hem_second else line[::-1]
    if is_hem_second:
        hem.line = _begin_at(hem.line, complex(turned[-1]), along)[1:]
    else:
        hem.line = _end_at(hem.line, complex(turned[-1]), along)[:-1]


def _squared(first: _Side, second: _Side, corner: complex, interior: float) -> bool:
    """End the allowance of the seam sewn first square to it, where the later edge's cut line crosses it. False: not here."""
    ranks = _RANK.get(first.run.kind, 2), _RANK.get(second.run.kind, 2)
    if ranks[0] == ranks[1] or not radians(25) < interior < radians(155):
        return False
    if ranks[1] < ranks[0]:  # the later edge comes first: line, then square out to the seam's allowance
        on_seam = corner - second.run.start * (first.run.allowance / sin(interior))
        first.line = _end_at(first.line, on_seam, first.run.end)
        square = on_seam + second.run.start * -1j * second.run.allowance
        second.line = _begin_at(second.line, square, second.run.start)
    else:
        on_seam = corner + first.run.end * (second.run.allowance / sin(interior))
        second.line = _begin_at(second.line, on_seam, second.run.start)
        square = on_seam + first.run.end * -1j * first.run.allowance
        first.line = _end_at(first.line, square, first.run.end)
    return True


def _mitred(first: _Side, second: _Side, corner: complex, turn: float, interior: float) -> None:
    a, b = first.run.allowance, second.run.allowance
    reach_a = (b - a * cos(turn)) / sin(turn)
    reach_b = (a - b * cos(turn)) / sin(turn)
    if interior < MITRE_LEAST:
        out = max(a, b)
        first.line = _end_at(first.line, complex(first.line[-1]) + first.run.end * out * 0.6, first.run.end)
        second.line = _begin_at(second.line, complex(second.line[0]) - second.run.start * out * 0.6, second.run.start)
        return
    if reach_a < 0 or reach_b < 0:
        return  # nearly straight on with unlike allowances: a small step
    point = corner + first.run.end * -1j * a + first.run.end * reach_a
    first.line = _end_at(first.line, point, first.run.end)
    second.line = _begin_at(second.line, point, second.run.start)


def _from_fold(line: Points, heading: complex, corner: complex, outward: complex, allowance: float) -> Points:
    """The line ended on the fold's own line, which leaves the piece `outward`; a sharp tip there is cut off square to the fold."""
    if (heading * outward.conjugate()).real < cos(MITRE_LEAST / 2):
        return end_on(line, heading, corner, outward)
    tip = corner + outward * allowance
    return np.append(end_on(line, heading, tip, outward * 1j), tip)


def _corner(first: _Side, second: _Side) -> None:
    """Shape the corner between two edges that follow each other."""
    corner = complex(second.run.points[0])
    turn = angle_between(first.run.end, second.run.start)
    if first.run.fold and second.run.fold:
        return
    if first.run.fold:
        second.line = _from_fold(second.line[::-1], -second.run.start, corner, first.run.end, second.run.allowance)[::-1]
        first.line = first.line[:0]
    elif second.run.fold:
        first.line = _from_fold(first.line, first.run.end, corner, -second.run.start, first.run.allowance)
        second.line = second.line[:0]
    elif abs(turn) < STRAIGHT_ON:
        if first.run.allowance == second.run.allowance:
            point = corner + unit(first.run.end + second.run.start) * -1j * first.run.allowance
            first.line = _end_at(first.line, point, first.run.end)
            second.line = _begin_at(second.line, point, second.run.start)
    elif turn < 0:
        _crossed(first, second)
    elif "hem" in (first.run.kind, second.run.kind) and first.run.kind != second.run.kind and abs(turn - radians(90)) < HEM_SQUARE:
        _hem_corner(first, second, corner)
    elif not _squared(first, second, corner, radians(180) - turn):
        _mitred(first, second, corner, turn, radians(180) - turn)


def _is_pressed_on_first(first: Run, leg_first: complex, leg_second: complex) -> bool:
    """Waist darts are pressed to the centre, side darts down."""
    if first.kind == "side" or abs(leg_first.imag - leg_second.imag) > 2 * abs(leg_first.real - leg_second.real):
        return leg_first.imag > leg_second.imag
    return leg_first.real < leg_second.real


def _half_cap(under: Points, end: complex, leg: complex, tip: complex, axis: complex) -> Points | None:
    """Cut line from a leg to the dart's axis: what lies under the pressed mouth, reflected about that leg. None: it never gets there."""
    turned = reflected(np.append(under, under[-1] + unit(complex(under[-1] - under[-2])) * REACH_MM), end, leg)  # drawn on straight
    found = first_on_line(turned, tip, axis)
    return None if found is None else np.append(turned[1 : found[0] + 1], found[1])


def _cap(first: _Side, second: _Side, tip: complex) -> Points:
    """Cut line over a dart's mouth so that, folded and pressed, it lies on the cut line below it.

    A slanting dart whose mouth would stand out like a tongue is pressed the other way.
    """
    ends = complex(first.run.points[-1]), complex(second.run.points[0])
    legs = unit(ends[0] - tip), unit(ends[1] - tip)
    axis = unit(legs[0] + legs[1])
    first.line = end_on(first.line, first.run.end, ends[0], legs[0])
    second.line = begin_on(second.line, second.run.start, ends[1], legs[1])
    unders = first.line[::-1], second.line
    halves: dict[int, Points] = {}
    for place in range(2):
        half = _half_cap(unders[place], ends[place], legs[place], tip, axis)
        if half is not None and abs(half[-1] - ends[place]) <= 3 * abs(ends[0] - ends[1]) + 3 * first.run.allowance:
            halves[place] = half
    if not halves:
        return np.array([(first.line[-1] + second.line[0]) / 2])
    out = {place: abs(half[-1] - ends[place]) for place, half in halves.items()}
    usual = 0 if _is_pressed_on_first(first.run, *ends) else 1
    most = TONGUE * max(first.run.allowance, second.run.allowance)
    chosen = usual if out.get(usual, np.inf) <= most else min(out, key=out.__getitem__)
    whole = np.concatenate([halves[chosen], reflected(halves[chosen][:-1], tip, axis)[::-1]])
    return whole if chosen == 0 else whole[::-1]


def cut_ring(runs: Sequence[Run]) -> Points:
    """The closed cut line of a piece, first point not repeated."""
    sides: list[_Side] = []
    tips: dict[int, complex] = {}
    """Dart tips by the index of the side they follow."""
    for run in runs:
        if run.kind != "dart":
            sides.append(_Side(run, offset(run.points, run.allowance)))
        else:
            tips.setdefault(len(sides) - 1, complex(run.points[-1]))
    caps: dict[int, Points] = {}
    for i, first in enumerate(sides):
        second = sides[(i + 1) % len(sides)]
        if i in tips:
            caps[i] = _cap(first, second, tips[i])
        else:
            _corner(first, second)
    parts: list[Points] = []
    for i, side in enumerate(sides):
        parts.append(side.line)
        if i in caps:
            parts.append(caps[i])
    return _tidied(np.concatenate(parts))


def _tidied(ring: Points) -> Points:
    """No step too small to have a direction, none at the seam of beginning and end."""
    kept = thinned(ring)
    return kept[:-1] if abs(kept[-1] - kept[0]) < NO_STEP_MM else kept
