"""The chalk card on paper: a page opens with quarters and the fold, then every piece with a small drawing and its numbers."""

from collections.abc import Sequence

from calibration.units import Unit
from projector.garment.pieces import Garment, Piece
from projector.paper.card import CardPiece, card_piece
from projector.paper.card_words import CardHead, Table, dart_table, figure_table, how_to_read, level_table, quarter_table, told_edges
from projector.paper.drawing import bounds_of, cut_words, piece_words, strokes_of
from projector.paper.page import ACCENT, INK, SHEET_MM, SOFT, Paper

MARGIN_MM = 14.0
ROW_MM = 4.4
POINT_ROW_MM = 3.7
FIGURE_MM = (52.0, 40.0)
COLUMNS, COLUMN_MM = 3, 40.5
HOW_MM = 1.45
LEVEL_ENDS_MM, FIGURE_ENDS_MM, DART_ENDS_MM = (29.0, 36.5, 48.0, 59.5), (38.0,), (30.0, 42.0)
"""Where each table's columns of numbers end, from the margin."""
NUMBER_MM = 9.5
"""Room for `13 5/8` and a gap before it."""


class _Flow:
    """Rows down a page; a new page when one does not fit."""

    def __init__(self, paper: Paper, title: str) -> None:
        self.paper, self.title, self.y = paper, title, 0.0
        self.page()

    def page(self) -> None:
        self.paper.page()
        self.paper.text(self.title, MARGIN_MM, 11.0, 1.8, colour=SOFT)
        self.y = 20.0

    def need(self, height_mm: float) -> None:
        if self.y + height_mm > self.paper.size_mm[1] - MARGIN_MM:
            self.page()


def _quarter_rows(flow: _Flow, table: Table) -> None:
    paper, x = flow.paper, MARGIN_MM
    columns = (0.0, 32.0, 66.0, 100.0, 134.0)
    heads, rows = table
    for place, head in enumerate(heads):
        paper.text(head, x + columns[place], flow.y, 2.0, colour=SOFT)
    flow.y += ROW_MM + 1.0
    for row in rows:
        for place, cell in enumerate(row):
            paper.text(cell, x + columns[place], flow.y, 2.4, bold=place == 0)
        flow.y += ROW_MM + 0.8


def _opening(flow: _Flow, garment: Garment, head: CardHead) -> None:
    paper = flow.paper
    paper.fitted(f"Chalk card – {head.client}", MARGIN_MM, flow.y + 4.0, paper.size_mm[0] - 2 * MARGIN_MM, 5.0, bold=True)
    flow.y += 13.0
    flow.y = paper.wrapped(how_to_read(garment, head.unit), MARGIN_MM, flow.y, paper.size_mm[0] - 2 * MARGIN_MM, 2.1) + 3.0
    quarters = quarter_table(garment, head.unit)
    if quarters[1]:
        _quarter_rows(flow, quarters)
        flow.y += 2.0
    for line in head.fold_words:
        flow.y = paper.wrapped(line, MARGIN_MM, flow.y, paper.size_mm[0] - 2 * MARGIN_MM, 2.3)
    if head.reached:
        paper.text(f"Step reached: {head.reached}", MARGIN_MM, flow.y + 1.0, 2.4, bold=True, colour=ACCENT)
        flow.y += ROW_MM + 2.0
    flow.y += 3.0


def _table(paper: Paper, x: float, y: float, table: Table, ends: Sequence[float]) -> float:
    """Names to the left, numbers to the right, each column ending so many mm from x; returns the y below."""
    heads, rows = table
    for row in (heads, *rows):
        size, colour = (1.8, SOFT) if row is heads else (2.1, INK)
        paper.fitted(row[0], x, y, ends[0] - NUMBER_MM, size, bold=row is not heads, colour=colour)
        for cell, end in zip(row[1:], ends, strict=True):
            paper.text(cell, x + end, y, size, align="right", colour=colour)
        y += ROW_MM
    return y + 1.5


def _figure(paper: Paper, piece: Piece, x: float, y: float) -> None:
    x0, y0, x1, y1 = bounds_of(piece)
    scale = min(FIGURE_MM[0] / (x1 - x0), FIGURE_MM[1] / (y1 - y0))
    paper.strokes(strokes_of(piece), (x - x0 * scale, y - y0 * scale), scale)


