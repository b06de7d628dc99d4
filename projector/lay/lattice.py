"""Where one outline may lie beside others, exactly, on a lattice of places: no-fit areas as whole numbers used as bit sets.

For two shapes the places of the second that overlap the first are the inside of a sum of their convex parts. Its lattice
points are kept as the bits of one Python integer, a column of places after the other, so that "free" is a shift and an
"and". (No-fit polygons: Bennell and Oliveira, "The geometry of nesting problems", EJOR 184, 2008.)
"""

import numpy as np
from numpy.typing import NDArray

from projector.lay.shapes import Array, Shape

TOUCH_MM = 1e-6
"""No-fit areas are this much smaller, so that touching is free whatever rounding does (LAY section 6)."""


def near_sums(still: Shape, moving: Shape, low: Array, high: Array) -> tuple[Array, Array]:
    """Sums of convex parts of `still` with mirrored parts of `moving`, of those pairs alone whose sum meets the box `low`, `high`.

    Returns normals (K, m, 2) and offsets (K, m): a place p overlaps when, for one k, normals[k] @ p < offsets[k] throughout.
    """
    least = still.parts.min(axis=1)[:, None] - moving.parts.max(axis=1)[None]  # (ka, kb, 2): boxes of the sums
    most = still.parts.max(axis=1)[:, None] - moving.parts.min(axis=1)[None]
    is_near = ((least < high) & (most > low)).all(axis=2)
    i, j = np.nonzero(is_near)
    a, b, out_a, out_b = still.parts[i], moving.parts[j], still.normals[i], -moving.normals[j]
    normals, to_a, to_b = np.concatenate([out_a, out_b], axis=1), a.transpose(0, 2, 1), -b.transpose(0, 2, 1)
    return normals, (normals @ to_a).max(axis=2) + (normals @ to_b).max(axis=2)  # the support of a sum is the sum of supports


def sum_rings(still: Shape, moving: Shape) -> Array:
    """Corners (K, m, 2) of the sums of every part of `still` with every mirrored part of `moving`, counter-clockwise from the lowest.

    The sides of a sum of two convex rings are the sides of both in the order of their directions.
    """
    a, b = still.parts, -moving.parts
    sides = [np.roll(part, -1, axis=1) - part for part in (a, b)]
    ka, kb = len(a), len(b)
    every = np.concatenate(
        [np.broadcast_to(sides[0][:, None], (ka, kb, a.shape[1], 2)), np.broadcast_to(sides[1][None], (ka, kb, b.shape[1], 2))], axis=2
    ).reshape(ka * kb, -1, 2)
    way = np.arctan2(every[..., 1], every[..., 0])
    way = np.where(way < -1e-12, way + 2.0 * np.pi, way)
    ordered = np.take_along_axis(every, np.argsort(way, axis=1)[..., None], axis=1)
    first = (_lowest(a)[:, None] + _lowest(b)[None]).reshape(ka * kb, 1, 2)
    return np.concatenate([first, first + np.cumsum(ordered, axis=1)[:, :-1]], axis=1)


def _lowest(parts: Array) -> Array:
    """Per part the corner of least y, of those the one of least x: (k, 2)."""
    place = np.lexsort((parts[..., 0], np.round(parts[..., 1], 9)), axis=1)[:, 0]
    return parts[np.arange(len(parts)), place]


def inside_grid(rings: Array, step_x: float, step_y: float) -> tuple[NDArray[np.bool_], int, int]:
    """Lattice points inside any of the convex rings (K, m, 2): (columns, rows) of booleans, and the first column's and row's number."""
    low_corner, high_corner = rings.min(axis=(0, 1)), rings.max(axis=(0, 1))
    first_x, last_x = int(np.floor(low_corner[0] / step_x)), int(np.ceil(high_corner[0] / step_x))
    first_y, last_y = int(np.floor(low_corner[1] / step_y)), int(np.ceil(high_corner[1] / step_y))
    columns, rows = last_x - first_x + 1, last_y - first_y + 1
    low, high = _crossings(rings, step_x, first_x, columns)
    with np.errstate(invalid="ignore"):
        start = np.clip(np.floor((low + TOUCH_MM) / step_y) + 1 - first_y, 0, rows)
        stop = np.clip(np.ceil((high - TOUCH_MM) / step_y) - first_y, 0, rows)
    is_met = stop > start
    base = np.broadcast_to(np.arange(columns) * (rows + 1), low.shape)[is_met]
    size = columns * (rows + 1)
    change = np.bincount(base + start[is_met].astype(np.int64), minlength=size)
    change -= np.bincount(base + stop[is_met].astype(np.int64), minlength=size)
    return np.cumsum(change.reshape(columns, rows + 1), axis=1)[:, :rows] > 0, first_x, first_y


