"""The dress was changed after a piece was cut: the piece is laid back by two points of its edge and cut again. Cloth frame, mm."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations

from shapely.geometry import LineString, Point, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from calibration.errors import Refused
from calibration.units import length_text
from projector.garment.alter import LEAST_TRIM_MM
from projector.garment.pieces import Garment
from projector.steps.after import Held, in_hand, names_of, side_by_side, text_of
from projector.steps.before import INTERFACING, Bench, cross
from projector.steps.copies import drawn_anew, edge_of
from projector.steps.runs import left_to_cut
from projector.steps.shown import allowance_labels, as_line, body_of, cut_now
from projector.steps.stack import ON_LINE_MM, Kept
from projector.steps.step import Step, StepLine
from projector.steps.unit import MARKS

SAME_MARK_MM = 1.0
"""A mark that moved by less is not made again: the trade's tolerance at necklines and armholes."""
Pair = tuple[Kept, Kept, list[LineString]]
"""As it was cut, as it is wanted, and the new lines."""


def cut_again(held: Held, garment: Garment, number: dict[str, int]) -> list[Step]:
    """Every piece that was cut as `was`: laid back, cut to its new line, marked, tagged. Raises Refused for one larger than the light."""
    wanted = {piece.name: piece for piece in garment.pieces if piece.was is not None}
    told: list[Step] = []
    for bench, every in held:
        regions = {region.id: region for region in bench.lay.regions}
        for group in side_by_side([one for one in every if one.piece.name in wanted]):
            pairs: list[Pair] = []
            for old in group:
                end = in_what_is_left(old, drawn_anew(wanted[old.piece.name], old, regions))
                lines = new_lines(old, end)
                pairs += [(old, end, lines)] if lines or _fresh_marks(old, end) else []
            told += _again(bench, pairs, number) if pairs else []
    return told


def in_what_is_left(old: Kept, new: Kept) -> Kept:
    """The changed piece as it will end: its new edge, and where that lies outside what was cut, the old one."""
    end = sound_largest(edge_of(new).intersection(edge_of(old)))
    return replace(new, first=end, true=end)


def sound_largest(shape: BaseGeometry) -> Polygon:
    """The largest polygon of an overlay."""
    return max((one for one in getattr(shape, "geoms", [shape]) if isinstance(one, Polygon)), key=lambda one: one.area)


def new_lines(old: Kept, end: Kept) -> list[LineString]:
    """What of the new edge lies inside the old one by so much that shears can take it off."""
    wanted = end.true.exterior if end.folds.is_empty else end.true.exterior.difference(end.folds.buffer(ON_LINE_MM, quad_segs=2))
    return [line for line in left_to_cut([end.true], wanted, edge_of(old).exterior) if _most_inside(line, old) >= LEAST_TRIM_MM]


def _most_inside(line: LineString, old: Kept) -> float:
    edge = edge_of(old).exterior
    return float(max(edge.distance(Point(place)) for place in line.segmentize(5.0).coords))


def _again(bench: Bench, pairs: Sequence[Pair], number: dict[str, int]) -> list[Step]:
    old, new = [one for one, _, _ in pairs], [one for _, one, _ in pairs]
    is_glue = bench.lay.cloth.name == INTERFACING
    labels, names = names_of(bench, new, number), bench.words.listed([one.piece.name for one in new])
    edges = [StepLine("cloth", one.piece.name, "mark", as_line(LineString(edge_of(one).exterior.coords))[0], True) for one in old]
    crosses = [line for one in old for spot in _two_points(bench, one) for line in cross(*spot)]
    bold = [line for _, one, lines in pairs for line in cut_now(lines, one.piece.name)]
    body = [line for one in new for line in body_of(one)]
    amounts = [label for _, one, lines in pairs for label in allowance_labels(one, unary_union(lines), bench.unit)]
    off, lies = bench.words.said("need_off", pieces=names), bench.words.said("need_lies")
    text = _text(bench, "lay_again", pairs)
    told = [in_hand(bench, "place", text, old, [*edges, *crosses], labels=labels, needs=(off,), is_again=True)]
    if bold:
        cut = [(one, other, lines) for one, other, lines in pairs if lines]
        told.append(
            in_hand(
                bench, "cut", _text(bench, "trim_back" if is_glue else "again", cut), [one for _, one, _ in cut], [*bold, *edges, *body],
                with_handles=True, with_plies=True, labels=(*amounts, *labels), needs=(off, lies), is_fact=True, is_again=True,
            )
        )  # fmt: skip
    for key, make in MARKS.items():
        marks = [line for one, other, _ in pairs for line in _moved_marks(make(one, "mark"), make(other, "mark"))]
        if marks:
            told.append(
                in_hand(bench, "mark", _text(bench, key, pairs), new, [*marks, *body], with_plies=True, is_marked=True, labels=labels,
                        needs=(lies,), is_again=True)
            )  # fmt: skip
    need = bench.words.said("need_true", pieces=names)
    text = _text(bench, "tag_again", pairs)
    return [*told, in_hand(bench, "tag", text, new, body, with_handles=True, labels=labels, needs=(need,), is_again=True)]


def _text(bench: Bench, key: str, pairs: Sequence[Pair]) -> tuple[str, str]:
    most = max((_most_inside(line, old) for old, _, lines in pairs for line in lines), default=0.0)
    return text_of(bench, key, [old for old, _, _ in pairs], most=length_text(most, bench.unit))


def _two_points(bench: Bench, old: Kept) -> tuple[tuple[float, float], tuple[float, float]]:
    """The two corners of its edge that lie farthest apart, both in its light."""
    part = bench.lay.parts[old.placed.part]
    edge = edge_of(old)
    if not box(*part.rect).buffer(1.0).covers(edge):
        name = bench.words.piece(old.piece.name)
        raise Refused(
            f"{name} cannot be cut again by the light.",
            "It is larger than the light, so it cannot be laid back by two points of its edge.",
            "Cut it again by the drawing on the phone, or hang the lamp higher for a larger light.",
        )
    hull = [(float(x), float(y)) for x, y in edge.convex_hull.exterior.coords[:-1]]
    a, b = max(combinations(hull, 2), key=lambda ends: (ends[0][0] - ends[1][0]) ** 2 + (ends[0][1] - ends[1][1]) ** 2)
    return a, b


def _fresh_marks(old: Kept, end: Kept) -> bool:
    return any(_moved_marks(make(old, "mark"), make(end, "mark")) for make in MARKS.values())


def _moved_marks(old: Sequence[StepLine], new: Sequence[StepLine]) -> list[StepLine]:
    """Marks that stand elsewhere than when the piece was first cut."""
    return [one for one in new if not any(one.kind == other.kind and _is_same(one, other) for other in old)]


def _is_same(one: StepLine, other: StepLine) -> bool:
    return len(one.mm) == len(other.mm) and all(
        max(abs(a - c), abs(b - d)) < SAME_MARK_MM for (a, b), (c, d) in zip(one.mm, other.mm, strict=True)
    )
