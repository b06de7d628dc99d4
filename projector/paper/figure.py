"""Plain drawings of cloth: lines, filled areas and words in mm, y down, written as SVG or PNG. How to fold, and how the pieces lie."""

from dataclasses import dataclass, field, replace
from html import escape
from itertools import product

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString, Polygon

from calibration.units import Unit, cloth_text
from projector.garment.pieces import Line, Point
from projector.lay.bias import drawn_lays
from projector.lay.fold_drawing import EndView, FoldStep, end_view, fold_steps
from projector.lay.lay import Fold, Lay, Placed, Region
from projector.lay.refusals import PLAN_WORDS

Rgb = tuple[int, int, int]
INK, SOFT, CLOTH, WRONG, WHITE, ACCENT = (29, 29, 31), (118, 113, 100), (240, 234, 217), (205, 198, 178), (255, 255, 255), (176, 92, 46)
GROUND: Rgb = (251, 250, 247)


@dataclass(frozen=True, slots=True)
class Ink:
    """One line or area. `width_mm` 0: no edge; `dash_mm`: on and off."""

    points: Line
    width_mm: float
    colour: Rgb = INK
    fill: Rgb | None = None
    is_closed: bool = False
    dash_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Words:
    """One line of words, capitals `capital_mm` high, base line at `at`."""

    text: str
    at: Point
    capital_mm: float
    is_middle: bool = False


@dataclass(slots=True)
class Figure:
    """What is drawn, later over earlier; `width_mm` and `height_mm` grow as figures are put below each other."""

    width_mm: float = 0.0
    height_mm: float = 0.0
    inks: list[Ink] = field(default_factory=list)
    words: list[Words] = field(default_factory=list)


def as_svg(figure: Figure, title: str) -> str:
    """The figure as an SVG at true size."""
    body = []
    for ink in figure.inks:
        told = " ".join(f"{x:.1f},{y:.1f}" for x, y in ink.points)
        fill = "none" if ink.fill is None else "rgb({},{},{})".format(*ink.fill)
        dash = f' stroke-dasharray="{ink.dash_mm:g}"' if ink.dash_mm else ""
        edge = 'stroke="none"' if not ink.width_mm else 'stroke="rgb({},{},{})" stroke-width="{:g}"'.format(*ink.colour, ink.width_mm)
        body.append(f'<path d="M{told}{"Z" if ink.is_closed else ""}" fill="{fill}" {edge}{dash}/>')
    for one in figure.words:
        anchor = ' text-anchor="middle"' if one.is_middle else ""
        body.append(
            f'<text x="{one.at[0]:.1f}" y="{one.at[1]:.1f}" font-size="{one.capital_mm / 0.714:.1f}"{anchor}>{escape(one.text)}</text>'
        )
    size = f'width="{figure.width_mm:.1f}mm" height="{figure.height_mm:.1f}mm" viewBox="0 0 {figure.width_mm:.1f} {figure.height_mm:.1f}"'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} font-family="Noto Sans, sans-serif" fill="rgb(29,29,31)">'
        f"<title>{escape(title)}</title>"
        f'<rect width="100%" height="100%" fill="rgb({GROUND[0]},{GROUND[1]},{GROUND[2]})"/>{"".join(body)}</svg>\n'
    )


def as_png(figure: Figure, wide_px: int = 1600) -> bytes:
    """The figure as a PNG so many pixels wide, words as outlines of the bundled type."""
    import cv2

    from projector.scene.text import outlined

    scale, shift = wide_px / figure.width_mm, 4
    image = np.full((round(figure.height_mm * scale), wide_px, 3), GROUND, dtype=np.uint8)

    def px(points: object) -> NDArray[np.int32]:
        told: NDArray[np.int32] = np.round(np.asarray(points, dtype=np.float64) * scale * 2**shift).astype(np.int32)
        return told

    for ink in figure.inks:
        if ink.fill is not None:
            cv2.fillPoly(image, [px(ink.points)], ink.fill, cv2.LINE_AA, shift)
        for line in _dashes(ink) if ink.width_mm else ():
            wide = max(1, round(ink.width_mm * scale))
            cv2.polylines(image, [px(line)], ink.is_closed and not ink.dash_mm, ink.colour, wide, cv2.LINE_AA, shift)
    for one in figure.words:
        told = outlined(one.text, one.capital_mm)
        at = np.array([one.at[0] - (told.width_mm / 2.0 if one.is_middle else 0.0), one.at[1]])
        rings = [px(ring * (1.0, -1.0) + at) for ring in (*told.fills, *told.holes)]
        if rings:
            cv2.fillPoly(image, rings, INK, cv2.LINE_AA, shift)
    good, data = cv2.imencode(".png", image[:, :, ::-1])
    if not good:
        raise OSError("the picture could not be written as PNG")
    return bytes(data)


