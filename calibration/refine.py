"""The place of a saddle to a few hundredths of a pixel: brightness around it against the picture of a blurred saddle.

Model in the full grey picture, d1 and d2 being distances from the two edges (directions known from the rough solve):
    brightness = (a0 + a1 x + a2 y) + (b0 + b1 x + b2 y) erf(d1 / s) erf(d2 / s)
Place and blur s are found by Gauss-Newton, the six others by least squares inside. A saddle is the same after half a turn, so
the phone's tone curve does not move it.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calibration.saddles import Array

ROUNDS = 7
LARGEST_PX = 16.0
SMALLEST_PX = 3.5
BATCH = 256


@dataclass(frozen=True, slots=True, eq=False)
class Refined:
    """`at` (N, 2) px; `sd` (N,) px along one axis; `blur` (N,) px; `contrast` (N,) grey levels (bright minus dark, signed)."""

    at: Array
    sd: Array
    blur: Array
    contrast: Array
    good: NDArray[np.bool_]


def refine(grey: NDArray[np.uint8], rough: Array, ways: Array, reach: Array, blur: float) -> Refined:
    """Refine N saddles. `ways` (N, 2, 2): unit directions (rows) of the two edges; `reach` (N,): clear radius in px."""
    count = len(rough)
    at, sd, width, contrast, good = rough.copy(), np.full(count, np.inf), np.full(count, blur), np.zeros(count), np.zeros(count, bool)
    reach = np.minimum(reach, LARGEST_PX)
    order = np.argsort(reach, kind="stable")
    order = order[reach[order] >= SMALLEST_PX]
    for start in range(0, len(order), BATCH):
        some = order[start : start + BATCH]
        found = _refine_some(grey, rough[some], ways[some], reach[some], blur)
        at[some], sd[some], width[some], contrast[some], good[some] = found
    return Refined(at, sd, width, contrast, good)


def _windows(grey: NDArray[np.uint8], rough: Array, half: int) -> tuple[Array, Array, Array, NDArray[np.bool_]]:
    """(values (N, P), offsets of the window's pixels (P, 2), whole-pixel centres (N, 2), lies inside)."""
    height, width = grey.shape
    centre = np.rint(rough).astype(np.int64)
    inside = (centre >= half).all(axis=1) & (centre[:, 0] < width - half) & (centre[:, 1] < height - half)
    safe = np.where(inside[:, None], centre, half)
    dy, dx = np.mgrid[-half : half + 1, -half : half + 1]
    values = grey[safe[:, 1, None] + dy.ravel(), safe[:, 0, None] + dx.ravel()].astype(np.float64)
    return values, np.column_stack([dx.ravel(), dy.ravel()]).astype(np.float64), safe.astype(np.float64), inside


def _refine_some(
    grey: NDArray[np.uint8], rough: Array, ways: Array, reach: Array, blur: float
) -> tuple[Array, Array, Array, Array, NDArray[np.bool_]]:
    from scipy.special import erf

    half = int(np.ceil(reach.max()))
    values, offsets, centre, inside = _windows(grey, rough, half)
    place = rough - centre
    weight = np.clip(reach[:, None] - np.hypot(offsets[None, :, 0] - place[:, :1], offsets[None, :, 1] - place[:, 1:]) + 0.5, 0.0, 1.0)
    normals = np.stack([-ways[:, :, 1], ways[:, :, 0]], axis=2)
    width = np.full(len(rough), blur)
    level = np.zeros((len(rough), 6))
    inverse = np.zeros((len(rough), 9, 9))
    for _ in range(ROUNDS):
        off = offsets[None] - place[:, None]  # (N, P, 2)
        d = np.einsum("npi,nki->nkp", off, normals) / width[:, None, None]
        e = erf(d)
        bell = np.exp(-d * d) * (2.0 / np.sqrt(np.pi)) / width[:, None, None]
        shape = e[:, 0] * e[:, 1]
        local = off / reach[:, None, None]
        flat = np.stack([np.ones_like(shape), local[..., 0], local[..., 1]], axis=2)
        linear = np.concatenate([flat, flat * shape[:, :, None]], axis=2)
        if not level.any():
            heavy = linear * weight[..., None]
            level = np.linalg.solve(np.swapaxes(heavy, 1, 2) @ linear + 1e-9 * np.eye(6), np.swapaxes(heavy, 1, 2) @ values[..., None])[
                ..., 0
            ]
        strength = (flat @ level[:, 3:, None])[..., 0]
        by_d = np.stack([bell[:, 0] * e[:, 1], bell[:, 1] * e[:, 0]], axis=1)  # d shape / d distance
        moved = -strength[..., None] * np.einsum("nkp,nki->npi", by_d, normals)
        widened = -strength * np.einsum("nkp,nkp->np", by_d, d)
        slope = np.concatenate([moved, widened[..., None], linear], axis=2)
        residual = values - (linear @ level[..., None])[..., 0]
        heavy = slope * weight[..., None]
        normal = np.swapaxes(heavy, 1, 2) @ slope
        normal = normal + np.eye(9) * (1e-6 * np.trace(normal, axis1=1, axis2=2)[:, None, None] / 9 + 1e-9)
        inverse = np.linalg.inv(normal)
        step = (inverse @ (np.swapaxes(heavy, 1, 2) @ residual[..., None]))[..., 0]
        place = place + np.clip(step[:, :2], -1.0, 1.0)
        width = np.clip(width + np.clip(step[:, 2], -0.5, 0.5), 0.5, reach)
        level = level + step[:, 3:]
    freedom = np.maximum(weight.sum(axis=1) - 9.0, 1.0)
    noise = np.sqrt((weight * residual**2).sum(axis=1) / freedom)
    sd = noise * np.sqrt(0.5 * (inverse[:, 0, 0] + inverse[:, 1, 1]))
    contrast = 2.0 * level[:, 3]
    moved_px = np.hypot(*(place + centre - rough).T)
    good = (
        inside
        & (moved_px < 0.5 * reach)
        & (np.abs(contrast) > 4.0 * noise)
        & (width < 0.6 * reach)
        & (np.abs(step[:, :2]).max(axis=1) < 0.05)
    )
    return place + centre, sd, width, contrast, good
