"""Plane-to-plane maps from point pairs, and hanging a map on the picture's lower edge."""

import numpy as np

from calibration.errors import WrongInput
from calibration.lamp_lens import Array, LampLens, ideal_from_actual


def homography_from_corners(source: Array, target: Array) -> Array:
    """3 x 3 map that takes (4, 2) source points exactly to (4, 2) target points; source scaled for a stable solve."""
    scale = np.abs(source).max() or 1.0
    (x, y), (u, v) = (source / scale).T, target.T
    zero, one = np.zeros(4), np.ones(4)
    above = np.column_stack([x, y, one, zero, zero, zero, -u * x, -u * y])
    below = np.column_stack([zero, zero, zero, x, y, one, -v * x, -v * y])
    nine = np.append(np.linalg.solve(np.vstack([above, below]), np.concatenate([u, v])), 1.0)
    return np.asarray(nine.reshape(3, 3) @ np.diag([1.0 / scale, 1.0 / scale, 1.0]))


def rigid_to_frame(px_from_mm: Array, lens: LampLens, size: tuple[int, int]) -> Array:
    """3 x 3 rigid move `new_from_old` (mm) that hangs the table frame on the picture, for a map in any other frame.

    Afterwards pixel (0, h-1) lies at (0, 0) and pixel (w-1, h-1) on the positive x axis; y a quarter turn counter-clockwise.
    The new map is `px_from_mm @ inv(new_from_old)`. Raises WrongInput when one of the two pixels never meets the table.
    """
    w, h = size
    ideal = ideal_from_actual(np.array([[0.0, h - 1.0], [w - 1.0, h - 1.0]]), lens, w)
    met = np.column_stack([ideal, np.ones(2)]) @ np.linalg.inv(px_from_mm).T
    if not (np.isfinite(met).all() and met[0, 2] * met[1, 2] > 0.0):
        raise WrongInput("The lower edge of the light does not lie on the table.", "It runs beyond the horizon.", "Tilt the lamp less.")
    first, second = met[:, :2] / met[:, 2:3]
    along = (second - first) / np.linalg.norm(second - first)
    turn = np.array([[along[0], along[1]], [-along[1], along[0]]])
    move = np.eye(3)
    move[:2, :2], move[:2, 2] = turn, -turn @ first
    return move
