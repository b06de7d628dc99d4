"""Tables that a perfect solve would give, and photographs at spot level, for tests of what comes after the solve."""

from dataclasses import replace

import numpy as np

from calibration.frame import frame_board
from calibration.lamp_lens import Array, LampLens
from calibration.made import Made
from calibration.photograph import Photograph
from calibration.shape_error import parameters_of
from calibration.spot_find import SpotLook, StuckSpot
from calibration.spot_solve import _root
from calibration.table import LensPosition, ShapeError, Table, rows, rows3
from tests.virtual_table.scene import Phone
from tests.virtual_table.spot_level import light_seen, plane_numbers, seen_at
from tests.virtual_table.truth import Truth

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
    from calibration.homography import corner_pixels, homography_from_corners

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
