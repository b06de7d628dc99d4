"""The cut line: simple, outside the sewing line, even along every edge; corners, dart caps, snips, first cuts."""

from collections.abc import Iterator

import numpy as np
import shapely
from shapely.geometry import LineString, Point

from tests.garment_checker.fault import Fault
from tests.garment_checker.model import Edge, Garment, Piece
from tests.garment_checker.shapes import Line, walked

INSIDE_MM = 0.06  # flattening tolerance of either line
EVEN_MM = 0.1  # the flattening of two lines (reached: under 0.02)
CORNER_REACH = 1.6  # allowances: how far from an edge's end corners, mitres and reflected hems may reach
ON_LINE_MM = 0.01  # points are told to 1e-4
SNIP_MM = (3.0, 6.0)  # DRAFT R7
SNIP_CLEAR_MM = 3.0
MITRE = 2.6  # of the larger allowance: how far a corner may stick out before it is cut square
CAP_SHORT_MM = 0.1  # reached: 0.056 where the mouth meets a flattened curve
CHALK_MM = 0.3  # a chalk line: what differs by less is the same line
RAW_EDGES_MM = 1.0  # the trade's smallest tolerance; reached: 0.8 at a bent lining seam


def _reach(piece: Piece, edge: Edge) -> float:
    beside = (piece.beside(edge.name, -1).allowance_mm, edge.allowance_mm, piece.beside(edge.name, 1).allowance_mm)
    return CORNER_REACH * max(beside) + 2.0


def _off_line_mm(edge: Edge, points: Line) -> Line:
    """How far points lie from the endless line through a straight edge: a fold's cut edge runs on beyond the sewing line."""
    along = (edge.line[-1] - edge.line[0]) / np.hypot(*(edge.line[-1] - edge.line[0]))
    away = points - edge.line[0]
    return np.asarray(np.abs(away[:, 0] * along[1] - away[:, 1] * along[0]))


def outside(piece: Piece) -> Iterator[Fault]:
    """The cut line holds the sewing line."""
    away = piece.shape.difference(piece.cut_shape.buffer(INSIDE_MM))
    if away.area > 0.5:
        yield Fault("cut", piece.name, f"{away.area:.1f} mm2 of the piece lie outside its cut line")


