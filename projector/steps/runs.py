"""What of a line is still to cut: the runs that earlier cuts have not made and that the light shows, each begun inside the earlier cut.

Cloth frame, mm.
"""

from collections.abc import Iterable, Sequence

from shapely.geometry import LineString, Point, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import linemerge, substring

from projector.lay.lay import Part
from projector.steps.stack import ON_LINE_MM, Kept

HAIR_MM = 0.5
"""A run nowhere further than this from an earlier cut is that cut: no shears take such a strip off, and it is half of the
smallest trade tolerance (1 mm at necklines and armholes), on the side of the allowance."""
RIM_MM = 0.5
"""A corner this far beyond a part still belongs to its light (a line is 0.7 mm wide)."""
START_IN_CUT_MM = 3.0
"""A later cut starts this far inside the earlier one, so that nothing hangs by a thread."""
TO_FOLD_MM = 1.0
"""An end nearer than this to a corner on the fold runs to it (a line leaving the fold at 3 degrees stops 1 mm short)."""


def lit_by(part: Part) -> Polygon:
    """What a part lights, with the hair at its rim."""
    return box(*part.rect).buffer(RIM_MM, join_style="mitre")


def runs_of(lines: BaseGeometry) -> list[LineString]:
    """The runs of these lines, each whole: clipping may split one where it bends by a rounding."""
    every = [one for one in getattr(lines, "geoms", [lines]) if isinstance(one, LineString) and not one.is_empty]
    merged = linemerge(every) if len(every) > 1 else lines
    return [one for one in getattr(merged, "geoms", [merged]) if isinstance(one, LineString) and not one.is_empty]


def left_to_cut(shapes: Iterable[Polygon], wanted: BaseGeometry, done: BaseGeometry) -> list[LineString]:
    """Runs of these boundaries that are wanted and not yet cut, each begun inside the earlier cut."""
    told: list[LineString] = []
    around_wanted = wanted.buffer(ON_LINE_MM / 5, quad_segs=2)
    around_done = done.buffer(ON_LINE_MM, quad_segs=2) if not done.is_empty else Polygon()
    for shape in shapes:
        ring = LineString(shape.exterior.coords)
        runs = [run for run in uncut(ring.intersection(around_wanted), done) if run.length > 0.02]
        if sum(run.length for run in runs) > ring.length - 0.01:
            told.append(ring)
        elif runs:
            told += _runs(ring, runs, around_done)
    return told


def uncut(line: BaseGeometry, done: BaseGeometry) -> list[LineString]:
    """Runs of a line that the earlier cuts have not made: they leave them, and stray further than a chalk line somewhere."""
    rest = line if done.is_empty else line.difference(done.buffer(ON_LINE_MM, quad_segs=2))
    runs = [run for run in getattr(rest, "geoms", [rest]) if isinstance(run, LineString) and not run.is_empty]
    if done.is_empty:
        return runs
    same = done.buffer(HAIR_MM, quad_segs=2)
    merged = linemerge(runs) if len(runs) > 1 else rest
    return [run for run in getattr(merged, "geoms", [merged]) if isinstance(run, LineString) and not same.covers(run)]


def to_folds(lines: Iterable[LineString], kepts: Iterable[Kept]) -> list[LineString]:
    """The lines with ends that stop a hair short of a fold drawn to the corner that lies on it."""
    corners = [
        Point(end)
        for kept in kepts
        for fold in getattr(kept.folds, "geoms", [kept.folds])
        if not fold.is_empty
        for end in (fold.coords[0], fold.coords[-1])
    ]
    told = []
    for line in lines:
        points = list(line.coords)
        for corner in corners if not line.is_ring else []:
            if 0.0 < corner.distance(Point(points[0])) < TO_FOLD_MM:
                points.insert(0, (corner.x, corner.y))
            if 0.0 < corner.distance(Point(points[-1])) < TO_FOLD_MM:
                points.append((corner.x, corner.y))
        told.append(LineString(points))
    return told


def _runs(ring: LineString, runs: Sequence[LineString], done: BaseGeometry) -> list[LineString]:
    """Runs of a ring as spans of its length, lengthened where they meet the earlier cut, joined where they meet."""
    size = ring.length
    spans: list[list[float]] = []
    for run in runs:
        a = ring.project(Point(run.coords[0]))
        spans.append([a, a + run.length])
    spans.sort()
    joined: list[list[float]] = []
    for span in spans:
        if joined and span[0] - joined[-1][1] < 0.02:
            joined[-1][1] = span[1]
        else:
            joined.append(span)
    if len(joined) > 1 and joined[0][0] + size - joined[-1][1] < 0.02:
        joined[0][0] = joined.pop()[0] - size
    doubled = LineString([*ring.coords, *ring.coords[1:], *ring.coords[1:]])
    told: list[list[float]] = []
    for a, b in joined:
        before = _reach(doubled, a + size, -1.0, done)
        after = _reach(doubled, b + size, 1.0, done)
        a, b = a - before, b + after
        if told and a < told[-1][1]:
            told[-1][1] = max(told[-1][1], b)
        else:
            told.append([a, b])
    return [substring(doubled, a + size, b + size) for a, b in told]


def _reach(doubled: LineString, at: float, way: float, done: BaseGeometry) -> float:
    """How far the run may go on inside the earlier cut, up to START_IN_CUT_MM."""
    for far in (START_IN_CUT_MM, 1.0, 0.3, 0.1):
        if not done.is_empty and done.buffer(0.01, quad_segs=2).covers(substring(doubled, at, at + way * far)):
            return far
    return 0.0
