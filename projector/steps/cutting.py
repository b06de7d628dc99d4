"""One stack from tape check to lifted: outer line through all, a card, the upper pieces, then what lies below (R2-R9)."""

from collections.abc import Sequence
from dataclasses import replace

from shapely.geometry import LineString
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from projector.garment.pieces import Garment
from projector.steps.before import Bench
from projector.steps.shown import allowance_labels, amount, body_of, cut_now, levels_of, name_label, outline_later, pins_of, snips_of
from projector.steps.stack import ON_LINE_MM, Kept, Stack, left_to_cut, outer_line
from projector.steps.step import Handle, Step, StepLabel, StepLine
from projector.steps.tape import taped

LOOSE_MM = 0.3
"""A piece with less than this of its line uncut is loose."""


class Cutting:
    """The steps of the stacks of one part, in order."""

    def __init__(self, bench: Bench, garment: Garment, part: int) -> None:
        self.bench, self.part = bench, part
        self.number = {piece.name: place for place, piece in enumerate(garment.pieces, 1)}
        self.steps: list[Step] = []
        self.pending: list[tuple[Kept, str]] = []
        self.done: BaseGeometry = LineString()
        self.free: set[tuple[int, str]] = set()

    # ---------------------------------------------------------------- one stack

    def stack(self, stack: Stack) -> None:
        """All steps of one stack but the last tags and lifts."""
        self.done, self.free = LineString(), set()
        plies = [ply.id for ply in stack.region.ply]
        self._tape(stack)
        while True:
            kept = stack.on(plies)
            groups = _groups(kept, plies)
            if len(groups) > 1:
                self._outer(kept, plies)
                top = groups[0]
                above, count = plies[: plies.index(top[-1]) + 1], len(plies)
                self._upper(stack.on(top), above, plies, count)
                self._mark(stack.on(top), top)
                self.take([(one, ply) for one in stack.on(top) for ply in top if ply in one.placed.on])
                plies = plies[len(above) :]
                continue
            self._own(kept, plies)
            last = groups[0] if groups else []
            self._mark(kept, last)
            self.pending += [(one, ply) for one in kept for ply in last if ply in one.placed.on]
            return

    def _tape(self, stack: Stack) -> None:
        """One check per piece; copies of one piece share it."""
        seen: set[str] = set()
        for kept in stack.kept:
            if kept.piece.name in seen:
                continue
            seen.add(kept.piece.name)
            lengths = taped(kept)
            lines = [StepLine("ruler", kept.piece.name, "now", one.line) for one in lengths]
            labels = [
                StepLabel(one.text(self.bench.unit), LineString(one.line).interpolate(0.5, normalized=True).coords[0]) for one in lengths
            ]
            text = self.bench.words.text(
                "tape", piece=self.bench.words.piece(kept.piece.name), lengths="; ".join(one.text(self.bench.unit) for one in lengths)
            )
            shown = [*lines, outline_later(kept), *body_of(kept), *levels_of(kept)]
            self.steps.append(self.bench.step("check", text, self.part, shown, labels=tuple(labels)))

    def _outer(self, kept: Sequence[Kept], plies: list[str]) -> None:
        shapes, wanted = outer_line(kept)
        lines = left_to_cut(shapes, wanted, self.done)
        if lines:
            self._cut("cut_outer", kept, plies, lines, [outline_later(one) for one in kept])

    def _upper(self, kept: Sequence[Kept], above: list[str], plies: list[str], count: int) -> None:
        """The card, then what only the upper layers take."""
        lines = self._left(kept)
        if not lines:
            return
        words = self.bench.words
        text = words.text(
            "part",
            above=len(above),
            below=len(above) + 1,
            count=words.layers(len(above)),
            pieces=words.listed([one.piece.name for one in kept]),
        )
        shown = [line for one in kept for line in (outline_later(one), *body_of(one))]
        through = tuple(ply for ply in self.bench.remains.under(unary_union(lines)) if ply in above)
        labels = (StepLabel(f"{len(above)} | {count - len(above)}", kept[0].keep.representative_point().coords[0], 24.0),)
        self.steps.append(self.bench.step("part", text, self.part, shown, labels=labels, through=through))
        need = words.said("need_card", above=len(above), below=len(above) + 1)
        self._cut("cut_rest", kept, above, lines, [], needs=(need,))

    def _own(self, kept: Sequence[Kept], plies: list[str]) -> None:
        """Every line still missing, through all that lies there."""
        lines = self._left(kept)
        if not lines:
            return
        names = list(dict.fromkeys(one.piece.name for one in kept))
        is_rest = not self.done.is_empty
        key = "cut_rest" if is_rest else "cut_block" if kept[0].piece.block_mm else "cut_one" if len(names) == 1 else "cut_more"
        self._cut(key, kept, plies, lines, [])

    def _left(self, kept: Sequence[Kept]) -> list[LineString]:
        told: list[LineString] = []
        for one in kept:
            told += left_to_cut([one.first], one.own_line(), self.done)
        return told

    # ---------------------------------------------------------------- one cut

    def _cut(
        self, key: str, kept: Sequence[Kept], plies: list[str], lines: list[LineString], later: list[StepLine], needs: tuple[str, ...] = ()
    ) -> None:
        bench, words = self.bench, self.bench.words
        drawn = unary_union(lines)
        names = list(dict.fromkeys(one.piece.name for one in kept))
        shown = [*self._bold(kept, lines, len(names) > 1), *later, *(line for one in kept for line in body_of(one))]
        through = tuple(ply for ply in bench.remains.under(drawn) if ply in plies)
        labels = [label for one in kept for label in allowance_labels(one, drawn, bench.unit)]
        labels += [name_label(one, self.number[one.piece.name], words.piece(one.piece.name)) for one in kept]
        title, say = words.text(
            key, piece=words.piece(names[0]), pieces=words.listed(names), count=len(names), layers=words.layers(len(through)),
            room=amount(kept[0].piece.block_mm, bench.unit),
        )  # fmt: skip
        if key == "cut_rest" and len(names) > 1:
            title = words.text("cut_more", count=len(names), layers=words.layers(len(through)), pieces="")[0]
        say += self._asides(kept, drawn)
        step = bench.step("cut", (title, say), self.part, shown, labels=tuple(labels), through=through, is_fact=True)
        bench.remains.cut(lines, through)
        self.done = unary_union([self.done, drawn])
        frees = self._freed(kept, through)
        needs = (words.said("need_proof"), words.said("need_light"), *needs)
        self.steps.append(replace(step, frees=frees, needs=needs))

    def _bold(self, kept: Sequence[Kept], lines: list[LineString], is_several: bool) -> list[StepLine]:
        """Bold lines, each with its piece where it is one piece's alone."""
        told: list[StepLine] = []
        for line in lines:
            owners = {one.piece.name for one in kept if one.first.exterior.buffer(ON_LINE_MM * 2).covers(line)}
            told += cut_now([line], owners.pop() if len(owners) == 1 else None)
        return told

    def _asides(self, kept: Sequence[Kept], drawn: BaseGeometry) -> str:
        words = self.bench.words
        told = ""
        for one in kept:
            for line in one.piece.first_cut:
                if drawn.distance(LineString(one.at(line.points)).interpolate(0.5, normalized=True)) < 0.5:
                    told += words.text("first", edge=words.piece(line.edge))[1]
        if any(20.0 < one.piece.grain_deg % 90.0 < 70.0 for one in kept):
            told += words.text("bias")[1]
        return told

    def _freed(self, kept: Sequence[Kept], through: Sequence[str]) -> tuple[Handle, ...]:
        """Pieces whose whole line is now cut, on these layers."""
        near = self.done.buffer(ON_LINE_MM * 2)
        told: dict[Handle, None] = {}
        for one in kept:
            if one.own_line().difference(near).length > LOOSE_MM:
                continue
            for ply in one.placed.on:
                if ply in through and (id(one), ply) not in self.free:
                    self.free.add((id(one), ply))
                    told[Handle(one.piece.name, ply)] = None
        return tuple(told)

    # ---------------------------------------------------------------- marks, tags, lifts

    def _mark(self, kept: Sequence[Kept], plies: Sequence[str]) -> None:
        words = self.bench.words
        for key, lines in (("snip", [line for one in kept if not one.piece.block_mm for line in snips_of(one, "mark")]),
                           ("pin", [line for one in kept if not one.piece.block_mm for line in pins_of(one, "mark")])):  # fmt: skip
            if not lines:
                continue
            names = [one.piece.name for one in kept if any(line.piece == one.piece.name for line in lines)]
            through = tuple(plies)
            text = words.text(key, layers=words.layers(len(through)), pieces=words.listed(names))
            shown = [*lines, *(line for one in kept if one.piece.name in names for line in body_of(one)[:1])]
            labels = tuple(_count(line, len(through)) for line in lines if line.kind in ("notch", "point"))
            self.steps.append(self.bench.step("mark", text, self.part, shown, labels=labels, through=through))

    def take(self, taken: Sequence[tuple[Kept, str]]) -> None:
        """Tag these pieces, then lift them."""
        if not taken:
            return
        words, bench = self.bench.words, self.bench
        kept = list({id(one): one for one, _ in taken}.values())
        names = list(dict.fromkeys(one.piece.name for one in kept))
        handles = tuple(dict.fromkeys(Handle(one.piece.name, ply) for one, ply in taken))
        shown = [line for one in kept for line in body_of(one)]
        labels = tuple(name_label(one, self.number[one.piece.name], words.piece(one.piece.name)) for one in kept)
        values = {"piece": words.piece(names[0]), "pieces": words.listed(names), "count": len(names)}
        more = "_more" if len(names) > 1 else ""
        text = words.text(
            "tag" + more, layers=words.layers(max(sum(1 for one, _ in taken if one is kept_one) for kept_one in kept)), **values
        )
        self.steps.append(
            bench.step("tag", text, self.part, shown, labels=labels, handles=handles, needs=(words.said("need_cut", **values),))
        )
        text = words.text("lift" + more, **values)
        self.steps.append(
            bench.step("lift", text, self.part, shown, labels=labels, handles=handles, needs=(words.said("need_tag", **values),))
        )
        for one in kept:
            bench.remains.lift(one, [ply for other, ply in taken if other is one])

    def finish(self) -> None:
        """Tag and lift all that was cut in this light."""
        self.take(self.pending)
        self.pending = []


def _groups(kept: Sequence[Kept], plies: Sequence[str]) -> list[list[str]]:
    """Runs of layers, top first, that keep the same pieces; layers that keep none are left out."""
    told: list[tuple[frozenset[int], list[str]]] = []
    for ply in plies:
        holds = frozenset(id(one) for one in kept if ply in one.placed.on)
        if not holds:
            continue
        if told and told[-1][0] == holds:
            told[-1][1].append(ply)
        else:
            told.append((holds, [ply]))
    return [run for _, run in told]


def _count(line: StepLine, layers: int) -> StepLabel:
    """How many layers this mark goes through, beside it."""
    (x, y) = line.mm[-1]
    return StepLabel(f"×{layers}", (x + 14.0, y + 14.0), 10.0)
