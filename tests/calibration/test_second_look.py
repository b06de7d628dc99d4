"""How well a spot of the second look is said to be placed, where the picture itself would say it is placed perfectly."""

from functools import lru_cache
from typing import Any

import numpy as np
import pytest

from calibration import fine
from calibration.frame import frame_board
from calibration.joint import Solved
from calibration.photograph import Photograph
from calibration.refine import Refined
from calibration.sheets import board_of
from calibration.unknowns import LIGHT, Spots
from tests.calibration.points import ONE, SIZE, jointly, spots_of, without_breathing
from tests.virtual_table import truth_of
from tests.virtual_table.spot_level import light_seen

Array = Any


@lru_cache(maxsize=1)
def four_sheets() -> Solved:
    """One photograph of four sheets, solved."""
    return jointly(ONE, spots_of())


def looked_again(monkeypatch: pytest.MonkeyPatch, drawing: int) -> Spots:
    """The second look at one sheet (0) or the light in a photograph in which every saddle is found where it is expected, without noise."""

    def perfect(grey: Array, rough: Array, ways: Array, reach: Array, blur: float) -> Refined:
        one = np.ones(len(rough))
        return Refined(rough, 1e-6 * one, blur * one, one, np.ones(len(rough), bool))

    monkeypatch.setattr(fine, "refine", perfect)
    monkeypatch.setattr(fine, "lateral_of", lambda *_: None)
    scene = without_breathing(5)
    wide, tall = scene.phones[0].size
    photograph = Photograph(
        "1.jpg", "0" * 64, "phone", None, np.zeros((tall, wide), np.uint8), np.zeros((tall // 2, wide // 2, 3), np.uint8), 2
    )
    found = four_sheets()
    board = frame_board(SIZE) if drawing == LIGHT else board_of("a4", 1)
    return fine.look_again(found.setting, found.x, 0, photograph, drawing, board, np.ones(2), (1, 2, 3, 4), "a4", 1.0)[0]


def test_no_saddle_is_placed_better_than_a_seventieth_of_a_pixel(monkeypatch: pytest.MonkeyPatch) -> None:
    """0.015 px, from rendered photographs: on a sheet and where light falls on the bare table."""
    printed = looked_again(monkeypatch, 0)
    assert len(printed) > 20
    assert printed.sd == pytest.approx(np.full(len(printed), 0.015), rel=0.01)
    assert looked_again(monkeypatch, LIGHT).sd.min() == pytest.approx(0.015, rel=0.01)


def test_light_on_a_sheet_is_believed_to_a_twentieth_of_a_millimetre(monkeypatch: pytest.MonkeyPatch) -> None:
    """It falls 0.1 mm (the paper) too high, aside by half of that at 25 degrees from the lens: 0.05 mm on the table, here in px of the
    photograph, measured where the light's own neighbours are seen. 10 %: the smaller of two directions, and a slant."""
    light = looked_again(monkeypatch, LIGHT)
    lifted = light.sd > 0.02
    assert 8 < lifted.sum() < 0.5 * len(light)
    scene = without_breathing(5)
    truth, step = truth_of(scene), 4.0
    told = np.sqrt(light.sd[lifted] ** 2 - 0.015**2)
    px = [light_seen(scene.phones[0], truth, light.on[lifted] + np.array(by), 0.0, np.random.default_rng(0)) for by in ((0, 0), (step, 0))]
    mm = [truth.table_from_world(scene.lamp.world_from_px(light.on[lifted] + np.array(by))) for by in ((0, 0), (step, 0))]
    per_mm = np.linalg.norm(px[1] - px[0], axis=1) / np.linalg.norm(mm[1] - mm[0], axis=1)
    assert np.median(told / per_mm) == pytest.approx(0.05, rel=0.1)
