"""One length of cloth while it is cut: what is cut, marked and lifted so far, and what a part shows of the rest. Cloth frame, mm.

`Cutting` (cutting.py) asks here and writes down what it does.
"""

from collections.abc import Iterable, Sequence

from shapely.geometry import LineString, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from projector.lay.lay import Part
from projector.steps.before import Bench, stroke
from projector.steps.remains import SLIVER_MM
from projector.steps.runs import lit_by, runs_of, uncut
from projector.steps.stack import ON_LINE_MM, Stack
from projector.steps.step import Handle, StepLine
from projector.steps.unit import LOOSE_MM, MARKS, Mark, Unit, is_loose, marks_of, units_of

LEAST_MM = 2.5
"""Less than this of a line at the light's edge waits for the light that shows it going on."""
SHORT_MM = 2.0
"""A run that this light shows whole is cut from this length on: shorter ones are no cut (the lay then takes another fold)."""
INSIDE_MM = 0.1
"""A line this far inside an outline would hurt the piece."""


class Progress:
    """The state of one length. `part`: the one that is lit; `open`: pieces not yet lifted; `marked`: snips and pins made."""

    def __init__(self, bench: Bench, stacks: Sequence[Stack]) -> None:
        self.bench = bench
        self.stacks = list(stacks)
        self.open = [unit for stack in stacks for unit in units_of(stack)]
        self.marked: set[Mark] = set()
        self.part = 0
        self.cuts: dict[tuple[int, str], BaseGeometry] = {}
        """Lines cut so far, by stack and layer."""
        self._free: set[tuple[int, str]] = set()
        """Pieces cut loose, by layer."""

    # ------------------------------------------------------------------ what is cut

    def cut_so_far(self, stack: Stack, ply: str) -> BaseGeometry:
        """Lines cut so far through this layer of the stack."""
        return self.cuts.get((id(stack), ply), LineString())

    def missing(self, unit: Unit) -> BaseGeometry:
        """What of its line is not yet cut on its layers."""
        return unary_union(uncut(unit.kept.own_line(), self.cut_so_far(unit.stack, unit.plies[-1])))

    def is_free(self, unit: Unit) -> bool:
        """Cut loose on all its layers."""
        return all((id(unit.kept), ply) in self._free for ply in unit.plies)

    def note_cut(self, stack: Stack, through: Sequence[str], drawn: BaseGeometry) -> tuple[Handle, ...]:
        """Write down a cut through these layers. Returns the pieces whose whole line is now cut on all layers that the fold joins."""
        for ply in through:
            self.cuts[id(stack), ply] = unary_union([self.cut_so_far(stack, ply), drawn])
        told: dict[Handle, None] = {}
        for unit in self.open:
            if unit.stack is not stack or not set(unit.plies) & set(through):
                continue
            loose = [ply for ply in unit.plies if is_loose(unit.kept, self.cut_so_far(stack, ply))]
            if unit.kept.placed.on_fold and len(loose) < len(unit.plies):
                continue
            for ply in loose:
                if (id(unit.kept), ply) not in self._free:
                    self._free.add((id(unit.kept), ply))
                    told[Handle(unit.name, ply)] = None
        return tuple(told)

    # ------------------------------------------------------------------ what a part lights

    def rect(self, number: int) -> Polygon:
        """The light of a part."""
        return box(*self._part(number).rect)

    def _part(self, number: int) -> Part:
        return self.bench.lay.parts[number]

    def is_whole(self, unit: Unit, number: int) -> bool:
        """The piece lies whole in this part's light."""
        return bool(lit_by(self._part(number)).covers(unit.kept.first))

    def is_larger_than_light(self, unit: Unit) -> bool:
        """No light shows it whole, not even its own part's."""
        return not self.is_whole(unit, unit.kept.placed.part)

    def has_work(self, number: int) -> bool:
        """Something open lies in this part."""
        return any(self.acts(unit, number) for unit in self.open)

    def acts(self, unit: Unit, number: int) -> bool:
        """Its own part is lit, or it is larger than any light and some of its uncut line lies here."""
        if unit.kept.placed.part == number:
            return True
        if not self.is_larger_than_light(unit):
            return False
        rect = self.rect(number)
        missing = self.missing(unit)
        if missing.intersection(rect).length > LEAST_MM or any(run.length > SHORT_MM and rect.covers(run) for run in runs_of(missing)):
            return True
        return not self.is_covered(unit, number) and any(rect.covers(stroke(line)) for line in self.unmarked(unit))

    def lit(self, unit: Unit, lines: Iterable[LineString]) -> list[LineString]:
        """These lines as far as the part that is lit shows them (all, where the piece lies whole in it)."""
        if self.is_whole(unit, self.part):
            return list(lines)
        rect = lit_by(self._part(self.part))
        done = self.cut_so_far(unit.stack, unit.plies[-1]).buffer(ON_LINE_MM, quad_segs=2)
        told: list[LineString] = []
        for line in lines:
            runs = runs_of(line.intersection(rect))
            least = SHORT_MM if rect.covers(line) else LEAST_MM  # not the start in the earlier cut alone
            told += [LineString(one.coords) for one in runs if one.difference(done).length > least]
        return told

    # ------------------------------------------------------------------ what lies over and under

    def above(self, stack: Stack, plies: Sequence[str]) -> list[str]:
        """Layers of this region over these, top first."""
        order = [ply.id for ply in stack.region.ply]
        return order[: order.index(plies[0])]

    def under(self, stack: Stack, lines: Iterable[LineString]) -> list[str]:
        """Layers of this region with cloth under these lines, top first."""
        ids = {ply.id for ply in stack.region.ply}
        return [ply for ply in self.bench.remains.under(unary_union(list(lines)), SLIVER_MM) if ply in ids]

    def hurts(self, stack: Stack, lines: Iterable[LineString], plies: Sequence[str]) -> bool:
        """A cut along these lines through these layers would run inside a piece that still lies there."""
        drawn = unary_union(list(lines))
        return any(
            set(unit.plies) & set(plies) and drawn.intersection(unit.kept.keep.buffer(-INSIDE_MM, quad_segs=2)).length > LOOSE_MM
            for unit in self.open
            if unit.stack is stack
        )

    def is_bare(self, unit: Unit) -> bool:
        """No cloth lies over it."""
        return not any(self.bench.remains.covers(ply, unit.kept.keep) for ply in self.above(unit.stack, unit.plies))

    def is_over(self, unit: Unit) -> bool:
        """Cloth lies below it."""
        order = [ply.id for ply in unit.stack.region.ply]
        return any(self.bench.remains.covers(ply, unit.kept.keep) for ply in order[order.index(unit.plies[-1]) + 1 :])

    def is_covered(self, unit: Unit, number: int) -> bool:
        """A piece still to be lifted lies over it in this part's light."""
        above = set(self.above(unit.stack, unit.plies))
        lit = unit.kept.keep.intersection(self.rect(number))
        return any(
            above & set(other.plies) and other.kept.placed.region == unit.kept.placed.region and other.kept.keep.intersects(lit)
            for other in self.open
        )

    def waste_over(self, unit: Unit, shown: Iterable[StepLine]) -> tuple[str, ...]:
        """Layers of waste over it and under these lines, which hang on until its last edge is cut: marks go through them."""
        lies = self.bench.remains.under(unary_union([stroke(line) for line in shown]))
        above = self.above(unit.stack, unit.plies)
        return tuple(ply for ply in lies if ply in above and self.bench.remains.covers(ply, unit.kept.keep))

    # ------------------------------------------------------------------ snips and pins

    def marks(self, unit: Unit, key: str) -> list[tuple[Mark, StepLine]]:
        """Its snips or pins that are not yet made; none on a block, which is marked once it is cut true."""
        if unit.kept.piece.block_mm:
            return []
        every = marks_of(unit, key, not self.is_larger_than_light(unit))
        return [(mark, line) for mark, line in every if mark not in self.marked]

    def unmarked(self, unit: Unit) -> list[StepLine]:
        """Its snips and pins not yet made."""
        return [line for key in MARKS for _, line in self.marks(unit, key)]

    def lit_marks(self, unit: Unit, key: str) -> list[tuple[Mark, StepLine]]:
        """Of those not yet made all, where the piece lies whole in the part that is lit, else what it shows whole."""
        is_whole, rect = self.is_whole(unit, self.part), self.rect(self.part)
        return [(mark, line) for mark, line in self.marks(unit, key) if is_whole or rect.covers(stroke(line))]
