"""The coded board of saddle points that sheets and frame share: a chequerboard whose squares carry one bit each.

A saddle is a point where two dark and two bright squares meet. Square (row, column) lies between the saddles (row, column)
and (row + 1, column + 1), rows down the page, columns to the right. It is dark when row + column is even. A dot of the
other brightness in its middle is bit 1, no dot is bit 0. The bits come from SHA-256 of the board's name, so a patch of
some twenty squares says which board it belongs to, where on it, and which way round.
"""

import hashlib
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from calibration.arrays import Array

Bits = NDArray[np.bool_]

DOT_RADIUS = 0.22
"""Dot radius as a share of the square's side: 5 mm on paper, yet a third of the side stays free around every saddle."""

PAGES = 6


@dataclass(frozen=True, slots=True, eq=False)
class Board:
    """One drawing. `spots`: (rows, columns, 2) places of the saddles in the drawing's own unit (mm of a page, px of the light)."""

    name: str
    spots: Array
    bits: Bits

    @property
    def shape(self) -> tuple[int, int]:
        """Saddles down, saddles across."""
        return self.spots.shape[0], self.spots.shape[1]

    @property
    def parity(self) -> Array:
        """(rows - 1, columns - 1) 1 for dark squares, -1 for bright ones."""
        return np.where(dark_square(*np.indices(self.bits.shape)), 1.0, -1.0)

    def dots(self) -> list[tuple[float, float, float, bool]]:
        """(x, y, radius, dark) of every dot; a dark dot lies in a bright square."""
        found = []
        for row, column in np.argwhere(self.bits):
            corners = self.spots[row : row + 2, column : column + 2].reshape(4, 2)
            side = float(np.linalg.norm(corners[1] - corners[0]))
            x, y = corners.mean(axis=0)
            found.append((float(x), float(y), DOT_RADIUS * side, not dark_square(int(row), int(column))))
        return found


def dark_square(row: Any, column: Any) -> Any:
    """Squares are dark where row + column is even; holds for the half squares round the board too (row or column -1).

    For numbers or whole arrays of them.
    """
    return (row + column) % 2 == 0


@lru_cache(maxsize=256)
def bits_of(name: str, rows: int, columns: int) -> Bits:
    """(rows, columns) bits of a board's squares: SHA-256 of name and running number, most significant bit first."""
    wanted, stream, number = rows * columns, b"", 0
    while len(stream) * 8 < wanted:
        stream += hashlib.sha256(f"{name}/{number}".encode()).digest()
        number += 1
    found = np.unpackbits(np.frombuffer(stream, dtype=np.uint8))[:wanted].reshape(rows, columns).astype(bool)
    found.setflags(write=False)
    return found


def page_name(paper: str, page: int) -> str:
    """Name of a printed board: `a4 page 3`."""
    return f"{paper} page {page}"


def frame_name(size: tuple[int, int], kind: str = "") -> str:
    """Name of the light's board: `frame 1920x1080`, `frame 1920x1080 fitted`."""
    return f"frame {size[0]}x{size[1]} {kind}".rstrip()
