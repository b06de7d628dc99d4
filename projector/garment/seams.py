"""Which edges are sewn to which, and which corners must meet. Built from the pieces that are there."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from projector.garment.pieces import Edge, Join, Piece, Seam, line_length

PLAIN_MM = 0.5
"""Two edges of one length: far under the 1/16 in (1.6 mm) that Threads 200 allows along a seam."""
Run = Sequence[tuple[str, str]]
JOIN_TOL_DEG, CAP_TOL_DEG = 3.0, 12.0
"""How far corners that run on may miss 180 degrees; a gathered or eased cap by more."""


@dataclass(frozen=True, slots=True)
class Wardrobe:
    """Pieces by name, to look edges up."""

    pieces: Mapping[str, Piece]

    def edge(self, piece: str, edge: str) -> Edge:
        """An edge by piece and name."""
        return next(found for found in self.pieces[piece].edges if found.name == edge)

    def has(self, piece: str, edge: str) -> bool:
        """There is such a piece with such an edge."""
        return piece in self.pieces and any(found.name == edge for found in self.pieces[piece].edges)

    def run_mm(self, run: Run) -> float:
        """Length of a run, mm."""
        return sum(line_length(self.edge(piece, edge).points) for piece, edge in run)

    def seam(self, name: str, a: Run, b: Run, ease: float = 0.0, slack: float = PLAIN_MM) -> Seam:
        """Seam whose first run is `ease` longer than its second."""
        return Seam(
            name, tuple(a), tuple(b), round(self.run_mm(a), 4), round(self.run_mm(b), 4), (round(ease - slack, 4), round(ease + slack, 4))
        )


def smooth_join(name: str, at: Iterable[tuple[str, str, str]], tol_deg: float = JOIN_TOL_DEG) -> Join:
    """Corners that run on smoothly when sewn."""
    return Join(name, tuple(at), 180.0, tol_deg)
