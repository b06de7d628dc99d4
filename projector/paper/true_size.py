"""Pieces at true size on paper, for the day the lamp dies: whole, and tiled for A4 or Letter.

Tiles overlap by OVERLAP_MM; a cross stands on each tile's four corners and coincides with its neighbours'. The first
page of a tiled file carries bars along and across: measured with the same tape that measured the client.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil

import numpy as np
from shapely import LineString, Polygon, box, unary_union

from calibration.units import Unit
from projector.garment.pieces import Garment, Piece
from projector.paper.drawing import Stroke, bounds_of, labels_of, piece_words, strokes_of
from projector.paper.page import ACCENT, SHEET_MM, SOFT, Paper

MARGIN_MM = 12.0  # what common printers leave white, common practice, no source
OVERLAP_MM = 10.0  # enough to paste, small enough to waste little paper
BAR_X_MM, BAR_Y_MM = 150.0, 200.0
CROSS_MM = 5.0
BAR_ROOM_MM = 12.0


@dataclass(frozen=True, slots=True)
class Tile:
    """One page's window on a piece: (x0, y0, x1, y1) mm in the piece frame; row A, B, …, column 1, 2, …"""

    row: int
    column: int
    window: tuple[float, float, float, float]

    @property
    def name(self) -> str:
        """`A1`, `B3`."""
        return f"{chr(ord('A') + self.row)}{self.column + 1}"


def tiles_of(piece: Piece, paper: str) -> tuple[Tile, ...]:
    """The windows that cover the piece, row by row; a window that holds nothing of it is no page."""
    x0, y0, x1, y1 = bounds_of(piece)
    x0, y0, x1, y1 = x0 - 2.0, y0 - 2.0, x1 + 2.0, y1 + 2.0
    wide, tall = (side - 2 * MARGIN_MM for side in SHEET_MM[paper])
    tall -= 8.0  # the page's name stands below its window
    step_x, step_y = wide - OVERLAP_MM, tall - OVERLAP_MM
    columns, rows = max(1, ceil((x1 - x0 - OVERLAP_MM) / step_x)), max(1, ceil((y1 - y0 - OVERLAP_MM) / step_y))
    whole = unary_union([Polygon(piece.cut_line), *(LineString(first.points) for first in piece.first_cut)]).buffer(2.0)
    windows = (
        Tile(row, column, (x0 + column * step_x, y0 + row * step_y, x0 + column * step_x + wide, y0 + row * step_y + tall))
        for row in range(rows)
        for column in range(columns)
    )
    return tuple(tile for tile in windows if whole.intersects(box(*tile.window)))


def whole_pdf(garment: Garment, unit: Unit, client: str) -> bytes:
    """One page a piece, as large as the piece; bars below it and beside it."""
    paper = Paper((100.0, 100.0), f"Pieces for {client}")
    for piece in garment.pieces:
        x0, y0, x1, y1 = bounds_of(piece)
        left = MARGIN_MM + BAR_ROOM_MM
        size = (max(x1 - x0, BAR_X_MM) + left + MARGIN_MM, max(y1 - y0, BAR_Y_MM) + 2 * MARGIN_MM + BAR_ROOM_MM)
        paper.page(size)
        shift = (left - x0, MARGIN_MM - y0)
        paper.strokes(strokes_of(piece), shift)
        paper.labels(labels_of(piece, unit, client), shift, is_whole=True)
        _bar(paper, left, size[1] - MARGIN_MM, BAR_X_MM, along_x=True)
        _bar(paper, MARGIN_MM, MARGIN_MM, BAR_Y_MM, along_x=False)
    return paper.finish()


def _bar(paper: Paper, x: float, y: float, length: float, *, along_x: bool) -> None:
    end = (x + length, y) if along_x else (x, y + length)
    paper.line([(x, y), end], 0.4)
    for px, py in ((x, y), end):
        paper.line([(px, py - 2.0), (px, py + 2.0)] if along_x else [(px - 2.0, py), (px + 2.0, py)], 0.25)
    words = f"{length:.0f} mm"
    if along_x:
        paper.text(words, x + length / 2, y - 1.5, 2.2, align="middle")
    else:
        paper.text(words, x - 1.5, y + length / 2, 2.2, align="middle", turn_deg=-90.0)


