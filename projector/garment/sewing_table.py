"""Seams and joins collected while a dress is put together. mm, degrees."""

from collections.abc import Sequence

from projector.garment.pieces import Join, Piece, Seam
from projector.garment.seams import CAP_TOL_DEG, JOIN_TOL_DEG, PLAIN_MM, Wardrobe, smooth_join

RUNS_ON = {"armhole", "waist", "neck", "hem", "shoulder", "cap"}
"""Lines that run on smoothly over a seam."""
Run = list[tuple[str, str]]
Corner = tuple[tuple[str, str, str], str]


class SewingTable:
    """Collects seams and joins of one dress."""

    def __init__(self, pieces: Sequence[Piece]) -> None:
        self.all = Wardrobe({piece.name: piece for piece in pieces})
        self.seams: list[Seam] = []
        self.joins: list[Join] = []

    def has(self, name: str) -> bool:
        """There is a piece of that name."""
        return name in self.all.pieces

    def kind(self, piece: str, *kinds: str) -> Run:
        """All edges of these kinds on a piece, none when it is not there."""
        if not self.has(piece):
            return []
        return [(piece, edge.name) for edge in self.all.pieces[piece].edges if edge.kind in kinds]

    def named(self, piece: str, *names: str) -> Run:
        """These edges of a piece, as far as they are there."""
        return [(piece, name) for name in names if self.all.has(piece, name)]

    def sew(self, name: str, a: Run, b: Run, ease: float = 0.0, slack: float = PLAIN_MM, same_way: bool | None = None) -> None:
        """Add a seam when both runs are there; `same_way`: both run in one direction, so that joins can be told."""
        if not a or not b:
            return
        self.seams.append(self.all.seam(name, a, b, ease, slack))
        if same_way is not None and a[0][0] != b[0][0]:
            self._join_ends(name, a, b, same_way)

    def _join_ends(self, name: str, a: Run, b: Run, same_way: bool) -> None:
        starts_a, ends_a = self.corners(a)
        starts_b, ends_b = self.corners(b)
        pairs = ((starts_a, starts_b), (ends_a, ends_b)) if same_way else ((starts_a, ends_b), (ends_a, starts_b))
        for one, two in pairs:
            if one[1] == two[1] and one[1] in RUNS_ON:
                tolerance = CAP_TOL_DEG if one[1] == "cap" else JOIN_TOL_DEG
                self.joins.append(smooth_join(f"{one[1]} over {name}", (one[0], two[0]), tolerance))

    def corners(self, run: Run) -> tuple[Corner, Corner]:
        """((piece, before, first), kind before), ((piece, last, after), kind after)."""
        piece = self.all.pieces[run[0][0]]
        names = [edge.name for edge in piece.edges]
        first, last = names.index(run[0][1]), names.index(run[-1][1])
        before, after = piece.edges[first - 1], piece.edges[(last + 1) % len(names)]
        return ((piece.name, before.name, run[0][1]), before.kind), ((piece.name, run[-1][1], after.name), after.kind)
