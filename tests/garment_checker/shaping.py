"""P11 to P18, P23 and P24: darts, armhole, cap, sleeve, shoulder, cup, necks and hems level at the centre."""

from collections.abc import Iterator

import numpy as np
import shapely
from shapely.geometry import LineString, Point

from tests.garment_checker.fault import Fault
from tests.garment_checker.girths import STATED_MM, girth_mm, is_above
from tests.garment_checker.model import Edge, Garment, Piece
from tests.garment_checker.shapes import Line, turn_deg

DART_MM = (3.0, 45.0)  # P11
FRONT_DART_MM = 75.0
LEGS_MM = 0.01  # P11 asks for 0.5; points are told to 1e-4
TIP_CLEAR_MM = 15.0
ARMHOLE_MM = (70.0, 260.0)  # P12, or 0.55 arm above
CAP_EASE_MM = (0.0, 38.0)  # P13
CAP_HEIGHT = (0.20, 0.40)  # P14, of the armhole
BICEPS_MM = 40.0  # P15
HAND = 1.28  # P16, of the wrist (DRAFT 3.8)
SHOULDER_MM = 25.0  # P17
CUP_DEG = 6.0  # P18
FRONT_HIGHER_MM = 5.0  # P23, for a cup of 100 mm
BIG_CUP_MM = 100.0
SMALL_CUP_MM = 60.0  # a smaller one is asked after (DRAFT 2) and may lie flat
LEVEL_MM = 0.3  # P24: thinner than a chalk line
NECKED, HEMMED = ("front", "back"), ("skirt_front", "skirt_back")


def _gap(p: Line, q: Line) -> float:
    return float(np.hypot(*(p - q)))


def _clear_mm(piece: Piece, tip: Line) -> float:
    """Distance of a dart's tip from every edge that is not a leg through it."""
    point = Point(tip)
    others = [e for e in piece.edges if e.kind != "dart" or min(_gap(e.line[0], tip), _gap(e.line[-1], tip)) > 0.1]
    return min(float(e.shape.distance(point)) for e in others if not e.fold)


def _dart(piece: Piece, legs: Line, where: str) -> Iterator[Fault]:
    if len(legs) == 3:
        one, tip, two = legs
        width, uneven = _gap(one, two), abs(_gap(one, tip) - _gap(two, tip))
        tips = [tip]
        drawn = [e for e in piece.edges if e.kind == "dart" and min(_gap(e.line[0], tip), _gap(e.line[-1], tip)) < 0.05]
        mouths = [e.line[i] for e in drawn for i in (0, -1)]
        if len(drawn) != 2 or max(min(_gap(end, m) for m in mouths) for end in (one, two)) > 0.05:
            yield Fault("P11", where, "its legs are not two dart edges of the outline")
    elif len(legs) == 4:
        top, left, bottom, right = legs
        width = _gap(left, right)
        uneven = max(abs(_gap(top, left) - _gap(top, right)), abs(_gap(bottom, left) - _gap(bottom, right)))
        tips = [top, bottom]
        if not piece.shape.contains(LineString(np.vstack([legs, legs[:1]]))):
            yield Fault("P11", where, "a contour dart leaves the piece")
    else:
        yield Fault("P11", where, f"{len(legs)} points")
        return
    front = "front" in piece.part or "front" in piece.name
    if not DART_MM[0] <= width <= (FRONT_DART_MM if front else DART_MM[1]):
        yield Fault("P11", where, f"{width:.1f} mm wide")
    if uneven > LEGS_MM:
        yield Fault("P11", where, f"legs differ by {uneven:.2f} mm")
    for tip in tips:
        if (clear := _clear_mm(piece, tip)) < TIP_CLEAR_MM:
            yield Fault("P11", where, f"tip {clear:.1f} mm from an edge")


