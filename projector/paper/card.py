"""The chalk card: every piece as numbers a tape can lay down, so that a dress can be finished by hand.

Down from the piece's top, out from its centre line (a piece away from the centre: from its inner edge). Numbers are
rounded as her tape reads, eighths of an inch or millimetres; the tests rebuild each sewing outline from them within 3 mm
(1.6 mm of rounding each way, and what a hand-drawn curve between the points leaves open).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from calibration.units import MM_PER_INCH, Unit, eighths_text
from projector.garment.pieces import Edge, Garment, Line, Piece, Point

SAGITTA_MM = 3.0  # a curve this flat between two points is drawn freely by a trained hand, common practice, no source
STRAIGHT_MM = 1.0  # half a chalk line either side: drawn with a ruler


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

    name: str
    cloth: str
    words: str
    levels: tuple[CardLevel, ...]
    outline: tuple[CardPoint, ...]
    straight: Mapping[str, bool]
    allowances: Mapping[str, float]
    darts: tuple[tuple[CardPoint, ...], ...]
    top_mm: float
    centre_mm: float


def rounded(mm: float, unit: Unit) -> float:
    """To the nearest eighth of an inch, or the nearest millimetre."""
    step = MM_PER_INCH / 8 if unit == "in" else 1.0
    return round(mm / step) * step


def tape_words(mm: float, unit: Unit) -> str:
    """As the tape reads, without the unit: `11 3/4`, `29.8`, `298`."""
    if unit == "in":
        return eighths_text(mm)
    return f"{mm / 10:.1f}" if unit == "cm" else f"{mm:.0f}"


def _sagitta_mm(points: np.ndarray, first: int, last: int) -> float:
    a, b = points[first], points[last]
    chord = b - a
    length = float(np.hypot(*chord))
    between = points[first + 1 : last] - a
    if not len(between):
        return 0.0
    if length < 1e-9:
        return float(np.hypot(*between.T).max())
    return float(np.abs(between[:, 0] * chord[1] - between[:, 1] * chord[0]).max() / length)


def chosen(line: Line) -> tuple[Point, ...]:
    """The fewest equally spaced points (by arc) of a curve whose pieces are flatter than SAGITTA_MM; its ends if straight."""
    points = np.array(line)
    if len(points) == 2 or _sagitta_mm(points, 0, len(points) - 1) < STRAIGHT_MM:
        return (line[0], line[-1])
    reach = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    for pieces in range(3, len(points)):
        places = sorted({int(np.argmin(np.abs(reach - reach[-1] * share / pieces))) for share in range(pieces + 1)})
        if all(_sagitta_mm(points, a, b) < SAGITTA_MM for a, b in pairwise(places)):
            return tuple(line[place] for place in places)
    return line


def _width_at(ring: Line, y: float) -> tuple[float, float] | None:
    from shapely import LineString, Polygon

    cut = Polygon(ring).intersection(LineString([(-1e4, y), (1e4, y)]))
    return None if cut.is_empty or cut.length < 1.0 else (float(cut.bounds[0]), float(cut.bounds[2]))


def _levels(piece: Piece, top: float, centre: float, unit: Unit) -> tuple[CardLevel, ...]:
    found = []
    for name, level in piece.levels.items():
        y = float(level) if isinstance(level, (int, float)) else float(np.mean([point[1] for point in level]))
        sewing, cutting = _width_at(piece.seam_line, y), _width_at(piece.cut_line, y)
        if sewing and cutting:
            values = (rounded(value, unit) for value in (y - top, sewing[0] - centre, sewing[1] - centre, cutting[1] - centre))
            found.append(CardLevel(name, *values))
    return tuple(sorted(found, key=lambda level: level.down_mm))


def _outline(edges: tuple[Edge, ...], top: float, centre: float, unit: Unit) -> tuple[CardPoint, ...]:
    return tuple(CardPoint(edge.name, rounded(y - top, unit), rounded(x - centre, unit)) for edge in edges for x, y in chosen(edge.points))


def card_piece(piece: Piece, unit: Unit, words: str) -> CardPiece:
    """The numbers of one piece, rounded as the tape reads."""
    ring = np.array(piece.seam_line)
    top = float(ring[:, 1].min())
    inner = float(ring[:, 0].min())
    centre = 0.0 if abs(inner) < 60.0 and inner > -1.0 else inner
    darts = tuple(tuple(CardPoint("dart", rounded(y - top, unit), rounded(x - centre, unit)) for x, y in dart.legs) for dart in piece.darts)
    return CardPiece(
        piece.name,
        piece.cloth,
        words,
        _levels(piece, top, centre, unit),
        _outline(piece.edges, top, centre, unit),
        {edge.name: len(chosen(edge.points)) == 2 for edge in piece.edges},
        {edge.name: edge.allowance_mm for edge in piece.edges},
        darts,
        top,
        centre,
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


def _side_width(garment: Garment, parts: tuple[str, ...], level: str) -> float:
    total = 0.0
    for piece in garment.pieces:
        if piece.of == "main" and piece.part in parts and level in piece.levels:
            value = piece.levels[level]
            y = float(value) if isinstance(value, (int, float)) else float(np.mean([point[1] for point in value]))
            if width := _width_at(piece.seam_line, y):
                total += width[1] - width[0]
    return total


def quarters(garment: Garment) -> tuple[Quarter, ...]:
    """Bust and hip, front and back; levels where darts are closed in the sewing are told by the tape checks instead."""
    rows = (("bust", ("front", "front_side"), ("back",)), ("hip", ("skirt_front",), ("skirt_back",)))
    found = []
    for level, front, back in rows:
        widths = _side_width(garment, front, level), _side_width(garment, back, level)
        if level in garment.measures and all(widths):
            found.append(Quarter(level, garment.measures[level], *widths))
    return tuple(found)