def _dashes(ink: Ink) -> list[np.ndarray]:
    """The line, or its dashes one by one."""
    line = np.asarray(ink.points, dtype=np.float64)
    if not ink.dash_mm:
        return [line]
    if ink.is_closed:
        line = np.vstack([line, line[:1]])
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))])
    made = []
    for start in np.arange(0.0, along[-1], 2.0 * ink.dash_mm):
        stop = min(start + ink.dash_mm, along[-1])
        at = np.concatenate([[start], along[(along > start) & (along < stop)], [stop]])
        made.append(np.column_stack([np.interp(at, along, line[:, axis]) for axis in (0, 1)]))
    return made


def lay_figure(lay: Lay) -> Figure:
    """Every cloth and length, one below the other: cloth, pieces with their layers, the light's parts, folds as heavy lines."""
    figure = Figure()
    for one in drawn_lays(lay):
        for bundle in sorted({region.bundle for region in one.regions}):
            _length(figure, one, bundle)
    return figure


def _length(figure: Figure, one: Lay, bundle: int) -> None:
    regions = [region for region in one.regions if region.bundle == bundle]
    names = {region.id for region in regions}
    plies = [ply for region in regions for ply in region.ply]
    x0, high = min(ply.x[0] for ply in plies), max(ply.y[1] for ply in plies)
    x1, low = max(ply.x[1] for ply in plies), min(ply.y[0] for ply in plies)
    top = figure.height_mm + 70.0

    def at(x: float, y: float) -> Point:
        return (x - x0 + 40.0, top + high - y)

    words = f"{one.cloth.name}, length {bundle + 1}: {PLAN_WORDS[one.plan]}, {cloth_text(one.cloth_needed_mm)} in all"
    figure.words.append(Words(words, (40.0, top - 22.0), 20.0))
    for ply in plies:
        figure.inks.append(Ink(tuple(at(x, y) for x, y in _box(ply.x, ply.y)), 1.5, SOFT, CLOTH, True))
    under = {ply.id for region in regions for ply in region.ply[2:]}  # quarters: backs lie under the fronts
    drawn = sorted((each for each in one.placed if each.region in names), key=lambda each: set(each.on) <= under)
    for placed in drawn:
        is_under = set(placed.on) <= under
        outline = tuple(at(x, y) for x, y in placed.outline)
        figure.inks.append(Ink(outline, 1.6, INK, None if is_under else WHITE, True, 14.0 if is_under else 0.0))
    taken: list[Polygon] = []
    for placed in drawn:
        below = ", below" if set(placed.on) <= under else ""
        figure.words += [replace(one, at=at(*one.at)) for one in named(placed, below, taken)]
    for part in (each for each in one.parts if each.bundle == bundle):
        a, b, c, d = max(part.rect[0], x0), max(part.rect[1], low), min(part.rect[2], x1), min(part.rect[3], high)
        figure.inks.append(Ink(tuple(at(x, y) for x, y in _box((a, c), (b, d))), 1.0, ACCENT, None, True, 10.0))
    for region in regions:
        for fold in region.folds:
            figure.inks.append(Ink(tuple(at(x, y) for x, y in fold_ends(region, fold)), 6.0, ACCENT))
    figure.height_mm = top + high - low + 30.0
    figure.width_mm = max(figure.width_mm, x1 - x0 + 80.0, _wide(words, 20.0) + 80.0, 700.0)


def fold_ends(region: Region, fold: Fold) -> Line:
    """A fold of the lay as a line. Cloth frame, mm."""
    ply = next(each for each in region.ply if each.id == fold.joins[0])
    (u, v), line = (ply.x, ply.y[int(fold.side[1])]) if fold.side[0] == "y" else (ply.y, ply.x[int(fold.side[1])])
    return ((u, line), (v, line)) if fold.side[0] == "y" else ((line, u), (line, v))


SHARES = (0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.18, 0.82, 0.1, 0.9)
"""Where across a piece its name is tried, from its middle outward."""
CAPITALS_MM = (26.0, 20.0, 15.0, 11.0, 8.5, 6.0)
"""The largest that the piece holds is taken; 11 mm and less where a piece is hardly wider than its own name."""


