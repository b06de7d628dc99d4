"""The chalk card: every piece as numbers a tape can lay down, so that a dress can be finished by hand.

Down from the piece's top, out from its centre line (a piece away from the centre: from its inner edge). Numbers are
rounded as her tape reads, eighths of an inch or millimetres; the tests rebuild each sewing outline from them within 3 mm
(1.6 mm of rounding each way, and what a line drawn between the points leaves open).
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from shapely import LineString, Polygon

from calibration.units import MM_PER_INCH, Unit, eighths_text
from projector.garment.pieces import Edge, Garment, Line, Piece, Point

BOW_MM = 0.75  # joined by ruler alone, with both roundings of an eighth (1.59 mm each way, 2.25 together), still within 3 mm


@dataclass(frozen=True, slots=True)
class CardPoint:
    """One point of the outline: down and out, mm as rounded for the tape."""

    edge: str
    down_mm: float
    out_mm: float


@dataclass(frozen=True, slots=True)
class CardLevel:
    """Width at a level: to the sewing line and to the cut line; None where the level does not reach both."""

    name: str
    down_mm: float
    inner_mm: float
    sewing_mm: float
    cutting_mm: float


@dataclass(frozen=True, slots=True)
class CardPiece:
    """All numbers of one piece."""

    levels: tuple[CardLevel, ...]
    outline: tuple[CardPoint, ...]
    straight: Mapping[str, bool]
    allowances: Mapping[str, float]
    darts: tuple[tuple[CardPoint, ...], ...]
    figures: tuple[tuple[str, float], ...]
    first: tuple[CardPoint, ...]
    """Lines that are cut instead of an edge's cut line until the fitting."""


def rounded(mm: float, unit: Unit) -> float:
    """To the nearest eighth of an inch, or the nearest millimetre."""
    step = MM_PER_INCH / 8 if unit == "in" else 1.0
    return round(mm / step) * step


def tape_words(mm: float, unit: Unit) -> str:
    """As the tape reads, without the unit: `11 3/4`, `29.8`, `298`."""
    if unit == "in":
        return eighths_text(mm)
    return f"{mm / 10:.1f}" if unit == "cm" else f"{mm:.0f}"


def _bows(points: np.ndarray, first: int, last: int) -> np.ndarray:
    """Distances (mm) of the points between `first` and `last` from the straight line through those two."""
    chord = points[last] - points[first]
    length = float(np.hypot(*chord))
    between = points[first + 1 : last] - points[first]
    if length < 1e-9:
        return np.asarray(np.hypot(*between.T))
    return np.asarray(np.abs(between[:, 0] * chord[1] - between[:, 1] * chord[0]) / length)


def chosen(line: Line) -> list[int]:
    """Which points of a curve are told, so that no stretch between two of them bows out by more than BOW_MM.

    Source: D. H. Douglas, T. K. Peucker, Cartographica 10 (1973), 112-122: split where the curve is furthest from its chord.
    """
    points = np.array(line)
    kept = [0, len(line) - 1]
    open_spans = [(0, len(line) - 1)]
    while open_spans:
        first, last = open_spans.pop()
        bows = _bows(points, first, last)
        if len(bows) and float(bows.max()) > BOW_MM:
            furthest = first + 1 + int(np.argmax(bows))
            kept.append(furthest)
            open_spans += [(first, furthest), (furthest, last)]
    return sorted(kept)


def _on_a_mark(line: Line, place: int, origin: Point, unit: Unit) -> Point:
    """The curve's point near `place` whose steeper distance from `origin` is a whole mark of the tape: only the other is rounded."""
    x, y = line[place]
    (ax, ay), (bx, by) = line[place - 1], line[place + 1]
    axis = 1 if abs(by - ay) >= abs(bx - ax) else 0
    wanted = rounded((x, y)[axis] - origin[axis], unit) + origin[axis]
    for reach in range(1, 4):
        for first in (place - reach, place + reach - 1):
            if 0 <= first < len(line) - 1:
                a, b = line[first], line[first + 1]
                if min(a[axis], b[axis]) <= wanted <= max(a[axis], b[axis]) and a[axis] != b[axis]:
                    share = (wanted - a[axis]) / (b[axis] - a[axis])
                    return (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))
    return (x, y)


def told_points(line: Line, origin: Point, unit: Unit) -> tuple[Point, ...]:
    """The points of an edge that the card tells: its ends, and between them as many as the curve needs."""
    places = chosen(line)
    return (line[0], *(_on_a_mark(line, place, origin, unit) for place in places[1:-1]), line[-1])


def _inside(ring: Line, y: float) -> Any:
    """What lies inside the outline on the line across at y."""
    return Polygon(ring).intersection(LineString([(-1e4, y), (1e4, y)]))


def _width_at(ring: Line, y: float) -> tuple[float, float] | None:
    """From where to where the outline reaches at y, mm."""
    across = _inside(ring, y)
    return None if across.is_empty or across.length < 1.0 else (float(across.bounds[0]), float(across.bounds[2]))


