"""Bias strips for binding, placed at 45 degrees on one open layer: between the pieces of the lay, else on cloth beyond it.

Geometry of a strip: both ends are cut along the cloth's length, so that two strips meet on the grain. A join takes JOIN_MM square to
the seam off either strip, which is JOIN_MM * sqrt 2 along it; squaring off the two outer ends takes one width more. Every strip lies
whole in one light.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import hypot, sqrt
from types import MappingProxyType

import numpy as np

from calibration.errors import WrongInput
from projector.garment.pieces import Line, Piece
from projector.lay.cloth import USUAL_LIGHT, Cloth, Light
from projector.lay.diagonals import Diagonal, free_diagonals
from projector.lay.errors import ClothTooSmall
from projector.lay.first_cut import first_outline
from projector.lay.lay import Binding, Lay, Placed, Ply, Region
from projector.lay.needs import need_of
from projector.lay.parts import make_parts
from projector.lay.shapes import Turn, line_of, ring_of

JOIN_MM = 12.0
"""Seam allowance at each end of a strip: common practice, no source."""
ROOT2 = sqrt(2.0)
LEAST_MM, LEAST_WIDTHS = 400.0, 3.0
"""No strip is shorter, nor than so many of its widths with its joins off: more seam than strip (our judgement)."""
STEP_MM, MOST_MM = 10.0, 5000.0
"""Cloth beyond the lay is asked for in such steps, and no more of it than that."""
Pieces = Mapping[str, Piece]


def joined_mm(strips: Sequence[Line], width_mm: float) -> float:
    """Length of the binding when these strips are joined and its ends squared off."""
    edges = sum(hypot(strip[3][0] - strip[0][0], strip[3][1] - strip[0][1]) for strip in strips)
    return edges - 2.0 * (len(strips) - 1) * ROOT2 * JOIN_MM - width_mm


def strips_in(length_mm: float, width_mm: float, along_mm: float, across_mm: float, light: Light = USUAL_LIGHT) -> tuple[Line, ...] | None:
    """Strips (parallelograms, lower left corner at 0, 0) side by side in a rectangle, the longest first, none larger than the light;
    None when they do not do."""
    room = (0.0, 0.0, along_mm, across_mm)
    found = free_diagonals(room, (), 0.0, width_mm, _least_mm(length_mm, width_mm), _reach_mm(width_mm, light))
    chosen = _enough(found, Binding("", 0, (), width_mm, 0.0, 0.0, length_mm))
    return None if chosen is None else tuple(one.outline for one in chosen)


def with_binding(
    lay: Lay, cloth: Cloth, length_mm: float, width_mm: float, light: Light = USUAL_LIGHT, pieces: Pieces = MappingProxyType({})
) -> Lay:
    """The lay with its binding placed: in what is left of an open layer in one light, else on cloth laid open beyond it.

    `pieces`: those laid, by name; the strips keep clear of the lines that a first dress is cut by. Raises WrongInput for sizes that
    are none, ClothTooSmall when no cloth of that width or in hand gives it.
    """
    if min(length_mm, width_mm) <= 0.0:
        raise WrongInput("A binding needs a length and a width.", "One of them is not above nothing.", "Write '3 m, 35 mm'.")
    lay = replace(lay, binding=None)
    wanted = Binding("", 0, (), width_mm, 0.0, 0.0, length_mm)
    return _in_the_rest(lay, cloth, wanted, light, pieces) or _beyond(lay, cloth, wanted, light)


def _in_the_rest(lay: Lay, cloth: Cloth, wanted: Binding, light: Light, pieces: Pieces) -> Lay | None:
    """In what lies free on open layers of one light, the latest that gives enough, else of several; None: together too little.

    Only lights that pieces are cut in: for the strips alone the cloth is not pulled along.
    """
    around = _lines_cut(lay, pieces)
    found = {(number, region.id): _free_in(lay, cloth, wanted, light, number, region, around) for number, region in _open_lights(lay)}
    for key in (*[[key] for key in found], *[[key for key in found if key[1] == name] for name in {key[1]: 0 for key in found}]):
        chosen = _enough([one for each in key for one in found[each]], wanted)
        if chosen is None:
            continue
        region = next(each for each in lay.regions if each.id == key[0][1])
        parts = tuple(one.part for one in chosen)
        told = replace(wanted, region=region.id, bundle=region.bundle, ply=region.ply[0].id, part_of=parts)
        return _bound(lay, told, tuple(one.outline for one in chosen))
    return None


def _open_lights(lay: Lay) -> list[tuple[int, Region]]:
    """Part and region of every open layer in a light that pieces are cut in, the latest light first."""
    lit = sorted({placed.part for placed in lay.placed}, reverse=True)
    return [(n, each) for n in lit for each in lay.regions if len(each.ply) == 1 and each.bundle == lay.parts[n].bundle]


def _lines_cut(lay: Lay, pieces: Pieces) -> Mapping[str, list[Line]]:
    """By region: outlines, and beside them those of a first dress where they lie further out."""
    told: dict[str, list[Line]] = {}
    for placed in lay.placed:
        told.setdefault(placed.region, []).append(placed.outline)
        piece = pieces.get(placed.piece)
        if piece is not None and piece.first_cut:
            ring = ring_of(first_outline(piece, placed.on_fold or not piece.on_fold))
            matrix = Turn(placed.across, placed.turned == 180, placed.flipped).matrix
            told[placed.region].append(line_of(ring @ matrix.T + np.asarray(placed.shift)))
    return told


def _free_in(
    lay: Lay, cloth: Cloth, wanted: Binding, light: Light, number: int, region: Region, around: Mapping[str, list[Line]]
) -> list[Diagonal]:
    """Strips that could be cut there, the longest first."""
    gap, end, (x0, y0, x1, y1) = cloth.gap_mm, cloth.end_mm, lay.parts[number].rect
    low, high = region.ply[0].y
    room = (max(x0, region.x[0] + end), max(y0, low + gap), min(x1, region.x[1] - end), min(y1, high - gap))
    least, reach = _least_mm(wanted.wanted_mm, wanted.width_mm), _reach_mm(wanted.width_mm, light)
    found = free_diagonals(room, around.get(region.id, []), gap, wanted.width_mm, least, reach)
    return [replace(one, part=number) for one in found]


def _enough(found: Sequence[Diagonal], wanted: Binding) -> list[Diagonal] | None:
    """The longest that lie clear of one another, as many as give the binding; None: all together give too little."""
    chosen: list[Diagonal] = []
    for one in sorted(found, key=lambda each: -round(each.long_mm, 3)):
        if not any(one.meets(other) for other in chosen):
            chosen.append(one)
            if joined_mm([each.outline for each in chosen], wanted.width_mm) >= wanted.wanted_mm:
                return chosen
    return None


def _least_mm(length_mm: float, width_mm: float) -> float:
    """No strip is shorter."""
    return max(min(LEAST_MM, length_mm + width_mm), LEAST_WIDTHS * width_mm + 2.0 * ROOT2 * JOIN_MM)


def _reach_mm(width_mm: float, light: Light) -> float:
    """How far across the cloth a strip may reach to lie whole in the light. Raises ClothTooSmall for one wider than it."""
    reach = min(light.height_mm, light.width_mm - width_mm * ROOT2)
    if reach <= 0.0:
        raise ClothTooSmall(
            f"A strip {width_mm:.0f} mm wide does not lie in the light.",
            f"The light is {light.width_mm:.0f} by {light.height_mm:.0f} mm.",
            "Take a narrower binding, or hang the lamp higher.",
        )
    return reach


def _beyond(lay: Lay, cloth: Cloth, wanted: Binding, light: Light) -> Lay:
    """On the least cloth beyond the lay, laid open. Raises ClothTooSmall."""
    along, beyond, end = STEP_MM, None, cloth.end_mm
    while beyond is None and along <= MOST_MM:
        along += STEP_MM
        beyond = strips_in(wanted.wanted_mm, wanted.width_mm, along, cloth.usable_mm, light)
    if beyond is None:
        raise ClothTooSmall(
            f"The binding finds no room in {MOST_MM:.0f} mm of {cloth.name}.",
            f"Strips {wanted.width_mm:.0f} mm wide, {wanted.wanted_mm:.0f} mm when joined, on {cloth.usable_mm:.0f} mm of width.",
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
    ply = f"{lay.cloth.name}-binding.1"
    told = _bound(lay, replace(wanted, bundle=bundle, ply=ply, extra_mm=extra), _at(beyond, end, cloth.selvedge_mm))
    apart = laid_apart(told)
    if told.binding is None or apart is None:
        raise AssertionError("strips on cloth of their own are a lay of their own")
    placed, parts = make_parts(apart.placed, apart.regions, light)
    return replace(told, binding=replace(told.binding, parts=parts, part_of=tuple(each.part for each in placed)))


def bound_anew(lay: Lay, cloth: Cloth, light: Light, pieces: Pieces) -> Lay:
    """The lay with its binding laid again round pieces that moved; where that does not go its binding `lacks` the cloth, in words."""
    told = lay.binding
    if told is None:
        return lay
    try:
        return with_binding(lay, cloth, told.wanted_mm, told.width_mm, light, pieces)
    except ClothTooSmall as cause:
        return replace(lay, binding=Binding("", 0, (), told.width_mm, 0.0, 0.0, told.wanted_mm, lacks=f"{cause.what} {cause.why}"))


def _at(strips: Sequence[Line], x: float, y: float) -> tuple[Line, ...]:
    return tuple(tuple((a + x, b + y) for a, b in strip) for strip in strips)


def _bound(lay: Lay, told: Binding, strips: tuple[Line, ...]) -> Lay:
    return replace(lay, binding=replace(told, strips=strips, length_mm=joined_mm(strips, told.width_mm)))


def _strips_placed(lay: Lay, told: Binding, region: str) -> tuple[Placed, ...]:
    name = lay.cloth.name
    parts = told.part_of or (0,) * len(told.strips)
    return tuple(
        Placed(f"bias strip {number}", name, name, region, 1, (told.ply,), part, strip, 45.0, 0, False, False)
        for number, (strip, part) in enumerate(zip(told.strips, parts, strict=True), start=1)
    )


def laid_apart(lay: Lay) -> Lay | None:
    """The cloth beyond the lay that the strips are cut from, as a lay of its own: open, x from its cut end; None: there is none."""
    told = lay.binding
    if told is None or told.region or not told.strips:
        return None
    name = f"{lay.cloth.name}, binding"
    x, trim = (0.0, told.extra_mm), lay.cloth.selvedge_mm
    y = (trim, lay.cloth.width_mm - trim)
    open_cloth = Region(f"{lay.cloth.name}-binding", told.bundle, x, y, (Ply(told.ply, x, y, 0, "right"),))
    return replace(
        lay, cloth=replace(lay.cloth, name=name), plan="open", regions=(open_cloth,), parts=told.parts,
        placed=_strips_placed(lay, told, open_cloth.id), cloth_needed_mm=told.extra_mm, why=(), others={}, binding=None,
    )  # fmt: skip


def lays_cut(lay: Lay) -> Mapping[str, Lay]:
    """Every cloth that lies on the table at some step, by name: the main one, cloth of its own for bias strips, the others."""
    apart = laid_apart(lay)
    return {lay.cloth.name: lay, **({apart.cloth.name: apart} if apart else {}), **lay.others}


def drawn_lays(lay: Lay) -> tuple[Lay, ...]:
    """Every cloth's lay as it is drawn: bias strips among the pieces, and those beyond the lay as a length of their own, laid open."""
    told = lay.binding
    if told is not None and told.region:
        lay = replace(lay, placed=(*lay.placed, *_strips_placed(lay, told, told.region)))
    return tuple(lays_cut(lay).values())
