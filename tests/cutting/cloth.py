"""Virtual cloth: layers of polygons that shears really part. mm, cloth frame.

A cut takes a kerf of 0.2 mm, so lines that end on one another within a tenth of a millimetre part the cloth, as shears do.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field

from shapely.geometry import LineString, MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union
from shapely.prepared import prep

KERF_MM = 0.1
"""Half of what a cut removes: an end short of another cut by less than this still parts the cloth."""
SKIN_MM = 0.3
"""A cut this near to the cut line is on the line (flattened to 0.05 mm, written to 0.001 mm, kerf 0.1 mm)."""


def polygons(shape: BaseGeometry) -> list[Polygon]:
    """The polygons of whatever an overlay gave."""
    if shape.is_empty:
        return []
    if isinstance(shape, Polygon):
        return [shape]
    return [part for part in getattr(shape, "geoms", []) for part in polygons(part)]


@dataclass
class Copy:
    """One copy of a piece on one layer. `keep`: its outline; `first`: the same with the lines of a first dress."""

    piece: str
    ply: str
    part: int
    keep: Polygon
    first: Polygon
    mates: tuple[str, ...]
    """Other layers that the fold joins it to."""
    trimmed: Polygon | None = None
    """Where it ends after fusing: the cut line inside the block."""
    cloth: Polygon | None = None
    """Once lifted: the cloth in hand."""
    is_free: bool = False
    is_tagged: bool = False
    is_fused: bool = False
    is_trimmed: bool = False
    again: Polygon | None = None
    """Where it must end once it is cut again in hand: the dress was changed after this piece was cut."""
    is_again: bool = False
    is_on_crosses: bool = False
    """Laid back under the light, two points of its cut edge on crosses."""
    inner: BaseGeometry = field(default_factory=Polygon)
    outer: BaseGeometry = field(default_factory=Polygon)
    """`keep` without its skin; `first` with more than a skin: nothing but the piece lies in there."""

    def __post_init__(self) -> None:
        self.inner = self.keep.buffer(-SKIN_MM, quad_segs=4)
        self.outer = self.first.buffer(2 * SKIN_MM, quad_segs=4)

    @property
    def is_lifted(self) -> bool:
        """Gone from the table."""
        return self.cloth is not None


@dataclass
class Layer:
    """One ply: its cloth still on the table, in pieces once cut."""

    id: str
    depth: int
    """0 is the top one of its region."""
    region: str
    parts: list[Polygon]
    sized: dict[tuple[int, float], tuple[Polygon, BaseGeometry]] = field(default_factory=dict)
    """Cloth made smaller or larger, kept while it lies there."""

    def under(self, lines: BaseGeometry, shrink_mm: float) -> float:
        """Length of these lines lying on this layer's cloth, which is made smaller (or larger, below 0) first."""
        return sum(
            float(self._sized(part, shrink_mm).intersection(lines).length)
            for part in self.parts
            if part.distance(lines) <= -min(shrink_mm, 0.0)
        )

    def _sized(self, part: Polygon, shrink_mm: float) -> BaseGeometry:
        key = (id(part), shrink_mm)
        if key not in self.sized or self.sized[key][0] is not part:
            self.sized[key] = (part, part.buffer(-shrink_mm, quad_segs=2) if shrink_mm else part)
        return self.sized[key][1]

    def cut(self, kerf: BaseGeometry) -> None:
        """Take the kerf out; crumbs under a square millimetre are dust."""
        left: list[Polygon] = []
        ready = prep(kerf)
        for part in self.parts:
            if ready.intersects(part):
                left += [found for found in polygons(part.difference(kerf)) if found.area > 1.0]
            else:
                left.append(part)
        self.parts = left

    def wanted(self, part: Polygon, copies: Iterable[Copy]) -> bool:
        """This cloth holds something of a piece still to be lifted."""
        kept = [copy for copy in copies if copy.ply == self.id and not copy.is_lifted]
        return any(part.intersects(copy.inner) and part.intersection(copy.inner).area > 1.0 for copy in kept)

    def holding(self, copy: Copy) -> Polygon | None:
        """The cloth that holds most of this copy."""
        best = max(self.parts, key=lambda part: part.intersection(copy.inner).area if part.intersects(copy.inner) else 0.0, default=None)
        return best if best is not None and best.intersects(copy.inner) else None


def kerf_of(lines: Iterable[LineString]) -> BaseGeometry:
    """What the blade takes along these lines."""
    return unary_union([line.buffer(KERF_MM, quad_segs=2, cap_style="square", join_style="mitre", mitre_limit=2.0) for line in lines])


def covers(cloth: BaseGeometry, shape: BaseGeometry) -> float:
    """mm2 of the shape that this cloth lacks."""
    return float(shape.difference(cloth).area)


def joined(shapes: Iterable[BaseGeometry]) -> Polygon | MultiPolygon:
    """Their union."""
    return unary_union(list(shapes))
