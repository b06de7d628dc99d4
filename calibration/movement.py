"""How far the light has moved against the stuck spots between two pictures of one fixed camera.

Every saddle of the reference is looked for where it was; how the light's saddles moved is told as an affine field over the table, how
the printed ones did (a camera shakes) as shift, turn and size, and the difference is the movement. A hand or cloth hides saddles and
spoils those at its edge: a straight edge crossing the light's own makes a false saddle. So only saddles count that look as they did, on
boards of which enough is seen, and that fit the rest even when the rest alone says where they belong; else nothing is said.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from calibration.arrays import Array, Whole
from calibration.find import Seen, find_boards, kind_pictures
from calibration.fine import FREE_SHARE
from calibration.frame import frame_board
from calibration.homography import plane_map, through
from calibration.label_read import find_labels
from calibration.labels import label_boards, stuck_pages
from calibration.photograph import Photograph
from calibration.refine import SMALLEST_PX, refine
from calibration.spot_find import ways_of
from calibration.table import Table

KEPT_SHARE = 0.35  # of the reference's saddles; with fewer something lies in the way
NEAR_PX = 3.0
WELL_SPREAD = 0.18  # root mean square distance of the table spots from their middle, as a share of the light's width
BLUR_PX = 1.2
ALIKE = (0.7, 1.4)
"""A saddle's contrast over what it was, beside the median of all: 0.9 to 1.1 where nothing lies in the way (rendered frames), about a
half where a straight cover hides half of it, 0.45 to 0.65 where its edge only crosses one of the light."""
FEWEST_ON_BOARD = 12
"""A straight edge spoils one row of a label (7) or page (11), or about as many aslant: so few alone do not tell where a board lies."""


@dataclass(frozen=True, slots=True, eq=False)
class Reference:
    """Saddles as they were: px, unit edge directions, clear reach and signed contrast of each, its board (0 the light, then the stuck
    ones) and its row and column there; mm from px; (9, 2) mm: the places at which movement is told."""

    at: Array
    ways: Array
    reach: Array
    contrast: Array
    board: Whole
    spots: Whole
    names: tuple[str, ...]
    mm_from_px: Array
    corners_mm: Array

    @property
    def is_light(self) -> NDArray[np.bool_]:
        """(N,) the saddles of the light."""
        return np.asarray(self.board == 0)

    def chosen(self, mask: NDArray[np.bool_]) -> "Reference":
        """Only the saddles of a mask."""
        parts = {name: getattr(self, name)[mask] for name in ("at", "ways", "reach", "contrast", "board", "spots")}
        return replace(self, **parts)


@dataclass(frozen=True, slots=True, eq=False)
class Movement:
    """(9, 2) movement in mm of the light against the stuck spots at nine places, its largest sd (mm), saddles compared."""

    field: Array
    sd_mm: float
    seen: int


def photograph_of(picture: NDArray[np.uint8]) -> Photograph:
    """A camera frame (h, w, 3) blue, green, red as a photograph."""
    import cv2

    return Photograph("frame", "", "", None, np.asarray(cv2.cvtColor(picture, cv2.COLOR_BGR2GRAY), dtype=np.uint8), picture, 1)


def reference_of(picture: NDArray[np.uint8], table: Table) -> Reference | None:
    """The reference from one frame, or None when light or table spots are not recognised in it."""
    seen = _recognised(picture, table)
    if seen is None:
        return None
    clear = seen.chosen(_well_seen(seen, _clear_of_print(seen)))
    if clear.is_light.all() or not clear.is_light.any():
        return None
    width = float(np.linalg.norm(np.diff(table.mm_from_px(np.array([[0.0, 0.0], [table.size[0] - 1.0, 0.0]])), axis=0)))
    spots = through(clear.mm_from_px, clear.at[~clear.is_light])
    if np.sqrt(np.square(spots - spots.mean(axis=0)).sum(axis=1).mean()) < WELL_SPREAD * width:
        return None
    return clear


def _recognised(picture: NDArray[np.uint8], table: Table) -> Reference | None:
    """Every saddle of light and table spots that the codes tell; None where one of the two is not found."""
    photograph = photograph_of(picture)
    pictures = kind_pictures(photograph.small)
    light = find_boards(photograph, pictures, "light", [frame_board(table.size)], mirrors=True)
    printed = find_labels(pictures["printed"], 1, list(label_boards().values()))
    printed = printed or find_labels(pictures["printed"], 1, list(stuck_pages().values()))
    if not light or not printed:
        return None
    mm_from_px = plane_map(light[0].at, table.mm_from_px(light[0].places), 5.0)
    if mm_from_px is None:
        return None
    boards = [light[0], *printed]
    parts = [_saddles(photograph, one) for one in boards]
    at, ways, reach, contrast, spots = (np.concatenate([part[k] for part in parts]) for k in range(5))
    board = np.repeat(np.arange(len(parts)), [len(part[0]) for part in parts])
    names = tuple(one.board.name for one in boards)
    return Reference(at, ways, reach, contrast, board, spots.astype(np.int64), names, mm_from_px, table.places_mm(3, 3))


def _saddles(photograph: Photograph, seen: Seen) -> tuple[Array, Array, Array, Array, Whole]:
    """(refined px, edge directions, reach, contrast, rows and columns) of the saddles of one board that can be refined."""
    matrix = plane_map(seen.places, seen.at, 4.0)
    if matrix is None:
        return np.zeros((0, 2)), np.zeros((0, 2, 2)), np.zeros(0), np.zeros(0), np.zeros((0, 2), dtype=np.int64)
    unit, side = ways_of(matrix, seen.places, seen.board)
    reach = np.maximum(np.minimum(0.9 * FREE_SHARE * side, 9.0), SMALLEST_PX)
    found = refine(photograph.grey, seen.at, unit, reach, BLUR_PX)
    good = found.good & (np.linalg.norm(found.at - seen.at, axis=1) < NEAR_PX)
    return found.at[good], unit[good], reach[good], found.contrast[good], seen.spots[good]


def _clear_of_print(seen: Reference) -> NDArray[np.bool_]:
    """(N,) printed saddles, and those of light that keep away from them: one on a label is pulled by its ink."""
    gap = np.linalg.norm(seen.at[:, None] - seen.at[None], axis=2)
    nearest = np.where(seen.is_light[:, None] & ~seen.is_light[None], gap, np.inf).min(axis=1)
    return np.asarray(nearest > 3.0 * seen.reach)


def _well_seen(reference: Reference, mask: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """(N,) those of a mask that lie on boards of which enough are in it."""
    count = np.bincount(reference.board[mask], minlength=len(reference.names))
    return np.asarray(mask & (count[reference.board] >= FEWEST_ON_BOARD))


def movement(picture: NDArray[np.uint8], reference: Reference) -> Movement | int:
    """The movement since the reference; a bare number of saddles when too few agree to tell."""
    found = refine(photograph_of(picture).grey, reference.at, reference.ways, reference.reach, BLUR_PX)
    near = found.good & (np.linalg.norm(found.at - reference.at, axis=1) < NEAR_PX)
    return _compared(reference, found.at, found.contrast, near)


def read_again(picture: NDArray[np.uint8], reference: Reference, table: Table) -> Movement | int:
    """A large movement: saddles are no longer near their places, so light and spots are recognised by their codes."""
    now = reference_of(picture, table)
    if now is None:
        return 0
    places = {(now.names[board], *spot): number for number, (board, spot) in enumerate(zip(now.board, now.spots.tolist(), strict=True))}
    keys = [(reference.names[board], *spot) for board, spot in zip(reference.board, reference.spots.tolist(), strict=True)]
    index = np.array([places.get(key, -1) for key in keys])
    known = index >= 0
    spots = known & ~reference.is_light
    if not spots.any() or np.median(np.linalg.norm(now.at[index[spots]] - reference.at[spots], axis=1)) > NEAR_PX:
        return 0  # the camera itself was moved: nothing can be said
    return _compared(reference, now.at[index], now.contrast[index], known)


def _compared(reference: Reference, at: Array, contrast: Array, is_found: NDArray[np.bool_]) -> Movement | int:
    """The movement by the saddles found again, now at `at` with `contrast` (N,); their number when too few agree."""
    whole, variance, seen = np.zeros_like(reference.corners_mm), 0.0, 0
    for mine, model, sign in ((reference.is_light, _affine, 1.0), (~reference.is_light, _similar, -1.0)):
        own = _well_seen(reference, _alike(reference, contrast, mine & is_found))
        needed = max(FEWEST_ON_BOARD, KEPT_SHARE * mine.sum())
        if own.sum() < needed:
            return int(is_found.sum())
        was, now = through(reference.mm_from_px, reference.at[own]), through(reference.mm_from_px, at[own])
        field, kept, spread = _field(model(was), now - was)
        if kept < needed:
            return int(is_found.sum())
        design = model(reference.corners_mm)
        whole += sign * (design @ field)
        variance += float(np.einsum("nki,ij,nkj->n", design, spread, design).max()) / 2
        seen += kept
    return Movement(whole, float(np.sqrt(2.0 * variance)), seen)


def _alike(reference: Reference, contrast: Array, found: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """(N,) those of the found saddles that look as they did."""
    if not found.any():
        return found
    share = contrast / reference.contrast
    share = share / np.median(share[found])  # a cloud, a camera that adapts: all alike
    return np.asarray(found & (share > ALIKE[0]) & (share < ALIKE[1]))


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
