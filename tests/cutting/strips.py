"""Bias strips for a binding on the virtual cloth: what the shears part is measured, not what the lay drew. mm, cloth frame.

A join on the grain takes 12 mm square to the seam off each of two strips (common practice, no source), 12 * sqrt 2 along either;
squaring off the two outer ends takes one width.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise
from math import atan2, degrees, hypot, pi, sqrt
from typing import TYPE_CHECKING, Any

from shapely.geometry import LineString, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from tests.cutting.cloth import KERF_MM, Layer, covers

if TYPE_CHECKING:
    from tests.cutting.simulator import Run
    from tests.cutting.table import Table

Told = Mapping[str, Any]

ANGLE_DEG = 0.5
"""True bias: half a degree off turns a strip of 500 mm by 4 mm across the grain (judgement, no source)."""
WIDE_MM = 0.5
"""Half of the smallest cutting tolerance (1 mm)."""
JOIN_MM = 12.0
LOOSE_MM2 = 2.0
SLACK_MM = 0.6
"""A strip is loose when it hangs on nothing further out than this."""
NEEDED_MM2 = 0.1


@dataclass
class Strips:
    """The binding of one cloth as lay.json plans it, and what was cut of it."""

    ply: str
    width_mm: float
    wanted_mm: float
    planned: list[Polygon]
    is_apart: bool
    """On cloth of its own beyond the lay, which has to be opened first."""
    cut: dict[int, Polygon] = field(default_factory=dict)
    is_opened: bool = False

    def held_by(self, ply: str, part: Polygon) -> bool:
        """This cloth holds something of a strip not yet cut."""
        return ply == self.ply and any(
            number not in self.cut and part.intersects(strip) and part.intersection(strip).area > LOOSE_MM2
            for number, strip in enumerate(self.planned)
        )


def set_up_strips(table: "Table", lay: Told) -> Strips | None:
    """The order's binding; cloth of its own is laid out beside the regions of the lay."""
    told = lay.get("binding")
    if told is None:
        return None
    ply, name = told["ply"], lay["cloth"]["name"]
    is_apart = not told["region"]
    if is_apart:
        trim, apart = lay["cloth"]["selvedge_mm"], f"{name}, binding"
        if ply in table.layers:
            raise ValueError(f"the binding's ply id {ply} is another layer's")
        table.layers[ply] = Layer(ply, 0, apart, [box(0.0, trim, told["extra_mm"], lay["cloth"]["width_mm"] - trim)])
        table.cloth_of[ply], table.bundle_of[ply], table.parts[apart] = apart, told["bundle"], told["parts"]
        table.ply_mm[apart] = lay["cloth"]["ply_mm"]
    return Strips(ply, told["width_mm"], told["wanted_mm"], [Polygon(strip) for strip in told["strips"]], is_apart)


def see_opened(run: "Run", step: Told) -> None:
    """Cloth beyond the lay lies in one layer once a step said so."""
    strips = run.table.strips
    if strips is not None and step["op"] == "fold" and step["plies"] == [strips.ply]:
        strips.is_opened = True


def take_strips(run: "Run", step: Told, drawn: BaseGeometry) -> None:
    """Strips that this cut parted from the cloth: measured and taken off the layer."""
    strips = run.table.strips
    if strips is None or strips.ply not in step["through"]:
        return
    layer, got = run.table.layers[strips.ply], False
    for number, planned in enumerate(strips.planned):
        if number in strips.cut:
            continue
        held = next((part for part in layer.parts if part.contains(planned.centroid)), None)
        if held is None or covers(planned.buffer(SLACK_MM), held) > LOOSE_MM2:
            continue
        _check_place(run, step, layer)
        _check_shape(run, number, held, strips.width_mm)
        strips.cut[number], got = held, True
        layer.parts = [part for part in layer.parts if part is not held]
    if got and not unary_union([strip.exterior.buffer(SLACK_MM) for strip in strips.planned]).covers(drawn):
        run.tell("strips", "a line of this cut runs along no strip")


def _check_place(run: "Run", step: Told, layer: Layer) -> None:
    strips = run.table.strips
    assert strips is not None
    under = [one.id for one in run.table.layers.values() if one.region == layer.region]
    if under != [strips.ply] or step["through"] != [strips.ply]:
        run.tell("strips", f"cut through {step['through']} where {under} lie: bias strips are cut from one layer")
    if strips.is_apart and not strips.is_opened:
        run.tell("strips", "the cloth beyond the lay was not opened first")
    for copy in run.table.copies:
        if copy.ply == strips.ply and copy.part == step["part"] and not copy.is_lifted:
            run.tell("strips", f"strips are cut while {copy.piece} still lies there")
    if step["frees"] or step["handles"]:
        run.tell("strips", "a strip is no piece: nothing is freed or handled")


def _check_shape(run: "Run", number: int, held: Polygon, width_mm: float) -> None:
    """Angle and width of the cloth that came off; the kerf took its half on every side."""
    sides = _long_sides(held)
    off = max(abs(_to_45(side)) for side in sides)
    if off > ANGLE_DEG:
        run.tell("strips", f"strip {number} lies {off:.2f} degrees off the bias")
    wide = held.area / (sum(side.length for side in sides) / 2.0) + 2.0 * KERF_MM
    if abs(wide - width_mm) > WIDE_MM:
        run.tell("strips", f"strip {number} is {wide:.2f} mm wide, {width_mm:g} wanted")


def _long_sides(held: Polygon) -> list[LineString]:
    """The two longest sides once corners that bend by nothing are left out."""
    ring = list(held.simplify(0.05).exterior.coords)
    sides = [LineString(pair) for pair in pairwise(ring)]
    return sorted(sides, key=lambda side: -side.length)[:2]


def _to_45(side: LineString) -> float:
    (ax, ay), (bx, by) = side.coords[0], side.coords[-1]
    return degrees((atan2(by - ay, bx - ax) % (pi / 2.0)) - pi / 4.0)


def finish_strips(run: "Run") -> None:
    """At the end: every strip in hand, long enough when joined."""
    strips = run.table.strips
    if strips is None:
        return
    for copy in run.table.copies:
        if copy.ply == strips.ply and any(copy.first.intersection(strip).area > NEEDED_MM2 for strip in strips.planned):
            run.tell("strips", f"a strip lies on cloth that {copy.piece} needs")
    left = [number for number in range(len(strips.planned)) if number not in strips.cut]
    if left:
        run.tell("strips", f"strips {left} were never cut loose")
    lengths = [sum(side.length for side in _long_sides(held)) / 2.0 for held in strips.cut.values()]
    joined = sum(lengths) - 2.0 * max(len(lengths) - 1, 0) * JOIN_MM * sqrt(2.0) - strips.width_mm
    kerfs = len(lengths) * 2.0 * hypot(KERF_MM, KERF_MM)
    if joined < strips.wanted_mm - kerfs - 0.1:
        run.tell("strips", f"joined the strips are {joined:.1f} mm long, {strips.wanted_mm:.1f} wanted")
