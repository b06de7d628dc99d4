"""The step as a small drawing for the phone: what is cut now strong, what is for later thin; a tape check's numbers. Cloth frame, y up."""

from typing import Any

import numpy as np

from calibration.units import Unit
from projector.garment.pieces import Line
from projector.steps.shown import split
from projector.steps.step import Step

SIMPLE_MM = 1.0
_MARGIN_MM = 30.0
LETTER_SHARE = 1.0 / 14.0
"""Of the drawing's longer side: the page writes letters so large (cut.js)."""


def step_drawing(step: Step) -> dict[str, Any]:
    """Path data by class (`kind when`), the box round them, and the letters of crosses on the print (x, y, letter); mm, y down."""
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
        return {"paths": {}, "box": [0, 0, 1, 1], "letters": []}
    crosses = [label for label in step.labels if len(label.text) == 1 and label.text.isalpha()]
    letters = [[round(label.at[0]), round(-label.at[1]), label.text] for label in crosses]
    left, top, wide, tall = min(x) - _MARGIN_MM, min(y) - _MARGIN_MM, np.ptp(x) + 2 * _MARGIN_MM, np.ptp(y) + 2 * _MARGIN_MM
    right = max([left + wide, *(label.at[0] + LETTER_SHARE * max(wide, tall) for label in crosses)])
    box = [round(left), round(top), round(right - left), round(tall)]
    return {"paths": {kind: " ".join(each) for kind, each in paths.items()}, "box": box, "letters": letters}


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
