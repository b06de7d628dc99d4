"""Closer than one after the other: shorten the cloth a little, let pieces overlap, and move them until none does.

Guided local search on the lattice: every overlapping piece goes to the place where its weighted overlaps are least, looked up
for all places at once; pairs that stay in each other's way weigh more. (Egeblad, Nielsen and Odgaard, "Fast neighborhood
search for two- and three-dimensional nesting problems", EJOR 183, 2007; the maps of depths after Sato, Martins, Gomes and
Tsuzuki, "Raster penetration map applied to the irregular packing problem", EJOR 279, 2019.)
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import floor

import numpy as np
from numpy.typing import NDArray

from projector.lay.board import HAIR_MM, Board, Spot
from projector.lay.lattice import Grids
from projector.lay.search import Chance, KeepGoing
from projector.lay.sequence import Start
from projector.lay.shapes import Shape
from projector.lay.wanted import Job, Option

Depths = NDArray[np.uint8]
SHORTEN = (0.015, 0.006, 0.0025)
"""How much shorter the next lay shall be; a finer step after each that was not reached."""
PASSES = 90
"""Passes over the overlapping pieces before a length is given up."""
HEAVIER, LIGHTER = 1.5, 0.96
"""A pair in each other's way weighs up to so much more after a pass; one that is not, so much less."""


class DepthMaps:
    """How deep two shapes overlap at each lattice place: steps to the nearest free place along x or y, 0 where they do not."""

    def __init__(self, grids: Grids) -> None:
        self._grids = grids
        self._kept: dict[tuple[int, int], tuple[Depths, int, int]] = {}

    def of(self, still: Shape, moving: Shape) -> tuple[Depths, int, int]:
        """(columns, rows) of depths and the first column's and row's number."""
        key, back = (still.key, moving.key), (moving.key, still.key)
        found = self._kept.get(key)
        if found is not None:
            return found
        if back in self._kept:
            depths, first_x, first_y = self._kept[back]
            made = (depths[::-1, ::-1], -(first_x + depths.shape[0] - 1), -(first_y + depths.shape[1] - 1))
        else:
            grid, first_x, first_y = self._grids.grid(still, moving)
            made = (_depths(grid), first_x, first_y)
        self._kept[key] = made
        return made


def _depths(grid: NDArray[np.bool_]) -> Depths:
    """Steps to the nearest free place along an axis, at most 255."""
    wide = np.zeros((grid.shape[0] + 2, grid.shape[1] + 2), dtype=np.bool_)
    wide[1:-1, 1:-1] = grid
    best = np.full(wide.shape, 255, dtype=np.int64)
    for axis in (0, 1):
        place = np.arange(wide.shape[axis]).reshape((-1, 1) if axis == 0 else (1, -1))
        before = np.maximum.accumulate(np.where(wide, -1, place), axis=axis)
        after = np.flip(np.minimum.accumulate(np.flip(np.where(wide, 1 << 30, place), axis), axis=axis), axis)
        best = np.minimum(best, np.minimum(place - before, after - place))
    told: Depths = best.astype(np.uint8)
    told[~wide] = 0
    return np.ascontiguousarray(told[1:-1, 1:-1])


@dataclass(slots=True)
class _Item:
    """A job somewhere on the lattice."""

    job: Job
    option: Option
    column: int
    row: int
    held: Spot | None = None


