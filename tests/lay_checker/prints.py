"""A print's repeat on a lay: the same place of the print under the same place of every partner. shapely only, no product code.

The middle line of a piece (its sewing line's least x: centre front, centre back) at one level of the body lies at one phase of the
repeat, along the cloth and across it, on every piece that has that level. Bodices are judged by their bust, skirts by their hip;
a bodice with a dart in its side seam only by its hip: its rows meet below the dart or above it, not at one level.
"""

from typing import Any

from shapely.geometry import Point, Polygon

from tests.lay_checker.check import is_across
from tests.lay_checker.rings import grown, seen_from_above, whole_outline

Told = dict[str, Any]
PRINT_TOL_MM = 2.0
"""A row is carried by the share of the side seam's length, a level by its height: they part by up to so much on a curved side."""


def crosses(lay: Told, pieces: Told, level: str) -> dict[str, list[tuple[float, float]]]:
    """By piece of the cloth itself (no facings): where its middle at that level lies on the cloth, mm."""
    by_name = {piece["name"]: piece for piece in pieces["pieces"]}
    found: dict[str, list[tuple[float, float]]] = {}
    for placed in lay["placed"]:
        piece = by_name[placed["piece"]]
        if (
            level not in piece["levels"]
            or piece["of"] != piece["cloth"]
            or (level == "bust" and any(map(_has_side_dart, by_name.values())))
        ):
            continue
        told = piece["levels"][level]
        y = told if isinstance(told, int | float) else told[0][1]
        x = min(point[0] for point in piece["seam_line"])
        is_half = bool(placed["on_fold"])
        outline = Polygon(piece["cut_line"]) if is_half or not piece["cut"]["on_fold"] else whole_outline(piece)
        way = (is_across(placed), placed["turned"], placed["flipped"])
        lies, at = seen_from_above(grown(outline, piece, is_half), *way), seen_from_above(Point(x, y), *way)
        on_cloth = Polygon(placed["outline"]).bounds
        found.setdefault(placed["piece"], []).append((at.x + on_cloth[0] - lies.bounds[0], at.y + on_cloth[1] - lies.bounds[1]))
    return found


def _has_side_dart(piece: Told) -> bool:
    kinds = [edge["kind"] for edge in piece["edges"]]
    return any(kind == "dart" and "side" in (kinds[n - 1], kinds[(n + 1) % len(kinds)]) for n, kind in enumerate(kinds))


def print_faults(lay: Told, pieces: Told, repeats_mm: tuple[float, float]) -> list[str]:
    """Pieces out of step. repeats_mm: along and across the cloth, 0 for none."""
    faults = []
    for level in ("bust", "hip"):
        every = [(name, at) for name, told in crosses(lay, pieces, level).items() for at in told]
        for axis, repeat in enumerate(repeats_mm):
            for name, at in every if repeat else ():
                off = (at[axis] - every[0][1][axis] + repeat / 2) % repeat - repeat / 2
                if abs(off) > PRINT_TOL_MM:
                    faults.append(f"{name} at the {level}: {off:.1f} mm out of step {'across' if axis else 'along'}")
    return faults