def named(placed: Placed, below: str, taken: list[Polygon], capitals_mm: tuple[float, ...] = CAPITALS_MM) -> list[Words]:
    """The piece's name and layers where it is long enough for them and no other words stand (they join `taken`). Cloth frame, mm."""
    name, count = placed.piece.replace("_", " "), f"{len(placed.on)} of {placed.plies} layers{below}" if placed.plies > 1 else ""
    letters = max(len(name), 0.72 * len(count))
    shape, (x0, y0, x1, y1) = Polygon(placed.outline), Polygon(placed.outline).bounds
    best: tuple[float, float, float, float] | None = None
    for share in SHARES:
        y = y0 + share * (y1 - y0)
        for stretch in shapely.get_parts(shape.intersection(LineString([(x0 - 1.0, y), (x1 + 1.0, y)]))):
            for size, along in product(capitals_mm, (0.5, 0.3, 0.7, 0.15, 0.85)):
                x = stretch.bounds[0] + along * stretch.length
                room = _words_box(x, y, size, letters)
                crowded = sum(room.intersects(other) for other in taken)
                outside = room.difference(shape).area / room.area
                told = (0.66 * size / capitals_mm[0] - crowded - 3.0 * outside - 0.1 * abs(along - 0.5), size, x, y)
                best = told if best is None or told[0] > best[0] else best
    assert best is not None
    _, size, x, y = best
    taken.append(_words_box(x, y, size, letters))
    lift = 0.35 * size if count else -0.5 * size
    words = [Words(name, (x, y + lift), size, True)]
    return [*words, Words(count, (x, y + lift - 1.5 * size), 0.72 * size, True)] if count else words


def _words_box(x: float, y: float, size: float, letters: float) -> Polygon:
    """Room that a name and its layers take about a place: a letter is about 0.75 capitals wide."""
    return Polygon(_box((x - 0.38 * size * letters, x + 0.38 * size * letters), (y - 1.4 * size, y + 1.5 * size)))


def _box(x: tuple[float, float], y: tuple[float, float]) -> Line:
    return ((x[0], y[0]), (x[1], y[0]), (x[1], y[1]), (x[0], y[1]))


BESIDE_MM = 400.0
"""Cloth drawn narrower has no room for words beside the arrow."""
PANEL_MM, ROW_MM = 620.0, 590.0
"""Room for one thing to do, its words under it."""
STEP_WORDS_MM, SIDE_WORDS_MM, EDGE_WORDS_MM = 26.0, 22.0, 20.0
"""Capitals: a drawing as wide as a page is read at the table's far side, one a third as wide still in the hand."""


def fold_figure(lay: Lay, unit: Unit = "mm") -> Figure:
    """How to fold every cloth: the flat cloth with its fold line and where it is brought, then the layers seen from the end."""
    figure = Figure()
    for one in lay.lays:
        figure.words.append(_head(f"{one.cloth.name}: {PLAN_WORDS[one.plan]}", (40.0, figure.height_mm + 62.0)))
        steps = fold_steps(one, unit=unit)
        panels = len(steps) + (len(one.regions[0].ply) > 1)
        figure.width_mm = max(figure.width_mm, panels * PANEL_MM)
        for number, step in enumerate(steps):
            _fold_panel(figure, step, number, (40.0 + number * PANEL_MM, figure.height_mm + 122.0))
        region = one.regions[0]
        if len(region.ply) > 1:
            _end_panel(figure, end_view(one), (40.0 + len(steps) * PANEL_MM, figure.height_mm + 122.0))
        figure.height_mm += ROW_MM
    return figure


def _head(text: str, at: Point) -> Words:
    """As large as goes above one panel."""
    return Words(text, at, min(32.0, max(EDGE_WORDS_MM, (PANEL_MM - 50.0) / _wide(text, 1.0))))


def _wide(text: str, capital_mm: float) -> float:
    """Width of a line of words, mm."""
    from projector.scene.text import outlined

    return outlined(text, capital_mm).width_mm


