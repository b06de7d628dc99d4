"""Lines and numerals of one piece as thrown on the cloth: sewing line, grain, snips, darts, pins, names, allowances."""

from collections.abc import Sequence
from math import cos, hypot, radians, sin

from shapely.geometry import LineString, Point, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import substring

from calibration.units import MM_PER_INCH, Unit, eighths_text, length_text
from projector.garment.pieces import SNIP_CLEAR_MM, SNIP_LEAST_MM, Line, Notch
from projector.lay.shapes import fold_axis
from projector.steps.stack import ON_LINE_MM, Kept, cut_edges, outward
from projector.steps.step import StepLabel, StepLine, When
from projector.steps.words import Words

DOUBLE_NOTCH_MM = 10.0
NAME_MM, AMOUNT_MM = 16.0, 10.0
AMOUNT_IN_MM = 16.0
"""How far inside the sewing line an allowance's numeral stands."""


def amount(mm: float, unit: Unit) -> str:
    """A length as a bare numeral in her unit: `3/4`, `1.9`, `19`."""
    if unit == "in":
        return eighths_text(mm)
    return f"{mm / 10:.1f}".removesuffix(".0") if unit == "cm" else f"{mm:.0f}"


def snip_values(unit: Unit) -> dict[str, str]:
    """How deep a snip is and how far it keeps from the sewing line, as her tape reads it (3 to 6 mm, and 3 mm)."""
    return {"depth": "1/8 in", "clear": "1/8 in"} if unit == "in" else {"depth": "4 mm", "clear": "3 mm"}


def split(mm: float, sewn_mm: float, unit: Unit) -> tuple[str, str, str]:
    """Edge to edge, between the sewing lines, and the rest, rounded so that the sum is true as read; the rest empty when none."""
    grain = {"in": MM_PER_INCH / 8, "cm": 1.0, "mm": 1.0}[unit]
    whole, sewn = round(mm / grain), round(sewn_mm / grain)
    rest = amount((whole - sewn) * grain, unit) if whole > sewn else ""
    return amount(whole * grain, unit), amount(sewn * grain, unit), rest


def as_line(line: LineString) -> tuple[Line, bool]:
    """Points and whether it closes (first point not repeated then)."""
    points = tuple((float(x), float(y)) for x, y in line.coords)
    if line.is_ring and len(points) > 3:
        return points[:-1], True
    return points, False


def cut_now(lines: list[LineString], piece: str | None) -> list[StepLine]:
    """Bold lines to cut now."""
    told = []
    for line in lines:
        points, closed = as_line(line)
        told.append(StepLine("cut", piece, "now", points, closed))
    return told


def outline_later(kept: Kept) -> StepLine:
    """Its cut line, dotted: later, do not touch."""
    return StepLine("cut", kept.piece.name, "later", as_line(LineString(kept.first.exterior.coords))[0], True)


def body_of(kept: Kept) -> list[StepLine]:
    """What tells the piece apart: sewing line, grain, fold."""
    told = [StepLine("sew", kept.piece.name, "mark", as_line(LineString(kept.seam.exterior.coords))[0], True)]
    grain = _grain(kept)
    if grain:
        told.append(grain)
    folds = getattr(kept.folds, "geoms", [kept.folds])
    told += [
        StepLine("fold", kept.piece.name, "mark", as_line(fold)[0]) for fold in folds if isinstance(fold, LineString) and not fold.is_empty
    ]
    return told


def _grain(kept: Kept) -> StepLine | None:
    middle = kept.keep.representative_point()
    way = radians(kept.placed.grain_deg)
    far = 5000.0
    ray = LineString([(middle.x - far * cos(way), middle.y - far * sin(way)), (middle.x + far * cos(way), middle.y + far * sin(way))])
    inside = kept.keep.intersection(ray)
    runs = [run for run in getattr(inside, "geoms", [inside]) if isinstance(run, LineString) and run.distance(middle) < 1.0]
    if not runs or runs[0].length < 40.0:
        return None
    run = runs[0]
    a, b = run.interpolate(0.2, normalized=True), run.interpolate(0.8, normalized=True)
    return StepLine("grain", kept.piece.name, "mark", ((a.x, a.y), (b.x, b.y)))


