"""A fixed camera watches whether light and table spots still lie as they lay: for alarms while she works.

The first frame in which both are recognised is the reference. In later frames every saddle is looked for where it was; how the
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
from calibration.label_read import find_labels
from calibration.labels import label_boards, stuck_pages
from calibration.lamp_lens import Array
from calibration.photograph import Photograph
from calibration.refine import SMALLEST_PX, refine
from calibration.spot_find import inverse, plane_map, through
from calibration.table import Table

ALARM_ONE_MM = 0.4
ALARM_TEN_MM = 0.2
TEN = 10
FEWEST_LIGHT = 12
FEWEST_PRINTED = 12
KEPT_SHARE = 0.35  # of the reference's saddles; with fewer something lies in the way
NEAR_PX = 3.0
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
    printed = printed or find_boards(photograph, pictures, "printed", list(stuck_pages().values()), mirrors=False)
    if not light or not printed:
        return None
    board_px = light[0].board.spots[light[0].spots[:, 0], light[0].spots[:, 1]]
    mm_from_px = plane_map(light[0].at, table.mm_from_px(board_px), 5.0)
    if mm_from_px is None:
        return None
    parts = [_saddles(photograph, one, own) for own, one in enumerate([light[0], *printed])]
    is_light = np.concatenate([np.full(len(part[0]), own == 0) for own, part in enumerate(parts)])
    at, ways, reach = (np.concatenate([part[k] for part in parts]) for k in range(3))
    clear = _clash(at, is_light, reach)
    if (is_light & clear).sum() < FEWEST_LIGHT or (~is_light & clear).sum() < FEWEST_PRINTED:
        return None
    return Reference(at[clear], ways[clear], reach[clear], is_light[clear], mm_from_px, table.places_mm(3, 3))


def _saddles(photograph: Photograph, seen: Seen, own: int) -> tuple[Array, Array, Array]:
    """(refined px, edge directions, reach) of the saddles of one board that can be refined."""
    board: Board = seen.board
    places = board.spots[seen.spots[:, 0], seen.spots[:, 1]]
    matrix = plane_map(places, seen.at, 4.0)
    if matrix is None:
        return np.zeros((0, 2)), np.zeros((0, 2, 2)), np.zeros(0)
    steps = [board.spots[0, 1] - board.spots[0, 0], board.spots[1, 0] - board.spots[0, 0]]
    ways = np.stack([(through(matrix, places + 0.02 * step) - through(matrix, places - 0.02 * step)) / 0.04 for step in steps], axis=1)
    side = np.linalg.norm(ways, axis=2)
    unit = ways / np.maximum(side, 1e-9)[:, :, None]
    reach = np.maximum(np.minimum(0.9 * FREE_SHARE * side.min(axis=1), 9.0), SMALLEST_PX)
    found = refine(photograph.grey, seen.at, unit, reach, 1.2)
    good = found.good & (np.linalg.norm(found.at - seen.at, axis=1) < NEAR_PX)
    return found.at[good], unit[good], reach[good]


def _clash(at: Array, is_light: NDArray[np.bool_], reach: Array) -> NDArray[np.bool_]:
    """Light saddles that keep away from printed ones: those on a label are pulled by its ink."""
    gap = np.linalg.norm(at[:, None] - at[None], axis=2)
    other = is_light[:, None] & ~is_light[None]
    nearest = np.where(other, gap, np.inf).min(axis=1)
    return np.asarray(~is_light | (nearest > 3.0 * reach))


def movement_mm(picture: NDArray[np.uint8], reference: Reference) -> tuple[Array | None, int]:
    """((9, 2) movement of the light against the stuck spots in mm at nine places of the light, saddles compared); None: cannot tell."""
    grey = photograph_of(picture).grey
    found = refine(grey, reference.at, reference.ways, reference.reach, 1.2)
    good = found.good & (np.linalg.norm(found.at - reference.at, axis=1) < NEAR_PX)
    fields, seen = [], 0
    for mine, fewest in ((reference.is_light, FEWEST_LIGHT), (~reference.is_light, FEWEST_PRINTED)):
        own = mine & good
        if own.sum() < max(fewest, KEPT_SHARE * mine.sum()):
            return None, int(good.sum())
        was = through(reference.mm_from_px, reference.at[own])
        now = through(reference.mm_from_px, found.at[own])
        field, kept = _field(was, now - was)
        if kept < max(fewest, KEPT_SHARE * mine.sum()):
            return None, int(good.sum())
        fields.append(field)
        seen += kept
    design = _design(reference.corners_mm)
    return design @ (fields[0] - fields[1]), seen


def _design(places: Array) -> Array:
    scaled = places / 1000.0
    return np.column_stack([np.ones(len(places)), scaled])


def _field(places: Array, shift: Array) -> tuple[Array, int]:
    """((3, 2) affine field of shifts, saddles that agree with it): started from the middle of all, outliers dropped by median."""
    design = _design(places)
    agree = np.linalg.norm(shift - np.median(shift, axis=0), axis=1) < 3.0
    field = np.zeros((3, 2))
    for _ in range(6):
        if agree.sum() < 6:
            return field, 0
        field = np.linalg.lstsq(design[agree], shift[agree], rcond=None)[0]
        off = np.linalg.norm(shift - design @ field, axis=1)
        agree = off < max(4.0 * float(np.median(off[agree])), 0.15)
    return field, int(agree.sum())


def watch(frames: Iterable[NDArray[np.uint8]], table: Table) -> Iterator[WatchLook]:
    """One look for each frame. The alarm: above 0.4 mm in one frame, or 0.2 mm in the mean of the last ten."""
    reference: Reference | None = None
    last: deque[Array] = deque(maxlen=TEN)
    lost = 0
    for picture in frames:
        if reference is None:
            reference = reference_of(picture, table)
        if reference is None:
            yield WatchLook(None, ALARM_ONE_MM, False, 0)
            continue
        field, seen = movement_mm(picture, reference)
        lost = 0 if field is not None else lost + 1
        if field is None and lost >= LOST_LOOKS:
            field, seen = _read_again(picture, reference, table)
        if field is None:
            last.clear()
            yield WatchLook(None, ALARM_ONE_MM, False, seen)
            continue
        last.append(field)
        yield _judged(field, last, seen)


def _judged(field: Array, last: deque[Array], seen: int) -> WatchLook:
    one = float(np.linalg.norm(field, axis=1).max())
    if one > ALARM_ONE_MM or len(last) < TEN:
        return WatchLook(one, ALARM_ONE_MM, one > ALARM_ONE_MM, seen)
    ten = float(np.linalg.norm(np.mean(list(last), axis=0), axis=1).max())
    return WatchLook(ten, ALARM_TEN_MM, ten > ALARM_TEN_MM, seen)


def _read_again(picture: NDArray[np.uint8], reference: Reference, table: Table) -> tuple[Array | None, int]:
    """A large movement: saddles are no longer near their places, so light and spots are recognised by their codes."""
    now = reference_of(picture, table)
    if now is None:
        return None, 0
    spots_then, spots_now = reference.at[~reference.is_light], now.at[~now.is_light]
    if len(spots_then) < FEWEST_PRINTED or len(spots_now) < FEWEST_PRINTED:
        return None, 0
    gap = np.linalg.norm(spots_then[:, None] - spots_now[None], axis=2)
    if np.median(gap.min(axis=1)) > NEAR_PX:  # the camera itself was moved: nothing can be said
        return None, 0
    then = through(inverse(reference.mm_from_px), reference.corners_mm)
    after = through(now.mm_from_px, then)  # where the light that was at these places would have to be now
    return reference.corners_mm - after, len(now.at)
