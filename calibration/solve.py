"""Photographs to a table: find, rough solve, look again, joint solve, hang the frame, judge."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from calibration.board import Board
from calibration.find import Seen, find_boards, kind_pictures
from calibration.fine import look_again
from calibration.frame import frame_board
from calibration.joint import Solved, rough_fit, solve_joint
from calibration.photograph import Photograph, read_photograph
from calibration.rough import gather, placed_maps, setting_of, start
from calibration.saddles import Array
from calibration.sheets import Sheets
from calibration.unknowns import LIGHT, Spots

FIRST_BLUR_PX = 1.5


@dataclass(frozen=True, slots=True, eq=False)
class Look:
    """One photograph and the boards found in it."""

    photograph: Photograph
    printed: list[Seen]
    light: list[Seen]


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


def look_at(path: Path, sheets: Sheets, size: tuple[int, int]) -> Look:
    """Read a photograph and find its boards."""
    photograph = read_photograph(path)
    pictures = kind_pictures(photograph.small)
    printed = find_boards(photograph, pictures, "printed", list(sheets.boards.values()), mirrors=False)
    light = find_boards(photograph, pictures, "light", [frame_board(size)], mirrors=True)
    return Look(photograph, printed, light)


def work_out(looks: list[Look], sheets: Sheets, size: tuple[int, int], stretch: Array) -> Work | None:
    """Solve from what was found; None when nothing ties the light to a sheet."""
    page_of_board = {board.name: page for page, board in sheets.boards.items()}
    pages, rough = gather([look.printed + look.light for look in looks], page_of_board, stretch)
    if not pages:
        return None
    pictures, drawings = placed_maps(rough)
    if LIGHT not in drawings or not pictures:
        return None
    pages = tuple(page for number, page in enumerate(pages) if number in drawings)
    tied = tuple(sorted(pictures))
    photographs = [looks[number].photograph for number in tied]
    setting = setting_of(size, photographs, len(pages))
    renumber = np.full(len(looks), -1)
    renumber[list(tied)] = np.arange(len(tied))
    kept = (renumber[rough.photo] >= 0) & (rough.drawing < len(pages))
    some = rough.chosen(kept)
    reduced = np.array([photo.reduced for photo in photographs])
    photo = renumber[some.photo]
    spots = Spots(photo, some.drawing, some.on, some.at, 0.35 * reduced[photo])
    x, prior = start(setting, photographs, {n: pictures[number] for n, number in enumerate(tied)}, drawings)
    x, _ = rough_fit(setting, spots, x, prior)
    boards: dict[int, Board] = {LIGHT: frame_board(size), **{number: sheets.boards[page] for number, page in enumerate(pages)}}
    fine, blur = [], {}
    for number, photograph in enumerate(photographs):
        blur[number] = FIRST_BLUR_PX * max(1.0, max(photograph.size) / 4000.0)
        for drawing, board in boards.items():
            scale = np.ones(2) if drawing == LIGHT else stretch
            for _ in range(2):
                found, width = look_again(setting, x, number, photograph, drawing, board, scale, pages, sheets.paper, blur[number])
                if len(found) < 8 or width < 1.6 * blur[number]:
                    break
                blur[number] = width
            fine.append(found)
    spots = Spots(*(np.concatenate([getattr(part, name) for part in fine]) for name in ("photo", "drawing", "on", "at", "sd")))
    if not len(spots):
        return None
    solved = solve_joint(setting, spots, x, prior)
    return Work(looks, size, sheets, stretch, pages, tied, solved, blur)
