"""Cut is a fact: what a later change of measures or style still finds in the cloth, and what it lacks. Pure; mm.

Steps done are replayed on the layers. Each piece of the new dress is laid where its old one lay. Where nothing of it is cut yet
the cloth must hold its whole cut line; what is begun must leave every sewing line an allowance that can still be sewn.
"""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from calibration.errors import Refused
from calibration.units import Unit, length_text
from projector.garment.pieces import Garment, Piece
from projector.lay.lay import Lay
from projector.lay.shapes import half_outline, whole_outline
from projector.steps.copies import ENOUGH_MM, LESS_MM, Copy, copies_cut, goes_by_old_line, way_in_hand
from projector.steps.stack import Kept, cloth_from_piece
from projector.steps.step import Step


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
    for one, copies in copies_cut(garment, lay, steps, done):
        laid = {copy.kept.piece.name for copy in copies}
        for piece in changed.pieces:
            if piece.cloth == one.cloth.name and piece.name not in laid:
                told.append(Missing(piece.name, None, "", _size(piece)))
        told += _lacks(one, copies, {piece.name: piece for piece in changed.pieces})
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


def _lacks(lay: Lay, copies: Sequence[Copy], changed: dict[str, Piece]) -> Iterator[Missing]:
    """What the pieces of one cloth lack: those begun by their old line of allowance, the others of cloth."""
    regions = {region.id: region for region in lay.regions}
    wanted: list[tuple[Kept, str, BaseGeometry]] = []
    for name in dict.fromkeys(copy.kept.piece.name for copy in copies):
        new, mine = changed.get(name), [copy for copy in copies if copy.kept.piece.name == name]
        if new is None:
            continue
        if new.on_fold != mine[0].kept.piece.on_fold:
            yield Missing(name, mine[0].ply, min(edge.name for edge in new.edges), _size(new))
        elif goes_by_old_line(new, mine, regions):
            for copy in mine:
                _, edge, lack = way_in_hand(new, copy.kept, regions)
                if lack > LESS_MM:
                    yield Missing(name, copy.ply, edge, lack)
        else:
            for copy in mine:
                outline = _laid(new, copy.kept)
                wanted.append((copy.kept, copy.ply, outline))
                lack = _sticking_out(outline, copy.have)
                if lack > ENOUGH_MM:
                    yield Missing(name, copy.ply, _edge_at(new, copy.kept, outline, copy.have), lack)
    yield from _in_each_others_way(lay, wanted)


def _laid(new: Piece, old: Kept) -> Polygon:
    """The new outline where the old piece lay."""
    shape = half_outline(new) if old.placed.on_fold or not new.on_fold else whole_outline(new)
    return Polygon(cloth_from_piece([(x, y) for x, y in shape.exterior.coords], old.halves[0]))


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
