"""True-size paper measured back from the file, real drafts too: mm on paper."""

from functools import lru_cache

import numpy as np
import pytest
from scipy.spatial import cKDTree
from shapely import LineString, MultiLineString, Polygon, box, distance, points, unary_union

from projector.garment.pieces import Garment, Piece
from projector.paper.drawing import cut_strokes, piece_words
from projector.paper.page import SHEET_MM
from projector.paper.true_size import BAR_X_MM, BAR_Y_MM, tiled_pdf, whole_pdf
from tests.projector.paper.reading import Page, pages
from tests.projector.paper.sample import drafted, front, garment

TOLERANCE_MM = 0.1  # a fifth of the narrowest pen line; the drawing itself is exact to the PDF's 0.001 pt
ORDERS = ("hand-made", "hourglass, boat, peplum")


@lru_cache
def pieces_of(name: str) -> Garment:
    return garment() if name == "hand-made" else drafted(name)


@lru_cache
def read(name: str, paper: str) -> list[Page]:
    made = pieces_of(name)
    return pages(whole_pdf(made, "in", "Ada") if paper == "whole" else tiled_pdf(made, "in", "Ada", paper))


def wanted(piece: Piece) -> np.ndarray:
    """Every corner of what is cut, sewn, folded, snipped and pinned, as the draft says it (mm, piece frame)."""
    lines = [np.array(edge.points) for edge in piece.edges] + [np.array(dart.legs) for dart in piece.darts]
    return np.vstack([np.array(piece.cut_line), *lines])


def shift_of(page: Page, piece: Piece) -> np.ndarray:
    """Page minus piece, from the longest path alone: the cut line is the only one drawn with the most corners or the largest span."""
    cut = np.array(cut_strokes(piece)[0].points)
    same = [path for path in page.paths if len(path) >= len(cut) and np.abs(np.ptp(path, axis=0) - np.ptp(cut, axis=0)).max() < 0.1]
    return np.asarray(same[0].min(axis=0) - cut.min(axis=0))


@pytest.mark.parametrize("name", ORDERS)
def test_whole_pieces_stand_at_true_size(name: str) -> None:
    for piece, page in zip(pieces_of(name).pieces, read(name, "whole"), strict=True):
        far, _ = cKDTree(page.points - shift_of(page, piece)).query(wanted(piece))
        assert far.max() < TOLERANCE_MM, piece.name
        assert page.points.min() > 5.0, piece.name  # nothing runs off the page
        assert (page.points < np.array(page.size) - 5.0).all(), piece.name


@pytest.mark.parametrize("name", [*ORDERS, "small, V neck, circle"])
def test_nothing_is_open_along_what_is_cut(name: str) -> None:
    """Looked at every 2 mm, not at corners alone: the fold runs through both allowances, and the lines of a first dress are there."""
    assert any(piece.first_cut for piece in pieces_of(name).pieces) == (name != "hand-made")
    for piece, page in zip(pieces_of(name).pieces, read(name, "whole"), strict=True):
        drawn = MultiLineString([path for path in page.paths if len(path) > 1])
        for line in ([*piece.cut_line, piece.cut_line[0]], *(first.points for first in piece.first_cut)):
            along = np.array(LineString(line).segmentize(2.0).coords) + shift_of(page, piece)
            assert distance(drawn, points(along)).max() < TOLERANCE_MM, piece.name
        assert ("cut here first" in page.words) == bool(piece.first_cut), piece.name


@pytest.mark.parametrize(("name", "paper"), [(ORDERS[0], "a4"), (ORDERS[0], "letter"), (ORDERS[1], "a4")])
def test_tiles_carry_every_line_where_it_belongs_and_cover_the_piece(name: str, paper: str) -> None:
    found = read(name, paper)
    for piece in pieces_of(name).pieces:
        seen = []
        for page in (page for page in found if f"Ada – {piece_words(piece)} – " in page.words and page.clip):
            assert np.abs(np.array(page.size) - SHEET_MM[paper]).max() < TOLERANCE_MM
            assert page.clip is not None
            shift = shift_of(page, piece)
            far, _ = cKDTree(page.points - shift).query(wanted(piece))
            assert far.max() < TOLERANCE_MM, piece.name
            seen.append(box(*(np.array(page.clip) - np.tile(shift, 2))))
        assert unary_union(seen).covers(Polygon(piece.cut_line)), piece.name
        assert all(tile.intersects(Polygon(piece.cut_line)) for tile in seen), piece.name  # no empty page


