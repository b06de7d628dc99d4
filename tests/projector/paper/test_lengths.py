"""Each length of what is printed, measured back from the file by PDFium, or from the drawing itself. mm on paper; a pen line is 0.5."""

import ctypes
import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pypdfium2 as pdfium
import pypdfium2.raw as raw
import pytest
from shapely import LineString, Polygon

from projector.garment.pieces import Piece
from projector.lay.lay import Lay
from projector.paper.card import told_points
from projector.paper.card_pdf import card_pdf
from projector.paper.card_words import CardHead
from projector.paper.drawing import labels_of, strokes_of
from projector.paper.figure import Figure, Ink
from projector.paper.figure_pdf import draw
from projector.paper.group_pdf import GroupSheet, PersonRow, group_pdf, tags_pdf
from projector.paper.lay_pdf import lay_pdf
from projector.paper.page import Paper
from projector.paper.sketch import sketch_of
from projector.paper.sketch_shapes import Arm, drape
from projector.paper.svg import arranged
from projector.paper.ticket import Ticket, TicketMeasure, ticket_pdf
from projector.paper.titles import grain_run
from projector.scene.text import outlined
from tests.projector.paper.reading import MM_PER_PT, pages
from tests.projector.paper.sample import drafted, front, garment
from tests.projector.steps import by_hand

PEN_MM = 0.5
WHITE_MM = 14.0
"""Beyond what printers leave white (12 mm) and a clip holds; common practice, no source."""


def words_at(pdf: bytes, words: str, number: int = 0, nth: int = 0) -> tuple[float, float, float]:
    """(left, foot, right) of the nth place where these words stand on a page, from the upper left corner."""
    page = pdfium.PdfDocument(pdf)[number]
    text, tall = page.get_textpage(), page.get_height()
    search = text.search(words)
    hits = list(iter(search.get_next, None))
    boxes = np.array([text.get_charbox(each) for each in range(hits[nth][0], sum(hits[nth]))])
    # letters and figures that stand on the line: the most usual foot
    foot = float(np.median(boxes[:, 1]))
    return float(boxes[:, 0].min()) * MM_PER_PT, (tall - foot) * MM_PER_PT, float(boxes[:, 2].max()) * MM_PER_PT


def widths(pdf: bytes) -> list[float]:
    """Pen widths on the first page."""
    found = []
    for item in pdfium.PdfDocument(pdf)[0].get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]):
        width = ctypes.c_float()
        raw.FPDFPageObj_GetStrokeWidth(item.raw, width)
        found.append(width.value * MM_PER_PT)
    return found


# ---------------------------------------------------------------- pieces at true size


def test_a_pin_mark_a_grain_arrow_and_an_allowance_s_words() -> None:
    """A pin mark of 6 mm is seen and pinned through; the arrow's barbs are as long; words of 2.8 mm (8 pt of a book's 11) 5 mm inside."""
    piece = front()
    drawn = strokes_of(piece)
    pins = [LineString(stroke.points).length for stroke in drawn if stroke.kind == "point"]
    assert pins == pytest.approx([6.0, 6.0], abs=0.2)
    shaft, *barbs = [LineString(stroke.points).length for stroke in drawn if stroke.kind == "grain"]
    assert shaft > 100.0
    assert barbs == pytest.approx([6.0] * 4, abs=0.2)
    beside = [label for label in labels_of(piece, "mm", "Ada") if label.text.startswith("10")]
    assert len(beside) == 4
    edge = Polygon(piece.seam_line).exterior
    for label in beside:
        assert label.size_mm == pytest.approx(2.8, abs=0.2)
        assert edge.distance(LineString([label.at, label.at]).centroid) == pytest.approx(5.0, abs=0.3)


