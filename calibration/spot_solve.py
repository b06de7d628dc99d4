"""Light, stuck spots and phones in one least squares: with the light known it surveys the spots, with the spots known it finds the light.

Unknowns: phones and photographs (cameras.py), 12 for the light, 2 for each spot. What is believed beforehand comes
in as z = L⁻¹ (unknown - belief), z of sd 1, L Lᵀ the belief's covariance, so that correlations count. The table frame is that
of the belief: when surveying the light carries it, when re-calibrating the spots do.
"""

from dataclasses import dataclass, replace

import numpy as np

from calibration.arrays import Array
from calibration.camera import Projected, project
from calibration.cameras import Cameras, believed, cameras_of
from calibration.errors import WrongInput
from calibration.homography import corner_pixels, inverse, plane_map, through
from calibration.lamp_lens import ideal_from_actual
from calibration.least_squares import MEDIAN_OF_LENGTH, Prior, fit
from calibration.light import CORNERS, LAMP, lamp_of, light_places, places_lit
from calibration.shape_error import parameters_of
from calibration.spot_find import FEWEST_LIGHT, SpotLook
from calibration.table import Table

INK_TINT = (0.299, 0.114)  # share of red and of blue in brightness (ITU-R BT.601), by which black ink on white paper is seen
FEWEST_FOR_LIGHT = 4
"""Surveyed spots before the light can be found by them: a plane map has eight numbers, and that is four places."""
LENS_SD = np.array([40.0, 40.0, 0.004, 0.004])  # px, px, none, none: a knock leaves the lens, but zoom or focus may be touched


@dataclass(frozen=True, slots=True, eq=False)
class Belief:
    """Mean and root L of the covariance for the light's twelve and each spot's two; `free`: nothing is believed (light: of the corners)."""

    lamp: Array
    lamp_root: Array
    lamp_free: bool
    spots: Array
    spot_roots: Array
    spots_free: bool


@dataclass(frozen=True, slots=True, eq=False)
class SpotSolved:
    """The light's 12 numbers, the (M, 2) spots in mm, their joint (12 + 2M) covariance, ids, noise found over expected."""

    lamp: Array
    spots: Array
    covariance: Array
    ids: tuple[int, ...]
    noise: float
    left_px: dict[int, float]


@dataclass(frozen=True, slots=True, eq=False)
class _Problem(Cameras):
    looks: list[SpotLook]
    size: tuple[int, int]
    ids: tuple[int, ...]
    belief: Belief

    @property
    def lamp_at(self) -> int:
        return self.cameras_end

    @property
    def count(self) -> int:
        return self.lamp_at + LAMP + 2 * len(self.ids)

    def lamp(self, x: Array) -> Array:
        z = x[self.lamp_at : self.lamp_at + LAMP]
        return np.asarray(self.belief.lamp + self.belief.lamp_root @ z)

    def spots(self, x: Array) -> Array:
        z = x[self.lamp_at + LAMP :].reshape(-1, 2)
        return np.asarray(self.belief.spots + np.einsum("nij,nj->ni", self.belief.spot_roots, z))


def _model(problem: _Problem, x: Array) -> tuple[Array, Array]:
    """((N, 2) misses in sd, (N, 2, unknowns)): light spots of every photograph, then stuck spots."""
    misses, slopes = [], []
    lamp, spots = problem.lamp(x), problem.spots(x)
    for number, look in enumerate(problem.looks):
        places, by_lamp = light_places(lamp, look.on, problem.size)
        index = np.array([problem.ids.index(spot.id) for spot in look.stuck], dtype=np.int64)
        whole = np.concatenate([places, spots[index]]) if len(index) else places
        pose, phone = problem.pose_at(number), problem.phone_at(problem.phone[number])
        seen = _project(x[phone], float(x[pose.stop]), x[pose], whole, problem.middle[number], len(places))
        at = np.concatenate([look.at, *(spot.at[None] for spot in look.stuck)])
        slope = np.zeros((len(whole), 2, problem.count))
        slope[:, :, phone], slope[:, :, pose] = seen.by_phone, seen.by_pose
        slope[:, :, pose.stop] = seen.by_phone[:, :, 0]
        lights, lamp_at = len(places), problem.lamp_at
        slope[:lights, :, lamp_at : lamp_at + LAMP] = seen.by_place[:lights] @ by_lamp @ problem.belief.lamp_root
        for own, spot in enumerate(index):
            column = lamp_at + LAMP + 2 * int(spot)
            slope[lights + own, :, column : column + 2] = seen.by_place[lights + own] @ problem.belief.spot_roots[int(spot)]
        whiten = np.concatenate([np.eye(2)[None] / look.sd[:, None, None], *(_white(spot.covariance)[None] for spot in look.stuck)])
        misses.append(np.einsum("nij,nj->ni", whiten, seen.at - at))
        slopes.append(whiten @ slope)
    return np.concatenate(misses), np.concatenate(slopes)


