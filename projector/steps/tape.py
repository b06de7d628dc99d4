"""Tape checks: what her tape must read between two edges before the first cut, worded as she would chalk it."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import pairwise
from math import hypot
from typing import Literal

from shapely.geometry import LineString, Polygon

from calibration.units import Unit
from projector.garment.pieces import Line, Piece, Point, line_length
from projector.steps.before import Bench
from projector.steps.shown import amount, as_line, body_of, level_span, levels_of, outline_later, split
from projector.steps.stack import Kept, sound
from projector.steps.step import Step, StepLabel, StepLine, TapeRead

MOST = 4
LEVELS = ("bust", "waist", "hip", "hem", "biceps", "knee", "underbust", "underarm")
"""Which widths are taped first where there are many; waist and hem straight from end to end, as she chalks them before the curve."""
TOP_DOWN = ("underarm", "bust", "underbust", "biceps", "waist", "hip", "knee", "hem")
"""The order in which they are read out."""
WHOLE_QUARTERS = ("front", "back", "skirt_front", "skirt_back")
BESIDE_MM = 25.0
"""Two widths nearer than that read the same: underarm and bust of most bodies. Ours."""
NEARLY_STRAIGHT = 1.03
"""A ring's waist or hem curves too far from its chord: no tape lies there. Ours."""
MIDDLE = "middle"
MIDDLES = (0.5, 0.45, 0.55, 0.4, 0.6, 0.35, 0.65)
"""Where the length is taped, shares of the width: the middle first, beside a dart when one lies there."""


@dataclass(frozen=True, slots=True)
class Taped:
    """One length to tape. `mm`: edge to edge; `sewn_mm`: between the sewing lines; `line`: cloth frame; `how`: key of its words."""

    where: str
    how: Literal["fold_to_edge", "edge_to_edge", "down_middle"]
    line: Line
    mm: float
    sewn_mm: float

    def text(self, unit: Unit, plain_mm: float = 0.0) -> str:
        """`hip 11 3/4 = 9 3/4 + 2 (1/4: 9 1/4)`; in brackets, where given, her own measure by four."""
        whole, sewn, rest = split(self.mm, self.sewn_mm, unit)
        told = f"{self.where} {whole}".strip()
        told = f"{told} = {sewn} + {rest}" if rest else told
        return f"{told} (1/4: {amount(plain_mm, unit)})" if plain_mm else told


def tape_step(bench: Bench, kept: Kept, part: int, rect: Polygon, measures: Mapping[str, float]) -> Step:
    """The check of one piece in one light (rect): its lengths as lines, numerals and words, a plain quarter of `measures` (mm) beside."""
    name, unit, words = kept.piece.name, bench.unit, bench.words
    every = taped(kept)
    lengths = [one for one in every if rect.buffer(1.0).covers(LineString(one.line))] or every[:1]
    lines = [StepLine("ruler", name, "now", one.line) for one in lengths]
    texts = [one.text(unit, _plain_quarter(kept, one.where, measures)) for one in lengths]
    middles = [LineString(one.line).interpolate(0.5, normalized=True).coords[0] for one in lengths]
    labels = tuple(StepLabel(text, at) for text, at in zip(texts, middles, strict=True))
    told = "; ".join(words.said(one.how, length=text) for one, text in zip(lengths, texts, strict=True))
    title, say = words.text("tape", piece=words.piece(name), lengths=told)
    say += words.text("tape_split")[1] if "=" in told else ""
    say += words.text("tape_quarter")[1] if "(" in told else ""
    reads = tuple(TapeRead(name, one.where, one.mm, one.sewn_mm) for one in lengths)
    shown = [*lines, outline_later(kept), *body_of(kept), *levels_of(kept)]
    return bench.step("check", (title, say), part, shown, labels=labels, tapes=reads, needs=(words.said("need_light"),))


def taped(kept: Kept) -> list[Taped]:
    """Widths at up to four levels (through darts, as the tape lies), or a band's, and the length; every piece has its length."""
    told: list[Taped] = []
    for name in LEVELS:
        run = level_span(kept, name) if name in kept.piece.levels else _chord(kept, name)
        if run is not None and len(told) < MOST and not _is_beside(run, told):
            told.append(_edge_to_edge(kept, name, run))
    return [*sorted(told, key=lambda one: TOP_DOWN.index(one.where)), *_across(kept), _length(kept)]


