"""The lay as a PDF, one page a cloth and length, scaled to fit A4 across and saying its scale."""

from calibration.units import Unit, length_text
from projector.lay.lay import Lay
from projector.paper.figure import Figure
from projector.paper.figure_pdf import draw
from projector.paper.lay_figure import Length, add_length, drawn_lengths
from projector.paper.page import SOFT, Paper

PAGE_MM = (297.0, 210.0)
MARGIN_MM = 12.0
TOP_MM = 34.0
"""Where the cloth begins below title and legend."""
CAPITALS_MM = (2.4, 2.0, 1.7, 1.4, 1.1)
"""Of a piece's name on the page: the largest that the piece holds."""
PEN_MM = 0.25
"""Of a piece's line on the page, whatever the scale."""


def _page(paper: Paper, length: Length, title: str, unit: Unit) -> None:
    paper.page(PAGE_MM)
    x0, y0, x1, y1 = length.box
    wide = PAGE_MM[0] - 2 * MARGIN_MM
    scale = min(wide / (x1 - x0), (PAGE_MM[1] - TOP_MM - MARGIN_MM) / (y1 - y0))
    figure = Figure()
    add_length(figure, length, (0.0, 0.0), tuple(capital / scale for capital in CAPITALS_MM), PEN_MM / scale)
    told = [f"{length.head}, {length_text(length.lay.cloth.width_mm, unit)} wide, scale 1 : {1 / scale:.1f}"]
    told += ["heavy line: the fold"] if length.folds else []
    told += ["dashed: where the light ends"] if length.light_ends else []
    paper.fitted(title, MARGIN_MM, 16.0, wide, 3.6, bold=True)
    paper.fitted("; ".join(told), MARGIN_MM, 23.0, wide, 2.2, colour=SOFT)
    draw(paper, figure, (MARGIN_MM, TOP_MM), scale)


def lay_pdf(lay: Lay, title: str, unit: Unit = "mm") -> bytes:
    """Every cloth and length of the lay, widths in her unit."""
    paper = Paper(PAGE_MM, title)
    for length in drawn_lengths(lay):
        _page(paper, length, title, unit)
    return paper.finish()
