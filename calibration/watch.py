"""A fixed camera watches whether light and table spots still lie as they lay: for alarms while she works.

The mean of the first frames in which both are recognised is the reference. In later frames every saddle is looked for where it was; how the
light moved against the stuck spots, as an affine field over the table, is the movement. A hand or cloth hides saddles or
spoils some; the middle of many decides, and when too few agree nothing is said.
"""

from collections import deque
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calibration.board import Board
from calibration.find import Seen, find_boards, kind_pictures
from calibration.fine import FREE_SHARE
from calibration.frame import frame_board
from calibration.homography import inverse, plane_map, through
from calibration.label_read import find_labels
from calibration.labels import label_boards, stuck_pages
from calibration.lamp_lens import Array
from calibration.photograph import Photograph
from calibration.refine import SMALLEST_PX, refine
from calibration.spot_find import ways_of
from calibration.table import Table

ALARM_ONE_MM = 0.4
ALARM_TEN_MM = 0.2
TEN = 10
FEWEST_LIGHT = 12
FEWEST_PRINTED = 12
KEPT_SHARE = 0.35  # of the reference's saddles; with fewer something lies in the way
NEAR_PX = 3.0
WELL_SPREAD = 0.18  # root mean square distance of the table spots from their middle, as a share of the light's width
REFERENCE_TRIES = (1, 4, 10)  # after so many frames their mean is looked at; then it starts anew
SURE = 5.0  # standard deviations: with the noise measured, one false alarm in a million looks
LOST_LOOKS = 3  # looks without a comparison before the frame is read by its codes again


@dataclass(frozen=True, slots=True)
class WatchLook:
    """One look: movement in mm (None when nothing could be compared), the limit it was held against, saddles compared."""

    moved_mm: float | None
    limit_mm: float
    alarm: bool
    seen: int

    def as_json(self) -> dict[str, float | int | bool | None]:
        """One line of `watch --json`."""
        return {"moved_mm": self.moved_mm, "limit_mm": self.limit_mm, "alarm": self.alarm, "seen": self.seen}


@dataclass(frozen=True, slots=True, eq=False)
class Reference:
    """Where saddles were in the first frame: px, unit edge directions, clear reach, and the light among them; mm from px."""

    at: Array
    ways: Array
    reach: Array
    is_light: NDArray[np.bool_]
    mm_from_px: Array
    corners_mm: Array


def photograph_of(picture: NDArray[np.uint8]) -> Photograph:
    """A camera frame (h, w, 3) blue, green, red as a photograph."""
    import cv2

    return Photograph("frame", "", "", None, np.asarray(cv2.cvtColor(picture, cv2.COLOR_BGR2GRAY), dtype=np.uint8), picture, 1)


def reference_of(picture: NDArray[np.uint8], table: Table) -> Reference | None:
    """The reference from one frame, or None when light or table spots are not recognised in it."""
    photograph = photograph_of(picture)
    pictures = kind_pictures(photograph.small)
    light = find_boards(photograph, pictures, "light", [frame_board(table.size)], mirrors=True)
    printed = find_labels(pictures["printed"], 1, list(label_boards().values()))
    printed = printed or find_labels(pictures["printed"], 1, list(stuck_pages().values()))
    if not light or not printed:
        return None
    board_px = light[0].places
    mm_from_px = plane_map(light[0].at, table.mm_from_px(board_px), 5.0)
    if mm_from_px is None:
        return None
    parts = [_saddles(photograph, one, own) for own, one in enumerate([light[0], *printed])]
    is_light = np.concatenate([np.full(len(part[0]), own == 0) for own, part in enumerate(parts)])
    at, ways, reach = (np.concatenate([part[k] for part in parts]) for k in range(3))
    clear = _clash(at, is_light, reach)
    if (is_light & clear).sum() < FEWEST_LIGHT or (~is_light & clear).sum() < FEWEST_PRINTED:
        return None
    width = float(np.linalg.norm(np.diff(table.mm_from_px(np.array([[0.0, 0.0], [table.size[0] - 1.0, 0.0]])), axis=0)))
    spots = through(mm_from_px, at[~is_light & clear])
    if np.sqrt(np.square(spots - spots.mean(axis=0)).sum(axis=1).mean()) < WELL_SPREAD * width:
        return None
    return Reference(at[clear], ways[clear], reach[clear], is_light[clear], mm_from_px, table.places_mm(3, 3))