def _project(phone: Array, breath: float, pose: Array, places: Array, middle: Array, lights: int) -> Projected:
    """Places (N, 2) of the bare table into the picture, the first `lights` of them of green light, the others ink; by_place (N, 2, 2)."""
    tint = np.zeros((len(places), 2))
    tint[lights:] = INK_TINT
    seen = project(phone, breath, pose, np.column_stack([places, np.zeros(len(places))]), middle, tint)
    return replace(seen, by_place=seen.by_place[:, :, :2])


def _white(covariance: Array) -> Array:
    return np.asarray(np.linalg.inv(np.linalg.cholesky(covariance)))


def _start(problem: _Problem, pictures: list[Array]) -> tuple[Array, Prior]:
    """First guess and beliefs; `pictures`: picture from table, one plane map a photograph."""
    x, sd = np.zeros(problem.count), np.full(problem.count, np.inf)
    x[: problem.cameras_end], sd[: problem.cameras_end] = believed(problem, [look.photograph for look in problem.looks], pictures)
    if not problem.belief.lamp_free:
        sd[problem.lamp_at : problem.lamp_at + LAMP] = 1.0
    else:
        sd[problem.lamp_at + CORNERS : problem.lamp_at + LAMP] = 1.0
    if not problem.belief.spots_free:
        sd[problem.lamp_at + LAMP :] = 1.0
    return x, Prior(x.copy(), sd)


def _solve(problem: _Problem, pictures: list[Array]) -> SpotSolved:
    start, prior = _start(problem, pictures)

    def model(x: Array) -> tuple[Array, Array]:
        return _model(problem, x)

    found = fit(model, start, prior)
    noise = float(np.median(found.lengths)) / MEDIAN_OF_LENGTH
    carry = np.zeros((LAMP + 2 * len(problem.ids), problem.count))
    carry[:LAMP, problem.lamp_at : problem.lamp_at + LAMP] = problem.belief.lamp_root
    for own, root in enumerate(problem.belief.spot_roots):
        place = LAMP + 2 * own
        carry[place : place + 2, problem.lamp_at + place : problem.lamp_at + place + 2] = root
    widen = max(noise, 1.0) ** 2
    believed = np.diag(np.where(np.isfinite(prior.sd), 1.0 / prior.sd**2, 0.0))
    normal = (found.normal - believed) / widen + believed  # noise learnt from the pictures does not loosen what is believed
    covariance = carry @ np.linalg.inv(normal) @ carry.T
    left = _left(problem, found.x)
    return SpotSolved(problem.lamp(found.x), problem.spots(found.x), covariance, problem.ids, noise, left)


def _left(problem: _Problem, x: Array) -> dict[int, float]:
    """How far each stuck spot is left from its place, in sd of picture and belief together (the worst photograph)."""
    worst = dict.fromkeys(problem.ids, 0.0)
    for number, look in enumerate(problem.looks):
        pose, phone = problem.pose_at(number), problem.phone_at(problem.phone[number])
        for spot in look.stuck:
            own = problem.ids.index(spot.id)
            seen = _project(x[phone], float(x[pose.stop]), x[pose], problem.belief.spots[own][None], problem.middle[number], 0)
            root = seen.by_place[0] @ problem.belief.spot_roots[own]
            off = seen.at[0] - spot.at
            total = spot.covariance + (root @ root.T if not problem.belief.spots_free else 0.0)
            worst[spot.id] = max(worst[spot.id], float(np.sqrt(off @ np.linalg.solve(total, off))))
    return worst


def _root(covariance: Array) -> Array:
    """L with L Lᵀ = covariance, also for one that is singular."""
    values, vectors = np.linalg.eigh((covariance + covariance.T) / 2)
    return np.asarray(vectors * np.sqrt(np.maximum(values, 1e-16)))


