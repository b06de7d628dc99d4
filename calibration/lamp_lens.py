"""The lamp's lens: what bends the straight lines of the light. Two radial terms about a centre, in pixels.

    ideal  u  (px, as a lens without distortion would place it)
    actual p = c + (u - c) (1 + k1 r² + k2 r⁴),   r = |u - c| / (w / 2),   w = width of the picture in px

Brown's radial model (D. C. Brown, "Close-range camera calibration", Photogrammetric Engineering 37, 1971), with the radius
counted in half widths so that k1 and k2 are plain numbers: k1 = 0.01 moves the middle of the left edge by 1 % of w / 2.
The other direction is solved by Newton's method to far below 1e-6 px. Beyond the radius where the formula turns back on
itself no point is given (nan).
"""

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from calibration.arrays import Array

NEWTON_STEPS = 30


@dataclass(frozen=True, slots=True)
class LampLens:
    """Distortion centre (px) and the two radial terms (no unit)."""

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    centre_px: tuple[float, float]
    k1: float = 0.0
    k2: float = 0.0


def _turning_radius(k1: float, k2: float) -> float:
    """Smallest r at which d/dr (r + k1 r³ + k2 r⁵) = 0; inf when it never turns back."""
    roots = np.roots([5.0 * k2, 3.0 * k1, 1.0]) if k2 else (np.array([-1.0 / (3.0 * k1)]) if k1 else np.array([]))
    squares = [root.real for root in np.atleast_1d(roots) if abs(root.imag) < 1e-12 and root.real > 0.0]
    return float(np.sqrt(min(squares))) if squares else float("inf")


def actual_from_ideal(ideal_px: Array, lens: LampLens, width_px: int) -> Array:
    """(N, 2) ideal px to (N, 2) actual px; nan where the formula has turned back."""
    scale, centre = width_px / 2.0, np.array(lens.centre_px)
    off = (ideal_px - centre) / scale
    square = np.sum(off * off, axis=1)
    actual = centre + scale * off * (1.0 + square * (lens.k1 + lens.k2 * square))[:, None]
    turning = _turning_radius(lens.k1, lens.k2)
    actual[~(square < turning * turning)] = np.nan
    return np.asarray(actual)


def ideal_from_actual(actual_px: Array, lens: LampLens, width_px: int) -> Array:
    """(N, 2) actual px to (N, 2) ideal px; nan where no ideal point leads there."""
    scale, centre = width_px / 2.0, np.array(lens.centre_px)
    off = (actual_px - centre) / scale
    if lens.k1 == 0.0 and lens.k2 == 0.0:
        return np.asarray(actual_px, dtype=np.float64).copy()
    reached = np.sqrt(np.sum(off * off, axis=1))
    turning = _turning_radius(lens.k1, lens.k2)
    top = turning * (1.0 + turning**2 * (lens.k1 + lens.k2 * turning**2)) if np.isfinite(turning) else np.inf
    valid = reached < top
    r = _radius(np.where(valid, reached, 0.0), lens, turning)
    ideal = centre + scale * off * np.where(reached > 0.0, r / np.where(reached > 0.0, reached, 1.0), 1.0)[:, None]
    ideal[~valid] = np.nan
    return np.asarray(ideal)


def _radius(reached: Array, lens: LampLens, turning: float) -> Array:
    """r with r (1 + k1 r² + k2 r⁴) = reached: Newton, kept between a low and a high bound that close in."""
    low = np.zeros_like(reached)
    high = np.full_like(reached, turning) if np.isfinite(turning) else 1.0 + 2.0 * reached
    if not np.isfinite(turning):
        for _ in range(60):
            short = high * (1.0 + high**2 * (lens.k1 + lens.k2 * high**2)) < reached
            if not short.any():
                break
            high = np.where(short, 2.0 * high, high)
    r = np.minimum(reached, 0.5 * (low + high) + 0.5 * np.abs(high - low))
    for _ in range(NEWTON_STEPS):
        square = r * r
        miss = r * (1.0 + square * (lens.k1 + lens.k2 * square)) - reached
        low, high = np.where(miss < 0.0, r, low), np.where(miss >= 0.0, r, high)
        slope = 1.0 + square * (3.0 * lens.k1 + 5.0 * lens.k2 * square)
        step = r - miss / np.where(slope > 1e-6, slope, 1e-6)
        inside = (step >= low) & (step <= high)
        after = np.where(inside, step, 0.5 * (low + high))
        if np.all(np.abs(after - r) <= 1e-15 * (1.0 + r)):
            return after
        r = after
    return r