def darts(garment: Garment) -> Iterator[Fault]:
    """P11: width, even legs, tips clear; every dart edge of the outline belongs to one."""
    for piece in garment.pieces.values():
        for number, legs in enumerate(piece.darts, 1):
            yield from _dart(piece, legs, f"{piece.name}/dart {number}")
        mouths = sum(len(legs) == 3 for legs in piece.darts)
        edges = sum(e.kind == "dart" for e in piece.edges)
        if edges != 2 * mouths:
            yield Fault("P11", piece.name, f"{edges} dart edges for {mouths} mouth darts")
        for edge in piece.edges:
            if edge.kind == "dart" and edge.allowance_mm != 0:
                yield Fault("P11", f"{piece.name}/{edge.name}", f"allowance {edge.allowance_mm} along a dart leg")


def sides_mm(garment: Garment, kind: str) -> float:
    """Length of a kind of edge over one side of her, `of: main`."""
    return sum(e.length_mm * p.copies for p in garment.main for e in p.edges if e.kind == kind) / 2.0


def armhole(garment: Garment) -> Iterator[Fault]:
    """P12: the arm goes in, and the hole does not gape."""
    hole = sides_mm(garment, "armhole")
    if hole == 0 or any(piece.part.startswith("shoulder_band") for piece in garment.main):
        return  # under an off-shoulder band only a part of it is left: off_shoulder.loop
    arm = garment.measures["upper_arm"]
    over = hole - arm
    if over < ARMHOLE_MM[0] or over > max(ARMHOLE_MM[1], 0.55 * arm):
        yield Fault("P12", "armhole", f"{hole:.1f} round an arm of {arm:.1f}: {over:.1f} over")


def _caps(piece: Piece) -> list[Edge]:
    return [edge for edge in piece.edges if edge.kind == "cap"]


def sleeve(garment: Garment) -> Iterator[Fault]:
    """P13 to P16: cap ease, cap height, biceps, hand."""
    hole = sides_mm(garment, "armhole")
    for piece in garment.main:
        caps = _caps(piece)
        if not caps:
            continue
        ease = sum(edge.length_mm for edge in caps) - hole
        if not CAP_EASE_MM[0] <= ease <= CAP_EASE_MM[1]:
            yield Fault("P13", piece.name, f"cap ease {ease:.1f} on an armhole of {hole:.1f}")
        ys = np.concatenate([edge.line[:, 1] for edge in caps])
        ends = max(caps[0].line[0, 1], caps[-1].line[-1, 1])
        height = (ends - ys.min()) / hole
        if not CAP_HEIGHT[0] <= height <= CAP_HEIGHT[1]:
            yield Fault("P14", piece.name, f"cap {height:.2f} of the armhole high")
    biceps = girth_mm(garment, "biceps")
    told = garment.finished.get("biceps_mm")
    if biceps is not None:
        if told is None or abs(biceps - told) > STATED_MM:
            yield Fault("P15", "biceps", f"finished says {told}, the slice gives {biceps:.1f}")
        if biceps - (arm := garment.measures["upper_arm"]) < BICEPS_MM:
            yield Fault("P15", "biceps", f"{biceps:.1f} on an arm of {arm:.1f}")
    for piece in garment.main:
        if _caps(piece):
            wrist = garment.measures["wrist"]
            hem = sum(edge.length_mm for edge in piece.edges if edge.kind in ("hem", "gather"))
            if hem < HAND * wrist:
                yield Fault("P16", piece.name, f"hem {hem:.1f} over a hand of a {wrist:.1f} wrist")


def shoulder(garment: Garment) -> Iterator[Fault]:
    """P17: strap enough to hold the dress."""
    for piece in garment.main:
        width = sum(edge.length_mm for edge in piece.edges if edge.kind == "shoulder")
        split = any(edge.kind == "princess" for edge in piece.edges)
        if 0 < width < (SHOULDER_MM / 2 if split else SHOULDER_MM):
            yield Fault("P17", piece.name, f"shoulder {width:.1f} mm")


