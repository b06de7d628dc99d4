"""A lamp that was knocked: its insides stay, its pose changes by six small numbers.

From the map H and the lens position L the matrix A that takes directions in the table frame to ideal pixels follows without
knowing the focal length: H = A [e1 e2 -L], so A = [h1 h2 -(h3 + Lx h1 + Ly h2) / Lz]. After a turn R (about the lens) and a
shift d of the lens the map is H' = A Rᵀ [e1 e2 -(L + d)].
"""

from dataclasses import replace

import numpy as np

from calibration.arrays import Array
from calibration.table import Table, rows3

SIX = 6  # turn about x, y, z in radians, then shift in mm
GUESSED_HEIGHT = 1.25  # of the light's width, for a table without a lens position: lamps throw 1.0 to 1.6 widths


def lens_or_guess(table: Table) -> Array:
    """(3,) mm: the table's lens position, or a rough one above the middle of the light."""
    if table.lens_position is not None:
        return np.array(table.lens_position.at_mm)
    places = table.places_mm(3, 3)
    width = float(np.linalg.norm(places[5] - places[3]))
    return np.array([*places[4], GUESSED_HEIGHT * width])


def turn_matrix(turn: Array) -> Array:
    """3 x 3 rotation by a rotation vector in radians (Rodrigues' formula)."""
    angle = float(np.linalg.norm(turn))
    cross: Array = np.array([[0.0, -turn[2], turn[1]], [turn[2], 0.0, -turn[0]], [-turn[1], turn[0], 0.0]])
    if angle < 1e-12:
        return np.asarray(np.eye(3) + cross)
    return np.asarray(np.eye(3) + np.sin(angle) / angle * cross + (1.0 - np.cos(angle)) / angle**2 * cross @ cross)


def bumped(table: Table, six: Array) -> Table:
    """The same lamp turned and shifted by six numbers; everything else of the table stays."""
    lens, at = table.lens_position, lens_or_guess(table)
    plane = np.array(table.homography_px_from_mm)
    inside = np.column_stack([plane[:, 0], plane[:, 1], -(plane[:, 2] + at[0] * plane[:, 0] + at[1] * plane[:, 1]) / at[2]])
    turned = inside @ turn_matrix(six[:3]).T
    moved = at + six[3:]
    after = np.column_stack([turned[:, 0], turned[:, 1], -turned @ moved])
    known = replace(lens, at_mm=(float(moved[0]), float(moved[1]), float(moved[2]))) if lens is not None else None
    return replace(table, homography_px_from_mm=rows3(after), lens_position=known)
