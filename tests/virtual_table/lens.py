"""Lenses of the virtual table: Brown's model as in OpenCV's documentation, written here from the formula.

Normalised coordinates (x, y) = (X/Z, Y/Z) become, with r² = x² + y²,
    x' = x (1 + k1 r² + k2 r⁴) + 2 p1 x y + p2 (r² + 2 x²)
    y' = y (1 + k1 r² + k2 r⁴) + p1 (r² + 2 y²) + 2 p2 x y
and pixels u = fx x' + cx, v = fy y' + cy.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Lens:
    """Focal length and principal point in px, Brown's terms."""

    focal_px: float
    centre_px: tuple[float, float]
    k1: float = 0.0
    k2: float = 0.0
    p1: float = 0.0
    p2: float = 0.0

    def bent(self, flat: Array) -> Array:
        """(..., 2) normalised to (..., 2) normalised, distorted."""
        x, y = flat[..., 0], flat[..., 1]
        square = x * x + y * y
        radial = 1.0 + square * (self.k1 + self.k2 * square)
        return np.stack(
            [
                x * radial + 2 * self.p1 * x * y + self.p2 * (square + 2 * x * x),
                y * radial + self.p1 * (square + 2 * y * y) + 2 * self.p2 * x * y,
            ],
            axis=-1,
        )

    def flat(self, bent: Array) -> Array:
        """The inverse of `bent` by Newton's method with the numerical slope of the whole field; exact to 1e-13."""
        guess = bent.copy()
        for _ in range(25):
            miss = self.bent(guess) - bent
            step = 1e-7
            dx_, dy_ = np.array([step, 0.0]), np.array([0.0, step])
            across = (self.bent(guess + dx_) - self.bent(guess - dx_)) / (2 * step)
            down = (self.bent(guess + dy_) - self.bent(guess - dy_)) / (2 * step)
            det = across[..., 0] * down[..., 1] - across[..., 1] * down[..., 0]
            dx = (miss[..., 0] * down[..., 1] - miss[..., 1] * down[..., 0]) / det
            dy = (miss[..., 1] * across[..., 0] - miss[..., 0] * across[..., 1]) / det
            guess = guess - np.stack([dx, dy], axis=-1)
            if np.abs(miss).max(initial=0.0) < 1e-14:
                break
        return guess

    def px(self, flat: Array) -> Array:
        """Normalised, not distorted, to px."""
        return np.asarray(self.bent(flat) * self.focal_px + np.array(self.centre_px))

    def normalised(self, px: Array) -> Array:
        """Px to normalised, not distorted."""
        return self.flat(np.asarray((px - np.array(self.centre_px)) / self.focal_px))


@dataclass(frozen=True, slots=True)
class Pose:
    """Where a lens is in the world (mm, z up, table at z = 0) and the world-from-lens turn (columns: right, down, forward)."""

    at: Array
    turn: Array

    def seen(self, world: Array) -> Array:
        """(..., 3) world points to (..., 3) in the lens's frame."""
        return np.asarray((world - self.at) @ self.turn)

    def rays(self, flat: Array) -> Array:
        """(..., 2) normalised to (..., 3) directions in the world."""
        return np.concatenate([flat, np.ones((*flat.shape[:-1], 1))], axis=-1) @ self.turn.T

    def met(self, flat: Array, height: float | Array = 0.0) -> Array:
        """(..., 2) world x, y where rays meet the level plane z = height; far away (1e6) where they never do."""
        ray = self.rays(flat)
        down = ray[..., 2] < -1e-6
        reach = np.where(down, (height - self.at[2]) / np.where(down, ray[..., 2], -1.0), 0.0)
        met = self.at[:2] + ray[..., :2] * reach[..., None]
        return np.where(down[..., None], met, 1e6)


def looking_at(at: Array, target: Array, roll_deg: float, up: Array | None = None) -> Pose:
    """A pose at `at` whose forward axis goes through `target`; with roll 0 the picture's top points to `up` (world +y)."""
    forward = (target - at) / np.linalg.norm(target - at)
    top = np.array([0.0, 1.0, 0.0]) if up is None else up
    right = np.cross(forward, top)
    right /= np.linalg.norm(right)
    down = np.cross(forward, right)
    roll = np.radians(roll_deg)
    turned_right = np.cos(roll) * right + np.sin(roll) * down
    turned_down = -np.sin(roll) * right + np.cos(roll) * down
    return Pose(at, np.column_stack([turned_right, turned_down, forward]))
