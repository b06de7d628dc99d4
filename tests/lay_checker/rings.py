"""Outlines as the checker sees them: own turns and mirrors, written from the frames' definition, shared with no product code."""

from math import atan2, cos, degrees, radians, sin
from typing import Any

from shapely import affinity
from shapely.geometry import LineString, Polygon
from shapely.ops import unary_union

TOL_MM = 0.05
"""Fold edges and gaps: a twentieth of a millimetre is a sixth of a chalk line; curves are flattened to the same."""

Told = dict[str, Any]


def whole_outline(piece: Told) -> Polygon:
    """The piece opened out: the half and its mirror image over the fold edge."""
    half = Polygon(piece["cut_line"])
    axis = fold_axis(piece)
    mirrored = affinity.scale(half, -1.0, 1.0, origin=(axis, 0.0))
    return unary_union([half, mirrored]).buffer(0)


def fold_axis(piece: Told) -> float:
    """x of the piece's fold edge; the fold edge runs straight down the piece."""
    xs = [point[0] for edge in piece["edges"] if edge["fold"] for point in edge["points"]]
    if not xs or max(xs) - min(xs) > TOL_MM:
        raise ValueError(f"{piece['name']}: no straight fold edge")
    return float(xs[0])


def grown(outline: Polygon, piece: Told, is_half: bool) -> Polygon:
    """With the block of cloth round it that is fused before the piece is cut true; never beyond the fold."""
    block = float(piece.get("block_mm", 0.0))
    if block == 0.0:
        return outline
    big = outline.buffer(block, quad_segs=32)
    if not is_half:
        return big
    axis = fold_axis(piece)
    far = 1e5
    return big.intersection(Polygon([(axis, -far), (far, -far), (far, far), (axis, far)]))


def seen_from_above(shape: Any, is_across: bool, turned: int, flipped: bool) -> Any:
    """A piece-frame shape as it lies on the cloth, before the shift.

    Along: (x, y) of the cloth = (y, x) of the piece. Across: (x, -y). `flipped` mirrors it over its own length, so that
    the garment's top stays where it was; `turned` 180 turns it round.
    """
    matrix = (1.0, 0.0, 0.0, -1.0) if is_across else (0.0, 1.0, 1.0, 0.0)
    if flipped:
        a, b, d, e = matrix
        matrix = (-a, -b, d, e) if is_across else (a, b, -d, -e)
    if turned == 180:
        a, b, d, e = matrix
        matrix = (-a, -b, -d, -e)
    a, b, d, e = matrix
    return affinity.affine_transform(shape, [a, b, d, e, 0.0, 0.0])


def grain_on_cloth_deg(grain_deg: float, is_across: bool, turned: int, flipped: bool) -> float:
    """Direction of the piece's grain from the cloth's length, modulo 180."""
    way = radians(grain_deg)
    line = seen_from_above(LineString([(0, 0), (cos(way), sin(way))]), is_across, turned, flipped)
    (x0, y0), (x1, y1) = line.coords
    return degrees(atan2(y1 - y0, x1 - x0)) % 180.0


def same_place_distance(found: Polygon, wanted: Polygon) -> float:
    """Hausdorff distance after moving `wanted` so that the lower left corners of both boxes meet, mm."""
    dx = found.bounds[0] - wanted.bounds[0]
    dy = found.bounds[1] - wanted.bounds[1]
    return float(found.exterior.hausdorff_distance(affinity.translate(wanted, dx, dy).exterior))


def is_symmetrical(outline: Polygon) -> bool:
    """Its mirror image is itself (left and right are the same piece)."""
    return same_place_distance(affinity.scale(outline, -1.0, 1.0), outline) < 0.2
