"""A piece on layers that are cut and lifted together. Pure."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import pairwise

from shapely.geometry.base import BaseGeometry

from projector.steps.before import stroke
from projector.steps.runs import uncut
from projector.steps.shown import pins_of, snips_of
from projector.steps.stack import Kept, Stack
from projector.steps.step import Handle, StepLine

MARKS: Mapping[str, Callable[..., list[StepLine]]] = {"snip": snips_of, "pin": pins_of}
Mark = tuple[int, str, tuple[str, ...], int]
"""One snip or pin: the piece as it lies, which of the two, through which layers, its number on the piece."""
DART_MM = 60.0
"""A dart of a piece larger than the light is drawn in runs of this length: two lights share 120 mm, so each is whole in one."""
LOOSE_MM = 0.3
"""A piece with less than this of its line uncut is loose."""


@dataclass(frozen=True, slots=True, eq=False)
class Unit:
    """A piece on layers that are cut and lifted together."""

    stack: Stack
    kept: Kept
    plies: tuple[str, ...]

    @property
    def name(self) -> str:
        """The piece's name."""
        return self.kept.piece.name

    def handles(self) -> list[Handle]:
        """One per layer."""
        return [Handle(self.name, ply) for ply in self.plies]


def units_of(stack: Stack) -> list[Unit]:
    """Each piece on its runs of neighbouring layers, top first; layers that keep nothing of the stack do not part a run."""
    order = [ply.id for ply in stack.region.ply if any(ply.id in kept.placed.on for kept in stack.kept)]
    told: list[tuple[int, Unit]] = []
    for kept in stack.kept:
        places = [order.index(ply) for ply in order if ply in kept.placed.on]
        starts = [place for place in places if place - 1 not in places]
        for start in starts:
            stop = next(place for place in range(start, len(order) + 1) if place not in places)
            told.append((start, Unit(stack, kept, tuple(order[start:stop]))))
    return [unit for _, unit in sorted(told, key=lambda one: (one[0], len(one[1].plies)))]


def is_loose(kept: Kept, done: BaseGeometry) -> bool:
    """Its whole line is among these cuts."""
    return not done.is_empty and sum(run.length for run in uncut(kept.own_line(), done)) <= LOOSE_MM


def marks_of(unit: Unit, key: str, is_whole: bool) -> list[tuple[Mark, StepLine]]:
    """Its snips or pins and their lines; darts in short runs where the piece is larger than the light."""
    told: list[StepLine] = []
    for line in MARKS[key](unit.kept, "mark"):
        if is_whole or line.kind != "dart":
            told.append(line)
        else:
            runs = list(stroke(line).segmentize(DART_MM).coords)
            told += [StepLine("dart", line.piece, line.when, ((a[0], a[1]), (b[0], b[1]))) for a, b in pairwise(runs)]
    return [((id(unit.kept), key, unit.plies, number), line) for number, line in enumerate(told)]
