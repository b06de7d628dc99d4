"""From tape check to lifted, part by part: outer line through all, a card, the upper pieces, then what lies below (R2-R9).

A length of cloth is one `Cutting`. `visit` does all that can be done in one light: pieces whose upper layers belong to
another light wait; the cloth is then pulled back once.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from shapely.geometry import LineString, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from calibration.errors import Refused
from calibration.units import length_text
from projector.garment.pieces import Garment
from projector.lay.lay import Part
from projector.steps.before import Bench, stroke
from projector.steps.damage import refuse_damage
from projector.steps.remains import SLIVER_MM
from projector.steps.shared import snip_steps
from projector.steps.shown import (
    allowance_labels,
    asides,
    body_of,
    bold,
    count_label,
    name_label,
    outline_later,
    snip_values,
)
from projector.steps.stack import ON_LINE_MM, Stack, left_to_cut, lit_by, outer_line, runs_of, to_folds, uncut
from projector.steps.step import Handle, Step, StepLabel, StepLine
from projector.steps.tape import tape_step
from projector.steps.unit import LOOSE_MM, MARKS, Unit, is_loose, marks_of, units_of

LEAST_MM = 2.5
"""Less than this of a line at the light's edge waits for the light that shows it going on."""
SHORT_MM = 2.0
"""A run that this light shows whole is cut from this length on: shorter ones are no cut (the lay then takes another fold)."""
INSIDE_MM = 0.1
"""A line this far inside an outline would hurt the piece."""


