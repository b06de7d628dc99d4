"""Thin passes: how wide lines are made of lines one pixel wide, and where a parallel line runs."""

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
SHIFT = 6
"""Fraction bits: steps of 1/64 px."""
FARTHEST_PX = 1e6
"""Beyond 2^31 / 2^SHIFT px OpenCV drops a line in silence; lines are cut in mm long before, this only guards."""
PASSES_PX: Mapping[int, tuple[float, ...]] = {1: (0.0,), 2: (-0.6, 0.6), 3: (-1.25, 0.0, 1.25), 4: (-2.5, -1.25, 0.0, 1.25, 2.5)}
"""Passes of thickness 1 only: OpenCV's own thicker lines are off by up to 0.4 px and 1.3 px too long (measured)."""
SHARPEST = 2.0
"""An outer pass runs at most this many times its distance past a corner."""


def known_px(px: Array) -> NDArray[np.bool_]:
    """(n,) False beyond the horizon or farther out than OpenCV can count."""
    with np.errstate(invalid="ignore"):
        return np.asarray((np.abs(px) < FARTHEST_PX).all(axis=1))


def normals(points: Array, starts: NDArray[np.int64]) -> Array:
    """(n, 2) px: how a point moves for a parallel one px to the side; at corners on the bisector (mitre)."""
    count = len(points)
    steps = np.diff(points, axis=0)
    size = np.hypot(steps[:, 0], steps[:, 1])
    size[size == 0.0] = 1.0
    across = np.column_stack([-steps[:, 1] / size, steps[:, 0] / size])
    before = np.zeros((count, 2))
    after = np.zeros((count, 2))
    before[1:], after[:-1] = across, across
    first, last = starts[:-1], starts[1:] - 1
    closed = (points[first] == points[last]).all(axis=1) & (last - first > 2)
    before[first], after[last] = after[first], before[last]
    ring_first, ring_last = first[closed], last[closed]
    before[ring_first], after[ring_last] = before[ring_last], after[ring_first]
    middle = before + after
    square = (middle**2).sum(axis=1)
    mitre = 2.0 * middle / np.maximum(square, 1e-9)[:, None]
    long = np.hypot(mitre[:, 0], mitre[:, 1])
    mitre *= np.minimum(1.0, SHARPEST / np.maximum(long, 1e-9))[:, None]
    return np.where((square < 1e-6)[:, None], before, mitre)
