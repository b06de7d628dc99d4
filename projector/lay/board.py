"""Laying jobs one after the other on a lattice: each takes the free place whose right edge is least.

A lay on the board is a list of places; whether a place is free is read from bit sets (lattice.py), exactly.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor

import numpy as np

from projector.garment.pieces import Point
from projector.lay.bays import Bay, FoldedCloth
from projector.lay.lattice import Grids, Masks, box_bits
from projector.lay.wanted import Job, Option

HAIR_MM = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Spot:
    """A job laid: its option, and the lower left corner of its true box in mm."""

    job: Job
    option: Option
    x: float
    y: float

    @property
    def right(self) -> float:
        """x of the true box's far end."""
        return self.x + self.option.shape.size[0]


def spot_at(job: Job, option: Option, point: Point, at: Point) -> Spot:
    """The job laid so that its point (piece frame) lies at a place of the cloth."""
    shape = option.shape
    told = shape.turn.matrix @ np.asarray(point) - shape.corner
    return Spot(job, option, float(at[0] - told[0]), float(at[1] - told[1]))


@dataclass(frozen=True, slots=True)
class Taste:
    """How a job chooses its place. `option`: fixed, or None for the best of all; `pull`: to low (0) or high (1) y."""

    option: int | None = None
    pull: int = 0
    is_apart: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class _Way:
    """An option with its lattice bounds."""

    option: Option
    first_x: int
    first_y: int
    last_y: int
    every_x: int = 1
    every_y: int = 1
    """Only each so-manieth column and row keeps the print in step; first_x and first_y are among them."""

    def in_step(self, column: int, row: int, last_x: int | None = None) -> tuple[int, int]:
        """The nearest lower place that is in step with the print and in its room."""
        column = max(column, self.first_x) if last_x is None else min(max(column, self.first_x), last_x)
        row = min(max(row, self.first_y), self.last_y)
        return self.first_x + (column - self.first_x) // self.every_x * self.every_x, (
            self.first_y + (row - self.first_y) // self.every_y * self.every_y
        )


class Board:
    """One or several lengths folded one way, as lattices. Lengths are filled in the order given."""

    def __init__(
        self, folded: Sequence[FoldedCloth], bays: Sequence[Bay], grids: Grids, tallest: float, repeats_mm: tuple[float, float] = (0.0, 0.0)
    ) -> None:
        """tallest: greatest y extent of any shape; repeats_mm: of the print along x and y, multiples of the steps, or 0."""
        self.folded, self.bays, self.steps_mm = tuple(folded), tuple(bays), grids.steps_mm
        self.tallest, self.repeats_mm, self.phase_mm = tallest, repeats_mm, (0.0, 0.0)
        deepest = max(bay.top - bay.origin[1] for bay in bays)
        self.masks = Masks(grids, ceil((deepest + tallest) / self.steps_mm[1]) + 12)
        self.length_of_bay = [next(n for n, cloth in enumerate(folded) if bay in cloth.bays) for bay in bays]
        self._ways: dict[int, _Way | None] = {}
        self._valid: dict[tuple[int, int], int] = {}

    def way(self, option: Option) -> _Way | None:
        """Lattice bounds of an option; None when it does not fit across the bay."""
        key = id(option)
        if key not in self._ways:
            self._ways[key] = self._bounds(option)
        return self._ways[key]

    def _bounds(self, option: Option) -> _Way | None:
        bay = self.bays[option.bay]
        inset_x = 0.0 if option.fold == "x0" else bay.inset[0]
        inset_y = 0.0 if option.fold == "y0" or option.is_inset else bay.inset[1]
        room = bay.top - bay.origin[1] - option.shape.size[1] + HAIR_MM
        first_y, last_y = ceil(inset_y / self.steps_mm[1] - HAIR_MM), floor(room / self.steps_mm[1])
        if option.fold == "y0":
            last_y = min(last_y, 0)
        first_x = ceil(inset_x / self.steps_mm[0] - HAIR_MM)
        first_x, every_x = self._in_step(0, bay, option.print_at[0], first_x)
        first_y, every_y = self._in_step(1, bay, option.print_at[1], first_y)
        return None if last_y < first_y else _Way(option, first_x, first_y, last_y, every_x, every_y)

    def _in_step(self, axis: int, bay: Bay, at: float | None, first: int) -> tuple[int, int]:
        """The first lattice place along an axis that keeps the print in step, and how many places its repeat is."""
        repeat, step = self.repeats_mm[axis], self.steps_mm[axis]
        if at is None or not repeat:
            return first, 1
        every = round(repeat / step)
        return first + round((self.phase_mm[axis] - bay.origin[axis] - at) / step - first) % every, every

    def _valid_bits(self, way: _Way, last_x: int) -> int:
        if way.option.fold == "x0":
            last_x = min(last_x, 0)
        key = (id(way), last_x)
        found = self._valid.get(key)
        if found is None:
            if len(self._valid) > 4000:
                self._valid.clear()
            found = self._valid[key] = box_bits(way.first_x, last_x, way.first_y, way.last_y, self.masks.stride, way.every_x, way.every_y)
        return found

    def place(self, option: Option, pull: int, laid: Sequence[tuple[Option, int, int]], reach: float) -> tuple[int, int] | None:
        """The free lattice place with the least x (then least or greatest y), or None. laid: those of the same bay."""
        way = self.way(option)
        if way is None:
            return None
        bay = self.bays[option.bay]
        last_x = floor((reach - bay.origin[0] - option.shape.size[0] + HAIR_MM) / self.steps_mm[0])
        if last_x < way.first_x:
            return None
        stride, shape, bits = self.masks.stride, option.shape, self.masks.bits
        blocked = 0
        for other, at_x, at_y in laid:
            told, base = bits(other.shape, shape)
            shift = base + at_x * stride + at_y
            blocked |= told << shift if shift >= 0 else told >> -shift
        free = self._valid_bits(way, last_x)
        free ^= free & blocked
        if not free:
            return None
        column, row = divmod((free & -free).bit_length() - 1, stride)
        if pull:
            whole = (free >> (column * stride)) & ((1 << stride) - 1)
            row = whole.bit_length() - 1
        return column, row

    def spot(self, job: Job, option: Option, column: int, row: int) -> Spot:
        """A lattice place in mm."""
        origin = self.bays[option.bay].origin
        return Spot(job, option, origin[0] + column * self.steps_mm[0], origin[1] + row * self.steps_mm[1])
