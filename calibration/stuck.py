"""What is done with spots stuck to the table: survey them, hang a new map on them after a bump, say how far the light has moved."""

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from calibration.arrays import Array
from calibration.errors import Refused, WrongInput
from calibration.lens_place import lens_position
from calibration.light import LAMP, plane_of
from calibration.made import Made
from calibration.shape_error import rigid_moves, rigid_share
from calibration.spot_find import SpotLook, look_for_spots
from calibration.spot_solve import FEWEST_FOR_LIGHT, SpotSolved, recalibrate, survey
from calibration.table import LensPosition, PhotographFile, ShapeError, Table, TableSpot, rows, rows3

MATTERS_MM = 0.5  # half of the trade's smallest cutting tolerance, ±1 mm at necklines and armholes
LEFT_SD = 5.0  # a spot further off than this is not where it was surveyed
LOOSE_NOISE = 6.0
WORST_RADIUS_MM = 2.0


@dataclass(frozen=True, slots=True)
class Checked:
    """How far the light has moved on the table (95 % of places move less), what is let pass, and whether it matters."""

    moved_mm: float
    limit_mm: float
    matters: bool


def looks_of(photos: list[Path], size: tuple[int, int]) -> list[SpotLook]:
    """Every photograph looked at for light and stuck spots."""
    return [look_for_spots(photo, size) for photo in photos]


def surveyed(table: Table, looks: list[SpotLook], made: Made) -> Table:
    """The table with the stuck spots' places and covariances. Raises WrongInput or Refused."""
    if table.is_demonstration:
        raise WrongInput("A demonstration has no table spots.", "It was computed, not measured.", "Calibrate the table first.")
    solved = survey(looks, table)
    _check_noise(solved, looks)
    if len(solved.ids) < FEWEST_FOR_LIGHT:
        raise Refused(
            f"Only {len(solved.ids)} table spots were found.",
            f"{FEWEST_FOR_LIGHT} or more are needed to find the light again after a bump.",
            "Stick six labels (sheet --spots) inside the light near its edge, well apart, and photograph all of them.",
        )
    middle, share = rigid_share(table)
    count = len(solved.ids)
    carry = np.zeros((2 * count, LAMP + 2 * count))
    carry[:, :LAMP] = -(rigid_moves(solved.spots, middle) @ share).reshape(2 * count, LAMP)
    carry[:, LAMP:] = np.eye(2 * count)
    covariance = carry @ solved.covariance @ carry.T
    spots = tuple(
        TableSpot(number, (float(x), float(y)), _two(covariance[2 * k : 2 * k + 2, 2 * k : 2 * k + 2]))
        for k, (number, (x, y)) in enumerate(zip(solved.ids, solved.spots, strict=True))
    )
    return replace(table, spots=spots, made=made)


def _two(covariance: Array) -> tuple[tuple[float, float], tuple[float, float]]:
    (a, b), (c, d) = covariance
    return (float(a), float((b + c) / 2)), (float((b + c) / 2), float(d))


def hung_on_spots(table: Table, looks: list[SpotLook], made: Made) -> Table:
    """A new map from photographs of light and surveyed spots; the table frame stays where the spots are.

    Raises WrongInput when no spots were surveyed or seen, Refused when spots have moved or the map is too loose.
    """
    if not table.spots:
        raise WrongInput("This table has no surveyed spots.", "Nothing stays when the lamp moves.", "Survey them once: calibration survey.")
    solved = recalibrate(looks, table)
    _check_noise(solved, looks)
    loose = [number for number, off in solved.left_px.items() if off > LEFT_SD]
    if loose:
        worst = max(loose, key=lambda number: solved.left_px[number])
        raise Refused(
            f"Table spot {worst} is not where it was surveyed.",
            f"It is {solved.left_px[worst]:.0f} standard deviations off the others.",
            "Stick it down, calibrate with the sheets and survey the spots again.",
        )
    plane, lens = plane_of(solved.lamp, table.size)
    photographs = tuple(PhotographFile(look.photograph.file, look.photograph.sha256) for look in looks)
    after = replace(
        table,
        homography_px_from_mm=rows3(plane),
        lens=lens,
        shape=ShapeError(rows(solved.covariance[:LAMP, :LAMP]), table.shape.floor_mm),
        lens_position=_lens_after(table, solved),
        inputs=replace(table.inputs, photographs=photographs, spots_used=len(solved.ids) + sum(len(look.at) for look in looks)),
        made=made,
    )
    worst_mm = float(np.nanmax(after.shape_error_mm(after.places_mm(9, 5))))
    if not worst_mm < WORST_RADIUS_MM:
        raise Refused(
            "The light cannot be found well enough by these spots.",
            f"The map could be {worst_mm:.1f} mm off at the edge.",
            "Photograph all table spots and the whole light once more, from another side too.",
        )
    return after


def _check_noise(solved: SpotSolved, looks: list[SpotLook]) -> None:
    if solved.noise > LOOSE_NOISE:
        names = ", ".join(look.photograph.file for look in looks)
        raise Refused(
            "These photographs do not show one table.",
            f"In {names} the spots lie {solved.noise:.1f} times further off than they should.",
            "Take them again without touching the lamp between them.",
        )


def _lens_after(table: Table, solved: SpotSolved) -> LensPosition | None:
    """The lens after a bump: from the new map when that tells it, else where it was, less surely."""
    if table.lens_position is None:
        return None
    again = lens_position(solved.lamp, solved.covariance[:LAMP, :LAMP], table.size)
    was = table.lens_position
    if again is not None and again.sd_mm[2] < np.hypot(was.sd_mm[2], 50.0):
        return again
    return replace(was, sd_mm=tuple(float(np.hypot(sd, 50.0)) for sd in was.sd_mm))  # type: ignore[arg-type]


def checked(table: Table, looks: list[SpotLook], made: Made) -> Checked:
    """How far the light has moved since the table was made. Raises WrongInput when that cannot be told."""
    after = hung_on_spots(table, looks, made)
    places = after.places_mm(17, 10)
    moved = np.linalg.norm(places - table.places_mm(17, 10), axis=1)
    radius = np.hypot(after.shape_error_mm(places), table.shape_error_mm(places))
    limit = max(MATTERS_MM, float(np.nanpercentile(radius, 95)))
    far = float(np.percentile(moved, 95))
    return Checked(far, limit, far > limit)
