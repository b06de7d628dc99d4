"""Paper measured back from the file: pypdfium2 reads what was drawn, mm on paper."""

import ctypes

import numpy as np
import pypdfium2 as pdfium
import pypdfium2.raw as raw
import pytest

from projector.paper.page import SHEET_MM
from projector.paper.true_size import BAR_X_MM, BAR_Y_MM, MARGIN_MM, bounds_of, tiled_pdf, tiles_of, whole_pdf
from tests.projector.paper.sample import front, garment

MM_PER_PT = 25.4 / 72.0
TOLERANCE_MM = 0.1  # a fifth of the narrowest pen line; the drawing itself is exact to the PDF's 0.001 pt


def paths_mm(pdf: bytes, page: int) -> list[np.ndarray]:
    """Every path of a page as (N, 2) mm from the lower left corner, in page space."""
    document = pdfium.PdfDocument(pdf)
    found = []
    for item in document[page].get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]):
        matrix = item.get_matrix()
        points = []
        for place in range(raw.FPDFPath_CountSegments(item.raw)):
            x, y = ctypes.c_float(), ctypes.c_float()
            raw.FPDFPathSegment_GetPoint(raw.FPDFPath_GetPathSegment(item.raw, place), x, y)
            points.append(matrix.on_point(x.value, y.value))
        found.append(np.array(points) * MM_PER_PT)
    document.close()
    return found


def test_whole_piece_stands_on_its_page_at_true_size() -> None:
    paths = paths_mm(whole_pdf(garment(), "in", "Ada"), 0)
    piece = front()
    cut = max(paths, key=lambda path: float(np.ptp(path, axis=0).sum()))
    x0, y0, _, _ = bounds_of(piece)
    height = float(pdfium.PdfDocument(whole_pdf(garment(), "in", "Ada"))[0].get_height()) * MM_PER_PT
    for x, y in piece.cut_line:
        wanted = (MARGIN_MM + x - x0, height - (MARGIN_MM + y - y0))
        assert np.hypot(*(cut - wanted).T).min() < TOLERANCE_MM, (x, y)


def test_the_fold_is_never_drawn_as_a_cut() -> None:
    from projector.paper.drawing import cut_strokes

    for stroke in cut_strokes(front()):
        points = np.array(stroke.points)
        on_fold = np.abs(points[:, 0]) < 0.05
        assert not stroke.closed
        assert not (on_fold[:-1] & on_fold[1:]).any()


@pytest.mark.parametrize("name", ["a4", "letter"])
def test_tiles_cover_the_piece_and_carry_each_line_where_it_belongs(name: str) -> None:
    piece, pdf = front(), tiled_pdf(garment(), "in", "Ada", name)
    tiles = tiles_of(piece, name)
    seen = np.zeros(len(piece.cut_line), bool)
    for page, tile in enumerate(tiles, start=2):  # the cover and the page map come first
        paths = paths_mm(pdf, page)
        x0, y0, x1, y1 = tile.window
        for place, (x, y) in enumerate(piece.cut_line):
            if x0 <= x <= x1 and y0 <= y <= y1:
                wanted = (MARGIN_MM + x - x0, SHEET_MM[name][1] - (MARGIN_MM + y - y0))
                assert min(float(np.hypot(*(path - wanted).T).min()) for path in paths) < TOLERANCE_MM
                seen[place] = True
    assert seen.all()


def test_bars_both_ways_are_as_long_as_they_say() -> None:
    bars = [np.ptp(path, axis=0) for path in paths_mm(tiled_pdf(garment(), "in", "Ada"), 0)]
    assert any(abs(bar[0] - BAR_X_MM) < 0.02 and bar[1] < 0.02 for bar in bars)
    assert any(abs(bar[1] - BAR_Y_MM) < 0.02 and bar[0] < 0.02 for bar in bars)
