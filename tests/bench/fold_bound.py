"""What cloth folded along must hold, whatever is opened out: a length that no lay goes under.

Pieces too wide to be opened out hang on the fold one after the other. Stretches of other pieces that are wider than a limit of half the
folded cloth or more do not lie beside each other, and beside a hanging piece only where that leaves room for the limit. What is longer
than such places is added, for the limit that adds most: pairs take both layers; of single pieces, opened out, two may share one stretch.
"""

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import LineString, Polygon

from projector.garment.pieces import Piece
from projector.lay.cloth import Cloth

STEP_MM = 5.0


def widths(piece: Piece) -> NDArray[np.float64]:
    """How wide a piece is at every step down it, mm; of a fold piece its half."""
    shape = Polygon(piece.cut_line)
    left, low, right, high = shape.bounds
    rows = np.arange(low + STEP_MM / 2.0, high, STEP_MM)
    return np.array([shape.intersection(LineString([(left - 1.0, y), (right + 1.0, y)])).length for y in rows])


def fold_mm(piece: Piece) -> float:
    """How much of the fold its cut line takes."""
    axis = next(edge.points[0][0] for edge in piece.edges if edge.fold)
    ys = [y for x, y in piece.cut_line if abs(x - axis) < 0.05]
    return max(ys) - min(ys)


def least_mm(pieces: Sequence[Piece], cloth: Cloth) -> tuple[float, float]:
    """Least length of a lay folded along: by what cannot be opened out alone, and with what then finds no room beside it."""
    room = cloth.width_mm / 2.0 - cloth.selvedge_mm - cloth.gap_mm / 2.0
    halves = {piece.name: widths(piece) for piece in pieces}
    hanging = [piece for piece in pieces if piece.on_fold and 2.0 * halves[piece.name].max() > room]
    hang = sum(map(fold_mm, hanging)) + cloth.gap_mm * max(0, len(hanging) - 1)
    rest = [piece for piece in pieces if all(piece is not one for one in hanging)]
    beyond = 0.0
    for limit in np.arange(room / 2.0, room, STEP_MM):
        beside = STEP_MM * sum(float((halves[piece.name] < room - limit).sum()) for piece in hanging)
        beyond = max(beyond, _wider(rest, halves, float(limit)) - beside)
    return hang + 2.0 * cloth.end_mm, hang + beyond + 2.0 * cloth.end_mm


def _wider(pieces: Sequence[Piece], halves: Mapping[str, NDArray[np.float64]], limit: float) -> float:
    """Length of all stretches wider than the limit; a fold piece may also hang and take so much of the fold."""
    pairs, singles = 0.0, []
    for piece in pieces:
        opened = STEP_MM * float((halves[piece.name] * (2.0 if piece.on_fold else 1.0) > limit).sum())
        pairs += opened * (piece.count // 2)
        singles += [min(opened, fold_mm(piece)) if piece.on_fold else opened] * (piece.count % 2)
    return pairs + sum(sorted(singles, reverse=True)[::2])
