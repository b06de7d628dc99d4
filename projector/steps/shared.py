"""Snips that are the same on pieces over one another: made once, through all their layers, before any card goes in (R7). Pure."""

from collections.abc import Callable, Iterable, Sequence

from shapely.geometry import LineString, Point
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from projector.steps.before import Bench, stroke
from projector.steps.shown import body_of, count_label, snip_values
from projector.steps.step import Step, StepLine
from projector.steps.unit import Mark, Unit

SAME_SNIP_MM = 0.3
"""Snips nearer than this are one snip: a chalk line."""
Snip = tuple[Unit, Mark, StepLine]
"""A snip that is not yet made: whose, which, and its line."""
Under = Callable[[Iterable[LineString]], list[str]]


def shared_snips(fresh: Sequence[Snip], done: Callable[[Unit], BaseGeometry]) -> list[list[Snip]]:
    """Snips at the same place of units on different layers, at an edge that is cut through all of them."""
    told: list[list[Snip]] = []
    for snip in fresh:
        unit, _, line = snip
        if done(unit).is_empty or done(unit).distance(Point(line.mm[0])) > SAME_SNIP_MM:
            continue
        same = next((group for group in told if stroke(group[0][2]).hausdorff_distance(stroke(line)) < SAME_SNIP_MM), None)
        if same is None:
            told.append([snip])
        else:
            same.append(snip)
    return [group for group in told if len({unit.plies for unit, _, _ in group}) > 1]


def through_of(group: Sequence[Snip], under: Sequence[str], every: Sequence[Unit]) -> tuple[str, ...]:
    """The layers one such snip is made through, top first; empty where another piece lies between, or cloth of its own is gone."""
    own = [ply for unit, _, _ in group for ply in unit.plies]
    if not set(own) <= set(under):
        return ()
    through = tuple(under[: max(under.index(ply) for ply in own) + 1])
    keep, lines = {id(unit) for unit, _, _ in group}, unary_union([stroke(line) for _, _, line in group])
    between = [unit for unit in every if id(unit) not in keep and set(unit.plies) & set(through)]
    return () if any(unit.kept.keep.intersects(lines) for unit in between) else through


def snip_steps(
    bench: Bench, part: int, fresh: Sequence[Snip], done: Callable[[Unit], BaseGeometry], under: Under, every: Sequence[Unit]
) -> tuple[list[Step], list[Snip]]:
    """One step per set of layers, and the snips it makes."""
    groups: dict[tuple[str, ...], list[Snip]] = {}
    for group in shared_snips(fresh, done):
        through = through_of(group, under([stroke(line) for _, _, line in group]), every)
        if through:
            groups.setdefault(through, []).extend(group)
    told = []
    for through, snips in groups.items():
        units = list({id(unit): unit for unit, _, _ in snips}.values())
        words = bench.words.text(
            "snip", layers=bench.words.layers(len(through)), pieces=bench.words.listed([unit.name for unit in units]),
            **snip_values(bench.unit),
        )  # fmt: skip
        shown = [*(line for _, _, line in snips), *(body_of(unit.kept)[0] for unit in units)]
        labels = tuple(count_label(line, len(through)) for unit, _, line in snips if unit is units[0])
        need = (bench.words.said("need_begun"),)
        told.append(bench.step("mark", words, part, shown, labels=labels, through=through, needs=need))
    return told, [snip for snips in groups.values() for snip in snips]
