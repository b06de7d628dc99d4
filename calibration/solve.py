"""Photographs to a table: find, rough solve, look again, joint solve, hang the frame, judge."""

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from calibration.arrays import Array
from calibration.board import PAGES, Board
from calibration.find import Seen, find_boards, kind_pictures
from calibration.fine import look_again
from calibration.frame import FITTED, USUAL_SIZES, frame_board
from calibration.joint import Solved, rough_fit, solve_joint
from calibration.lateral import Lateral, together
from calibration.least_squares import Prior
from calibration.photograph import Photograph, read_photograph
from calibration.rough import gather, placed_maps, setting_of, start, with_lateral
from calibration.sheets import PAGE_MM, PAPERS, Sheets, board_of
from calibration.unknowns import LIGHT, Setting, Spots

FIRST_BLUR_PX = 1.5
ROUGH_SD = 0.35  # px of the reduced picture
MIRROR_IMAGE, SAME = "it is a mirror image", "it is the same picture as an earlier one"
"""Why a photograph is of no use whatever it shows."""
SURELY_SD, SURELY_MM = 8.0, 0.3
"""A corner that differs by more than both says that the lamp moved; less is within the stated error."""


@dataclass(frozen=True, slots=True, eq=False)
class Look:
    """One photograph and the boards found in it. `other`: boards that were not asked for, looked up when nothing else was found;
    `problem`: why it is of no use whatever it shows."""

    photograph: Photograph
    printed: list[Seen]
    light: list[Seen]
    other: tuple[str, ...] = ()
    problem: str | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Moved:
    """The lamp stood elsewhere in an earlier photograph: which pair (numbers in `looks`), by how much at its worst corner, mm."""

    first: int
    second: int
    by_mm: float


@dataclass(frozen=True, slots=True, eq=False)
class Work:
    """Everything between the photographs and the table. `tied`: photographs that take part, by their number in `looks`."""

    looks: list[Look]
    size: tuple[int, int]
    sheets: Sheets
    stretch: Array
    pages: tuple[int, ...]
    tied: tuple[int, ...]
    solved: Solved
    blur: dict[int, float]
    stand: int
    moved: Moved | None


def look_at(path: Path, sheets: Sheets, size: tuple[int, int]) -> Look:
    """Read a photograph and find its boards."""
    photograph = read_photograph(path)
    pictures = kind_pictures(photograph.small)
    wanted = {board.name for board in sheets.boards.values()}
    printed = find_boards(photograph, pictures, "printed", list(sheets.boards.values()), mirrors=False)
    light = find_boards(photograph, pictures, "light", [frame_board(size), frame_board(size, FITTED)], mirrors=True)
    light = sorted(light, key=lambda seen: seen.chance)[:1]  # one picture was thrown, not two
    other: list[Seen] = []
    if not light:
        other += find_boards(photograph, pictures, "light", [frame_board(usual) for usual in USUAL_SIZES if usual != size], mirrors=True)
    if not printed:
        turned_over = find_boards(photograph, pictures, "printed", list(sheets.boards.values()), mirrors=True)
        if turned_over:
            return Look(photograph, [], [], problem=MIRROR_IMAGE)
        strange = [board_of(paper, page) for paper in PAPERS for page in range(1, PAGES + 1)]
        other += find_boards(photograph, pictures, "printed", [board for board in strange if board.name not in wanted], mirrors=False)
    return Look(photograph, printed, light, tuple(seen.board.name for seen in other))


def once(looks: list[Look]) -> list[Look]:
    """A photograph that was given twice counts once: its noise is the same noise, and no second witness."""
    known: set[str] = set()
    out = []
    for look in looks:
        again = look.photograph.sha256 in known
        out.append(Look(look.photograph, [], [], problem=SAME) if again else look)
        known.add(look.photograph.sha256)
    return out


def work_out(looks: list[Look], sheets: Sheets, size: tuple[int, int], stretch: Array) -> Work | None:
    """Solve from what was found; None when nothing ties the light to a sheet."""
    page_of_board = {board.name: page for page, board in sheets.boards.items()}
    all_pages, rough = gather([look.printed + look.light for look in looks], page_of_board, stretch)
    if not all_pages:
        return None
    planes = placed_maps(rough)
    if not planes.lights:
        return None
    pages = tuple(page for number, page in enumerate(all_pages) if number in planes.sheets)
    tied = tuple(sorted(planes.pictures))
    lit = sorted(planes.lights)
    photographs = [looks[number].photograph for number in tied]
    setting = setting_of(
        size, photographs, len(pages), tuple(lit.index(n) if n in planes.lights else 0 for n in tied), np.array(PAGE_MM[sheets.paper])
    )
    pictures = [planes.pictures[number] for number in tied]
    placed = [planes.sheets[all_pages.index(page)] for page in pages]
    x, prior = start(setting, photographs, pictures, placed, [planes.lights[number] for number in lit])
    coarse = _renumbered(rough, tied, tuple(all_pages.index(page) for page in pages), photographs)
    x = rough_fit(setting, coarse, x, prior)
    thrown = [looks[number].light[0].board if looks[number].light else frame_board(size) for number in tied]
    spots, blur, colour = _fine_spots(setting, x, photographs, thrown, sheets, pages, stretch)
    if not len(spots):
        return None
    prior = with_lateral(setting, prior, colour)
    apart = solve_joint(setting, spots, x, prior)
    moved = moved_between(apart, tied)
    solved = apart
    if moved is None and len(lit) > 1:
        still = replace(setting, stand=(0,) * len(tied))
        solved = solve_joint(
            still, spots, _one_stand(setting, apart.x), Prior(_one_stand(setting, prior.mean), _one_stand(setting, prior.sd))
        )
    return Work(looks, size, sheets, stretch, pages, tied, solved, blur, solved.setting.stand[tied.index(lit[-1])], moved)


