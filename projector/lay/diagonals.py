"""Strips at 45 degrees in what lies free between outlines. Pure geometry in the cloth frame, mm.

Sheared by u = x - y, v = y a strip becomes an upright rectangle: width times root 2 wide in u, and its ends run along the cloth.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil, sqrt

import numpy as np
import shapely
from shapely.affinity import affine_transform
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from projector.garment.pieces import Line

ROOT2 = sqrt(2.0)
PLACES = 4
"""So many places are tried within one strip's width: neighbours may share their edge."""
Rect = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Diagonal:
    """One strip: `u` of its left edge, `low` and `high` its ends across the cloth, `wide` along the cloth; `part`: the light it lies in."""

    u: float
    low: float
    high: float
    wide: float
    part: int = 0

    @property
    def long_mm(self) -> float:
        """Along the strip."""
        return (self.high - self.low) * ROOT2

    @property
    def outline(self) -> Line:
        """Lower left corner first, counter-clockwise."""
        a, b = self.u + self.low, self.u + self.high
        return ((a, self.low), (a + self.wide, self.low), (b + self.wide, self.high), (b, self.high))

    def meets(self, other: "Diagonal") -> bool:
        """They share cloth."""
        hair = 1e-6
        beside = abs(self.u - other.u) > self.wide - hair
        return not (beside or self.low > other.high - hair or other.low > self.high - hair)


def free_diagonals(
    room: Rect, outlines: Sequence[Line], gap_mm: float, width_mm: float, least_mm: float, reach_mm: float
) -> list[Diagonal]:
    """Every strip of that width at least so long between these outlines in a room, the longest first; longer ones than `reach_mm`
    across the cloth are parted."""
    x0, y0, x1, y1 = room
    wide = width_mm * ROOT2
    around = unary_union([Polygon(outline).buffer(gap_mm, join_style="mitre") for outline in outlines])
    taken = affine_transform(around, [1.0, -1.0, 0.0, 1.0, 0.0, 0.0])
    found: list[Diagonal] = []
    for u in np.arange(x0 - y1, x1 - y0 - wide + 1e-9, wide / PLACES):
        low, high = max(y0, x0 - float(u)), min(y1, x1 - float(u) - wide)
        for a, b in _free(taken, float(u), float(u) + wide, low, high):
            count = max(1, ceil((b - a) / reach_mm - 1e-9))
            if (b - a) / count * ROOT2 >= least_mm:
                ends = [a + (b - a) * share / count for share in range(count + 1)]
                found += [Diagonal(float(u), ends[n], ends[n + 1], wide) for n in range(count)]
    return sorted(found, key=lambda one: (-round(one.long_mm, 3), one.low, one.u))


def _free(taken: BaseGeometry, u0: float, u1: float, low: float, high: float) -> Iterator[tuple[float, float]]:
    """The free stretches of one band."""
    if high <= low:
        return
    held = shapely.clip_by_rect(taken, u0, low, u1, high) if not taken.is_empty else taken
    spans = sorted(one.bounds[1::2] for one in getattr(held, "geoms", [held]) if one.area > 0.0)
    at = low
    for start, stop in spans:
        if start > at:
            yield at, start
        at = max(at, stop)
    if high > at:
        yield at, high
