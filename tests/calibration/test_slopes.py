"""Pictures of spots and how they move with every unknown: against OpenCV's projectPoints and against differences taken apart.

A solve with a wrong slope still ends somewhere near, and states a wrong error: only the slopes themselves tell.
"""

from typing import Any

import cv2
import numpy as np
import pytest

from calibration.camera import project
from calibration.lamp_lens import LampLens, actual_from_ideal, ideal_from_actual
from calibration.photograph import Photograph
from calibration.rough import placed_maps, setting_of, start
from calibration.sheets import PAGE_MM
from calibration.unknowns import LIGHT, Setting, Spots, seen_at
from tests.calibration.points import ONE, PAGES, SIZE, spots_of

Array = Any
PHONE = np.array([np.log(1500.0), 12.0, -9.0, 0.11, -0.07, 0.05, 0.004, -0.003, 0.0, 0.0])
POSE = np.array([0.3, -0.2, 0.1, -300.0, -200.0, 1100.0])
MIDDLE = np.array([1000.0, 750.0])
PLACES = np.array([[x, y, z] for x in (0.0, 250.0, 700.0) for y in (0.0, 300.0, 500.0) for z in (0.0, 3.0)])
NO_TINT = np.zeros((len(PLACES), 2))


def test_a_phone_s_picture_and_slopes_are_opencv_s() -> None:
    """Brown's terms as OpenCV orders them: k1, k2, p1, p2, k3. 1e-6 px and 1e-6 of the largest slope: rounding."""
    seen = project(PHONE, 0.0, POSE, PLACES, MIDDLE, NO_TINT)
    focal, (k1, k2, k3, p1, p2) = float(np.exp(PHONE[0])), PHONE[3:8]
    inside = np.array([[focal, 0.0, MIDDLE[0] + PHONE[1]], [0.0, focal, MIDDLE[1] + PHONE[2]], [0.0, 0.0, 1.0]])
    at, slopes = cv2.projectPoints(PLACES, POSE[:3], POSE[3:], inside, np.array([k1, k2, p1, p2, k3]))
    assert seen.at == pytest.approx(at[:, 0], abs=1e-6)
    theirs = slopes.reshape(len(PLACES), 2, -1)
    assert seen.by_pose == pytest.approx(theirs[:, :, :6], abs=1e-6 * np.abs(theirs[:, :, :6]).max())
    order = [10, 11, 14, 12, 13]
    assert seen.by_phone[:, :, 3:8] == pytest.approx(theirs[:, :, order], abs=1e-6 * np.abs(theirs[:, :, order]).max())
    assert seen.by_phone[:, :, 1:3] == pytest.approx(theirs[:, :, 8:10], abs=1e-9)
    assert seen.by_phone[:, :, 0] == pytest.approx(focal * theirs[:, :, 6:8].sum(axis=2), abs=1e-6 * focal)


def by_differences(model: Any, x: Array, steps: Array) -> Array:
    """(N, 2, unknowns): middle differences."""
    columns = []
    for number, step in enumerate(steps):
        ahead, back = x.copy(), x.copy()
        ahead[number] += step
        back[number] -= step
        columns.append((model(ahead) - model(back)) / (2 * step))
    return np.stack(columns, axis=2)


def test_red_and_blue_are_drawn_aside_by_their_share() -> None:
    """A picture of red 2 % larger than green moves a spot of 60 % red by 1.2 % of its way from the middle; slopes by differences."""
    phone, tint = PHONE.copy(), np.tile([0.6, 0.1], (len(PLACES), 1))
    phone[8:] = [0.02, -0.01]
    plain = project(PHONE, 0.01, POSE, PLACES, MIDDLE, tint).at - MIDDLE - PHONE[1:3]
    drawn = project(phone, 0.01, POSE, PLACES, MIDDLE, tint)
    assert drawn.at - MIDDLE - PHONE[1:3] == pytest.approx(plain * (1 + 0.6 * 0.02 - 0.1 * 0.01), rel=1e-12)
    found = by_differences(lambda x: project(x, 0.01, POSE, PLACES, MIDDLE, tint).at, phone, np.full(10, 1e-6))
    assert drawn.by_phone == pytest.approx(found, abs=1e-3)  # of up to 1000 px
    moved = [project(phone, 0.01, POSE, PLACES + step * np.eye(3)[axis], MIDDLE, tint).at for axis in range(3) for step in (-1e-3, 1e-3)]
    by_place = np.stack([(moved[2 * axis + 1] - moved[2 * axis]) / 2e-3 for axis in range(3)], axis=2)
    assert drawn.by_place == pytest.approx(by_place, abs=1e-6)


