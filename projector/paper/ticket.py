"""The order's ticket: one or two pages that hang beside the table.

First page: sketch, measures (worked-out ones marked), cloth needed, how to fold, cut list. Second page: the order of cuts
with small pictures, tags to tick, warnings, space to write. Everything comes in as data; nothing is worked out here.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import product

import numpy as np
from shapely import Point, Polygon

from calibration.units import Unit, cloth_text, length_text
from projector.garment.pieces import Garment, Line
from projector.lay.bias import drawn_lays
from projector.lay.fold_drawing import fold_steps
from projector.lay.lay import Lay, Placed
from projector.lay.needs import taken_mm
from projector.lay.refusals import PLAN_WORDS
from projector.paper.card_words import UNIT_WORDS, allowance_words
from projector.paper.drawing import cut_words, piece_words
from projector.paper.figure import Figure
from projector.paper.figure_pdf import draw
from projector.paper.fold_figure import fold_figure
from projector.paper.lay_figure import add_length, lengths_of
from projector.paper.page import ACCENT, SHEET_MM, SOFT, Paper
from projector.steps.step import Step

MARGIN_MM = 14.0
GUTTER_MM = 8.0
ROW_MM = 4.3
WORKED_OUT = "°"
DENSITIES = ((7, 17.0), (9, 13.0), (11, 9.5), (13, 7.0))
"""Columns and height (mm) of the small pictures: the first with which all goes on MOST_PAGES."""
MOST_PAGES = 2
ROOM_FOR_WORDS_MM = 15.0
"""Under a small picture: four lines of 1.6 mm capitals."""
MIN_FIGURE_MM = 30.0
SMALL_PEN_MM, NUMBER_MM = 0.2, 4.4
"""In the small lays: width of a piece's line, and room for a number of two figures."""
FOLD_SCALES = (0.065, 0.1)
"""Of a drawing that tells how to fold: its least words 1.4 mm high, and large enough."""
SHOWN_OPS = ("fold", "cut", "fuse")  # what the hands do with blades; the table shows the steps between


@dataclass(frozen=True, slots=True)
class TicketMeasure:
    """A measure as it is said, and whether it was worked out instead of measured."""

    words: str
    mm: float
    is_worked_out: bool


@dataclass(frozen=True, slots=True)
class Ticket:
    """What the ticket shows. `sketch`: lines by view name (front, back), y down, any scale. `costs`: words by cloth."""

    client: str
    order: str
    unit: Unit
    made: str
    style_words: str
    measures: Sequence[TicketMeasure]
    garment: Garment
    lay: Lay | None = None
    steps: Sequence[Step] = ()
    sketch: Mapping[str, Sequence[Line]] = field(default_factory=dict)
    costs: Mapping[str, str] = field(default_factory=dict)
    fold_words: Sequence[str] = ()
    warnings: Sequence[str] = ()


def _heading(paper: Paper, words: str, x: float, y: float, wide: float) -> float:
    paper.line([(x, y), (x + wide, y)], 0.25, colour=SOFT)
    paper.text(words, x, y + 5.0, 2.7, bold=True, colour=ACCENT)
    return y + 10.0


def _sketch(paper: Paper, views: Mapping[str, Sequence[Line]], box: tuple[float, float, float, float]) -> float:
    """Both views side by side; returns the y below them."""
    x, y, wide, most = box
    share = wide / max(len(views), 1)  # room for one view
    points = [np.vstack([np.array(line) for line in lines]) for lines in views.values() if lines]
    if not points:
        return y
    spans = [np.ptp(view, axis=0) for view in points]
    scale = min((share - 4.0) / max(span[0] for span in spans), (most - 6.0) / max(span[1] for span in spans))
    tall = float(max(span[1] for span in spans) * scale)
    for place, (name, lines) in enumerate(views.items()):
        low, high = points[place].min(axis=0), points[place].max(axis=0)
        left = x + share * (place + 0.5) - (low[0] + high[0]) / 2 * scale
        for line in lines:
            paper.line([(px * scale + left, (py - low[1]) * scale + y) for px, py in line], 0.3)
        paper.text(name, x + share * (place + 0.5), y + tall + 5.0, 2.0, align="middle", colour=SOFT)
    return y + tall + 10.0