Row = tuple[str, str, str]
"""A heading (words, "", "") or a point ("", down, out); darts name their corner."""


def _edge_rows(card: CardPiece, unit: Unit) -> list[Row]:
    rows: list[Row] = []
    for edge in told_edges(card, unit):
        rows.append((edge.name, "", f"{edge.how}, cut {edge.beyond} beyond" if edge.beyond else edge.how))
        rows += [("", *point) for point in edge.points]
    return rows


def _columns(rows: Sequence[Row], count: int) -> list[list[Row]]:
    """The rows in columns of one length; a heading never stands alone at a column's foot."""
    columns: list[list[Row]] = [[]]
    tall = -(-len(rows) // count)
    for row in rows:
        if len(columns) < count and (len(columns[-1]) >= tall or (row[0] and len(columns[-1]) >= tall - 1)):
            columns.append([])
        columns[-1].append(row)
    return columns


def _point_columns(paper: Paper, columns: Sequence[Sequence[Row]], x: float, y: float) -> float:
    deepest = y
    for place, column in enumerate(columns):
        left, row_y = x + place * COLUMN_MM, y
        for words, down, out in column:
            if words:
                _edge_heading(paper, words, out, left, row_y)
            else:
                paper.text(down, left + 14.0, row_y, 2.1, align="right")
                paper.text(out, left + 30.0, row_y, 2.1, align="right")
            row_y += POINT_ROW_MM
        deepest = max(deepest, row_y)
    return deepest


def _edge_heading(paper: Paper, words: str, how: str, x: float, y: float) -> None:
    """An edge's name and how it is drawn and cut; a long name made smaller, so that the next column stays free."""
    wide = paper.width_mm(how, HOW_MM)
    room = COLUMN_MM - 2.0 - 2.0 - wide
    paper.fitted(words, x, y, room, 2.0, bold=True)
    paper.text(how, x + min(max(16.0, paper.width_mm(words, 2.0, bold=True) + 2.0), room + 2.0), y, HOW_MM, colour=SOFT)


def _piece(flow: _Flow, piece: Piece, card: CardPiece, unit: Unit) -> None:
    paper = flow.paper
    columns = _columns(_edge_rows(card, unit), COLUMNS)
    tables = [(level_table(card, unit), LEVEL_ENDS_MM), (figure_table(card, unit), FIGURE_ENDS_MM), (dart_table(card, unit), DART_ENDS_MM)]
    shown = [(table, ends) for table, ends in tables if table[1]]
    left_tall = FIGURE_MM[1] + 5.0 + sum((len(rows) + 1) * ROW_MM + 1.5 for (_, rows), _ in shown)
    flow.need(max(left_tall, max(len(column) for column in columns) * POINT_ROW_MM + ROW_MM) + 10.0)
    paper.line([(MARGIN_MM, flow.y - 3.0), (paper.size_mm[0] - MARGIN_MM, flow.y - 3.0)], 0.2, colour=SOFT)
    paper.text(piece_words(piece), MARGIN_MM, flow.y + 2.5, 3.4, bold=True)
    paper.text(f"{cut_words(piece)}, {piece.cloth}", paper.size_mm[0] - MARGIN_MM, flow.y + 2.5, 2.2, align="right", colour=SOFT)
    top = flow.y + 8.0
    _figure(paper, piece, MARGIN_MM, top)
    y = top + FIGURE_MM[1] + 5.0
    for table, ends in shown:
        y = _table(paper, MARGIN_MM, y, table, ends)
    right = MARGIN_MM + 62.0
    for place in range(len(columns)):
        paper.text("down", right + place * COLUMN_MM + 14.0, top, 1.7, colour=SOFT, align="right")
        paper.text("out", right + place * COLUMN_MM + 30.0, top, 1.7, colour=SOFT, align="right")
    flow.y = max(y, _point_columns(paper, columns, right, top + ROW_MM)) + 5.0


def card_pdf(garment: Garment, head: CardHead, paper_name: str = "a4") -> bytes:
    """The whole card."""
    paper = Paper(SHEET_MM[paper_name], f"Chalk card for {head.client}")
    flow = _Flow(paper, f"{head.order} – {head.client} – {head.made}")
    _opening(flow, garment, head)
    for piece in garment.pieces:
        _piece(flow, piece, card_piece(piece, head.unit), head.unit)
    return paper.finish()
