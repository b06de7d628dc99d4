"""The phone: a pinhole with Brown's radial and tangential terms, and everything's derivative.

Ten numbers of a phone: log f, principal point x and y (all in px; the point as an offset from the picture's middle),
k1, k2, k3, p1, p2 (D. C. Brown, 1971), and how much larger its red and its blue picture are than the green one (lateral colour).
Brightness mixes the three, so a printed spot is drawn aside by its share of red and blue, a spot of green light is not.
A pose: rotation vector and translation that take table mm to camera mm, z forward.
"""

from dataclasses import dataclass

import numpy as np

from calibration.arrays import Array

PHONE, POSE = 10, 6


@dataclass(frozen=True, slots=True, eq=False)
class Projected:
    """`at` (N, 2) px; derivatives by the place (N, 2, 3), the phone (N, 2, 10) and the pose (N, 2, 6)."""

    at: Array
    by_place: Array
    by_phone: Array
    by_pose: Array


def project(phone: Array, breath: float, pose: Array, places: Array, middle: Array, tint: Array) -> Projected:
    """Places (N, 3) of the table (mm) into the picture.

    `breath`: log of this photograph's own focal length change. `tint` (N, 2): share of red and of blue in the spot's contrast.
    """
    import cv2

    turn, by_turn = cv2.Rodrigues(pose[:3])
    turn, by_turn = np.asarray(turn, dtype=np.float64), np.asarray(by_turn, dtype=np.float64)  # (3, 3), (3, 9)
    seen = places @ turn.T + pose[3:]
    depth = np.where(np.abs(seen[:, 2]) > 1e-6, seen[:, 2], 1e-6)
    ideal = seen[:, :2] / depth[:, None]
    focal = float(np.exp(phone[0] + breath))
    bent, by_ideal, by_terms = _bent(ideal, phone[3:8])
    wide = (1.0 + tint @ phone[8:10])[:, None]
    at = focal * wide * bent + middle + phone[1:3]
    by_seen = np.zeros((len(places), 2, 3))  # d ideal / d seen
    by_seen[:, 0, 0] = by_seen[:, 1, 1] = 1.0 / depth
    by_seen[:, :, 2] = -ideal / depth[:, None]
    chain = (focal * wide)[:, :, None] * (by_ideal @ by_seen)  # (N, 2, 3)
    by_phone = np.zeros((len(places), 2, PHONE))
    by_phone[:, :, 0] = focal * wide * bent
    by_phone[:, 0, 1] = by_phone[:, 1, 2] = 1.0
    by_phone[:, :, 3:8] = (focal * wide)[:, :, None] * by_terms
    by_phone[:, :, 8:] = focal * bent[:, :, None] * tint[:, None, :]
    spun = np.einsum("kij,nj->nik", by_turn.reshape(3, 3, 3), places)  # d seen / d rotation vector
    return Projected(at, chain @ turn, by_phone, np.concatenate([chain @ spun, chain], axis=2))


def _bent(ideal: Array, terms: Array) -> tuple[Array, Array, Array]:
    """((N, 2) bent, (N, 2, 2) by ideal, (N, 2, 5) by k1, k2, k3, p1, p2)."""
    k1, k2, k3, p1, p2 = (float(term) for term in terms)
    x, y = ideal[:, 0], ideal[:, 1]
    r2 = x * x + y * y
    radial = 1.0 + r2 * (k1 + r2 * (k2 + r2 * k3))
    slope = k1 + r2 * (2.0 * k2 + 3.0 * k3 * r2)  # d radial / d r2
    bent = np.column_stack([x * radial + 2 * p1 * x * y + p2 * (r2 + 2 * x * x), y * radial + p1 * (r2 + 2 * y * y) + 2 * p2 * x * y])
    by_ideal = np.empty((len(x), 2, 2))
    by_ideal[:, 0, 0] = radial + 2 * x * x * slope + 2 * p1 * y + 6 * p2 * x
    by_ideal[:, 0, 1] = by_ideal[:, 1, 0] = 2 * x * y * slope + 2 * p1 * x + 2 * p2 * y
    by_ideal[:, 1, 1] = radial + 2 * y * y * slope + 6 * p1 * y + 2 * p2 * x
    powers = np.stack([r2, r2**2, r2**3], axis=1)
    by_terms = np.empty((len(x), 2, 5))
    by_terms[:, :, :3] = ideal[:, :, None] * powers[:, None, :]
    by_terms[:, 0, 3], by_terms[:, 0, 4] = 2 * x * y, r2 + 2 * x * x
    by_terms[:, 1, 3], by_terms[:, 1, 4] = r2 + 2 * y * y, 2 * x * y
    return bent, by_ideal, by_terms


def pose_from_homography(picture_from_table: Array, focal: float, middle: Array) -> Array:
    """(6,) pose from a 3 x 3 map of the table plane into the picture and a focal length in px."""
    import cv2

    inside = np.array([[focal, 0.0, middle[0]], [0.0, focal, middle[1]], [0.0, 0.0, 1.0]])
    columns = np.linalg.solve(inside, picture_from_table)
    columns = columns / np.sqrt(np.linalg.norm(columns[:, 0]) * np.linalg.norm(columns[:, 1]))
    if columns[2, 2] < 0:
        columns = -columns
    loose = np.column_stack([columns[:, 0], columns[:, 1], np.cross(columns[:, 0], columns[:, 1])])
    u, _, v = np.linalg.svd(loose)
    turn = u @ np.diag([1.0, 1.0, np.linalg.det(u @ v)]) @ v
    return np.concatenate([np.asarray(cv2.Rodrigues(turn)[0]).ravel(), columns[:, 2]])
