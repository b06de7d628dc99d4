"""Spots in one photograph: printed ones by red and blue, spots of light by green against red and blue, known by their codes.

Red and blue are steady in the light, so there only ink shows; green divided by them loses the ink and keeps the light.
Logarithms make both independent of how bright a place is; what green light leaks into red and blue is taken out by its own edges.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from calibration.arrays import Array, Whole
from calibration.board import Board
from calibration.codes import Match, recognise
from calibration.lattice import patches_of
from calibration.photograph import Photograph, full_from_small
from calibration.saddles import Picture, find_saddles

Kind = Literal["printed", "light"]
TRIES: tuple[tuple[float, float], ...] = ((1.6, 5.0), (3.0, 9.0), (1.0, 3.5))
"""Blur and ring radius in px of the reduced picture: squares of 15 to 120 px first, blurred large ones, then small ones."""


@dataclass(frozen=True, slots=True, eq=False)
class Seen:
    """One board in one photograph: rows and columns of its spots, and their rough places in full px; `chance`: log10 of how often
    chance alone would be read as this board (less: surer)."""

    board: Board
    spots: Whole
    at: Array
    mirrored: bool
    chance: float

    @property
    def places(self) -> Array:
        """(N, 2) of its spots on the board itself."""
        return np.asarray(self.board.spots[self.spots[:, 0], self.spots[:, 1]])


def kind_pictures(small: NDArray[np.uint8]) -> dict[Kind, Picture]:
    """(h, w) float32 pictures of ink alone and of light alone."""
    import cv2

    table = np.log((np.arange(256) + 4.0) / 259.0).astype(np.float32)
    blue, green, red = (cv2.LUT(channel, table) for channel in cv2.split(small))
    mixed = cv2.addWeighted(red, 0.6, blue, 0.4, 0.0)
    light = np.asarray(cv2.subtract(green, mixed), dtype=np.float32)
    printed = cv2.addWeighted(mixed, 1.0, light, -_leak(np.asarray(mixed, dtype=np.float32), light), 0.0)
    return {"printed": np.asarray(cv2.exp(printed), dtype=np.float32), "light": light}


def _leak(steady: Picture, light: Picture) -> float:
    """How much of the green light's steps shows in red and blue (sensors mix colours): median ratio of slopes at the light's edges."""
    import cv2

    slopes = []
    for picture in (steady, light):
        smooth = cv2.GaussianBlur(picture, (0, 0), 2.0)[::2, ::2]
        slopes.append(np.stack([cv2.Sobel(smooth, cv2.CV_32F, 1, 0), cv2.Sobel(smooth, cv2.CV_32F, 0, 1)]))
    strong = (slopes[1] ** 2).sum(axis=0)
    edges = strong > np.percentile(strong[::4, ::4], 90)
    share = (slopes[0] * slopes[1]).sum(axis=0)[edges] / strong[edges]
    return float(np.clip(np.median(share), -0.5, 0.5)) if share.size else 0.0


def find_boards(photograph: Photograph, pictures: dict[Kind, Picture], kind: Kind, boards: list[Board], mirrors: bool) -> list[Seen]:
    """Boards of one kind, each from its recognised patches; the first try that finds one of them decides the scale."""
    for sigma, ring in TRIES:
        picture = pictures[kind]
        saddles = find_saddles(picture, sigma, ring)
        patches = patches_of(picture, saddles)
        matches = [match for patch in patches if (match := recognise(picture, saddles, patch, boards, mirrors)) is not None]
        if matches:
            full = full_from_small(saddles.at, photograph.reduced)
            return [
                _joined([match for match in matches if match.board is board], full)
                for board in {id(m.board): m.board for m in matches}.values()
            ]
    return []


def _joined(matches: list[Match], full: Array) -> Seen:
    """All patches of one board; the surer patch keeps a spot that two of them claim."""
    taken: dict[tuple[int, int], int] = {}
    surest = min(matches, key=lambda match: match.chance)
    for match in sorted(matches, key=lambda match: match.chance):
        if match.mirrored == surest.mirrored:
            for (row, column), node in zip(match.spots, match.nodes, strict=True):
                taken.setdefault((int(row), int(column)), int(node))
    spots, nodes = np.array(list(taken.keys())), np.array(list(taken.values()))
    return Seen(surest.board, spots, full[nodes], surest.mirrored, surest.chance)
