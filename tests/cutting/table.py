"""The virtual table: every cloth's layers and the copies to be cut from them, set up from lay.json and pieces.json. mm."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import shapely
from shapely.geometry import LineString, Point, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import polygonize, unary_union

from tests.cutting.cloth import Copy, Layer, polygons
from tests.cutting.frames import Array, PieceToCloth, carried, find_piece_to_cloth
from tests.cutting.strips import Strips, set_up_strips

Told = Mapping[str, Any]


@dataclass
class Card:
    """A card between two layers of one stack: over it lie the layers down to `depth`."""

    region: str
    depth: int
    stack: BaseGeometry
    over: list[Copy]

    @property
    def is_in(self) -> bool:
        """It stays until the last piece over it is lifted."""
        return not all(copy.is_lifted for copy in self.over)


@dataclass
class Place:
    """One placed outline with the marks that belong to it, in the cloth frame."""

    piece: Told
    cloth: str
    region: str
    copies: list[Copy]
    to_cloth: PieceToCloth


@dataclass
class Table:
    """Everything that lies on the table or was lifted off it."""

    layers: dict[str, Layer] = field(default_factory=dict)
    cloth_of: dict[str, str] = field(default_factory=dict)
    """Ply id to cloth name."""
    bundle_of: dict[str, int] = field(default_factory=dict)
    ply_mm: dict[str, float] = field(default_factory=dict)
    """Cloth name to thickness."""
    parts: dict[str, list[Told]] = field(default_factory=dict)
    places: list[Place] = field(default_factory=list)
    again: list[Place] = field(default_factory=list)
    """Pieces that are cut again, as the changed dress has them, with the same copies as when they were first cut."""
    cards: list[Card] = field(default_factory=list)
    folds: list[tuple[str, str, BaseGeometry]] = field(default_factory=list)
    """Two layers and the line that joins them."""
    strips: Strips | None = None
    """Bias strips for a binding."""

    @property
    def copies(self) -> list[Copy]:
        """Every copy of every piece."""
        return [copy for place in self.places for copy in place.copies]

    def copies_of(self, piece: str, ply: str) -> list[Copy]:
        """The copies a handle names (two when a pair is laid on one open layer)."""
        return [copy for copy in self.copies if copy.piece == piece and copy.ply == ply]

    def drop_waste(self) -> None:
        """Waste goes when it is loose: cloth that hangs together with nothing wanted, within its layer or round a fold."""
        parts = [(layer, part) for layer in self.layers.values() for part in layer.parts]
        kept = {
            number
            for number, (layer, part) in enumerate(parts)
            if layer.wanted(part, self.copies) or (self.strips is not None and self.strips.held_by(layer.id, part))
        }
        touch: dict[int, list[tuple[int, BaseGeometry]]] = {}
        for number, (layer, part) in enumerate(parts):
            for fold, (a, b, line) in enumerate(self.folds):
                if layer.id in (a, b) and part.distance(line) < 0.05:
                    x0, y0, x1, y1 = line.bounds
                    near = shapely.clip_by_rect(part, x0 - 0.05, y0 - 0.05, x1 + 0.05, y1 + 0.05)
                    touch.setdefault(fold, []).append((number, near.buffer(0.06, quad_segs=1).intersection(line)))
        pairs = [
            (one, other)
            for held in touch.values()
            for place, (one, reach) in enumerate(held)
            for other, far in held[place + 1 :]
            if parts[one][0] is not parts[other][0] and reach.intersection(far).length > 2.0
        ]
        while True:
            more = {two for one, two in [*pairs, *((two, one) for one, two in pairs)] if one in kept and two not in kept}
            if not more:
                break
            kept |= more
        for layer in self.layers.values():
            layer.parts = [part for number, (own, part) in enumerate(parts) if own is layer and number in kept]

    def stack_at(self, region: str, lines: BaseGeometry) -> tuple[BaseGeometry, list[Copy]]:
        """The outlines of this region that these lines touch, and their copies: a card reaches no further."""
        found = [copy for copy in self.copies if self.layers[copy.ply].region == region and copy.inner.intersects(lines)]
        return unary_union([copy.first for copy in found]) if found else Polygon(), found


def set_up(lay: Told, pieces: Told) -> Table:
    """Lay all cloths of the order out on one table. Raises ValueError for outlines that are no piece's."""
    table = Table()
    by_name = {piece["name"]: piece for piece in pieces["pieces"]}
    for one in _cloths(lay):
        name = one["cloth"]["name"]
        table.ply_mm[name] = one["cloth"]["ply_mm"]
        table.parts[name] = one["parts"]
        for region in one["fold"]["regions"]:
            _lay_region(table, name, region)
        joins = {region["id"]: region["folds"] for region in one["fold"]["regions"]}
        for placed in one["placed"]:
            piece = by_name[placed["piece"]]
            table.places.append(_place(table, piece.get("was") or piece, placed, joins[placed["region"]]))
            if piece.get("was"):
                table.again.append(_again(piece, placed, table.places[-1]))
    table.strips = set_up_strips(table, lay)
    return table


def _again(piece: Told, placed: Told, first: Place) -> Place:
    """The changed piece where its shift carries it, and where its copies must end when they are cut again."""
    to_cloth = carried(piece, placed)
    end = with_first_cuts(
        to_cloth.shape(piece["cut_line"]), [line for told in piece["first_cut"] for line in _first_lines(to_cloth.halves(told["points"]))]
    )
    for copy in first.copies:
        copy.again = max(polygons(end.intersection(copy.trimmed or copy.first)), key=lambda part: part.area)
    return Place(piece, placed["cloth"], placed["region"], first.copies, to_cloth)


