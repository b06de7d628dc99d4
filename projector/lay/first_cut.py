"""The outline with the lines of a first dress that lie further out: a shallow neck, a circle's waist. Pure, mm.

The room between cut line and first line must lie free on the cloth, and it is what the shears follow.
"""

from collections.abc import Sequence

import numpy as np
from shapely.geometry import LinearRing, LineString, Point, Polygon
from shapely.ops import substring, unary_union

from projector.garment.pieces import Line, Piece
from projector.lay.shapes import beyond_fold, fold_axis, half_outline, whole_outline

MEET_MM = 0.1
"""Two halves of a first line nearer than this on the middle are one line."""
STRAIGHT_ON_MM = 0.25
"""How far beside the run on of an edge a first line may end."""


def first_outline(piece: Piece, is_half: bool) -> Polygon:
    """The piece's outline (half as drafted, or opened out) let out to its first lines; piece frame."""
    outline = half_outline(piece) if is_half else whole_outline(piece)
    axis = 2.0 * fold_axis(piece)
    for cut in piece.first_cut:
        halves = [cut.points]
        if piece.on_fold and not is_half:
            halves.append(tuple((axis - x, y) for x, y in cut.points))
        for line in meeting(halves):
            outline = let_out(outline, LineString(line))
    if piece.on_fold and is_half:
        outline = beyond_fold(outline, axis / 2.0)
    return Polygon(outline.exterior)


def meeting(lines: Sequence[Line]) -> list[Line]:
    """An opened piece's two first lines as one where they meet on the middle."""
    if len(lines) == 2:
        one, other = lines
        for a, b in ((one, other), (one[::-1], other[::-1])):
            if Point(a[-1]).distance(Point(b[-1])) < MEET_MM:
                return [(*a, *b[-2::-1])]
    return list(lines)


def let_out(outline: Polygon, line: LineString) -> Polygon:
    """The outline with one edge moved out to this line, whose ends lie on the outline or on a neighbour run on straight."""
    ring = LinearRing(outline.exterior.coords)
    feet = [_foot(outline, Point(end)) for end in (line.coords[0], line.coords[-1])]
    a, b = (ring.project(Point(foot)) for foot in feet)
    doubled = LineString([*ring.coords, *ring.coords[1:]])
    size = ring.length
    arcs = [substring(doubled, b, a if a > b else a + size), substring(doubled, a, b if b > a else b + size).reverse()]
    shapes = [Polygon([*line.coords, *arc.coords]) for arc in arcs]
    whole = [shape.buffer(0) for shape in shapes]
    best = max(whole, key=lambda shape: shape.intersection(outline).area)
    let = unary_union([outline, best])
    return max(getattr(let, "geoms", [let]), key=lambda one: one.area)


def _foot(outline: Polygon, end: Point) -> tuple[float, float]:
    """Where the way from the outline to this end starts: the end itself, or the corner it lies straight beyond."""
    if outline.exterior.distance(end) < MEET_MM:
        near = outline.exterior.interpolate(outline.exterior.project(end))
        return (near.x, near.y)
    ring = np.asarray(outline.exterior.coords)[:-1]
    goal = np.array([end.x, end.y])
    found: list[tuple[float, int]] = []
    for step in (1, -1):
        run = ring - np.roll(ring, step, axis=0)
        run = run / np.maximum(np.hypot(run[:, 0], run[:, 1]), 1e-9)[:, None]
        way = goal - ring
        off = np.abs(run[:, 0] * way[:, 1] - run[:, 1] * way[:, 0])
        ahead = (run * way).sum(axis=1) > 0
        found += [(float(np.hypot(*way[place])), int(place)) for place in np.flatnonzero((off < STRAIGHT_ON_MM) & ahead)]
    if not found:
        near = outline.exterior.interpolate(outline.exterior.project(end))
        return (near.x, near.y)
    x, y = ring[min(found)[1]]
    return (float(x), float(y))
