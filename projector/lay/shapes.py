"""Outlines as they may lie: turned, mirrored, grown by half the gap, cut into convex parts. Pure numpy and shapely, mm.

A shape is kept with the lower left corner of its true box at (0, 0); where it lies is one point.
"""

from dataclasses import dataclass, field, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon

from projector.garment.pieces import Line, Piece, Point

Array = NDArray[np.float64]
SIMPLIFY_MM = 1.0
"""The grown outline may lie this much further out: few corners, at most 2 mm of cloth between two pieces; the squeeze
afterwards takes it back (LAY section 6)."""
FAR_MM = 1e5
"""Farther than any cloth."""
FEW_CORNERS = 20
"""Up to so many corners nothing is gained by simplifying."""


@dataclass(frozen=True, slots=True)
class Turn:
    """How a piece lies. Unturned, unflipped, along: cloth (x, y) = piece (y, x); across: (x, -y).

    `flipped` mirrors over the garment's length (its top stays where it was), `turned` turns by 180 degrees.
    """

    is_across: bool = False
    is_turned: bool = False
    is_flipped: bool = False

    @property
    def matrix(self) -> Array:
        """(2, 2): cloth from piece, before the shift."""
        told = np.array([[1.0, 0.0], [0.0, -1.0]]) if self.is_across else np.array([[0.0, 1.0], [1.0, 0.0]])
        if self.is_flipped:
            told[0 if self.is_across else 1] *= -1.0
        return -told if self.is_turned else told

    def grain_deg(self, grain_deg: float) -> float:
        """Direction of a piece's grain from the cloth's length, modulo 180."""
        way = np.deg2rad(grain_deg)
        x, y = self.matrix @ np.array([np.cos(way), np.sin(way)])
        found = float(np.rad2deg(np.arctan2(y, x))) % 180.0
        return 0.0 if found > 180.0 - 1e-6 else round(found, 6)


@dataclass(frozen=True, slots=True, eq=False)
class Shape:
    """One outline in one position of the hand.

    `ring` (n, 2): the true cut line; its box, and that of the lines of a first dress, begins at (0, 0); `corner`: what was
    taken off to get there; `parts`: convex parts of the grown outline (k, v, 2), short ones padded; `normals` (k, v, 2)
    outward, one per side; `size`: true box.
    """

    key: int
    turn: Turn
    ring: Array
    corner: Array
    size: tuple[float, float]
    area: float
    parts: Array
    normals: Array
    low: Array = field(default_factory=lambda: np.zeros(2))
    high: Array = field(default_factory=lambda: np.zeros(2))


def fold_axis(piece: Piece) -> float:
    """x of the piece's fold edge (straight down the piece, within 0.05 mm, what curves are flattened to)."""
    xs = [x for edge in piece.edges if edge.fold for x, _ in edge.points]
    return float(np.mean(xs)) if xs else 0.0


def half_outline(piece: Piece) -> Polygon:
    """The cut line as drafted, grown by the block that is fused first; a fold piece never beyond its fold."""
    outline = Polygon(piece.cut_line)
    if piece.block_mm == 0.0:
        return outline
    big = outline.buffer(piece.block_mm, quad_segs=32)
    if not piece.on_fold:
        return big
    return beyond_fold(big, fold_axis(piece))


def beyond_fold(shape: Polygon, axis: float) -> Polygon:
    """What of a half lies on its own side of the fold at x = axis."""
    return shape.intersection(shapely.box(axis, -FAR_MM, FAR_MM, FAR_MM))


def whole_outline(piece: Piece) -> Polygon:
    """The piece opened out; for a piece without fold simply its outline."""
    half = half_outline(piece)
    if not piece.on_fold:
        return half
    axis = fold_axis(piece)
    other = shapely.transform(half, lambda told: np.column_stack([2.0 * axis - told[:, 0], told[:, 1]]))
    return _ring_only(shapely.union_all([half, other], grid_size=0.0))


def _ring_only(shape: Polygon) -> Polygon:
    """The outer ring without points that lie on a straight line (the opened fold)."""
    if shape.geom_type != "Polygon":
        shape = shape.buffer(1e-6)
    return Polygon(shape.exterior).simplify(1e-6)


def has_no_hand(piece: Piece) -> bool:
    """Left and right are the same: its mirror image is itself within 0.1 mm."""
    if piece.on_fold:
        return True
    outline = half_outline(piece)
    low, _, high, _ = outline.bounds
    mirrored = shapely.transform(outline, lambda told: np.column_stack([low + high - told[:, 0], told[:, 1]]))
    return float(outline.hausdorff_distance(mirrored)) < 0.1


def ring_of(outline: Polygon) -> Array:
    """(n, 2) corners, first not repeated."""
    return np.asarray(outline.exterior.coords, dtype=np.float64)[:-1]


def line_of(ring: Array) -> Line:
    """A ring as plain tuples."""
    return tuple((float(x), float(y)) for x, y in ring)


@dataclass(frozen=True, slots=True, eq=False)
class Cut:
    """An outline in the piece frame with what its shapes share: ring (n, 2) and convex parts of the grown outline (k, v, 2).

    `room` (m, 2): ring of what must lie free and on the cloth; the outline itself, or let out to the lines of a first dress.
    """

    ring: Array
    room: Array
    parts: Array
    area: float