def test_crosses_of_neighbours_meet() -> None:
    """A cross between pages stands on each of them, in the piece's frame at the same place."""
    piece, met = pieces_of(ORDERS[1]).piece("skirt front"), 0
    tiles = [page for page in read(ORDERS[1], "a4") if "Ada – skirt front – " in page.words and page.clip]
    places = [page.crosses() - shift_of(page, piece) for page in tiles]
    assert all(len(each) == 4 for each in places)
    for number, one in enumerate(places):
        for other in places[number + 1 :]:
            far = np.hypot(*(one[:, None] - other[None]).transpose(2, 0, 1))
            shared = far < 20.0
            assert (far[shared] < TOLERANCE_MM).all()
            met += int(shared.sum())
    assert met >= 2 * (len(tiles) - 1)  # each page is tied to a neighbour by two crosses at least


def test_the_map_of_a_piece_names_each_of_its_pages() -> None:
    found = read(ORDERS[1], "a4")
    at = next(number for number, page in enumerate(found) if "skirt front: how the pages lie" in page.words)
    tiles = [page for page in found if "Ada – skirt front – " in page.words and page.clip]
    assert len(tiles) > 3
    for page in tiles:
        assert page.words.split("skirt front – ")[1].split(",")[0] in found[at].words.split()


def test_the_fold_is_never_drawn_as_a_cut() -> None:
    folded = [piece for piece in (front(), *pieces_of(ORDERS[1]).pieces) if piece.on_fold]
    assert len(folded) > 3
    for piece in folded:
        (stroke,) = cut_strokes(piece)
        on_fold = np.abs(np.array(stroke.points)[:, 0]) < 0.005
        assert not stroke.closed, piece.name
        assert not (on_fold[:-1] & on_fold[1:]).any(), piece.name


@pytest.mark.parametrize("paper", ["whole", "a4", "letter"])
def test_bars_both_ways_are_as_long_as_they_say(paper: str) -> None:
    for page in read(ORDERS[0], paper)[:1]:
        assert any(abs(wide - BAR_X_MM) < 0.02 and tall < 0.02 for wide, tall in page.bars())
        assert any(abs(tall - BAR_Y_MM) < 0.02 and wide < 0.02 for wide, tall in page.bars())
        for words in (f"{BAR_X_MM:.0f} mm", f"{BAR_Y_MM:.0f} mm"):
            assert words in page.words


PRINTERS_WHITE_MM = 12.0
"""What common printers leave white at every edge (common practice, no source): less is not printed, more is paper thrown away."""
PASTED_MM = 10.0
"""How far two pages lie over each other: enough to paste, every millimetre more is one less of the piece (common practice)."""


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_pages_use_what_a_printer_prints_and_no_more(paper: str) -> None:
    wide, tall = SHEET_MM[paper]
    tiles = [page for page in read(ORDERS[1], paper) if page.clip]
    assert len(tiles) > 10
    for page in tiles:
        assert page.clip is not None
        x0, y0, x1, y1 = page.clip
        assert np.allclose([x0, y0, wide - x1], PRINTERS_WHITE_MM, atol=0.05)
        assert PRINTERS_WHITE_MM + 6.0 < tall - y1 < PRINTERS_WHITE_MM + 9.0, "the page's name stands below"


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_neighbours_lie_over_each_other_by_what_is_pasted(paper: str) -> None:
    piece, across, down = pieces_of(ORDERS[1]).piece("skirt front"), 0, 0
    tiles = [page for page in read(ORDERS[1], paper) if "Ada – skirt front – " in page.words and page.clip]
    boxes = [box(*(np.array(page.clip) - np.tile(shift_of(page, piece), 2))) for page in tiles]
    for number, one in enumerate(boxes):
        for other in boxes[number + 1 :]:
            x0, y0, x1, y1 = one.intersection(other).bounds or (0.0, 0.0, 0.0, 0.0)
            if x1 - x0 > 50.0:
                down += 1
                assert abs(y1 - y0 - PASTED_MM) < 0.05
            elif y1 - y0 > 50.0:
                across += 1
                assert abs(x1 - x0 - PASTED_MM) < 0.05
    assert down > 0
    assert across > 0


def test_a_whole_page_is_as_large_as_its_piece_its_white_edge_and_a_bar_need() -> None:
    for piece, page in zip(pieces_of(ORDERS[1]).pieces, read(ORDERS[1], "whole"), strict=True):
        wide, tall = np.ptp(np.array(piece.cut_line), axis=0)
        needed = np.array([max(wide, BAR_X_MM), max(tall, BAR_Y_MM)]) + 2 * PRINTERS_WHITE_MM
        room = np.array(page.size) - needed
        assert (room > 8.0).all(), "a bar and its words do not touch the piece"
        assert (room < 12.5).all(), "no paper for nothing"
