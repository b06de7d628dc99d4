"""P01 to P03, P19, P21: one piece by itself: closed, simple, smooth, folded on the grain, of sane size."""

from collections.abc import Iterator

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon
from shapely.validation import explain_validity

from tests.garment_checker.fault import Fault
from tests.garment_checker.model import Edge, Piece
from tests.garment_checker.shapes import Line, least_radius_mm, turns_deg

CLOSE_MM = 0.001  # P01 asks for 0.01; points are told to 1e-4
CORNER_DEG = 12.0  # P03; curves flattened to 0.05 mm turn at most 10 degrees a chord on a 14 mm radius
RADIUS_MM = 14.0  # P03
RADIUS_SLACK = 0.9  # 0.05 mm flattening is 9 % of the sagitta of a 10 mm chord on a 14 mm radius
SMOOTH = {"princess", "armhole", "cap", "side"}
FOLD_MM = 0.005  # P19; a straight line is told by its two ends, to 1e-4 (reached: under 0.0005)
BRIDGE_MM = {"main": 14.0, "lining": 4.0}  # a lining's strip beside a facing has the seam's allowance besides
CRUMB_MM2 = 20.0
CENTRE_MM = 0.001  # x runs from the centre line outward
GRAIN_DEG = 0.01  # 0.2 mm over a metre of fold (reached: under 0.0005)


def closed(piece: Piece) -> Iterator[Fault]:
    """P01: edges in order, each from where the last ended, and together they are the sewing line."""
    for before, after in zip((piece.edges[-1], *piece.edges[:-1]), piece.edges, strict=True):
        gap = float(np.hypot(*(after.line[0] - before.line[-1])))
        if gap > CLOSE_MM:
            yield Fault("P01", piece.name, f"{gap:.3f} mm between the end of {before.name} and the start of {after.name}")
    joined = np.vstack([edge.line for edge in piece.edges])
    ring = LineString(np.vstack([piece.seam, piece.seam[:1]]))
    apart = ring.hausdorff_distance(LineString(np.vstack([joined, joined[:1]])))
    if apart > CLOSE_MM:
        yield Fault("P01", piece.name, f"seam_line and edges are {apart:.3f} mm apart")


def _spike_deg(ring: Line, tips: list[Line]) -> float:
    """Sharpest point of a ring that is no dart's tip, as the angle left between its sides."""
    around = np.vstack([ring[-1:], ring, ring[:1]])
    turns = np.abs(turns_deg(around))
    for tip in tips:
        turns[np.hypot(*(ring - tip).T) < 0.01] = 0.0
    return 180.0 - float(turns.max())


def simple(piece: Piece) -> Iterator[Fault]:
    """P02: neither line crosses or touches itself, no spike (a dart's tip is none)."""
    tips = [legs[1] for legs in piece.darts if len(legs) == 3]
    for what, ring in (("sewing line", piece.seam), ("cut line", piece.cut)):
        shape = Polygon(ring)
        if not shape.is_valid or not shape.exterior.is_simple:
            yield Fault("P02", piece.name, f"the {what} crosses or touches itself: {explain_validity(shape)}")
        elif (left := _spike_deg(ring, tips)) < 3.0:
            yield Fault("P02", piece.name, f"the {what} has a spike of {left:.1f} degrees")
        elif shape.area < 100.0:
            yield Fault("P02", piece.name, f"the {what} holds {shape.area:.0f} mm2")


def smooth(piece: Piece) -> Iterator[Fault]:
    """P03: no corner inside an edge, no tight bend on long fitted edges."""
    for edge in piece.edges:
        turn = float(np.abs(turns_deg(edge.line)).max(initial=0.0))
        if turn > CORNER_DEG:
            yield Fault("P03", f"{piece.name}/{edge.name}", f"a corner of {turn:.1f} degrees inside the edge")
        elif edge.kind in SMOOTH:
            radius = least_radius_mm(edge.line)
            if radius < RADIUS_MM * RADIUS_SLACK:
                yield Fault("P03", f"{piece.name}/{edge.name}", f"radius {radius:.1f} mm")


