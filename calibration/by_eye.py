"""Making true by eye: crosses of light, moved by keys onto the spots stuck to the table, give a new map with its own error.

The lamp was knocked, its insides are as before: six unknowns (bump.py), pulled by the crosses and held by a mild belief that
a knock is small. The old shape error stays, the eye's error comes on top of it.
"""

from collections.abc import Callable, Mapping
from dataclasses import replace

import numpy as np

from calibration.arrays import Array
from calibration.bump import SIX, bumped
from calibration.errors import Refused, WrongInput
from calibration.made import Made
from calibration.shape_error import parameters_of
from calibration.table import ShapeError, Table, rows

EYE_SD_MM = 0.5
"""One cross laid on one spot with keys of 1 px, one axis. Within 1 mm in 95 % (common practice, no source) would be 0.41 mm;
taken larger, since nothing measures the eye."""

Miss = Callable[[Array], Array]
FEWEST = 3
KNOCK_SD = np.array([0.1] * 3 + [100.0] * 3)  # radians, mm: a knock of 6 degrees or 10 cm is nothing unusual
STEPS = np.array([1e-6] * 3 + [1e-2] * 3)
ROUNDS = 25
WORST_SD = 3.5


def by_eye(table: Table, crosses_px: Mapping[int, tuple[float, float]], made: Made) -> Table:
    """The table after each spot's cross was moved to `crosses_px[spot id]` (px), where it covers the spot.

    Raises WrongInput for unknown or too few spots, Refused when the crosses contradict each other or the map they give.
    """
    places, pixels, covariance = _pairs(table, crosses_px)
    weight = np.asarray(np.linalg.inv(covariance))

    def miss(six: Array) -> Array:
        return (bumped(table, six).mm_from_px(pixels) - places).ravel()

    six, normal = _settled(miss, weight)
    after = bumped(table, six)
    _check(after, miss(six), covariance, list(crosses_px))
    spread = _corner_slopes(table, six) @ np.linalg.inv(normal) @ _corner_slopes(table, six).T
    total = np.array(table.shape.covariance) + spread
    return replace(after, shape=ShapeError(rows(total), table.shape.floor_mm), made=made)


def _pairs(table: Table, crosses_px: Mapping[int, tuple[float, float]]) -> tuple[Array, Array, Array]:
    known = {spot.id: spot for spot in table.spots}
    strange = [number for number in crosses_px if number not in known]
    if strange:
        raise WrongInput(
            f"There is no table spot {strange[0]}.", f"Surveyed are {', '.join(map(str, known)) or 'none'}.", "Survey the spots first."
        )
    if len(crosses_px) < FEWEST:
        raise WrongInput(
            f"{len(crosses_px)} crosses are too few.",
            f"A lamp that was knocked needs {FEWEST} or more.",
            "Move one more cross onto its spot.",
        )
    places = np.array([known[number].at_mm for number in crosses_px])
    covariance = np.zeros((2 * len(places), 2 * len(places)))
    for index, number in enumerate(crosses_px):
        own = slice(2 * index, 2 * index + 2)
        covariance[own, own] = np.array(known[number].covariance_mm2) + EYE_SD_MM**2 * np.eye(2)
    return places, np.array(list(crosses_px.values()), dtype=np.float64), np.asarray(covariance)


def _settled(miss: Miss, weight: Array) -> tuple[Array, Array]:
    """((6,) most likely knock, (6, 6) normal matrix): Gauss-Newton with the belief about knocks."""
    six, belief = np.zeros(SIX), np.diag(1.0 / KNOCK_SD**2)
    normal = belief
    for _ in range(ROUNDS):
        left = miss(six)
        if not np.isfinite(left).all():
            raise _nonsense("a cross lies beyond the table")
        slopes = np.column_stack([(miss(six + nudge) - miss(six - nudge)) / (2.0 * nudge.sum()) for nudge in np.diag(STEPS)])
        normal = slopes.T @ weight @ slopes + belief
        step = np.linalg.solve(normal, slopes.T @ weight @ left + belief @ six)
        six = six - step
        if np.abs(step / KNOCK_SD).max() < 1e-7:
            break
    return six, normal


def _check(after: Table, left_mm: Array, covariance: Array, names: list[int]) -> None:
    """Crosses that do not go together are told; a map that leaves the table too."""
    off = np.linalg.norm(left_mm.reshape(-1, 2), axis=1)
    limit = WORST_SD * np.sqrt(np.diag(covariance).reshape(-1, 2).max(axis=1))
    if (off > limit).any():
        worst = int(np.argmax(off / limit))
        raise Refused(
            f"The cross on spot {names[worst]} does not go with the others.",
            f"It is left {off[worst]:.1f} mm beside its spot; {limit[worst]:.1f} mm could be the eye.",
            "Look whether each cross lies on the spot of its own number, then move that one again.",
        )
    if not np.isfinite(after.places_mm()).all():
        raise _nonsense("part of the light would no longer meet the table")


def _nonsense(why: str) -> Refused:
    return Refused(
        "These crosses give no map.",
        f"With them {why}.",
        "Look whether each cross lies on the spot of its own number, or photograph the table.",
    )


def _corner_slopes(table: Table, six: Array) -> Array:
    """(12, 6): how the map's twelve numbers move with the knock."""

    def numbers(knock: Array) -> Array:
        return parameters_of(bumped(table, knock))

    return np.column_stack([(numbers(six + nudge) - numbers(six - nudge)) / (2.0 * nudge.sum()) for nudge in np.diag(STEPS)])
