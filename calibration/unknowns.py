"""The joint problem's unknowns in one vector, and where every spot should appear in every photograph.

Order: phones and photographs (cameras.py); per loose sheet 3 (x, y, turn; the first
sheet is fixed and carries the frame of the solve); per sheet 4 (height of its middle and three terms of a gentle bend, mm: paper
is 0.1 mm thick and never quite flat, and a sheet 0.1 mm nearer to the phone looks 7e-5 larger); 1 for all sheets: by how much the
printer made them wider and less high (a share; paper is drawn through a printer along one side); the light (light.py): its 8 corners
for each place where the lamp may have stood, then its lens's 4.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calibration.arrays import Array, Whole
from calibration.camera import project
from calibration.cameras import Cameras
from calibration.homography import corner_pixels, through
from calibration.lamp_lens import LampLens
from calibration.light import CORNERS, LAMP, lamp_of, light_places

LIGHT = -1
"""The drawing index of the light; 0, 1, … are sheets."""

SHEET, BEND, STRETCH, LENS = 3, 4, 1, LAMP - CORNERS


@dataclass(frozen=True, slots=True, eq=False)
class Spots:
    """Measured spots: photograph, drawing (LIGHT or sheet index), place on the drawing (mm or px), place in the picture, sd in px,
    share of red and of blue in the brightness step (N, 2)."""

    photo: Whole
    drawing: Whole
    on: Array
    at: Array
    sd: Array
    tint: Array

    def __len__(self) -> int:
        return len(self.photo)

    def chosen(self, mask: NDArray[np.bool_] | Whole) -> "Spots":
        """Those of a mask or index."""
        return Spots(self.photo[mask], self.drawing[mask], self.on[mask], self.at[mask], self.sd[mask], self.tint[mask])


@dataclass(frozen=True, slots=True, eq=False)
class Setting(Cameras):
    """What the unknowns belong to: phones and photographs, size of the light, number of sheets, which stand of the lamp each
    photograph saw (all 0 while it did not move), width and height of a page (mm)."""

    size: tuple[int, int]
    sheets: int
    stand: tuple[int, ...]
    page: Array

    def sheet_at(self, sheet: int) -> slice:
        """Where a loose sheet's x, y, turn stand; sheet 0 has none."""
        start = self.cameras_end + SHEET * (sheet - 1)
        return slice(start, start + SHEET)

    def bend_at(self, sheet: int) -> slice:
        """Where a sheet's four heights stand."""
        start = self.cameras_end + SHEET * (self.sheets - 1) + BEND * sheet
        return slice(start, start + BEND)

    @property
    def stretch_at(self) -> int:
        """Where the print's stretch stands."""
        return int(self.bend_at(self.sheets).start)

    def lamp_at(self, stand: int) -> Whole:
        """(12,) where the light's corners at one stand of the lamp, and its lens, stand."""
        start = self.stretch_at + STRETCH
        corners = start + CORNERS * stand + np.arange(CORNERS)
        return np.concatenate([corners, self.count - LENS + np.arange(LENS)])

    @property
    def count(self) -> int:
        """Length of the vector."""
        return self.stretch_at + STRETCH + CORNERS * (max(self.stand) + 1) + LENS


def _bend_shape(on: Array, page: Array) -> Array:
    """(N, 4) shapes of a sheet's height: all, and three bends that are 0 in the middle and 1 at the page's edge."""
    u, v = ((on - page / 2.0) / (page / 2.0)).T
    return np.stack([np.ones_like(u), u * u, u * v, v * v], axis=1)


WIDER = np.array([1.0, -1.0])

Block = tuple[Whole, Whole, Array]
"""(M,) spots, (C,) columns, (M, 3, C) derivative."""


