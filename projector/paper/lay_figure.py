"""How the pieces lie, drawn: a length of cloth, its pieces with their names, the light's parts, the folds. Cloth frame to y down, mm."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product
from math import atan2, cos, degrees, radians, sin

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import LineString, Polygon, box

from calibration.units import cloth_text
from projector.garment.pieces import Line, Point
from projector.lay.bias import drawn_lays
from projector.lay.lay import Lay, Placed, Ply, Region
from projector.lay.refusals import PLAN_WORDS
from projector.paper.figure import ACCENT, CLOTH, INK, SOFT, WHITE, Figure, Ink, Words
from projector.paper.titles import width_mm
from projector.steps.stack import fold_line

HEAD_MM = 20.0
"""Capitals of what stands above a length."""
PEN_MM, FOLD_PENS = 1.6, 3.75
"""Width of a piece's line at true size, and how many times heavier a fold is."""
EDGE_MM = 0.5
"""A light that ends no further from the cloth's own edge ends with the cloth."""


@dataclass(frozen=True, slots=True)
class Length:
    """One length of one cloth with what lies on it."""

    lay: Lay
    bundle: int
    regions: tuple[Region, ...]

    @property
    def plies(self) -> tuple[Ply, ...]:
        """Every layer, region by region, top first."""
        return tuple(ply for region in self.regions for ply in region.ply)

    @property
    def box(self) -> tuple[float, float, float, float]:
        """(x0, y0, x1, y1) of the cloth as it lies folded."""
        x, y = [ply.x for ply in self.plies], [ply.y for ply in self.plies]
        return min(a for a, _ in x), min(a for a, _ in y), max(b for _, b in x), max(b for _, b in y)

    @property
    def lying(self) -> tuple[tuple[Placed, bool], ...]:
        """Each piece and whether it lies below others (quarters: backs under the fronts); those below last."""
        names, under = {region.id for region in self.regions}, {ply.id for region in self.regions for ply in region.ply[2:]}
        told = [(placed, set(placed.on) <= under) for placed in self.lay.placed if placed.region in names]
        return tuple(sorted(told, key=lambda each: each[1]))

    @property
    def folds(self) -> tuple[Line, ...]:
        """Where the folds run."""
        lines = [fold_line(region, fold.side, fold.joins) for region in self.regions for fold in region.folds]
        return tuple(_points(line) for line in lines)

    @property
    def light_ends(self) -> tuple[Line, ...]:
        """Where the light of one part ends on the cloth, each line once; where it ends with the cloth nothing is drawn."""
        cloth = box(*self.box)
        lit = [box(*part.rect).intersection(cloth) for part in self.lay.parts if part.bundle == self.bundle]
        ends = shapely.unary_union([shape.exterior for shape in lit if isinstance(shape, Polygon)])
        inside = ends.difference(cloth.exterior.buffer(EDGE_MM))
        merged = shapely.line_merge(inside) if inside.geom_type == "MultiLineString" else inside
        return tuple(_points(line) for line in shapely.get_parts(merged) if line.length > 0.0)

    @property
    def head(self) -> str:
        """`main: folded along`; `main, length 2: folded along` where there are several."""
        is_one = len({region.bundle for region in self.lay.regions}) == 1
        return f"{self.lay.cloth.name}{'' if is_one else f', length {self.bundle + 1}'}: {PLAN_WORDS[self.lay.plan]}"


def _points(line: LineString) -> Line:
    return tuple((float(x), float(y)) for x, y in line.coords)


def lengths_of(lay: Lay) -> Iterator[Length]:
    """Every length of one cloth."""
    for bundle in sorted({region.bundle for region in lay.regions}):
        yield Length(lay, bundle, tuple(region for region in lay.regions if region.bundle == bundle))


def drawn_lengths(lay: Lay) -> list[Length]:
    """Every length of every cloth, bias strips as pieces among others."""
    return [length for one in drawn_lays(lay) for length in lengths_of(one)]


def lay_figure(lay: Lay) -> Figure:
    """Every cloth and length, one below the other, at true size."""
    figure = Figure()
    for length in drawn_lengths(lay):
        words = f"{length.head}, {cloth_text(length.lay.cloth_needed_mm)} in all"
        figure.words.append(Words(words, (40.0, figure.height_mm + 48.0), HEAD_MM))
        x0, y0, x1, y1 = length.box
        add_length(figure, length, (40.0, figure.height_mm + 70.0), CAPITALS_MM)
        figure.height_mm += 100.0 + y1 - y0
        figure.width_mm = max(figure.width_mm, x1 - x0 + 80.0, width_mm(words, HEAD_MM) + 80.0, 700.0)
    return figure


