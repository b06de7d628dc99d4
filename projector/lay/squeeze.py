"""Off the lattice: slide every piece exactly towards the start and the fold until it touches, round after round."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from projector.lay.board import Board, Spot
from projector.lay.lattice import TOUCH_MM, near_sums
from projector.lay.shapes import Array, Shape, lifted
from projector.lay.wanted import ShapeBook

LEAST_MM = 0.05
"""A slide shorter than this is not worth a round."""
ROUNDS = 8


class FineShapes:
    """Finely grown outlines in the position of coarse ones, made when first asked for."""

    def __init__(self, book: ShapeBook) -> None:
        self._book = book
        self._kept: dict[tuple[str, int], Shape] = {}

    def of(self, spot: Spot) -> Shape:
        """The spot's finely grown outline."""
        option, piece = spot.option, spot.job.piece
        key = (piece.name, option.shape.key)
        if key not in self._kept:
            is_on_fold = option.fold is not None
            fine = self._book.shape(piece, is_on_fold or not piece.on_fold, option.shape.turn, is_on_fold)
            lift = fine.corner - option.shape.corner
            self._kept[key] = fine if (lift < 1e-9).all() else lifted(fine, (float(lift[0]), float(lift[1])), -option.shape.key)
        return self._kept[key]


def free_slide(still: Shape, moving: Shape, at: Array, way: Array, most: float) -> float:
    """How far the moving shape, at `at` from the still one and clear of it, may go along the unit vector `way` (at most `most`)."""
    to = at + way * most
    low, high = np.minimum(at, to), np.maximum(at, to)
    if bool((high <= still.low - moving.high).any() or (low >= still.high - moving.low).any()):
        return most
    normals, offsets = near_sums(still, moving, low - TOUCH_MM, high + TOUCH_MM)
    toward = normals @ way  # (K, m)
    room = offsets - TOUCH_MM - normals @ at
    with np.errstate(divide="ignore", invalid="ignore"):
        meets = room / toward
    enter = np.where(toward < -1e-12, meets, -np.inf).max(axis=1)
    leave = np.where(toward > 1e-12, meets, np.inf).min(axis=1)
    shut = ((np.abs(toward) <= 1e-12) & (room <= 0.0)).any(axis=1)
    met = ~shut & (leave > enter) & (leave > 1e-9) & (enter > -1e-6)
    inside = ~shut & (leave > enter) & (leave > 1e-9) & (enter <= -1e-6)
    if bool(inside.any()):
        return 0.0
    return max(0.0, min(most, float(enter[met].min()))) if bool(met.any()) else most


def squeeze(board: Board, spots: Sequence[Spot], locked: frozenset[str], fine: FineShapes) -> tuple[Spot, ...]:
    """Slide the spots towards x = 0 and towards low y in turn. Spots named in `locked` stay. No spot's right edge grows."""
    now = list(spots)
    for _ in range(ROUNDS):
        gained = 0.0
        for way in (np.array([-1.0, 0.0]), np.array([0.0, -1.0])):
            axis = 0 if way[0] else 1
            for place in sorted(range(len(now)), key=lambda n, axis=axis: (now[n].x, now[n].y)[axis]):  # type: ignore[misc]
                if now[place].job.name in locked or now[place].job.is_flaw:
                    continue
                far = _slide(board, now, place, way, fine)
                if far > LEAST_MM:
                    spot = now[place]
                    now[place] = replace(spot, x=spot.x + far * float(way[0]), y=spot.y + far * float(way[1]))
                    gained += far if axis == 0 else 0.0
        if gained < LEAST_MM:
            break
    return tuple(now)


def _slide(board: Board, spots: Sequence[Spot], place: int, way: Array, fine: FineShapes) -> float:
    spot = spots[place]
    bay = board.bays[spot.option.bay]
    if way[1]:
        if spot.option.fold == "y0" or spot.option.print_at[1] is not None:
            return 0.0
        most = spot.y - bay.origin[1] - bay.inset[1]
    else:
        if spot.option.fold == "x0" or spot.option.print_at[0] is not None:
            return 0.0
        most = spot.x - bay.origin[0] - bay.inset[0]
    here, moving = np.array([spot.x, spot.y]), fine.of(spot)
    for number, other in enumerate(spots):
        if most <= LEAST_MM:
            return 0.0
        if number == place or other.option.bay != spot.option.bay:
            continue
        most = free_slide(fine.of(other), moving, here - np.array([other.x, other.y]), way, most)
    return most
