"""What the page asks of the warm workers: a dress drawn and judged; lays and tape checks stand in lay_tasks and hand_tasks."""

import re
from pathlib import Path
from typing import Any

from calibration.units import Unit, length_text
from projector.book.orders import order_from
from projector.desk.fitting_tasks import fitting as fitting
from projector.desk.fitting_tasks import own_lines
from projector.desk.hand_tasks import card as card
from projector.desk.hand_tasks import retape as retape
from projector.desk.hand_tasks import said as said
from projector.desk.lay_tasks import by_hand as by_hand
from projector.desk.lay_tasks import by_hand_again as by_hand_again
from projector.desk.lay_tasks import lay as lay
from projector.garment.pieces import Garment
from projector.garment.seam_check import seam_report
from projector.making import UNEVEN, altered_of, garment_of
from projector.paper.sketch import sketch_of
from projector.paper.svg import path_data, pieces_svg

SIMPLE_MM = 0.5
"""Drawings on the phone: half a millimetre of the dress is far under a pixel there."""
_STYLE = re.compile(r"<style>.*?</style>", re.DOTALL)
_LEVELS = (("bust_mm", "bust"), ("underbust_mm", "underbust"), ("waist_mm", "waist"), ("hip_mm", "hip"), ("biceps_mm", "upper_arm"))


def ready() -> None:
    """Nothing: the worker has imported everything by the time it answers."""


def look(order: dict[str, Any], book: Path, with_pieces: bool = False) -> dict[str, Any]:
    """The dress of an order as typed: sketch, finished girths with ease, seams, warnings. Raises what the stages raise.

    `with_pieces`: also every piece drawn, which takes as long as all the rest.
    """
    read = order_from(order, "dress", None, book, book)
    garment = garment_of(read)
    unit = read.client.shown
    body = read.body().in_mm()
    girths = [
        {"key": key, "finished": length_text(mm, unit), "ease": _ease(mm, body.get(key), unit)}
        for name, key in _LEVELS
        if (mm := garment.finished.get(name)) is not None
    ]
    report = seam_report(garment, unit)
    return {
        "sketch": {side: _drawn(lines) for side, lines in sketch_of(garment).items()},
        "pieces": _bare(pieces_svg(garment, unit, read.client.name)) if with_pieces else "",
        "girths": girths,
        "unit": unit,
        "walking": _walking(garment, unit),
        "sides": own_lines(altered_of(read), unit) if UNEVEN in garment.warnings else [],
        "seams": {
            "count": len(garment.seams),
            "apart": [each.name for each in report if not each.is_good],
            "report": [each.says for each in report],
        },
        "cut": [{"name": piece.name, "of": piece.of, "cloth": piece.cloth, "count": piece.count} for piece in garment.pieces],
        "warnings": list(garment.warnings),
    }


def _walking(garment: Garment, unit: Unit) -> dict[str, str] | None:
    """What a skirt without an opening lets her step, a full step, and the opening that gives it; None where nothing binds."""
    if garment.walking is None:
        return None
    plan = garment.walking
    told = {"height": plan.from_hem_mm, "without": plan.step_without_mm, "with": plan.step_with_mm, "full": plan.step_wanted_mm}
    return {name: length_text(mm, unit) for name, mm in told.items()}


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
