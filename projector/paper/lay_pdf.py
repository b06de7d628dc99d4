"""The lay as a PDF, one page a cloth and length, scaled to fit A4 across and saying its scale."""

import numpy as np
from shapely.geometry import Polygon

from calibration.units import Unit, length_text
from projector.lay.bias import drawn_lays
from projector.lay.lay import Lay
from projector.lay.refusals import PLAN_WORDS
from projector.paper.figure import named
from projector.paper.page import ACCENT, SOFT, Paper

PAGE_MM = (297.0, 210.0)
MARGIN_MM = 12.0
CAPITALS_MM = (2.4, 2.0, 1.7, 1.4, 1.1)
"""Of a piece's name on the page: the largest that the piece holds."""


def _bundle(paper: Paper, lay: Lay, bundle: int, title: str, unit: Unit) -> None:
    paper.page(PAGE_MM)
    regions = [region for region in lay.regions if region.bundle == bundle]
    names = {region.id for region in regions}
    placed = [one for one in lay.placed if one.region in names]
    plies = [ply for region in regions for ply in region.ply]
    used = max((float(np.array(one.outline)[:, 0].max()) for one in placed), default=1000.0) + lay.cloth.end_mm
    low, high = min(ply.y[0] for ply in plies), max(ply.y[1] for ply in plies)
    scale = min((PAGE_MM[0] - 2 * MARGIN_MM) / used, (PAGE_MM[1] - 46.0) / (high - low))

    def at(x: float, y: float) -> tuple[float, float]:
        return (MARGIN_MM + x * scale, 34.0 + (high - y) * scale)

    head = f"{lay.cloth.name}, length {bundle + 1}: {PLAN_WORDS[lay.plan]}, {length_text(lay.cloth.width_mm, unit)} wide"
    paper.fitted(title, MARGIN_MM, 16.0, PAGE_MM[0] - 2 * MARGIN_MM, 3.6, bold=True)
    paper.text(f"{head}, scale 1 : {1 / scale:.1f}; heavy line: the fold; dashed: what the light covers", MARGIN_MM, 23.0, 2.2, colour=SOFT)
    for ply in plies:
        x1 = min(ply.x[1], used)
        corners = [at(ply.x[0], ply.y[0]), at(x1, ply.y[0]), at(x1, ply.y[1]), at(ply.x[0], ply.y[1])]
        paper.line(corners, 0.15, closed=True, colour=SOFT, fill=(0.96, 0.94, 0.88))
    for one in placed:
        paper.line([at(x, y) for x, y in one.outline], 0.3, closed=True, fill=(1.0, 1.0, 1.0))
    taken: list[Polygon] = []
    for one in placed:
        for words in named(one, "", taken, tuple(capital / scale for capital in CAPITALS_MM)):
            paper.text(words.text, *at(*words.at), words.capital_mm * scale, align="middle")
    for part in (part for part in lay.parts if part.bundle == bundle):
        x0, y0, x1, y1 = max(part.rect[0], 0.0), max(part.rect[1], low), min(part.rect[2], used), min(part.rect[3], high)
        paper.line([at(x0, y0), at(x1, y0), at(x1, y1), at(x0, y1)], 0.25, closed=True, dash_mm=(3.0, 2.0), colour=ACCENT)
    for region in regions:
        for fold in region.folds:
            x1 = min(region.x[1], used)
            y = region.y[0] if fold.side == "y0" else region.y[1]
            x = region.x[0] if fold.side == "x0" else x1
            ends = [at(region.x[0], y), at(x1, y)] if fold.side[0] == "y" else [at(x, region.y[0]), at(x, region.y[1])]
            paper.line(ends, 0.9, colour=ACCENT)


def lay_pdf(lay: Lay, title: str, unit: Unit = "mm") -> bytes:
    """Every cloth and length of the lay, widths in her unit."""
    paper = Paper(PAGE_MM, title)
    for one in drawn_lays(lay):
        for bundle in sorted({region.bundle for region in one.regions}):
            _bundle(paper, one, bundle, title, unit)
    return paper.finish()
