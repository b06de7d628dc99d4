"""Bias strips of a lay: at 45 degrees, as wide as said, apart, on one open layer, clear of the pieces, long enough when joined.

Shapely only, no product code. A join on the grain takes 12 mm square to the seam off each of two strips (common practice, no
source), which is 12 * sqrt 2 along the strip; the two outer ends are squared off.
"""

from itertools import combinations
from math import atan2, degrees, hypot, sqrt
from typing import Any

from shapely.geometry import Polygon, box

from tests.lay_checker.rings import TOL_MM

Told = dict[str, Any]


def binding_faults(lay: Told, wanted_mm: float) -> list[str]:
    """In words; [] when the binding can be cut. wanted_mm: its length."""
    told, found = lay["binding"], []
    length = -told["width_mm"] - 2.0 * (len(told["strips"]) - 1) * 12.0 * sqrt(2.0)
    for number, strip in enumerate(told["strips"]):
        (ax, ay), (bx, by), (cx, cy), (dx, dy) = strip
        length += hypot(dx - ax, dy - ay)
        if max(abs(degrees(atan2(dy - ay, dx - ax)) - 45.0), abs(degrees(atan2(cy - by, cx - bx)) - 45.0)) > 0.01:
            found.append(f"strip {number} does not lie at 45 degrees")
        if abs(Polygon(strip).area / hypot(dx - ax, dy - ay) - told["width_mm"]) > TOL_MM:
            found.append(f"strip {number} does not have the {told['width_mm']:g} mm of width")
    if length < wanted_mm - TOL_MM or abs(length - told["length_mm"]) > TOL_MM:
        found.append(f"joined it is {length:.1f} mm, said {told['length_mm']:.1f}, wanted {wanted_mm:.1f}")
    shapes = [Polygon(strip) for strip in told["strips"]]
    if any(a.intersection(b).area > 0.01 for a, b in combinations(shapes, 2)):
        found.append("two strips overlap")
    return found + _place_faults(lay, shapes)


def _place_faults(lay: Told, shapes: list[Polygon]) -> list[str]:
    told, cloth = lay["binding"], lay["cloth"]
    trim, end = cloth["selvedge_mm"], cloth["end_mm"]
    if not told["region"]:
        room = box(end, trim, told["extra_mm"] - end, cloth["width_mm"] - trim).buffer(TOL_MM, join_style="mitre")
        return [] if all(room.contains(shape) for shape in shapes) else ["a strip leaves what is bought beyond the lay"]
    region = next(region for region in lay["fold"]["regions"] if region["id"] == told["region"])
    room = box(region["x"][0] + end, region["y"][0], region["x"][1] - end, region["y"][1]).buffer(TOL_MM, join_style="mitre")
    found = [f"{len(region['ply'])} layers lie there"] if len(region["ply"]) != 1 else []
    found += ["a strip leaves the cloth of the lay"] if not all(room.contains(shape) for shape in shapes) else []
    pieces = [Polygon(placed["outline"]) for placed in lay["placed"] if placed["region"] == told["region"]]
    near = min((shape.distance(piece) for shape in shapes for piece in pieces), default=1e9)
    return found + ([f"a strip lies {near:.2f} mm from a piece"] if near < cloth["gap_mm"] - TOL_MM else [])
