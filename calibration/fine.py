"""Second look: every spot of both drawings is predicted, spots beside an edge of the other drawing are dropped, the rest refined."""

import numpy as np
from numpy.typing import NDArray

from calibration.arrays import Array
from calibration.board import Board
from calibration.edges import EdgeDistance, light_edges, sheet_edges
from calibration.fitted import beyond_plain_mm
from calibration.lamp_lens import actual_from_ideal
from calibration.lateral import Lateral, lateral_of
from calibration.light import plane_of
from calibration.photograph import Photograph, small_from_full
from calibration.refine import SMALLEST_PX, refine
from calibration.sheets import RIM_MM, Paper
from calibration.unknowns import LIGHT, Setting, Spots, places_on_table, seen_at

FREE_SHARE = 0.36  # of a square's side: clear of the dots (0.49 along the diagonal) and of the next saddle
NUDGE = 0.02  # of a square's side, for directions of the edges
TINT_AT = 0.2  # of a square's side along both edges: clear of the dots, which reach to 0.28 from the corner on the diagonal
LUMA = np.array([0.114, 0.587, 0.299])  # blue, green, red in the brightness of JPEG (JFIF 1.02, after ITU-R BT.601)
LIFTED_MM = 0.05  # light that falls on a sheet falls 0.1 mm or so too high, aside by half of that at 25 degrees from the lens
FLOOR_PX = 0.015  # no saddle is placed better than this


def light_from_table(lamp: Array, size: tuple[int, int], places: Array) -> Array:
    """(N, 2) mm of the solve's frame to (N, 2) px of the light, for the twelve numbers of the light."""
    matrix, lens = plane_of(lamp, size)
    moved = np.column_stack([places, np.ones(len(places))]) @ matrix.T
    ahead = moved[:, 2:] * np.sign(moved[:, 2].mean()) > 1e-9
    return actual_from_ideal(np.where(ahead, moved[:, :2] / np.where(ahead, moved[:, 2:], 1.0), np.nan), lens, size[0])


def _on_page(setting: Setting, x: Array, sheet: int, places: Array) -> Array:
    """(N, 2) mm of the solve's frame to mm from the lower-left corner of a sheet."""
    move = x[setting.sheet_at(sheet)] if sheet else np.zeros(3)
    cosine, sine = np.cos(move[2]), np.sin(move[2])
    return np.asarray((places - move[:2]) @ np.array([[cosine, -sine], [sine, cosine]]))


def _clear_mm(
    setting: Setting, x: Array, number: int, drawing: int, places: Array, pages: tuple[int, ...], paper: Paper, plain: bool
) -> Array:
    """(N,) distance on the table from places to the nearest edge of the other kind; `plain`: the light has none on the sheets."""
    if plain and drawing != LIGHT:
        return np.full(len(places), np.inf)
    if drawing != LIGHT:
        lamp = x[setting.lamp_at(setting.stand[number])]
        here = light_from_table(lamp, setting.size, places)
        beside = light_from_table(lamp, setting.size, places + np.array([1.0, 0.0]))
        px_per_mm = np.linalg.norm(beside - here, axis=1)
        return light_edges(setting.size).at(here) / np.where(np.isfinite(px_per_mm), px_per_mm, 1.0)
    clear = np.full(len(places), np.inf)
    for sheet, page in enumerate(pages):
        edges: EdgeDistance = sheet_edges(paper, page)
        on_page = _on_page(setting, x, sheet, places)
        clear = np.minimum(clear, edges.at(on_page))
        if plain:
            clear = np.minimum(clear, beyond_plain_mm(on_page, setting.page))
    return clear


def _on_paper(setting: Setting, x: Array, places: Array) -> NDArray[np.bool_]:
    """(N,) whether a place lies on one of the sheets."""
    on = np.zeros(len(places), dtype=bool)
    for sheet in range(setting.sheets):
        page = _on_page(setting, x, sheet, places)
        on |= (page > 0.0).all(axis=1) & (page < setting.page).all(axis=1)
    return on


def _board_grid(board: Board, stretch: Array) -> tuple[Array, Array, Array, Array]:
    """((N, 2) places, (N, 2) step to the next column, (N, 2) to the next row, (N,) whether row + column is even)."""
    spots = board.spots * stretch
    across, down = spots[0, 1] - spots[0, 0], spots[1, 0] - spots[0, 0]
    rows, columns = np.indices(board.shape)
    count = rows.size
    return spots.reshape(-1, 2), np.tile(across, (count, 1)), np.tile(down, (count, 1)), ((rows + columns) % 2 == 0).ravel()


