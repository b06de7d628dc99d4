"""Unknowns in which the joint solve's long valley is straight.

Seen from nearly straight above, a longer focal length and a greater distance look almost the same: in (t, f) the sum of squares is a
bent valley of 100 mm and more, down which Gauss-Newton creeps. A photograph's translation is therefore put as what the picture shows:
    a, b   px where the table's origin would appear without the lens's bending,   t1 = (a - c1) e^-s,  t2 = (b - c2) e^-s
    s      log of px per mm there,                                               t3 = f e^-s
with f the photograph's focal length (px) and c its principal point. Everything else stays; nothing is believed of t beforehand,
so the priors stay too.
"""

import numpy as np

from calibration.arrays import Array
from calibration.unknowns import Setting


def _columns(setting: Setting, photo: int) -> tuple[int, int, int]:
    """Where the phone's numbers, the translation, the breathing of a photograph stand."""
    pose = setting.pose_at(photo)
    return setting.phone_at(setting.phone[photo]).start, pose.start + 3, pose.stop


def straight_from_plain(setting: Setting, x: Array) -> Array:
    """The unknowns with a, b, s in the place of every translation."""
    y = x.copy()
    for photo in range(len(setting.phone)):
        phone, t, breath = _columns(setting, photo)
        s = x[phone] + x[breath] - np.log(x[t + 2])
        y[t : t + 3] = x[t] * np.exp(s) + x[phone + 1], x[t + 1] * np.exp(s) + x[phone + 2], s
    return y


def plain_from_straight(setting: Setting, y: Array) -> Array:
    """The inverse."""
    x = y.copy()
    for photo in range(len(setting.phone)):
        phone, t, breath = _columns(setting, photo)
        a, b, s = y[t : t + 3]
        mm_per_px = np.exp(-s)
        x[t : t + 3] = (a - y[phone + 1]) * mm_per_px, (b - y[phone + 2]) * mm_per_px, np.exp(y[phone] + y[breath] - s)
    return x


def plain_by_straight(setting: Setting, x: Array) -> Array:
    """(unknowns, unknowns) derivative of the plain numbers by the straight ones, at plain numbers `x`."""
    by = np.eye(setting.count)
    for photo in range(len(setting.phone)):
        phone, t, breath = _columns(setting, photo)
        mm_per_px = x[t + 2] / np.exp(x[phone] + x[breath])
        by[t, t] = by[t + 1, t + 1] = mm_per_px
        by[t, phone + 1] = by[t + 1, phone + 2] = -mm_per_px
        by[t : t + 3, t + 2] = -x[t : t + 3]
        by[t + 2, phone] = by[t + 2, breath] = x[t + 2]
    return by
