"""Stacks: pieces as they lie on the cloth, which of them overlap through the layers of one region, and their outer line. Cloth frame, mm.

R2: the first cut through n layers is the outer line of the union of what those layers keep; later cuts take only what
fewer layers do not keep. What of a line is still to cut: `runs.py`.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import linemerge, substring, unary_union

from projector.garment.pieces import Edge, Garment, Line, Piece
from projector.lay.first_cut import let_out, meeting
from projector.lay.lay import Lay, Placed, Region
from projector.lay.shapes import Turn, fold_axis, half_outline, whole_outline

ON_LINE_MM = 0.05
"""Two lines nearer than the flattening of curves are the same line."""
NEAR_FOLD_MM = 2.0
"""An outer line running this near a fold that a front lies on is cut on the backs alone (contract)."""
CROSSING_MM = 3.0
"""A line that stays beside a fold for less than this along it crosses it."""
INLET_MM = 3.5
"""Half the width of a gap between two pieces of one layer that the outer line does not run into."""


Frame = tuple[tuple[tuple[float, float], tuple[float, float]], tuple[float, float]]
"""(2, 2) matrix and shift: cloth from piece."""


@dataclass(frozen=True, slots=True, eq=False)
class Kept:
    """A placed piece, cloth frame. `halves`: frames of its drafted half and, when opened out on one layer, the other half.

    `keep`: its outline; `first`: with the lines of a first dress; `true`: cut line without the block that is fused;
    `seam`: sewing line; `folds`: where it lies on a fold.
    """

    piece: Piece
    placed: Placed
    halves: tuple[Frame, ...]
    keep: Polygon
    first: Polygon
    true: Polygon
    seam: Polygon
    folds: BaseGeometry

    def at(self, points: Iterable[tuple[float, float]], half: int = 0) -> Line:
        """Piece frame to cloth frame."""
        return cloth_from_piece(points, self.halves[half])

    def own_line(self) -> BaseGeometry:
        """What must be cut for it: the boundary of `first` but for the fold."""
        return (
            self.first.exterior.difference(self.folds.buffer(ON_LINE_MM, quad_segs=2)) if not self.folds.is_empty else self.first.exterior
        )


@dataclass(frozen=True, slots=True, eq=False)
class Stack:
    """What is cut together: the pieces and the region's layers, top first."""

    region: Region
    kept: tuple[Kept, ...]


def cloth_from_piece(points: Iterable[tuple[float, float]], frame: Frame) -> Line:
    """(n) points of the piece frame in the cloth frame."""
    told = np.asarray(list(points), dtype=np.float64).reshape(-1, 2) @ np.asarray(frame[0]).T + np.asarray(frame[1])
    return tuple((float(x), float(y)) for x, y in told)


def kept_in(garment: Garment, lay: Lay) -> list[Kept]:
    """Every placed piece of this lay with its outlines, in the garment's order."""
    order = {piece.name: place for place, piece in enumerate(garment.pieces)}
    regions = {region.id: region for region in lay.regions}
    placed = sorted(lay.placed, key=lambda one: (order[one.piece], one.part, one.outline[0]))
    return [kept_of(garment.piece(one.piece), one, regions[one.region]) for one in placed]


def kept_of(piece: Piece, placed: Placed, region: Region) -> Kept:
    """One placed piece with its outlines. Raises ValueError when the outline is not this piece's."""
    halves = frames(piece, placed)
    outline = Polygon(placed.outline)
    first = outline
    for cut in piece.first_cut:
        for line in meeting([cloth_from_piece(cut.points, frame) for frame in halves]):
            first = let_out(first, LineString(line))
    seam, true = (_whole(ring, halves) for ring in (piece.seam_line, piece.cut_line))
    return Kept(piece, placed, halves, outline, first, true, seam, _on_folds(first, placed, region))


def _whole(ring: Line, halves: tuple[Frame, ...]) -> Polygon:
    """A ring of the piece on the cloth, both halves of an opened piece as one."""
    shapes = [sound(Polygon(cloth_from_piece(ring, frame))) for frame in halves]
    if len(shapes) == 1:
        return shapes[0]
    joined = unary_union([shape.buffer(0.001, join_style="mitre") for shape in shapes])
    return Polygon(max(getattr(joined, "geoms", [joined]), key=lambda one: one.area).exterior)