def _fold_panel(figure: Figure, step: FoldStep, number: int, corner: Point) -> None:
    """The cloth fitted into a panel; its fold dashed and heavy, an arrow from the edge that moves to where it comes to lie."""
    box = np.asarray(step.outline)
    along, across = box.max(axis=0)
    scale = min((PANEL_MM - 90.0) / along, 290.0 / across)

    def at(point: Point) -> Point:
        return (corner[0] + point[0] * scale, corner[1] + (across - point[1]) * scale)

    figure.inks.append(Ink(tuple(at(point) for point in step.outline), 2.0, SOFT, CLOTH, True))
    if step.fold:
        figure.inks.append(Ink(tuple(at(point) for point in step.fold), 5.0, ACCENT, None, False, 22.0))
        figure.inks += [Ink(tuple(at(point) for point in step.made), 7.0, ACCENT)] if step.made else []
        start, stop = (np.asarray(at(point)) for point in step.arrow)
        way = (stop - start) / max(float(np.hypot(*(stop - start))), 1e-9)
        side, middle = np.array([-way[1], way[0]]), (start + stop) / 2.0
        bend = [(1 - t) ** 2 * start + 2 * t * (1 - t) * (middle + 70.0 * side) + t * t * stop for t in np.linspace(0.0, 1.0, 24)]
        tip = bend[-1] - bend[-3]
        tip, left = tip / np.hypot(*tip), np.array([-tip[1], tip[0]]) / np.hypot(*tip)
        head = [stop, stop - 26.0 * tip + 11.0 * left, stop - 26.0 * tip - 11.0 * left]
        figure.inks.append(Ink(tuple((float(x), float(y)) for x, y in bend), 4.0, INK))
        figure.inks.append(Ink(tuple((float(x), float(y)) for x, y in head), 0.0, INK, INK, True))
    _edge_words(figure, step, corner, (along * scale, across * scale))
    foot = corner[1] + across * scale + 84.0
    for row, line in enumerate(_lines(f"{number + 1}  {step.words}", STEP_WORDS_MM, PANEL_MM - 50.0)):
        figure.words.append(Words(line, (corner[0], foot + row * 1.7 * STEP_WORDS_MM), STEP_WORDS_MM))


def _edge_words(figure: Figure, step: FoldStep, corner: Point, size: tuple[float, float]) -> None:
    """What each edge is and which side of the cloth is seen; inside the cloth, or beside it where the arrow leaves no room."""
    (x, y), (wide, tall) = corner, size
    figure.words.append(Words(step.top, (x, y - 9.0), EDGE_WORDS_MM))
    figure.words.append(Words(step.bottom, (x, y + tall + 29.0), EDGE_WORDS_MM))
    figure.words.append(Words(step.face, (x + 12.0 if wide >= BESIDE_MM else x + wide + 16.0, y + 34.0), EDGE_WORDS_MM))
    if _wide(step.left, EDGE_WORDS_MM) + 24.0 < 0.7 * wide and tall > 100.0:
        figure.words.append(Words(step.left, (x + 12.0, y + tall - 14.0), EDGE_WORDS_MM))


def _lines(text: str, capital_mm: float, wide_mm: float) -> list[str]:
    """Words in lines no wider than `wide_mm`."""
    lines = [""]
    for word in text.split(" "):
        longer = f"{lines[-1]} {word}" if lines[-1] else word
        if lines[-1] and _wide(longer, capital_mm) > wide_mm:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines


def _end_panel(figure: Figure, view: EndView, corner: Point) -> None:
    """Layers from the end: right side up drawn in ink, wrong side up in a soft tone."""
    low = min(x for line in view.plies for x, _ in line)
    high = max(x for line in view.plies for x, _ in line)
    scale = (PANEL_MM - 150.0) / max(high - low, 1.0)

    def at(point: Point) -> Point:
        return (corner[0] + 30.0 + (point[0] - low) * scale, corner[1] + 40.0 - point[1] * 3.4)

    for line, is_right in zip(view.plies, view.right, strict=True):
        figure.inks.append(Ink(tuple(at(point) for point in line), 7.0, INK if is_right else WRONG))
        x, y = at(line[0])
        figure.words.append(Words("right side up" if is_right else "wrong side up", (x + 12.0, y - 9.0), SIDE_WORDS_MM))
    for bend in view.bends:
        deep = 12.0 + abs(bend[3][1] - bend[0][1])  # an outer fold reaches round an inner one
        reach = deep if bend[1][0] > bend[0][0] else -deep
        (x0, y0), (_, y3) = at(bend[0]), at(bend[3])
        turn = [(x0 + reach * float(np.sin(t)), y0 + (y3 - y0) * float(1 - np.cos(t)) / 2.0) for t in np.linspace(0.0, np.pi, 20)]
        figure.inks.append(Ink(tuple(turn), 5.0, ACCENT))
    below = corner[1] + 74.0 + 3.4 * 14.0 * len(view.plies)
    figure.words.append(Words(f"seen from {view.seen_from}", (corner[0], below), STEP_WORDS_MM))