@pytest.mark.parametrize(("bow", "points"), [(0.70, 2), (0.80, 3)])
def test_a_curve_is_told_once_more_where_the_ruler_strays_three_quarters_of_a_millimetre(bow: float, points: int) -> None:
    """Both roundings of an eighth are 2.25 mm together; with 0.75 more the outline is rebuilt within the 3 mm that the card promises."""
    line = tuple((200.0 * n / 40, bow * (1 - ((n - 20) / 20) ** 2)) for n in range(41))
    assert len(told_points(line, (0.0, 0.0), "mm")) == points


def plate(wide: float, tall: float, grow: float = 10.0) -> Piece:
    return by_hand.rectangle("plate", wide, tall, grow=grow)


def test_the_grain_line_runs_three_quarters_of_its_room_clear_of_every_edge() -> None:
    """72 % of what is left 6 mm from either sewing line: long enough to lay a ruler on, its ends off the edges. 1 mm: a ruler's reading."""
    long = []
    for tall in (400.0, 800.0):
        run = grain_run(plate(300.0, tall))
        assert run is not None
        long.append(float(np.hypot(*(run[1] - run[0]))))
    assert (long[1] - long[0]) / 400.0 == pytest.approx(0.72, abs=0.01)
    assert long[0] / 0.72 == pytest.approx(400.0 - 2 * 6.0, abs=1.0)


@pytest.mark.parametrize(("share", "is_first"), [(0.78, True), (0.72, False)])
def test_the_grain_line_stands_aside_where_that_costs_no_more_than_a_quarter_of_it(share: float, is_first: bool) -> None:
    """A piece that is lower on its outer side: at a quarter of its width the run is `share` of the longest one."""
    tall, clear = 400.0, 6.0
    low = share * (tall - 2 * clear) + 2 * clear
    corners = ((0.0, 0.0), (150.0, 0.0), (150.0, tall - low), (300.0, tall - low), (300.0, tall), (0.0, tall))
    run = grain_run(replace(plate(300.0, tall), seam_line=corners, cut_line=corners))
    assert run is not None
    assert (run[0][0] > 180.0) == is_first


def test_lines_of_words_stand_apart_by_their_own_height() -> None:
    """1.9 of the capitals' height from foot to foot: descenders (0.3) and accents (0.4) do not touch."""
    piece = plate(90.0, 300.0)
    told = [label for label in labels_of(piece, "mm", "Rosalind Achterberg") if not label.text.startswith("10")]
    assert len(told) >= 3
    apart = [math.dist(a.at, b.at) / a.size_mm for a, b in pairwise(told)]
    assert apart == pytest.approx([1.9] * len(apart), abs=0.05)


@pytest.mark.parametrize(("beyond", "is_in_two"), [(1.4, False), (1.6, True)])
def test_words_keep_three_quarters_of_a_millimetre_from_either_sewing_line(beyond: float, is_in_two: bool) -> None:
    """1.5 mm, three pen lines, wider than its words of 5 mm a piece holds them in two lines; else they go into more."""
    wide = max(outlined(words, 5.0).width_mm for words in ("Ada – plate", "cut 1 – main"))
    piece = replace(plate(wide + beyond, 300.0, grow=0.0), grain_deg=0.0)
    told = labels_of(piece, "mm", "Ada")
    assert {label.size_mm for label in told} == {5.0}
    assert (len(told) == 2) == is_in_two


# ---------------------------------------------------------------- cards, groups, lays, tickets


def card() -> bytes:
    return card_pdf(garment(), CardHead("Ada", "order", "mm"))


def test_the_card_s_rows_and_margins() -> None:
    """Capitals of 2.1 mm and as much again between them: rows of 4.4, points (read one after the other) 3.7."""
    rules = [wide for wide, tall in pages(card())[0].bars() if tall < 0.01]
    assert max(rules) == pytest.approx(210.0 - 2 * WHITE_MM, abs=PEN_MM)
    assert words_at(card(), "Chalk card")[0] == pytest.approx(WHITE_MM, abs=1.0)
    assert words_at(card(), "bust", nth=-1)[1] - words_at(card(), "level")[1] == pytest.approx(4.4, abs=0.15)