def _across(kept: Kept) -> list[Taped]:
    """A band's own length, which no body line tells: across its middle."""
    piece = kept.piece
    if piece.levels or piece.part == "binding" or not any(edge.kind == "band" for edge in piece.edges):
        return []
    ys = [y for _, y in piece.seam_line]
    lined = replace(kept, piece=replace(piece, levels={MIDDLE: (min(ys) + max(ys)) / 2}))
    run = level_span(lined, MIDDLE)
    return [_edge_to_edge(lined, MIDDLE, run)] if run is not None else []


def _is_beside(run: LineString, told: list[Taped]) -> bool:
    """Another width lies so near that its tape would read the same."""
    middle = run.interpolate(0.5, normalized=True)
    return any(LineString(one.line).distance(middle) < BESIDE_MM for one in told)


def _plain_quarter(kept: Kept, where: str, measures: Mapping[str, float]) -> float:
    """Her own measure by four where this piece is one whole quarter; 0 where it is not, or nothing of hers is measured there."""
    if kept.piece.part not in WHOLE_QUARTERS or kept.piece.name.startswith("front centre") or len(kept.halves) > 1:
        return 0.0
    return measures.get(where, 0.0) / 4


def _ends(piece: Piece, kind: str) -> tuple[Point, Point] | None:
    """First and last point of a piece's waist or hem on the sewing line; None where it has none or it bows like a ring's."""
    runs = [edge.points for edge in piece.edges if edge.kind == kind]
    if kind not in ("waist", "hem") or not runs or piece.part.startswith(("waistband", "flutter", "peplum", "shoulder_band")):
        return None
    a, b = runs[0][0], runs[-1][-1]
    chord = hypot(b[0] - a[0], b[1] - a[1])
    gaps = sum(hypot(two[0][0] - one[-1][0], two[0][1] - one[-1][1]) for one, two in pairwise(runs))
    return (a, b) if chord > 40.0 and sum(line_length(run) for run in runs) + gaps < NEARLY_STRAIGHT * chord else None


def _chord(kept: Kept, kind: str) -> LineString | None:
    """Straight from end to end of waist or hem, cloth frame; over both halves of an opened piece."""
    ends = _ends(kept.piece, kind)
    if ends is None:
        return None
    outer, inner = sorted(ends, key=lambda at: -at[0])
    if len(kept.halves) < 2:
        return LineString(kept.at((outer, inner)))
    return LineString([*kept.at((outer, inner), 0), *kept.at((inner, outer), 1)[1:]])


def _edge_to_edge(kept: Kept, name: str, run: LineString) -> Taped:
    """The level's run drawn on to the cut edges on both sides."""
    points = list(run.coords)
    whole = LineString([_beyond(points[1], points[0]), *points[1:-1], _beyond(points[-2], points[-1])])
    inside = kept.true.intersection(whole)
    runs = [one for one in getattr(inside, "geoms", [inside]) if isinstance(one, LineString) and one.distance(run.centroid) < 5.0]
    line = max(runs, key=lambda one: float(one.length), default=run)
    return Taped(name, "edge_to_edge" if kept.folds.is_empty else "fold_to_edge", as_line(line)[0], float(line.length), float(run.length))


def _beyond(a: tuple[float, ...], b: tuple[float, ...], far: float = 120.0) -> tuple[float, float]:
    size = max(((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5, 1e-9)
    return (b[0] + (b[0] - a[0]) / size * far, b[1] + (b[1] - a[1]) / size * far)


def _length(kept: Kept) -> Taped:
    """Down the piece near its middle, where no dart takes anything away: edge to edge, and between the sewing lines."""
    cut, seam = sound(Polygon(kept.piece.cut_line)), sound(Polygon(kept.piece.seam_line))
    x0, _, x1, _ = seam.bounds
    y0, y1 = cut.bounds[1] - 5.0, cut.bounds[3] + 5.0
    ways = [LineString([(x0 + share * (x1 - x0), y0), (x0 + share * (x1 - x0), y1)]) for share in MIDDLES]
    sewn = max((run for way in ways for run in _runs(seam, way)), key=lambda run: float(run.length))
    way = LineString([(sewn.coords[0][0], y0), (sewn.coords[0][0], y1)])
    edge_to_edge = next(run for run in _runs(cut, way) if run.distance(sewn.centroid) < 1.0)
    return Taped("", "down_middle", kept.at([(x, y) for x, y in edge_to_edge.coords]), float(edge_to_edge.length), float(sewn.length))


def _runs(shape: Polygon, line: LineString) -> list[LineString]:
    inside = shape.intersection(line)
    return [run for run in getattr(inside, "geoms", [inside]) if isinstance(run, LineString) and not run.is_empty]
