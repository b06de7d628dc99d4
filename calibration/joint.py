"""The joint solve: robust fit, noise learnt from the residuals, spots kept or refused singly and as groups (photograph × drawing)."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from calibration.arrays import Array
from calibration.least_squares import MEDIAN_OF_LENGTH, Fit, Prior, fit
from calibration.straight import plain_by_straight, plain_from_straight, straight_from_plain
from calibration.unknowns import LIGHT, Setting, Spots, seen_at

FAR_SD = 4.0
"""Spots further off than this are refused: of 3000 good ones, 1 would be (chi² with 2 degrees of freedom, 3.3e-4)."""

FEWEST_IN_GROUP = 8
MOST_LOST = 0.5
LEAST_SCALE = 0.35
"""A spot's own estimate of its noise counts the dots and edges around it and is two to three times too large; never believe more."""


@dataclass(frozen=True, slots=True, eq=False)
class Solved:
    """Result of a joint solve. `used` (N,): spots kept. `scale`: noise found / noise expected per (photograph, light?)."""

    setting: Setting
    x: Array
    covariance: Array
    spots: Spots
    used: NDArray[np.bool_]
    residual: Array
    scale: dict[tuple[int, bool], float]
    refused: tuple[tuple[int, int], ...]
    settled: bool


def _fit(setting: Setting, spots: Spots, sd: Array, start: Array, prior: Prior, robust_at: float) -> Fit:
    def model(y: Array) -> tuple[Array, Array]:
        x = plain_from_straight(setting, y)
        at, slope = seen_at(setting, x, spots.photo, spots.drawing, spots.on, spots.tint)
        return (at - spots.at) / sd[:, None], slope @ plain_by_straight(setting, x) / sd[:, None, None]

    found = fit(model, straight_from_plain(setting, start), prior, robust_at)
    x = plain_from_straight(setting, found.x)
    back = np.linalg.inv(plain_by_straight(setting, x))
    return replace(found, x=x, normal=back.T @ found.normal @ back)


def rough_fit(setting: Setting, spots: Spots, start: Array, prior: Prior) -> Array:
    """The unknowns from rough places: noise of about half a pixel of the reduced picture."""
    return _fit(setting, spots, spots.sd, start, prior, 3.0).x


def _groups(spots: Spots) -> list[tuple[int, int]]:
    return sorted({(int(photo), int(drawing)) for photo, drawing in zip(spots.photo, spots.drawing, strict=True)})


def _scales(spots: Spots, lengths: Array, used: NDArray[np.bool_]) -> dict[tuple[int, bool], float]:
    """Noise found over noise expected, for printed and light spots of each photograph."""
    found = {}
    for photo in np.unique(spots.photo):
        for light in (False, True):
            mask = (spots.photo == photo) & ((spots.drawing == LIGHT) == light) & used
            if mask.sum() >= FEWEST_IN_GROUP:
                found[int(photo), light] = max(float(np.median(lengths[mask])) / MEDIAN_OF_LENGTH, LEAST_SCALE)
    return found


def _scaled(spots: Spots, scale: dict[tuple[int, bool], float]) -> Array:
    widened = [scale.get((int(p), bool(d == LIGHT)), 1.0) for p, d in zip(spots.photo, spots.drawing, strict=True)]
    return np.asarray(spots.sd * np.array(widened), dtype=np.float64)


def solve_joint(setting: Setting, spots: Spots, start: Array, prior: Prior) -> Solved:
    """Fit, learn the noise, drop what does not belong, fit again until nothing changes."""
    used, refused, x = np.ones(len(spots), dtype=bool), set[tuple[int, int]](), start
    scale: dict[tuple[int, bool], float] = {}
    found = None
    for round_ in range(6):
        sd = _scaled(spots, scale)
        kept = np.flatnonzero(used)
        found = _fit(setting, spots.chosen(kept), sd[kept], x, prior, 3.0 if round_ else 2.0)
        x = found.x
        lengths = _lengths(setting, x, spots, spots.sd)
        known = used & (lengths / _scaled(spots, scale) * spots.sd < 6.0)
        scale = _scales(spots, lengths, known)
        close = lengths * spots.sd / _scaled(spots, scale) < FAR_SD
        before = used
        used = close & ~_in_groups(spots, refused)
        refused |= {group for group in _groups(spots) if _lost(spots, group, used)}
        used &= ~_in_groups(spots, refused)
        if round_ >= 2 and np.array_equal(before, used):
            break
    assert found is not None
    sd = _scaled(spots, scale)
    residual = seen_at(setting, x, spots.photo, spots.drawing, spots.on, spots.tint, slopes=False)[0] - spots.at
    covariance = _inverse(found.normal)
    spread = np.asarray(covariance, dtype=np.float64)
    return Solved(setting, x, spread, Spots(spots.photo, spots.drawing, spots.on, spots.at, sd, spots.tint), used, residual, scale,
                  tuple(sorted(refused)), found.settled)  # fmt: skip


def _inverse(normal: Array) -> Array:
    """The covariance of a normal matrix; what nothing was learnt about (every spot refused) gets an enormous variance, not a crash."""
    scale = 1.0 / np.sqrt(np.maximum(np.diag(normal), 1e-6))
    scaled = normal * np.outer(scale, scale) + 1e-9 * np.eye(len(normal))
    return np.asarray(np.linalg.inv(scaled) * np.outer(scale, scale))


def _lengths(setting: Setting, x: Array, spots: Spots, sd: Array) -> Array:
    at, _ = seen_at(setting, x, spots.photo, spots.drawing, spots.on, spots.tint, slopes=False)
    return np.asarray(np.linalg.norm(at - spots.at, axis=1) / sd)


def _in_groups(spots: Spots, groups: set[tuple[int, int]]) -> NDArray[np.bool_]:
    mask = np.zeros(len(spots), dtype=bool)
    for photo, drawing in groups:
        mask |= (spots.photo == photo) & (spots.drawing == drawing)
    return mask


def _lost(spots: Spots, group: tuple[int, int], used: NDArray[np.bool_]) -> bool:
    mask = (spots.photo == group[0]) & (spots.drawing == group[1])
    kept = int((mask & used).sum())
    return kept < FEWEST_IN_GROUP or kept < (1.0 - MOST_LOST) * int(mask.sum())
