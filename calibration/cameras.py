"""The phones behind several photographs: which took what, where their numbers stand in a vector of unknowns, what is believed of them.

The vector begins with 10 numbers for each phone (camera.py), then 7 for each photograph: its pose, and the breathing of the focal
length, which focus changes from one photograph to the next. What else is unknown follows: see unknowns.py and spot_solve.py.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from calibration.arrays import Array
from calibration.camera import PHONE, POSE, pose_from_homography
from calibration.photograph import Photograph

USUAL_FOCAL = 0.76
"""Focal length over the long side of a phone's main camera, 24 to 28 mm of 36 (26 mm: 0.72; 4:3 pictures a little more)."""
FOCAL_SD, TOLD_FOCAL_SD = 0.3, 0.15  # of the log: guessed, told by the photograph itself
POINT_SD = 0.015  # of the long side: the lens's own middle beside the picture's
BENT_SD = (0.15, 0.3, 0.3, 0.002, 0.002)  # k1, k2, k3, p1, p2
LATERAL = 3e-4  # lateral colour of phone lenses after the phone's own correction: up to about half a pixel at the edge
BREATHING_SD = 0.003


@dataclass(frozen=True, slots=True, eq=False)
class Cameras:
    """`phone`: number of the phone that took each photograph; `middle` (photographs, 2): of each picture, px."""

    phone: tuple[int, ...]
    middle: Array

    @property
    def phones(self) -> int:
        """How many different phones."""
        return int(max(self.phone)) + 1

    def phone_at(self, phone: int) -> slice:
        """Where a phone's numbers stand."""
        return slice(PHONE * phone, PHONE * (phone + 1))

    def pose_at(self, photo: int) -> slice:
        """Where a photograph's pose stands; its breathing follows."""
        start = PHONE * self.phones + (POSE + 1) * photo
        return slice(start, start + POSE)

    @property
    def cameras_end(self) -> int:
        """Where the phones' and photographs' numbers end and others begin."""
        return PHONE * self.phones + (POSE + 1) * len(self.phone)


def cameras_of(photographs: Sequence[Photograph]) -> tuple[tuple[int, ...], Array]:
    """(phone of each photograph, (photographs, 2) middles in px): one phone for each model and picture size."""
    phones: dict[str, int] = {}
    numbers = tuple(phones.setdefault(photo.phone, len(phones)) for photo in photographs)
    return numbers, (np.array([photo.size for photo in photographs]) - 1.0) / 2.0


def believed(cameras: Cameras, photographs: Sequence[Photograph], pictures: Sequence[Array]) -> tuple[Array, Array]:
    """((n,) first guess, (n,) sd of what is believed beforehand) of the phones' and photographs' numbers; sd inf: nothing is believed.

    `pictures`: picture from table, one plane map a photograph, from which the poses are guessed.
    """
    x, sd = np.zeros(cameras.cameras_end), np.full(cameras.cameras_end, np.inf)
    for phone in range(cameras.phones):
        own = photographs[cameras.phone.index(phone)]
        long_px, at = max(own.size), cameras.phone_at(phone)
        x[at.start] = np.log(own.focal_px or USUAL_FOCAL * long_px)
        focal_sd = TOLD_FOCAL_SD if own.focal_px else FOCAL_SD
        sd[at] = [focal_sd, POINT_SD * long_px, POINT_SD * long_px, *BENT_SD, LATERAL, LATERAL]
    for number, picture in enumerate(pictures):
        pose = cameras.pose_at(number)
        focal = float(np.exp(x[cameras.phone_at(cameras.phone[number]).start]))
        x[pose] = pose_from_homography(picture, focal, cameras.middle[number])
        sd[pose.stop] = BREATHING_SD
    return x, sd
