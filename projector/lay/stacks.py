"""Two fold pieces opened out over each other, one on either layer of cloth folded along: one line is cut through both, then each its own.

Where the one fold is too short for every half, a piece opened out beside it loses the layer under it, unless its like lies there.
Frame here: the upper piece's own, its middle at x = 0.
"""

from collections.abc import Container, Sequence
from itertools import combinations

import numpy as np
from shapely.affinity import translate
from shapely.geometry import Polygon

from projector.garment.pieces import Piece
from projector.lay.bays import Bay
from projector.lay.board import Spot
from projector.lay.cloth import Light
from projector.lay.first_cut import first_outline
from projector.lay.shapes import Turn, fold_axis, line_of, ring_of, whole_outline
from projector.lay.wanted import Job, Layer, ShapeBook, flat_option

WASTED = 0.5
"""A pair may lose so much of its cloth between the two outlines: opened out apart, each would lose its own size under it."""


def over_each_other(jobs: Sequence[Job], bay: Bay, book: ShapeBook, one_way: Container[str], light: Light) -> list[Job]:
    """The jobs with like fold pieces taken in pairs, the closest first, where the pair opened out fits across the bay and into the light.

    A pair is one job, its two pieces `apart` still hang on the fold or lie by themselves.
    """
    single = [job for job in jobs if job.piece.on_fold and job.piece.count == 1 and not job.apart]
    found = sorted(
        (told for pair in combinations(single, 2) if (told := _pair(*pair, bay, book, one_way, light)) is not None),
        key=lambda told: (told[0], told[1].name),
    )
    taken: dict[str, Job] = {}
    for _, pair in found:
        names = {one.name for one in pair.apart}
        if not names & set(taken):
            taken |= dict.fromkeys(names, pair)
    return list({taken.get(job.name, job).name: taken.get(job.name, job) for job in jobs}.values())


def _pair(a: Job, b: Job, bay: Bay, book: ShapeBook, one_way: Container[str], light: Light) -> tuple[float, Job] | None:
    """How much of its cloth the pair loses, and its job; None when too much, too large, or unlike. The smaller piece lies on top."""
    if _kind(a.piece) != _kind(b.piece):
        return None
    top, under = sorted((a, b), key=lambda job: (job.area, job.name))
    above, below = _room(top.piece), _room(under.piece)
    ways = [above.bounds[1] - below.bounds[1], above.bounds[3] - below.bounds[3]]  # level above, or level below
    down, both = min(((way, above.union(translate(below, 0.0, way))) for way in ways), key=lambda told: float(told[1].area))
    if both.geom_type != "Polygon":
        return None
    outer = Polygon(both.exterior)
    area = top.area + under.area
    lost = (2.0 * float(outer.area) - area) / area
    left, above_all, right, below_all = both.bounds
    long, wide = below_all - above_all, right - left
    if lost > WASTED or wide + bay.inset[1] > bay.top - bay.origin[1] or long > light.width_mm or wide > light.height_mm:
        return None  # larger than the light, no order of cuts would be sure for two layers
    name = f"{top.piece.name} over {under.piece.name}"
    line = line_of(ring_of(outer))
    piece = Piece(name, "stack", top.piece.of, top.piece.cloth, False, 1, False, top.piece.grain_deg, (), line, line)
    turns = (False,) if top.piece.name in one_way or under.piece.name in one_way else (False, True)
    options = tuple(flat_option(0, piece, book, Turn(is_turned=is_turned), bay.plies) for is_turned in turns)
    layers = (Layer(top, 0.0, bay.plies[0]), Layer(under, float(down), bay.plies[1]))
    return lost, Job(name, piece, options, (top, under), area, layers=layers)


def _kind(piece: Piece) -> tuple[str, str]:
    """What it is, front or back: fronts lie over backs, skirts over skirts, as in quarters."""
    return piece.of, piece.part.replace("front", "").replace("back", "")


def _room(piece: Piece) -> Polygon:
    """What must lie free for the piece opened out, its middle at x = 0."""
    outline = first_outline(piece, False) if piece.first_cut else whole_outline(piece)
    return translate(outline, -fold_axis(piece), 0.0)


def unstacked(spots: Sequence[Spot], book: ShapeBook) -> tuple[Spot, ...]:
    """Every pair as the two pieces it is, each on its own layer."""
    return tuple(one for spot in spots for one in (_layers(spot, book) if spot.job.layers else (spot,)))


def _layers(spot: Spot, book: ShapeBook) -> list[Spot]:
    turn = spot.option.shape.turn
    zero = np.array([spot.x, spot.y]) - spot.option.shape.corner
    made = []
    for layer in spot.job.layers:
        option = flat_option(spot.option.bay, layer.job.piece, book, turn, (layer.ply,))
        at = zero + turn.matrix @ np.array([-fold_axis(layer.job.piece), layer.down_mm]) + option.shape.corner
        made.append(Spot(layer.job, option, float(at[0]), float(at[1])))
    return made
