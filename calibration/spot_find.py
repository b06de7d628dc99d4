"""Light and stuck spots in one photograph, refined, without any sheet lying about: for survey, check and re-calibration."""

from collections.abc import Container
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from calibration.arrays import Array
from calibration.board import Board
from calibration.edges import light_edges
from calibration.find import Seen, find_boards, kind_pictures
from calibration.fine import FREE_SHARE
from calibration.frame import frame_board
from calibration.homography import inverse, plane_map, through
from calibration.label_read import find_labels
from calibration.labels import FIRST_OF_PAGES, SADDLES, label_boards, stuck_pages
from calibration.photograph import Photograph, read_photograph
from calibration.refine import SMALLEST_PX, refine

FLOOR_PX = 0.03  # no spot is placed better than this: paper, lens and JPEG
BLUR_PX = 1.5
NEAR_PX = 6.0
FEWEST_LIGHT = 20
FEWEST_ON_LABEL = 12
ROUND_LABEL_MM, ROUND_PAGE_MM = (6.0, 9.0), (18.0, 24.0)  # paper beyond the outermost saddles, across and down


@dataclass(frozen=True, slots=True, eq=False)
class StuckSpot:
    """One stuck spot in one photograph: its id, place in px, 2 x 2 covariance in px²."""

    id: int
    at: Array
    covariance: Array


@dataclass(frozen=True, slots=True, eq=False)
class SpotLook:
    """What one photograph shows. `on`, `at`, `sd` (N,): light spots in px of the light, in px of the picture, sd in px."""

    photograph: Photograph
    on: Array
    at: Array
    sd: Array
    stuck: tuple[StuckSpot, ...]
    mirrored: bool

    def with_only(self, ids: Container[int]) -> "SpotLook":
        """The same look with no other stuck spots than these."""
        return replace(self, stuck=tuple(spot for spot in self.stuck if spot.id in ids))


def look_for_spots(path: Path, size: tuple[int, int]) -> SpotLook:
    """Read a photograph; find the light's board and every stuck label (or, when there is none, stuck page). Raises WrongInput."""
    photograph = read_photograph(path)
    pictures = kind_pictures(photograph.small)
    light = find_boards(photograph, pictures, "light", [frame_board(size)], mirrors=True)
    labels = label_boards()
    printed = find_labels(pictures["printed"], photograph.reduced, list(labels.values()))
    bases = {board.name: number for number, board in labels.items()}
    if not printed:
        pages = stuck_pages()
        printed = find_labels(pictures["printed"], photograph.reduced, list(pages.values()))
        bases = {board.name: base for base, board in pages.items()}
    light_to_picture = plane_map(light[0].places, light[0].at, 4 * NEAR_PX) if light else None
    on, at, sd = np.zeros((0, 2)), np.zeros((0, 2)), np.zeros(0)
    if light_to_picture is not None:
        on, at, sd = _light(photograph, light[0], light_to_picture, printed)
    stuck: list[StuckSpot] = []
    for seen in printed:
        stuck += _stuck(photograph, seen, bases[seen.board.name], light_to_picture, size)
    return SpotLook(photograph, on, at, sd, tuple(stuck), bool(light and light[0].mirrored))


def ways_of(matrix: Array, places: Array, board: Board) -> tuple[Array, Array]:
    """((N, 2, 2) unit directions of a saddle's edges in the picture, (N,) shorter side of a square there, px)."""
    steps = [board.spots[0, 1] - board.spots[0, 0], board.spots[1, 0] - board.spots[0, 0]]
    ways = np.stack([(through(matrix, places + 0.02 * step) - through(matrix, places - 0.02 * step)) / 0.04 for step in steps], axis=1)
    side = np.linalg.norm(ways, axis=2)
    return ways / np.maximum(side, 1e-9)[:, :, None], side.min(axis=1)


def _refined(photograph: Photograph, seen: Seen, matrix: Array, clear_px: Array) -> tuple[Array, Array, Array, NDArray[np.bool_]]:
    """((N, 2) places on the board, (N, 2) px, (N,) sd px, (N,) good) of one board's spots."""
    places = seen.places
    unit, side = ways_of(matrix, places, seen.board)
    reach = np.minimum(FREE_SHARE * side, clear_px)
    found = refine(photograph.grey, seen.at, unit, np.maximum(reach, SMALLEST_PX), BLUR_PX * photograph.reduced / 2 + 0.5)
    good = found.good & (reach >= SMALLEST_PX) & (np.linalg.norm(found.at - seen.at, axis=1) < NEAR_PX)
    return places, found.at, np.hypot(found.sd, FLOOR_PX), good


