"""Sectors of a ring: circle skirts, peplums, flutter caps. Piece frame: waist at y = 0 on the centre line, circle's middle above it.

Source: arc = radius times angle (any handbook); worked for a waist of 26 in at prettyquirkypants.com 2014/03/07.
"""

from dataclasses import dataclass
from math import ceil, pi, radians, tan

from projector.draft.curve import Cubic, Curve, direction, line

ARC_STEP = radians(30)
"""One cubic per 30 degrees: its radius is true to 0.0003 mm at a radius of 1 m."""


def arc(middle: complex, radius: float, start: float, end: float) -> Curve:
    """Arc about `middle` from angle `start` to `end` (radians from +x towards +y), as cubics that are true to 0.001 mm."""
    pieces = max(1, ceil(abs(end - start) / ARC_STEP - 1e-9))
    step = (end - start) / pieces
    handle = 4 / 3 * tan(step / 4) * radius
    curve = []
    for i in range(pieces):
        one, two = start + i * step, start + (i + 1) * step
        a, d = middle + radius * direction(one), middle + radius * direction(two)
        curve.append(Cubic(a, a + handle * direction(one + pi / 2), d - handle * direction(two + pi / 2), d))
    return tuple(curve)


@dataclass(frozen=True, slots=True)
class Sector:
    """Part of a ring, its inner edge starting square to the centre line at (0, 0) and running outward and up."""

    radius: float
    depth: float
    angle: float

    @property
    def middle(self) -> complex:
        """Centre of the circle."""
        return complex(0, -self.radius)

    def across(self, down: float) -> Curve:
        """Arc `down` mm below the inner edge, from the centre line outward."""
        return arc(self.middle, self.radius + down, pi / 2, pi / 2 - self.angle)

    @property
    def inner(self) -> Curve:
        """Waist edge, from the centre line outward."""
        return self.across(0.0)

    @property
    def outer(self) -> Curve:
        """Hem, from the side back to the centre line."""
        return arc(self.middle, self.radius + self.depth, pi / 2 - self.angle, pi / 2)

    @property
    def side(self) -> Curve:
        """Straight side from inner to outer edge."""
        return (line(self.inner[-1].d, self.outer[0].a),)

    @property
    def centre(self) -> Curve:
        """Centre line from outer to inner edge."""
        return (line(self.outer[-1].d, self.inner[0].a),)


def sector_of_edge(edge_mm: float, turn_of_edge: float, depth_mm: float) -> Sector:
    """Sector whose inner edge is `edge_mm` long and turns `turn_of_edge` of a full circle: radius = edge / (2 pi turn)."""
    angle = 2 * pi * turn_of_edge
    return Sector(edge_mm / angle, depth_mm, angle)
