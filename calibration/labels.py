"""Table spots: small coded labels, cut out and stuck to the table, that stay when sheets and cloth are gone.

A label is a board of 7 x 7 saddles, 13 mm apart; the spot is its middle saddle, on which a cross of light can be laid by eye.
Spot ids: label n is n. A whole printed page that was stuck down serves as well: its four outermost saddles are spots
100 p + 1 … 4 (A4) or 1000 + 100 p + 1 … 4 (Letter), p the page, counted from the upper left with the clock.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from calibration.board import PAGES, Board, bits_of, dark_square
from calibration.sheets import PAGE_MM, PAPERS, Paper, Rectangle, Text, board_of

FIRST_OF_PAGES = 100
"""Ids of spots below it are labels, the others corners of stuck pages."""
LABELS = 12
LABELS_ON_PAGE = 6
SADDLES = 7
SQUARE_MM = 13.0
RIM_MM = 5.0
LABEL_MM = SQUARE_MM * (SADDLES - 1) + 2 * RIM_MM
TEXT_MM = 3.0
TITLE = "Table spots. Print at actual size, cut out, stick flat to the table inside the light, near its edge; six or more, well apart."


@lru_cache(maxsize=LABELS)
def label_board(number: int) -> Board:
    """The board of label `number`; spots in mm from its middle, y up, row 0 at the top."""
    step = SQUARE_MM * (np.arange(SADDLES) - (SADDLES - 1) / 2)
    name = f"table spot {number}"
    return Board(name, np.stack(np.meshgrid(step, -step), axis=2), bits_of(name, SADDLES - 1, SADDLES - 1))


def label_boards() -> dict[int, Board]:
    """Every label by its number."""
    return {number: label_board(number) for number in range(1, LABELS + 1)}


def stuck_pages() -> dict[int, Board]:
    """Every page that may be stuck down, by the base of its four spot ids."""
    return {
        (1000 if paper == "letter" else 0) + 100 * page: board_of(paper, page) for paper in PAPERS for page in range(1, PAGES + 1)
    }  # fmt: skip


@dataclass(frozen=True, slots=True)
class ManyDots:
    """The dots of several boards on one page."""

    boards: tuple[Board, ...]

    def dots(self) -> list[tuple[float, float, float, bool]]:
        """(x, y, radius, dark) of every dot."""
        return [dot for board in self.boards for dot in board.dots()]


@dataclass(frozen=True, slots=True, eq=False)
class LabelPage:
    """One page of labels, drawn like a sheet: mm from its lower-left corner."""

    number: int
    paper: Paper
    board: ManyDots
    middles: tuple[tuple[float, float], ...]
    texts: tuple[Text, ...]
    bars: tuple[Rectangle, ...] = ()

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height of the page."""
        return PAGE_MM[self.paper]

    def squares(self) -> list[Rectangle]:
        """Dark squares and half squares of every label, (x0, y0, x1, y1)."""
        lines = SQUARE_MM * (np.arange(SADDLES) - (SADDLES - 1) / 2)
        edges = np.concatenate([[lines[0] - RIM_MM], lines, [lines[-1] + RIM_MM]])
        return [
            (float(x + edges[column]), float(y - edges[row + 1]), float(x + edges[column + 1]), float(y - edges[row]))
            for x, y in self.middles
            for row in range(SADDLES + 1)
            for column in range(SADDLES + 1)
            if dark_square(row - 1, column - 1)
        ]


def label_pages(paper: Paper) -> list[LabelPage]:
    """Two pages of six labels."""
    width, height = PAGE_MM[paper]
    across = [width / 2 - LABEL_MM / 2 - 4.0, width / 2 + LABEL_MM / 2 + 4.0]
    free = (height - 12.0 - 3 * LABEL_MM) / 3
    down = [height - 6.0 - free * row - LABEL_MM * (row + 0.5) for row in range(3)]
    pages = []
    for page in range(LABELS // LABELS_ON_PAGE):
        middles = tuple((x, y) for y in down for x in across)
        numbers = range(page * LABELS_ON_PAGE + 1, (page + 1) * LABELS_ON_PAGE + 1)
        boards = tuple(
            Board(b.name, b.spots + np.array(middle), b.bits) for b, middle in zip(map(label_board, numbers), middles, strict=True)
        )
        texts = [
            Text(x - LABEL_MM / 2 + RIM_MM, y - LABEL_MM / 2 - TEXT_MM - 0.5, TEXT_MM, f"Spot {n}")
            for n, (x, y) in zip(numbers, middles, strict=True)
        ]
        texts.append(Text(across[0] - LABEL_MM / 2, 6.0, 2.6, TITLE))
        pages.append(LabelPage(page + 1, paper, ManyDots(boards), middles, tuple(texts)))
    return pages
