"""The off-shoulder band: a doubled strip round chest, back and both upper arms, on a bodice that ends above the bust.

Written before the draft. Limits without a source are judgement: no table prints such a band.
"""

from collections.abc import Iterator, Mapping

import numpy as np

from tests.garment_checker.fault import Fault
from tests.garment_checker.model import Edge, Garment, Piece
from tests.garment_checker.shapes import interior_deg

PART = "shoulder_band"
SMALLER = (0.01, 0.06)  # of round shoulders: a band as large as the body slides down, a much smaller one lifts the arms
HEAD_MM = 580.0  # a ring that does not open passes the head: common practice (DRAFT 4)
LOOP_MM = (24.0, 230.0)  # open armhole and band over the arm, over the arm's own girth
FREE_MM = 60.0  # the stretch over one arm
HELD = (0.0, 0.05)  # of the top line, drawn in by the band: above the bust no block is close (NIMI, contour styles)
FINISHED_MM = (40.0, 80.0)  # height of the band, doubled
OVER_BUST_MM = 50.0  # top line over the bust line at the centre
OVER_UNDERARM_MM = 20.0
SQUARE_DEG = 0.5
STRAIGHT_MM = 0.05
END_SNIP_MM = 0.1
# ASTM D5585-11e1, sizes 00 to 20, inches: bust and shoulder girth (round both arms), as astm.org's page prints them.
ASTM_BUST = (31.125, 31.75, 33, 34.125, 35.25, 36.25, 37.25, 38.75, 40.375, 42.125, 44, 46)
ASTM_SHOULDER = (37.125, 37.75, 38.375, 39, 39.75, 40.5, 41.25, 42, 43, 44.25, 45.5, 46.875)
STAND_IN_MM = 60.0  # the rule may move with the arm: half of what a real arm strays from the mean one (99 % within 100 mm)


def _bands(garment: Garment) -> list[Piece]:
    return [piece for piece in garment.pieces.values() if piece.part.startswith(PART)]


def _is_chosen(style: Mapping[str, object]) -> bool:
    return style.get("sleeve") == "off_shoulder"


def parts(garment: Garment, style: Mapping[str, object]) -> Iterator[Fault]:
    """A band of the main cloth, front on the fold and back; no shoulder, sleeve, neck facing or neck binding is left."""
    bands = _bands(garment)
    if bool(bands) != _is_chosen(style):
        yield Fault("band", "garment", f"{len(bands)} pieces of an off-shoulder band, sleeve is {style.get('sleeve')}")
    if not bands:
        return
    sides = sorted("front" if "front" in piece.part else "back" for piece in bands)
    if sides != ["back", "front"] or any(piece.of != "main" for piece in bands) or any(piece.copies != 2 for piece in bands):
        yield Fault("band", "garment", f"bands {[(p.name, p.of, p.copies) for p in bands]}, wanted one front and one back, both halves")
    for piece in garment.pieces.values():
        if gone := piece.kinds & {"shoulder", "cap"}:
            yield Fault("band", piece.name, f"a {sorted(gone)} edge where no shoulder is")
        if piece.of == "facing" or (piece.part == "binding" and "neck" in piece.name):
            yield Fault("band", piece.name, "nothing but the band finishes the top line")


def strips(garment: Garment, style: Mapping[str, object]) -> Iterator[Fault]:
    """Each half is a straight doubled strip, front and back equally high."""
    del style
    highs = []
    for piece in _bands(garment):
        for before, after in zip((piece.edges[-1], *piece.edges[:-1]), piece.edges, strict=True):
            chord = (after.line[-1] - after.line[0]) / np.hypot(*(after.line[-1] - after.line[0]))
            away = np.abs((after.line - after.line[0]) @ np.array([-chord[1], chord[0]]))
            angle = interior_deg(before.line, after.line, piece.area)
            if away.max() > STRAIGHT_MM or min(abs(angle - 90.0), abs(angle - 180.0)) > SQUARE_DEG:
                yield Fault("band", f"{piece.name}/{after.name}", f"bows {away.max():.2f} mm, {angle:.1f} degrees to {before.name}")
        _, y0, _, y1 = piece.shape.bounds
        highs.append(float(y1 - y0) / 2)
    if highs and (max(highs) - min(highs) > STRAIGHT_MM or not FINISHED_MM[0] <= min(highs) <= FINISHED_MM[1]):
        yield Fault("band", "height", f"finished {[round(high, 1) for high in highs]} mm")


def _joined(garment: Garment, side: str) -> list[tuple[float, float]]:
    """(band edge, top line) of every seam between a half of the band and the bodice's neck edges."""
    found = []
    for seam in garment.seams:
        for one, two in ((seam.a, seam.b), (seam.b, seam.a)):
            ours = all(garment.pieces[p].part.startswith(PART) and side in garment.pieces[p].part for p, _ in one)
            tops = all(garment.pieces[p].of == "main" and garment.pieces[p].edge(e).kind == "neck" for p, e in two)
            if ours and tops:
                found.append((garment.run_mm(one), garment.run_mm(two)))
    return found


def joined(garment: Garment, style: Mapping[str, object]) -> Iterator[Fault]:
    """The band is sewn to the whole top line, front and back, which it draws in a little and never stretches."""
    if not _is_chosen(style):
        return
    for side in ("front", "back"):
        tops = sum(e.length_mm for p in garment.main if p.part.startswith(side) for e in p.edges if e.kind == "neck")
        pairs = _joined(garment, side)
        if len(pairs) != 1 or abs(pairs[0][1] - tops) > 0.1:
            yield Fault("band", side, f"sewn to {pairs} of a top line of {tops:.1f} mm")
            continue
        share = 1.0 - pairs[0][0] / pairs[0][1]
        if not HELD[0] <= share <= HELD[1]:
            yield Fault("band", side, f"{pairs[0][0]:.1f} mm of band on {pairs[0][1]:.1f} of top line: drawn in by {share:.3f}")