def _told_level(name: str, level: float | Line) -> tuple[str, float]:
    """Words and y of a level; one that a dart bends is told where it meets the side."""
    if isinstance(level, (int, float)):
        return name, float(level)
    (_, first), (_, last) = level[0], level[-1]
    return (name if abs(first - last) < 1.0 else f"{name}, side"), last


def _levels(piece: Piece, top: float, centre: float, unit: Unit) -> tuple[CardLevel, ...]:
    found = []
    for name, level in piece.levels.items():
        words, y = _told_level(name, level)
        sewing, cutting = _width_at(piece.seam_line, y), _width_at(piece.cut_line, y)
        if sewing and cutting:
            values = (rounded(value, unit) for value in (y - top, sewing[0] - centre, sewing[1] - centre, cutting[1] - centre))
            found.append(CardLevel(words, *values))
    return tuple(sorted(found, key=lambda level: level.down_mm))


def _told_lines(lines: Iterable[tuple[str, Line]], origin: Point, unit: Unit) -> tuple[CardPoint, ...]:
    """Named lines as points on the tape's marks."""
    return tuple(
        CardPoint(name, rounded(y - origin[1], unit), rounded(x - origin[0], unit))
        for name, line in lines
        for x, y in told_points(line, origin, unit)
    )


def _curve_depth(line: Line) -> float:
    """How far a curve falls in from the straight line between its ends, mm."""
    bows = _bows(np.array(line), 0, len(line) - 1)
    return float(bows.max()) if len(bows) else 0.0


def _figures(edges: tuple[Edge, ...], unit: Unit) -> tuple[tuple[str, float], ...]:
    """Neck and armhole in the numbers they are chalked by: width, depth, and the hollow below the straight line."""
    told: list[tuple[str, float]] = []
    for kind, wide, deep in (("neck", "neck width", "neck depth"), ("armhole", "", "armhole depth")):
        line = tuple(point for edge in edges if edge.kind == kind for point in edge.points)
        if not line:
            continue
        (ax, ay), (bx, by) = line[0], line[-1]
        if any(edge.name == "top" for edge in edges):  # what an off-shoulder band leaves
            wide, deep, kind = wide and "top width", "open armhole" if kind == "armhole" else "top depth", kind if kind != "neck" else "top"
        told += [(wide, rounded(abs(bx - ax), unit))] if wide else []
        told += [(deep, rounded(abs(by - ay), unit)), (f"{kind} hollow", rounded(_curve_depth(line), unit))]
    return tuple(told)


def origin_of(piece: Piece) -> Point:
    """Where a piece's numbers count from: out from its centre line (away from the centre: its inner edge), down from its top."""
    inner, top = (min(values) for values in zip(*piece.seam_line, strict=True))
    return 0.0 if -1.0 < inner < 60.0 else inner, top


def card_piece(piece: Piece, unit: Unit) -> CardPiece:
    """The numbers of one piece, rounded as the tape reads."""
    origin = centre, top = origin_of(piece)
    darts = tuple(tuple(CardPoint("dart", rounded(y - top, unit), rounded(x - centre, unit)) for x, y in dart.legs) for dart in piece.darts)
    return CardPiece(
        _levels(piece, top, centre, unit),
        _told_lines(((edge.name, edge.points) for edge in piece.edges), origin, unit),
        {edge.name: len(chosen(edge.points)) == 2 for edge in piece.edges},
        {edge.name: edge.allowance_mm for edge in piece.edges},
        darts,
        _figures(piece.edges, unit),
        _told_lines(((first.edge, first.points) for first in piece.first_cut), origin, unit),
    )


@dataclass(frozen=True, slots=True)
class Quarter:
    """The plain quarter beside the program's figure: what front and back measure at a level, sewn."""

    level: str
    body_mm: float
    front_mm: float
    back_mm: float

    @property
    def plain_mm(self) -> float:
        """Girth ÷ 4, as chalked without the program."""
        return self.body_mm / 4


def _sewn_mm(piece: Piece, level: float | Line) -> float:
    """How wide the piece is at a level once its mouth darts are sewn: a level that a dart bends runs straight then."""
    return float(_inside(piece.seam_line, float(level)).length if isinstance(level, (int, float)) else LineString(level).length)


def _side_width(garment: Garment, parts: tuple[str, ...], level: str) -> float:
    pieces = (piece for piece in garment.pieces if piece.of == "main" and piece.part in parts and level in piece.levels)
    return sum(_sewn_mm(piece, piece.levels[level]) for piece in pieces)


def quarters(garment: Garment) -> tuple[Quarter, ...]:
    """Bust and hip, front and back; levels where darts are closed in the sewing are told by the tape checks instead."""
    rows = (("bust", ("front", "front_side"), ("back", "back_side")), ("hip", ("skirt_front",), ("skirt_back",)))
    found = []
    for level, front, back in rows:
        widths = _side_width(garment, front, level), _side_width(garment, back, level)
        if level in garment.measures and all(widths):
            found.append(Quarter(level, garment.measures[level], *widths))
    return tuple(found)
