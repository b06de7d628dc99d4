"""Exact spots of sheets and light of the virtual table, handed straight to the joint solve: no pictures are rendered."""

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from calibration.frame import frame_board
from calibration.hang import hung
from calibration.joint import Solved, rough_fit, solve_joint
from calibration.light import plane_of
from calibration.photograph import Photograph
from calibration.rough import placed_maps, setting_of, start
from calibration.sheets import PAGE_MM, board_of
from calibration.table import ShapeError, Table, rows, rows3
from calibration.unknowns import LIGHT, Spots
from tests.virtual_table import good, truth_of
from tests.virtual_table.lens import Array, Lens
from tests.virtual_table.paper import Page
from tests.virtual_table.scene import Scene
from tests.virtual_table.spot_level import light_seen, seen_at
from tests.virtual_table.truth import Truth

SIZE = (1920, 1080)
BLANK = Page(np.full((64, 64, 3), 255, np.uint8), 210.0 / 64, PAGE_MM["a4"])
PAGES = 4


@dataclass(frozen=True, slots=True, eq=False)
class Points:
    """Spots as the solver takes them, and the true place of each printed one on the level table (mm)."""

    spots: Spots
    world: Array


def without_breathing(seed: int) -> Scene:
    """Four sheets, three photographs by one lens that keeps its focal length; the lamp's lens bends nothing."""
    scene = good(seed, [BLANK] * PAGES, SIZE, photographs=3)
    lamp = replace(scene.lamp, lens=Lens(scene.lamp.lens.focal_px, scene.lamp.lens.centre_px))
    return replace(scene, lamp=lamp, phones=tuple(replace(phone, lens=scene.phones[0].lens) for phone in scene.phones))


def points_of(scene: Scene, truth: Truth, sd_px: float, random: np.random.Generator, printed: tuple[float, float] = (1.0, 1.0)) -> Points:
    """Every spot of sheets and light in every photograph, with noise; `printed`: how large the printer made width and height."""
    photo, drawing, on, at, world = [], [], [], [], []
    for number, phone in enumerate(scene.phones):
        for page, sheet in enumerate(scene.sheets):
            places = board_of("a4", page + 1).spots.reshape(-1, 2)
            world.append(sheet.world_from_page((places - np.array(PAGE_MM["a4"]) / 2) * np.array(printed)))
            seen = seen_at(phone, world[-1])
            at.append(seen + random.normal(0.0, sd_px, seen.shape))
            on.append(places)
            photo.append(np.full(len(places), number))
            drawing.append(np.full(len(places), page))
        light = frame_board(SIZE).spots.reshape(-1, 2)
        world.append(np.full(light.shape, np.nan))
        at.append(light_seen(phone, truth, light, sd_px, random))
        on.append(light)
        photo.append(np.full(len(light), number))
        drawing.append(np.full(len(light), LIGHT))
    where = np.concatenate(at)
    sd = np.full(len(where), max(sd_px, 1e-3))
    spots = Spots(np.concatenate(photo), np.concatenate(drawing), np.concatenate(on), where, sd, np.zeros_like(where))
    return Points(spots, np.concatenate(world))


def jointly(scene: Scene, spots: Spots) -> Solved:
    """As `calibration solve` does once the spots are found, with the sheets that are in them."""
    count = len(set(spots.drawing.tolist()) - {LIGHT})
    blank = np.zeros((scene.phones[0].size[1], scene.phones[0].size[0]), np.uint8)
    photographs = [Photograph(f"{n}.jpg", "0" * 64, "phone", None, blank, blank[:1, :1, None], 2) for n in range(len(scene.phones))]
    planes = placed_maps(spots)
    setting = setting_of(SIZE, photographs, count, (0,) * len(photographs), np.array(PAGE_MM["a4"]))
    pictures = [planes.pictures[n] for n in range(len(photographs))]
    x, prior = start(setting, photographs, pictures, [planes.sheets[n] for n in range(count)], [planes.lights[0]])
    x = rough_fit(setting, spots, x, prior)
    return solve_joint(setting, spots, x, prior)


def table_from(solved: Solved) -> Table:
    """The solve as a table, its covariance as it is."""
    at = solved.setting.lamp_at(0)
    lamp, covariance, _ = hung(solved.x[at], solved.covariance[np.ix_(at, at)], SIZE)
    plane, lens = plane_of(lamp, SIZE)
    return replace(Table.demonstration(SIZE), homography_px_from_mm=rows3(plane), lens=lens, shape=ShapeError(rows(covariance), 0.0))


ONE = replace(without_breathing(5), phones=without_breathing(5).phones[:1])
"""A scene of one photograph."""
SD_PX = 0.05


@lru_cache(maxsize=2)
def spots_of(noise_px: float = 0.0) -> Spots:
    """One photograph of four sheets and the light; every spot thought to be placed to 0.05 px."""
    told = points_of(ONE, truth_of(ONE), noise_px, np.random.default_rng(2)).spots
    return replace(told, sd=np.full(len(told), SD_PX))
