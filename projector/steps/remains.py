"""What still lies on the table: each layer's cloth after the cuts made so far. Cloth frame, mm."""

from collections.abc import Iterable, Sequence

import shapely
from shapely.geometry import LineString, Point, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points, unary_union

from projector.lay.lay import Region
from projector.steps.stack import Kept, fold_line

KERF_MM = 0.02
"""Half the width a cut takes out: enough that lines which meet within rounding part the cloth."""
SLIVER_MM = 0.25
"""A line this near to the edge of a layer does not cut it: a strip thinner than a chalk line is no cloth to cut."""
PIN_MM, APART_MM = 8.0, 100.0
"""A pin needs this much cloth around it; two marks nearer than this to each other turn the cloth too much."""
EDGE_MM = 0.4
"""A line along a cut edge does not lie on the cloth beside it."""


class Remains:
    """The layers of one length of cloth while its steps are made."""

    def __init__(self, regions: Sequence[Region], kept: Sequence[Kept]) -> None:
        self.cloth: dict[str, list[Polygon]] = {
            ply.id: [box(ply.x[0], ply.y[0], ply.x[1], ply.y[1])] for region in regions for ply in region.ply
        }
        self.order = list(self.cloth)
        self._inner: dict[tuple[int, float], tuple[Polygon, BaseGeometry]] = {}
        """Each piece of cloth without its edges, made once."""
        self.holds: dict[str, list[Kept]] = {ply: [one for one in kept if ply in one.placed.on] for ply in self.order}
        self.folds = [(*fold.joins, fold_line(region, fold.side, fold.joins)) for region in regions for fold in region.folds]

    def cut(self, lines: Iterable[LineString], plies: Iterable[str]) -> None:
        """Cut these layers; what is loose then and holds nothing of any piece goes."""
        kerf = unary_union([line.buffer(KERF_MM, quad_segs=1, cap_style="square") for line in lines])
        for ply in plies:
            parts: list[Polygon] = []
            for part in self.cloth[ply]:
                left = part.difference(kerf) if part.intersects(kerf) else part
                parts += [one for one in getattr(left, "geoms", [left]) if one.area > 1.0]
            self.cloth[ply] = parts
        self._drop_loose()

    def lift(self, kept: Kept, plies: Iterable[str]) -> None:
        """Take the piece off these layers."""
        inside = kept.keep.representative_point()
        for ply in plies:
            self.holds[ply] = [one for one in self.holds[ply] if one is not kept]
            self.cloth[ply] = [part for part in self.cloth[ply] if not part.contains(inside)]
        self._drop_loose()

    def _drop_loose(self) -> None:
        """Cloth that hangs together (over folds too) with no piece still to lift is waste and goes."""
        every = [(ply, part) for ply, parts in self.cloth.items() for part in parts]
        held = [any(_holds(part, one) for one in self.holds[ply]) for ply, part in every]
        edges = [[_on_fold(part, line) if ply in (a, b) else [] for a, b, line in self.folds] for ply, part in every]
        grew = True
        while grew:
            grew = False
            for here, (ply, _) in enumerate(every):
                if not held[here] and any(
                    held[there] and ply != every[there][0] and _meet(edges[here][n], edges[there][n])
                    for there in range(len(every))
                    for n, (a, b, _) in enumerate(self.folds)
                    if {ply, every[there][0]} == {a, b}
                ):
                    held[here] = grew = True
        self.cloth = {ply: [] for ply in self.order}
        for (ply, part), is_held in zip(every, held, strict=True):
            if is_held:
                self.cloth[ply].append(part)

    def in_order(self, plies: Iterable[str]) -> tuple[str, ...]:
        """These layers, region by region, top first."""
        wanted = set(plies)
        return tuple(ply for ply in self.order if ply in wanted)

    def spots_on_cloth(self, spots: Sequence[tuple[float, float]], light: tuple[float, float, float, float]) -> list[tuple[float, float]]:
        """These places where cloth lies there for a pin, else the nearest such places inside this light (x0, y0, x1, y1)."""
        cloth = unary_union([part.buffer(-PIN_MM, quad_segs=1) for parts in self.cloth.values() for part in parts]).intersection(
            box(*light)
        )
        if cloth.is_empty:
            return list(spots)
        told = [nearest_points(cloth, Point(spot))[0] for spot in spots]
        return [(spot.x, spot.y) for spot in told] if told[0].distance(told[-1]) > APART_MM else list(spots)

    def covers(self, ply: str, shape: BaseGeometry) -> bool:
        """This layer's cloth lies over more than a thumbnail of that shape."""
        return any(part.intersects(shape) and part.intersection(shape).area > 20.0 for part in self.cloth[ply])

    def under(self, lines: BaseGeometry, edge_mm: float = EDGE_MM) -> tuple[str, ...]:
        """Ids of the layers whose cloth (without a rim of `edge_mm`) lies under these lines, region by region, top first."""
        if lines.is_empty:
            return ()
        return tuple(ply for ply in self.order if any(self._lies(part, lines, edge_mm) for part in self.cloth[ply]))

    def _lies(self, part: Polygon, lines: BaseGeometry, edge_mm: float) -> bool:
        if not part.intersects(lines):
            return False
        inner = self._inner.get((id(part), edge_mm))
        if inner is None or inner[0] is not part:
            inner = self._inner[id(part), edge_mm] = (part, part.buffer(-edge_mm, quad_segs=1))
        held = lines.intersection(inner[1])
        return bool(held.length > 1.0 or (lines.length < 1.0 and not held.is_empty))


def _on_fold(part: Polygon, line: LineString) -> list[tuple[float, float]]:
    """From where to where along a fold (it runs along x or y) this cloth touches it."""
    x0, y0, x1, y1 = line.bounds
    p0, q0, p1, q1 = part.bounds
    if p0 > x1 + KERF_MM or p1 < x0 - KERF_MM or q0 > y1 + KERF_MM or q1 < y0 - KERF_MM:
        return []
    held = shapely.clip_by_rect(part, x0 - KERF_MM, y0 - KERF_MM, x1 + KERF_MM, y1 + KERF_MM)
    is_along_x = x1 - x0 > y1 - y0
    spans = [one.bounds[0::2] if is_along_x else one.bounds[1::2] for one in getattr(held, "geoms", [held]) if not one.is_empty]
    return [(low, high) for low, high in spans if high - low > 1.0]


def _meet(a: list[tuple[float, float]], b: list[tuple[float, float]]) -> bool:
    """More than a thread of fold in common."""
    return any(min(high, top) - max(low, bottom) > 1.0 for low, high in a for bottom, top in b)


def _holds(part: Polygon, kept: Kept) -> bool:
    return bool(part.intersects(kept.keep) and part.intersection(kept.keep).area > 2.0)
