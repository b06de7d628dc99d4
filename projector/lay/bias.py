"""Bias strips for binding, placed at 45 degrees on one open layer: in a clean rectangle of the lay, else on cloth beyond it.

Geometry of a strip: both ends are cut along the cloth's length, so that two strips meet on the grain. A join takes JOIN_MM square to
the seam off either strip, which is JOIN_MM * sqrt 2 along it; squaring off the two outer ends takes one width more.
"""

from collections.abc import Sequence
from dataclasses import replace
from math import floor, hypot, sqrt

from calibration.errors import WrongInput
from projector.garment.pieces import Line
from projector.lay.cloth import Cloth
from projector.lay.errors import ClothTooSmall
from projector.lay.lay import Binding, Lay, Placed, Ply, Region
from projector.lay.needs import largest_rest, need_of

JOIN_MM = 12.0
"""Seam allowance at each end of a strip: common practice, no source."""
ROOT2 = sqrt(2.0)
LEAST_MM, LEAST_WIDTHS = 400.0, 3.0
"""No strip is shorter, nor than so many of its widths with its joins off: more seam than strip (our judgement)."""
STEP_MM, MOST_MM = 10.0, 5000.0
"""Cloth beyond the lay is asked for in such steps, and no more of it than that."""


def joined_mm(strips: Sequence[Line], width_mm: float) -> float:
    """Length of the binding when these strips are joined and its ends squared off."""
    edges = sum(hypot(strip[3][0] - strip[0][0], strip[3][1] - strip[0][1]) for strip in strips)
    return edges - 2.0 * (len(strips) - 1) * ROOT2 * JOIN_MM - width_mm


def strips_in(length_mm: float, width_mm: float, along_mm: float, across_mm: float) -> tuple[Line, ...] | None:
    """Strips (parallelograms, lower left corner at 0, 0) side by side in a rectangle, the longest first; None when they do not do."""
    pitch = width_mm * ROOT2
    least = max(min(LEAST_MM, length_mm + width_mm), LEAST_WIDTHS * width_mm + 2.0 * ROOT2 * JOIN_MM)
    found: list[Line] = []
    for number in range(-floor(across_mm / pitch) - 1, floor(along_mm / pitch) + 1):
        start = number * pitch
        low, high = max(0.0, -start), min(across_mm, along_mm - start - pitch)
        if (high - low) * ROOT2 >= least:
            found.append(((low + start, low), (low + start + pitch, low), (high + start + pitch, high), (high + start, high)))
    found.sort(key=lambda strip: (round(strip[0][1] - strip[3][1], 6), abs(strip[0][0] - strip[0][1])))
    for count in range(1, len(found) + 1):
        if joined_mm(found[:count], width_mm) >= length_mm:
            return tuple(found[:count])
    return None


def with_binding(lay: Lay, cloth: Cloth, length_mm: float, width_mm: float) -> Lay:
    """The lay with its binding placed: in what is left of an open layer, else on cloth laid open beyond it.

    Raises WrongInput for sizes that are none, ClothTooSmall when no cloth of that width or in hand gives it.
    """
    if min(length_mm, width_mm) <= 0.0:
        raise WrongInput("A binding needs a length and a width.", "One of them is not above nothing.", "Write '3 m, 35 mm'.")
    rest = largest_rest(replace(lay, regions=tuple(region for region in lay.regions if len(region.ply) == 1)))
    gap, end = cloth.gap_mm, cloth.end_mm
    if rest is not None:
        region = next(region for region in lay.regions if region.id == rest.region)
        first, last = max(rest.x0 + gap, region.x[0] + end), min(rest.x1 - gap, region.x[1] - end)
        strips = strips_in(length_mm, width_mm, last - first, rest.y1 - rest.y0 - 2.0 * gap)
        if strips is not None:
            return _bound(lay, rest.region, region.bundle, _at(strips, first, rest.y0 + gap), width_mm, 0.0)
    along, beyond = STEP_MM, None
    while beyond is None and along <= MOST_MM:
        along += STEP_MM
        beyond = strips_in(length_mm, width_mm, along, cloth.usable_mm)
    if beyond is None:
        raise ClothTooSmall(
            f"The binding finds no room in {MOST_MM:.0f} mm of {cloth.name}.",
            f"Strips {width_mm:.0f} mm wide, {length_mm:.0f} mm when joined, on {cloth.usable_mm:.0f} mm of width.",
            "Take wider cloth or a shorter binding, or cut it on the straight grain.",
        )
    extra, bundle = along + 2.0 * end, lay.regions[-1].bundle
    if cloth.lengths_mm:
        left = need_of(lay, cloth).left_mm
        bundle = max(range(len(left)), key=lambda number: left[number])
        if left[bundle] < extra:
            raise ClothTooSmall(
                f"The binding needs {extra:.0f} mm more of {cloth.name}.",
                f"The longest that is left is {left[bundle]:.0f} mm.",
                "Take one length more, a shorter binding, or another cloth for it.",
            )
    return _bound(lay, "", bundle, _at(beyond, end, cloth.selvedge_mm), width_mm, extra)


def _at(strips: Sequence[Line], x: float, y: float) -> tuple[Line, ...]:
    return tuple(tuple((a + x, b + y) for a, b in strip) for strip in strips)


def _bound(lay: Lay, region: str, bundle: int, strips: tuple[Line, ...], width_mm: float, extra_mm: float) -> Lay:
    return replace(lay, binding=Binding(region, bundle, strips, width_mm, joined_mm(strips, width_mm), extra_mm))


def drawn_lays(lay: Lay) -> tuple[Lay, ...]:
    """Every cloth's lay as it is drawn: bias strips among the pieces, and those beyond the lay as a length of their own, laid open."""
    if lay.binding is None:
        return (lay, *lay.others.values())
    told = lay.binding
    name = told.region or f"{lay.cloth.name}-binding"
    strips = tuple(
        Placed(f"bias strip {number}", lay.cloth.name, lay.cloth.name, name, 1, (f"{name}.1",), 0, strip, 45.0, 0, False, False)
        for number, strip in enumerate(told.strips, start=1)
    )
    if told.region:
        return (replace(lay, placed=(*lay.placed, *strips)), *lay.others.values())
    x, trim = (0.0, told.extra_mm), lay.cloth.selvedge_mm
    y = (trim, lay.cloth.width_mm - trim)
    open_cloth = Region(name, told.bundle, x, y, (Ply(f"{name}.1", x, y, 0, "right"),))
    beyond = replace(
        lay, cloth=replace(lay.cloth, name=f"{lay.cloth.name}, binding"), plan="open", regions=(open_cloth,), placed=strips, parts=(),
        cloth_needed_mm=told.extra_mm, why=(), others={}, binding=None,
    )  # fmt: skip
    return (lay, beyond, *lay.others.values())
