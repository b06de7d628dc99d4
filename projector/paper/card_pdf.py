"""The chalk card on paper: a page opens with quarters and the fold, then every piece with a small drawing and its numbers."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from calibration.units import Unit, length_text
from projector.garment.pieces import Garment, Piece
from projector.paper.card import CardPiece, Quarter, card_piece, quarters, tape_words
from projector.paper.drawing import cut_words, piece_words, strokes_of
from projector.paper.page import ACCENT, SHEET_MM, SOFT, Paper

MARGIN_MM = 14.0
ROW_MM = 4.4
FIGURE_MM = (58.0, 62.0)


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
    paper.text(f"Chalk card – {head.client}", MARGIN_MM, flow.y + 4.0, 5.0, bold=True)
    flow.y += 13.0
    unit_words = "inches and eighths" if head.unit == "in" else "centimetres" if head.unit == "cm" else "millimetres"
    words = (
        f"All numbers in {unit_words}, on the sewing line unless “cut” is said. Down is from the top of the piece, "
        "out is from its centre line (a piece away from the centre: from its inner edge). "
        "Chalk down first, square out, join: “line” with the ruler, “curve” by hand."
    )
    flow.y = paper.wrapped(words, MARGIN_MM, flow.y, paper.size_mm[0] - 2 * MARGIN_MM, 2.1) + 3.0
    if rows := quarters(garment):
        _quarter_rows(flow, rows, head.unit)
        flow.y += 2.0
    for line in head.fold_words:
        flow.y = paper.wrapped(line, MARGIN_MM, flow.y, paper.size_mm[0] - 2 * MARGIN_MM, 2.3)
    if head.reached:
        paper.text(f"Step reached: {head.reached}", MARGIN_MM, flow.y + 1.0, 2.4, bold=True, colour=ACCENT)
        flow.y += ROW_MM + 2.0


def _table(paper: Paper, x: float, y: float, heads: Sequence[str], rows: Sequence[Sequence[str]], columns: Sequence[float]) -> float:
    for place, head in enumerate(heads):
        paper.text(head, x + columns[place], y, 1.8, colour=SOFT)
    y += ROW_MM
    for row in rows:
        for place, cell in enumerate(row):
            paper.text(cell, x + columns[place], y, 2.1, bold=place == 0)
        y += ROW_MM
    return y + 1.5


def _outline_rows(card: CardPiece, unit: Unit) -> list[tuple[str, str, str, str, str]]:
    rows: list[tuple[str, str, str, str, str]] = []
    last = ""
    for point in card.outline:
        is_new = point.edge != last
        words = point.edge.replace("_", " ") if is_new else ""
        how = ("line" if card.straight[point.edge] else "curve") if is_new else ""
        allowance = tape_words(card.allowances[point.edge], unit) if is_new else ""
        rows.append((words, tape_words(point.down_mm, unit), tape_words(point.out_mm, unit), how, allowance))
        last = point.edge
    return rows


def _figure(paper: Paper, piece: Piece, x: float, y: float) -> None:
    ring = np.array(piece.cut_line)
    low, high = ring.min(axis=0), ring.max(axis=0)
    scale = min(FIGURE_MM[0] / (high[0] - low[0]), FIGURE_MM[1] / (high[1] - low[1]))
    paper.strokes(strokes_of(piece), (float(x - low[0] * scale), float(y - low[1] * scale)), float(scale))


def _piece(flow: _Flow, piece: Piece, card: CardPiece, unit: Unit) -> None:
    paper = flow.paper
    outline = _outline_rows(card, unit)
    levels = [
        (level.name, *(tape_words(value, unit) for value in (level.down_mm, level.inner_mm, level.sewing_mm, level.cutting_mm)))
        for level in card.levels
    ]
    darts = [("dart", *(f"{tape_words(p.down_mm, unit)} · {tape_words(p.out_mm, unit)}" for p in dart[:3])) for dart in card.darts]
    left_tall = (len(levels) + 2 + (len(darts) + 2 if darts else 0)) * ROW_MM + FIGURE_MM[1] + 6.0
    flow.need(max(left_tall, (len(outline) + 2) * ROW_MM) + 14.0)
    paper.line([(MARGIN_MM, flow.y - 4.0), (paper.size_mm[0] - MARGIN_MM, flow.y - 4.0)], 0.2, colour=SOFT)
    paper.text(piece_words(piece), MARGIN_MM, flow.y + 1.5, 3.4, bold=True)
    paper.text(card.words, paper.size_mm[0] - MARGIN_MM, flow.y + 1.5, 2.2, align="right", colour=SOFT)
    top = flow.y + 7.0
    _figure(paper, piece, MARGIN_MM, top)
    y = top + FIGURE_MM[1] + 6.0
    if levels:
        y = _table(paper, MARGIN_MM, y, ("level", "down", "from", "sew", "cut"), levels, (0.0, 26.0, 40.0, 54.0, 68.0))
    if darts:
        y = _table(paper, MARGIN_MM, y, ("down · out", "leg", "tip", "leg"), darts, (0.0, 20.0, 42.0, 64.0))
    right = MARGIN_MM + 92.0
    end = _table(paper, right, top + 2.0, ("edge", "down", "out", "", "cut beyond"), outline, (0.0, 36.0, 50.0, 64.0, 76.0))
    flow.y = max(y, end) + 6.0


def card_pdf(garment: Garment, head: CardHead, paper_name: str = "a4") -> bytes:
    """The whole card."""
    paper = Paper(SHEET_MM[paper_name], f"Chalk card for {head.client}")
    flow = _Flow(paper, f"{head.order} – {head.client} – {head.made}")
    _opening(flow, garment, head)
    for piece in garment.pieces:
        _piece(flow, piece, card_piece(piece, head.unit, f"{cut_words(piece)}, {piece.cloth}"), head.unit)
    return paper.finish()


def allowance_words(piece: Piece, unit: Unit) -> str:
    """`2 in side hem, 3/8 in neck`: one entry for each different amount."""
    told: dict[str, list[str]] = {}
    for edge in piece.edges:
        kinds = told.setdefault(length_text(edge.allowance_mm, unit), []) if edge.allowance_mm else []
        if edge.kind not in kinds:
            kinds.append(edge.kind)
    return ", ".join(f"{amount} {' '.join(kinds)}" for amount, kinds in told.items())
