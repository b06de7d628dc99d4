"""Every piece on every layer as the steps done left it, and what a changed draft of it finds there. Pure; cloth frame, mm.

A piece that is begun by its old line is finished by it: what the change takes away is cut again in hand, what it adds comes out
of the allowances.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from projector.garment.alter import LEAST_LEFT_MM, allowance_left_mm
from projector.garment.pieces import Garment, Piece
from projector.lay.again import carried
from projector.lay.lay import Lay, Region
from projector.steps.before import stroke
from projector.steps.remains import Remains
from projector.steps.stack import ON_LINE_MM, Kept, kept_in, kept_of
from projector.steps.step import Step

Way = tuple[float, float]
ENOUGH_MM = 0.3
"""A new line may stand off so much and is the old one: thinner than a chalk line."""
LESS_MM = 1.6
"""An allowance may be so much smaller than the least that is sewn: 1/16 in, which no shears trim. Common practice, no source."""
SAME_MM = 0.05
"""What curves are flattened to."""
BEGUN_MM = 1.0
"""A piece with less of its line cut than this is not begun."""


@dataclass(frozen=True, slots=True, eq=False)
class Copy:
    """One piece on one layer. `have`: the cloth it lies in, or is; `cut`: what of its line is cut."""

    kept: Kept
    ply: str
    have: BaseGeometry
    cut: BaseGeometry
    is_loose: bool

    @property
    def is_begun(self) -> bool:
        """Something of its line is cut."""
        return self.is_loose or bool(self.cut.length > BEGUN_MM)


def edge_of(kept: Kept) -> Polygon:
    """Where it ends once it is cut: its line of a first dress, or its true line inside the block."""
    return kept.true if kept.piece.block_mm else kept.first


def copies_cut(garment: Garment, lay: Lay, steps: Sequence[Step], done: Collection[int]) -> list[tuple[Lay, list[Copy]]]:
    """Every cloth that something was cut of, with all copies that lie on it."""
    facts = [step for number, step in enumerate(steps) if number in done and step.is_fact and not step.is_again]
    told = []
    for one in lay.lays:
        mine = [step for step in facts if step.cloth == one.cloth.name and step.through]
        if mine:
            told.append((one, _copies(one, kept_in(garment.as_cut(), one), mine)))
    return told


def _copies(lay: Lay, kept: list[Kept], facts: Sequence[Step]) -> list[Copy]:
    remains = Remains(lay.regions, kept)
    loose: set[tuple[str, str]] = set()
    cut: dict[str, list[BaseGeometry]] = {}
    for step in facts:
        lines = [stroke(line) for line in step.lines if line.kind == "cut" and line.when == "now"]
        remains.cut(lines, step.through)
        loose |= {(one.piece, one.ply) for one in step.frees}
        for ply in step.through:
            cut.setdefault(ply, []).extend(lines)
    told = []
    for one in kept:
        line = one.own_line()
        for ply in one.placed.on:
            made = line.intersection(unary_union(cut.get(ply, [])).buffer(ON_LINE_MM, quad_segs=2))
            # two copies of a piece on one layer share their name: the loose one has its line cut
            is_loose = (one.piece.name, ply) in loose and made.length > 0.5 * line.length
            told.append(Copy(one, ply, _cloth_of(remains, one, ply), made, is_loose))
    return told


def _cloth_of(remains: Remains, kept: Kept, ply: str) -> BaseGeometry:
    inside = kept.keep.representative_point()
    return next((part for part in remains.cloth[ply] if part.contains(inside)), Polygon())


def drawn_anew(new: Piece, old: Kept, regions: Mapping[str, Region]) -> Kept:
    """The changed piece where its old one lay."""
    return kept_of(new, carried(old.placed, new), regions[old.placed.region])


def goes_by_old_line(new: Piece, copies: Sequence[Copy], regions: Mapping[str, Region]) -> bool:
    """Some of its line is cut where the changed draft has another: it is cut as begun."""
    for copy in copies:
        if copy.is_begun and new.on_fold == copy.kept.piece.on_fold:
            edge = drawn_anew(new, copy.kept, regions).first.exterior
            line = copy.kept.first.exterior if copy.is_loose else copy.cut
            least = SAME_MM if copy.is_loose else ENOUGH_MM  # a piece in hand stays as it is cut
            if _farthest(line, edge) > least or (copy.is_loose and _farthest(edge, line) > least) or _trims(new, copy, regions):
                return True
    return False


def _trims(new: Piece, copy: Copy, regions: Mapping[str, Region]) -> bool:
    """A block that is loose: its true line differs."""
    if not (copy.is_loose and new.block_mm):
        return False
    return _farthest(drawn_anew(new, copy.kept, regions).true.exterior, copy.kept.true.exterior) > ENOUGH_MM


def _farthest(line: BaseGeometry, other: BaseGeometry) -> float:
    """How far some corner of the line lies from the other."""
    corners = shapely.points(shapely.get_coordinates(line))
    return float(shapely.distance(corners, other).max()) if len(corners) else 0.0


def way_in_hand(new: Piece, old: Kept, regions: Mapping[str, Region]) -> tuple[Way, str, float]:
    """How far the changed piece is moved on what is cut by the old line, the edge that lacks most then, and how much it lacks
    (up to LESS_MM is enough).

    It stays where it is when that is enough; on a fold it moves along it only.
    """
    edge, told = edge_of(old), drawn_anew(new, old, regions)
    a, b = np.reshape(edge_of(told).bounds, (2, 2)), np.reshape(edge.bounds, (2, 2))
    shifts = [np.zeros(2), b[0] - a[0], b[1] - a[1], (b[0] + b[1] - a[0] - a[1]) / 2]
    ways = [(float(x[0]), float(y[1])) for x in shifts for y in shifts]
    if not old.folds.is_empty:
        x0, y0, x1, y1 = old.folds.bounds
        ways = [(dx, 0.0) if x1 - x0 > y1 - y0 else (0.0, dy) for dx, dy in ways]
    lacking = ((way, *_lacks_most(new, told, way, old)) for way in dict.fromkeys(ways))
    return min(lacking, key=lambda one: max(one[2], LESS_MM))


def _lacks_most(new: Piece, told: Kept, way: Way, old: Kept) -> tuple[str, float]:
    """The edge whose allowance left on the old piece falls most short of what can still be sewn, and by how much."""
    edge = edge_of(old)
    cut_edge = edge.exterior.difference(old.folds.buffer(ON_LINE_MM)) if not old.folds.is_empty else edge.exterior
    worst = ("", 0.0)
    for half in range(len(told.halves)):
        for one in new.edges:
            if one.fold or one.kind == "dart":
                continue
            sewn = tuple((x + way[0], y + way[1]) for x, y in told.at(one.points, half))
            lack = min(LEAST_LEFT_MM, one.allowance_mm) - allowance_left_mm(sewn, edge, cut_edge)
            worst = max(worst, (one.name, lack), key=lambda each: each[1])
    return worst
