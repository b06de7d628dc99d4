"""From the covariance of a map's twelve numbers to the 95 % radius of the shape error at any place of the table."""

from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from calibration.arrays import Array
from calibration.light import LAMP, lamp_of, light_places

if TYPE_CHECKING:
    from calibration.table import Table

CHI2_95 = (3.8415, 5.9915)  # 95 % points of chi² with 1 and 2 degrees of freedom (NIST/SEMATECH e-Handbook, 1.3.6.7.4)
ROUND_95 = CHI2_95[1] ** 0.5
"""Standard deviations along one axis that hold 95 % of an error that is alike in both."""


def parameters_of(table: "Table") -> Array:
    """(12,) numbers that fix the map, in the order of the covariance."""
    return lamp_of(table.ideal_corners_mm, table.lens)


def sensitivities(table: "Table", points_mm: Array) -> Array:
    """(N, 2, 12): how far the place lit by a pixel moves, mm, for a unit of each of the twelve numbers."""
    return light_places(parameters_of(table), table.px_from_mm(points_mm), table.size)[1]


def rigid_moves(points_mm: Array, about: Array) -> Array:
    """(N, 2, 3): small shifts in x, y and a small turn about `about`."""
    basis = np.zeros((len(points_mm), 2, 3))
    basis[:, 0, 0] = basis[:, 1, 1] = 1.0
    basis[:, 0, 2] = -(points_mm[:, 1] - about[1])
    basis[:, 1, 2] = points_mm[:, 0] - about[0]
    return basis


@lru_cache(maxsize=16)
def rigid_share(table: "Table") -> tuple[Array, Array]:
    """((2,) middle of the lit places, (3, 12) rigid movement that each number causes)."""
    places = table.places_mm()
    places = places[np.isfinite(places).all(axis=1)]
    middle = places.mean(axis=0)
    basis = rigid_moves(places, middle).reshape(-1, 3)
    moves = sensitivities(table, places).reshape(-1, LAMP)
    return np.asarray(middle), np.asarray(np.linalg.lstsq(basis, moves, rcond=None)[0])


def shape_covariance_mm2(table: "Table", points_mm: Array) -> Array:
    """(N, 2, 2) covariance of the shape error in mm² at (N, 2) places, after the best rigid fit over the picture."""
    middle, share = rigid_share(table)
    moves = sensitivities(table, points_mm) - rigid_moves(points_mm, middle) @ share
    return np.asarray(moves @ np.array(table.shape.covariance) @ np.swapaxes(moves, 1, 2))


def radius_95(covariance: Array) -> Array:
    """(N,) radius of the circle that holds 95 % of a plane normal error with (N, 2, 2) covariances.

    The sum of squares is taken as g chi²(n) with the same mean and variance (Satterthwaite, Biometrics Bulletin 2, 1946),
    n between 1 (an error along one line) and 2 (a round one); exact at both ends.
    """
    trace = np.trace(covariance, axis1=1, axis2=2)
    squares = np.sum(covariance * np.swapaxes(covariance, 1, 2), axis=(1, 2))
    safe = np.where(squares > 0.0, squares, 1.0)
    freedom = np.where(squares > 0.0, trace**2 / safe, 2.0)
    scale = np.where(squares > 0.0, safe / np.where(trace > 0.0, trace, 1.0), 0.0)
    chi2 = CHI2_95[0] + (CHI2_95[1] - CHI2_95[0]) * np.clip(freedom - 1.0, 0.0, 1.0)
    return np.asarray(np.sqrt(scale * chi2))


def shape_radius_mm(table: "Table", points_mm: Array) -> Array:
    """(N,) 95 % radius in mm, floor included; nan where the place has no pixel."""
    known = np.isfinite(table.px_from_mm(points_mm)).all(axis=1)
    radius = np.full(len(points_mm), np.nan)
    if known.any():
        radius[known] = np.hypot(radius_95(shape_covariance_mm2(table, points_mm[known])), table.shape.floor_mm)
    return radius