def even(piece: Piece) -> Iterator[Fault]:
    """Along every edge, off its corners, the cut line runs at the edge's allowance."""
    for edge in piece.edges:
        if edge.kind == "dart":
            continue
        reach = _reach(piece, edge)
        points = walked(edge.line, 7.0)
        ends = np.minimum(np.hypot(*(points - edge.line[0]).T), np.hypot(*(points - edge.line[-1]).T))
        points = points[ends > reach] if (ends > reach).any() else points[len(points) // 2 : len(points) // 2 + 1]
        for fold in piece.edges:  # beside a fold at a sharp corner the cut line on the fold is nearer
            if fold.fold and fold is not edge:
                beside = _off_line_mm(fold, points) > edge.allowance_mm + 1.0
                points = points[beside]
        if not len(points):
            continue
        away = shapely.distance(shapely.points(points), piece.cut_ring)
        worst = int(np.argmax(np.abs(away - edge.allowance_mm)))
        if abs(away[worst] - edge.allowance_mm) > EVEN_MM and (ends > reach).any():
            x, y = points[worst]
            yield Fault(
                "even", f"{piece.name}/{edge.name}", f"{away[worst]:.2f} mm at ({x:.0f}, {y:.0f}), allowance {edge.allowance_mm:.2f}"
            )


def tight(piece: Piece) -> Iterator[Fault]:
    """Every point of the cut line that faces an edge squarely is at that edge's allowance, and corners do not stick out."""
    ring = np.vstack([piece.cut, piece.cut[:1]])
    points = walked(ring, 8.0)
    for fold in piece.edges:  # no allowance is asked for along the fold
        if fold.fold:
            points = points[_off_line_mm(fold, points) > EVEN_MM]
    lines = [edge.shape for edge in piece.edges]
    away = shapely.distance(np.array(lines)[:, None], shapely.points(points)[None, :])
    nearest = np.argmin(away, axis=0)
    most = max(edge.allowance_mm for edge in piece.edges)
    for i, edge in enumerate(piece.edges):
        if edge.kind == "dart" or edge.fold:
            continue
        at = np.flatnonzero(nearest == i)
        if not len(at):
            continue
        arcs = shapely.line_locate_point(edge.shape, shapely.points(points[at]))
        reach = _reach(piece, edge)
        inner = at[(arcs > reach) & (arcs < edge.length_mm - reach)]
        if len(inner) and (off := np.abs(away[i, inner] - edge.allowance_mm)).max() > EVEN_MM:
            x, y = points[inner[int(off.argmax())]]
            yield Fault("even", f"{piece.name}/{edge.name}", f"the cut line at ({x:.0f}, {y:.0f}) is {off.max():.2f} mm off the allowance")
    far = float(away.min(axis=0).max())
    if far > MITRE * most + 1.0:
        yield Fault("corner", piece.name, f"the cut line sticks out {far:.1f} mm with a largest allowance of {most:.1f}")


def _turned(v: Line, deg: float) -> Line:
    c, s = np.cos(np.radians(deg)), np.sin(np.radians(deg))
    return np.array([c * v[0] - s * v[1], s * v[0] + c * v[1]])


def _ray_mm(piece: Piece, start: Line, direction: Line) -> float | None:
    """Distance from a point to the cut line along a direction."""
    ray = LineString([start + 0.5 * direction, start + 900.0 * direction])
    hits = shapely.get_coordinates(shapely.intersection(ray, piece.cut_ring))
    return float(np.hypot(*(hits - start).T).min()) if len(hits) else None


def dart_caps(piece: Piece) -> Iterator[Fault]:
    """A mouth dart folded and pressed reaches the cut line of the edge that it lies on."""
    for number, legs in enumerate(piece.darts, 1):
        if len(legs) != 3:
            continue
        tip = legs[1]
        one, two = (legs[i] - tip for i in (0, 2))
        half = float(np.degrees(np.arctan2(one[0] * two[1] - one[1] * two[0], one @ two))) / 2.0
        axis = _turned(one / np.hypot(*one), half)
        cap = _ray_mm(piece, tip, axis)
        onto = [_ray_mm(piece, tip, _turned(leg / np.hypot(*leg), turn)) for leg, turn in ((one, -half), (two, half))]
        reached = [mm for mm in onto if mm is not None]
        if cap is None or not reached or cap < min(reached) - CAP_SHORT_MM:
            yield Fault("cap", f"{piece.name}/dart {number}", f"the mouth is cut {cap} from the tip, pressed it must reach {reached}")


def snips(piece: Piece) -> Iterator[Fault]:
    """Notches stand on their edge; snips are 3 to 6 mm deep and stay 3 mm clear of the sewing line."""
    for notch in piece.notches:
        where = f"{piece.name}/{notch['edge']}"
        if notch["edge"] not in piece.index:
            yield Fault("notch", where, "on an edge that is not there")
            continue
        edge = piece.edge(notch["edge"])
        off = float(edge.shape.distance(Point(notch["at"])))
        if off > ON_LINE_MM:
            yield Fault("notch", where, f"{off:.2f} mm off the sewing line")
        away = float(piece.cut_ring.distance(Point(notch["at"])))
        if edge.fold or edge.kind == "dart" or int(notch["count"]) < 1:
            yield Fault("notch", where, "on a fold or along a dart leg, or counted nought")
        elif not SNIP_MM[0] - 1e-6 <= notch["depth_mm"] <= SNIP_MM[1]:
            yield Fault("notch", where, f"{notch['depth_mm']} mm deep")
        elif away - notch["depth_mm"] < SNIP_CLEAR_MM - ON_LINE_MM:
            yield Fault("notch", where, f"a {notch['depth_mm']} mm snip ends {away - notch['depth_mm']:.2f} mm from the sewing line")


def first_cuts(piece: Piece) -> Iterator[Fault]:
    """The first dress's line: further out than the cut line, its ends on the cut line or a neighbour's run on; a neck's without a peak."""
    for first in piece.first_cut:
        line = np.asarray(first["points"], dtype=np.float64)
        where = f"{piece.name}/{first['edge']}"
        if first["edge"] not in piece.index or len(line) < 2:
            yield Fault("first_cut", where, "no such edge, or no line")
            continue
        inner = LineString(line).intersection(piece.cut_shape.buffer(-CHALK_MM / 2))
        if inner.length > 0.5:
            yield Fault("first_cut", where, f"{inner.length:.1f} mm of it run inside the cut line")
        for end in (line[0], line[-1]):
            if _off_cut_mm(piece, end) > CHALK_MM:
                yield Fault("first_cut", where, f"ends {_off_cut_mm(piece, end):.2f} mm from the cut line and its neighbours run on")
        dip = float(line[:, 1].max() - line[np.abs(line[:, 0]).argmin(), 1])
        if piece.edge(first["edge"]).kind == "neck" and dip > CHALK_MM:
            yield Fault("first_cut", where, f"dips {dip:.1f} mm beside the centre: opened out it stands up there in a peak")


def _off_cut_mm(piece: Piece, at: Line) -> float:
    """Distance from the cut line, or from one of its straight runs drawn on."""
    best = float(piece.cut_ring.distance(Point(at)))
    p, q = piece.cut, np.roll(piece.cut, -1, axis=0)
    d = q - p
    size = np.hypot(*d.T)
    along = np.sum((at - p) * d, axis=1) / np.maximum(size, 1e-9)
    across = np.abs((at - p)[:, 0] * d[:, 1] - (at - p)[:, 1] * d[:, 0]) / np.maximum(size, 1e-9)
    near = (along > -90.0) & (along < size + 90.0) & (size > 1.0)
    return min(best, float(across[near].min(initial=np.inf)))


def allowances_meet(garment: Garment) -> Iterator[Fault]:
    """At the ends of a plain seam both cut corners stand out alike, so that the raw edges meet when it is sewn."""
    for seam in garment.seams:
        if len(seam.a) != 1 or len(seam.b) != 1 or seam.a == seam.b:
            continue
        (pa, ea), (pb, eb) = seam.a[0], seam.b[0]
        a, b = garment.pieces[pa], garment.pieces[pb]
        if a.of != b.of or a.edge(ea).kind not in ("side", "shoulder", "princess", "under"):
            continue
        out_a, out_b = _overhangs(a, ea), _overhangs(b, eb)
        if out_a is None or out_b is None:
            yield Fault("corner", seam.name, "no raw edge at an end of it")
            continue
        miss = min(
            max(abs(out_a[0] - out_b[0]), abs(out_a[1] - out_b[1])),
            max(abs(out_a[0] - out_b[1]), abs(out_a[1] - out_b[0])),
        )
        if miss > RAW_EDGES_MM:
            yield Fault("corner", seam.name, f"raw edges at its ends miss each other by {miss:.1f} mm: {out_a} against {out_b}")


def _overhangs(piece: Piece, name: str) -> tuple[float, float] | None:
    """How far the cut line of the allowance runs on beyond each end of the edge, along the edge's end direction."""
    edge = piece.edge(name)
    out = []
    for end, inner in ((edge.line[0], edge.line[1]), (edge.line[-1], edge.line[-2])):
        along = (end - inner) / np.hypot(*(end - inner))
        side = np.array([-along[1], along[0]])
        if piece.wider.contains(Point(end - 3.0 * along + 2.5 * side)):
            side = -side
        start = end - 2.0 * along + 0.98 * edge.allowance_mm * side
        reach = _ray_mm(piece, start, along)
        if reach is None:
            return None
        out.append(round(reach - 2.0, 1))
    return out[0], out[1]