def _cloths(lay: Told) -> Iterator[Told]:
    yield lay
    yield from lay["others"].values()


def _lay_region(table: Table, cloth: str, region: Told) -> None:
    extent = {}
    for depth, ply in enumerate(region["ply"]):
        if ply["id"] in table.layers:
            raise ValueError(f"ply id {ply['id']} is used twice")
        extent[ply["id"]] = (*ply["x"], *ply["y"])
        table.layers[ply["id"]] = Layer(ply["id"], depth, region["id"], [box(ply["x"][0], ply["y"][0], ply["x"][1], ply["y"][1])])
        table.cloth_of[ply["id"]] = cloth
        table.bundle_of[ply["id"]] = region["bundle"]
    for fold in region["folds"]:
        a, b = fold["joins"]
        table.folds.append((a, b, _fold_line(fold["side"], extent[a]).intersection(_fold_line(fold["side"], extent[b]).buffer(0.01))))


def _fold_line(side: str, extent: tuple[float, float, float, float]) -> LineString:
    x0, x1, y0, y1 = extent
    ends = {"y0": [(x0, y0), (x1, y0)], "y1": [(x0, y1), (x1, y1)], "x0": [(x0, y0), (x0, y1)], "x1": [(x1, y0), (x1, y1)]}
    return LineString(ends[side])


def _place(table: Table, piece: Told, placed: Told, folds: list[Told]) -> Place:
    to_cloth = find_piece_to_cloth(piece, placed)
    keep = Polygon(placed["outline"])
    first = with_first_cuts(keep, [line for told in piece["first_cut"] for line in _first_lines(to_cloth.halves(told["points"]))])
    trimmed = to_cloth.shape(piece["cut_line"]) if piece["block_mm"] else None
    copies = []
    for ply in placed["on"]:
        mates = [
            line
            for line in table.folds
            if ply in line[:2] and placed["on_fold"] and line[2].buffer(0.1).intersection(keep.boundary).length > 5
        ]
        others = tuple(other for a, b, _ in mates for other in (a, b) if other != ply and other in placed["on"])
        copies.append(Copy(placed["piece"], ply, placed["part"], keep, first, others, trimmed))
    return Place(piece, placed["cloth"], placed["region"], copies, to_cloth)


def _first_lines(halves: list[Array]) -> list[Array]:
    """One line from end to end where the two halves of an opened piece share a place on its middle."""
    if len(halves) == 2:
        for one, other in ((halves[0], halves[1]), (halves[0][::-1], halves[1][::-1])):
            if float(np.hypot(*(one[-1] - other[-1]))) < 0.1:
                return [np.vstack([one, other[::-1]])]
    return halves


def with_first_cuts(keep: Polygon, lines: list[Array]) -> Polygon:
    """The outline let out to the lines of a first dress.

    Each line ends on the outline or on a neighbour's straight run on: the strip between is the faces that the line, the
    outline and the run-ons of its corners enclose outside the outline.
    """
    shape = keep
    for line in lines:
        ends = [Point(line[0]), Point(line[-1])]
        edges = [_lengthened(line), keep.boundary, *(run for end in ends for run in _run_ons(keep, end))]
        faces = [
            face
            for face in polygonize(unary_union(edges))
            if face.representative_point().distance(keep) > 0.0 and face.boundary.intersection(LineString(line).buffer(0.01)).length > 1.0
        ]
        shape = unary_union([shape, *(face.buffer(0.005) for face in faces)])
    return max(getattr(shape, "geoms", [shape]), key=lambda part: part.area)


def _lengthened(line: Array) -> LineString:
    """The line a fifth of a millimetre longer at both ends, so that it crosses what it only touches."""
    first, last = line[0] - line[1], line[-1] - line[-2]
    return LineString(np.vstack([line[0] + first / np.hypot(*first) * 0.2, line, line[-1] + last / np.hypot(*last) * 0.2]))


def _run_ons(keep: Polygon, end: Point) -> list[LineString]:
    """From the nearest corner of the outline straight on to this end (a hair beyond it).

    The nearest alone: where both ends of a half circle's waist lie on one straight line, the far corner would run on across the waist.
    """
    if end.distance(keep.boundary) < 0.1:
        near = keep.boundary.interpolate(keep.boundary.project(end))
        return [LineString([near, (2 * end.x - near.x, 2 * end.y - near.y)])] if near.distance(end) > 0 else []
    ring = list(keep.exterior.coords)[:-1]
    told = []
    for here, corner in enumerate(ring):
        way = (end.x - corner[0], end.y - corner[1])
        far = (way[0] ** 2 + way[1] ** 2) ** 0.5
        for before in (ring[here - 1], ring[(here + 1) % len(ring)]):
            run = (corner[0] - before[0], corner[1] - before[1])
            size = (run[0] ** 2 + run[1] ** 2) ** 0.5
            if size * far and abs(run[0] * way[1] - run[1] * way[0]) / size < 0.2 and run[0] * way[0] + run[1] * way[1] > 0 and far < 150:
                told.append((far, LineString([corner, (end.x + way[0] * 0.05 / far, end.y + way[1] * 0.05 / far)])))
    least = min((far for far, _ in told), default=0.0)
    return [run for far, run in told if far < least + 0.05]