def bent_setting() -> tuple[Setting, Array, Spots]:
    """Four bent sheets, one stretched print and a lamp whose lens bends, in one photograph: unknowns of a solve, and its spots."""
    spots = spots_of()
    wide, tall = ONE.phones[0].size
    blank = np.zeros((tall, wide), np.uint8)
    photograph = Photograph("1.jpg", "0" * 64, "phone", None, blank, blank[:1, :1, None], 2)
    setting = setting_of(SIZE, [photograph], PAGES, (0,), np.array(PAGE_MM["a4"]))
    planes = placed_maps(spots)
    x, _ = start(setting, [photograph], [planes.pictures[0]], [planes.sheets[n] for n in range(PAGES)], [planes.lights[0]])
    random = np.random.default_rng(7)
    for sheet in range(PAGES):
        x[setting.bend_at(sheet)] = random.normal(0.0, 0.5, 4)
    x[setting.stretch_at] = 0.004
    x[-2:] = [0.02, -0.01]
    return setting, x, spots


def test_how_spots_move_with_every_unknown_of_a_solve() -> None:
    """Every thirtieth spot, by differences; 1e-4 of the column's largest."""
    setting, x, spots = bent_setting()
    some = np.arange(0, len(spots), 30)
    photo, drawing, on = spots.photo[some], spots.drawing[some], spots.on[some]
    assert set(drawing.tolist()) == {*range(PAGES), LIGHT}
    tint = np.tile([0.3, 0.2], (len(some), 1))
    _, slopes = seen_at(setting, x, photo, drawing, on, tint)
    steps = 1e-6 * np.maximum(np.abs(x), 1.0)
    found = by_differences(lambda y: seen_at(setting, y, photo, drawing, on, tint, slopes=False)[0], x, steps)
    largest = np.maximum(np.abs(found).max(axis=(0, 1)), 1e-3)
    assert np.abs(slopes - found).max(axis=(0, 1)) / largest == pytest.approx(np.zeros(len(x)), abs=1e-4)


@pytest.mark.parametrize(("k1", "k2"), [(-0.3, 0.0), (-0.2, -0.1), (-0.5, 0.04), (0.2, -0.15)])
def test_a_lamp_s_lens_goes_as_far_as_it_turns_back(k1: float, k2: float) -> None:
    """Where r + k1 r³ + k2 r⁵ is largest, looked for in steps; inside it the way back is exact, beyond it there is none."""
    r = np.linspace(0.0, 3.0, 300_001)
    height = r + k1 * r**3 + k2 * r**5
    turning = r[int(np.argmax(np.diff(height) < 0.0))]
    lens = LampLens((960.0, 540.0), k1, k2)
    inside, beyond = (np.array([[960.0 + 960.0 * share * turning, 540.0]]) for share in (0.999, 1.001))
    assert np.isfinite(actual_from_ideal(inside, lens, 1920)).all()
    assert not np.isfinite(actual_from_ideal(beyond, lens, 1920)).any()
    ideal = np.array([[960.0 + 960.0 * share * turning * c, 540.0 + 960.0 * share * turning * s]
                      for share in (0.1, 0.5, 0.9) for c, s in ((1.0, 0.0), (0.6, 0.8))])  # fmt: skip
    assert ideal_from_actual(actual_from_ideal(ideal, lens, 1920), lens, 1920) == pytest.approx(ideal, abs=1e-9)