def sound(shape: Polygon) -> Polygon:
    """The shape itself, or the greatest part of one whose line crosses itself in a corner (drawn as it is, measured without)."""
    if shape.is_valid:
        return shape
    whole = shape.buffer(0)
    return max(getattr(whole, "geoms", [whole]), key=lambda part: part.area)


def frames(piece: Piece, placed: Placed) -> tuple[Frame, ...]:
    """The turn and shift that carry the piece onto its outline, worked out from the outline itself.

    ValueError when the outline is not this piece's: a defect, or a lay of another dress.
    """
    is_open = piece.on_fold and not placed.on_fold
    outline, whole = Polygon(placed.outline), whole_outline(piece) if is_open else half_outline(piece)
    best: tuple[float, Frame] | None = None
    for is_across in (placed.across, not placed.across):
        matrix = Turn(is_across, placed.turned == 180, placed.flipped).matrix
        ring = np.asarray(whole.exterior.coords) @ matrix.T
        shift = np.asarray(outline.bounds[:2]) - ring.min(axis=0)
        odd = float(Polygon(ring + shift).symmetric_difference(outline).area)
        (a, b), (c, d) = matrix.tolist()
        if best is None or odd < best[0] - 1.0:
            best = (odd, (((a, b), (c, d)), (float(shift[0]), float(shift[1]))))
    assert best is not None
    if best[0] > 0.2 * outline.length + 1.0 + 4.0 * piece.block_mm**2:  # a block's corners may be round or square
        raise ValueError(f"the outline laid for {piece.name} is not that piece's (off by {best[0]:.0f} mm2)")
    if not is_open:
        return (best[1],)
    ((a, b), (c, d)), (x, y) = best[1]
    axis = 2.0 * fold_axis(piece)
    return best[1], (((-a, b), (-c, d)), (x + a * axis, y + c * axis))


def fold_line(region: Region, side: str, joins: tuple[str, str]) -> LineString:
    """Where the fold that joins these layers runs."""
    ply = next(one for one in region.ply if one.id == joins[0])
    (x0, x1), (y0, y1) = ply.x, ply.y
    ends = {"y0": [(x0, y0), (x1, y0)], "y1": [(x0, y1), (x1, y1)], "x0": [(x0, y0), (x0, y1)], "x1": [(x1, y0), (x1, y1)]}
    return LineString(ends[side])


def _on_folds(outline: Polygon, placed: Placed, region: Region) -> BaseGeometry:
    if not placed.on_fold:
        return LineString()
    told = []
    for fold in region.folds:
        if set(fold.joins) <= set(placed.on):
            line = fold_line(region, fold.side, fold.joins)
            held = outline.exterior.intersection(line.buffer(ON_LINE_MM, cap_style="flat"))
            runs = [run for run in getattr(held, "geoms", [held]) if run.length > 1.0]
            told += [substring(line, *sorted(_span(line, run))) for run in runs]
    return unary_union(told) if told else LineString()


def _span(line: LineString, run: BaseGeometry) -> tuple[float, float]:
    """From where to where along the line a run beside it reaches."""
    places = [line.project(Point(corner)) for corner in run.coords]
    return min(places), max(places)


def stacks(kept: Sequence[Kept], lay: Lay) -> list[Stack]:
    """Group what is cut together: outlines that overlap, and copies of one piece on one layer in one part."""
    regions = {region.id: region for region in lay.regions}
    groups: list[list[Kept]] = []
    for one in kept:
        touching = [group for group in groups if any(_together(one, other) for other in group)]
        for group in touching:
            groups.remove(group)
        groups.append([other for group in touching for other in group] + [one])
    place = {id(one): number for number, one in enumerate(kept)}
    for group in groups:
        group.sort(key=lambda one: place[id(one)])
    groups.sort(key=lambda group: place[id(group[0])])
    return [Stack(regions[group[0].placed.region], tuple(group)) for group in groups]


def _together(a: Kept, b: Kept) -> bool:
    if a.placed.region != b.placed.region:
        return False
    if a.piece.name == b.piece.name and a.placed.part == b.placed.part and set(a.placed.on) & set(b.placed.on):
        return True
    return bool(a.first.intersects(b.first) and a.first.intersection(b.first).area > 1.0)


