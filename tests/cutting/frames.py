"""Frames of the contract, worked out afresh: table to cloth, and which turn carries a piece onto its outline.

Points are arrays of shape (n, 2), mm.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from shapely.affinity import translate
from shapely.geometry import Polygon, box
from shapely.ops import unary_union

Array = NDArray[np.float64]

_PLAIN = [[[0, 1], [1, 0]], [[0, -1], [-1, 0]], [[1, 0], [0, -1]], [[-1, 0], [0, 1]]]
"""Unflipped: (y, x), (-y, -x), (x, -y), (-x, y): the piece frame is left-handed, so these are turns. Each pair: turned 0, then 180."""
_MIRRORED = [[[0, 1], [-1, 0]], [[0, -1], [1, 0]], [[-1, 0], [0, -1]], [[1, 0], [0, 1]]]
SAME_MM2 = 1.0
"""A strip lies on its outline either way round: then the turn that lay.json tells is the one."""


@dataclass(frozen=True)
class PieceToCloth:
    """cloth = matrix @ piece + shift. `axis`: x of the fold of a piece laid opened out, whose other half is its mirror image."""

    matrix: Array
    shift: Array
    axis: float | None = None

    def __call__(self, points: Sequence[Sequence[float]] | Array) -> Array:
        return np.asarray(points, dtype=float) @ self.matrix.T + self.shift

    def halves(self, points: Sequence[Sequence[float]]) -> list[Array]:
        """The points on each half: one, or two for a piece opened out."""
        told = np.asarray(points, dtype=float)
        if self.axis is None:
            return [self(told)]
        return [self(told), self(np.column_stack([2 * self.axis - told[:, 0], told[:, 1]]))]

    def shape(self, ring: Sequence[Sequence[float]]) -> Polygon:
        """A ring of the piece as a shape on the cloth, both halves in one."""
        halves = [Polygon(half) for half in self.halves(ring)]
        both = unary_union([half.buffer(0.002, join_style="mitre") for half in halves]) if len(halves) > 1 else halves[0]
        whole = Polygon(max(getattr(both, "geoms", [both]), key=lambda part: part.area).exterior)
        return whole.buffer(-0.002, join_style="mitre") if len(halves) > 1 else whole


def cloth_from_table(points: Sequence[Sequence[float]], cloth_at: Mapping[str, float]) -> Array:
    """Table mm to cloth mm; table = turn (counter-clockwise) of cloth + (x_mm, y_mm)."""
    turn = math.radians(cloth_at["turn_deg"])
    back = np.array([[math.cos(turn), math.sin(turn)], [-math.sin(turn), math.cos(turn)]])
    moved = np.asarray(points, dtype=float) - np.array([cloth_at["x_mm"], cloth_at["y_mm"]])
    return np.asarray(moved @ back.T, dtype=float)


def find_piece_to_cloth(piece: Mapping[str, Any], placed: Mapping[str, Any]) -> PieceToCloth:
    """The turn or mirror image that lays the piece's cut line on the placed outline (within the grown block).

    Raises ValueError when none of the four fits: the outline is then not this piece's.
    """
    block = float(piece.get("block_mm", 0.0))
    outline = Polygon(placed["outline"])
    axis = _fold_x(piece) if piece["cut"]["on_fold"] and not placed["on_fold"] else None
    plain = PieceToCloth(np.eye(2), np.zeros(2), axis).shape(piece["cut_line"])
    best: tuple[float, PieceToCloth] | None = None
    every = _MIRRORED if placed["flipped"] else _PLAIN
    told = placed["turned"] == 180
    for matrix in (*every[told::2], *every[1 - told :: 2]):
        turned = np.asarray(plain.exterior.coords)[:-1] @ np.array(matrix, dtype=float).T
        for grown in _grown(Polygon(turned), block):
            shift = np.array(outline.bounds[:2]) - np.array(grown.bounds[:2])
            moved = PieceToCloth(np.array(matrix, dtype=float), shift, axis)
            odd = float(translate(grown, *shift).symmetric_difference(outline).area)
            size_off = float(
                np.abs(np.ptp(np.reshape(grown.bounds, (2, 2)), axis=0) - np.ptp(np.reshape(outline.bounds, (2, 2)), axis=0)).max()
            )
            if size_off < 0.5 and (best is None or odd < best[0] - SAME_MM2):
                best = (odd, moved)
    limit = outline.length * 0.1 + block**2 * 8  # a block's corners may be round or square
    if best is None or best[0] > limit:
        raise ValueError(f"the outline of {placed['piece']} is not that piece's cut line (off by {best and best[0]} mm2)")
    return best[1]


def carried(piece: Mapping[str, Any], placed: Mapping[str, Any]) -> PieceToCloth:
    """By the turn and shift told in lay.json; for a piece whose outline there is that of an earlier draft."""
    matrix = np.array([[1, 0], [0, -1]] if placed["across"] else [[0, 1], [1, 0]], dtype=float)
    if placed["turned"] == 180:
        matrix = -matrix
    if placed["flipped"]:
        matrix = np.diag([-1.0, 1.0] if placed["across"] else [1.0, -1.0]) @ matrix
    axis = _fold_x(piece) if piece["cut"]["on_fold"] and not placed["on_fold"] else None
    return PieceToCloth(matrix, np.array(placed["shift"], dtype=float), axis)


def _fold_x(piece: Mapping[str, Any]) -> float:
    xs = [x for edge in piece["edges"] if edge["fold"] for x, _ in edge["points"]]
    return float(np.mean(xs))


def _grown(turned: Polygon, block: float) -> list[Polygon]:
    """The cut line grown by the block on all sides, or on all sides but the one lying on a fold."""
    if not block:
        return [turned]
    told = []
    for whole in (turned.buffer(block, quad_segs=64), turned.buffer(block, join_style="mitre")):
        x0, y0, x1, y1 = whole.bounds
        i0, j0, i1, j1 = turned.bounds
        rooms = [(x0, y0, x1, y1), (i0, y0, x1, y1), (x0, j0, x1, y1), (x0, y0, i1, y1), (x0, y0, x1, j1)]
        told += [whole.intersection(box(*room)) for room in rooms]
    return told
