"""The light in twelve numbers: where its four ideal corner pixels fall on the table (x, y of each, mm), the centre of its lens's
distortion (px), k1 and k2. From them its map and lens, and how each place that a pixel lights moves with each number.

Corners, not a lamp's pose: looking straight down, height and focal length cannot be told apart.
"""

import numpy as np

from calibration.arrays import Array
from calibration.homography import corner_pixels, homographies, homography_from_corners, through
from calibration.lamp_lens import LampLens, ideal_from_actual

CORNER_STEP_MM = 1e-3  # differences are taken in units of this; the map is smooth over metres
LAMP = 12
CORNERS = 8
"""The first of the twelve: the corners; the lens's four follow."""


def lamp_of(corners_mm: Array, lens: LampLens) -> Array:
    """(12,) of the (4, 2) places of the ideal corner pixels and a lens."""
    return np.concatenate([corners_mm.ravel(), lens.centre_px, [lens.k1, lens.k2]])


def lens_of(lamp: Array) -> LampLens:
    """The lens in the twelve numbers."""
    return LampLens((float(lamp[8]), float(lamp[9])), float(lamp[10]), float(lamp[11]))


def plane_of(lamp: Array, size: tuple[int, int]) -> tuple[Array, LampLens]:
    """(3 x 3 ideal px from mm, lens) of the twelve numbers."""
    return homography_from_corners(lamp[:CORNERS].reshape(4, 2), corner_pixels(size)), lens_of(lamp)


def carry_of(move: Array) -> Array:
    """(12, 12): how the twelve numbers change with a move of the table frame (3 x 3, turn and shift)."""
    carry = np.eye(LAMP)
    for corner in range(4):
        carry[2 * corner : 2 * corner + 2, 2 * corner : 2 * corner + 2] = move[:2, :2]
    return carry


def places_lit(lamp: Array, pixels: Array, size: tuple[int, int]) -> Array:
    """(N, 2) px to (N, 2) mm."""
    mm_from_ideal = homography_from_corners(corner_pixels(size), lamp[:CORNERS].reshape(4, 2))
    return through(mm_from_ideal, ideal_from_actual(pixels, lens_of(lamp), size[0]))


def light_places(lamp: Array, pixels: Array, size: tuple[int, int]) -> tuple[Array, Array]:
    """((N, 2) mm, (N, 2, 12) derivative by four corners, centre, k1, k2)."""
    centre, k1, k2 = lamp[8:10], float(lamp[10]), float(lamp[11])
    ideal = ideal_from_actual(pixels, lens_of(lamp), size[0])
    corners = np.repeat(lamp[None, :8], 9, axis=0)
    corners[1:] += CORNER_STEP_MM * np.eye(8)
    maps = homographies(corner_pixels(size), corners.reshape(9, 4, 2))
    moved = np.column_stack([ideal, np.ones(len(ideal))]) @ np.swapaxes(maps, 1, 2)  # (9, N, 3)
    places = moved[..., :2] / moved[..., 2:]
    by = np.empty((len(pixels), 2, LAMP))
    by[:, :, :8] = np.moveaxis((places[1:] - places[0]) / CORNER_STEP_MM, 0, 2)
    by_ideal = (maps[0, :2, :2][None] - places[0][:, :, None] * maps[0, 2, :2][None, None]) / moved[0, :, 2][:, None, None]
    by[:, :, 8:] = by_ideal @ _ideal_by_lens(ideal, centre, k1, k2, size[0] / 2.0)
    return places[0], by


def _ideal_by_lens(ideal: Array, centre: Array, k1: float, k2: float, half: float) -> Array:
    """(N, 2, 4) derivative of the ideal point by centre x, y, k1, k2 while the actual point stays: implicit, p = c + (u - c) g."""
    off = ideal - centre
    square = np.sum(off * off, axis=1) / half**2
    grow = 1.0 + square * (k1 + k2 * square)
    slope = (k1 + 2.0 * k2 * square) * 2.0 / half**2
    by_ideal = grow[:, None, None] * np.eye(2) + off[:, :, None] * (slope[:, None] * off)[:, None, :]
    right = np.empty((len(ideal), 2, 4))
    right[:, :, :2] = by_ideal - np.eye(2)
    right[:, :, 2], right[:, :, 3] = -off * square[:, None], -off * (square**2)[:, None]
    return np.asarray(np.linalg.solve(by_ideal, right))
