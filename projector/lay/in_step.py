"""A print kept in step while a cloth is laid: each piece's cross lies whole repeats from the print's phase, the motif's piece where it
was placed. The search takes only every so-manieth lattice place; on layers the same motifs lie on each other, so one phase holds for all.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np

from projector.garment.pieces import Point
from projector.lay.board import Board, Spot, spot_at
from projector.lay.errors import ClothTooSmall
from projector.lay.print_place import Motif
from projector.lay.shapes import lifted
from projector.lay.wanted import Job, Option


def lattice_steps_mm(repeats_mm: tuple[float, float], wanted_mm: float) -> tuple[float, float]:
    """Lattice steps near the one wanted, along x and y, each dividing the print's repeat that way (0: there is none)."""
    along, across = (repeat / max(1, round(repeat / wanted_mm)) if repeat else wanted_mm for repeat in repeats_mm)
    return along, across


def in_step(job: Job, crosses: Mapping[str, Point], board: Board, keys: Iterator[int]) -> Job:
    """The job with its options moved within their boxes so that a lattice place puts its cross on the print's."""
    if job.piece.name not in crosses:
        return job
    options = tuple(_in_step(option, crosses[job.piece.name], board, next(keys)) for option in job.options)
    return replace(job, options=options, apart=tuple(in_step(one, crosses, board, keys) for one in job.apart))


def _in_step(option: Option, cross: Point, board: Board, key: int) -> Option:
    """An option hung on a fold lies at 0 that way: the print's phase is reckoned from there."""
    shape, origin = option.shape, board.bays[option.bay].origin
    at = shape.turn.matrix @ np.asarray(cross) - shape.corner
    is_held = (option.fold == "x0", option.fold == "y0")
    is_free = [held or not repeat for held, repeat in zip(is_held, board.repeats_mm, strict=True)]
    x, y = (
        0.0 if free else float((board.phase_mm[n] - origin[n] - at[n]) % board.steps_mm[n])
        for n, free in enumerate(is_free)
    )  # fmt: skip
    print_at = (None if is_free[0] else float(at[0]) + x, None if is_free[1] else float(at[1]) + y)
    return replace(option, shape=lifted(shape, (x, y), key) if x or y else shape, print_at=print_at)


def motif_spot(board: Board, jobs: Sequence[Job], motif: Motif) -> Spot | None:
    """The motif's piece laid where she put it, the right way round. While no place is given: at the cut end, so that it lies in the
    first light; None where a repeat shows the same motif there anyway."""
    if motif.at is None and any(board.repeats_mm):
        return None
    for job in (each for each in jobs if each.piece.name == motif.piece):
        for option in job.options:
            spot = spot_at(job, option, motif.point, motif.at) if motif.at else Spot(job, option, *_least(board, option))
            if _lies_inside(board, spot):
                return spot
        if motif.at is not None:
            raise ClothTooSmall(
                f"{motif.piece} does not lie on the cloth with its motif there.",
                f"The motif is at {motif.at[0]:.0f}, {motif.at[1]:.0f} mm, too near an end, a selvedge or off the fold.",
                "Take the next same motif.",
            )
    return None


def _least(board: Board, option: Option) -> Point:
    """The least place that this option may have: on its fold, else clear of end, selvedge or fold."""
    bay = board.bays[option.bay]
    x, y = bay.origin
    return x + (0.0 if option.fold == "x0" else bay.inset[0]), y + (0.0 if option.fold == "y0" else bay.inset[1])


def _lies_inside(board: Board, spot: Spot) -> bool:
    bay, option, (_, depth) = board.bays[spot.option.bay], spot.option, spot.option.shape.size
    low_x, low_y = _least(board, option)
    on_fold = (option.fold != "y0" or abs(spot.y - low_y) < 0.01) and (option.fold != "x0" or abs(spot.x - low_x) < 0.01)
    return on_fold and spot.x >= low_x - 1e-6 and spot.y >= low_y - 1e-6 and spot.y + depth <= bay.top + 1e-6
