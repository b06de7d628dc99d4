"""From tape check to lifted, part by part: outer line through all, a card, the upper pieces, then what lies below (R2-R9).

A length of cloth is one `Cutting`. `visit` does all that can be done in one light: pieces whose upper layers belong to
another light wait; the cloth is then pulled back once. What is cut so far and what lies where: `progress.py`.
"""

from collections.abc import Sequence
from dataclasses import replace

from shapely.geometry import LineString
from shapely.ops import unary_union

from calibration.errors import Refused
from calibration.units import length_text
from projector.garment.pieces import Garment
from projector.steps.before import Bench, stroke
from projector.steps.damage import refuse_damage
from projector.steps.progress import LEAST_MM, Progress
from projector.steps.runs import left_to_cut, lit_by, runs_of, to_folds
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
from projector.steps.stack import ON_LINE_MM, Stack, outer_line
from projector.steps.step import Step, StepLabel, StepLine
from projector.steps.tape import tape_step
from projector.steps.unit import MARKS, Unit


class Cutting(Progress):
    """The steps of one length of cloth, written down part by part; `steps` grows."""

    def __init__(self, bench: Bench, garment: Garment, stacks: Sequence[Stack]) -> None:
        super().__init__(bench, stacks)
        self.words, self.measures = bench.words, garment.measures
        self.number = {piece.name: place for place, piece in enumerate(garment.pieces, 1)}
        self.steps: list[Step] = []
        self.taped: set[str] = set()
        self.cards: list[tuple[int, set[Unit]]] = []
        """Cards put in: how deep, and under which pieces; each stays until the last of them is lifted."""
        self.bare: list[Unit] = []
        """With nothing over them: marked together when this light's cuts are done."""
        self.pending: list[Unit] = []
        """Cut loose: tagged and lifted together then."""

    def visit(self, number: int) -> None:
        """Everything that can be cut, marked and lifted in this part."""
        self.part = number
        for stack in self.stacks:
            acting = [unit for unit in self.open if unit.stack is stack and self.acts(unit, number)]
            if acting:
                self._tape(acting)
                self._stack(stack, acting)
        for plies in dict.fromkeys(unit.plies for unit in self.bare):
            self._mark([unit for unit in self.bare if unit.plies == plies])
        self._take(self.pending)
        self.bare, self.pending = [], []

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
            bare = [unit for unit in level if self.is_bare(unit)]
            loose = [unit for unit in bare if self.is_free(unit)]
            for unit in [one for one in level if one not in bare and not self.is_covered(one, self.part)]:
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
        is_whole = all(self.is_whole(unit, self.part) for unit in here)
        rect = lit_by(self.bench.lay.parts[self.part])
        if not is_whole:
            mine = unary_union([unit.kept.first for unit in acting]).buffer(ON_LINE_MM * 2, quad_segs=2)
            wanted = wanted.intersection(mine).intersection(rect)
        lines = to_folds(left_to_cut(shapes, wanted, self.cut_so_far(stack, here[-1].plies[-1])), kepts)
        if not is_whole:  # the start in the earlier cut may not reach out of the light
            lines = [LineString(run.coords) for line in lines for run in runs_of(line.intersection(rect)) if run.length > LEAST_MM]
        if lines:
            self._cut("cut_outer", stack, acting, self.under(stack, lines), lines, [outline_later(one) for one in kepts])

    def _own(self, stack: Stack, level: list[Unit]) -> None:
        """What is still missing of these pieces: through all that lies there, or over a card where lower pieces would suffer."""
        lines: list[LineString] = []
        able: list[Unit] = []
        for unit in level:
            left = left_to_cut([unit.kept.first], unit.kept.own_line(), self.cut_so_far(stack, unit.plies[-1]))
            mine = self.lit(unit, to_folds(left, [unit.kept]))
            if mine and self.hurts(stack, mine, self.above(stack, unit.plies)):
                continue  # covered by pieces of another light: it waits
            lines += mine
            able += [unit] if mine else []
        if not lines:
            return
        under = self.under(stack, lines)
        if not under:
            return
        upper = [ply for ply in under if ply in self.above(stack, level[0].plies) or ply in level[0].plies]
        below = [ply for ply in under if ply not in upper]
        needs: tuple[str, ...] = ()
        if below and self.hurts(stack, lines, below):
            needs = (self._card(stack, able, upper, len(under)),)
            under = upper
        names = {unit.name for unit in able}
        is_begun = not self.cut_so_far(stack, level[0].plies[-1]).is_empty
        key = "cut_rest" if is_begun else "cut_block" if able[0].kept.piece.block_mm else "cut_one" if len(names) == 1 else "cut_more"
        self._cut(key, stack, able, under, lines, [], needs)

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
        needs += [self.words.said("need_begun")] if not self.cut_so_far(stack, upper[0]).is_empty else []
        self.steps.append(self.bench.step("part", text, self.part, shown, labels=labels, through=tuple(upper), needs=tuple(needs)))
        return need

    def _tape(self, acting: list[Unit]) -> None:
        """One check per piece before its first cut; copies of one piece share it."""
        for unit in acting:
            if unit.name in self.taped:
                continue
            self.taped.add(unit.name)
            self.steps.append(tape_step(self.bench, unit.kept, self.part, self.rect(self.part), self.measures))

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
        needs = (words.said("need_proof"), words.said("need_light"), *needs)
        self.steps.append(replace(step, frees=self.note_cut(stack, through, drawn), needs=needs))

    def _same_snips(self, stack: Stack, here: Sequence[Unit]) -> None:
        """Snips that are the same on pieces over one another, made once through all their layers."""
        rect = self.rect(self.part)
        fresh = [(unit, mark, line) for unit in here for mark, line in self.marks(unit, "snip") if rect.covers(stroke(line))]
        steps, made = snip_steps(
            self.bench,
            self.part,
            fresh,
            lambda unit: self.cut_so_far(stack, unit.plies[-1]),
            lambda lines: self.under(stack, lines),
            self.open,
        )
        self.steps += steps
        self.marked |= {mark for _, mark, _ in made}

    def _mark(self, units: Sequence[Unit]) -> None:
        """Snips, then pins, through the layers of these pieces; each mark once, in the light that shows it."""
        for key in MARKS:
            lit = [(unit, told) for unit in units if (told := self.lit_marks(unit, key))]
            if not lit:
                continue
            who, lines = [unit for unit, _ in lit], [line for _, told in lit for _, line in told]
            self.marked |= {mark for _, told in lit for mark, _ in told}
            shown = [*lines, *(body_of(unit.kept)[0] for unit in who)]
            through = self.waste_over(who[0], shown) + who[0].plies
            names = self.words.listed([unit.name for unit in who])
            layers = self.words.layers(len(through))
            text = "pin_one" if key == "pin" and len(through) == 1 else key
            words = self.words.text(text, layers=layers, pieces=names, **snip_values(self.bench.unit))
            labels = tuple(count_label(line, len(through)) for line in lines if line.kind in ("notch", "point"))
            need = self.words.said("need_cut" if all(self.is_free(unit) for unit in who) else "need_lit", pieces=names)
            self.steps.append(self.bench.step("mark", words, self.part, shown, labels=labels, through=through, needs=(need,)))

    def _take(self, units: Sequence[Unit]) -> None:
        """Tag these pieces, then lift them."""
        if not units:
            return
        lost = [unit.name for unit in units if self.unmarked(unit)]
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
        say += words.text("below")[1] if any(self.is_over(unit) for unit in units) else ""
        self.steps.append(
            bench.step("lift", (title, say), self.part, shown, labels=labels, handles=handles, needs=(words.said("need_tag", **values),))
        )
        for unit in units:
            bench.remains.lift(unit.kept, unit.plies)
            self.open.remove(unit)
