"""Lateral colour of a phone, measured: how much larger the red and the blue picture of the printed spots is than the green one.

Done in the reduced picture, where JPEG keeps colour whole. One spot says little, some two hundred together say it to 2e-5.
"""

from dataclasses import dataclass

import numpy as np

from calibration.arrays import Array
from calibration.least_squares import MEDIAN_OF_LENGTH
from calibration.photograph import Photograph, small_from_full
from calibration.refine import refine

FEWEST = 24
GREEN_SHARE = 0.4  # under dark squares of the light the printed spots hardly show in green
FAR_PX = 1.0


@dataclass(frozen=True, slots=True, eq=False)
class Lateral:
    """Red and blue over green, minus 1, and their standard deviations."""

    excess: Array
    sd: Array


def lateral_of(photograph: Photograph, at: Array, ways: Array, reach: Array, tint: Array, blur: float) -> Lateral | None:
    """From refined printed spots (full px); None when too few show in all three colours."""
    shown = 1.0 - tint.sum(axis=1) > GREEN_SHARE
    if shown.sum() < FEWEST:
        return None
    small = small_from_full(at[shown], photograph.reduced)
    middle = (np.array(photograph.size) / photograph.reduced - 1.0) / 2.0
    blue, green, red = (
        refine(
            np.ascontiguousarray(photograph.small[:, :, channel]),
            small,
            ways[shown],
            reach[shown] / photograph.reduced,
            blur / photograph.reduced + 0.5,
        )
        for channel in range(3)
    )
    found = [_excess(colour.at - green.at, green.at - middle, colour.good & green.good) for colour in (red, blue)]
    if found[0] is None or found[1] is None:
        return None
    return Lateral(np.array([one[0] for one in found if one]), np.array([one[1] for one in found if one]))


def _excess(off: Array, from_middle: Array, good: "np.ndarray[tuple[int, ...], np.dtype[np.bool_]]") -> tuple[float, float] | None:
    """(scale, its sd) of shifts that grow with the distance from the middle, a common shift left free."""
    good = good & (np.hypot(off[:, 0], off[:, 1]) < FAR_PX)
    if good.sum() < FEWEST:
        return None
    weight = np.ones(int(good.sum()))
    q, d = from_middle[good], off[good]
    scale, sd = 0.0, np.inf
    for _ in range(8):
        q0 = q - np.average(q, axis=0, weights=weight)
        d0 = d - np.average(d, axis=0, weights=weight)
        lever = float((weight[:, None] * q0 * q0).sum())
        scale = float((weight[:, None] * q0 * d0).sum()) / lever
        miss = np.linalg.norm(d0 - scale * q0, axis=1)
        spread = max(float(np.median(miss)) / MEDIAN_OF_LENGTH, 1e-3)
        weight = 1.0 / (1.0 + (miss / (2.0 * spread)) ** 2)
        sd = spread * float(np.sqrt(1.0 / lever))
    return scale, sd


def together(found: list[Lateral]) -> Lateral | None:
    """One value for a phone from its photographs: weighted mean."""
    if not found:
        return None
    weight = np.array([1.0 / one.sd**2 for one in found])
    mean = (weight * np.array([one.excess for one in found])).sum(axis=0) / weight.sum(axis=0)
    return Lateral(mean, np.sqrt(1.0 / weight.sum(axis=0)))
