"""Where a piece's words and its grain line stand: inside the sewing line, off darts, level lines and one another. mm, y down."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from math import atan2, cos, degrees, hypot, radians, sin

import numpy as np
from shapely import LineString, Point, Polygon, affinity, box, maximum_inscribed_circle, minimum_rotated_rectangle, prepare, unary_union
from shapely.geometry.base import BaseGeometry

from projector.garment.pieces import Line, Piece
from projector.scene.text import outlined


@dataclass(frozen=True, slots=True)
class Label:
    """Words at a place (middle of their foot), turned `turn_deg` (from +x towards +y), capitals `size_mm` high."""

    text: str
    at: tuple[float, float]
    size_mm: float
    turn_deg: float = 0.0


LINE_PITCH = 1.9  # from foot to foot, of the capitals' height
CLEAR_MM = 1.5
LARGE_MM, SMALL_MM = (5.0, 4.2, 3.5), (2.9, 2.4, 2.0, 1.6)
PLACES = 12  # tried along the longer side of the piece
GRAIN_SHARES = (0.25, 0.75, 0.35, 0.65, 0.15, 0.85, 0.5)
GRAIN_SHARE = 0.72  # of the room there is along the grain
GRAIN_CLEAR_MM = 6.0  # from sewing lines and darts, where there is room
GOOD_SHARE = 0.75  # of the longest grain line that any of the places gives
ARROW_MM, ARROW_TURN = 6.0, 0.35  # a grain line's heads: length and half angle, radians


def width_mm(text: str, size_mm: float) -> float:
    """How far a line of words reaches."""
    return outlined(text, 1.0).width_mm * size_mm


def label_box(label: Label) -> Polygon:
    """What one label covers."""
    x, y = label.at
    half = width_mm(label.text, label.size_mm) / 2
    return affinity.rotate(box(x - half, y - label.size_mm, x + half, y), label.turn_deg, origin=label.at)


def first_clear(tried: Sequence[Label], drawn: Sequence[Line]) -> Label | None:
    """The first of the places whose words cross none of the lines; where none is clear the first; None: there is no place."""
    lines = unary_union([LineString(line) for line in drawn])
    return next((label for label in tried if not lines.intersects(label_box(label))), tried[0] if tried else None)


def deepest(shape: Polygon) -> tuple[float, float]:
    """The point farthest from the outline."""
    circle = maximum_inscribed_circle(shape, tolerance=2.0)
    return float(circle.coords[0][0]), float(circle.coords[0][1])


def _crossed(shape: BaseGeometry, at: tuple[float, float], along: tuple[float, float]) -> LineString | None:
    """The longest stretch of a line through `at` that lies inside."""
    far = LineString([(at[0] + sign * 3e3 * along[0], at[1] + sign * 3e3 * along[1]) for sign in (-1, 1)])
    inside = shape.intersection(far)
    runs = [run for run in getattr(inside, "geoms", [inside]) if run.geom_type == "LineString" and run.length > 0]
    return max(runs, key=lambda run: float(run.length), default=None)


def _darts(piece: Piece) -> list[BaseGeometry]:
    return [LineString(dart.legs if len(dart.legs) == 3 else [*dart.legs, dart.legs[0]]).convex_hull for dart in piece.darts]


def grain_run(piece: Piece) -> tuple[np.ndarray, np.ndarray] | None:
    """Both ends of the grain line, first to last along the grain: to one side of the piece, so that words have room; clear of darts."""
    shape = Polygon(piece.seam_line)
    turn = radians(piece.grain_deg)
    along, across = (cos(turn), sin(turn)), (-sin(turn), cos(turn))
    width = _crossed(shape, deepest(shape), across)
    if width is None:
        return None
    inner = shape.buffer(-GRAIN_CLEAR_MM)
    clear = (shape if inner.is_empty else inner).difference(unary_union(_darts(piece)).buffer(GRAIN_CLEAR_MM))
    runs = [
        run for share in GRAIN_SHARES if (run := _crossed(clear, width.interpolate(share, normalized=True).coords[0], along)) is not None
    ]
    if not runs:
        return None
    longest = max(float(run.length) for run in runs)
    run = next(run for run in runs if run.length >= GOOD_SHARE * longest)
    a, b = (np.array(run.interpolate(share, normalized=True).coords[0]) for share in ((1 - GRAIN_SHARE) / 2, (1 + GRAIN_SHARE) / 2))
    return (b, a) if float((b - a) @ np.array(along)) < 0 else (a, b)


def grain_lines(piece: Piece) -> tuple[Line, ...]:
    """The grain line and the two strokes of the head at each of its ends; () where the piece has no room for it."""
    ends = grain_run(piece)
    if ends is None:
        return ()
    a, b = ((float(end[0]), float(end[1])) for end in ends)
    turn, lines = radians(piece.grain_deg), [(a, b)]
    for (x, y), sign in ((a, ARROW_MM), (b, -ARROW_MM)):
        lines += [((x, y), (x + sign * cos(turn + side), y + sign * sin(turn + side))) for side in (ARROW_TURN, -ARROW_TURN)]
    return tuple(lines)


def _obstacles(piece: Piece, taken: Sequence[Label]) -> tuple[BaseGeometry, ...]:
    """What words keep off: everything drawn, then only darts, other words and the grain line, then other words alone."""
    words = [label_box(label) for label in taken]
    near = [*words, *_darts(piece), *map(LineString, grain_lines(piece))]
    levels = [LineString([(-1e4, y), (1e4, y)] if isinstance(y, int | float) else y) for y in piece.levels.values()]
    return tuple(unary_union(each).buffer(CLEAR_MM) for each in ([*near, *levels, *(Point(at) for at in piece.points)], near, words))


def _places(shape: Polygon) -> Iterator[tuple[float, float]]:
    """The deepest point, then a grid, the nearest to it first."""
    middle = deepest(shape)
    x0, y0, x1, y1 = shape.bounds
    step = max(x1 - x0, y1 - y0) / PLACES
    grid = product(np.arange(x0 + step / 2, x1, step), np.arange(y0 + step / 2, y1, step))
    inside = [(float(x), float(y)) for x, y in grid if shape.contains(Point(x, y))]
    yield middle
    yield from sorted(inside, key=lambda at: hypot(at[0] - middle[0], at[1] - middle[1]))


def _long_way_deg(shape: Polygon) -> float:
    """Direction of the piece's longer side, read from the left or from below."""
    corners = np.array(minimum_rotated_rectangle(shape).exterior.coords)
    sides = np.diff(corners[:3], axis=0)
    along = sides[int(np.hypot(*sides.T).argmax())]
    return (degrees(atan2(along[1], along[0])) + 90.0) % 180.0 - 90.0