class Loosened:
    """Pieces on one length's lattice that may overlap, and the weights of pairs."""

    def __init__(self, board: Board, maps: DepthMaps, items: Sequence[_Item], chance: Chance) -> None:
        self.board, self.maps, self.chance = board, maps, chance
        self.items = list(items)
        self.weights = np.ones((len(self.items), len(self.items)))

    def room(self, option: Option, reach: float) -> tuple[int, int, int, int] | None:
        """First and last column and row an option may take within a reach; None when there is none."""
        way = self.board.way(option)
        if way is None:
            return None
        origin = self.board.bays[option.bay].origin[0]
        last = floor((reach - origin - option.shape.size[0] + HAIR_MM) / self.board.steps_mm[0])
        if option.fold == "x0":
            last = min(last, 0)
        return (way.first_x, last, way.first_y, way.last_y) if last >= way.first_x else None

    def depth(self, a: int, b: int) -> int:
        """How deep two items overlap, in steps."""
        one, other = self.items[a], self.items[b]
        if one.option.bay != other.option.bay:
            return 0
        depths, first_x, first_y = self.maps.of(other.option.shape, one.option.shape)
        column, row = one.column - other.column - first_x, one.row - other.row - first_y
        if 0 <= column < depths.shape[0] and 0 <= row < depths.shape[1]:
            return int(depths[column, row])
        return 0

    def overlaps(self) -> NDArray[np.int64]:
        """Depths of all pairs, symmetrical."""
        count = len(self.items)
        found = np.zeros((count, count), dtype=np.int64)
        for a in range(count):
            for b in range(a + 1, count):
                found[a, b] = found[b, a] = self.depth(a, b)
        return found

    def best_place(self, number: int, reach: float) -> tuple[float, Option, int, int] | None:
        """The option and place with the least weighted overlap."""
        item, best = self.items[number], None
        for option in item.job.options:
            room = self.room(option, reach)
            if room is None:
                continue
            way = self.board.way(option)
            every_x, every_y = (way.every_x, way.every_y) if way is not None else (1, 1)
            costs = self._costs(number, option, room)[::every_x, ::every_y]
            column, row = divmod(int(costs.argmin()), costs.shape[1])
            cost = float(costs[column, row])
            if best is None or cost < best[0]:
                best = (cost, option, column * every_x + room[0], row * every_y + room[2])
        return best

    def _costs(self, number: int, option: Option, room: tuple[int, int, int, int]) -> NDArray[np.float32]:
        first_x, last_x, first_y, last_y = room
        costs = np.zeros((last_x - first_x + 1, last_y - first_y + 1), dtype=np.float32)
        for other, item in enumerate(self.items):
            if other == number or item.option.bay != option.bay:
                continue
            depths, low_x, low_y = self.maps.of(item.option.shape, option.shape)
            from_x, from_y = item.column + low_x - first_x, item.row + low_y - first_y
            x0, x1 = max(0, from_x), min(costs.shape[0], from_x + depths.shape[0])
            y0, y1 = max(0, from_y), min(costs.shape[1], from_y + depths.shape[1])
            if x0 < x1 and y0 < y1:
                deep, weight = depths[x0 - from_x : x1 - from_x, y0 - from_y : y1 - from_y], float(self.weights[number, other])
                costs[x0:x1, y0:y1] += deep if weight == 1.0 else np.float32(weight) * deep
        return costs

    def fit_into(self, reach: float) -> bool:
        """Move what reaches too far back within. False when something cannot be that short."""
        for number, item in enumerate(self.items):
            if item.held is not None:
                if item.held.right > reach and not item.job.is_flaw:
                    return False
                continue
            room = self.room(item.option, reach)
            if room is not None:
                way = self.board.way(item.option)
                if way is not None:
                    item.column, item.row = way.in_step(item.column, item.row, room[1])
            else:
                best = self.best_place(number, reach)
                if best is None:
                    return False
                _, item.option, item.column, item.row = best
        return True

    def settle(self, reach: float, keep_going: KeepGoing, spend: Callable[[], bool]) -> bool:
        """Move overlapping items until none overlaps (True) or patience ends. `spend` counts a pass and says whether one is left."""
        self.weights[:] = 1.0
        found = self.overlaps()
        for _ in range(PASSES):
            troubled = [int(n) for n in np.flatnonzero(found.sum(axis=1)) if self.items[n].held is None]
            if not troubled:
                return not found.any()
            if not (spend() and keep_going()):
                return False
            self._pass(troubled, reach)
            found = self.overlaps()
            if not found.any():
                return True
            most = found.max()
            self.weights *= np.where(found > 0, 1.0 + (HEAVIER - 1.0) * (0.4 + 0.6 * found / most), LIGHTER)
            self.weights = np.maximum(self.weights, 1.0)
        return False

    def _pass(self, troubled: list[int], reach: float) -> None:
        while troubled:
            number = troubled.pop(self.chance.randrange(len(troubled)))
            if not any(self.depth(number, other) for other in range(len(self.items)) if other != number):
                continue
            best = self.best_place(number, reach)
            if best is not None:
                item = self.items[number]
                _, item.option, item.column, item.row = best

    def exchange(self) -> None:
        """Swap two pieces of like size: out of a length that was not reached."""
        free = [n for n, item in enumerate(self.items) if item.held is None and item.option.fold is None]
        if len(free) < 2:
            return
        free.sort(key=lambda n: -self.items[n].option.shape.area)
        first = self.chance.randrange(max(1, len(free) // 2))
        second = min(len(free) - 1, first + 1 + self.chance.randrange(3))
        one, other = self.items[free[first]], self.items[free[second]]
        if one.option.bay == other.option.bay:
            one.column, one.row, other.column, other.row = other.column, other.row, one.column, one.row
            for item in (one, other):
                way = self.board.way(item.option)
                if way is not None:  # back within its room and in step with the print
                    item.column, item.row = way.in_step(item.column, item.row)

    def spots(self) -> tuple[Spot, ...]:
        """Where everything lies, in mm."""
        return tuple(item.held or self.board.spot(item.job, item.option, item.column, item.row) for item in self.items)


def items_of(board: Board, spots: Sequence[Spot], start: Start) -> list[_Item]:
    """Spots as lattice items; places between lattice points go to the next lower one, held spots keep theirs."""
    fixed = {spot.job.name: (spot, cell) for spot, (_, cell) in zip(start.spots, start.cells, strict=True)}
    made = []
    for spot in spots:
        if spot.job.name in fixed:
            own, (option, column, row) = fixed[spot.job.name]
            made.append(_Item(own.job, option, column, row, own))
            continue
        origin = board.bays[spot.option.bay].origin
        way = board.way(spot.option)
        places = zip((spot.x, spot.y), origin, board.steps_mm, strict=True)
        column, row = (floor((value - start) / step + HAIR_MM) for value, start, step in places)
        if way is not None:
            column, row = way.in_step(column, row)
        made.append(_Item(spot.job, spot.option, column, row))
    return made


def loosen(
    board: Board,
    maps: DepthMaps,
    spots: Sequence[Spot],
    begun: Start,
    passes: int,
    chance: Chance,
    keep_going: KeepGoing,
    squeezed: Callable[[tuple[Spot, ...]], tuple[Spot, ...]],
) -> tuple[tuple[Spot, ...], int]:
    """Shorten a lay of one length for a count of passes. Returns the best lay (squeezed) and the passes made."""
    best, spent, shorter, failed = tuple(spots), 0, 0, 0

    def spend() -> bool:
        nonlocal spent
        spent += 1
        return spent <= passes

    while spent < passes and keep_going():
        reach = max(spot.right for spot in best if not spot.job.is_flaw)
        start = min(bay.origin[0] for bay in board.bays)
        goal = reach - max(SHORTEN[shorter] * (reach - start), 0.2)
        loose = Loosened(board, maps, items_of(board, best, begun), chance)
        for _ in range(min(failed, 3)):
            loose.exchange()
        before = spent
        if loose.fit_into(goal) and loose.settle(goal, keep_going, spend):
            best = squeezed(loose.spots())
            shorter, failed = max(0, shorter - 1), 0
        else:
            failed += 1
            shorter = min(len(SHORTEN) - 1, shorter + 1)
        if spent == before:
            spent += 1
    return best, min(spent, passes)
