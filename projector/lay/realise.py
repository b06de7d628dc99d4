"""From places on the board to the lay that is shown: true outlines, regions, parts, and a last check of every distance."""

from collections.abc import Mapping, Sequence
from itertools import combinations

import numpy as np
from shapely.geometry import Polygon

from projector.lay.bays import regions_of
from projector.lay.board import Board, Spot
from projector.lay.cloth import Light
from projector.lay.lay import LaidCloth, Lay, Placed, Region
from projector.lay.parts import make_parts
from projector.lay.sequence import reaches
from projector.lay.shapes import line_of

GAP_TOL_MM = 0.03
"""A third of a tenth of a millimetre: rounding of curves and sums, a tenth of the width of a chalk line."""


def placed_of(spot: Spot, layers: int, region: str) -> Placed:
    """One spot as the contract names it."""
    shape, piece = spot.option.shape, spot.job.piece
    at = np.array([spot.x, spot.y])
    shift = at - shape.corner
    return Placed(
        piece=piece.name,
        of=piece.of,
        cloth=piece.cloth,
        region=region,
        plies=layers,
        on=spot.option.on,
        part=0,
        outline=line_of(shape.ring + at),
        grain_deg=shape.turn.grain_deg(piece.grain_deg),
        turned=180 if shape.turn.is_turned else 0,
        flipped=shape.turn.is_flipped,
        on_fold=spot.option.fold is not None,
        shift=(float(shift[0]), float(shift[1])),
        across=shape.turn.is_across,
    )


def lay_of(
    board: Board, spots: Sequence[Spot], name: str, light: Light, trials: int, seed: int, why: Sequence[str], others: Mapping[str, Lay]
) -> Lay:
    """The whole lay of one cloth. Raises nothing; `faults_of` tells whether it may be shown."""
    spots = [spot for spot in spots if not spot.job.is_flaw]
    reach = reaches(board, spots)
    used = [folded for folded, far in zip(board.folded, reach, strict=True) if far > 0.0]
    regions: list[Region] = []
    for folded, far in zip(board.folded, reach, strict=True):
        if far > 0.0:
            regions += regions_of(folded, far)
    layers = {region.id: len(region.ply) for region in regions}
    bays = board.bays
    placed = [placed_of(spot, layers[bays[spot.option.bay].region], bays[spot.option.bay].region) for spot in spots]
    placed.sort(key=lambda each: (each.region, min(x for x, _ in each.outline), each.piece))
    assigned, parts = make_parts(placed, regions, light)
    needed = sum(folded.used_mm(far) for folded, far in zip(board.folded, reach, strict=True) if far > 0.0)
    # by plies that keep the outline; a half on the fold is half of each whole piece on two plies, so it counts the same
    area = sum(spot.option.shape.area * len(spot.option.on) for spot in spots)
    cloth = used[0].cloth
    lengths = cloth.lengths_mm or tuple(folded.used_mm(far) for folded, far in zip(board.folded, reach, strict=True))
    laid = LaidCloth(name, cloth.width_mm, lengths, cloth.up, cloth.gap_mm, cloth.end_mm, cloth.selvedge_mm, cloth.ply_mm)
    share = area / (cloth.width_mm * needed)
    return Lay(
        laid, used[0].plan, tuple(regions), assigned, parts, needed, share, trials, seed, tuple(why), dict(others)
    )  # fmt: skip


def faults_of(lay: Lay) -> list[str]:
    """Overlaps and gaps on the true outlines, in words; [] when the lay may be shown."""
    shapes = [(each, Polygon(each.outline)) for each in lay.placed]
    found = [f"{each.piece} crosses itself" for each, shape in shapes if not shape.is_valid]
    alone = {region.bundle: region.ply[0].face for region in lay.regions if len(region.ply) == 1}  # goes on from the layer of its face
    beside = {ply.id: f"length {region.bundle}" for region in lay.regions for ply in region.ply if ply.face == alone.get(region.bundle)}

    def same(placed: Placed) -> set[str]:
        return {beside.get(ply, ply) for ply in placed.on}

    for (a, shape_a), (b, shape_b) in combinations(shapes, 2):
        if not same(a) & same(b):
            continue
        if shape_a.distance(shape_b) < lay.cloth.gap_mm - GAP_TOL_MM or shape_a.intersection(shape_b).area > 0.01:
            found.append(f"{a.piece} and {b.piece}: {shape_a.distance(shape_b):.2f} mm apart, {lay.cloth.gap_mm:g} wanted")
    return [*found, *_outside(lay), *_strips_hit(lay)]


def _strips_hit(lay: Lay) -> list[str]:
    """Bias strips that a piece came too near to, or that found no cloth any more."""
    told = lay.binding
    if told is None:
        return []
    near = [
        (Polygon(each.outline).distance(Polygon(strip)), each.piece) for each in lay.placed if told.ply in each.on for strip in told.strips
    ]
    hit = {name: far for far, name in sorted(near, reverse=True) if far < lay.cloth.gap_mm - GAP_TOL_MM}
    found = [f"{name} and a bias strip: {far:.2f} mm apart, {lay.cloth.gap_mm:g} wanted" for name, far in hit.items()]
    return [*found, told.lacks] if told.lacks else found


def _outside(lay: Lay) -> list[str]:
    regions = {region.id: region for region in lay.regions}
    found = []
    for each in lay.placed:
        region = regions[each.region]
        xs, ys = [x for x, _ in each.outline], [y for _, y in each.outline]
        for ply in region.ply:
            if ply.id not in each.on:
                continue
            folds = {fold.side for fold in region.folds if ply.id in fold.joins}
            rooms = {"x0": min(xs) - ply.x[0], "x1": ply.x[1] - max(xs), "y0": min(ys) - ply.y[0], "y1": ply.y[1] - max(ys)}
            for side, room in rooms.items():
                is_held = each.on_fold and side in folds and abs(room) <= GAP_TOL_MM
                least = lay.cloth.gap_mm / 2 if side in folds else lay.cloth.end_mm if side[0] == "x" else 0.0
                if not is_held and room < least - GAP_TOL_MM:
                    found.append(f"{each.piece}: {room:.2f} mm from {side} of {ply.id}, {least:g} wanted")
    return found