def _saddles(photograph: Photograph, seen: Seen, own: int) -> tuple[Array, Array, Array]:
    """(refined px, edge directions, reach) of the saddles of one board that can be refined."""
    board: Board = seen.board
    places = seen.places
    matrix = plane_map(places, seen.at, 4.0)
    if matrix is None:
        return np.zeros((0, 2)), np.zeros((0, 2, 2)), np.zeros(0)
    unit, side = ways_of(matrix, places, board)
    reach = np.maximum(np.minimum(0.9 * FREE_SHARE * side, 9.0), SMALLEST_PX)
    found = refine(photograph.grey, seen.at, unit, reach, 1.2)
    good = found.good & (np.linalg.norm(found.at - seen.at, axis=1) < NEAR_PX)
    return found.at[good], unit[good], reach[good]


def _clash(at: Array, is_light: NDArray[np.bool_], reach: Array) -> NDArray[np.bool_]:
    """Light saddles that keep away from printed ones: those on a label are pulled by its ink."""
    gap = np.linalg.norm(at[:, None] - at[None], axis=2)
    other = is_light[:, None] & ~is_light[None]
    nearest = np.where(other, gap, np.inf).min(axis=1)
    return np.asarray(~is_light | (nearest > 3.0 * reach))


@dataclass(frozen=True, slots=True, eq=False)
class Movement:
    """(9, 2) movement in mm of the light against the stuck spots at nine places, its largest sd (mm), saddles compared."""

    field: Array
    sd_mm: float
    seen: int


def movement(picture: NDArray[np.uint8], reference: Reference) -> Movement | int:
    """The movement since the reference; a bare number of saddles when too few agree to tell."""
    grey = photograph_of(picture).grey
    found = refine(grey, reference.at, reference.ways, reference.reach, 1.2)
    good = found.good & (np.linalg.norm(found.at - reference.at, axis=1) < NEAR_PX)
    whole, variance, seen = np.zeros_like(reference.corners_mm), 0.0, 0
    for mine, fewest, model, sign in (
        (reference.is_light, FEWEST_LIGHT, _affine, 1.0),
        (~reference.is_light, FEWEST_PRINTED, _similar, -1.0),
    ):
        own = mine & good
        if own.sum() < max(fewest, KEPT_SHARE * mine.sum()):
            return int(good.sum())
        was = through(reference.mm_from_px, reference.at[own])
        now = through(reference.mm_from_px, found.at[own])
        field, kept, spread = _field(model(was), now - was)
        if kept < max(fewest, KEPT_SHARE * mine.sum()):
            return int(good.sum())
        design = model(reference.corners_mm)
        whole += sign * (design @ field)
        variance += float(np.einsum("nki,ij,nkj->n", design, spread, design).max()) / 2
        seen += kept
    return Movement(whole, float(np.sqrt(2.0 * variance)), seen)


def _affine(places: Array) -> Array:
    """(N, 2, 6): a lamp that turns or tips moves its light by shift, turn, stretch and shear."""
    design = np.zeros((len(places), 2, 6))
    design[:, 0, 0] = design[:, 1, 1] = 1.0
    design[:, 0, 2], design[:, 0, 3] = places[:, 0] / 1000.0, places[:, 1] / 1000.0
    design[:, 1, 4], design[:, 1, 5] = places[:, 0] / 1000.0, places[:, 1] / 1000.0
    return design


def _similar(places: Array) -> Array:
    """(N, 2, 4): a camera that shakes moves the stuck spots by shift, turn and size; few spots must do."""
    design = np.zeros((len(places), 2, 4))
    design[:, 0, 0] = design[:, 1, 1] = 1.0
    design[:, 0, 2], design[:, 1, 2] = -places[:, 1] / 1000.0, places[:, 0] / 1000.0
    design[:, 0, 3], design[:, 1, 3] = places[:, 0] / 1000.0, places[:, 1] / 1000.0
    return design