def levels_of(kept: Kept) -> list[StepLine]:
    """Body lines across the piece."""
    told = []
    for name in kept.piece.levels:
        run = level_run(kept, name)
        if run is not None:
            told.append(StepLine("level", kept.piece.name, "mark", as_line(run)[0]))
    return told


def level_run(kept: Kept, name: str) -> LineString | None:
    """The level's longest run inside the sewing outline, cloth frame (through both halves of an opened piece)."""
    runs = _runs_inside(kept, _level(kept, name))
    return max(runs, key=lambda run: float(run.length)) if runs else None


def level_span(kept: Kept, name: str) -> LineString | None:
    """The level from its first sewing line to its last, through any dart between: as a tape lies on the cloth, cloth frame."""
    drawn = _level(kept, name)
    ends = [drawn.project(Point(run.coords[end])) for run in _runs_inside(kept, drawn) for end in (0, -1)]
    span = substring(drawn, min(ends), max(ends)) if ends else None
    return span if isinstance(span, LineString) else None


def _level(kept: Kept, name: str) -> LineString:
    """The level's line across the whole piece, cloth frame."""
    level = kept.piece.levels[name]
    xs = [x for x, _ in kept.piece.seam_line]
    line: Line = ((min(xs) - 1.0, level), (max(xs) + 1.0, level)) if isinstance(level, int | float) else level
    if len(kept.halves) > 1:  # opened out: both halves end on the fold line, else the tape would run to and fro there
        line = _beyond_fold(line, fold_axis(kept.piece))
    return LineString([point for half in reversed(range(len(kept.halves))) for point in _way(kept.at(line, half), half)])


def _beyond_fold(line: Line, axis: float) -> Line:
    """What of a level lies outside the fold line."""
    far = 1e5
    held = LineString(line).intersection(box(axis, -far, far, far))
    return tuple((float(x), float(y)) for x, y in held.coords) if isinstance(held, LineString) and not held.is_empty else line


def _runs_inside(kept: Kept, drawn: LineString) -> list[LineString]:
    inside = kept.seam.intersection(drawn)
    return [run for run in getattr(inside, "geoms", [inside]) if isinstance(run, LineString) and run.length > 5.0]


def _way(line: Line, half: int) -> Line:
    """The other half's level is run from its outer end inward."""
    return line[::-1] if half else line


def snips_of(kept: Kept, when: When) -> list[StepLine]:
    """Snips from the cut edge inward; on a first dress not at edges that are cut again."""
    let_out = {line.edge for line in kept.piece.first_cut}
    told = []
    for notch in kept.piece.notches:
        if notch.edge not in let_out:
            for half in range(len(kept.halves)):
                told += [StepLine("notch", kept.piece.name, when, snip) for snip in _snips(kept, notch, half)]
    return told


def _snips(kept: Kept, notch: Notch, half: int) -> list[Line]:
    edge = next(edge for edge in kept.piece.edges if edge.name == notch.edge)
    line = LineString(kept.at(edge.points, half))
    seam = kept.seam
    cut = kept.true.exterior if kept.piece.block_mm else kept.first.exterior
    (here,) = kept.at([notch.at], half)
    at = line.project(Point(here))
    places = [at] if notch.count < 2 else [at - DOUBLE_NOTCH_MM / 2, at + DOUBLE_NOTCH_MM / 2]
    told: list[Line] = []
    for place in places:
        (x, y), out = outward(line, min(max(place / max(line.length, 1e-9), 0.0), 1.0), seam)
        ray = LineString([(x, y), (x + out[0] * (edge.allowance_mm * 2 + 5), y + out[1] * (edge.allowance_mm * 2 + 5))])
        hits = cut.intersection(ray)
        end = min(
            (Point(hit.coords[0]) for hit in getattr(hits, "geoms", [hits]) if not hit.is_empty), key=Point((x, y)).distance, default=None
        )
        end = cut.interpolate(cut.project(Point(x, y))) if end is None else end
        told.append(((end.x, end.y), _inward(end, (x, y), out, notch.depth_mm)))
    return told