def test_the_card_s_points_stand_one_under_the_other() -> None:
    found = pages(card())[0]
    assert "armhole" in found.words
    text = pdfium.PdfDocument(card())[0].get_textpage()
    signs = [(text.get_text_range(n, 1), *(side * MM_PER_PT for side in text.get_charbox(n)[:2])) for n in range(text.count_chars())]
    feet = sorted({round(foot, 2) for sign, left, foot in signs if sign.isdigit() and left > 80.0})
    steps = np.diff(feet)
    assert np.median(steps[steps > 1.0]) == pytest.approx(3.7, abs=0.15)


def test_how_an_edge_is_drawn_is_written_as_small_as_a_tape_s_figures() -> None:
    """Capitals of 1.45 mm and no smaller: the low letters of "curve" are 536 / 714 of that (Noto Sans' own table)."""
    text = pdfium.PdfDocument(card())[0].get_textpage()
    place, _ = text.search("curve, cut").get_next()
    _, low, _, high = text.get_charbox(place + 3)
    assert (high - low) * MM_PER_PT == pytest.approx(1.45 * 536 / 714, abs=0.05)


def test_capitals_are_as_high_as_asked() -> None:
    """10 mm of capital is 10 mm on paper: Noto Sans' own table (714 of 1000); 1 %."""
    paper = Paper((200.0, 100.0), "H")
    paper.page()
    paper.text("H", 50.0, 50.0, 10.0)
    text = pdfium.PdfDocument(paper.finish())[0].get_textpage()
    _, low, _, high = text.get_charbox(0)
    assert (high - low) * MM_PER_PT == pytest.approx(10.0, abs=0.1)


def test_no_line_of_a_small_drawing_is_thinner_than_a_printer_draws() -> None:
    """0.12 mm, three dots of 600 dpi."""
    paper = Paper((100.0, 100.0), "hair")
    paper.page()
    draw(paper, Figure(1000.0, 1000.0, [Ink(((0.0, 0.0), (900.0, 0.0)), 1.0)], []), (5.0, 5.0), 0.01)
    assert widths(paper.finish()) == pytest.approx([0.12], abs=0.01)


def test_the_group_s_rows_and_margins() -> None:
    """Written on by hand: rows of 6 mm."""
    people = [PersonRow((str(n), f"person {n}", "yes", "no", "no", "2 m"), ()) for n in (1, 2)]
    pdf = group_pdf(GroupSheet("Wedding", "2026-01-01", people, ["main 4 m"]))
    assert words_at(pdf, "Wedding")[0] == pytest.approx(WHITE_MM, abs=1.0)
    assert 210.0 - words_at(pdf, "2026-01-01")[2] == pytest.approx(WHITE_MM, abs=1.0)
    assert words_at(pdf, "person 2")[1] - words_at(pdf, "person 1")[1] == pytest.approx(6.0, abs=0.2)
    corner = pages(tags_pdf([(1, "Ada", "front", "1 of 2", "main")], "Wedding"))[0].points.min(axis=0)
    assert corner == pytest.approx([WHITE_MM, WHITE_MM], abs=PEN_MM)


def one_lay() -> Lay:
    return by_hand.lay([by_hand.placed(by_hand.rectangle("front", 200, 300), (20, 20), ["main-1.1"])])


def test_a_lay_on_paper_keeps_the_printer_s_white() -> None:
    """12 mm, as on the tiles."""
    pdf = lay_pdf(one_lay(), "A lay")
    assert pages(pdf)[0].points[:, 0].min() == pytest.approx(12.0, abs=PEN_MM)
    assert words_at(pdf, "A lay")[0] == pytest.approx(12.0, abs=1.0)


def ticket(measures: int = 4) -> bytes:
    told = [TicketMeasure(f"measure {n}", 900.0 + n, False) for n in range(measures)]
    return ticket_pdf(Ticket("Ada", "order", "mm", "2026-01-01", "round neck", told, garment(), one_lay()))