def _middle_deg(piece: Piece, edge: Edge, at: Line) -> float:
    """Angle of cloth at a point of an edge between its ends' directions."""
    to_start, to_end = edge.line[0] - at, edge.line[-1] - at
    inside = turn_deg(to_end, to_start) % 360.0
    return inside if piece.area > 0 else 360.0 - inside


def _bust_notch(piece: Piece, edge: Edge) -> Line | None:
    """The point of a princess edge at the bust level."""
    level = piece.levels.get("bust")
    if not isinstance(level, int | float):
        return None
    x0, _, x1, _ = piece.shape.bounds
    hit = shapely.intersection(edge.shape, LineString([(x0 - 10, level), (x1 + 10, level)]))
    points = shapely.get_coordinates(hit)
    return np.asarray(points[0]) if len(points) else None


def cup(garment: Garment) -> Iterator[Fault]:
    """P18: round the bust point the two princess pieces hold less cloth than a flat sheet: a cup."""
    for seam in garment.seams:
        if "princess" not in seam.name.lower() or len(seam.a) != 1 or len(seam.b) != 1:
            continue
        total = 0.0
        sides = [(garment.pieces[p], garment.pieces[p].edge(e)) for p, e in (seam.a[0], seam.b[0])]
        if any(piece.of != "main" or "front" not in piece.part + piece.name for piece, _ in sides):
            continue
        for piece, edge in sides:
            at = _bust_notch(piece, edge)
            if at is None:
                yield Fault("P18", seam.name, f"{piece.name} has no bust level across its princess edge")
                return
            total += _middle_deg(piece, edge, at)
        if 360.0 - total < CUP_DEG and garment.measures["bust"] - garment.measures["underbust"] >= SMALL_CUP_MM:
            yield Fault("P18", seam.name, f"only {360 - total:.1f} degrees of cup")


def _neck_over_waist_mm(garment: Garment, side: str) -> float | None:
    """Neck point over the side waist, through the bust level that its pieces share."""
    up = down = None
    for piece in garment.main:
        level = piece.levels.get("bust")
        if side not in piece.part + piece.name or not isinstance(level, int | float):
            continue
        for before, after in zip((piece.edges[-1], *piece.edges[:-1]), piece.edges, strict=True):
            if {before.kind, after.kind} == {"neck", "shoulder"}:
                up = level - float(after.line[0, 1])
            if {before.kind, after.kind} == {"side", "waist"}:
                down = float(after.line[0, 1]) - level
    return up + down if up is not None and down is not None else None


def front_longer(garment: Garment) -> Iterator[Fault]:
    """P23: a full cup needs a front that is higher than the back over the waist."""
    if not any(map(is_above, garment.main)) or garment.measures["bust"] - garment.measures["underbust"] < BIG_CUP_MM:
        return
    front, back = _neck_over_waist_mm(garment, "front"), _neck_over_waist_mm(garment, "back")
    if front is not None and back is not None and front - back < FRONT_HIGHER_MM:
        yield Fault("P23", "front", f"{front:.1f} against {back:.1f} behind, neck point over side waist")


def lowest_at_the_centre(garment: Garment) -> Iterator[Fault]:
    """P24: a neckline, and the hem of a skirt, hang lowest at the centre; what dips beside it is a hollow that no cutter chalks."""
    for piece in garment.pieces.values():
        for kind, parts in (("neck", NECKED), ("hem", HEMMED)):
            edges = [edge for edge in piece.edges if edge.kind == kind]
            if piece.part not in parts or not edges:
                continue
            line = np.vstack([edge.line for edge in edges])
            centre = line[np.abs(line[:, 0]) <= np.abs(line[:, 0]).min() + 0.01][:, 1].max()
            dip = float(line[:, 1].max() - centre)
            if dip > LEVEL_MM:
                yield Fault("P24", piece.name, f"its {kind} dips {dip:.1f} mm under its own centre")
