"""What still lies on the table: each layer's cloth after the cuts made so far. Cloth frame, mm."""

from collections.abc import Iterable, Sequence

from shapely.geometry import LineString, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from projector.lay.lay import Region
from projector.steps.stack import Kept

KERF_MM = 0.02
"""Half the width a cut takes out: enough that lines which meet within rounding part the cloth."""
EDGE_MM = 0.4
"""A line along a cut edge does not lie on the cloth beside it."""


class Remains:
    """The layers of one length of cloth while its steps are made."""

    def __init__(self, regions: Sequence[Region], kept: Sequence[Kept]) -> None:
        self.cloth: dict[str, list[Polygon]] = {
            ply.id: [box(ply.x[0], ply.y[0], ply.x[1], ply.y[1])] for region in regions for ply in region.ply
        }
        self.order = [ply.id for region in regions for ply in region.ply]
        self.holds: dict[str, list[Kept]] = {ply: [one for one in kept if ply in one.placed.on] for ply in self.order}

    def cut(self, lines: Iterable[LineString], plies: Iterable[str]) -> None:
        """Cut these layers; what holds nothing of any piece goes when it is loose."""
        kerf = unary_union([line.buffer(KERF_MM, cap_style="square") for line in lines])
        for ply in plies:
            parts: list[Polygon] = []
            for part in self.cloth[ply]:
                left = part.difference(kerf) if part.intersects(kerf) else part
                parts += [one for one in getattr(left, "geoms", [left]) if one.area > 1.0]
            self.cloth[ply] = [part for part in parts if any(_holds(part, one) for one in self.holds[ply])]

    def lift(self, kept: Kept, plies: Iterable[str]) -> None:
        """Take the piece off these layers, and what was left hanging on nothing."""
        inside = kept.keep.representative_point()
        for ply in plies:
            self.holds[ply] = [one for one in self.holds[ply] if one is not kept]
            self.cloth[ply] = [part for part in self.cloth[ply] if not part.contains(inside)]
            self.cloth[ply] = [part for part in self.cloth[ply] if any(_holds(part, one) for one in self.holds[ply])]

    def covers(self, ply: str, shape: BaseGeometry) -> bool:
        """This layer's cloth lies over more than a thumbnail of that shape."""
        return any(part.intersects(shape) and part.intersection(shape).area > 20.0 for part in self.cloth[ply])

    def under(self, lines: BaseGeometry) -> tuple[str, ...]:
        """Ids of the layers whose cloth lies under these lines, region by region, top first."""
        if lines.is_empty:
            return ()
        frame = box(*lines.bounds).buffer(2.0)
        return tuple(ply for ply in self.order if any(_lies(part, lines, frame) for part in self.cloth[ply]))


def _holds(part: Polygon, kept: Kept) -> bool:
    return bool(part.intersects(kept.keep) and part.intersection(kept.keep).area > 2.0)


def _lies(part: Polygon, lines: BaseGeometry, frame: BaseGeometry) -> bool:
    if not part.intersects(lines):
        return False
    near = part.intersection(frame)
    held = lines.intersection(near.buffer(-EDGE_MM))
    return bool(held.length > 1.0 or (lines.length < 1.0 and not held.is_empty))
