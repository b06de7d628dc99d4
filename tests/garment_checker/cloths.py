"""Lining, facings, interfacing: each fits the main pieces that it belongs to."""

from collections.abc import Iterator, Mapping

from shapely.geometry import LineString, Point

from tests.garment_checker.fault import Fault
from tests.garment_checker.model import Garment, Piece
from tests.garment_checker.shapes import walked

LINING_HEM_MM = (24.5, 25.5)  # shorter by an inch: 25, DRAFT 3.10
LINING_WAIST_MM = 0.5  # the same sewing lines (reached: under 0.01)
FACING_MM = 38.0  # least width, TRADE 3.1
FACING_SLACK_MM = 1.5  # looked at every 10 mm; reached: 41.5 where a strap is wide enough
STRAP_MM = 10.5  # what a strap narrower than the facing leaves to the lining


def _sum_mm(pieces: list[Piece], kind: str) -> float:
    return sum(e.length_mm * p.copies for p in pieces for e in p.edges if e.kind == kind)


def lining(garment: Garment, style: Mapping[str, object]) -> Iterator[Fault]:
    """A lining goes in: as wide at the waist, its hem shorter, never tighter than the dress."""
    pieces = garment.of("lining")
    wanted = bool(style.get("lining", True))
    if wanted != bool(pieces):
        yield Fault("lining", "garment", f"lining {wanted} asked for, {len(pieces)} pieces of it")
    if not pieces:
        return
    main, lined = _sum_mm(garment.main, "waist"), _sum_mm(pieces, "waist")
    if abs(lined - main) > LINING_WAIST_MM:
        yield Fault("lining", "waist", f"{lined:.1f} in the lining, {main:.1f} in the dress")
    for piece in pieces:
        if piece.cloth == "main":
            yield Fault("lining", piece.name, "cut from the main cloth")
    for part in {p.part for p in pieces} & {p.part for p in garment.main}:
        if not part.startswith("skirt"):
            continue
        main_mm = _tallest(garment.main, part)
        lined_mm = _tallest(pieces, part)
        if not LINING_HEM_MM[0] <= main_mm - lined_mm <= LINING_HEM_MM[1]:
            yield Fault("lining", part, f"{main_mm - lined_mm:.1f} mm shorter than the dress")


def _tallest(pieces: list[Piece], part: str) -> float:
    """Longest side edge, fold or centre of that part: waist to hem."""
    return max(float(p.shape.bounds[3]) for p in pieces if p.part == part)


def facings(garment: Garment, style: Mapping[str, object]) -> Iterator[Fault]:
    """A facing keeps its width from the edge that it turns; that every raw edge is finished by something is P05's."""
    pieces = garment.of("facing")
    if pieces and not style.get("facings", True):
        yield Fault("facing", "garment", "facings not asked for")
    strap = sum(e.length_mm for p in garment.main if p.part != "back" for e in p.edges if e.kind == "shoulder")
    for piece in pieces:
        sewn = [e for e in piece.edges if e.kind in ("neck", "armhole")]
        free = [e for e in piece.edges if e.kind == "facing"]
        if not sewn or not free:
            if not sewn and "band" not in piece.kinds:
                yield Fault("facing", piece.name, "has no neck or armhole edge")
            continue
        free_shape = [LineString(e.line) for e in free]
        for edge in sewn:
            points = walked(edge.line, 10.0)
            inner = points[len(points) // 5 : max(len(points) * 4 // 5, len(points) // 5 + 1)]
            width = min(min(shape.distance(Point(p)) for shape in free_shape) for p in inner)
            if width < min(FACING_MM, strap - STRAP_MM) - FACING_SLACK_MM:
                yield Fault("facing", f"{piece.name}/{edge.name}", f"only {width:.1f} mm wide")


def grains(garment: Garment) -> Iterator[Fault]:
    """Every piece knows how it lies on the cloth."""
    for piece in garment.pieces.values():
        if not 0.0 <= piece.grain_deg < 180.0:
            yield Fault("grain", piece.name, f"grain {piece.grain_deg}")
        if piece.block_mm and not 15.0 <= piece.block_mm <= 30.0:  # TRADE 3.4
            yield Fault("grain", piece.name, f"fused block {piece.block_mm}")
