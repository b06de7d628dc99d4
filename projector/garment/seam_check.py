"""Do they meet? Every seam walked edge along edge, in words; nothing passes unsewn. mm in, her unit out."""

from dataclasses import dataclass

import numpy as np

from calibration.units import Unit, length_text
from projector.garment.pieces import Edge, Garment, Point, Seam, line_length
from projector.garment.seams import Wardrobe

MEETS_MM = 1.6
"""1/16 in along a seam: Threads 200."""
UNSEWN_FREELY = frozenset({"hem", "facing", "opening", "dart"})
FINISHED_BY_WORDS = frozenset({"neck", "armhole"})


@dataclass(frozen=True, slots=True)
class Told:
    """One seam or edge: does it meet, and what to read out."""

    name: str
    is_good: bool
    says: str


def _arc_of(edge: Edge, at: Point) -> float:
    """How far along an edge a point lies."""
    xy = np.asarray(edge.points)
    steps = np.diff(xy, axis=0)
    spans = np.hypot(*steps.T)
    along = np.clip(((np.asarray(at) - xy[:-1]) * steps).sum(axis=1) / np.maximum(spans**2, 1e-12), 0, 1)
    off = np.hypot(*(xy[:-1] + steps * along[:, None] - np.asarray(at)).T)
    nearest = int(np.argmin(off))
    return float(spans[:nearest].sum() + spans[nearest] * along[nearest])


def _marks(garment: Garment, run: tuple[tuple[str, str], ...]) -> list[tuple[float, float, int]]:
    """(from the run's start, whole run, snips) of every notch, edges taken in the order listed."""
    table = Wardrobe({piece.name: piece for piece in garment.pieces})
    whole, start, found = table.run_mm(run), 0.0, []
    for piece, name in run:
        edge = table.edge(piece, name)
        found += [(start + _arc_of(edge, n.at), whole, n.count) for n in garment.piece(piece).notches if n.edge == name]
        start += line_length(edge.points)
    return found


def _lost_marks(garment: Garment, seam: Seam) -> int:
    """Notches of a one-edge seam without partner within 1/16 in (counted from either end, so that ease does not matter)."""
    if len(seam.a) != 1 or len(seam.b) != 1 or seam.a == seam.b:
        return 0
    a, b = _marks(garment, seam.a), _marks(garment, seam.b)

    def meets(one: tuple[float, float, int], others: list[tuple[float, float, int]]) -> bool:
        ends = (one[0], one[1] - one[0])
        return min(ends) <= MEETS_MM or any(
            abs(end - mark) <= MEETS_MM for end in ends for arc, whole, count in others if count == one[2] for mark in (arc, whole - arc)
        )

    return sum(not meets(one, b) for one in a) + sum(not meets(one, a) for one in b)


def _seam_words(garment: Garment, seam: Seam, unit: Unit) -> Told:
    table = Wardrobe({piece.name: piece for piece in garment.pieces})
    a_mm, b_mm = table.run_mm(seam.a), table.run_mm(seam.b)
    low, high = seam.ease_mm
    more = a_mm - b_mm
    is_good = low - 0.05 <= more <= high + 0.05
    first, second = seam.a[0][0], seam.b[0][0]
    size = length_text(b_mm, unit)
    if seam.a == seam.b:
        says = f"{seam.name}: both halves {size}, they meet."
    elif not is_good:
        says = (
            f"{seam.name}: {first} is {length_text(more, unit)} longer than {second}; it does not meet. Look at both pieces before cutting."
        )
    elif abs(more) <= MEETS_MM:
        says = f"{seam.name}: {size}, they meet."
    else:
        longer, shorter = (first, second) if more > 0 else (second, first)
        says = f"{seam.name}: {longer} is {length_text(abs(more), unit)} longer than {shorter}, to be eased or gathered in."
    lost = _lost_marks(garment, seam)
    if lost:
        return Told(seam.name, False, f"{says} {lost} of its notches have no partner.")
    return Told(seam.name, is_good, says)


def _unsewn(garment: Garment) -> list[Told]:
    sewn = {at for seam in garment.seams for at in (*seam.a, *seam.b)}
    words = " ".join(garment.warnings).lower()
    found = []
    for piece in garment.pieces:
        if piece.of == "interfacing":
            continue
        for edge in piece.edges:
            if edge.fold or edge.kind in UNSEWN_FREELY or (piece.name, edge.name) in sewn:
                continue
            if edge.kind in FINISHED_BY_WORDS and edge.kind in words:
                found.append(Told(f"{piece.name}, {edge.name}", True, f"{piece.name}, {edge.name}: bound or turned, see the warnings."))
            else:
                found.append(Told(f"{piece.name}, {edge.name}", False, f"{piece.name}, {edge.name}: sewn to nothing."))
    return found


def seam_report(garment: Garment, unit: Unit = "mm") -> tuple[Told, ...]:
    """Every seam and every edge without one, in words."""
    return (*(_seam_words(garment, seam, unit) for seam in garment.seams), *_unsewn(garment))
