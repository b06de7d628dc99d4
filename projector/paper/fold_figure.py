"""How to fold, drawn: each thing to do with the flat cloth, then the layers seen from the end. mm, y down."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from shapely import LineString, box, unary_union
from shapely.geometry.base import BaseGeometry

from calibration.units import Unit
from projector.garment.pieces import Line, Point
from projector.lay.fold_drawing import EndView, FoldStep, end_view, fold_steps
from projector.lay.lay import Lay
from projector.lay.refusals import PLAN_WORDS
from projector.paper.figure import ACCENT, CLOTH, INK, SOFT, WRONG, Figure, Ink, Words
from projector.paper.titles import width_mm

PANEL_MM = 620.0
"""Room for one thing to do, its words under it."""
LEFT_MM = 40.0
"""Left of each panel's cloth: its end is named there."""
ROW_GAP_MM = 50.0
HEAD_MM, STEP_WORDS_MM, SIDE_WORDS_MM, EDGE_WORDS_MM = 32.0, 24.0, 22.0, 20.0
"""Capitals: a drawing as wide as a page is read at the table's far side, one a third as wide still in the hand."""
OFF_MM = 16.0
"""Words keep so far from the arrow and the folds."""
APART = 4.0
"""Layers seen from the end are drawn so many times further apart than told: words stand between them."""
BEND_MM, BEND_SHARE = 70.0, 0.6
"""How far aside the arrow is bent, and of the cloth's own width at most."""


def fold_figure(lay: Lay, unit: Unit = "mm") -> Figure:
    """How to fold every cloth: the flat cloth with its fold line and where it is brought, then the layers seen from the end."""
    figure = Figure()
    for one in lay.lays:
        _cloth(figure, one, unit)
    return figure


def _cloth(figure: Figure, one: Lay, unit: Unit) -> None:
    """One cloth's row of panels below what is drawn already."""
    steps, is_folded = fold_steps(one, unit=unit), len(one.regions[0].ply) > 1
    wide = (len(steps) + is_folded) * PANEL_MM
    head = f"{one.cloth.name}: {PLAN_WORDS[one.plan]}"
    size = min(HEAD_MM, (wide - 50.0) / width_mm(head, 1.0))
    figure.words.append(Words(head, (LEFT_MM, figure.height_mm + 62.0), size))
    top = figure.height_mm + 122.0
    feet = []
    for number, step in enumerate(steps, start=1):
        corner = (LEFT_MM + (number - 1) * PANEL_MM, top)
        feet.append(_fold_panel(figure, step, f"{number}  " if len(steps) > 1 else "", corner))
    if is_folded:
        feet.append(_end_panel(figure, end_view(one), (LEFT_MM + len(steps) * PANEL_MM, top)))
    figure.height_mm, figure.width_mm = max(feet) + ROW_GAP_MM, max(figure.width_mm, wide)


def _fold_panel(figure: Figure, step: FoldStep, number: str, corner: Point) -> float:
    """The cloth fitted into a panel; its fold dashed and heavy, an arrow from the edge that moves to where it comes to lie.

    Returns the y below its words.
    """
    along, across = np.asarray(step.outline).max(axis=0)
    scale = min((PANEL_MM - 90.0) / along, 290.0 / across)
    size = (along * scale, across * scale)

    def at(points: Line) -> Line:
        return tuple((corner[0] + x * scale, corner[1] + (across - y) * scale) for x, y in points)

    figure.inks.append(Ink(at(step.outline), 2.0, SOFT, CLOTH, True))
    drawn = [at(line) for line in (step.fold, step.made) if line]
    if step.fold:
        figure.inks.append(Ink(at(step.fold), 5.0, ACCENT, None, False, 22.0))
        figure.inks += [Ink(at(step.made), 7.0, ACCENT)] if step.made else []
        start, stop = np.array(at(step.arrow))
        drawn.append(_arrow(figure, start, stop, min(size)))
    _edge_words(figure, step, corner, size, unary_union([LineString(line).buffer(OFF_MM) for line in drawn]))
    foot = corner[1] + size[1] + 84.0
    lines = _lines(number + step.words, STEP_WORDS_MM, PANEL_MM - LEFT_MM)
    for row, line in enumerate(lines):
        figure.words.append(Words(line, (corner[0], foot + row * 1.7 * STEP_WORDS_MM), STEP_WORDS_MM))
    return float(foot + (len(lines) - 1) * 1.7 * STEP_WORDS_MM)