class Cutting:
    """One length of cloth while it is cut; `steps` grows."""

    def __init__(self, bench: Bench, garment: Garment, stacks: Sequence[Stack]) -> None:
        self.bench, self.words, self.measures = bench, bench.words, garment.measures
        self.number = {piece.name: place for place, piece in enumerate(garment.pieces, 1)}
        self.steps: list[Step] = []
        self.stacks = list(stacks)
        self.open = [unit for stack in stacks for unit in units_of(stack)]
        """Not yet lifted."""
        self.done: dict[tuple[int, str], BaseGeometry] = {}
        """Lines cut so far, by stack and layer."""
        self.free: set[tuple[int, str]] = set()
        self.marked: set[tuple[int, tuple[str, ...], int]] = set()
        self.taped: set[str] = set()
        self.cards: list[tuple[int, set[Unit]]] = []
        """Cards put in: how deep, and under which pieces; each stays until the last of them is lifted."""
        self.part = 0
        self.bare: list[Unit] = []
        """With nothing over them: marked together when this light's cuts are done."""
        self.pending: list[Unit] = []
        """Cut loose: tagged and lifted together then."""

    def visit(self, number: int) -> None:
        """Everything that can be cut, marked and lifted in this part."""
        self.part = number
        for stack in self.stacks:
            acting = [unit for unit in self.open if unit.stack is stack and self._acts(unit)]
            if acting:
                self._tape(acting)
                self._stack(stack, acting)
        for plies in dict.fromkeys(unit.plies for unit in self.bare):
            self._mark([unit for unit in self.bare if unit.plies == plies])
        self._take(self.pending)
        self.bare, self.pending = [], []

    def has_work(self, number: int) -> bool:
        """Something open lies in this part."""
        before, self.part = self.part, number
        told = any(self._acts(unit) for unit in self.open)
        self.part = before
        return told

    def _rect(self, number: int) -> Polygon:
        return box(*self.bench.lay.parts[number].rect)

    def _acts(self, unit: Unit) -> bool:
        """Its own part is lit, or it is larger than any light and some of its uncut line lies here."""
        if unit.kept.placed.part == self.part:
            return True
        if self._is_whole(unit.kept.first, self.bench.lay.parts[unit.kept.placed.part]):
            return False
        rect = self._rect(self.part)
        missing = self.missing(unit)
        if missing.intersection(rect).length > LEAST_MM or any(run.length > SHORT_MM and rect.covers(run) for run in runs_of(missing)):
            return True
        return not self._is_covered(unit) and any(rect.covers(stroke(line)) for line in self._unmarked(unit))

    def _unmarked(self, unit: Unit) -> list[StepLine]:
        """Its snips and pins not yet made."""
        return [
            line
            for key in MARKS
            for number, line in self._marks(unit, key)
            if (id(unit.kept), (key, *unit.plies), number) not in self.marked and not unit.kept.piece.block_mm
        ]

    @staticmethod
    def _is_whole(shape: BaseGeometry, part: Part) -> bool:
        return bool(lit_by(part).covers(shape))

    def _done(self, stack: Stack, ply: str) -> BaseGeometry:
        return self.done.get((id(stack), ply), LineString())

    def missing(self, unit: Unit) -> BaseGeometry:
        """What of its line is not yet cut on its layers."""
        return unary_union(uncut(unit.kept.own_line(), self._done(unit.stack, unit.plies[-1])))

    def _lit(self, unit: Unit, lines: Iterable[LineString]) -> list[LineString]:
        """These lines as far as this part lights them (all, where the piece lies whole in it)."""
        rect = lit_by(self.bench.lay.parts[self.part])
        if rect.covers(unit.kept.first):
            return list(lines)
        done = self._done(unit.stack, unit.plies[-1]).buffer(ON_LINE_MM, quad_segs=2)
        told: list[LineString] = []
        for line in lines:
            runs = runs_of(line.intersection(rect))
            least = SHORT_MM if rect.covers(line) else LEAST_MM  # not the start in the earlier cut alone
            told += [LineString(one.coords) for one in runs if one.difference(done).length > least]
        return told

    def _stack(self, stack: Stack, acting: list[Unit]) -> None:
        here = [unit for unit in self.open if unit.stack is stack]
        if len({unit.plies for unit in here}) > 1:
            self._outer(stack, here, acting)
            self._same_snips(stack, here)
        for plies in dict.fromkeys(unit.plies for unit in here):
            level = [unit for unit in acting if unit.plies == plies and unit in self.open]
            if not level:
                continue
            self._own(stack, level)
            bare = [unit for unit in level if self._is_bare(unit)]
            loose = [unit for unit in bare if self._is_free(unit)]
            for unit in [one for one in level if one not in bare and not self._is_covered(one)]:
                self._mark([unit])  # larger than the light: it is lifted in another one
            if any(unit.stack is stack and unit.plies != plies for unit in self.open):
                self._mark(bare)
                self._take(loose)
            else:
                self.bare += bare
                self.pending += loose

    def _outer(self, stack: Stack, here: list[Unit], acting: list[Unit]) -> None:
        """The outer line of all that lies here, as far as it borders what this part cuts."""
        kepts = list({id(unit.kept): unit.kept for unit in here}.values())
        shapes, wanted = outer_line(kepts)
        is_whole = all(self._is_whole(one.first, self.bench.lay.parts[self.part]) for one in kepts)
        rect = lit_by(self.bench.lay.parts[self.part])
        if not is_whole:
            mine = unary_union([unit.kept.first for unit in acting]).buffer(ON_LINE_MM * 2, quad_segs=2)
            wanted = wanted.intersection(mine).intersection(rect)
        lines = to_folds(left_to_cut(shapes, wanted, self._done(stack, here[-1].plies[-1])), kepts)
        if not is_whole:  # the start in the earlier cut may not reach out of the light
            lines = [LineString(run.coords) for line in lines for run in runs_of(line.intersection(rect)) if run.length > LEAST_MM]
        if lines:
            self._cut("cut_outer", stack, acting, self._under(stack, lines), lines, [outline_later(one) for one in kepts])

    def _own(self, stack: Stack, level: list[Unit]) -> None:
        """What is still missing of these pieces: through all that lies there, or over a card where lower pieces would suffer."""
        lines: list[LineString] = []
        able: list[Unit] = []
        for unit in level:
            left = left_to_cut([unit.kept.first], unit.kept.own_line(), self._done(stack, unit.plies[-1]))
            mine = self._lit(unit, to_folds(left, [unit.kept]))
            if mine and self._hurts(stack, mine, self._above(stack, unit.plies)):
                continue  # covered by pieces of another light: it waits
            lines += mine
            able += [unit] if mine else []
        if not lines:
            return
        under = self._under(stack, lines)
        if not under:
            return
        upper = [ply for ply in under if ply in self._above(stack, level[0].plies) or ply in level[0].plies]
        below = [ply for ply in under if ply not in upper]
        needs: tuple[str, ...] = ()
        if below and self._hurts(stack, lines, below):
            needs = (self._card(stack, able, upper, len(under)),)
            under = upper
        names = {unit.name for unit in able}
        is_begun = not self._done(stack, level[0].plies[-1]).is_empty
        key = "cut_rest" if is_begun else "cut_block" if able[0].kept.piece.block_mm else "cut_one" if len(names) == 1 else "cut_more"
        self._cut(key, stack, able, under, lines, [], needs)

    def _above(self, stack: Stack, plies: Sequence[str]) -> list[str]:
        order = [ply.id for ply in stack.region.ply]
        return order[: order.index(plies[0])]

    def _under(self, stack: Stack, lines: Iterable[LineString]) -> list[str]:
        """Layers of this region with cloth under these lines, top first."""
        ids = {ply.id for ply in stack.region.ply}
        return [ply for ply in self.bench.remains.under(unary_union(list(lines)), SLIVER_MM) if ply in ids]

    def _hurts(self, stack: Stack, lines: Iterable[LineString], plies: Sequence[str]) -> bool:
        """A cut along these lines through these layers would run inside a piece that still lies there."""
        drawn = unary_union(list(lines))
        return any(
            set(unit.plies) & set(plies) and drawn.intersection(unit.kept.keep.buffer(-INSIDE_MM, quad_segs=2)).length > LOOSE_MM
            for unit in self.open
            if unit.stack is stack
        )

    def _is_bare(self, unit: Unit) -> bool:
        """No cloth lies over it."""
        return not any(self.bench.remains.covers(ply, unit.kept.keep) for ply in self._above(unit.stack, unit.plies))

    def _is_covered(self, unit: Unit) -> bool:
        """A piece still to be lifted lies over it in this light."""
        above = set(self._above(unit.stack, unit.plies))
        lit = unit.kept.keep.intersection(self._rect(self.part))
        return any(
            above & set(other.plies) and other.kept.placed.region == unit.kept.placed.region and other.kept.keep.intersects(lit)
            for other in self.open
        )

    def _is_over(self, unit: Unit) -> bool:
        """Cloth lies below it."""
        order = [ply.id for ply in unit.stack.region.ply]
        return any(self.bench.remains.covers(ply, unit.kept.keep) for ply in order[order.index(unit.plies[-1]) + 1 :])

    def _waste_over(self, unit: Unit, shown: Iterable[StepLine]) -> tuple[str, ...]:
        """Layers of waste over it and under these lines, which hang on until its last edge is cut: marks go through them."""
        lies = self.bench.remains.under(unary_union([stroke(line) for line in shown]))
        above = self._above(unit.stack, unit.plies)
        return tuple(ply for ply in lies if ply in above and self.bench.remains.covers(ply, unit.kept.keep))

    def _is_free(self, unit: Unit) -> bool:
        return all((id(unit.kept), ply) in self.free for ply in unit.plies)

    def _card(self, stack: Stack, able: list[Unit], upper: list[str], count: int) -> str:
        """A card under these pieces, unless it is in already. Returns what must be true, in words."""
        order = [ply.id for ply in stack.region.ply]
        depth = order.index(upper[-1])
        need = self.words.said("need_card", above=len(upper), below=len(upper) + 1)
        if any(at == depth and set(able) <= over for at, over in self.cards):
            return need
        self.cards.append((depth, set(able)))
        kepts = [unit.kept for unit in able]
        text = self.words.text(
            "part",
            above=len(upper),
            below=len(upper) + 1,
            count=self.words.layers(len(upper)),
            pieces=self.words.listed([unit.name for unit in able]),
        )
        shown = [line for one in kepts for line in (outline_later(one), *body_of(one))]
        middle = kepts[0].keep.representative_point()
        labels = (StepLabel(f"{len(upper)} | {count - len(upper)}", (middle.x, middle.y), 24.0),)
        needs = [self.words.said("need_light")]
        needs += [self.words.said("need_begun")] if not self._done(stack, upper[0]).is_empty else []
        self.steps.append(self.bench.step("part", text, self.part, shown, labels=labels, through=tuple(upper), needs=tuple(needs)))
        return need

    def _tape(self, acting: list[Unit]) -> None:
        """One check per piece before its first cut; copies of one piece share it."""
        for unit in acting:
            if unit.name in self.taped:
                continue
            self.taped.add(unit.name)
            self.steps.append(tape_step(self.bench, unit.kept, self.part, self._rect(self.part), self.measures))

    def _cut(
        self, key: str, stack: Stack, units: Sequence[Unit], under: Sequence[str], lines: list[LineString], later: list[StepLine],
        needs: tuple[str, ...] = (),
    ) -> None:  # fmt: skip
        """One cut through these layers, what it frees, and the cloth after it."""
        bench, words = self.bench, self.words
        kepts = list({id(unit.kept): unit.kept for unit in units}.values())
        drawn, through, names = unary_union(lines), tuple(under), list(dict.fromkeys(unit.name for unit in units))
        refuse_damage(bench, self.open, names, drawn, through)
        labels = [label for one in kepts for label in allowance_labels(one, drawn, bench.unit)]
        labels += [name_label(one, self.number[one.piece.name], words.piece(one.piece.name)) for one in kepts]
        values = {
            "piece": words.piece(names[0]), "pieces": words.listed(names), "count": len(names), "layers": words.layers(len(through)),
            "room": length_text(kepts[0].piece.block_mm, bench.unit),
        }  # fmt: skip
        title, say = words.text(key, **values)
        if key == "cut_rest" and len(names) > 1:
            title = words.text("cut_more", **values)[0]
        shown = [*bold(kepts, lines), *later, *(line for one in kepts for line in body_of(one))]
        say += asides(words, kepts, drawn, bench.unit if key != "cut_block" else None)
        step = bench.step("cut", (title, say), self.part, shown, labels=tuple(labels), through=through, is_fact=True)
        bench.remains.cut(lines, through)
        for ply in through:
            self.done[id(stack), ply] = unary_union([self._done(stack, ply), drawn])
        needs = (words.said("need_proof"), words.said("need_light"), *needs)
        self.steps.append(replace(step, frees=self._freed(stack, through), needs=needs))

    def _freed(self, stack: Stack, through: Sequence[str]) -> tuple[Handle, ...]:
        """Pieces whose whole line is now cut on all layers that the fold joins."""
        told: dict[Handle, None] = {}
        for unit in self.open:
            if unit.stack is not stack or not set(unit.plies) & set(through):
                continue
            loose = [ply for ply in unit.plies if is_loose(unit.kept, self._done(stack, ply))]
            if unit.kept.placed.on_fold and len(loose) < len(unit.plies):
                continue
            for ply in loose:
                if (id(unit.kept), ply) not in self.free:
                    self.free.add((id(unit.kept), ply))
                    told[Handle(unit.name, ply)] = None
        return tuple(told)

    def _marks(self, unit: Unit, key: str) -> Iterable[tuple[int, StepLine]]:
        return enumerate(marks_of(unit, key, self._is_whole(unit.kept.first, self.bench.lay.parts[unit.kept.placed.part])))

    def _same_snips(self, stack: Stack, here: Sequence[Unit]) -> None:
        """Snips that are the same on pieces over one another, made once through all their layers."""
        fresh = [
            (unit, number, line)
            for unit in here
            for number, line in (self._marks(unit, "snip") if not unit.kept.piece.block_mm else ())
            if (id(unit.kept), ("snip", *unit.plies), number) not in self.marked and self._rect(self.part).covers(stroke(line))
        ]
        steps, made = snip_steps(
            self.bench, self.part, fresh, lambda unit: self._done(stack, unit.plies[-1]), lambda lines: self._under(stack, lines), self.open
        )
        self.steps += steps
        self.marked |= {(id(unit.kept), ("snip", *unit.plies), number) for unit, number, _ in made}

    def _mark(self, units: Sequence[Unit]) -> None:
        """Snips, then pins, through the layers of these pieces; each mark once, in the light that shows it."""
        plain = [unit for unit in units if not unit.kept.piece.block_mm]
        for key in MARKS:
            lines: list[StepLine] = []
            who: list[Unit] = []
            for unit in plain:
                fresh = [line for number, line in self._marks(unit, key) if self._is_fresh(unit, key, number, line)]
                lines += fresh
                who += [unit] if fresh else []
            if not lines:
                continue
            shown = [*lines, *(body_of(unit.kept)[0] for unit in who)]
            through = self._waste_over(who[0], shown) + who[0].plies
            names = self.words.listed([unit.name for unit in who])
            layers = self.words.layers(len(through))
            text = "pin_one" if key == "pin" and len(through) == 1 else key
            words = self.words.text(text, layers=layers, pieces=names, **snip_values(self.bench.unit))
            labels = tuple(count_label(line, len(through)) for line in lines if line.kind in ("notch", "point"))
            need = self.words.said("need_cut" if all(self._is_free(unit) for unit in who) else "need_lit", pieces=names)
            self.steps.append(self.bench.step("mark", words, self.part, shown, labels=labels, through=through, needs=(need,)))

    def _is_fresh(self, unit: Unit, kind: str, number: int, line: StepLine) -> bool:
        """Not yet marked, and wholly in this light (where the piece is larger than the light)."""
        key = (id(unit.kept), (kind, *unit.plies), number)
        if key in self.marked or not (
            self._is_whole(unit.kept.first, self.bench.lay.parts[self.part]) or self._rect(self.part).covers(stroke(line))
        ):
            return False
        self.marked.add(key)
        return True

    def _take(self, units: Sequence[Unit]) -> None:
        """Tag these pieces, then lift them."""
        if not units:
            return
        lost = [unit.name for unit in units if self._unmarked(unit)]
        if lost:
            raise Refused(
                f"{self.words.listed(lost)} would come loose before every snip and pin is made.",
                "It is larger than the light, and its marks lie in another part.",
                "Choose another fold, or hang the lamp higher for a larger light.",
            )
        words, bench = self.words, self.bench
        kepts = list({id(unit.kept): unit.kept for unit in units}.values())
        names = list(dict.fromkeys(unit.name for unit in units))
        handles = tuple(dict.fromkeys(handle for unit in units for handle in unit.handles()))
        shown = [line for one in kepts for line in body_of(one)]
        labels = tuple(name_label(one, self.number[one.piece.name], words.piece(one.piece.name)) for one in kepts)
        values = {"piece": words.piece(names[0]), "pieces": words.listed(names), "count": len(names)}
        more = "_more" if len(names) > 1 else ""
        text = words.text("tag" + more, layers=words.layers(max(len(unit.plies) for unit in units)), **values)
        self.steps.append(
            bench.step("tag", text, self.part, shown, labels=labels, handles=handles, needs=(words.said("need_cut", **values),))
        )
        title, say = words.text("lift" + more, **values)
        say += words.text("together")[1] if any(len(unit.plies) > 1 for unit in units) else ""
        say += words.text("below")[1] if any(self._is_over(unit) for unit in units) else ""
        self.steps.append(
            bench.step("lift", (title, say), self.part, shown, labels=labels, handles=handles, needs=(words.said("need_tag", **values),))
        )
        for unit in units:
            bench.remains.lift(unit.kept, unit.plies)
            self.open.remove(unit)
