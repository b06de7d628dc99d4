"""Measures drawn lines from a picture alone: where the light of a line lies across it, how wide it is, where it ends.

Shares no code with the drawing. A picture is taken as code values of a gamma 2.2 projector and turned back into light.
Straight lines between two places, px, the middle of the top-left pixel being (0, 0). A line nearer to level than upright is
measured column by column (centre of light in each column, times the cosine of its slope), else row by row: no interpolation.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
GAMMA = 2.2
REACH_PX = 7


def light_from_code(code: NDArray[np.uint8]) -> Array:
    """Code values 0 to 255 to light 0 to 1."""
    return np.asarray((code.astype(np.float64) / 255.0) ** GAMMA)


@dataclass(frozen=True, slots=True)
class Measured:
    """`off_px`: distance of the centre of light from the true line, signed, one a column; `width_px`: equal-light width;
    `long_px`: how much longer than true (both ends together); `level`: greatest light met."""

    off_px: Array
    width_px: float
    long_px: float
    level: float


def measure(light: Array, start: Array, end: Array, keep_off_px: float = 5.0) -> Measured:
    """Measure one straight line from `start` to `end` (px) in `light` (h, w), with nothing else within REACH_PX of it."""
    start, end = np.asarray(start, dtype=np.float64), np.asarray(end, dtype=np.float64)
    d = end - start
    if abs(d[1]) > abs(d[0]):  # upright: look at the picture with x and y exchanged
        return measure(light.T, start[::-1], end[::-1], keep_off_px)
    if d[0] < 0:
        start, end, d = end, start, -d
    slope = d[1] / d[0]
    cosine = 1.0 / np.hypot(1.0, slope)
    columns = np.arange(int(np.ceil(start[0] + keep_off_px)), int(np.floor(end[0] - keep_off_px)) + 1)
    off, sums, peak = [], [], 0.0
    reach = int(np.ceil(REACH_PX / cosine))
    for x in columns:
        y = start[1] + slope * (x - start[0])
        rows = np.arange(round(y) - reach, round(y) + reach + 1)
        values = light[rows, x]
        total = values.sum()
        if total <= 0.05:
            off.append(np.nan)
            continue
        off.append(((values * rows).sum() / total - y) * cosine)
        sums.append(total * cosine)
        peak = max(peak, float(values.max()))
    per_px = float(np.mean(sums)) if sums else 0.0
    low = np.minimum(start, end) - REACH_PX
    high = np.maximum(start, end) + REACH_PX + 1
    x0, y0 = np.maximum(low, 0).astype(int)
    x1, y1 = high.astype(int) + 1
    whole = float(light[y0:y1, x0:x1].sum())
    long = whole / per_px - float(np.hypot(*d)) if per_px else np.nan
    return Measured(np.array(off), per_px / peak if peak else 0.0, long, peak)
