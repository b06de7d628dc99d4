"""The chalk card alone gives the dress back: outlines rebuilt from its rounded numbers, mm on cloth."""

from functools import lru_cache
from itertools import groupby

import numpy as np
import pypdfium2 as pdfium
import pytest
from scipy.interpolate import Akima1DInterpolator
from shapely import LineString, MultiPoint, Point, Polygon, get_coordinates

from calibration.units import Unit
from projector.garment.pieces import Garment, Piece
from projector.paper.card import CardPiece, CardPoint, card_piece, origin_of, quarters
from projector.paper.card_pdf import card_pdf
from projector.paper.card_words import CardHead, down_out
from tests.projector.paper.sample import DRAFTS, drafted, front

POINTS_LEFT_MM, COLUMN_MM = 76.0, 40.5  # where the columns of points begin on the page, and their pitch
HAND_MM = 100.0  # as the card says: a curve through points a hand apart, the ruler over longer stretches
REBUILT_MM = 3.0  # the side tolerance of trade cutting tables (±2 mm) and both roundings of an eighth (2.25 mm), as squares
ROUNDED_MM = 2.25  # both roundings of an eighth, down and out; 1.2 is reached


@lru_cache
def draft(name: str) -> Garment:
    return drafted(name)


def rebuilt(card: CardPiece, origin: tuple[float, float], *, by_ruler: bool) -> LineString:
    """The outline from the card's numbers and nothing else: ruler from point to point, or a curve as a hand draws it.

    Source of the curve: H. Akima, Journal of the ACM 17 (1970), 589-602, made to look like a curve drawn by hand.
    """
    drawn = []
    for _, points in groupby(card.outline, key=lambda point: point.edge):
        row = np.array([(point.out_mm, point.down_mm) for point in points]) + origin
        far = np.hypot(*np.diff(row, axis=0).T)
        for part in np.split(np.arange(len(row)), np.flatnonzero((far > HAND_MM) | (far == 0.0)) + 1):
            reach = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(row[part], axis=0).T))])
            is_curve = len(part) > 2 and not by_ruler
            drawn.append(Akima1DInterpolator(reach, row[part])(np.linspace(0, reach[-1], 200)) if is_curve else row[part])
    return LineString(np.vstack(drawn))


def worst_mm(piece: Piece, unit: Unit, *, by_ruler: bool) -> float:
    """Largest distance between the sewing outline and the rebuilt one, looked at from both."""
    line = rebuilt(card_piece(piece, unit), origin_of(piece), by_ruler=by_ruler)
    true = LineString([*piece.seam_line, piece.seam_line[0]])
    return float(max(true.hausdorff_distance(line), line.hausdorff_distance(true), true.segmentize(5.0).hausdorff_distance(line)))


@pytest.mark.parametrize("by_ruler", [True, False], ids=["ruler", "curve"])
@pytest.mark.parametrize("unit", ["in", "cm"])
def test_hand_made_front_is_rebuilt(unit: Unit, by_ruler: bool) -> None:
    assert worst_mm(front(), unit, by_ruler=by_ruler) < REBUILT_MM


@pytest.mark.parametrize("by_ruler", [True, False], ids=["ruler", "curve"])
@pytest.mark.parametrize("name", DRAFTS)
def test_every_piece_of_real_drafts_is_rebuilt_from_its_card(name: str, by_ruler: bool) -> None:
    worst = {(piece.name, unit): worst_mm(piece, unit, by_ruler=by_ruler) for piece in draft(name).pieces for unit in UNITS}
    where = max(worst, key=lambda each: worst[each])
    assert worst[where] < REBUILT_MM, (where, worst[where])


UNITS: tuple[Unit, ...] = ("in", "cm")


