"""Hanging the table frame on the light's lower edge, where the first calibration of a table puts it."""

import numpy as np

from calibration.arrays import Array
from calibration.errors import WrongInput
from calibration.lamp_lens import LampLens, ideal_from_actual
from calibration.light import CORNERS, carry_of, plane_of


def hung(lamp: Array, covariance: Array, size: tuple[int, int]) -> tuple[Array, Array, Array]:
    """(twelve numbers in the table frame, their covariance, the 3 x 3 move) for twelve numbers in any frame."""
    plane, lens = plane_of(lamp, size)
    move = rigid_to_frame(plane, lens, size)
    corners = np.column_stack([lamp[:CORNERS].reshape(4, 2), np.ones(4)]) @ move.T
    carry = carry_of(move)
    return np.concatenate([corners[:, :2].ravel(), lamp[CORNERS:]]), carry @ covariance @ carry.T, move


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
