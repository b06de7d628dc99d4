"""The printed sheets: layout of a page, sheets.pdf (vector), sheet-N.png (the same picture), sheets.json.

Millimetres from the page's lower-left corner, y up. A page holds a coded board of 24 mm squares, a bar along its width and
one along its height for the tape, its page number, and three lines of instruction.
"""

import json
from dataclasses import dataclass
from math import ceil
from pathlib import Path
from typing import Any, Literal, get_args

import numpy as np

from calibration.arrays import Array
from calibration.board import PAGES, Board, bits_of, dark_square, page_name
from calibration.errors import WrongInput
from calibration.units import MM_PER_INCH

Paper = Literal["a4", "letter"]
PAPERS: tuple[Paper, ...] = get_args(Paper)
PAGE_MM: dict[Paper, tuple[float, float]] = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""ISO 216 A4; ANSI/ASME Y14.1 size A, 8.5 x 11 in."""

SQUARE_MM = 24.0
FIRST_MM = 16.0  # from the page's left and upper edge to the first saddles
RIM_MM = 9.0  # half squares round the board, so that the outermost saddles are saddles too; 7 mm of margin for the printer
COLUMNS = 8
ROWS: dict[Paper, int] = {"a4": 11, "letter": 10}
BAR_MM = 3.0  # thickness
BAR_X_MM = 180.0
BAR_Y_MM: dict[Paper, float] = {"a4": 250.0, "letter": 230.0}
TEXT_MM = 3.0  # letter height of the instructions (font size)

INSTRUCTIONS = (
    "Print at actual size (100 %, no fitting to the page), on matt paper; do not laminate. Every page has its own number.",
    "Lay the pages flat near the corners of the light, one of them crosswise. Photograph the whole light with all pages.",
    "Lay your tape along both black bars, end to end, and keep what it reads: it proves the printer.",
)

Rectangle = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text: lower-left start of its base line and font size, mm; turned a quarter counter-clockwise if `up`."""

    x: float
    y: float
    size: float
    text: str
    up: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Page:
    """Everything drawn on one page, mm from its lower-left corner."""

    number: int
    paper: Paper
    board: Board
    bars: tuple[Rectangle, Rectangle]
    texts: tuple[Text, ...]

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height of the page."""
        return PAGE_MM[self.paper]

    def squares(self) -> list[Rectangle]:
        """Dark squares and half squares, (x0, y0, x1, y1)."""
        xs = _with_rim(self.board.spots[0, :, 0])
        ys = _with_rim(self.board.spots[:, 0, 1])
        return [
            (float(xs[column]), float(ys[row + 1]), float(xs[column + 1]), float(ys[row]))
            for row in range(len(ys) - 1)
            for column in range(len(xs) - 1)
            if dark_square(row - 1, column - 1)
        ]


def _with_rim(lines: Array) -> Array:
    step = RIM_MM * np.sign(lines[1] - lines[0])
    return np.concatenate([[lines[0] - step], lines, [lines[-1] + step]])


def board_of(paper: Paper, number: int) -> Board:
    """The board of a page; spots in mm from the lower-left corner, row 0 at the top."""
    rows = ROWS[paper]
    x = FIRST_MM + SQUARE_MM * np.arange(COLUMNS)
    y = PAGE_MM[paper][1] - FIRST_MM - SQUARE_MM * np.arange(rows)
    name = page_name(paper, number)
    return Board(name, np.stack(np.meshgrid(x, y), axis=2), bits_of(name, rows - 1, COLUMNS - 1))


def page_of(paper: Paper, number: int, pages: int = PAGES) -> Page:
    """Lay out page `number` of `pages`."""
    width, height = PAGE_MM[paper]
    left, low = (width - BAR_X_MM) / 2.0, 22.0
    bar_x = (left, low, left + BAR_X_MM, low + BAR_MM)
    side = (FIRST_MM + SQUARE_MM * (COLUMNS - 1) + RIM_MM + width) / 2.0 - 1.0
    up = (height - BAR_Y_MM[paper]) / 2.0 + 4.0
    bar_y = (side - BAR_MM / 2, up, side + BAR_MM / 2, up + BAR_Y_MM[paper])
    lines = [Text(left, 16.5 - 4.2 * index, TEXT_MM, line) for index, line in enumerate(INSTRUCTIONS)]
    lines.append(Text(left, low + 4.5, TEXT_MM, f"Bar along the width: {BAR_X_MM:g} mm. Measure from end to end."))
    lines.append(Text(left + 92.0, low + 4.5, TEXT_MM, f"Bar along the height: {BAR_Y_MM[paper]:g} mm."))
    lines.append(Text(left + 150.0, low + 4.2, 4.5, f"Page {number} of {pages}"))
    return Page(number, paper, board_of(paper, number), (bar_x, bar_y), tuple(lines))


def spot_id(page: int, row: int, column: int) -> str:
    """`3-04-07`: page, row from the top, column from the left, rows and columns counted from 1."""
    return f"{page}-{row + 1:02d}-{column + 1:02d}"


WHOLE_PX: dict[Paper, tuple[int, int]] = {"a4": (70, 99), "letter": (17, 22)}
"""Sides of the papers in whole numbers: a picture of a multiple of these is the page exactly, edge on edge, in both directions."""


def page_px(paper: Paper, dpi: float) -> tuple[int, int]:
    """Width and height of the whole page in px: the smallest exact picture that is as fine as `dpi` or finer."""
    across, down = WHOLE_PX[paper]
    times = max(1, ceil(dpi * PAGE_MM[paper][0] / MM_PER_INCH / across - 1e-9))
    return across * times, down * times


def sheets_json(pages: list[Page], dpi: float) -> dict[str, Any]:
    """The content of sheets.json."""
    first = pages[0]
    return {
        "format": 1,
        "page_mm": list(first.size_mm),
        "png_mm_per_px": first.size_mm[0] / page_px(first.paper, dpi)[0],
        "bars_mm": {"x": BAR_X_MM, "y": BAR_Y_MM[first.paper]},
        "sheets": [
            {
                "page": page.number,
                "png": f"sheet-{page.number}.png",
                "spots": [
                    {"id": spot_id(page.number, row, column), "at": [float(x), float(y)]}
                    for row, line in enumerate(page.board.spots)
                    for column, (x, y) in enumerate(line)
                ],
            }
            for page in pages
        ],
    }


@dataclass(frozen=True, slots=True, eq=False)
class Sheets:
    """sheets.json as the solver needs it."""

    paper: Paper
    bars_mm: tuple[float, float]
    boards: dict[int, Board]


def read_sheets(path: Path) -> Sheets:
    """Read sheets.json. Raises WrongInput when it is not one of ours."""
    try:
        told = json.loads(path.read_text(encoding="utf-8"))
        width, height = (float(number) for number in told["page_mm"])
        bars = (float(told["bars_mm"]["x"]), float(told["bars_mm"]["y"]))
        pages = {int(sheet["page"]): {str(spot["id"]): spot["at"] for spot in sheet["spots"]} for sheet in told["sheets"]}
    except OSError as error:
        raise WrongInput(
            f"{path.name} cannot be opened.", str(error.strerror or error), "Name the sheets.json that `calibration sheet` wrote."
        ) from error
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        raise _not_ours(path, f"{type(error).__name__}: {error}") from error
    papers = [paper for paper in PAPERS if np.allclose(PAGE_MM[paper], (width, height), atol=0.5)]
    if not papers or not pages or not all(1 <= page <= PAGES for page in pages):
        raise _not_ours(path, f"A page of {width:g} x {height:g} mm with the numbers {sorted(pages)} is not one of these sheets.")
    return Sheets(papers[0], bars, {page: _board_from(path, papers[0], page, spots) for page, spots in pages.items()})


def _board_from(path: Path, paper: Paper, page: int, spots: dict[str, Any]) -> Board:
    drawn = board_of(paper, page)
    rows, columns = drawn.shape
    try:
        at = [[spots[spot_id(page, row, column)] for column in range(columns)] for row in range(rows)]
        return Board(drawn.name, np.array(at, dtype=np.float64).reshape(rows, columns, 2), drawn.bits)
    except (KeyError, ValueError, TypeError) as error:
        raise _not_ours(path, f"Page {page} lacks the spot {error}.") from error


def _not_ours(path: Path, why: str) -> WrongInput:
    return WrongInput(f"{path.name} cannot be read as sheets.json.", why, "Name the sheets.json that `calibration sheet` wrote.")
