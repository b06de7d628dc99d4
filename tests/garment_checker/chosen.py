"""What was chosen is there: a style that silently draws something else is no draft of it."""

from collections.abc import Iterator, Mapping
from math import pi

import numpy as np

from tests.garment_checker.corners import straight_mm
from tests.garment_checker.fault import Fault
from tests.garment_checker.girths import hem_mm
from tests.garment_checker.model import Garment, Piece

RING_MM = 0.05  # how far a circle's waist and hem may stray from their radius: flattening (reached: under 0.02)
HEM_SHARE = 0.001  # of a circle's hem: chords are shorter than their arc
GATHERED = 1.33  # common practice (DRAFT 3.7), a third more; reached: 1.39
FLARED_MM = 40.0  # hem over the spread head: 60 to 200 over the arm's own (DRAFT 3.11); reached: 47 on the thickest arm
STRAIGHT_MM, BENT_MM = 0.1, 4.0  # a V's side; the flattest round neck


def _radius_spread(piece: Piece, kind: str) -> tuple[float, float]:
    """Radius of the circle through an edge, and how far the edge leaves it."""
    line = np.vstack([edge.line for edge in piece.edges if edge.kind == kind])
    a = np.column_stack([2 * line, np.ones(len(line))])
    x, y, c = np.linalg.lstsq(a, (line**2).sum(axis=1), rcond=None)[0]
    away = np.hypot(line[:, 0] - x, line[:, 1] - y)
    return float(np.sqrt(c + x * x + y * y)), float(np.ptp(away))


def circle(garment: Garment, style: Mapping[str, object]) -> Iterator[Fault]:
    """A circle skirt's waist and hem are arcs of one middle, the hem as long as the turn makes it."""
    if style.get("skirt") != "circle":
        return
    turn = float(str(style.get("circle_turn", 1.0)))
    skirts = [piece for piece in garment.main if piece.part.startswith("skirt")]
    for piece in skirts:
        for kind in ("waist", "hem"):
            radius, spread = _radius_spread(piece, kind)
            if spread > RING_MM:
                yield Fault("circle", f"{piece.name}/{kind}", f"radius {radius:.1f} varies by {spread:.2f} mm")
    waist = sum(e.length_mm * p.copies for p in skirts for e in p.edges if e.kind == "waist")
    depth = min(_radius_spread(p, "hem")[0] - _radius_spread(p, "waist")[0] for p in skirts)
    wanted, found = waist + 2 * pi * turn * depth, hem_mm(garment) or 0.0
    if abs(found - wanted) > HEM_SHARE * wanted:
        yield Fault("circle", "hem", f"{found:.0f} mm, a turn of {turn} makes {wanted:.0f}")


def _wanted(style: Mapping[str, object]) -> Iterator[tuple[str, bool, str]]:
    """(what, wanted, part it must have)."""
    bodice, sleeve = bool(style.get("bodice", True)), str(style.get("sleeve", "none"))
    yield "bodice", bodice, "back"
    yield "sleeve", bodice and sleeve not in ("none", "flutter", "off_shoulder"), "sleeve"
    yield "flutter", sleeve == "flutter", "flutter"
    yield "peplum", bool(style.get("peplum_mm", 0)), "peplum"
    yield "waistband", not bodice, "waistband"
    yield "inset", style.get("inset", "none") != "none", "inset"
    yield "side front", bodice and style.get("princess", "armhole") != "none", "front_side"


def parts(garment: Garment, style: Mapping[str, object]) -> Iterator[Fault]:
    """Parts that the style asks for are there, and no others."""
    have = {piece.part for piece in garment.pieces.values() if piece.of not in ("lining", "facing", "interfacing")}
    for what, wanted, part in _wanted(style):
        if wanted != any(name.startswith(part) for name in have):
            yield Fault("chosen", what, f"wanted {wanted}, parts are {sorted(have)}")


def necks(garment: Garment, style: Mapping[str, object]) -> Iterator[Fault]:
    """A V is straight, a square has two edges, the others bend."""
    front = next((p for p in garment.main if p.part == "front"), None)
    if front is None or style.get("sleeve") == "off_shoulder":  # its top line is judged by itself
        return
    edges = [edge for edge in front.edges if edge.kind == "neck"]
    neck = str(style.get("neck", "round"))
    bow = max(straight_mm(edge) for edge in edges)
    is_bent_wrongly = bow > STRAIGHT_MM if neck in ("v", "square") else bow < BENT_MM
    if len(edges) != (2 if neck == "square" else 1) or is_bent_wrongly:
        yield Fault("chosen", "neck", f"{neck}: {len(edges)} edges, bowed by {bow:.1f} mm")


def gathers(garment: Garment, style: Mapping[str, object]) -> Iterator[Fault]:
    """A puff is gathered by a third or more at cap and hem; a flared hem is wider than its biceps."""
    sleeve = next((p for p in garment.main if p.part == "sleeve"), None)
    if sleeve is None:
        return
    if style.get("sleeve") == "puff":
        for seam in garment.seams:
            if (
                any(name == sleeve.name and sleeve.edge(edge).kind == "gather" for name, edge in seam.a)
                and seam.a_mm < GATHERED * seam.b_mm
            ):
                yield Fault("chosen", seam.name, f"{seam.a_mm:.0f} mm gathered to {seam.b_mm:.0f}")
    hem = sum(edge.length_mm for edge in sleeve.edges if edge.kind == "hem")
    wide = float(np.ptp(np.vstack([edge.line for edge in sleeve.edges if edge.kind == "cap"])[:, 0])) if "cap" in sleeve.kinds else 0.0
    if style.get("sleeve") == "flared" and hem < wide + FLARED_MM:
        yield Fault("chosen", "sleeve", f"hem {hem:.0f} mm on a sleeve {wide:.0f} wide")


CHECKS = (circle, parts, necks, gathers)
