"""The unknowns in which the solve goes straight: there and back, and their derivative against differences."""

import numpy as np

from calibration.arrays import Array
from calibration.straight import plain_by_straight, plain_from_straight, straight_from_plain
from calibration.unknowns import Setting

MIDDLE = np.array([[2015.5, 1511.5], [1511.5, 2015.5], [2015.5, 1511.5]])
SETTING = Setting((0, 1, 0), MIDDLE, (1920, 1080), 2, (0, 0, 0), np.array([210.0, 297.0]))


def _drawn() -> Array:
    """Two phones, three photographs from about 1.5 m."""
    random = np.random.default_rng(5)
    x = random.normal(0.0, 0.01, SETTING.count)
    for phone in range(2):
        x[SETTING.phone_at(phone)][:3] = np.log(3000.0 + 100.0 * phone), 12.0, -20.0
    for photo in range(3):
        start = SETTING.pose_at(photo).start
        x[start + 3 : start + 6] = random.uniform(-200, 200), random.uniform(-200, 200), random.uniform(1300, 1700)
    return x


def test_there_and_back() -> None:
    x = _drawn()
    assert np.abs(plain_from_straight(SETTING, straight_from_plain(SETTING, x)) - x).max() < 1e-9


def test_straight_numbers_are_what_the_picture_shows() -> None:
    """The table's origin through a bare pinhole, and a longer focal length at a distance that grows with it: the same numbers."""
    x = _drawn()
    t, f = x[SETTING.pose_at(0)][3:], float(np.exp(x[0] + x[SETTING.pose_at(0).stop]))
    at = SETTING.pose_at(0).start + 3
    shown = straight_from_plain(SETTING, x)[at : at + 3]
    assert np.allclose(shown, [f * t[0] / t[2] + 12.0, f * t[1] / t[2] - 20.0, np.log(f / t[2])], atol=1e-9)
    longer = x.copy()
    longer[0] += 0.1
    for photo in (0, 2):
        longer[SETTING.pose_at(photo).start + 5] *= np.exp(0.1)
    assert np.abs(straight_from_plain(SETTING, longer) - straight_from_plain(SETTING, x))[1:].max() < 1e-9


def test_derivative() -> None:
    """Central differences, 1e-6 of the largest number."""
    y = straight_from_plain(SETTING, _drawn())
    by = plain_by_straight(SETTING, plain_from_straight(SETTING, y))
    for number in range(SETTING.count):
        step = np.zeros(SETTING.count)
        step[number] = 1e-5
        slope = (plain_from_straight(SETTING, y + step) - plain_from_straight(SETTING, y - step)) / 2e-5
        assert np.abs(slope - by[:, number]).max() < 1e-6 * max(1.0, np.abs(slope).max())