def _field(design: Array, shift: Array) -> tuple[Array, int, Array]:
    """((k,) numbers of the field, saddles that agree, (k, k) covariance): outliers dropped by the median of what is left."""
    count = design.shape[2]
    agree = np.linalg.norm(shift - np.median(shift, axis=0), axis=1) < 3.0
    field, noise = np.zeros(count), 0.0
    for _ in range(6):
        if agree.sum() < 6:
            return field, 0, np.eye(count)
        field = np.linalg.lstsq(design[agree].reshape(-1, count), shift[agree].ravel(), rcond=None)[0]
        off = np.linalg.norm(shift - design @ field, axis=1)
        noise = float(np.sqrt(np.mean(off[agree] ** 2) / 2))
        agree = off < max(4.0 * float(np.median(off[agree])), 0.15)
    own = design[agree].reshape(-1, count)
    return field, int(agree.sum()), np.asarray(noise**2 * np.linalg.inv(own.T @ own + 1e-9 * np.eye(count)))


def watch(frames: Iterable[NDArray[np.uint8]], table: Table) -> Iterator[WatchLook]:
    """One look for each frame. The alarm: above 0.4 mm in one frame, or 0.2 mm in the mean of the last ten; never within the noise."""
    reference: Reference | None = None
    first: list[NDArray[np.uint8]] = []
    last: deque[Movement] = deque(maxlen=TEN)
    lost = 0
    for picture in frames:
        if reference is None:
            first.append(picture)
            if len(first) in REFERENCE_TRIES:
                reference = reference_of(_mean(first), table)
            if len(first) == REFERENCE_TRIES[-1]:
                first.clear()
        if reference is None:
            yield WatchLook(None, ALARM_ONE_MM, False, 0)
            continue
        found = movement(picture, reference)
        lost = lost + 1 if isinstance(found, int) else 0
        if lost >= LOST_LOOKS:
            found = _read_again(picture, reference, table)
        if isinstance(found, int):
            last.clear()
            yield WatchLook(None, ALARM_ONE_MM, False, found)
            continue
        last.append(found)
        yield _judged(last)


def _mean(pictures: Iterable[NDArray[np.uint8]]) -> NDArray[np.uint8]:
    return np.asarray(np.rint(np.mean(np.stack(list(pictures)), axis=0)), dtype=np.uint8)


def _judged(last: deque[Movement]) -> WatchLook:
    now = last[-1]
    one = float(np.linalg.norm(now.field, axis=1).max())
    limit = max(ALARM_ONE_MM, SURE * now.sd_mm)
    if one > limit or len(last) < TEN:
        return WatchLook(one, limit, one > limit, now.seen)
    ten = float(np.linalg.norm(np.mean([look.field for look in last], axis=0), axis=1).max())
    sd = float(np.mean([look.sd_mm for look in last])) * np.sqrt(0.5 + 0.5 / TEN)  # the reference's own noise does not average out
    limit = max(ALARM_TEN_MM, SURE * float(sd))
    return WatchLook(ten, limit, ten > limit, now.seen)


def _read_again(picture: NDArray[np.uint8], reference: Reference, table: Table) -> Movement | int:
    """A large movement: saddles are no longer near their places, so light and spots are recognised by their codes."""
    now = reference_of(picture, table)
    if now is None:
        return 0
    spots_then, spots_now = reference.at[~reference.is_light], now.at[~now.is_light]
    gap = np.linalg.norm(spots_then[:, None] - spots_now[None], axis=2)
    if np.median(gap.min(axis=1)) > NEAR_PX:  # the camera itself was moved: nothing can be said
        return 0
    then = through(inverse(reference.mm_from_px), reference.corners_mm)
    after = through(now.mm_from_px, then)  # which light lies now where that of the nine places lay
    return Movement(np.asarray(reference.corners_mm - after), 0.1, len(now.at))