def outer_line(kept: Sequence[Kept]) -> tuple[list[Polygon], BaseGeometry]:
    """The outer shapes of the union, and of their boundary what is cut through all.

    Left out: the folds fronts lie on and what runs within 2 mm of them.
    """
    filled = _without_inlets(unary_union([one.first for one in kept]), kept)
    shapes = [Polygon(part.exterior) for part in getattr(filled, "geoms", [filled])]
    line = unary_union([shape.exterior for shape in shapes])
    for one in kept:
        if not one.folds.is_empty:
            strip = one.folds.buffer(NEAR_FOLD_MM, cap_style="flat")
            own = one.own_line().buffer(ON_LINE_MM, quad_segs=2)
            line = line.difference(one.folds.buffer(ON_LINE_MM, quad_segs=2))
            line = line.difference(_running_along(line.intersection(strip.difference(own)), one.folds))
    return shapes, line


def _running_along(lines: BaseGeometry, folds: BaseGeometry) -> BaseGeometry:
    """Of these lines beside a fold those that run along it; what only crosses is a cut like any other."""
    x0, y0, x1, y1 = folds.bounds
    place = 0 if x1 - x0 > y1 - y0 else 1
    merged = linemerge(lines) if lines.geom_type == "MultiLineString" else lines
    runs = [run for run in getattr(merged, "geoms", [merged]) if run.length > 0.0]
    return unary_union([run.buffer(ON_LINE_MM / 5, quad_segs=1) for run in runs if run.bounds[place + 2] - run.bounds[place] > CROSSING_MM])


def _without_inlets(union: BaseGeometry, kept: Sequence[Kept]) -> BaseGeometry:
    """The union with the narrow gaps between neighbours on one layer filled: waste, cut with the upper layers alone."""
    closed = union.buffer(INLET_MM, join_style="mitre").buffer(-INLET_MM, join_style="mitre")
    gaps = closed.difference(union)
    told = [
        gap
        for gap in getattr(gaps, "geoms", [gaps])
        if gap.area > 15.0 and sum(1 for one in kept if one.first.distance(gap) < ON_LINE_MM) > 1 and _between_neighbours(gap, kept)
    ]
    return unary_union([union, *(gap.buffer(0.001) for gap in told)]) if told else union


def _between_neighbours(gap: BaseGeometry, kept: Sequence[Kept]) -> bool:
    near = [one for one in kept if one.first.distance(gap) < ON_LINE_MM]
    return any(set(a.placed.on) & set(b.placed.on) for place, a in enumerate(near) for b in near[place + 1 :])


def cut_edges(kept: Kept, lines: BaseGeometry) -> list[tuple[Edge, tuple[float, float], tuple[float, float]]]:
    """Edges whose cut line is among these lines: edge, middle of its sewing line, direction outward; cloth frame."""
    near = lines.buffer(1.0)
    told = []
    for half in range(len(kept.halves)):
        for edge in kept.piece.edges:
            if edge.fold or edge.allowance_mm <= 0.0:
                continue
            line = LineString(kept.at(edge.points, half))
            for share in (0.5, 0.35, 0.65, 0.2, 0.8):
                middle, out = outward(line, share, kept.seam)
                if near.covers(Point(middle[0] + out[0] * edge.allowance_mm, middle[1] + out[1] * edge.allowance_mm)):
                    told.append((edge, middle, out))
                    break
    return told


def outward(line: LineString, share: float, seam: BaseGeometry) -> tuple[tuple[float, float], tuple[float, float]]:
    """A place on an edge (share of its length) and the unit direction out of the piece there."""
    at = line.interpolate(share, normalized=True)
    here = line.project(at)
    a, b = line.interpolate(max(here - 0.5, 0.0)), line.interpolate(min(here + 0.5, line.length))
    way = np.array([b.x - a.x, b.y - a.y])
    way = way / max(float(np.hypot(*way)), 1e-9)
    out = np.array([way[1], -way[0]])
    if seam.contains(Point(at.x + out[0] * 0.5, at.y + out[1] * 0.5)):
        out = -out
    return (at.x, at.y), (float(out[0]), float(out[1]))
