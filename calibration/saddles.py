"""Saddle points of a picture: where two dark and two bright squares meet. First rough places, with the four edges that run out.

Angles in radians from +x towards +y (y down), as in every array here.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calibration.arrays import Array

Picture = NDArray[np.float32]

RING_SAMPLES = 32
MOST = 6000
OPPOSITE_RAD = np.radians(28.0)
"""How far opposite edges of a saddle may be from one straight line, at the ring's coarse sampling."""

OFF_LEVEL = 0.3
"""A saddle lies half way between bright and dark, give or take this share of the step; the bridge between a dot and the edge of its
square (0.28 of the side wide) is nearly as bright or dark as the square."""


@dataclass(frozen=True, slots=True, eq=False)
class Saddles:
    """N saddles of one picture.

    `at` (N, 2) px of that picture; `edges` (N, 4) angles in rising order; `first_bright` (N,): the sector between the first
    and the second edge is bright; `contrast` (N,) bright minus dark.
    """

    at: Array
    edges: Array
    first_bright: NDArray[np.bool_]
    contrast: Array

    def __len__(self) -> int:
        return len(self.at)


def find_saddles(picture: Picture, sigma: float, ring_px: float) -> Saddles:
    """All saddles of an (h, w) float32 picture, looked for at blur `sigma` px and proved on a ring of `ring_px` px."""
    import cv2

    smooth = cv2.GaussianBlur(picture, (0, 0), sigma)
    xx = cv2.Sobel(smooth, cv2.CV_32F, 2, 0, ksize=3)
    yy = cv2.Sobel(smooth, cv2.CV_32F, 0, 2, ksize=3)
    xy = cv2.Sobel(smooth, cv2.CV_32F, 1, 1, ksize=3)
    strength = xy * xy * 4.0 - xx * yy  # ksize 3: xy comes out half as large as xx and yy
    wide = cv2.dilate(strength, np.ones((5, 5), np.uint8))
    sampled = strength[::7, ::7]
    floor = 12.0 * float(np.median(np.abs(sampled))) + 1e-9
    margin = int(ring_px) + 3
    inside = np.zeros(picture.shape, dtype=bool)
    inside[margin:-margin, margin:-margin] = True
    rows, columns = np.nonzero((strength >= wide) & (strength > floor) & inside)
    order = np.argsort(-strength[rows, columns], kind="stable")[:MOST]
    at = np.column_stack([columns[order], rows[order]]).astype(np.float64)
    plain = np.asarray(smooth, dtype=np.float32)
    return _proved(plain, _sharpened(plain, at), ring_px)


def _sharpened(smooth: Picture, at: Array) -> Array:
    """One Newton step to the point without slope, from a quadratic through 3 x 3 px."""
    x, y = at[:, 0].astype(int), at[:, 1].astype(int)
    near = np.stack([[smooth[y + dy, x + dx] for dx in (-1, 0, 1)] for dy in (-1, 0, 1)]).astype(np.float64)
    gx = (near[:, 2].sum(0) - near[:, 0].sum(0)) / 6.0
    gy = (near[2].sum(0) - near[0].sum(0)) / 6.0
    xx = (near[:, 2].sum(0) + near[:, 0].sum(0) - 2 * near[:, 1].sum(0)) / 3.0
    yy = (near[2].sum(0) + near[0].sum(0) - 2 * near[1].sum(0)) / 3.0
    xy = (near[2, 2] + near[0, 0] - near[0, 2] - near[2, 0]) / 4.0
    det = xx * yy - xy * xy
    det = np.where(np.abs(det) > 1e-12, det, -1e-12)
    step = np.column_stack([-(yy * gx - xy * gy) / det, -(xx * gy - xy * gx) / det])
    return np.asarray(at + np.clip(step, -1.5, 1.5), dtype=np.float64)


def _proved(smooth: Picture, at: Array, ring_px: float) -> Saddles:
    """Keep those whose ring changes four times between bright and dark, opposite changes on one straight line."""
    angles = 2.0 * np.pi * np.arange(RING_SAMPLES) / RING_SAMPLES
    xs = at[:, :1] + ring_px * np.cos(angles)
    ys = at[:, 1:] + ring_px * np.sin(angles)
    ring = _looked_up(smooth, xs, ys)
    middle = 0.5 * (np.sort(ring, axis=1)[:, :6].mean(axis=1) + np.sort(ring, axis=1)[:, -6:].mean(axis=1))
    off = ring - middle[:, None]
    after = np.roll(off, -1, axis=1)
    change = (off > 0) != (after > 0)
    four = np.nonzero(change.sum(axis=1) == 4)[0]
    where = np.nonzero(change[four])[1].reshape(-1, 4)
    a, b = off[four[:, None], where], after[four[:, None], where]
    edges = (where + a / (a - b)) * (2.0 * np.pi / RING_SAMPLES)
    straight = _apart(edges[:, 2] - edges[:, 0], np.pi) + _apart(edges[:, 3] - edges[:, 1], np.pi)
    crossing = np.minimum(np.diff(edges, axis=1).min(axis=1), edges[:, 0] + 2.0 * np.pi - edges[:, 3])
    spread = np.abs(off[four]).mean(axis=1) * 2.0
    level = _looked_up(smooth, at[four, :1], at[four, 1:])[:, 0] - middle[four]
    kept = (straight < OPPOSITE_RAD * 2.0) & (crossing > np.radians(18.0)) & (np.abs(level) < OFF_LEVEL * spread)
    first = b[:, 0] > 0
    return Saddles(at[four][kept], edges[kept], first[kept], spread[kept])


def _looked_up(picture: Picture, xs: Array, ys: Array) -> Array:
    """Brightness at places between pixels; OpenCV refuses to look up nowhere."""
    import cv2

    if not xs.size:
        return np.zeros(xs.shape)
    found = cv2.remap(picture, xs.astype(np.float32), ys.astype(np.float32), cv2.INTER_LINEAR)
    return np.asarray(found, dtype=np.float64).reshape(xs.shape)


def _apart(angle: Array, from_: float) -> Array:
    return np.abs((angle - from_ + np.pi) % (2.0 * np.pi) - np.pi)