def _measures(paper: Paper, ticket: Ticket, x: float, y: float, wide: float) -> float:
    if not ticket.measures:  # her own paper blocks are cut as they are
        return y
    y = _heading(paper, "Measures", x, y, wide)
    for row in ticket.measures:
        words = row.words + (f" {WORKED_OUT}" if row.is_worked_out else "")
        paper.text(words, x, y, 2.1, colour=SOFT if row.is_worked_out else (0.11, 0.11, 0.12))
        paper.text(length_text(row.mm, ticket.unit), x + wide, y, 2.1, align="right")
        y += ROW_MM
    if any(row.is_worked_out for row in ticket.measures):
        paper.text(f"{WORKED_OUT} worked out, not measured", x, y + 0.5, 1.8, colour=SOFT)
        y += ROW_MM
    return y + 2.0


def _cloths(paper: Paper, ticket: Ticket, x: float, y: float, wide: float) -> float:
    if ticket.lay is None:
        return y
    y = _heading(paper, "Cloth needed", x, y, wide)
    for one in ticket.lay.lays:
        amount = cloth_text(taken_mm(one))
        paper.text(one.cloth.name, x, y, 2.3, bold=True)
        paper.text(amount, x + wide, y, 2.3, align="right")
        y += ROW_MM
        words = f"{length_text(one.cloth.width_mm, ticket.unit)} wide, {PLAN_WORDS[one.plan]}"
        cost = ticket.costs.get(one.cloth.name, "")
        strips = f"{cloth_text(one.binding.extra_mm)} of it for bias strips" if one.binding and one.binding.extra_mm else ""
        paper.fitted(", ".join(each for each in (words, strips, cost) if each), x, y, wide, 1.9, colour=SOFT)
        y += ROW_MM + 0.8
    return y + 1.0


def _small_lay(paper: Paper, lay: Lay, box: tuple[float, float, float, float], numbers: Mapping[str, int]) -> float:
    """The lay in small: cloth, pieces with their numbers, folds as a heavy line; returns the height used (mm)."""
    x, y, wide, most = box
    lengths = list(lengths_of(lay))
    scale = min(min(wide / (x1 - x0), most / (y1 - y0)) for x0, y0, x1, y1 in (length.box for length in lengths))
    top = y
    for length in lengths:
        x0, y0, _, y1 = length.box
        figure = Figure()
        add_length(figure, replace(length, lay=replace(length.lay, parts=())), (0.0, 0.0), (), SMALL_PEN_MM / scale)
        draw(paper, figure, (x, top), scale)
        told: list[Polygon] = []
        for placed, _ in length.lying:
            at = _number_place(placed, scale, told)
            told.append(Point(at).buffer(NUMBER_MM / 2 / scale))
            px, py = x + (at[0] - x0) * scale, top + (y1 - at[1]) * scale
            paper.text(str(numbers.get(placed.piece, "")), px, py + 0.9, 1.8, align="middle", bold=True)
        top += (y1 - y0) * scale + 4.0
    return top - y


def _number_place(placed: Placed, scale: float, told: Sequence[Polygon]) -> tuple[float, float]:
    """Where a piece's number stands on it (cloth frame): in its middle; beside it where another number stands already."""
    shape = Polygon(placed.outline)
    inside, step = shape.representative_point(), NUMBER_MM / scale
    places = [(inside.x + dx * step, inside.y + dy * step) for dx, dy in ((0, 0), (1, 0), (-1, 0), (0, 1), (0, -1))]
    free = [at for at in places if shape.contains(Point(at)) and not any(Point(at).buffer(step / 2).intersects(other) for other in told)]
    return (free or places)[0]


def _folds(paper: Paper, ticket: Ticket, x: float, y: float, wide: float, is_drawn: bool) -> float:
    if ticket.lay is None:
        return y
    y = _heading(paper, "How to fold and lay (heavy line: the fold)", x, y, wide)
    for words in ticket.fold_words:
        y = paper.wrapped(words, x, y, wide, 2.0)
    y += 2.0 if ticket.fold_words else 0.0
    whole = {one.cloth.name for one in ticket.lay.lays}  # bias strips beside the pieces are drawn, those beyond them told
    lays = [one for one in drawn_lays(ticket.lay) if one.cloth.name in whole]
    across = min(len(lays), 3)
    share = (wide - GUTTER_MM * (across - 1)) / across
    tall = max(MIN_FIGURE_MM, min(46.0, paper.size_mm[1] - MARGIN_MM - y - 8.0))
    for row in range(0, len(lays), across):
        heights = []
        for column, one in enumerate(lays[row : row + across]):
            left = x + column * (share + GUTTER_MM)
            paper.text(one.cloth.name, left, y + 1.0, 2.0, bold=True)
            heights.append(_small_lay(paper, one, (left, y + 3.0, share, tall), _numbers(ticket.garment)))
        y += max(heights) + 6.0
    return _how_to_fold(paper, ticket, x, y, wide) if is_drawn else y


