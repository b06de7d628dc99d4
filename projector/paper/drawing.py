"""One piece as strokes and labels in its own frame (mm, y down): the common ground of PDF, SVG and DXF.

Adding an output format: a new file that walks `strokes_of` and `labels_of`. Adding a line kind: a row in KINDS.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product
from math import atan2, cos, degrees, hypot, radians, sin

import numpy as np

from calibration.units import Unit, length_text
from projector.garment.pieces import Edge, Line, Notch, Piece, Point
from projector.paper.titles import Label, first_clear, grain_lines, title


@dataclass(frozen=True, slots=True)
class Kind:
    """How one kind of line looks on paper. `dash_mm` None: solid. `layer`: after ASTM D6673 (TRADE figures, no claim of conformance)."""

    width_mm: float
    dash_mm: tuple[float, float] | None
    layer: str


KINDS: dict[str, Kind] = {
    "cut": Kind(0.6, None, "1"),
    "first": Kind(0.6, (1.5, 1.5), "8"),  # cut instead of the cut line until the fitting
    "sew": Kind(0.3, (5.0, 3.0), "14"),
    "fold": Kind(0.6, (12.0, 3.0), "6"),
    "notch": Kind(0.5, None, "4"),
    "grain": Kind(0.35, None, "7"),
    "dart": Kind(0.35, (2.5, 2.0), "8"),
    "level": Kind(0.2, (1.0, 2.5), "8"),
    "point": Kind(0.35, None, "13"),
}

CROSS_MM = 3.0  # half length of a pin mark's arms: large enough to see, small enough to pin through
ALLOWANCE_WORDS_MM = 2.8
INSIDE_MM = 5.0  # how far inside its edge an allowance is written
FIRST_CUT_WORDS = "cut here first"
ON_FOLD_MM = 0.001  # a fold edge is straight; points are told to 0.0001 mm


@dataclass(frozen=True, slots=True)
class Stroke:
    """One line of a piece: kind as in KINDS, points mm in the piece frame."""

    kind: str
    points: Line
    closed: bool = False


def _unit(a: Point, b: Point) -> Point:
    length = hypot(b[0] - a[0], b[1] - a[1])
    return ((b[0] - a[0]) / length, (b[1] - a[1]) / length) if length else (0.0, 0.0)


def is_clockwise(ring: Line) -> bool:
    """Whether the ring turns from +x towards +y (clockwise as seen with y down)."""
    x, y = np.array(ring).T
    return bool(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)) > 0)


def outward(piece: Piece, edge: Edge, at: Point) -> Point:
    """Unit vector from the sewing line outward, at the point of `edge` nearest to `at`."""
    points = np.array(edge.points)
    place = int(np.argmin(np.hypot(*(points - np.array(at)).T)))
    a, b = edge.points[max(place - 1, 0)], edge.points[min(place + 1, len(edge.points) - 1)]
    along = _unit(a, b)
    return (along[1], -along[0]) if is_clockwise(piece.seam_line) else (-along[1], along[0])


def notch_strokes(piece: Piece, notch: Notch) -> Iterator[Stroke]:
    """Snips from the cut line inward, `count` of them 10 mm apart along the edge."""
    edge = next(edge for edge in piece.edges if edge.name == notch.edge)
    out = outward(piece, edge, notch.at)
    along = (-out[1], out[0])
    for place in range(notch.count):
        step = 10.0 * (place - (notch.count - 1) / 2)
        foot = (notch.at[0] + along[0] * step, notch.at[1] + along[1] * step)
        start = (foot[0] + out[0] * edge.allowance_mm, foot[1] + out[1] * edge.allowance_mm)
        end = (start[0] - out[0] * notch.depth_mm, start[1] - out[1] * notch.depth_mm)
        yield Stroke("notch", (start, end))


def _level_line(piece: Piece, level: float | Line) -> Line | None:
    if not isinstance(level, (int, float)):
        return tuple(level)
    from shapely import LineString, Polygon

    inside = Polygon(piece.seam_line).intersection(LineString([(-1e4, level), (1e4, level)]))
    if inside.is_empty or inside.length < 1.0:
        return None
    low, _, high, _ = inside.bounds
    return ((float(low), float(level)), (float(high), float(level)))


def cut_strokes(piece: Piece) -> tuple[Stroke, ...]:
    """The cut line, without what lies on the fold: a fold is never cut."""
    folds = [np.array(edge.points) for edge in piece.edges if edge.fold]
    if not folds:
        return (Stroke("cut", piece.cut_line, closed=True),)
    ring = np.array(piece.cut_line)
    a, b = folds[0][0], folds[0][-1]
    across = np.array([b[1] - a[1], a[0] - b[0]]) / np.hypot(*(b - a))
    on_fold = np.abs((ring - a) @ across) < ON_FOLD_MM
    follows = on_fold & np.roll(on_fold, -1)  # segment from this point to the next lies on the fold
    starts = np.flatnonzero(~follows & np.roll(follows, 1))
    if len(starts) != 1:
        return (Stroke("cut", piece.cut_line, closed=True),)
    turned = np.roll(ring, -int(starts[0]), axis=0)
    kept = int(np.count_nonzero(~follows)) + 1
    return (Stroke("cut", tuple((float(x), float(y)) for x, y in turned[:kept])),)


def _fold_line(piece: Piece, edge: Edge) -> Line:
    """The fold as far as anything is cut on it: through both allowances and up to a first cut that starts beyond them."""
    a, b = np.array(edge.points[0]), np.array(edge.points[-1])
    along = (b - a) / np.hypot(*(b - a))
    points = np.vstack([np.array(line) for line in (piece.cut_line, edge.points, *(first.points for first in piece.first_cut))]) - a
    reach = (points @ along)[np.abs(points @ np.array([along[1], -along[0]])) < ON_FOLD_MM]
    low, high = a + reach.min() * along, a + reach.max() * along
    return ((float(low[0]), float(low[1])), (float(high[0]), float(high[1])))


def bounds_of(piece: Piece) -> tuple[float, float, float, float]:
    """Extent of what is cut, first cuts too, mm."""
    ring = np.vstack([np.array(line) for line in (piece.cut_line, *(first.points for first in piece.first_cut))])
    (x0, y0), (x1, y1) = ring.min(axis=0), ring.max(axis=0)
    return float(x0), float(y0), float(x1), float(y1)


def strokes_of(piece: Piece) -> tuple[Stroke, ...]:
    """Every line of the piece, cut line first."""
    strokes = [*cut_strokes(piece), *(Stroke("first", first.points) for first in piece.first_cut)]
    strokes += [Stroke("fold", _fold_line(piece, edge)) if edge.fold else Stroke("sew", edge.points) for edge in piece.edges]
    for level in piece.levels.values():
        if line := _level_line(piece, level):
            strokes.append(Stroke("level", line))
    for dart in piece.darts:
        strokes.append(Stroke("dart", dart.legs, closed=len(dart.legs) > 3))
    for notch in piece.notches:
        strokes += notch_strokes(piece, notch)
    strokes += [Stroke("grain", line) for line in grain_lines(piece)]
    for x, y in piece.points:
        strokes += [Stroke("point", ((x - CROSS_MM, y), (x + CROSS_MM, y))), Stroke("point", ((x, y - CROSS_MM), (x, y + CROSS_MM)))]
    return tuple(strokes)


def cut_words(piece: Piece) -> str:
    """`cut 2, one mirrored`, `cut 1 on the fold`."""
    if piece.on_fold:
        return f"cut {piece.count} on the fold"
    return f"cut {piece.count}, half of them mirrored" if piece.mirrored and piece.count > 2 else (
        "cut 2, one mirrored" if piece.mirrored else f"cut {piece.count}"
    )  # fmt: skip


def piece_words(piece: Piece) -> str:
    """`skirt_front` as it is said: `skirt front`."""
    return piece.name.replace("_", " ")


def labels_of(piece: Piece, unit: Unit, client: str) -> tuple[Label, ...]:
    """Title where there is room, each allowance beside its edge, what is cut first."""
    allowances = [beside for edge in piece.edges if edge.allowance_mm > 0 if (beside := _allowance(piece, edge, unit))]
    name, cut = [*([client] if client else []), piece_words(piece)], [cut_words(piece), piece.cloth]
    ways = ([" – ".join(name), " – ".join(cut)], [" – ".join(name), *cut], [*name, *cut])
    firsts = [words for first in piece.first_cut if (words := _first_words(piece, first.points))]
    return (*title(piece, ways, allowances), *allowances, *firsts)


def _allowance(piece: Piece, edge: Edge, unit: Unit) -> Label | None:
    """The amount inside its edge: in the middle, or as near to it as keeps off level lines, pin marks, darts and grain."""
    tried = []
    for share in (0.5, 0.45, 0.55, 0.4, 0.6, 0.32, 0.68):
        if place := _place_on(edge.points, share):
            out = outward(piece, edge, place[0])
            at = (place[0][0] - out[0] * INSIDE_MM, place[0][1] - out[1] * INSIDE_MM)
            tried.append(Label(length_text(edge.allowance_mm, unit), at, ALLOWANCE_WORDS_MM, place[1]))
    drawn = [stroke.points for stroke in strokes_of(piece) if stroke.kind in ("level", "point", "dart", "grain", "sew")]
    return first_clear(tried, drawn)


def _first_words(piece: Piece, line: Line) -> Label | None:
    """Beside a first cut, on the side away from the piece: nothing else is written there."""
    from shapely import Point as Place
    from shapely import Polygon

    tried = []
    for share, gap in product((1 / 3, 1 / 2, 1 / 5), (2.0, 4.0, 7.0, 11.0)):
        if place := _place_on(line, share):
            at, turn = np.array(place[0]), place[1]
            below, whole = np.array([-sin(radians(turn)), cos(radians(turn))]), Polygon(piece.cut_line)
            is_above = whole.distance(Place(at + 10.0 * below)) <= whole.distance(Place(at - 10.0 * below))
            foot = at - gap * below if is_above else at + (gap + ALLOWANCE_WORDS_MM) * below
            tried.append(Label(FIRST_CUT_WORDS, (float(foot[0]), float(foot[1])), ALLOWANCE_WORDS_MM, turn))
    return first_clear(tried, [line, (*piece.cut_line, piece.cut_line[0])])


def _place_on(line: Line, share: float) -> tuple[Point, float] | None:
    """A point so far along a line and the way words run there; None where it is too short for words."""
    points = np.array(line)
    steps = np.hypot(*np.diff(points, axis=0).T)
    if steps.sum() < 40.0:
        return None
    reach = np.concatenate([[0.0], np.cumsum(steps)])
    along = reach[-1] * share
    at = (float(np.interp(along, reach, points[:, 0])), float(np.interp(along, reach, points[:, 1])))
    place = min(int(np.searchsorted(reach, along)), len(points) - 1)
    a, b = points[max(place - 1, 0)], points[place]
    turn = degrees(atan2(b[1] - a[1], b[0] - a[0]))
    return at, (turn + 90.0) % 180.0 - 90.0
