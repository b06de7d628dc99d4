"""Which board a patch belongs to, where on it and which way round: the bits in its squares against the boards' bits."""

from dataclasses import dataclass
from math import comb, log10

import numpy as np
from numpy.typing import NDArray

from calibration.arrays import Array, Whole
from calibration.board import Board
from calibration.lattice import Patch, sampled, squares_of
from calibration.saddles import Picture, Saddles

MIDDLE = np.array([[0.5 + 0.09 * x, 0.5 + 0.09 * y] for x in (-1, 0, 1) for y in (-1, 0, 1)])
BODY = np.array([[0.5, 0.2], [0.5, 0.8], [0.2, 0.5], [0.8, 0.5], [0.22, 0.22], [0.78, 0.22], [0.22, 0.78], [0.78, 0.78]])
"""Places in a square, in shares of its side: inside a dot, and outside any dot."""

CHANCE_LOG10 = -5.0
"""A match is believed when chance alone would give it less often than this over all boards, turns and shifts."""


@dataclass(frozen=True, slots=True, eq=False)
class Match:
    """A patch recognised. `spots` (N, 2) row and column on the board, `nodes` (N,) saddles; `chance` log10; mirrored light."""

    board: Board
    spots: Whole
    nodes: Whole
    chance: float
    mirrored: bool


def read_bits(picture: Picture, saddles: Saddles, patch: Patch) -> tuple[NDArray[np.int8], NDArray[np.int8]]:
    """((rows - 1, columns - 1) bits as +1, -1, 0 for unknown; the same for dark squares: +1 dark, -1 bright, 0 unknown)."""
    known, index = squares_of(patch.nodes)
    bits, dark = np.zeros(known.shape, np.int8), np.zeros(known.shape, np.int8)
    if not len(index):
        return bits, dark
    corners = saddles.at[index]
    body, middle = (np.median(sampled(picture, corners, shares), axis=1) for shares in (BODY, MIDDLE))
    contrast = np.median(saddles.contrast[index].reshape(len(index), 4), axis=1)
    side = _dark(saddles, index, corners)
    share = (middle - body) / np.maximum(contrast, 1e-6) * side
    bits[known] = np.where(share > 0.6, 1, np.where(share < 0.4, -1, 0)) * (np.abs(share - 0.5) < 1.2)
    dark[known] = side
    return bits, dark


def _dark(saddles: Saddles, index: Whole, corners: Array) -> Whole:
    """(M,) +1 when the square is dark, by the sector of its first corner that looks into it."""
    into = corners.mean(axis=(1, 2)) - corners[:, 0, 0]
    angle = np.arctan2(into[:, 1], into[:, 0]) % (2.0 * np.pi)
    edges = saddles.edges[index[:, 0, 0]]
    sector = (edges <= angle[:, None]).sum(axis=1) - 1  # -1 is the sector after the last edge
    bright = saddles.first_bright[index[:, 0, 0]] ^ (sector % 2 == 1)
    return np.where(bright, -1, 1)


def _chance(known: int, wrong: int, tries: int) -> float:
    """log10 of the probability that `tries` random boards give `wrong` or fewer errors in `known` bits (binomial tail)."""
    tail = sum(comb(known, k) for k in range(wrong + 1))
    return log10(tail) - known * log10(2.0) + log10(tries)


def recognise(picture: Picture, saddles: Saddles, patch: Patch, boards: list[Board], mirrors: bool) -> Match | None:
    """The board, shift and turn that fit the patch's bits; None when chance could have done it."""
    bits, dark = read_bits(picture, saddles, patch)
    if np.abs(bits).sum() < 8:
        return None
    best: tuple[float, Board, int, bool, int, int] | None = None
    turns = [(turn, flip) for flip in ((False, True) if mirrors else (False,)) for turn in range(4)]
    tries = len(turns) * sum(board.bits.size for board in boards) // 2
    for turn, flip in turns:
        seen, shade = _turn(bits, turn, flip), _turn(dark, turn, flip)
        for board in boards:
            found = _best_shift(seen, shade, board, tries)
            if found is not None and (best is None or found[0] < best[0]):
                best = (found[0], board, turn, flip, found[1], found[2])
    if best is None or best[0] > CHANCE_LOG10:
        return None
    chance, board, turn, flip, down, right = best
    nodes = _turn(patch.nodes, turn, flip)
    rows, columns = np.nonzero(nodes >= 0)
    on = (rows + down >= 0) & (rows + down < board.shape[0]) & (columns + right >= 0) & (columns + right < board.shape[1])
    spots = np.column_stack([rows + down, columns + right])[on]
    return Match(board, spots, nodes[rows, columns][on], chance, flip)


def _turn(grid: NDArray[np.int8] | Whole, turn: int, flip: bool) -> NDArray[np.int64]:
    turned = np.rot90(grid[:, ::-1] if flip else grid, turn)
    return np.asarray(turned, dtype=np.int64)


def _best_shift(seen: Whole, shade: Whole, board: Board, tries: int) -> tuple[float, int, int] | None:
    """(chance, rows down, columns right) of the best shift of one turn of a patch over one board."""
    from scipy.signal import correlate

    ours = np.where(board.bits, 1.0, -1.0)
    inside = np.ones(board.bits.shape)
    score = np.rint(correlate(ours, seen.astype(float), method="fft"))
    known = np.rint(correlate(inside, np.abs(seen).astype(float), method="fft"))
    shades = np.rint(correlate(board.parity, shade.astype(float), method="fft"))
    counted = np.rint(correlate(inside, np.abs(shade).astype(float), method="fft"))
    total = float(np.abs(shade).sum())
    wrong = (known - score) / 2
    fits = (known >= 8) & (shades > 0.8 * counted) & (counted > 0.85 * total) & (wrong <= 0.25 * known)
    best: tuple[float, int, int] | None = None
    for row, column in np.argwhere(fits):
        chance = _chance(int(known[row, column]), int(wrong[row, column]), tries)
        if best is None or chance < best[0]:
            best = (chance, int(row) - (seen.shape[0] - 1), int(column) - (seen.shape[1] - 1))
    return best
