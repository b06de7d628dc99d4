"""Which label (or stuck page) a small patch of saddles is: its squares' dots, weighed softly, against the few labels there are.

A label's dots are only a few pixels wide in a photograph, too few for yes or no. Every square tells how much its middle
differs from its body; the label and turn whose bits go best with these 36 numbers is taken when it stands out.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calibration.arrays import Array
from calibration.board import Board
from calibration.find import Seen
from calibration.lattice import patches_of, sampled, squares_of
from calibration.photograph import full_from_small
from calibration.saddles import Picture, find_saddles

TRIES: tuple[tuple[float, float], ...] = ((1.0, 3.5), (1.6, 5.0), (2.4, 7.5))
"""Blur and ring radius in px: squares of 8, 14 and 22 px and more."""

WHOLE_LABEL = 36
FEWEST_NODES = 30
FEWEST_SQUARES = 22
LEAST_FIT = 0.72
"""Correlation that 22 or more random bits reach once in 10⁴ patches (normal tail, sd 1/√22, 12 labels, 4 turns)."""

LEAST_AHEAD = 0.15
MIDDLE = np.array([[0.5 + 0.05 * x, 0.5 + 0.05 * y] for x in (-1, 0, 1) for y in (-1, 0, 1)])
BODY = np.array([[0.5, 0.14], [0.5, 0.86], [0.14, 0.5], [0.86, 0.5], [0.2, 0.2], [0.8, 0.2], [0.2, 0.8], [0.8, 0.8]])


@dataclass(frozen=True, slots=True, eq=False)
class _Squares:
    """(rows, columns): share of a dot, darkness (+1, -1), known."""

    share: Array
    dark: Array
    known: NDArray[np.bool_]


def find_labels(picture: Picture, reduced: int, boards: list[Board]) -> list[Seen]:
    """Every label or page in the picture of ink alone, with rough places in full px; each once, the surest sight of it."""
    found: dict[str, tuple[float, Seen]] = {}
    for sigma, ring in TRIES:
        saddles = find_saddles(picture, sigma, ring)
        full = full_from_small(saddles.at, reduced)
        for patch in patches_of(picture, saddles):
            if int((patch.nodes >= 0).sum()) < FEWEST_NODES:
                break  # largest first
            seen = _recognised(picture, saddles.at, patch.nodes, boards)
            if seen is None:
                continue
            fit, board, spots, nodes = seen
            if board.name not in found or found[board.name][0] < fit:
                found[board.name] = (fit, Seen(board, spots, full[nodes], False, -10.0 * fit))
    return [seen for _, seen in found.values()]


def _recognised(
    picture: Picture, at: Array, nodes: NDArray[np.int64], boards: list[Board]
) -> tuple[float, Board, NDArray[np.int64], NDArray[np.int64]] | None:
    """(fit, board, (N, 2) rows and columns, (N,) nodes) of the best label in a patch; None when none stands out."""
    squares = _squares(picture, at, nodes)
    if squares is None:
        return None
    fits: list[tuple[float, Board, int, int, int]] = []
    for turn in range(4):
        turned = _Squares(np.rot90(squares.share, turn), np.rot90(squares.dark, turn), np.rot90(squares.known, turn))
        fits += [(fit, board, turn, down, right) for board in boards for fit, down, right in _shifts(turned, board)]
    if not fits:
        return None
    best = max(fits, key=lambda one: one[0])
    others = [fit for fit, board, turn, *_ in fits if (board.name, turn) != (best[1].name, best[2])]
    if best[0] < LEAST_FIT or best[0] - max(others, default=0.0) < LEAST_AHEAD:
        return None
    fit, board, turn, down, right = best
    turned_nodes = np.rot90(nodes, turn)
    rows, columns = np.nonzero(turned_nodes >= 0)
    inside = (rows >= down) & (rows < down + board.shape[0]) & (columns >= right) & (columns < right + board.shape[1])
    rows, columns = rows[inside], columns[inside]
    return fit, board, np.column_stack([rows - down, columns - right]), turned_nodes[rows, columns]


def _squares(picture: Picture, at: Array, nodes: NDArray[np.int64]) -> _Squares | None:
    known, index = squares_of(nodes)
    if len(index) < FEWEST_SQUARES:
        return None
    corners = at[index]
    body, middle = np.median(sampled(picture, corners, BODY), axis=1), sampled(picture, corners, MIDDLE).mean(axis=1)
    low, high = np.percentile(body, [20, 80])
    if not high - low > 0.2:  # ink on paper is a factor of 5 and more in brightness, log 1.6
        return None
    side = np.where(body < (low + high) / 2, 1.0, -1.0)
    share, dark = np.zeros(known.shape), np.zeros(known.shape)
    share[known] = (middle - body) * side / (high - low)
    dark[known] = side
    return _Squares(share, dark, known)


def _shifts(squares: _Squares, board: Board) -> list[tuple[float, int, int]]:
    """(fit, rows down, columns right) for every shift at which the board's parity agrees."""
    rows, columns = board.bits.shape
    parity, bits, found = board.parity, np.where(board.bits, 1.0, -1.0), []
    for down in range(1 - rows // 2, squares.share.shape[0] - rows // 2):
        for right in range(1 - columns // 2, squares.share.shape[1] - columns // 2):
            top, left = max(down, 0), max(right, 0)
            low, far = min(down + rows, squares.share.shape[0]), min(right + columns, squares.share.shape[1])
            own = (slice(top, low), slice(left, far))
            theirs = (slice(top - down, low - down), slice(left - right, far - right))
            known = squares.known[own]
            if known.sum() < FEWEST_SQUARES or (squares.dark[own][known] * parity[theirs][known]).mean() < 0.8:
                continue
            seen, drawn = squares.share[own][known], bits[theirs][known]
            if seen.std() < 0.05 or drawn.std() == 0.0:
                continue
            found.append((float(np.corrcoef(seen, drawn)[0, 1]) * float(np.sqrt(min(1.0, known.sum() / WHOLE_LABEL))), down, right))
    return found