def _off_straight_mm(edge: Edge) -> float:
    chord = edge.line[-1] - edge.line[0]
    normal = np.array([-chord[1], chord[0]]) / np.hypot(*chord)
    return float(np.abs((edge.line - edge.line[0]) @ normal).max())


def folded(piece: Piece) -> Iterator[Fault]:
    """P19: folds straight, in one line, along the grain, without allowance; the cut line lies on them."""
    folds = [edge for edge in piece.edges if edge.fold]
    if bool(folds) != piece.on_fold:
        yield Fault("P19", piece.name, f"on_fold is {piece.on_fold} with {len(folds)} fold edges")
    for edge in folds:
        where = f"{piece.name}/{edge.name}"
        if (off := _off_straight_mm(edge)) > FOLD_MM:
            yield Fault("P19", where, f"the fold bends by {off:.2f} mm")
        chord = edge.line[-1] - edge.line[0]
        lean = (np.degrees(np.arctan2(chord[1], chord[0])) - piece.grain_deg + 90.0) % 180.0 - 90.0
        if abs(lean) > GRAIN_DEG:
            yield Fault("P19", where, f"the fold leans {lean:.2f} degrees from the grain")
        if edge.allowance_mm != 0:
            yield Fault("P19", where, f"allowance {edge.allowance_mm} on a fold")
        first = folds[0].line
        across = np.array([-(first[-1] - first[0])[1], (first[-1] - first[0])[0]])
        if np.abs((edge.line - first[0]) @ across).max() / np.hypot(*across) > FOLD_MM:
            yield Fault("P19", where, "its folds do not lie in one line")
        away = float(shapely.distance(shapely.points(edge.line), piece.cut_ring).max())
        if away > FOLD_MM:
            yield Fault("P19", where, f"the cut line leaves the fold by {away:.2f} mm")


def centred(piece: Piece) -> Iterator[Fault]:
    """P19: a piece on the fold has its fold at x = 0 and lies on the outer side of it, cut line and all."""
    if not piece.on_fold or abs(piece.grain_deg - 90.0) > GRAIN_DEG:
        return
    folds = np.vstack([edge.line for edge in piece.edges if edge.fold])
    if (off := float(np.abs(folds[:, 0]).max())) > CENTRE_MM:
        yield Fault("P19", piece.name, f"its fold lies {off:.2f} mm from the centre line")
    if (beyond := float(min(piece.seam[:, 0].min(), piece.cut[:, 0].min()))) < -CENTRE_MM:
        yield Fault("P19", piece.name, f"it reaches {-beyond:.2f} mm beyond its fold")


def bridged(piece: Piece) -> Iterator[Fault]:
    """No part of a piece hangs on a strip too narrow to sew."""
    if piece.of not in BRIDGE_MM or piece.kinds & {"band", "gather"}:
        return
    left = piece.shape.buffer(-BRIDGE_MM[piece.of] / 2.0)
    parts = [part.area for part in getattr(left, "geoms", [left]) if part.area > CRUMB_MM2]
    if len(parts) != 1:
        yield Fault("bridge", piece.name, f"{len(parts)} parts are left where it is wider than {BRIDGE_MM[piece.of]} mm")


def sized(piece: Piece) -> Iterator[Fault]:
    """P21: nothing longer than the tallest dress, no edge too short to sew."""
    x0, y0, x1, y1 = piece.shape.bounds
    longest = max(x1 - x0, y1 - y0)
    limit = 12000.0 if piece.kinds & {"band", "gather"} else 4500.0
    if longest > limit:
        yield Fault("P21", piece.name, f"{longest:.0f} mm long, {limit:.0f} at most")
    for edge in piece.edges:
        if edge.length_mm < 3.0:
            yield Fault("P21", f"{piece.name}/{edge.name}", f"an edge of {edge.length_mm:.2f} mm")
        if not 0.0 <= edge.allowance_mm <= 90.0:
            yield Fault("P21", f"{piece.name}/{edge.name}", f"allowance {edge.allowance_mm}")