def _cover(paper: Paper, garment: Garment, name: str, client: str) -> None:
    paper.page()
    paper.fitted(f"Pieces for {client}", MARGIN_MM, 24.0, paper.size_mm[0] - 2 * MARGIN_MM, 5.0, bold=True)
    words = (
        "Print at actual size, no fitting to the page. Measure both bars with the tape that measured the client: "
        f"{BAR_X_MM:.0f} mm across and {BAR_Y_MM:.0f} mm down. If either is off by more than 1 mm, do not cut: print again. "
        "Paste each page onto the next so that the crosses meet."
    )
    y = paper.wrapped(words, MARGIN_MM, 34.0, SHEET_MM[name][0] - 2 * MARGIN_MM, 2.2)
    _bar(paper, MARGIN_MM + 20.0, y + 8.0, BAR_X_MM, along_x=True)
    _bar(paper, MARGIN_MM + 8.0, y + 8.0, BAR_Y_MM, along_x=False)
    row = y + 22.0
    for piece in garment.pieces:
        tiles = tiles_of(piece, name)
        paper.text(piece_words(piece), MARGIN_MM + 30.0, row, 2.2)
        pages = f"{len(tiles)} pages, {tiles[0].name} to {tiles[-1].name}" if len(tiles) > 1 else f"1 page, {tiles[0].name}"
        paper.text(pages, MARGIN_MM + 100.0, row, 2.2, colour=SOFT)
        row += 5.0


def _page_map(paper: Paper, piece: Piece, strokes: tuple[Stroke, ...], tiles: tuple[Tile, ...], client: str) -> None:
    paper.page()
    windows = np.array([tile.window for tile in tiles])
    (x0, y0), (x1, y1) = windows[:, :2].min(axis=0), windows[:, 2:].max(axis=0)
    room_x, room_y = paper.size_mm[0] - 2 * MARGIN_MM, paper.size_mm[1] - 60.0
    scale = float(min(room_x / (x1 - x0), room_y / (y1 - y0), 0.5))
    shift = (MARGIN_MM - float(x0) * scale, 40.0 - float(y0) * scale)
    paper.fitted(f"{client} – {piece_words(piece)}: how the pages lie", MARGIN_MM, 24.0, room_x, 3.6, bold=True)
    paper.strokes(strokes, shift, scale)
    for tile in tiles:
        a, b, c, d = (value * scale + shift[place % 2] for place, value in enumerate(tile.window))
        paper.line([(a, b), (c, b), (c, d), (a, d)], 0.2, closed=True, colour=ACCENT)
        paper.text(tile.name, (a + c) / 2, (b + d) / 2, 3.0, align="middle", colour=ACCENT)


def _crosses(tile: Tile) -> Iterator[tuple[float, float]]:
    x0, y0, x1, y1 = tile.window
    half = OVERLAP_MM / 2
    yield from ((x, y) for x in (x0 + half, x1 - half) for y in (y0 + half, y1 - half))


def tiled_pdf(garment: Garment, unit: Unit, client: str, name: str = "a4") -> bytes:
    """All pieces on A4 or Letter pages with register crosses, a page map each and bars both ways."""
    paper = Paper(SHEET_MM[name], f"Pieces for {client}, {name.upper()} pages")
    _cover(paper, garment, name, client)
    for piece in garment.pieces:
        strokes, labels, tiles = strokes_of(piece), labels_of(piece, unit, client), tiles_of(piece, name)
        if len(tiles) > 1:
            _page_map(paper, piece, strokes, tiles, client)
        for place, tile in enumerate(tiles, start=1):
            paper.page()
            x0, y0, x1, y1 = tile.window
            shift = (MARGIN_MM - x0, MARGIN_MM - y0)
            with paper.clipped(MARGIN_MM, MARGIN_MM, MARGIN_MM + x1 - x0, MARGIN_MM + y1 - y0):
                paper.strokes(strokes, shift)
                paper.labels(labels, shift)
            for cx, cy in _crosses(tile):
                px, py = cx + shift[0], cy + shift[1]
                paper.line([(px - CROSS_MM, py), (px + CROSS_MM, py)], 0.15, colour=ACCENT)
                paper.line([(px, py - CROSS_MM), (px, py + CROSS_MM)], 0.15, colour=ACCENT)
            foot = MARGIN_MM + y1 - y0 + 6.0
            words = f"{client} – {piece_words(piece)} – {tile.name}, page {place} of {len(tiles)}"
            paper.fitted(words, MARGIN_MM, foot, paper.size_mm[0] - 2 * MARGIN_MM, 2.2, colour=SOFT)
    return paper.finish()
