"""The place of a saddle to a few hundredths of a pixel: brightness around it against the picture of a blurred saddle.

Model in the full grey picture, d1 and d2 being distances from the two edges (directions known from the rough solve):
    brightness = (a0 + a1 x + a2 y) + (b0 + b1 x + b2 y) erf(d1 / s) erf(d2 / s)
All nine numbers (place x, y; blur s; a; b) are found by Gauss-Newton, first in a small window, then in the whole clear one.
A saddle is the same after half a turn, so the phone's tone curve does not move it.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calibration.arrays import Array

Light = NDArray[np.float32]

NEAR_PX, NEAR_ROUNDS, WIDE_ROUNDS = 6.5, 4, 2
LARGEST_PX = 13.0
SMALLEST_PX = 3.5
BATCH = 512
ROUNDING = 0.29
"""Brightness is told in whole grey levels: noise of 1 / sqrt(12). White that is burnt out has no other, and no saddle either."""


@dataclass(frozen=True, slots=True, eq=False)
class Refined:
    """`at` (N, 2) px; `sd` (N,) px along one axis; `blur` (N,) px; `contrast` (N,) grey levels (bright minus dark, signed)."""

    at: Array
    sd: Array
    blur: Array
    contrast: Array
    good: NDArray[np.bool_]


@dataclass(slots=True, eq=False)
class _State:
    """Numbers being refined: place (N, 2) relative to a whole pixel, width (N,), levels (N, 6), last step (N,), noise, variance."""

    place: Light
    width: Light
    level: Light
    step: Light
    noise: Light
    variance: Light


def refine(grey: NDArray[np.uint8], rough: Array, ways: Array, reach: Array, blur: float) -> Refined:
    """Refine N saddles. `ways` (N, 2, 2): unit directions (rows) of the two edges; `reach` (N,): clear radius in px."""
    count = len(rough)
    out = Refined(rough.copy(), np.full(count, np.inf), np.full(count, blur), np.zeros(count), np.zeros(count, bool))
    largest = float(np.clip(6.0 * blur, LARGEST_PX, 40.0))
    reach = np.minimum(reach, largest)
    order = np.argsort(reach, kind="stable")
    order = order[reach[order] >= SMALLEST_PX]
    for start in range(0, len(order), BATCH):
        some = order[start : start + BATCH]
        _refine_some(grey, rough[some], ways[some], reach[some], blur, out, some)
    return out


def _refine_some(
    grey: NDArray[np.uint8], rough: Array, ways: Array, reach: Array, blur: float, out: Refined, some: NDArray[np.int64]
) -> None:
    height, width = grey.shape
    half = int(np.ceil(reach.max()))
    centre = np.rint(rough).astype(np.int64)
    inside = (centre >= half).all(axis=1) & (centre[:, 0] < width - half) & (centre[:, 1] < height - half)
    centre = np.where(inside[:, None], centre, half)
    normals = np.stack([-ways[:, :, 1], ways[:, :, 0]], axis=2).astype(np.float32)
    zero = np.zeros(len(rough), np.float32)
    state = _State((rough - centre).astype(np.float32), zero + np.float32(blur), np.zeros((len(rough), 6), np.float32), zero, zero, zero)
    near = max(NEAR_PX, 3.0 * blur)
    if half > near + 2:
        _rounds(grey, centre, normals, np.minimum(reach, near).astype(np.float32), state, NEAR_ROUNDS)
    _rounds(grey, centre, normals, reach.astype(np.float32), state, WIDE_ROUNDS if half > near + 2 else NEAR_ROUNDS + 1)
    out.at[some] = state.place + centre
    out.sd[some] = state.noise * np.sqrt(state.variance)
    out.blur[some] = state.width
    out.contrast[some] = 2.0 * state.level[:, 3]
    moved = np.linalg.norm(out.at[some] - rough, axis=1)
    out.good[some] = (
        inside & (moved < 0.5 * reach) & (np.abs(out.contrast[some]) > 4.0 * np.hypot(state.noise, ROUNDING)) & (state.width < 0.6 * reach)
        & (state.step < 0.05) & np.isfinite(out.sd[some])
    )  # fmt: skip


def _rounds(grey: NDArray[np.uint8], centre: NDArray[np.int64], normals: Light, reach: Light, state: _State, rounds: int) -> None:
    """Gauss-Newton rounds in windows that hold `reach`; changes `state`."""
    from scipy.special import erf

    half = int(np.ceil(reach.max()))
    dy, dx = (grid.ravel() for grid in np.mgrid[-half : half + 1, -half : half + 1])
    disc = np.hypot(dx, dy) <= half + 0.7
    dx, dy = dx[disc], dy[disc]
    values = grey[centre[:, 1, None] + dy, centre[:, 0, None] + dx].astype(np.float32)
    offsets = np.stack([dx, dy]).astype(np.float32)  # (2, P)
    ridge = np.eye(9, dtype=np.float32)
    for _ in range(rounds):
        off = offsets[None] - state.place[:, :, None]  # (N, 2, P)
        weight = np.clip(reach[:, None] - np.sqrt((off * off).sum(axis=1)) + np.float32(0.5), 0.0, 1.0)
        d = (normals @ off) / state.width[:, None, None]  # (N, 2, P)
        e = erf(d)
        bell = np.exp(-d * d) * (np.float32(2.0 / np.sqrt(np.pi)) / state.width[:, None, None])
        shape = e[:, 0] * e[:, 1]
        basis = np.empty((len(centre), 9, len(dx)), np.float32)
        basis[:, 3] = 1.0
        basis[:, 4:6] = off / reach[:, None, None]
        basis[:, 6:] = basis[:, 3:6] * shape[:, None]
        if not state.level.any():
            state.level = _levels(basis[:, 3:], weight, values)
        strength = state.level[:, 3, None] + (state.level[:, 4:, None] * basis[:, 4:6]).sum(axis=1)
        by_d = np.stack([bell[:, 0] * e[:, 1], bell[:, 1] * e[:, 0]], axis=1) * strength[:, None]  # (N, 2, P)
        basis[:, :2] = -(np.swapaxes(normals, 1, 2) @ by_d)
        basis[:, 2] = -(by_d * d).sum(axis=1)
        residual = values - (state.level[:, None, :] @ basis[:, 3:])[:, 0]
        heavy = basis * weight[:, None]
        normal = heavy @ np.swapaxes(basis, 1, 2)
        scale = 1.0 / np.sqrt(np.maximum(np.diagonal(normal, axis1=1, axis2=2), np.float32(1e-6)))
        scaled = normal * scale[:, :, None] * scale[:, None, :] + ridge * np.float32(1e-4)
        inverse = np.linalg.inv(scaled) * scale[:, :, None] * scale[:, None, :]
        step = (inverse @ (heavy @ residual[:, :, None]))[..., 0]
        state.place = state.place + np.clip(step[:, :2], -1.0, 1.0)
        state.width = np.clip(state.width + np.clip(step[:, 2], -0.5, 0.5), np.float32(0.5), reach)
        state.level = state.level + step[:, 3:]
        state.step = np.abs(step[:, :2]).max(axis=1)
        freedom = np.maximum(weight.sum(axis=1) - 9.0, 1.0)
        state.noise = np.sqrt((weight * residual**2).sum(axis=1) / freedom)
        state.variance = 0.5 * (inverse[:, 0, 0] + inverse[:, 1, 1])


def _levels(linear: Light, weight: Light, values: Light) -> Light:
    """(N, 6) first levels by least squares, the shape being fixed."""
    heavy = linear * weight[:, None]
    normal = heavy @ np.swapaxes(linear, 1, 2) + np.eye(6, dtype=np.float32) * np.float32(1e-3)
    return np.asarray(np.linalg.solve(normal, heavy @ values[:, :, None])[..., 0], dtype=np.float32)
