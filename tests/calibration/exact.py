"""Tables that a perfect solve would give, and photographs at spot level, for tests of what comes after the solve."""

from dataclasses import replace

import numpy as np

from calibration.arrays import Array
from calibration.frame import frame_board
from calibration.homography import corner_pixels, homography_from_corners
from calibration.lamp_lens import LampLens
from calibration.made import Made
from calibration.photograph import Photograph
from calibration.shape_error import parameters_of
from calibration.spot_find import SpotLook, StuckSpot
from calibration.spot_solve import _root
from calibration.table import LensPosition, ShapeError, Table, TableSpot, rows, rows3
from tests.virtual_table import good, truth_of
from tests.virtual_table.hostile import turned_lamp
from tests.virtual_table.lens import Lens
from tests.virtual_table.scene import Phone, Scene
from tests.virtual_table.scenes import GOOD, STUCK_AT, drawn_lamp, drawn_phone
from tests.virtual_table.spot_level import light_seen, plane_numbers, seen_at
from tests.virtual_table.truth import Truth, truth_of_lamp

MADE = Made("test", "0", "2026-01-01")
SHAPE_SD = np.array([0.03] * 8 + [3.0] * 2 + [1e-4] * 2)
LIGHT_SD_PX, PRINT_SD_PX = 0.08, 0.05


def exact_table(truth: Truth, sd: Array = SHAPE_SD) -> Table:
    """The truth as a table; its shape error says `sd` of the twelve numbers."""
    plane, lens = plane_numbers(truth)
    x, y, z = (float(number) for number in truth.lens_position_mm)
    return replace(
        Table.demonstration(truth.lamp.size),
        homography_px_from_mm=rows3(plane),
        lens=LampLens((float(lens[0]), float(lens[1])), float(lens[2]), float(lens[3])),
        lens_position=LensPosition((x, y, z), (10.0, 10.0, 20.0)),
        shape=ShapeError(rows(np.diag(sd**2)), 0.0),
        is_demonstration=False,
    )


def solved_table(truth: Truth, random: np.random.Generator, sd: Array = SHAPE_SD) -> Table:
    """The truth disturbed by a draw of its own stated shape error."""
    table = exact_table(truth, sd)
    drawn = parameters_of(table) + _root(np.array(table.shape.covariance)) @ random.standard_normal(12)
    plane = homography_from_corners(drawn[:8].reshape(4, 2), corner_pixels(table.size))
    lens = LampLens((float(drawn[8]), float(drawn[9])), float(drawn[10]), float(drawn[11]))
    return replace(table, homography_px_from_mm=rows3(plane), lens=lens)


def spot_look(phone: Phone, truth: Truth, stuck_world: dict[int, Array], random: np.random.Generator, name: str = "photo.jpg") -> SpotLook:
    """What finding would give for one photograph: every third light spot and all stuck spots, with noise."""
    on = frame_board(truth.lamp.size).spots.reshape(-1, 2)[::3]
    at = light_seen(phone, truth, on, LIGHT_SD_PX, random)
    w, h = phone.size
    blank = np.zeros((h, w), np.uint8)
    photograph = Photograph(name, "0" * 64, "phone", None, blank, np.zeros((1, 1, 3), np.uint8), 2)
    stuck = tuple(
        StuckSpot(number, seen_at(phone, place[None])[0] + random.normal(0, PRINT_SD_PX, 2), PRINT_SD_PX**2 * np.eye(2))
        for number, place in stuck_world.items()
    )
    return SpotLook(photograph, on, at, np.full(len(on), LIGHT_SD_PX), stuck, False)


# ---------------------------------------------------------------- a table with stuck spots, knocked


def bench(seed: int) -> tuple[Scene, Truth, dict[int, Array]]:
    """(scene of two photographs, its truth, world places of six stuck spots)."""
    scene = good(seed, [])
    w, h = scene.lamp.size
    places = scene.lamp.world_from_px(np.array(STUCK_AT) * np.array([w - 1, h - 1]))
    return scene, truth_of(scene), {number + 1: place for number, place in enumerate(places)}


def knocked(scene: Scene, truth: Truth, degrees: float, random: np.random.Generator) -> tuple[Truth, Phone]:
    """(truth of the knocked lamp in the old table frame, a new photograph of it)."""
    lamp = turned_lamp(scene.lamp, degrees)
    first = scene.phones[0]
    return replace(truth, lamp=lamp), drawn_phone(random, GOOD, lamp, first.size, first.sensor, first.lens)


def with_survey(table: Table, truth: Truth, stuck: dict[int, Array], sd_mm: float, random: np.random.Generator) -> Table:
    """The table with spots surveyed to `sd_mm`."""
    spots = []
    for number, world in stuck.items():
        x, y = (float(c) for c in truth.table_from_world(world[None])[0] + random.normal(0.0, sd_mm, 2))
        spots.append(TableSpot(number, (x, y), ((max(sd_mm, 1e-4) ** 2, 0.0), (0.0, max(sd_mm, 1e-4) ** 2))))
    return replace(table, spots=tuple(spots))


# ---------------------------------------------------------------- a lamp without distortion, made true by eye

RIM_SD_MM = 0.05
STRAIGHT_SD = np.sqrt([1e-4] * 8 + [1.0] * 2 + [1e-10] * 2)


def straight_lamp(seed: int, degrees: float = 0.0) -> Truth:
    """A lamp of the virtual table without distortion, knocked by `degrees`, in the table frame of the lamp before the knock."""
    lamp = drawn_lamp(np.random.default_rng(seed), GOOD, (1920, 1080))
    lamp = replace(lamp, lens=Lens(lamp.lens.focal_px, lamp.lens.centre_px))
    before = truth_of_lamp(lamp)
    return replace(before, lamp=turned_lamp(lamp, degrees)) if degrees else before


def straight_table(truth: Truth) -> Table:
    """The table that a perfect solve of such a lamp gives, with six spots on the light's rim surveyed to RIM_SD_MM."""
    w, h = truth.lamp.size
    rim_px = np.array([[60, 60], [w / 2, 50], [w - 60, 70], [w - 70, h - 60], [w / 2, h - 50], [50, h - 60]])
    world = truth.lamp.world_from_px(rim_px)
    exact = with_survey(exact_table(truth, STRAIGHT_SD), truth, dict(enumerate(world, 1)), 0.0, np.random.default_rng(0))
    return replace(exact, spots=tuple(replace(spot, covariance_mm2=((RIM_SD_MM**2, 0.0), (0.0, RIM_SD_MM**2))) for spot in exact.spots))


def crosses_on(table: Table, places_mm: Array, truth: Truth | None = None) -> dict[int, tuple[float, float]]:
    """Spot by spot the px that fall on these places: by the lamp as it is now (`truth`), else as the table has it."""
    px = table.px_from_mm(places_mm) if truth is None else truth.px_from_mm(places_mm)
    return {spot.id: (float(u), float(v)) for spot, (u, v) in zip(table.spots, px, strict=True)}


def places_of(table: Table) -> Array:
    """(N, 2) mm of its spots."""
    return np.array([spot.at_mm for spot in table.spots])
