"""Finished girths, measured on the pieces themselves: slices at the level lines, sewn waist, hem. mm."""

from collections.abc import Iterable

import numpy as np

from projector.garment.pieces import Line, Piece, line_length


def copies(piece: Piece) -> int:
    """How often the drawn outline occurs in the dress."""
    return piece.count * (2 if piece.on_fold else 1)


def slice_mm(ring: Line, y: float) -> float:
    """Length of the level line y inside a ring."""
    xy = np.asarray(ring)
    x0, y0 = xy[:, 0], xy[:, 1]
    x1, y1 = np.roll(x0, -1), np.roll(y0, -1)
    crosses = (y0 <= y) != (y1 <= y)
    x = np.sort(x0[crosses] + (x1 - x0)[crosses] * ((y - y0[crosses]) / (y1 - y0)[crosses]))
    return float((x[1::2] - x[::2]).sum())


def girth(pieces: Iterable[Piece], level: str) -> float | None:
    """Whole girth at a level over the pieces that have it; None when none has."""
    total, found = 0.0, False
    for piece in pieces:
        at = piece.levels.get(level)
        if at is None:
            continue
        found = True
        total += copies(piece) * (slice_mm(piece.seam_line, at) if isinstance(at, float | int) else line_length(at))
    return total if found else None


def edges_mm(pieces: Iterable[Piece], kind: str) -> float | None:
    """Whole length of all edges of a kind."""
    spans = [line_length(edge.points) * copies(piece) for piece in pieces for edge in piece.edges if edge.kind == kind]
    return sum(spans) if spans else None
