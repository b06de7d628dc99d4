"""Plane-to-plane maps from point pairs; turns and shifts in the plane."""

import numpy as np

from calibration.arrays import Array

FEWEST = 8
"""Pairs of points, before a map between two planes is believed."""


def corner_pixels(size: tuple[int, int]) -> Array:
    """(4, 2) px: (0, 0), (w-1, 0), (w-1, h-1), (0, h-1)."""
    w, h = size
    return np.array([[0.0, 0.0], [w - 1.0, 0.0], [w - 1.0, h - 1.0], [0.0, h - 1.0]])


def homography_from_corners(source: Array, target: Array) -> Array:
    """3 x 3 map that takes (4, 2) source points exactly to (4, 2) target points."""
    return np.asarray(homographies(source, target[None])[0])


def homographies(source: Array, target: Array) -> Array:
    """(B, 3, 3) maps that take (4, 2) source points exactly to each of B sets of target points (B, 4, 2); source scaled for a
    stable solve."""
    scale = np.abs(source).max() or 1.0
    x, y = (source / scale).T
    batch = len(target)
    rows = np.zeros((batch, 8, 8))
    rows[:, :4, 0] = rows[:, 4:, 3] = x
    rows[:, :4, 1] = rows[:, 4:, 4] = y
    rows[:, :4, 2] = rows[:, 4:, 5] = 1.0
    for start, axis in ((0, 0), (4, 1)):
        rows[:, start : start + 4, 6] = -target[:, :, axis] * x
        rows[:, start : start + 4, 7] = -target[:, :, axis] * y
    right = np.concatenate([target[:, :, 0], target[:, :, 1]], axis=1)
    eight = np.linalg.solve(rows, right[..., None])[..., 0]
    found = np.concatenate([eight, np.ones((batch, 1))], axis=1).reshape(batch, 3, 3)
    return np.asarray(found @ np.diag([1.0 / scale, 1.0 / scale, 1.0]))


def plane_map(source: Array, target: Array, within_px: float = 6.0) -> Array | None:
    """3 x 3 map between two planes that most pairs agree on to so many px of the target; None for too few."""
    import cv2

    if len(source) < FEWEST:
        return None
    found, _ = cv2.findHomography(source, target, cv2.RANSAC, within_px)
    return None if found is None else np.asarray(found, dtype=np.float64)


def through(matrix: Array, points: Array) -> Array:
    """(N, 2) points through a 3 x 3 map."""
    moved = np.column_stack([points, np.ones(len(points))]) @ matrix.T
    return np.asarray(moved[:, :2] / moved[:, 2:])


def inverse(matrix: Array) -> Array:
    """The map back."""
    return np.asarray(np.linalg.inv(matrix), dtype=np.float64)


def rigid_move(source: Array, target: Array) -> Array:
    """(x, y, turn in radians) of the turn and shift (no scale) that brings (N, 2) source closest to target."""
    a, b = source - source.mean(axis=0), target - target.mean(axis=0)
    turn = float(np.arctan2((a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]).sum(), (a * b).sum()))
    cosine, sine = np.cos(turn), np.sin(turn)
    shift = target.mean(axis=0) - np.array([[cosine, -sine], [sine, cosine]]) @ source.mean(axis=0)
    return np.array([shift[0], shift[1], turn])


def rigid_matrix(move: Array) -> Array:
    """3 x 3 of (x, y, turn)."""
    cosine, sine = np.cos(move[2]), np.sin(move[2])
    return np.array([[cosine, -sine, move[0]], [sine, cosine, move[1]], [0.0, 0.0, 1.0]])