def _how_to_fold(paper: Paper, ticket: Ticket, x: float, y: float, wide: float) -> float:
    """The folding drawn, each way of folding once, side by side; at the head of a new page where too little of this one is left."""
    figures = _foldings(ticket)
    if not figures:
        return y
    beside = max(1, int(wide / (FOLD_SCALES[0] * max(figure.width_mm for figure in figures))))
    rows = [figures[first : first + beside] for first in range(0, len(figures), beside)]
    fits = min([FOLD_SCALES[1], *(wide / sum(figure.width_mm for figure in row) for row in rows)])
    tall = sum(_tallest(row) for row in rows)
    scale = min(fits, (paper.size_mm[1] - MARGIN_MM - y) / tall)
    if scale < FOLD_SCALES[0]:
        paper.page()
        y, scale = MARGIN_MM + 4.0, fits
    for row in rows:
        left = x
        for figure in row:
            draw(paper, figure, (left, y), scale)
            left += figure.width_mm * scale
        y += _tallest(row) * scale
    return y


def _tallest(row: Sequence[Figure]) -> float:
    return max(figure.height_mm for figure in row)


def _foldings(ticket: Ticket) -> list[Figure]:
    """A drawing for each way of folding, named by the cloths that are folded so."""
    alike: dict[tuple[str, ...], list[Lay]] = {}
    for one in ticket.lay.lays if ticket.lay else ():
        if one.plan != "open":
            alike.setdefault((one.plan, *(step.words for step in fold_steps(one, ticket.unit))), []).append(one)
    named = [(lays[0], ", ".join(one.cloth.name for one in lays)) for lays in alike.values()]
    return [fold_figure(replace(one, others={}, cloth=replace(one.cloth, name=name)), ticket.unit) for one, name in named]


def _cut_list_mm(ticket: Ticket) -> float:
    return (len(ticket.garment.pieces) + 3) * ROW_MM


def _numbers(garment: Garment) -> dict[str, int]:
    """The number on each piece's tag, as the steps count them."""
    return {piece.name: number for number, piece in enumerate(garment.pieces, start=1)}


def _layers(ticket: Ticket, piece: str) -> str:
    """`2 layers`: how many lie under the shears when it is cut."""
    counts = {placed.plies for one in (ticket.lay.lays if ticket.lay else ()) for placed in one.placed if placed.piece == piece}
    return " or ".join(f"{count} layer{'s' if count > 1 else ''}" for count in sorted(counts))


def _cut_list(paper: Paper, ticket: Ticket, x: float, y: float, wide: float) -> float:
    y = _heading(paper, f"Cut list: tag, piece, layers, allowances in {UNIT_WORDS[ticket.unit]}", x, y, wide)
    for name, number in _numbers(ticket.garment).items():
        piece = ticket.garment.piece(name)
        paper.line([(x, y - 2.4), (x + 2.6, y - 2.4), (x + 2.6, y + 0.2), (x, y + 0.2)], 0.2, closed=True)
        paper.text(str(number), x + 8.4, y, 2.1, bold=True, align="right")
        paper.text(piece_words(piece), x + 10.5, y, 2.1, bold=True)
        paper.text(f"{cut_words(piece)} – {piece.cloth}", x + 55.0, y, 2.1)
        paper.text(_layers(ticket, name), x + 102.0, y, 2.1)
        paper.fitted(allowance_words(piece, ticket.unit), x + 117.0, y, wide - 117.0, 1.6, colour=SOFT)
        y += ROW_MM
        if y > paper.size_mm[1] - MARGIN_MM:
            paper.page()
            y = MARGIN_MM + 6.0
    return y + 2.0


def _step_picture(paper: Paper, step: Step, box: tuple[float, float, float, float]) -> None:
    x, y, wide, tall = box
    lines = [line for line in step.lines if line.kind in ("cut", "sew", "fold", "cloth", "dart", "notch", "point") and len(line.mm) > 1]
    if not lines:
        return
    points = np.vstack([np.array(line.mm) for line in lines])
    low, span = points.min(axis=0), np.ptp(points, axis=0)
    scale = min(wide / max(span[0], 1.0), tall / max(span[1], 1.0))
    for line in lines:
        is_now = line.when == "now"
        at = [(x + (px - low[0]) * scale, y + tall - (py - low[1]) * scale) for px, py in line.mm]
        paper.line(
            at,
            0.55 if is_now else 0.15,
            closed=line.closed,
            dash_mm=None if is_now else (0.8, 0.6),
            colour=(0.11, 0.11, 0.12) if is_now else SOFT,
        )


