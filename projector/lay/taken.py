"""Cells of a grid that outlines touch."""

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon

from projector.garment.pieces import Line, Point


def taken_cells(outlines: Sequence[Line], corner: Point, count: tuple[int, int], cell_mm: float) -> NDArray[np.bool_]:
    """(columns, rows): True where a cell meets the inside of an outline. corner: of the first cell."""
    columns, rows = count
    xs, ys = corner[0] + cell_mm * np.arange(columns), corner[1] + cell_mm * np.arange(rows)
    cells = shapely.box(xs[:, None], ys[None], xs[:, None] + cell_mm, ys[None] + cell_mm)
    taken = np.zeros((columns, rows), dtype=np.bool_)
    for outline in outlines:
        shape = Polygon(outline).buffer(-1e-6)
        shapely.prepare(shape)
        taken |= shapely.intersects(shape, cells)
    return taken