def _usable(looks: list[SpotLook]) -> list[SpotLook]:
    """Photographs with enough light and at least one stuck spot. Raises WrongInput that names the first that has not."""
    good = [look for look in looks if len(look.at) >= FEWEST_LIGHT and look.stuck]
    if not good:
        look = looks[0]
        lacking = "the light's pattern" if len(look.at) < FEWEST_LIGHT else "the stuck spots"
        raise WrongInput(
            f"{look.photograph.file}: {lacking} cannot be seen.",
            f"Found were {len(look.at)} spots of light and {len(look.stuck)} table spots.",
            "Show frame-1.png, keep hands and cloth away, and photograph the whole light, sharp.",
        )
    return good


def _problem(looks: list[SpotLook], size: tuple[int, int], ids: tuple[int, ...], belief: Belief) -> _Problem:
    return _Problem(*cameras_of([look.photograph for look in looks]), looks, size, ids, belief)


def survey(looks: list[SpotLook], table: Table) -> SpotSolved:
    """Where the stuck spots lie, the light being where the table says (with the table's own covariance)."""
    good = _usable(looks)
    ids = tuple(sorted({spot.id for look in good for spot in look.stuck}))
    pictures, places = [], np.zeros((len(ids), 2))
    for look in good:
        picture = plane_map(table.mm_from_px(look.on), look.at)
        if picture is None:
            raise _no_plane(look)
        pictures.append(picture)
        for spot in look.stuck:
            places[ids.index(spot.id)] = through(inverse(picture), spot.at[None])[0]
    lamp = parameters_of(table)
    roots = np.tile(np.eye(2), (len(ids), 1, 1))
    belief = Belief(lamp, _root(np.array(table.shape.covariance)), False, places, roots, True)
    return _solve(_problem(good, table.size, ids, belief), pictures)


def recalibrate(looks: list[SpotLook], table: Table) -> SpotSolved:
    """Where the light is now, the spots being where they were surveyed (with the survey's covariance)."""
    known = {spot.id: spot for spot in table.spots}
    good = _usable([look.with_only(known) for look in looks])
    ids = tuple(sorted({spot.id for look in good for spot in look.stuck}))
    if len(ids) < FEWEST_FOR_LIGHT:
        raise WrongInput(
            f"Only {len(ids)} surveyed table spots can be seen.", "Four are needed to find the light again.", "Photograph them all."
        )
    places = np.array([known[number].at_mm for number in ids])
    roots = np.array([np.linalg.cholesky(np.array(known[number].covariance_mm2) + 1e-10 * np.eye(2)) for number in ids])
    pictures, lamp = _rough_light(good, table, ids, places)
    lens_root = np.sqrt(np.diag(np.array(table.shape.covariance))[8:])
    root = np.diag(np.concatenate([np.ones(8), np.minimum(np.maximum(lens_root, 1e-6), LENS_SD)]))
    return _solve(_problem(good, table.size, ids, Belief(lamp, root, True, places, roots, False)), pictures)


def _rough_light(looks: list[SpotLook], table: Table, ids: tuple[int, ...], places: Array) -> tuple[list[Array], Array]:
    """(plane maps picture from table, the light's 12 numbers) by the spots of one photograph, the light's lens as it was."""
    import cv2

    best = max(looks, key=lambda look: len(look.stuck))
    on_table = np.array([places[ids.index(spot.id)] for spot in best.stuck])
    in_picture = np.array([spot.at for spot in best.stuck])
    if len(on_table) < FEWEST_FOR_LIGHT:
        raise WrongInput(
            f"{best.photograph.file} shows {len(on_table)} surveyed spots.", "One photograph has to show four.", "Photograph them all."
        )
    first = np.asarray(cv2.findHomography(on_table, in_picture, 0)[0], dtype=np.float64)
    ideal = ideal_from_actual(best.on, table.lens, table.size[0])
    light = plane_map(ideal, through(inverse(first), best.at), 4.0)
    if light is None:
        raise _no_plane(best)
    corners = through(light, corner_pixels(table.size))
    lamp = lamp_of(corners, table.lens)
    pictures = []
    for look in looks:
        picture = plane_map(places_lit(lamp, look.on, table.size), look.at)
        if picture is None:
            raise _no_plane(look)
        pictures.append(picture)
    return pictures, lamp


def _no_plane(look: SpotLook) -> WrongInput:
    return WrongInput(
        f"{look.photograph.file} cannot be used.", "The spots of light in it do not lie on one plane.", "Photograph the whole light again."
    )