def _renumbered(rough: Spots, tied: tuple[int, ...], sheets: tuple[int, ...], photographs: list[Photograph]) -> Spots:
    """Rough spots of the photographs and sheets that take part, with their new numbers and the noise of a reduced picture."""
    photo = {number: new for new, number in enumerate(tied)}
    drawing = {number: new for new, number in enumerate(sheets)} | {LIGHT: LIGHT}
    keep = np.array([p in photo and d in drawing for p, d in zip(rough.photo.tolist(), rough.drawing.tolist(), strict=True)])
    some = rough.chosen(keep)
    photos = np.array([photo[p] for p in some.photo.tolist()])
    drawings = np.array([drawing[d] for d in some.drawing.tolist()])
    sd = ROUGH_SD * np.array([photograph.reduced for photograph in photographs])[photos]
    return Spots(photos, drawings, some.on, some.at, sd, some.tint)


def _fine_spots(
    setting: Setting, x: Array, photographs: list[Photograph], thrown: list[Board], sheets: Sheets, pages: tuple[int, ...], stretch: Array
) -> tuple[Spots, dict[int, float], dict[int, Lateral]]:
    """(every spot refined, blur of each photograph in px, lateral colour of each phone). `thrown`: the light's board in each."""
    fitted = frame_board(setting.size, FITTED).name
    printed = {number: sheets.boards[page] for number, page in enumerate(pages)}
    fine, blur = [], {}
    colour: dict[int, list[Lateral]] = {}
    for number, photograph in enumerate(photographs):
        blur[number] = FIRST_BLUR_PX * max(1.0, max(photograph.size) / 4000.0)
        plain = thrown[number].name == fitted
        for drawing, board in {LIGHT: thrown[number], **printed}.items():
            scale = np.ones(2) if drawing == LIGHT else stretch
            for _ in range(2):
                found, width, lateral = look_again(
                    setting, x, number, photograph, drawing, board, scale, pages, sheets.paper, blur[number], plain
                )
                if len(found) < 8 or width < 1.6 * blur[number]:
                    break
                blur[number] = width
            fine.append(found)
            if lateral is not None:
                colour.setdefault(setting.phone[number], []).append(lateral)
    spots = Spots(*(np.concatenate([getattr(part, name) for part in fine]) for name in ("photo", "drawing", "on", "at", "sd", "tint")))
    return spots, blur, {phone: mean for phone, found in colour.items() if (mean := together(found)) is not None}


def moved_between(apart: Solved, tied: tuple[int, ...]) -> Moved | None:
    """Whether the light's corners lie elsewhere in the last photograph than in an earlier one, from a solve with a stand for each."""
    setting = apart.setting
    stands = {stand: number for number, stand in enumerate(setting.stand)}
    last = max(stands)
    worst: Moved | None = None
    for stand in range(last):
        a, b = setting.lamp_at(stand)[:8], setting.lamp_at(last)[:8]
        off = (apart.x[a] - apart.x[b]).reshape(4, 2)
        spread = (
            apart.covariance[np.ix_(a, a)]
            + apart.covariance[np.ix_(b, b)]
            - apart.covariance[np.ix_(a, b)]
            - apart.covariance[np.ix_(b, a)]
        )
        far = np.linalg.norm(off, axis=1)
        sd = np.sqrt(np.diag(spread).reshape(4, 2).sum(axis=1))
        surely = (far > SURELY_SD * sd) & (far > SURELY_MM)
        if surely.any() and (worst is None or far.max() > worst.by_mm):
            worst = Moved(tied[stands[stand]], tied[stands[last]], float(far.max()))
    return worst


def _one_stand(setting: Setting, x: Array) -> Array:
    """Unknowns of a solve with many stands of the lamp for a solve with one: the corners' mean."""
    before = setting.lamp_at(0)[0]
    corners = np.mean([x[setting.lamp_at(stand)[:8]] for stand in range(max(setting.stand) + 1)], axis=0)
    return np.concatenate([x[:before], corners, x[setting.lamp_at(0)[8:]]])
