"""From the joint solve to the saved table: hang the frame on the light's lower edge, carry the covariance, find the lens."""

import numpy as np

from calibration.homography import carry_of, corner_pixels, homography_from_corners, lens_of, rigid_to_frame
from calibration.lamp_lens import LampLens
from calibration.saddles import Array


def plane_of(lamp: Array, size: tuple[int, int]) -> tuple[Array, LampLens]:
    """(3 x 3 ideal px from mm, lens) of the light's twelve numbers."""
    return homography_from_corners(lamp[:8].reshape(4, 2), corner_pixels(size)), lens_of(lamp)


def hung(lamp: Array, covariance: Array, size: tuple[int, int]) -> tuple[Array, Array, Array]:
    """(twelve numbers in the table frame, their covariance, the 3 x 3 move) for twelve numbers in any frame."""
    plane, lens = plane_of(lamp, size)
    move = rigid_to_frame(plane, lens, size)
    corners = np.column_stack([lamp[:8].reshape(4, 2), np.ones(4)]) @ move.T
    carry = carry_of(move)
    return np.concatenate([corners[:, :2].ravel(), lamp[8:]]), carry @ covariance @ carry.T, move


def lens_of_plane(px_from_mm: Array, size: tuple[int, int]) -> Array | None:
    """(3,) lens position in mm from a plane map, the lamp having square pixels and its axis at half the width.

    K = [[f, 0, cx], [0, f, cy], [0, 0, 1]] with cx known; the two columns of K⁻¹H are at right angles and equally long, which is
    linear in cy and f² + cy². None when the map does not hold them (the lamp looks straight down) or they are impossible.
    """
    shift = np.array([[1.0, 0.0, -(size[0] - 1) / 2.0], [0.0, 1.0, -(size[1] - 1) / 2.0], [0.0, 0.0, 1.0]])
    columns = shift @ px_from_mm
    columns = columns / np.linalg.norm(columns[:2, :2])
    (a1, b1, c1), (a2, b2, c2) = columns[:, 0], columns[:, 1]
    left = np.array([[-(b1 * c2 + b2 * c1), c1 * c2], [-2.0 * (b1 * c1 - b2 * c2), c1 * c1 - c2 * c2]])
    right = -np.array([a1 * a2 + b1 * b2, a1 * a1 - a2 * a2 + b1 * b1 - b2 * b2])
    try:
        cy, both = np.linalg.solve(left, right)
    except np.linalg.LinAlgError:
        return None
    square = both - cy * cy
    if not (np.isfinite(square) and square > 0.0):
        return None
    focal = float(np.sqrt(square))
    inside = np.array([[focal, 0.0, 0.0], [0.0, focal, cy], [0.0, 0.0, 1.0]])
    columns = np.linalg.solve(inside, columns)
    scale = float(np.linalg.norm(columns[:, 0]) * np.linalg.norm(columns[:, 1])) ** 0.5
    columns = columns / scale
    third = np.cross(columns[:, 0], columns[:, 1])
    turn = np.column_stack([columns[:, 0], columns[:, 1], third / np.linalg.norm(third)])
    lens = -np.linalg.solve(turn, columns[:, 2])
    return lens if lens[2] > 0 else -lens * np.array([-1.0, -1.0, 1.0])
