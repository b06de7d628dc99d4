"""First guess of everything from plane maps: each photograph's pose, each sheet's place, the light."""

from dataclasses import dataclass

import numpy as np

from calibration.arrays import Array
from calibration.cameras import LATERAL, believed, cameras_of
from calibration.find import Seen
from calibration.homography import FEWEST, inverse, plane_map, rigid_matrix, rigid_move, through
from calibration.lateral import Lateral
from calibration.least_squares import Prior
from calibration.photograph import Photograph
from calibration.unknowns import LIGHT, Setting, Spots, lamp_start

ROUGH_PX = 8.0
LATERAL_FLOOR = 2e-5
PAPER_MM, PAPER_SD_MM = 0.07, 0.08  # office paper of 80 g/m² is 0.1 mm thick; it lies on its highest points
BEND_SD_MM = 0.2
STRETCH_SD = 0.001
"""Width against height of a print: a printer's feed is true to some 0.2 % (from memory; rectangular: sd 0.1 %); both bars read to
0.5 mm leave as much themselves. Sheets lying crosswise to each other tell it to 0.01 %, whatever is believed; one alone hardly does."""


def gather(seen: list[list[Seen]], page_of_board: dict[str, int], stretch: Array) -> tuple[tuple[int, ...], Spots]:
    """(page numbers, best seen first; every found spot as Spots with sd 1)."""
    counts: dict[int, int] = {}
    for found in (one for photo in seen for one in photo):
        page = page_of_board.get(found.board.name)
        if page is not None:
            counts[page] = counts.get(page, 0) + len(found.spots)
    pages = tuple(sorted(counts, key=lambda page: (-counts[page], page)))
    photo, drawing, on, at = [], [], [], []
    for number, one in ((number, one) for number, photo_seen in enumerate(seen) for one in photo_seen):
        page = page_of_board.get(one.board.name)
        places = one.places
        photo.append(np.full(len(places), number))
        drawing.append(np.full(len(places), LIGHT if page is None else pages.index(page)))
        on.append(places if page is None else places * stretch)
        at.append(one.at)
    if not photo:
        none = np.zeros(0, dtype=np.int64)
        return pages, Spots(none, none, np.zeros((0, 2)), np.zeros((0, 2)), np.zeros(0), np.zeros((0, 2)))
    count = sum(map(len, photo))
    whole = [np.concatenate(part) for part in (photo, drawing)]
    places_on, places_at = np.concatenate(on), np.concatenate(at)
    spots = Spots(whole[0], whole[1], places_on, places_at, np.ones(count), np.zeros((count, 2)))
    return pages, spots


@dataclass(frozen=True, slots=True, eq=False)
class Planes:
    """Plane maps: photograph from table, table from sheet, table from the light as each photograph saw it."""

    pictures: dict[int, Array]
    sheets: dict[int, Array]
    lights: dict[int, Array]


def placed_maps(spots: Spots) -> Planes:
    """Grown from sheet 0 until nothing more can be tied; the light ties nothing, for the lamp may have moved."""
    sheets: dict[int, Array] = {0: np.eye(3)}
    pictures: dict[int, Array] = {}
    grown = True
    while grown:
        grown = False
        for photo in set(spots.photo.tolist()) - set(pictures):
            mask = (spots.photo == photo) & np.isin(spots.drawing, list(sheets))
            table = np.concatenate([through(sheets[d], spots.on[mask & (spots.drawing == d)]) for d in sheets])
            image = np.concatenate([spots.at[mask & (spots.drawing == d)] for d in sheets])
            found = plane_map(table, image, ROUGH_PX)
            if found is not None:
                pictures[photo], grown = found, True
        for sheet in set(spots.drawing.tolist()) - set(sheets) - {LIGHT}:
            best = max(pictures, key=lambda photo: int(((spots.photo == photo) & (spots.drawing == sheet)).sum()), default=None)
            mask = (spots.photo == best) & (spots.drawing == sheet)
            if best is not None and mask.sum() >= FEWEST:
                sheets[sheet] = rigid_matrix(rigid_move(spots.on[mask], through(inverse(pictures[best]), spots.at[mask])))
                grown = True
    lights = {}
    for photo, picture in pictures.items():
        mask = (spots.photo == photo) & (spots.drawing == LIGHT)
        placed = plane_map(spots.on[mask], through(inverse(picture), spots.at[mask]), ROUGH_PX)
        if placed is not None:
            lights[photo] = placed
    return Planes(pictures, sheets, lights)


def start(
    setting: Setting, photographs: list[Photograph], pictures: list[Array], sheets: list[Array], lights: list[Array]
) -> tuple[Array, Prior]:
    """First guess and priors. Photographs, sheets and stands of the lamp are numbered as in `setting`."""
    x, sd = np.zeros(setting.count), np.full(setting.count, np.inf)
    x[: setting.cameras_end], sd[: setting.cameras_end] = believed(setting, photographs, pictures)
    for sheet in range(1, setting.sheets):
        matrix = sheets[sheet]
        x[setting.sheet_at(sheet)] = [matrix[0, 2], matrix[1, 2], np.arctan2(matrix[1, 0], matrix[0, 0])]
    for sheet in range(setting.sheets):
        x[setting.bend_at(sheet).start] = PAPER_MM
        sd[setting.bend_at(sheet)] = [PAPER_SD_MM, BEND_SD_MM, BEND_SD_MM, BEND_SD_MM]
    sd[setting.stretch_at] = STRETCH_SD
    width, height = setting.size
    for stand, light in enumerate(lights):
        x[setting.lamp_at(stand)] = lamp_start(light, setting.size)
    sd[setting.lamp_at(0)] = [np.inf] * 8 + [0.1 * width, 0.4 * height, 0.03, 0.02]
    return x, Prior(x.copy(), sd)


def setting_of(size: tuple[int, int], photographs: list[Photograph], sheets: int, stand: tuple[int, ...], page: Array) -> Setting:
    """What the unknowns of these photographs belong to."""
    return Setting(*cameras_of(photographs), size, sheets, stand, page)


def with_lateral(setting: Setting, prior: Prior, found: dict[int, Lateral]) -> Prior:
    """The prior with each phone's lateral colour as measured."""
    mean, sd = prior.mean.copy(), prior.sd.copy()
    for phone, lateral in found.items():
        at = setting.phone_at(phone)
        mean[at.stop - 2 : at.stop] = lateral.excess
        sd[at.stop - 2 : at.stop] = np.minimum(np.hypot(2.0 * lateral.sd, LATERAL_FLOOR), LATERAL)
    return Prior(mean, sd)
