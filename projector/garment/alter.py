"""After a fitting: the dress drawn again with its lines moved, left and right apart; does the cloth that is left cover it; where to trim.

Three kinds. The body changed: measure again, draft anew, then compare here. This figure always, and this dress only: lines of
draft/adjust.py. The wider side is cut on both sides, the other one trimmed by its own line.
"""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Literal

import numpy as np
import shapely

from calibration.units import Unit, length_text
from projector.draft.adjust import Adjust, adjust_from
from projector.draft.style import Style
from projector.garment.build import build
from projector.garment.pieces import Edge, Garment, Line, Piece, line_length

Changes = Mapping[str, float]
Side = Literal["left", "right", "both"]
LEAST_LEFT_MM = 6.4
"""The least allowance that can still be sewn: 1/4 in (seam allowance pages; the trade trims underarms to it)."""
LEAST_TRIM_MM = 1.6
"""1/16 in: less is not trimmed with shears, nor told as missing. Common practice, no source."""
MOVED_MM = 0.5
SHORTEST_TRIM_MM = 5.0


@dataclass(frozen=True, slots=True)
class Altered:
    """What is cut (the wider of both sides), and each side as it is sewn; `is_even`: both sides alike."""

    cut: Garment
    left: Garment
    right: Garment
    is_even: bool


@dataclass(frozen=True, slots=True)
class Cover:
    """One edge of a piece already cut against its new sewing line. `left_mm`: the smallest allowance that remains (negative: none)."""

    piece: str
    edge: str
    left_mm: float
    is_covered: bool

    def says(self, unit: Unit) -> str:
        """For the phone and the paper."""
        if self.is_covered:
            return f"{self.piece}, {self.edge}: {length_text(self.left_mm, unit)} of allowance remains."
        short_mm = LEAST_LEFT_MM - self.left_mm
        short = length_text(short_mm, unit) if short_mm >= LEAST_TRIM_MM else "less than 1/8 in" if unit == "in" else "less than 0.2 cm"
        return f"{self.piece}, {self.edge}: the cloth is {short} short. Piece it on, or let out less."


@dataclass(frozen=True, slots=True)
class Trim:
    """A new cut line for an edge of the opened piece, where it lies inside the old one. Piece frame, mm."""

    piece: str
    edge: str
    points: Line


def _wider(left: Adjust, right: Adjust) -> Adjust:
    """Line by line what leaves more cloth; a neck that is cut less deep leaves more."""
    values = {}
    for line in fields(Adjust):
        pick = min if line.name.startswith("neck_") else max
        values[line.name] = pick(getattr(left, line.name), getattr(right, line.name))
    return Adjust(**values)


def alter(measures: Mapping[str, float], style: Style, both: Changes, left: Changes | None = None, right: Changes | None = None) -> Altered:
    """Draft with the lines of a fitting. `both`, `left`, `right`: amounts in mm by line. Raises WrongInput, DraftRefused."""
    shared = adjust_from(both)
    to_left, to_right = shared.plus(adjust_from(left or {})), shared.plus(adjust_from(right or {}))
    if to_left == to_right:
        same = build(measures, style, to_left)
        return Altered(same, same, same, True)
    wide = _wider(to_left, to_right)
    drawn = {adjust: build(measures, style, adjust) for adjust in {wide, to_left, to_right}}
    return Altered(drawn[wide], drawn[to_left], drawn[to_right], False)


def _ring(line: Line) -> shapely.Polygon:
    return shapely.Polygon(line)


def allowance_left_mm(sewn: Line, cloth: shapely.Polygon, cut_edge: shapely.Geometry) -> float:
    """Smallest distance from a sewing line out to the cut edge of the cloth it lies on; negative where it leaves the cloth.

    The line's own ends are not asked: there the seams beside it begin. All in one frame, mm.
    """
    places = shapely.points(shapely.get_coordinates(shapely.segmentize(shapely.LineString(sewn), 5.0)))
    inner = places[1:-1] if len(places) > 3 else places
    away = shapely.distance(inner, cut_edge)
    return float(np.where(shapely.covers(cloth, inner), away, -away).min())


def _left_on(was: Piece, edge: Edge) -> float:
    """What a piece already cut leaves outside a new sewing line; its fold is no cut edge."""
    cut = _ring(was.cut_line)
    return allowance_left_mm(edge.points, cut, shapely.difference(cut.exterior, shapely.union_all(_fold_lines(was))))


def _fold_lines(piece: Piece) -> list[shapely.Geometry]:
    """Folds drawn on beyond the sewing line, as far as the allowances reach."""
    lines: list[shapely.Geometry] = []
    for edge in piece.edges:
        if edge.fold:
            (x0, y0), (x1, y1) = edge.points[0], edge.points[-1]
            lines.append(shapely.LineString([(2 * x0 - x1, 2 * y0 - y1), (2 * x1 - x0, 2 * y1 - y0)]).buffer(0.05))
    return lines


def _pairs(before: Garment, after: Garment) -> list[tuple[Piece, Piece]]:
    old = {piece.name: piece for piece in before.pieces}
    return [(old[piece.name], piece) for piece in after.pieces if piece.name in old]


def covers(before: Garment, after: Garment) -> tuple[Cover, ...]:
    """Every edge whose sewing line moved: how much of the cloth cut before is left outside it."""
    found = []
    for was, now in _pairs(before, after):
        if now.of == "interfacing":
            continue
        old = {edge.name: edge for edge in was.edges}
        for edge in now.edges:
            if edge.fold or edge.kind == "dart" or not _has_moved(old.get(edge.name), edge):
                continue
            left = _left_on(was, edge)
            found.append(Cover(now.name, edge.name, round(left, 2), left >= min(LEAST_LEFT_MM, edge.allowance_mm) - 0.05))
    return tuple(found)


def _has_moved(old: Edge | None, new: Edge) -> bool:
    if old is None:
        return True
    away = shapely.hausdorff_distance(shapely.LineString(old.points), shapely.LineString(new.points))
    return float(away) > MOVED_MM


def trims(before: Garment, after: Garment) -> tuple[Trim, ...]:
    """The new cut line wherever it lies inside the cloth cut before: to be shown on the opened piece and cut again."""
    found = []
    for was, now in _pairs(before, after):
        cloth = _ring(was.cut_line)
        new = shapely.LineString([*now.cut_line, now.cut_line[0]])
        inside = shapely.intersection(new, cloth.buffer(-MOVED_MM))
        for run in _runs(inside):
            nearest = min(
                (edge for edge in now.edges if not edge.fold and edge.kind != "dart"),
                key=lambda edge: float(shapely.LineString(edge.points).distance(run.centroid)),
            )
            found.append(Trim(now.name, nearest.name, tuple((round(x, 4), round(y, 4)) for x, y in run.coords)))
    return tuple(trim for trim in found if line_length(trim.points) > SHORTEST_TRIM_MM)


def _runs(shape: shapely.Geometry) -> list[shapely.LineString]:
    """Joined runs of an intersection."""
    merged = shapely.line_merge(shape) if shape.geom_type == "MultiLineString" else shape
    return [part for part in shapely.get_parts(merged) if part.geom_type == "LineString" and part.length > 0]