def _light(photograph: Photograph, seen: Seen, matrix: Array, printed: list[Seen]) -> tuple[Array, Array, Array]:
    """Light spots well clear of every printed board."""
    clear = np.full(len(seen.spots), np.inf)
    for other in printed:
        to_picture = plane_map(other.places, other.at, 2 * NEAR_PX)
        if to_picture is None:
            continue
        board = other.board.spots.reshape(-1, 2)
        rim = np.array(ROUND_LABEL_MM if other.board.shape == (SADDLES, SADDLES) else ROUND_PAGE_MM)
        low, high = board.min(axis=0) - rim, board.max(axis=0) + rim
        own = through(inverse(to_picture), seen.at)
        outside = np.maximum(np.maximum(low - own, own - high), 0.0)
        px_per_mm = np.sqrt(abs(np.linalg.det(to_picture[:2, :2] / to_picture[2, 2])))
        clear = np.minimum(clear, np.hypot(*outside.T) * px_per_mm)
    on, at, sd, good = _refined(photograph, seen, matrix, clear - 2.0 * BLUR_PX)
    return on[good], at[good], sd[good]


def _stuck(photograph: Photograph, seen: Seen, base: int, light: Array | None, size: tuple[int, int]) -> list[StuckSpot]:
    """The spots of one stuck board: a label's middle, or a page's four outermost saddles."""
    rough = plane_map(seen.places, seen.at)
    if rough is None or len(seen.spots) < FEWEST_ON_LABEL:
        return []
    clear = np.full(len(seen.spots), np.inf)
    if light is not None:
        in_light = through(inverse(light), seen.at)
        beside = through(inverse(light), seen.at + np.array([1.0, 0.0]))
        clear = light_edges(size).at(in_light) / np.linalg.norm(beside - in_light, axis=1) - 2.0 * BLUR_PX
    places, at, sd, good = _refined(photograph, seen, rough, clear)
    if good.sum() < FEWEST_ON_LABEL:
        return []
    if base < FIRST_OF_PAGES:
        fitted = _fitted(places[good], at[good], sd[good], np.zeros(2))
        return [] if fitted is None else [StuckSpot(base, *fitted)]
    rows, columns = seen.board.shape
    found = []
    for number, (row, column) in enumerate([(0, 0), (0, columns - 1), (rows - 1, columns - 1), (rows - 1, 0)], start=1):
        corner = seen.board.spots[row, column]
        near = good & (np.abs(places - corner).max(axis=1) < 100.0)
        fitted = _fitted(places[near], at[near], sd[near], corner) if near.sum() >= FEWEST_ON_LABEL else None
        if fitted is not None:
            found.append(StuckSpot(base + number, *fitted))
    return found


def _fitted(places: Array, at: Array, sd: Array, wanted: Array) -> tuple[Array, Array] | None:
    """(px of `wanted`, its covariance in px²) by a local plane map through refined saddles, noise learnt from what is left."""
    matrix = plane_map(places, at, 1.5)
    if matrix is None:
        return None
    off = np.linalg.norm(through(matrix, places) - at, axis=1)
    keep = off < max(4.0 * float(np.median(off)), 0.3)
    if keep.sum() < FEWEST_ON_LABEL:
        return None
    middle, scale = places[keep].mean(axis=0), float(np.abs(places[keep] - places[keep].mean(axis=0)).max())
    u, target, weight = (places[keep] - middle) / scale, at[keep], 1.0 / sd[keep] ** 2
    x, y, one, none = u[:, 0], u[:, 1], np.ones(len(u)), np.zeros(len(u))
    across = np.column_stack([x, y, one, none, none, none, -target[:, 0] * x, -target[:, 0] * y])
    down = np.column_stack([none, none, none, x, y, one, -target[:, 1] * x, -target[:, 1] * y])
    rows = np.stack([across, down], axis=1).reshape(-1, 8)
    heavy = rows * np.repeat(weight, 2)[:, None]
    normal = heavy.T @ rows
    eight = np.linalg.solve(normal, heavy.T @ target.ravel())
    left = rows @ eight - target.ravel()
    noise = float((np.repeat(weight, 2) * left**2).sum() / max(2 * len(u) - 8, 1))
    v = (wanted - middle) / scale
    bottom = 1.0 + eight[6] * v[0] + eight[7] * v[1]
    place = np.array([eight[0] * v[0] + eight[1] * v[1] + eight[2], eight[3] * v[0] + eight[4] * v[1] + eight[5]]) / bottom
    flat = np.array([v[0], v[1], 1.0])
    slope = np.zeros((2, 8))
    slope[0, :3] = slope[1, 3:6] = flat
    slope[:, 6:] = -np.outer(place, v)
    slope = slope / bottom
    return place, slope @ np.linalg.inv(normal) @ slope.T * max(noise, 1.0) + FLOOR_PX**2 * np.eye(2)