def places_on_table(setting: Setting, x: Array, photo: Whole, drawing: Whole, on: Array) -> tuple[Array, list[Block]]:
    """((N, 3) mm in the solve's frame, derivative by the unknowns of the drawings)."""
    places = np.zeros((len(drawing), 3))
    blocks: list[Block] = []
    stretched = on * (1.0 + 0.5 * x[setting.stretch_at] * WIDER)
    for sheet in np.unique(drawing[drawing >= 0]):
        mine = np.flatnonzero(drawing == sheet)
        bend = np.arange(setting.count)[setting.bend_at(int(sheet))]
        shape = _bend_shape(on[mine], setting.page)
        places[mine, 2] = shape @ x[bend]
        lifted = np.zeros((len(mine), 3, BEND))
        lifted[:, 2] = shape
        blocks.append((mine, bend, lifted))
        columns = np.arange(setting.count)[setting.sheet_at(int(sheet))] if sheet else np.zeros(0, dtype=np.int64)
        dx, dy, turn = x[columns] if sheet else np.zeros(3)
        cosine, sine = np.cos(turn), np.sin(turn)
        wider = np.zeros((len(mine), 3, STRETCH))
        wider[:, :2, 0] = 0.5 * on[mine] * WIDER @ np.array([[cosine, sine], [-sine, cosine]])
        blocks.append((mine, np.array([setting.stretch_at]), wider))
        u, v = stretched[mine].T
        places[mine, 0], places[mine, 1] = dx + cosine * u - sine * v, dy + sine * u + cosine * v
        if not sheet:
            continue
        by = np.zeros((len(u), 3, SHEET))
        by[:, 0, 0] = by[:, 1, 1] = 1.0
        by[:, 0, 2], by[:, 1, 2] = -sine * u - cosine * v, cosine * u - sine * v
        blocks.append((mine, columns, by))
    stands = np.where(drawing == LIGHT, np.array(setting.stand)[photo], -1)
    for stand in np.unique(stands[stands >= 0]):
        mine, columns = np.flatnonzero(stands == stand), setting.lamp_at(int(stand))
        places[mine, :2], flat = light_places(x[columns], on[mine], setting.size)
        blocks.append((mine, columns, np.concatenate([flat, np.zeros((len(mine), 1, len(columns)))], axis=1)))
    return places, blocks


def seen_at(
    setting: Setting, x: Array, photo: Whole, drawing: Whole, on: Array, tint: Array | None = None, slopes: bool = True
) -> tuple[Array, Array]:
    """((N, 2) px where the spots should appear, (N, 2, unknowns) derivative); without `tint` as green light shows them."""
    tint = np.zeros((len(photo), 2)) if tint is None else tint
    places, blocks = places_on_table(setting, x, photo, drawing, on)
    at, by_place = np.empty((len(photo), 2)), np.empty((len(photo), 2, 3))
    jacobian = np.zeros((len(photo), 2, setting.count if slopes else 0))
    for number, phone in enumerate(setting.phone):
        mask = photo == number
        if not mask.any():
            continue
        pose = setting.pose_at(number)
        seen = project(x[setting.phone_at(phone)], float(x[pose.stop]), x[pose], places[mask], setting.middle[number], tint[mask])
        at[mask], by_place[mask] = seen.at, seen.by_place
        if slopes:
            jacobian[mask, :, setting.phone_at(phone)] = seen.by_phone
            jacobian[mask, :, pose] = seen.by_pose
            jacobian[mask, :, pose.stop] = seen.by_phone[:, :, 0]
    if slopes:
        for mine, columns, by in blocks:
            jacobian[mine[:, None], :, columns[None, :]] = np.swapaxes(by_place[mine] @ by, 1, 2)
    return at, jacobian


def lamp_start(mm_from_px: Array, size: tuple[int, int]) -> Array:
    """(12,) first guess of the light from a 3 x 3 map px to mm: a lens that bends nothing."""
    return lamp_of(through(mm_from_px, corner_pixels(size)), LampLens(((size[0] - 1) / 2, (size[1] - 1) / 2)))