def _steps(paper: Paper, ticket: Ticket, place: tuple[float, float, float], density: tuple[int, float]) -> float:
    x, y, wide = place
    y = _heading(paper, "Order of work", x, y, wide)
    columns, picture_tall = density
    share = wide / columns
    row_tall = picture_tall + ROOM_FOR_WORDS_MM
    below = y
    shown = [(number, step) for number, step in enumerate(ticket.steps, start=1) if step.op in SHOWN_OPS and step.lines]
    for shown_place, (number, step) in enumerate(shown):
        column = shown_place % columns
        if column == 0 and shown_place:
            y = below + 2.0
        if y + row_tall > paper.size_mm[1] - MARGIN_MM:
            paper.page()
            y = MARGIN_MM + 4.0
        left = x + column * share
        _step_picture(paper, step, (left, y, share - 6.0, picture_tall))
        words_end = paper.wrapped(f"{number}. {step.title}", left, y + picture_tall + 3.5, share - 2.0, 1.6)
        below = max(below if column else y, words_end)
    return below + 2.0


def _closing(paper: Paper, ticket: Ticket, x: float, y: float, wide: float) -> None:
    if ticket.warnings:
        if y > paper.size_mm[1] - 60.0:
            paper.page()
            y = MARGIN_MM + 4.0
        y = _heading(paper, "Before you cut", x, y, wide)
        for words in ticket.warnings:
            y = paper.wrapped(f"• {words}", x, y, wide, 2.0)
    if y > paper.size_mm[1] - 36.0:
        paper.page()
        y = MARGIN_MM + 4.0
    y = _heading(paper, "Notes", x, y, wide) + 4.0
    for rule in np.arange(y, min(paper.size_mm[1] - MARGIN_MM, y + 48.0), 8.0):
        paper.line([(x, float(rule)), (x + wide, float(rule))], 0.12, colour=SOFT)


def ticket_pdf(ticket: Ticket, paper_name: str = "a4") -> bytes:
    """The whole ticket as PDF bytes, on two pages: with smaller pictures where that is needed, at last without the folding drawn."""
    for is_drawn, density in product((True, False), DENSITIES):
        paper = _written(ticket, paper_name, density, is_drawn)
        if paper.pages <= MOST_PAGES:
            break
    return paper.finish()


def _written(ticket: Ticket, paper_name: str, density: tuple[int, float], is_drawn: bool) -> Paper:
    paper = Paper(SHEET_MM[paper_name], f"{ticket.order}: {ticket.client}")
    paper.page()
    wide = paper.size_mm[0] - 2 * MARGIN_MM
    aside = max(paper.width_mm(ticket.order, 2.4), paper.width_mm(ticket.made, 1.8)) + GUTTER_MM
    paper.fitted(ticket.client, MARGIN_MM, 20.0, wide - aside, 5.5, bold=True)
    paper.text(ticket.order, MARGIN_MM + wide, 20.0, 2.4, align="right")
    paper.text(ticket.made, MARGIN_MM + wide, 24.5, 1.8, align="right", colour=SOFT)
    paper.wrapped(ticket.style_words, MARGIN_MM, 26.5, wide * 0.75, 2.1, colour=SOFT)
    column = (wide - GUTTER_MM) / 2
    right = MARGIN_MM + column + GUTTER_MM
    below_sketch = _sketch(paper, ticket.sketch, (MARGIN_MM, 36.0, column, 110.0))
    below_left = _cloths(paper, ticket, MARGIN_MM, below_sketch, column)
    below_right = _measures(paper, ticket, right, 34.0, column)
    y = _folds(paper, ticket, MARGIN_MM, max(below_left, below_right) + 2.0, wide, is_drawn)
    if y + _cut_list_mm(ticket) > paper.size_mm[1] - MARGIN_MM:
        paper.page()
        y = MARGIN_MM + 4.0
    y = _cut_list(paper, ticket, MARGIN_MM, y, wide)
    if ticket.steps:
        if y + 60.0 > paper.size_mm[1]:
            paper.page()
            y = MARGIN_MM + 4.0
        y = _steps(paper, ticket, (MARGIN_MM, y, wide), density)
    _closing(paper, ticket, MARGIN_MM, y, wide)
    return paper
