"""The step as a small drawing for the phone: what is cut now strong, what is for later thin; a tape check's numbers. Cloth frame, y up."""

from typing import Any

from calibration.units import Unit
from projector.garment.pieces import Line
from projector.steps.shown import split
from projector.steps.step import Step

SIMPLE_MM = 1.0
_MARGIN_MM = 30.0


def step_drawing(step: Step) -> dict[str, object]:
    """Path data by class (`kind when`) and the box round them, mm, y down for SVG."""
    paths: dict[str, list[str]] = {}
    x: list[float] = []
    y: list[float] = []
    for line in step.lines:
        if len(line.mm) < 2 or line.kind in ("grid", "ruler"):
            continue
        points = _thinned(line.mm)
        x += [point[0] for point in points]
        y += [-point[1] for point in points]
        told = " ".join(f"{a:.0f},{-b:.0f}" for a, b in points)
        paths.setdefault(f"{line.kind} {line.when}", []).append(f"M{told}{'Z' if line.closed else ''}")
    if not x:
        return {"paths": {}, "box": [0, 0, 1, 1]}
    box = [min(x) - _MARGIN_MM, min(y) - _MARGIN_MM, max(x) - min(x) + 2 * _MARGIN_MM, max(y) - min(y) + 2 * _MARGIN_MM]
    return {"paths": {kind: " ".join(each) for kind, each in paths.items()}, "box": [round(each) for each in box]}


def _thinned(line: Line) -> Line:
    """Points at least a millimetre apart, both ends kept: enough for a hand's width of screen."""
    kept = [line[0]]
    for point in line[1:-1]:
        if abs(point[0] - kept[-1][0]) + abs(point[1] - kept[-1][1]) >= SIMPLE_MM:
            kept.append(point)
    return (*kept, line[-1])


def tapes_told(step: Step, unit: Unit, changeable: list[bool]) -> list[dict[str, Any]]:
    """A tape check's numbers in her unit: edge to edge = between the sewing lines + what lies beyond."""
    told = []
    for place, read in enumerate(step.tapes):
        whole, sewn, beyond = split(read.mm, read.sewn_mm, unit)
        is_changeable = place < len(changeable) and changeable[place]
        told.append({"where": read.where, "whole": whole, "sewn": sewn, "beyond": beyond, "is_changeable": is_changeable})
    return told