def _round_mm(piece: Piece) -> float:
    x0, _, x1, _ = piece.shape.bounds
    return float(x1 - x0) * piece.copies


def _free_mm(garment: Garment) -> float:
    """Stretch of the band over one arm, front and back half together."""
    joined_mm = sum(band for side in ("front", "back") for band, _ in _joined(garment, side))
    return sum(_round_mm(piece) for piece in _bands(garment)) / 2 - joined_mm


def girth(garment: Garment, style: Mapping[str, object]) -> Iterator[Fault]:
    """A little smaller than she is round both arms; told when the measure was not taken, or when the arm wants it larger."""
    bands = _bands(garment)
    if not bands:
        return
    told = " ".join(garment.warnings).lower()
    whole, body = sum(_round_mm(piece) for piece in bands), garment.measures.get("round_shoulders")
    if "elastic" not in told or "band" not in told:
        yield Fault("band", "warnings", "nothing says what keeps the band up")
    if style.get("zip", "back") == "side" and whole < HEAD_MM:
        yield Fault("band", "girth", f"a closed ring of {whole:.0f} mm does not pass the head")
    if "lengthened" in told:
        return
    if body is not None:
        if not SMALLER[0] <= 1.0 - whole / body <= SMALLER[1]:
            yield Fault("band", "girth", f"{whole:.0f} mm on a body of {body:.0f} round both arms")
        return
    slope, start = np.polyfit(np.array(ASTM_BUST) * 25.4, np.array(ASTM_SHOULDER) * 25.4, 1)
    expected = 0.97 * (start + slope * garment.measures["bust"])
    if "not measured" not in told:
        yield Fault("band", "warnings", "round shoulders was not measured and nothing says so")
    if abs(whole - expected) > STAND_IN_MM:
        yield Fault("band", "girth", f"{whole:.0f} mm; published rows lead to {expected:.0f}")


def loop(garment: Garment, style: Mapping[str, object]) -> Iterator[Fault]:
    """Each arm goes through the open part of its armhole and under the free part of the band."""
    if not _is_chosen(style):
        return
    arm = garment.measures["upper_arm"]
    free = _free_mm(garment)
    hole = sum(e.length_mm * p.copies for p in garment.main for e in p.edges if e.kind == "armhole") / 2.0
    if free < FREE_MM:
        yield Fault("band", "arm", f"{free:.0f} mm of band over one arm")
    if not LOOP_MM[0] <= free + hole - arm <= LOOP_MM[1]:
        yield Fault("band", "arm", f"{free:.0f} of band and {hole:.0f} of armhole round an arm of {arm:.0f} mm")


def _ends(piece: Piece, one: str, two: str) -> tuple[Edge, Edge] | None:
    """Neighbouring edges of these kinds, in the outline's order."""
    for before, after in zip((piece.edges[-1], *piece.edges[:-1]), piece.edges, strict=True):
        if (before.kind, after.kind) == (one, two):
            return before, after
    return None


def top_line(garment: Garment, style: Mapping[str, object]) -> Iterator[Fault]:
    """The bodice ends above the bust at the centre and above the underarm at the side, front and back."""
    if not _is_chosen(style):
        return
    for piece in garment.main:
        if piece.part.startswith("front") and any(edge.fold for edge in piece.edges):
            bust = piece.levels.get("bust")
            level = bust if isinstance(bust, int | float) else bust[0][1] if bust else np.inf
            lowest = max(float(edge.line[0, 1]) for edge in piece.edges if edge.kind == "neck")
            if level - lowest < OVER_BUST_MM:
                yield Fault("band", piece.name, f"the top line lies {level - lowest:.0f} mm over the bust line")
        meet = _ends(piece, "armhole", "side")
        if meet is None:
            continue
        chord = meet[0].line[-1] - meet[0].line[0]
        if float(np.hypot(*chord)) < OVER_UNDERARM_MM or (piece.part == "back" and chord[1] < OVER_UNDERARM_MM):
            yield Fault("band", piece.name, f"its armhole goes only {np.hypot(*chord):.0f} mm up from the underarm")


def end_snips(garment: Garment, style: Mapping[str, object]) -> Iterator[Fault]:
    """A snip on either half tells where the bodice ends and the arm begins, another where the fold comes."""
    del style
    for piece in _bands(garment):
        _, y0, x1, y1 = piece.shape.bounds
        seams = {at for seam in garment.seams for run in (seam.a, seam.b) for at in run if len(seam.a) == 1 or len(seam.b) == 1}
        ends = [e.line[i] for e in piece.edges if e.kind == "band" and (piece.name, e.name) in seams for i in (0, -1)]
        inner = [end for end in ends if abs(end[1] - y1) < 0.01 and 1.0 < end[0] < x1 - 1.0]
        at = [np.array(notch["at"]) for notch in piece.notches]
        if not inner or min((float(np.hypot(*(inner[0] - p))) for p in at), default=np.inf) > END_SNIP_MM:
            yield Fault("band", piece.name, "no snip where the bodice ends")
        if min((float(np.hypot(*(np.array([x1, (y0 + y1) / 2]) - p))) for p in at), default=np.inf) > END_SNIP_MM:
            yield Fault("band", piece.name, "no snip where it is folded")


CHECKS = (parts, strips, joined, girth, loop, top_line, end_snips)
