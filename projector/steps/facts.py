"""Cut is a fact: what a later change of measures or style still finds in the cloth, and what it lacks. Pure; mm.

Steps done are replayed on the layers. Each piece of the new dress is laid where its old one lay; what is cut loose is
cloth in hand and may be moved a little on the new outline, what still hangs in the cloth stays in its place.
"""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from calibration.errors import Refused
from calibration.units import Unit, length_text
from projector.garment.pieces import Garment, Piece
from projector.lay.lay import Lay
from projector.lay.shapes import half_outline, whole_outline
from projector.steps.before import stroke
from projector.steps.remains import Remains
from projector.steps.stack import Kept, cloth_from_piece, keep
from projector.steps.step import Step

ENOUGH_MM = 0.3
"""The new cut line may stick out this much: thinner than a chalk line."""


@dataclass(frozen=True, slots=True)
class Missing:
    """What one piece of the changed dress lacks. `edge`: where it is most; `place`: its layer, None when it has no place at all."""

    piece: str
    place: str | None
    edge: str
    amount_mm: float

    def text(self, unit: Unit) -> str:
        """In words, with the amount."""
        if self.place is None:
            return f"{self.piece.replace('_', ' ')}: nothing was laid for it"
        return f"{self.piece.replace('_', ' ')}: {length_text(self.amount_mm, unit)} too little at {self.edge.replace('_', ' ')}"


def missing_cloth(garment: Garment, lay: Lay, steps: Sequence[Step], done: Collection[int], changed: Garment) -> tuple[Missing, ...]:
    """What a change lacks after the steps done (numbers from 0). Empty: the remaining cloth allows it.

    A cloth on which nothing was cut yet is free: it is laid again.
    """
    told: list[Missing] = []
    facts = [step for number, step in enumerate(steps) if number in done and step.is_fact]
    for one in (lay, *lay.others.values()):
        mine = [step for step in facts if step.cloth == one.cloth.name]
        if not mine:
            continue
        kept = keep(garment, one)
        laid = {piece.piece.name for piece in kept}
        for piece in changed.pieces:
            if piece.cloth == one.cloth.name and piece.name not in laid:
                told.append(Missing(piece.name, None, "", _size(piece)))
        told += _lacks(one, kept, mine, {piece.name: piece for piece in changed.pieces})
    return tuple(told)


def refuse_what_is_missing(missing: Sequence[Missing], unit: Unit) -> None:
    """Raise Refused naming each piece and the amount. Nothing missing: nothing happens."""
    if missing:
        worst = sorted(missing, key=lambda one: -one.amount_mm)
        raise Refused(
            "The cloth already cut does not allow this change.",
            "; ".join(dict.fromkeys(one.text(unit) for one in worst[:4])) + ".",
            "Keep the cut pieces as they are, or cut those pieces again from new cloth.",
        )


def _size(piece: Piece) -> float:
    x0, y0, x1, y1 = Polygon(piece.cut_line).bounds
    return float(min(x1 - x0, y1 - y0))


def _lacks(lay: Lay, kept: list[Kept], facts: Sequence[Step], changed: dict[str, Piece]) -> Iterator[Missing]:
    remains = Remains(lay.regions, kept)
    loose: set[tuple[str, str]] = set()
    trimmed: set[tuple[str, str]] = set()
    for step in facts:
        lines = [stroke(line) for line in step.lines if line.kind == "cut" and line.when == "now"]
        if step.through:
            remains.cut(lines, step.through)
            loose |= {(one.piece, one.ply) for one in step.frees}
        else:
            trimmed |= {(one.piece, one.ply) for one in step.handles}
    wanted: list[tuple[Kept, str, BaseGeometry]] = []
    for one in kept:
        new = changed.get(one.piece.name)
        if new is None:
            continue
        for ply in one.placed.on:
            key = (one.piece.name, ply)
            have = one.true if key in trimmed else _cloth_of(remains, one, ply)
            outline = _laid(new, one, is_block=key not in trimmed)
            if key in loose:
                outline = _moved(outline, have, one)
            else:
                wanted.append((one, ply, outline))
            lack = _sticking_out(outline, have)
            if one.piece.on_fold != new.on_fold or lack > ENOUGH_MM:
                amount = lack if one.piece.on_fold == new.on_fold else max(lack, _size(new))
                yield Missing(new.name, ply, _edge_at(new, one, outline, have), amount)
    yield from _in_each_others_way(lay, wanted)


def _cloth_of(remains: Remains, kept: Kept, ply: str) -> BaseGeometry:
    inside = kept.keep.representative_point()
    return next((part for part in remains.cloth[ply] if part.contains(inside)), Polygon())


def _laid(new: Piece, old: Kept, is_block: bool) -> Polygon:
    """The new outline where the old piece lay."""
    shape = (half_outline(new) if old.placed.on_fold or not new.on_fold else whole_outline(new)) if is_block else Polygon(new.cut_line)
    return Polygon(cloth_from_piece([(x, y) for x, y in shape.exterior.coords], old.halves[0]))


def _moved(outline: Polygon, have: BaseGeometry, old: Kept) -> Polygon:
    """A loose piece's new outline moved to where it lacks least; along the fold only, where it lies on one."""
    if have.is_empty:
        return outline
    a, b = np.reshape(outline.bounds, (2, 2)), np.reshape(have.bounds, (2, 2))
    shifts = [np.zeros(2), b[0] - a[0], b[1] - a[1], (b[0] + b[1] - a[0] - a[1]) / 2]
    every = [(x[0], y[1]) for x in shifts for y in shifts]
    if not old.folds.is_empty:
        x0, y0, x1, y1 = old.folds.bounds
        every = [(dx, 0.0) if x1 - x0 > y1 - y0 else (0.0, dy) for dx, dy in every]
    moved = [shapely.transform(outline, lambda told, way=way: told + np.asarray(way)) for way in dict.fromkeys(every)]
    return min(moved, key=lambda shape: _sticking_out(shape, have))


def _sticking_out(outline: Polygon, have: BaseGeometry) -> float:
    """How far the outline reaches beyond this cloth."""
    if have.is_empty:
        return float(outline.length)
    out = outline.difference(have)
    if out.is_empty:
        return 0.0
    return float(max(Point(place).distance(have) for part in getattr(out, "geoms", [out]) for place in part.exterior.coords))


def _edge_at(new: Piece, old: Kept, outline: Polygon, have: BaseGeometry) -> str:
    """The edge nearest to where most is missing."""
    places = list(outline.exterior.coords)
    worst = Point(max(places, key=lambda place: Point(place).distance(have))) if not have.is_empty else outline.centroid
    edges = [(LineString(cloth_from_piece(edge.points, old.halves[0])).distance(worst), edge.name) for edge in new.edges if not edge.fold]
    return min(edges, default=(0.0, ""))[1]


def _in_each_others_way(lay: Lay, wanted: Sequence[tuple[Kept, str, BaseGeometry]]) -> Iterator[Missing]:
    """New outlines that do not keep the gap to one another on a layer where both still hang in the cloth."""
    for place, (one, ply, shape) in enumerate(wanted):
        for other, where, there in wanted[place + 1 :]:
            if where != ply or one is other or shape.distance(there) >= lay.cloth.gap_mm - ENOUGH_MM:
                continue
            both = shape.intersection(there)
            deep = 0.0 if both.is_empty else min(both.bounds[2] - both.bounds[0], both.bounds[3] - both.bounds[1])
            yield Missing(one.piece.name, ply, f"the side of {other.piece.name}", float(deep + lay.cloth.gap_mm - shape.distance(there)))