@pytest.mark.parametrize("name", DRAFTS)
def test_what_is_cut_first_is_rebuilt_and_never_lies_inside_the_cut_line_by_more_than_rounding(name: str) -> None:
    """The lines of a first dress (shallow neck, short waist) from the card's rows, by ruler."""
    for piece in draft(name).pieces:
        card = card_piece(piece, "in")
        rows = {edge: list(points) for edge, points in groupby(card.first, key=lambda point: point.edge)}
        assert list(rows) == [first.edge for first in piece.first_cut], piece.name
        for first in piece.first_cut:
            drawn = LineString(np.array([(point.out_mm, point.down_mm) for point in rows[first.edge]]) + origin_of(piece))
            assert LineString(first.points).hausdorff_distance(drawn) < REBUILT_MM, piece.name
            inside = get_coordinates(Polygon(piece.cut_line).intersection(drawn).segmentize(2.0))
            edge = Polygon(piece.cut_line).exterior
            assert max((edge.distance(Point(place)) for place in inside), default=0.0) < ROUNDED_MM, piece.name


def test_a_point_above_the_top_is_told_in_words() -> None:
    """A tape knows no minus."""
    assert down_out(CardPoint("waist", -12.7, 304.8), "in") == ("1/2 up", "12")
    assert down_out(CardPoint("waist", 101.6, -50.8), "in") == ("4", "2 back")


@pytest.mark.parametrize("name", DRAFTS)
def test_widths_at_levels_reach_the_sewing_and_the_cut_line(name: str) -> None:
    """Looked up on the outlines themselves: half an eighth of rounding, down and out, on lines that lean up to 45 degrees."""
    for piece in draft(name).pieces:
        centre, top = origin_of(piece)
        for level in card_piece(piece, "in").levels:
            y = level.down_mm + top
            across = LineString([(-5e3, y), (5e3, y)])
            for ring, told in ((piece.seam_line, (level.inner_mm, level.sewing_mm)), (piece.cut_line, (level.cutting_mm,))):
                met = LineString([*ring, ring[0]]).intersection(across)
                x = np.array(MultiPoint([point for part in getattr(met, "geoms", [met]) for point in part.coords]).bounds)[[0, 2]]
                for value in told:
                    assert np.abs(x - value - centre).min() < REBUILT_MM, (piece.name, level.name)


@pytest.mark.parametrize("name", DRAFTS)
def test_quarters_of_front_and_back_are_half_the_finished_girth(name: str) -> None:
    """`finished` is worked out by the draft; 1 mm: half the dart's curve at the level."""
    rows = quarters(draft(name))
    assert rows
    for row in rows:
        finished = draft(name).finished[f"{row.level}_mm"]
        assert finished is not None
        assert abs(2 * (row.front_mm + row.back_mm) - finished) < 1.0, row


def test_card_counts_from_the_fold_and_from_the_top() -> None:
    card = card_piece(front(), "in")
    bust = card.levels[0]
    assert (bust.name, round(bust.down_mm, 3), bust.inner_mm) == ("bust", round(63 * 3.175, 3), 0.0)
    assert abs(bust.sewing_mm - 240.0) < 1.6
    assert abs(bust.cutting_mm - 250.0) < 1.6


def test_armhole_depth_and_hollow_are_told() -> None:
    """A quarter circle of 90 mm: 90 deep, and its hollow below the chord is r (1 - 1/√2) = 26.4 mm."""
    told = dict(card_piece(front(), "cm").figures)
    assert told == {"armhole depth": 90.0, "armhole hollow": 26.0}


@pytest.mark.parametrize("name", DRAFTS)
def test_a_long_edge_s_name_keeps_out_of_the_next_column(name: str) -> None:
    """How an edge is drawn (`curve, cut 1.0 beyond`) ends left of where the next column begins."""
    found = 0
    for page in pdfium.PdfDocument(card_pdf(draft(name), CardHead("Ada", "o", "cm"))):
        text = page.get_textpage()
        search = text.search(" beyond")
        while (hit := search.get_next()) is not None:
            found += 1
            right_mm = max(text.get_charbox(place)[2] for place in range(hit[0], sum(hit))) * 25.4 / 72
            column = (right_mm - POINTS_LEFT_MM) % COLUMN_MM
            assert 20.0 < column < COLUMN_MM - 1.0, text.get_text_range(max(0, hit[0] - 30), 40)
    assert found > 20