def add_length(figure: Figure, length: Length, corner: Point, capitals_mm: tuple[float, ...], pen_mm: float = PEN_MM) -> None:
    """One length with its top left at `corner`. `capitals_mm`: sizes for the pieces' names, largest first; (): without names.

    `pen_mm`: width of the pieces' lines; all others go with it.
    """
    x0, _, _, high = length.box

    def at(point: Point) -> Point:
        return corner[0] + point[0] - x0, corner[1] + high - point[1]

    def line(points: Line) -> Line:
        return tuple(map(at, points))

    figure.inks += [Ink(line(_corners(ply.x, ply.y)), 0.9 * pen_mm, SOFT, CLOTH, True) for ply in length.plies]
    for placed, is_below in length.lying:
        figure.inks.append(Ink(line(placed.outline), pen_mm, INK, None if is_below else WHITE, True, 9.0 * pen_mm if is_below else 0.0))
    figure.inks += [Ink(line(ends), 0.7 * pen_mm, ACCENT, dash_mm=7.0 * pen_mm) for ends in length.light_ends]
    figure.inks += [Ink(line(ends), FOLD_PENS * pen_mm, ACCENT) for ends in length.folds]
    taken: list[Polygon] = []
    for placed, is_below in length.lying if capitals_mm else ():
        figure.words += [replace(one, at=at(one.at)) for one in named(placed, is_below, taken, capitals_mm)]


def _corners(x: tuple[float, float], y: tuple[float, float]) -> Line:
    return ((x[0], y[0]), (x[1], y[0]), (x[1], y[1]), (x[0], y[1]))


SHARES = (0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.18, 0.82, 0.1, 0.9)
"""Where across a piece its name is tried, from its middle outward."""
CAPITALS_MM = (26.0, 20.0, 15.0, 11.0, 8.5, 6.0)
"""The largest that the piece holds is taken; 11 mm and less where a piece is hardly wider than its own name."""
THIN = 4.0
"""A strip so many times longer than wide that does not lie level has its name along itself."""
COUNT_SHARE = 0.72
"""Capitals of `2 of 2 layers` to those of the name above it."""


def named(placed: Placed, is_below: bool, taken: list[Polygon], capitals_mm: tuple[float, ...]) -> list[Words]:
    """The piece's name and layers where it is long enough for them and no other words stand (they join `taken`). Cloth frame, mm."""
    name, below = placed.piece.replace("_", " "), ", below" if is_below else ""
    lines = (name, f"{len(placed.on)} of {placed.plies} layers{below}") if placed.plies > 1 else (name,)
    strip = _along_strip(placed, lines, capitals_mm)
    size, x, y, turn_deg = strip or _level_place(placed, lines, taken, capitals_mm)
    taken.append(affinity.rotate(_words_box(x, y, size, lines), turn_deg, origin=(x, y)))
    turn, foot = radians(turn_deg), 0.35 * size if len(lines) > 1 else -0.5 * size
    feet = ((name, foot, size), *((count, foot - 1.5 * size, COUNT_SHARE * size) for count in lines[1:]))
    return [Words(text, (x - up * sin(turn), y + up * cos(turn)), capital, True, -turn_deg) for text, up, capital in feet]


def _level_place(
    placed: Placed, lines: Sequence[str], taken: Sequence[Polygon], capitals_mm: tuple[float, ...]
) -> tuple[float, float, float, float]:
    """Capitals, place and turn (none) of level words: large, in the middle, inside the piece, off other words."""
    shape, (x0, y0, x1, y1) = Polygon(placed.outline), Polygon(placed.outline).bounds
    best: tuple[float, float, float, float] | None = None
    for share in SHARES:
        y = y0 + share * (y1 - y0)
        for stretch in shapely.get_parts(shape.intersection(LineString([(x0 - 1.0, y), (x1 + 1.0, y)]))):
            for size, along in product(capitals_mm, (0.5, 0.3, 0.7, 0.15, 0.85)):
                x = stretch.bounds[0] + along * stretch.length
                room = _words_box(x, y, size, lines)
                crowded = sum(room.intersects(other) for other in taken)
                outside = room.difference(shape).area / room.area
                told = (0.66 * size / capitals_mm[0] - crowded - 3.0 * outside - 0.1 * abs(along - 0.5), size, x, y)
                best = told if best is None or told[0] > best[0] else best
    assert best is not None
    return *best[1:], 0.0


def _along_strip(placed: Placed, lines: Sequence[str], capitals_mm: tuple[float, ...]) -> tuple[float, float, float, float] | None:
    """Capitals, place and turn (degrees, counter-clockwise) of words along a thin slanting strip; None: it is no such strip."""
    corners = np.array(shapely.minimum_rotated_rectangle(Polygon(placed.outline)).exterior.coords)
    sides = np.diff(corners[:3], axis=0)
    lengths = np.hypot(*sides.T)
    along = sides[int(lengths.argmax())]
    turn_deg = 90.0 - (90.0 - degrees(atan2(along[1], along[0]))) % 180.0  # above -90, up to 90
    if lengths.max() < THIN * lengths.min() or abs(turn_deg) < 10.0:
        return None
    x, y = corners[:4].mean(axis=0)
    fits = [size for size in capitals_mm if _block(size, lines)[0] < lengths.max() and _block(size, lines)[1] < lengths.min()]
    return (fits or capitals_mm[-1:])[0], float(x), float(y), turn_deg


def _block(size: float, lines: Sequence[str]) -> tuple[float, float]:
    """How wide and high the words are: a letter is about 0.75 capitals wide."""
    letters = max(len(line) * (COUNT_SHARE if row else 1.0) for row, line in enumerate(lines))
    return 0.76 * size * letters, 2.9 * size if len(lines) > 1 else 2.2 * size


def _words_box(x: float, y: float, size: float, lines: Sequence[str]) -> Polygon:
    """Room that a name and its layers take about a place."""
    half = _block(size, lines)[0] / 2.0
    return box(x - half, y - 1.4 * size, x + half, y + 1.5 * size)
