"""The same places for changed pieces: a line moved at the table, everything stays where it lies as far as there is room."""

from collections.abc import Collection, Mapping
from dataclasses import replace
from itertools import combinations

import numpy as np
from shapely.affinity import translate
from shapely.geometry import Polygon

from projector.garment.pieces import Garment, Piece, Point
from projector.lay.by_hand import renewed
from projector.lay.cloth import Cloth, Light
from projector.lay.lay import Lay, Placed, Region
from projector.lay.parts import fits
from projector.lay.realise import GAP_TOL_MM, faults_of
from projector.lay.shapes import Turn, half_outline, line_of, ring_of, whole_outline

Room = tuple[float, float, float]
"""x0, y0, y1 of the cloth in one stack, mm."""
IN_LIGHT_MM = 1.0
MOST_PUSHES = 60
PUSHES_MM = tuple(float(far) for far in range(1, 61))
"""No line moves by more than 60 mm at the table."""


def with_pieces(lay: Lay, garment: Garment) -> Lay:
    """One cloth's lay with the outlines of another draft of the same pieces, each carried by its own turn and shift."""
    placed = tuple(_again(each, garment) for each in lay.placed)
    area = sum(Polygon(each.outline).area * len(each.on) for each in placed)
    return replace(lay, placed=placed, utilisation=area / (lay.cloth.width_mm * lay.cloth_needed_mm))


def all_with_pieces(lay: Lay, garment: Garment) -> tuple[Lay, list[str]]:
    """The lay of all cloths with the outlines of another draft of the same pieces, and what is wrong with it; nothing is moved."""
    others = {name: with_pieces(one, garment) for name, one in lay.others.items()}
    laid = replace(with_pieces(lay, garment), others=others)
    return laid, [fault for one in laid.lays for fault in faults_of(one)]


def _again(placed: Placed, garment: Garment) -> Placed:
    piece = garment.piece(placed.piece)
    return placed if piece.was is not None else carried(placed, piece)


def carried(placed: Placed, piece: Piece) -> Placed:
    """Another draft of this piece carried to its place by its own turn and shift."""
    outline = whole_outline(piece) if piece.on_fold and not placed.on_fold else half_outline(piece)
    matrix = Turn(placed.across, placed.turned == 180, placed.flipped).matrix
    return replace(placed, outline=line_of(ring_of(outline) @ matrix.T + np.asarray(placed.shift)))


def _is_lit(lay: Lay) -> bool:
    """Every outline still lies in the part of the light it belongs to."""
    for placed in lay.placed:
        x0, y0, x1, y1 = lay.parts[placed.part].rect
        box = np.asarray(placed.outline)
        if (box.min(axis=0) < (x0 - IN_LIGHT_MM, y0 - IN_LIGHT_MM)).any() or (box.max(axis=0) > (x1 + IN_LIGHT_MM, y1 + IN_LIGHT_MM)).any():
            return False
    return True


def laid_again(lay: Lay, garment: Garment, cloth: Cloth, light: Light, is_cut: Collection[str] = ()) -> tuple[Lay, list[str]]:
    """The lay with the changed pieces where they lay, and what is wrong with it; [] when it may be cut.

    Parts and length are worked out anew only when a piece has grown out of its light or its cloth. Pieces not in `is_cut` give
    way to a neighbour that grew.
    """
    same = with_pieces(lay, garment)
    if not faults_of(same) and _is_lit(same):
        return same, []
    longer = renewed(eased(same, is_cut), cloth, light, {piece.name: piece for piece in garment.pieces})
    if len(longer.parts) == len(lay.parts):  # what still fits its part stays in it, and with it the order of the cuts
        lit = [
            replace(now, part=was.part if fits(now, longer.parts[was.part]) else now.part)
            for was, now in zip(lay.placed, longer.placed, strict=True)
        ]
        longer = replace(longer, placed=tuple(lit))
    faults = faults_of(longer)
    for region in longer.regions:
        have = longer.cloth.lengths_mm[region.bundle]
        faults += [f"the cloth is {ply.x[1] - have:.0f} mm short" for ply in region.ply if ply.x[1] > have + IN_LIGHT_MM]
    return longer, faults