def _block(lines: Sequence[str], size_mm: float, at: tuple[float, float], turn_deg: float) -> Polygon:
    half_x = max(width_mm(line, size_mm) for line in lines) / 2
    half_y = size_mm * (1 + LINE_PITCH * (len(lines) - 1)) / 2
    return affinity.rotate(box(at[0] - half_x, at[1] - half_y, at[0] + half_x, at[1] + half_y), turn_deg, origin=at)


def _labels(lines: Sequence[str], size_mm: float, at: tuple[float, float], turn_deg: float) -> tuple[Label, ...]:
    turn, top = radians(turn_deg), -size_mm * (1 + LINE_PITCH * (len(lines) - 1)) / 2
    feet = [top + size_mm * (1 + LINE_PITCH * place) for place in range(len(lines))]
    return tuple(
        Label(line, (at[0] - foot * sin(turn), at[1] + foot * cos(turn)), size_mm, turn_deg) for line, foot in zip(lines, feet, strict=True)
    )


def title(piece: Piece, ways: Sequence[Sequence[str]], taken: Sequence[Label]) -> tuple[Label, ...]:
    """The piece's words, in the first of `ways` (short lines last) that fits; `taken`: labels that stand already.

    Large and level where there is room, else turned along the piece, else smaller. A piece too small for any keeps the
    smallest at its deepest point.
    """
    shape = Polygon(piece.seam_line)
    room = shape.buffer(-CLEAR_MM / 2)
    prepare(room)
    places, turned = tuple(_places(shape)), _long_way_deg(shape)
    everything, near, words = _obstacles(piece, taken)
    tried = ((LARGE_MM, everything), (LARGE_MM, near), (SMALL_MM, near), (LARGE_MM, words), (SMALL_MM, words))
    for (sizes, blocked), turn in product(tried, (0.0, turned)):
        for size, lines, at in product(sizes, ways, places):
            block = _block(lines, size, at, turn)
            if room.contains(block) and not blocked.intersects(block):
                return _labels(lines, size, at, turn)
    return _labels(ways[-1], SMALL_MM[-1], places[0], turned)
