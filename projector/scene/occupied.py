"""Where words may lie: a coarse count of lines per place, so that labels keep off cut lines and off each other."""

from math import ceil, floor

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Box = tuple[float, float, float, float]
"""x0, y0, x1, y1, mm."""
CELL_MM = 4.0
LARGEST_MM = 6000.0
"""A lay longer than the light is only looked at this far; beyond it nothing is thrown anyway."""


class Occupied:
    """Weights on a grid, summed over boxes in constant time. Same frame as the points given, mm."""

    def __init__(self, points: list[tuple[Array, float]]) -> None:
        """`points`: (sampled points (n, 2), weight) for each kind of line."""
        whole = np.vstack([part for part, _ in points]) if points else np.zeros((0, 2))
        whole = whole[np.isfinite(whole).all(axis=1) & (np.abs(whole) < LARGEST_MM).all(axis=1)]
        self._low = whole.min(axis=0) - 60.0 if len(whole) else np.zeros(2)
        high = whole.max(axis=0) + 60.0 if len(whole) else np.ones(2)
        wide, deep = np.ceil((high - self._low) / CELL_MM) + 1
        self._shape = (int(wide), int(deep))
        self._weights = np.zeros(self._shape)
        for part, weight in points:
            self._add(part, weight)
        self._sums = np.zeros((self._shape[0] + 1, self._shape[1] + 1))
        self._sums[1:, 1:] = self._weights.cumsum(axis=0).cumsum(axis=1)
        self._taken: list[tuple[int, int, int, int, float]] = []
        self._shunned: list[tuple[int, int, int, int, float]] = []

    def _add(self, part: Array, weight: float) -> None:
        with np.errstate(invalid="ignore"):
            cell = np.floor((part - self._low) / CELL_MM)
            kept = np.isfinite(cell).all(axis=1) & (cell >= 0).all(axis=1) & (cell < np.array(self._shape)).all(axis=1)
        index = cell[kept].astype(np.int64)
        np.maximum.at(self._weights, (index[:, 0], index[:, 1]), weight)

    def take(self, box: Box, weight: float = 40.0) -> None:
        """Mark a box (x0, y0, x1, y1) as used."""
        self._taken.append((*self._cells(box), weight))

    def shun(self, box: Box, weight: float) -> None:
        """Mark a box (x0, y0, x1, y1) that is free, but where `free_near` goes only where no better place is."""
        self._shunned.append((*self._cells(box), weight))

    def _cells(self, box: Box) -> tuple[int, int, int, int]:
        x, y = float(self._low[0]), float(self._low[1])
        i0, j0 = floor((box[0] - x) / CELL_MM), floor((box[1] - y) / CELL_MM)
        i1, j1 = ceil((box[2] - x) / CELL_MM) + 1, ceil((box[3] - y) / CELL_MM) + 1
        most_i, most_j = self._shape
        return min(max(i0, 0), most_i), min(max(j0, 0), most_j), min(max(i1, 0), most_i), min(max(j1, 0), most_j)

    def lines(self, box: Box) -> float:
        """The weight of the lines under a box, whatever words lie there."""
        i0, j0, i1, j1 = self._cells(box)
        s = self._sums
        return float(s[i1, j1] - s[i0, j1] - s[i1, j0] + s[i0, j0])

    def load(self, box: Box) -> float:
        """The weight under a box; 0: free."""
        return self.lines(box) + _shared(self._cells(box), self._taken)

    def free_near(self, middle: tuple[float, float], width: float, height: float, reach: float) -> tuple[float, float]:
        """The middle of a width × height box within `reach` mm of `middle` with the least load, nearest first."""
        best, least = middle, float("inf")
        for dx, dy in _AROUND:
            x, y = middle[0] + dx * reach, middle[1] + dy * reach
            pad = 5.0
            box = (x - width / 2 - pad, y - height / 2 - pad, x + width / 2 + pad, y + height / 2 + pad)
            load = self.load(box) + _shared(self._cells(box), self._shunned)
            load += 0.2 * float(np.hypot(dx, dy))
            if load < least - 1e-9:
                best, least = (x, y), load
                if load < 0.3:
                    break
        return best


def _shared(cells: tuple[int, int, int, int], boxes: list[tuple[int, int, int, int, float]]) -> float:
    """The weight of the boxes' cells that lie among `cells`."""
    i0, j0, i1, j1 = cells
    return sum(w * max(0, min(i1, b1) - max(i0, b0)) * max(0, min(j1, c1) - max(j0, c0)) for b0, c0, b1, c1, w in boxes)


def _around() -> tuple[tuple[float, float], ...]:
    """Places to try, nearest first: the place itself, then rings about it."""
    tried = [(0.0, 0.0)]
    for ring in (0.15, 0.3, 0.5, 0.75, 1.0):
        tried += [(ring * float(np.cos(a)), ring * float(np.sin(a))) for a in np.arange(0, 2 * np.pi, np.pi / 6)]
    return tuple(tried)


_AROUND = _around()