def eased(lay: Lay, is_cut: Collection[str] = ()) -> Lay:
    """Pieces that have come too near each other or the cloth's edge are pushed apart by what is missing; fold pieces along only.

    A few small pushes, no search: `faults_of` tells whether it was enough.
    """
    rooms = {region.id: _room(lay, region) for region in lay.regions}
    places = [placed if placed.piece in is_cut else placed.moved(*_back_in(placed, rooms[placed.region])) for placed in lay.placed]
    stuck = {number for number, placed in enumerate(places) if placed.piece in is_cut}
    for _ in range(MOST_PUSHES):
        shapes = [Polygon(placed.outline) for placed in places]
        near = _nearest(places, shapes, rooms, lay.cloth.gap_mm, stuck)
        if near is None:
            break
        mover, by = near
        places[mover] = places[mover].moved(*by)
    return replace(lay, placed=tuple(places))


def _room(lay: Lay, region: Region) -> Room:
    """Where a piece off the folds may lie in this stack; the far end is open, the length is counted afterwards."""
    half = {fold.side: lay.cloth.gap_mm / 2.0 for fold in region.folds}
    x0 = max(ply.x[0] for ply in region.ply) + half.get("x0", lay.cloth.end_mm)
    y0, y1 = max(ply.y[0] for ply in region.ply) + half.get("y0", 0.0), min(ply.y[1] for ply in region.ply) - half.get("y1", 0.0)
    return x0, y0, y1


def _back_in(placed: Placed, room: Room) -> Point:
    """How far a piece must move to lie on its cloth again."""
    x0, y0, y1 = room
    low, high = np.asarray(placed.outline).min(axis=0), np.asarray(placed.outline).max(axis=0)
    dx, dy = max(0.0, x0 - float(low[0])), max(0.0, y0 - float(low[1])) - max(0.0, float(high[1]) - y1)
    if not placed.on_fold:
        return dx, dy
    return (0.0, dy) if placed.across else (dx, 0.0)


def _nearest(
    places: list[Placed], shapes: list[Polygon], rooms: Mapping[str, Room], gap_mm: float, stuck: Collection[int]
) -> tuple[int, Point] | None:
    """The first pair that is too near: which of them is pushed, and how far (x, y), mm."""
    for one, other in combinations(range(len(places)), 2):
        if not set(places[one].on) & set(places[other].on) or shapes[one].distance(shapes[other]) >= gap_mm - 0.01:
            continue
        pair = [(mover, stays) for mover, stays in ((one, other), (other, one)) if mover not in stuck]
        ways = [(mover, by) for mover, stays in pair for by in _ways(places[mover], shapes[mover], shapes[stays], rooms, gap_mm)]
        told = [(_meets(places, shapes, mover, by, gap_mm), abs(by[0]) + abs(by[1]), mover, by) for mover, by in ways]
        return min(told)[2:] if told else None
    return None


def _meets(places: list[Placed], shapes: list[Polygon], mover: int, by: Point, gap_mm: float) -> int:
    """How many others the piece would come too near to when pushed: as few as can be, else pieces push each other to and fro."""
    there = translate(shapes[mover], *by)
    others = (n for n in range(len(places)) if n != mover and set(places[n].on) & set(places[mover].on))
    return sum(there.distance(shapes[n]) < gap_mm - 0.01 for n in others)


def _ways(placed: Placed, shape: Polygon, stays: Polygon, rooms: Mapping[str, Room], gap_mm: float) -> list[Point]:
    """Pushes away from the other piece that make room, each along one axis, none off the cloth."""
    found: list[Point] = []
    for far in PUSHES_MM:
        for by in ((far, 0.0), (0.0, far), (0.0, -far)):
            if placed.on_fold and by[0 if placed.across else 1]:
                continue
            off = max(map(abs, _back_in(placed.moved(*by), rooms[placed.region])))
            if off <= GAP_TOL_MM and translate(shape, *by).distance(stays) >= gap_mm:
                found.append(by)
        if found:
            break
    return found
