"""P07: corners that meet when sewn run on smoothly. Tangents are this checker's own."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from tests.garment_checker.fault import Fault
from tests.garment_checker.model import Edge, Garment, Piece
from tests.garment_checker.shapes import interior_deg, length_mm

CORNER_DEG = 1.0  # 0.9 mm over 50 mm beside a corner, inside the trade's 1 mm at necks (reached: 0.1, flattened curves)
LINING_CORNER_DEG = 2.0  # its edge lies 2 mm inside the dress's on each piece by itself (reached: 1.3)
DECLARED_DEG, DECLARED_CAP_DEG = 4.0, 12.0  # P07: the most that a file may declare, at any corner and at the cap's end
RUN_ON = {"armhole", "waist", "neck", "hem", "shoulder", "cap"}


@dataclass(frozen=True, slots=True)
class Corner:
    """Where `before` ends and `after` starts on a piece."""

    piece: Piece
    before: Edge
    after: Edge

    @property
    def deg(self) -> float:
        return interior_deg(self.before.line, self.after.line, self.piece.area)

    @property
    def key(self) -> tuple[str, frozenset[str]]:
        return self.piece.name, frozenset({self.before.name, self.after.name})


def corner(piece: Piece, one: str, two: str) -> Corner | None:
    """The corner between two edges named in either order."""
    for before, after in ((one, two), (two, one)):
        if piece.beside(before, 1).name == after:
            return Corner(piece, piece.edge(before), piece.edge(after))
    return None


def _ends(piece: Piece, name: str) -> tuple[tuple[Corner, str], tuple[Corner, str]]:
    """Both corners of an edge with the kind of the neighbour there."""
    edge, before, after = piece.edge(name), piece.beside(name, -1), piece.beside(name, 1)
    return (Corner(piece, before, edge), before.kind), (Corner(piece, edge, after), after.kind)


def meeting(garment: Garment) -> Iterator[tuple[str, str, Corner, Corner]]:
    """(seam, kind that runs on, corner, corner) for every seam of one edge with one edge of the same cloth."""
    for seam in garment.seams:
        if len(seam.a) != 1 or len(seam.b) != 1 or seam.a == seam.b:
            continue
        (pa, ea), (pb, eb) = seam.a[0], seam.b[0]
        a, b = garment.pieces[pa], garment.pieces[pb]
        kind = a.edge(ea).kind
        if a.of != b.of or kind not in ("side", "shoulder", "princess", "centre", "under"):
            continue
        ends_a, ends_b = _ends(a, ea), _ends(b, eb)
        straight = [(ends_a[0], ends_b[0]), (ends_a[1], ends_b[1])]
        crossed = [(ends_a[0], ends_b[1]), (ends_a[1], ends_b[0])]

        def fits(pairs: list[tuple[tuple[Corner, str], tuple[Corner, str]]]) -> tuple[int, float]:
            alike = sum(one[1] == two[1] for one, two in pairs)
            return -alike, sum(abs(one[0].deg + two[0].deg - 180) for one, two in pairs)

        for (one, kind_one), (two, kind_two) in min((straight, crossed), key=fits):
            if kind_one == kind_two and kind_one in RUN_ON:
                yield seam.name, kind_one, one, two


def _most_deg(*corners: Corner) -> float:
    """What corners sewn together may miss by."""
    return LINING_CORNER_DEG if any(each.piece.of == "lining" for each in corners) else CORNER_DEG


def run_on(garment: Garment) -> Iterator[Fault]:
    """P07 found from the seams alone, whatever the file's joins say."""
    declared = [frozenset(c.key for c in found) for _, found in _declared(garment)]
    for seam, kind, one, two in meeting(garment):
        total = one.deg + two.deg
        if abs(total - 180.0) > _most_deg(one, two) and not _pointed(garment, one, two):
            yield Fault("P07", seam, f"the {kind} line breaks: {one.deg:.1f} + {two.deg:.1f} = {total:.1f} degrees")
        if one.piece.of == "main" and not any({one.key, two.key} <= corners for corners in declared):
            yield Fault("join", seam, f"where the {kind} line runs on no join is declared")


def _pointed(garment: Garment, one: Corner, two: Corner) -> bool:
    """A declared sum other than 180 is a corner of the style (the point of a neckline)."""
    both = {one.key, two.key}
    return any(both <= {c.key for c in found} and abs(join["sum_deg"] - 180.0) > 1.0 for join, found in _declared(garment))


def _declared(garment: Garment) -> list[tuple[dict[str, float], list[Corner]]]:
    out = []
    for join in garment.joins:
        found = [corner(garment.pieces[p], one, two) for p, one, two in join["at"]]
        out.append((dict(join), [c for c in found if c is not None]))
    return out


def declared(garment: Garment) -> Iterator[Fault]:
    """P07 for the file's own joins: corners exist and add up."""
    for join in garment.joins:
        found = [corner(garment.pieces[p], one, two) for p, one, two in join["at"]]
        if any(c is None for c in found):
            yield Fault("P07", join["name"], "names edges that do not follow each other")
            continue
        total = sum(c.deg for c in found if c is not None)
        if abs(total - join["sum_deg"]) > _most_deg(*(c for c in found if c is not None)):
            yield Fault("P07", join["name"], f"corners add up to {total:.1f}, not {join['sum_deg']} degrees")
        at_cap = any("cap" in {c.before.kind, c.after.kind} for c in found if c is not None)
        if join["tol_deg"] > (DECLARED_CAP_DEG if at_cap else DECLARED_DEG):
            yield Fault("P07", join["name"], f"a tolerance of {join['tol_deg']} degrees hides a break")


def straight_mm(edge: Edge) -> float:
    """How far the edge bows from its chord."""
    chord = edge.line[-1] - edge.line[0]
    normal = np.array([-chord[1], chord[0]]) / max(float(np.hypot(*chord)), 1e-9)
    return float(np.abs((edge.line - edge.line[0]) @ normal).max())


def square(garment: Garment) -> Iterator[Fault]:
    """P07: 90 degrees where neck, waist and hem meet the fold or the centre back, and where a hem meets a side."""
    for piece in garment.of("main", "lining"):
        for before, after in zip((piece.edges[-1], *piece.edges[:-1]), piece.edges, strict=True):
            here = Corner(piece, before, after)
            if {before.kind, after.kind} == {"hem", "side"} and abs(here.deg - 90.0) > CORNER_DEG:
                yield Fault("P07", piece.name, f"its hem meets the side at {here.deg:.1f} degrees, 90 wanted")
            for centre, other in ((before, after), (after, before)):
                if not (centre.fold or centre.kind in ("centre", "opening")) or other.kind not in ("neck", "waist", "hem"):
                    continue
                pointed = other.kind == "neck" and straight_mm(other) < 0.06 * length_mm(other.line)  # V neck
                vent = centre.kind == "opening" and other.kind == "hem" and abs(here.deg - 180.0) < CORNER_DEG  # the hem of an extension
                if abs(here.deg - 90.0) > CORNER_DEG and not pointed and not vent:
                    yield Fault("P07", piece.name, f"{before.name} meets {after.name} at {here.deg:.1f}, not 90 degrees")
