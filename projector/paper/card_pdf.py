"""The chalk card on paper: a page opens with quarters and the fold, then every piece with a small drawing and its numbers."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np

from calibration.units import Unit, length_text
from projector.garment.pieces import Garment, Piece
from projector.paper.card import CardPiece, CardPoint, Quarter, card_piece, quarters, tape_words
from projector.paper.drawing import FIRST_CUT_WORDS, cut_words, piece_words, strokes_of
from projector.paper.page import ACCENT, SHEET_MM, SOFT, Paper

MARGIN_MM = 14.0
ROW_MM = 4.4
POINT_ROW_MM = 3.7
FIGURE_MM = (52.0, 40.0)
COLUMNS, COLUMN_MM = 3, 40.5
HOW_MM = 1.45
UNIT_WORDS: Mapping[Unit, str] = {"in": "inches and eighths", "cm": "centimetres", "mm": "millimetres"}


def how_to_read(garment: Garment, unit: Unit) -> str:
    """What stands above the numbers, on paper and on the phone."""
    told = (
        f"All numbers in {UNIT_WORDS[unit]}, on the sewing line unless “cut” is said. Down is from the top of the piece, "
        "out is from its centre line (a piece away from the centre: from its inner edge). "
        "Chalk down first, square out, join: “line” with the ruler, “curve” by hand; "
        f"where its points lie more than {length_text(100.0, unit)} apart, the ruler again."
    )
    if not any(piece.first_cut for piece in garment.pieces):
        return told
    return (
        f"{told} “{FIRST_CUT_WORDS}”: this line is cut for that edge until the fitting (a circle's waist: until it has hung); "
        "“up” is above the piece's top, “back” past its centre line."
    )


@dataclass(frozen=True, slots=True)
class CardHead:
    """What stands above the numbers."""

    client: str
    order: str
    unit: Unit
    fold_words: Sequence[str] = ()
    reached: str = ""
    made: str = ""


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


def _quarter_rows(flow: _Flow, rows: Sequence[Quarter], unit: Unit) -> None:
    paper, x = flow.paper, MARGIN_MM
    columns = (0.0, 32.0, 66.0, 100.0, 134.0)
    for place, head in enumerate(("", "her girth", "plain quarter", "front, sewn", "back, sewn")):
        paper.text(head, x + columns[place], flow.y, 2.0, colour=SOFT)
    flow.y += ROW_MM + 1.0
    for row in rows:
        paper.text(row.level, x, flow.y, 2.4, bold=True)
        for place, value in enumerate((row.body_mm, row.plain_mm, row.front_mm, row.back_mm), start=1):
            paper.text(tape_words(value, unit), x + columns[place], flow.y, 2.4)
        flow.y += ROW_MM + 0.8


def _opening(flow: _Flow, garment: Garment, head: CardHead) -> None:
    paper = flow.paper
    paper.fitted(f"Chalk card – {head.client}", MARGIN_MM, flow.y + 4.0, paper.size_mm[0] - 2 * MARGIN_MM, 5.0, bold=True)
    flow.y += 13.0
    flow.y = paper.wrapped(how_to_read(garment, head.unit), MARGIN_MM, flow.y, paper.size_mm[0] - 2 * MARGIN_MM, 2.1) + 3.0
    if rows := quarters(garment):
        _quarter_rows(flow, rows, head.unit)
        flow.y += 2.0
    for line in head.fold_words:
        flow.y = paper.wrapped(line, MARGIN_MM, flow.y, paper.size_mm[0] - 2 * MARGIN_MM, 2.3)
    if head.reached:
        paper.text(f"Step reached: {head.reached}", MARGIN_MM, flow.y + 1.0, 2.4, bold=True, colour=ACCENT)
        flow.y += ROW_MM + 2.0
    flow.y += 3.0


def _table(paper: Paper, x: float, y: float, heads: Sequence[str], rows: Sequence[Sequence[str]], columns: Sequence[float]) -> float:
    for place, head in enumerate(heads):
        paper.text(head, x + columns[place], y, 1.8, colour=SOFT)
    y += ROW_MM
    for row in rows:
        for place, cell in enumerate(row):
            paper.text(cell, x + columns[place], y, 2.1, bold=place == 0)
        y += ROW_MM
    return y + 1.5


def dart_rows(card: CardPiece, unit: Unit) -> list[tuple[str, str, str]]:
    """Every corner of every dart: a mouth dart has leg, tip, leg; one inside the piece has two tips and its widest places."""
    rows = []
    for place, dart in enumerate(card.darts, start=1):
        corners = ("leg", "tip", "leg") if len(dart) == 3 else ("tip", "widest", "tip", "widest")
        for corner, point in zip(corners, dart, strict=True):
            rows.append((f"dart {place}, {corner}", *down_out(point, unit)))
    return rows


def down_out(point: CardPoint, unit: Unit) -> tuple[str, str]:
    """Both numbers of a point as the tape reads; above the top and past the centre line in words, for a tape knows no minus."""
    down, out = (tape_words(abs(value), unit) for value in (point.down_mm, point.out_mm))
    return f"{down} up" if point.down_mm < 0 else down, f"{out} back" if point.out_mm < 0 else out


def _figure(paper: Paper, piece: Piece, x: float, y: float) -> None:
    ring = np.array(piece.cut_line)
    low, high = ring.min(axis=0), ring.max(axis=0)
    scale = min(FIGURE_MM[0] / (high[0] - low[0]), FIGURE_MM[1] / (high[1] - low[1]))
    paper.strokes(strokes_of(piece), (float(x - low[0] * scale), float(y - low[1] * scale)), float(scale))


Row = tuple[str, str, str]
"""A heading (words, "", "") or a point ("", down, out); darts name their corner."""


def _edge_rows(card: CardPiece, unit: Unit) -> list[Row]:
    rows: list[Row] = []
    for edge, points in groupby(card.outline, key=lambda point: point.edge):
        how = "line" if card.straight[edge] else "curve"
        beyond = f", cut {tape_words(card.allowances[edge], unit)} beyond" if card.allowances[edge] else ""
        rows.append((edge.replace("_", " "), "", f"{how}{beyond}"))
        rows += [("", *down_out(point, unit)) for point in points]
    for edge, points in groupby(card.first, key=lambda point: point.edge):
        rows.append((edge.replace("_", " "), "", FIRST_CUT_WORDS))
        rows += [("", *down_out(point, unit)) for point in points]
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
    levels = [
        (level.name, *(tape_words(value, unit) for value in (level.down_mm, level.inner_mm, level.sewing_mm, level.cutting_mm)))
        for level in card.levels
    ]
    figures = [(words, tape_words(mm, unit)) for words, mm in card.figures]
    tables: list[tuple[Sequence[str], Sequence[Sequence[str]], Sequence[float]]] = [
        (("level", "down", "from", "sew", "cut"), levels, (0.0, 20.0, 31.0, 38.5, 49.5)),
        (("neck and armhole", ""), figures, (0.0, 30.0)),
        (("dart", "down", "out"), dart_rows(card, unit), (0.0, 24.0, 36.0)),
    ]
    left_tall = FIGURE_MM[1] + 5.0 + sum((len(rows) + 1) * ROW_MM + 1.5 for _, rows, _ in tables if rows)
    flow.need(max(left_tall, max(len(column) for column in columns) * POINT_ROW_MM + ROW_MM) + 10.0)
    paper.line([(MARGIN_MM, flow.y - 3.0), (paper.size_mm[0] - MARGIN_MM, flow.y - 3.0)], 0.2, colour=SOFT)
    paper.text(piece_words(piece), MARGIN_MM, flow.y + 2.5, 3.4, bold=True)
    paper.text(card.words, paper.size_mm[0] - MARGIN_MM, flow.y + 2.5, 2.2, align="right", colour=SOFT)
    top = flow.y + 8.0
    _figure(paper, piece, MARGIN_MM, top)
    y = top + FIGURE_MM[1] + 5.0
    for heads, rows, places in tables:
        if rows:
            y = _table(paper, MARGIN_MM, y, heads, rows, places)
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
        _piece(flow, piece, card_piece(piece, head.unit, f"{cut_words(piece)}, {piece.cloth}"), head.unit)
    return paper.finish()


def allowance_words(piece: Piece, unit: Unit) -> str:
    """`side, hem 2 · neck 3/8`: one entry for each different amount, as the tape reads."""
    told: dict[str, list[str]] = {}
    for edge in piece.edges:
        kinds = told.setdefault(tape_words(edge.allowance_mm, unit), []) if edge.allowance_mm else []
        if edge.kind not in kinds:
            kinds.append(edge.kind)
    return " · ".join(f"{', '.join(kinds)} {amount}" for amount, kinds in told.items())
