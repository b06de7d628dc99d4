"""Where the light's pixels fall on the table, and how that place moves with each of the twelve numbers of the light."""

import numpy as np

from calibration.homography import corner_pixels, homographies, lens_of
from calibration.lamp_lens import ideal_from_actual
from calibration.saddles import Array

CORNER_STEP_MM = 1e-3  # differences are taken in units of this; the map is smooth over metres
LAMP = 12


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