def test_the_ticket_s_rows_and_margins() -> None:
    """Capitals of 2.1 mm, as much again between them and a hair; headings ruled from margin to margin or from column to column."""
    pdf = ticket()
    assert words_at(pdf, "measure 2")[1] - words_at(pdf, "measure 1")[1] == pytest.approx(4.3, abs=0.15)
    ends = np.vstack([path for path in pages(pdf)[0].paths if len(path) == 2])
    assert ends[:, 0].min() == pytest.approx(WHITE_MM, abs=PEN_MM)
    assert ends[:, 0].max() == pytest.approx(210.0 - WHITE_MM, abs=PEN_MM)
    column = sorted(path[:, 0].tolist() for path in pages(pdf)[0].paths if len(path) == 2 and 80.0 < np.ptp(path[:, 0]) < 95.0)
    assert column[-1][0] - column[0][1] == pytest.approx(8.0, abs=0.5)  # between the columns: four letters' width


def test_a_small_lay_is_never_drawn_smaller_than_its_numbers_need() -> None:
    """3 cm deep, with however little of the page left: tag numbers of 1.8 mm stand in the narrowest piece."""
    cloths = [np.ptp(path[:, 1]) for path in pages(ticket(46))[0].paths if len(path) == 5 and np.ptp(path[:, 0]) < 60.0]
    assert max(cloths) == pytest.approx(30.0, abs=0.5)


def test_pieces_in_a_drawing_stand_a_thumb_apart_and_a_bed_s_width_wide() -> None:
    """30 mm between pieces and round them; 1.5 m wide, room for two panels and their linings side by side."""
    pieces = [by_hand.rectangle(f"p{n}", 280.0, 400.0) for n in range(6)]  # 300 wide with their allowances
    shifts, tall = arranged(pieces)
    lefts = sorted({round(x - 10.0, 3) for x, _ in shifts})
    assert lefts == pytest.approx([30.0, 360.0, 690.0, 1020.0], abs=0.1)  # a fifth would end at 1650 and its gap
    assert tall == pytest.approx(2 * 420.0 + 3 * 30.0, abs=0.1)
    wider = [by_hand.rectangle(f"p{n}", 345.0, 400.0) for n in range(4)]  # 365: three end at 1185, a fourth at 1580
    assert len({y for _, y in arranged(wider)[0]}) == 2


# ---------------------------------------------------------------- the sketch


def test_an_arm_hangs_a_little_away() -> None:
    """62 degrees below the level at the most, 20 at the least; 16 and more out from the line shoulder to underarm, so both are seen."""

    def hangs(underarm: complex, wide: float = 0.0) -> float:
        return float(np.degrees(np.angle(Arm(0j, underarm, wide).down)))

    assert hangs(complex(0.0, 200.0)) == pytest.approx(62.0, abs=1.0)
    assert hangs(200.0 * np.exp(1j * np.radians(70.0))) == pytest.approx(70.0 - 16.0, abs=1.0)
    assert hangs(200.0 * np.exp(1j * np.radians(70.0)), 190.0) == pytest.approx(20.0, abs=1.0)


def test_a_full_circle_stands_out_by_five_eighths_of_its_length() -> None:
    """62 %, from drawings of hanging circles, ours; less turn, less."""
    side, hem, *_ = drape(np.array([0j, 150.0 + 0j]), 600.0, 1.0)
    assert side[-1].real - 150.0 == pytest.approx(0.62 * 600.0, abs=10.0)
    assert hem.real.max() == pytest.approx(side[-1].real, abs=0.01)


def test_a_vent_laps_over_by_as_much_as_is_seen() -> None:
    """14 mm on a sketch a tenth of her size: the overlap is drawn, not measured."""
    lines = [np.array(line) for line in sketch_of(drafted("tall, straight, fitted"))["back"]]
    (vent,) = [line for line in lines if len(line) == 3 and abs(line[0, 0]) < 0.1 and abs(line[1, 0] - line[2, 0]) < 0.1 < line[1, 0]]
    assert vent[1] - vent[0] == pytest.approx([14.0, 14.0], abs=0.5)