def _outermost(board: Board) -> NDArray[np.bool_]:
    """(N,) whether a spot lies in the first or last row or column."""
    rows, columns = np.indices(board.shape)
    last = np.array(board.shape) - 1
    return np.asarray((rows % last[0] == 0) | (columns % last[1] == 0)).ravel()


def tints(photograph: Photograph, at: Array, ways: Array) -> Array:
    """(N, 2) share of red and of blue in each saddle's step of brightness, from the four squares around it (BT.601, as JPEG mixes)."""
    import cv2

    if not len(at):
        return np.zeros((0, 2))
    steps = []
    for right, down, sign in ((1, 1, 1.0), (1, -1, -1.0), (-1, -1, 1.0), (-1, 1, -1.0)):
        place = small_from_full(at + TINT_AT * (right * ways[:, 0] + down * ways[:, 1]), photograph.reduced).astype(np.float32)
        colour = cv2.remap(photograph.small, place[:, :1], place[:, 1:], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
        steps.append(sign * colour[:, 0].astype(np.float64))
    parts = np.abs(np.sum(steps, axis=0)) * LUMA
    return np.asarray((parts / np.maximum(parts.sum(axis=1), 1.0)[:, None])[:, [2, 0]])


def look_again(
    setting: Setting, x: Array, number: int, photograph: Photograph, drawing: int, board: Board, stretch: Array,
    pages: tuple[int, ...], paper: Paper, blur: float, plain: bool = False,
) -> tuple[Spots, float, Lateral | None]:  # fmt: skip
    """(refined spots of one board in one photograph, their median blur in px, what printed ones say of lateral colour).

    `plain`: a second frame is thrown, plain on the sheets.
    """
    on, across, down, even = _board_grid(board, stretch)
    count = len(on)
    photo, which = np.full(count, number), np.full(count, drawing)

    def at(places: Array) -> Array:
        return seen_at(setting, x, photo, which, places, slopes=False)[0]

    middle = at(on)
    ways = np.stack([at(on + NUDGE * across) - at(on - NUDGE * across), at(on + NUDGE * down) - at(on - NUDGE * down)], axis=1) / (
        2 * NUDGE
    )
    side = np.linalg.norm(ways, axis=2)
    unit = ways / np.maximum(side, 1e-9)[:, :, None]
    slant = unit[:, 0, 0] * unit[:, 1, 1] - unit[:, 0, 1] * unit[:, 1, 0]  # sine of the angle between the edges
    table = places_on_table(setting, x, photo, which, on)[0][:, :2]
    beside = places_on_table(setting, x, photo, which, on + NUDGE * across)[0][:, :2]
    side_mm = np.linalg.norm(beside - table, axis=1) / NUDGE
    px_per_mm = side.min(axis=1) / side_mm * np.abs(slant)
    clear = _clear_mm(setting, x, number, drawing, table, pages, paper, plain) * px_per_mm
    reach = np.minimum(FREE_SHARE * side.min(axis=1) * np.sqrt(np.abs(slant)), clear - 2.0 * blur)
    if drawing != LIGHT:  # the half squares round a printed board end RIM_MM beyond its outermost spots
        reach = np.where(_outermost(board), np.minimum(reach, RIM_MM * px_per_mm - 2.0 * blur), reach)
    width, height = photograph.size
    inside = np.isfinite(middle).all(axis=1) & (middle > 4).all(axis=1) & (middle < np.array([width - 5, height - 5])).all(axis=1)
    use = inside & (reach >= SMALLEST_PX)
    found = refine(photograph.grey, middle[use], unit[use], reach[use], blur)
    expected = np.where(even[use], 1.0, -1.0)  # in a mirror image too: both normals turn over
    good = found.good & (found.contrast * expected > 0)
    sd = np.hypot(found.sd[good], FLOOR_PX)
    if drawing == LIGHT:
        sd = np.where(_on_paper(setting, x, table[use][good]), np.hypot(sd, LIFTED_MM * px_per_mm[use][good]), sd)
    tint = tints(photograph, found.at[good], ways[use][good])
    spots = Spots(photo[use][good], which[use][good], on[use][good], found.at[good], sd, tint)
    width_px = float(np.median(found.blur[good])) if good.any() else blur
    lateral = lateral_of(photograph, found.at[good], unit[use][good], reach[use][good], tint, width_px) if drawing != LIGHT else None
    return spots, width_px, lateral