def _inward(end: Point, seam: tuple[float, float], out: tuple[float, float], depth_mm: float) -> tuple[float, float]:
    """The inner end of a snip: towards the sewing line, or straight in where cut and sewing line are one."""
    dx, dy = seam[0] - end.x, seam[1] - end.y
    far = hypot(dx, dy)
    if far < 0.5:
        return (end.x - out[0] * depth_mm, end.y - out[1] * depth_mm)
    depth_mm = min(depth_mm, max(far - SNIP_CLEAR_MM, SNIP_LEAST_MM))
    return (end.x + dx / far * depth_mm, end.y + dy / far * depth_mm)


def pins_of(kept: Kept, when: When) -> list[StepLine]:
    """Dart legs as lines; dart tips, contour darts' four ends and the piece's points as pin marks."""
    told = []
    for half in range(len(kept.halves)):
        for dart in kept.piece.darts:
            legs = kept.at(dart.legs, half)
            told.append(StepLine("dart", kept.piece.name, when, legs, len(legs) == 4))
            told += [StepLine("point", kept.piece.name, when, (place,)) for place in (legs if len(legs) == 4 else legs[1:2])]
        told += [StepLine("point", kept.piece.name, when, kept.at([place], half)) for place in kept.piece.points]
    return told


def name_label(kept: Kept, number: int, shown: str) -> StepLabel:
    """The piece's number and name in its middle."""
    middle = kept.keep.representative_point()
    return StepLabel(f"{number}  {shown}", (middle.x, middle.y), NAME_MM)


def allowance_labels(kept: Kept, lines: BaseGeometry, unit: Unit) -> list[StepLabel]:
    """The amount of allowance beside each edge that is cut now."""
    told = []
    for edge, (x, y), out in cut_edges(kept, lines):
        told.append(StepLabel(amount(edge.allowance_mm, unit), (x - out[0] * AMOUNT_IN_MM, y - out[1] * AMOUNT_IN_MM), AMOUNT_MM))
    return told


def count_label(line: StepLine, layers: int) -> StepLabel:
    """How many layers this mark goes through, beside it."""
    (x, y) = line.mm[-1]
    return StepLabel(f"×{layers}", (x + 14.0, y + 14.0), 10.0)


def bold(kepts: Sequence[Kept], lines: list[LineString]) -> list[StepLine]:
    """Bold lines, each with its piece where it is one piece's alone."""
    told: list[StepLine] = []
    for line in lines:
        owners = {one.piece.name for one in kepts if one.first.exterior.buffer(ON_LINE_MM * 2, quad_segs=2).covers(line)}
        told += cut_now([line], owners.pop() if len(owners) == 1 else None)
    return told


def asides(words: Words, kepts: Sequence[Kept], drawn: BaseGeometry, unit: Unit | None) -> str:
    """What else the sentence of a cut says: shallow first lines, bias, and which pieces are blocks (`unit` None: said already)."""
    blocks = [one.piece for one in kepts if one.piece.block_mm and unit]
    told = ""
    if blocks and unit:
        room = length_text(blocks[0].block_mm, unit)
        told = words.text("block", pieces=words.listed([piece.name for piece in blocks]), room=room)[1]
    for one in kepts:
        for line in one.piece.first_cut:
            if drawn.distance(LineString(one.at(line.points)).interpolate(0.5, normalized=True)) < 0.5:
                told += words.text("first_waist" if "skirt" in one.piece.part else "first", edge=words.piece(line.edge))[1]
    return told + (words.text("bias")[1] if any(one.piece.part == "binding" for one in kepts) else "")