def _arrow(figure: Figure, start: NDArray[np.float64], stop: NDArray[np.float64], narrow_mm: float) -> Line:
    """A bent line with a head at its end, its bend within cloth so narrow. Returns the line."""
    way = (stop - start) / np.hypot(*(stop - start))
    knee = (start + stop) / 2.0 + min(BEND_MM, BEND_SHARE * narrow_mm) * np.array([-way[1], way[0]])
    bend = [(1 - t) ** 2 * start + 2 * t * (1 - t) * knee + t * t * stop for t in np.linspace(0.0, 1.0, 24)]
    tip = (bend[-1] - bend[-3]) / np.hypot(*(bend[-1] - bend[-3]))
    left = np.array([-tip[1], tip[0]])
    head = [stop, stop - 26.0 * tip + 11.0 * left, stop - 26.0 * tip - 11.0 * left]
    line, ends = (tuple((float(x), float(y)) for x, y in points) for points in (bend, head))
    figure.inks += [Ink(line, 4.0, INK), Ink(ends, 0.0, INK, INK, True)]
    return line


def _edge_words(figure: Figure, step: FoldStep, corner: Point, size: tuple[float, float], drawn: BaseGeometry) -> None:
    """What each edge is, outside along it; which side of the cloth is seen: inside it where arrow and folds leave room, else beside
    it, or where it fills its panel above its far corner."""
    (x, y), (wide, tall) = corner, size
    figure.words.append(Words(step.top, (x, y - 14.0), EDGE_WORDS_MM))
    figure.words.append(Words(step.bottom, (x, y + tall + 31.0), EDGE_WORDS_MM))
    figure.words.append(Words(step.left, (x - 10.0, y + tall / 2.0), EDGE_WORDS_MM, True, -90.0))
    cloth, told = box(x, y, x + wide, y + tall), width_mm(step.face, EDGE_WORDS_MM)
    inside = ((x + 14.0, y + 36.0), (x + 14.0, y + tall - 16.0))
    rooms = ((at, box(at[0], at[1] - EDGE_WORDS_MM, at[0] + told, at[1])) for at in inside)
    free = [at for at, room in rooms if cloth.contains(room) and not room.intersects(drawn)]
    beside = (x + wide + 16.0, y + 36.0) if wide + 16.0 + told < PANEL_MM - LEFT_MM else (x + wide - told, y - 14.0)
    figure.words.append(Words(step.face, (free or [beside])[0], EDGE_WORDS_MM))


def _lines(text: str, capital_mm: float, wide_mm: float) -> Sequence[str]:
    """Words in lines no wider than `wide_mm`."""
    lines = [""]
    for word in text.split(" "):
        longer = f"{lines[-1]} {word}" if lines[-1] else word
        if lines[-1] and width_mm(longer, capital_mm) > wide_mm:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines


def _end_panel(figure: Figure, view: EndView, corner: Point) -> float:
    """Layers from the end: right side up drawn in ink, wrong side up in a soft tone. Returns the y of the words below."""
    low = min(x for line in view.plies for x, _ in line)
    high = max(x for line in view.plies for x, _ in line)
    scale = (PANEL_MM - 150.0) / max(high - low, 1.0)

    def at(point: Point) -> Point:
        return (corner[0] + 30.0 + (point[0] - low) * scale, corner[1] + 40.0 - point[1] * APART)

    for line, is_right in zip(view.plies, view.right, strict=True):
        figure.inks.append(Ink(tuple(at(point) for point in line), 7.0, INK if is_right else WRONG))
        x, y = at(line[0])
        figure.words.append(Words("right side up" if is_right else "wrong side up", (x + 14.0, y - 16.0), SIDE_WORDS_MM))
    for bend in view.bends:
        deep = 12.0 + abs(bend[3][1] - bend[0][1])  # an outer fold reaches round an inner one
        reach = deep if bend[1][0] > bend[0][0] else -deep
        (x0, y0), (_, y3) = at(bend[0]), at(bend[3])
        turn = [(x0 + reach * float(np.sin(t)), y0 + (y3 - y0) * float(1 - np.cos(t)) / 2.0) for t in np.linspace(0.0, np.pi, 20)]
        figure.inks.append(Ink(tuple(turn), 5.0, ACCENT))
    below = corner[1] + 74.0 + APART * 14.0 * len(view.plies)
    figure.words.append(Words(f"seen from {view.seen_from}", (corner[0], below), STEP_WORDS_MM))
    return below
