"""What the page asks of the warm worker: a dress drawn and judged, a lay drawn. Plain data in and out."""

import re
from pathlib import Path
from typing import Any

from calibration.units import Unit, length_text, yards_text
from projector.book.orders import Order, order_from
from projector.desk.hand_tasks import retape as retape
from projector.lay.cloth import Budget
from projector.lay.lay import Lay
from projector.lay_jobs import search_tools
from projector.making import garment_of, lay_of
from projector.paper.sketch import sketch_of
from projector.paper.svg import lay_svg, path_data, pieces_svg

SIMPLE_MM = 0.5
"""Drawings on the phone: half a millimetre of the dress is far under a pixel there."""
PAGE_TRIALS = 300
_STYLE = re.compile(r"<style>.*?</style>", re.DOTALL)
_LEVELS = (("bust_mm", "bust"), ("underbust_mm", "underbust"), ("waist_mm", "waist"), ("hip_mm", "hip"), ("biceps_mm", "upper_arm"))


def look(order: dict[str, Any], book: Path) -> dict[str, Any]:
    """The dress of an order as typed: sketch, pieces, finished girths with ease, seams, warnings. Raises what the stages raise."""
    read = order_from(order, "dress", None, book, book)
    garment = garment_of(read)
    unit = read.client.shown
    body = read.body().in_mm()
    girths = [
        {"key": key, "finished": length_text(mm, unit), "ease": _ease(mm, body.get(key), unit)}
        for name, key in _LEVELS
        if (mm := garment.finished.get(name)) is not None
    ]
    apart = [seam.name for seam in garment.seams if not seam.ease_mm[0] - 0.5 <= seam.a_mm - seam.b_mm <= seam.ease_mm[1] + 0.5]
    vent = garment.finished.get("vent_from_hem_mm")
    return {
        "sketch": {side: _drawn(lines) for side, lines in sketch_of(garment).items()},
        "pieces": _bare(pieces_svg(garment, unit, read.client.name)),
        "girths": girths,
        "vent": length_text(vent, unit) if vent else None,
        "seams": {"count": len(garment.seams), "apart": apart},
        "cut": [{"name": piece.name, "of": piece.of, "cloth": piece.cloth, "count": piece.count} for piece in garment.pieces],
        "warnings": list(garment.warnings),
    }


def lay(order: dict[str, Any], book: Path, fold: str | None) -> dict[str, Any]:
    """How the order's cloths are folded and laid. Raises what the stages raise."""
    read = order_from(order, "dress", None, book, book)
    garment = garment_of(read)
    whole = lay_of(read, garment, fold, Budget(PAGE_TRIALS, 1), search_tools())
    return {"drawing": _bare(lay_svg(whole, read.name)), "cloths": [_cloth(one, read) for one in (whole, *whole.others.values())]}


def _cloth(one: Lay, order: Order) -> dict[str, Any]:
    return {
        "name": one.cloth.name,
        "plan": one.plan,
        "needed": f"{one.cloth_needed_mm / 1000:.2f} m ({yards_text(one.cloth_needed_mm)})",
        "why": list(one.why),
        "is_named": one.cloth.name in order.cloths,
    }


def _ease(finished_mm: float, body_mm: float | None, unit: Unit) -> str:
    return length_text(finished_mm - body_mm, unit) if body_mm else ""


def _bare(svg: str) -> str:
    """Without its own style sheet: the page's strict rules allow only its own."""
    return _STYLE.sub("", svg, count=1)


def _drawn(lines: list[tuple[tuple[float, float], ...]]) -> dict[str, Any]:
    """One view as path data with its box; points nearer than half a millimetre to the line are left out."""
    from shapely import LineString

    simple = [tuple(LineString(line).simplify(SIMPLE_MM).coords) for line in lines if len(line) > 1]
    points = [point for line in simple for point in line]
    if not points:
        return {"d": "", "box": [0, 0, 1, 1]}
    x, y = [p[0] for p in points], [p[1] for p in points]
    box = [min(x) - 20, min(y) - 20, max(x) - min(x) + 40, max(y) - min(y) + 40]
    return {"d": " ".join(path_data(line) for line in simple), "box": [round(each, 1) for each in box]}