def _crossings(rings: Array, step: float, first: int, columns: int) -> tuple[Array, Array]:
    """Lowest and highest y of each ring at each column: (K, columns), +inf and -inf where the ring's inside is not met."""
    ahead = np.roll(rings, -1, axis=1)
    count = len(rings)
    low, high = np.full((count, columns), np.inf), np.full((count, columns), -np.inf)
    ring_low, ring_high = rings[..., 0].min(axis=1), rings[..., 0].max(axis=1)
    for target, here, there in ((low, rings, ahead), (high, ahead, rings)):
        ring, side = np.nonzero(there[..., 0] - here[..., 0] > 1e-12)  # the lower chain runs towards +x, the upper one back
        x0, y0 = here[ring, side, 0], here[ring, side, 1]
        x1, y1 = there[ring, side, 0], there[ring, side, 1]
        begin = np.ceil((np.maximum(x0, ring_low[ring] + TOUCH_MM)) / step - 1e-9).astype(np.int64)
        end = np.floor((np.minimum(x1, ring_high[ring] - TOUCH_MM)) / step + 1e-9).astype(np.int64)
        many = np.maximum(end - begin + 1, 0)
        which = np.repeat(np.arange(len(ring)), many)
        column = np.arange(len(which)) - np.repeat(np.cumsum(many) - many, many) + begin[which]
        share = (column * step - x0[which]) / (x1 - x0)[which]
        target[ring[which], column - first] = y0[which] + share * (y1 - y0)[which]
    return low, high


class Grids:
    """No-fit areas of pairs of shapes on one lattice (steps along x and y), made when first asked for and shared by all folds."""

    def __init__(self, steps_mm: tuple[float, float]) -> None:
        self.steps_mm = steps_mm
        self._kept: dict[tuple[int, int], tuple[NDArray[np.uint8], int, int, int]] = {}

    def grid(self, still: Shape, moving: Shape) -> tuple[NDArray[np.bool_], int, int]:
        """(columns, rows) of booleans, and the first column's and row's number."""
        key, back = (still.key, moving.key), (moving.key, still.key)
        if key not in self._kept and back not in self._kept:
            grid, first_x, first_y = inside_grid(sum_rings(still, moving), *self.steps_mm)
            self._kept[key] = (np.packbits(grid, axis=1, bitorder="little"), grid.shape[1], first_x, first_y)
        packed, rows, first_x, first_y = self._kept[key] if key in self._kept else self._kept[back]
        grid = np.unpackbits(packed, axis=1, count=rows, bitorder="little").view(np.bool_)
        if key in self._kept:
            return grid, first_x, first_y
        # the other way round the area is the same, seen through its middle
        return grid[::-1, ::-1], -(first_x + grid.shape[0] - 1), -(first_y + rows - 1)


class Masks:
    """Grids as bit sets.

    `stride`: bits per column, so large that a place beyond one column's end never falls onto a place of the next.
    """

    def __init__(self, grids: Grids, stride: int) -> None:
        self.grids, self.stride = grids, stride
        self._bits: dict[tuple[int, int], tuple[int, int]] = {}

    def bits(self, still: Shape, moving: Shape) -> tuple[int, int]:
        """(bit set, how far to shift it when `still` lies at place 0; may be below 0)."""
        key = (still.key, moving.key)
        found = self._bits.get(key)
        if found is None:
            found = self._bits[key] = self._made(still, moving)
        return found

    def _made(self, still: Shape, moving: Shape) -> tuple[int, int]:
        grid, first_x, first_y = self.grids.grid(still, moving)
        if grid.shape[1] > self.stride:
            raise ValueError("a no-fit area is wider than the lattice's stride")
        wide = np.zeros((grid.shape[0], self.stride), dtype=np.bool_)
        wide[:, : grid.shape[1]] = grid
        told = int.from_bytes(np.packbits(wide.ravel(), bitorder="little").tobytes(), "little")
        return told, first_x * self.stride + first_y


def box_bits(first_x: int, last_x: int, first_y: int, last_y: int, stride: int, every_x: int = 1, every_y: int = 1) -> int:
    """The bit set of all places of a box (each so-manieth column and row), ends included; 0 when it is empty."""
    if last_x < first_x or last_y < first_y:
        return 0
    wide = np.zeros((last_x + 1, stride), dtype=np.bool_)
    wide[first_x::every_x, first_y : last_y + 1 : every_y] = True
    return int.from_bytes(np.packbits(wide.ravel(), bitorder="little").tobytes(), "little")