def make_cut(outline: Polygon, gap_mm: float, axis: float | None, simplify_mm: float = SIMPLIFY_MM, room: Polygon | None = None) -> Cut:
    """Grow an outline by half the gap and cut it into convex parts. axis: x of the fold it hangs on, beyond which it is not grown.

    room: what must lie free for it (with the lines of a first dress) where that is more than the outline.
    """
    grown = grow(room or outline, gap_mm, simplify_mm)
    if axis is not None:
        grown = Polygon(beyond_fold(grown, axis).exterior)
    return Cut(ring_of(outline), ring_of(room or outline), _padded(convex_parts(grown)), float(outline.area))


def make_shape(key: int, cut: Cut, turn: Turn) -> Shape:
    """The outline turned, its true box moved to (0, 0)."""
    matrix = turn.matrix
    room = cut.room @ matrix.T
    corner = room.min(axis=0)
    ring = cut.ring @ matrix.T - corner
    parts = cut.parts @ matrix.T - corner
    if np.linalg.det(matrix) < 0.0:  # a mirror turns the sense round; padded corners stay together
        parts = parts[:, ::-1]
    width, height = (float(value) for value in room.max(axis=0) - corner)
    return Shape(key, turn, ring, corner, (width, height), cut.area, parts, _normals(parts), parts.min(axis=(0, 1)), parts.max(axis=(0, 1)))


def lifted(shape: Shape, lift: tuple[float, float], key: int) -> Shape:
    """The same outline, its box beginning `lift` earlier along x and y."""
    by = np.array(lift)
    return replace(
        shape, key=key, ring=shape.ring + by, corner=shape.corner - by, size=(shape.size[0] + lift[0], shape.size[1] + lift[1]),
        parts=shape.parts + by, low=shape.low + by, high=shape.high + by,
    )  # fmt: skip


def grow(true: Polygon, gap_mm: float, simplify_mm: float) -> Polygon:
    """The outline grown by half the gap and simplified outward; an outline of few corners is grown exactly."""
    exact = true.buffer(gap_mm / 2.0, join_style="mitre", mitre_limit=1.5) if gap_mm > 0.0 else true
    if len(exact.exterior.coords) <= FEW_CORNERS:
        return Polygon(exact.exterior)
    bigger = true.buffer(gap_mm / 2.0 + simplify_mm, join_style="mitre", mitre_limit=1.5)
    simple = bigger.simplify(simplify_mm * 0.95)
    if not simple.contains(true.buffer(gap_mm / 2.0 - 1e-6, quad_segs=4)):
        simple = bigger
    return Polygon(simple.exterior)


def convex_parts(outline: Polygon) -> list[Array]:
    """Convex parts that cover the outline: triangles of its corners, merged over their shared sides while the ring stays convex.

    (Hertel and Mehlhorn, "Fast triangulation of simple polygons", 1983: at most four times the least number of parts.)
    """
    rings = [np.asarray(part.exterior.coords)[:-1] for part in shapely.constrained_delaunay_triangles(outline).geoms]
    parts: list[list[Point] | None] = [[(float(x), float(y)) for x, y in (ring if _turning(ring) > 0 else ring[::-1])] for ring in rings]
    owner = {(ring[n - 1], ring[n]): number for number, ring in enumerate(parts) if ring for n in range(len(ring))}
    inner = [side for side in owner if side < side[::-1] and side[::-1] in owner]
    inner.sort(key=lambda side: -((side[0][0] - side[1][0]) ** 2 + (side[0][1] - side[1][1]) ** 2))
    for a, b in inner:
        first, second = owner[(a, b)], owner[(b, a)]
        one, other = parts[first], parts[second]
        if first == second or one is None or other is None:
            continue
        place, there = one.index(b), other.index(a)  # one: … a b …, other: … b a …
        both = one[place:] + one[:place] + (other[there:] + other[:there])[1:-1]
        if _is_convex(both):
            parts[first], parts[second] = both, None
            for n in range(len(both)):
                owner[(both[n - 1], both[n])] = first
    return [np.array(part) for part in parts if part is not None]


def _turning(part: Array) -> float:
    following = np.roll(part, -1, axis=0)
    return float(np.sum(part[:, 0] * following[:, 1] - part[:, 1] * following[:, 0]))


def _is_convex(ring: list[Point]) -> bool:
    for n in range(len(ring)):
        (ax, ay), (bx, by), (cx, cy) = ring[n - 2], ring[n - 1], ring[n]
        if (bx - ax) * (cy - by) - (by - ay) * (cx - bx) < -1e-9:
            return False
    return True


def _padded(parts: list[Array]) -> Array:
    """(k, v, 2): every part with as many corners as the longest, the last one repeated."""
    longest = max(len(part) for part in parts)
    return np.stack([np.vstack([part, np.repeat(part[-1:], longest - len(part), axis=0)]) for part in parts])


def _normals(parts: Array) -> Array:
    """Outward unit normals (k, v, 2), one per side; a padded side repeats the one before it."""
    side = np.roll(parts, -1, axis=1) - parts
    length = np.hypot(side[..., 0], side[..., 1])
    normal = np.stack([side[..., 1], -side[..., 0]], axis=-1) / np.maximum(length, 1e-12)[..., None]
    for part in range(len(parts)):
        good = np.flatnonzero(length[part] > 1e-9)
        normal[part, length[part] <= 1e-9] = normal[part, good[0]]
    return normal
