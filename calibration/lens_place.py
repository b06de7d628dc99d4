"""Where the lamp's lens is, from the map alone: what cloth of some height needs (table.py)."""

import numpy as np

from calibration.arrays import Array
from calibration.light import plane_of
from calibration.table import LensPosition

DRAWS = 200
WORST_LENS_SD_MM = 400.0


def lens_position(lamp: Array, covariance: Array, size: tuple[int, int], seed: int = 1) -> LensPosition | None:
    """Where the lamp's lens is, with standard deviations from draws of the map's covariance; None when too loose to use."""
    middle = lens_of_plane(plane_of(lamp, size)[0], size)
    if middle is None:
        return None
    draws = np.random.default_rng(seed).multivariate_normal(lamp, covariance, size=DRAWS, method="eigh")
    found = [place for draw in draws if (place := lens_of_plane(plane_of(draw, size)[0], size)) is not None]
    if len(found) < 0.9 * DRAWS:
        return None
    sd = np.std(found, axis=0)
    if not (middle[2] > 0.0 and sd[2] < WORST_LENS_SD_MM):
        return None
    return LensPosition((float(middle[0]), float(middle[1]), float(middle[2])), (float(sd[0]), float(sd[1]), float(sd[2])))


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
