"""Cut virtual cloth exactly as a list of steps says and tell everything that goes wrong.

`prove(lay, pieces, steps)` reads the contract only: lay.json, pieces.json and the NN.json objects in order. An empty answer
is a proof that every piece ends whole, tagged and lifted on the right layers. The rules are named in `RULES`.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from shapely.geometry import LineString, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from tests.cutting.cloth import SKIN_MM, Copy, Layer, covers, kerf_of
from tests.cutting.frames import cloth_from_table
from tests.cutting.handling import finish, handle, lay_back, part, trim
from tests.cutting.marks import check_marks
from tests.cutting.strips import finish_strips, see_opened, take_strips
from tests.cutting.table import Table, set_up

Told = Mapping[str, Any]

RULES = {
    "ids": "a step names layers of one cloth and pieces that are laid",
    "moved": "cloth_at changes only at place, slide or fold",
    "now": "a cut line to be cut now stands only in a cut step",
    "stop": "a STOP picture of a table lists no cut line",
    "plies": "plies are those whose cloth lies under the lines, top first; height is theirs",
    "over": "a layer lying above, at that place, may not be left out",
    "card": "a layer lying below may be left out only with a card over it",
    "air": "no layer is named through which no cloth is cut or marked",
    "damage": "nothing of a piece is cut away",
    "slit": "no cut runs along a fold that a piece lies on",
    "frees": "frees are true, once per piece and layer, in the step that frees it",
    "tag": "tagged before lifted",
    "lift": "lifted when cut loose, and not from under other cloth",
    "trim": "fused first; then the block is trimmed to the cut line",
    "again": "a piece of a dress changed since is laid back by two points of its cut edge and ends at its new line",
    "slide": "parts come in one direction and what was cut in one part is lifted before the cloth is pulled",
    "light": "a cut lies inside its part",
    "marks": "notches, dart tips and pins are marked on every layer before it is lifted; snips are 3 to 6 mm and clear of the sewing line",
    "strips": "bias strips come last of their light, off one open layer that no piece needs, at 45 degrees, as wide and long as said",
    "end": "every piece exists at the end on its layers, whole, tagged and lifted",
}

UNDER_MM = 2.0
"""A line over less cloth than this (a crossing of two kerfs) does not count as lying on it."""
EDGE_MM = 0.5
"""Lines along a cut edge lie on either side of it."""
SLIT_MM = 2.0
"""How near a fold a long cut may run (contract)."""


@dataclass(frozen=True)
class Fault:
    """One broken rule; `step` counts from 1, 0 at the end."""

    rule: str
    step: int
    text: str

    def __str__(self) -> str:
        return f"step {self.step}, {self.rule}: {self.text}"


def prove(lay: Told, pieces: Told, steps: Sequence[Told]) -> list[Fault]:
    """Everything that goes wrong when these steps are done on this lay. Empty: proved."""
    run = Run(set_up(lay, pieces))
    for number, step in enumerate(steps, 1):
        run.do(number, step)
    finish(run)
    finish_strips(run)
    return run.faults


class Run:
    """The table while the steps are being done."""

    def __init__(self, table: Table) -> None:
        self.table = table
        self.faults: list[Fault] = []
        self.number = 0
        self.before: Told | None = None
        self.last_part: dict[tuple[str, int], Told] = {}
        self.marked: dict[int, set[str]] = {}

    def tell(self, rule: str, text: str) -> None:
        assert rule in RULES
        self.faults.append(Fault(rule, self.number, text))

    # ---------------------------------------------------------------- one step

    def do(self, number: int, step: Told) -> None:
        """Check what holds for every step, then do what its op says."""
        self.number = number
        if not self._names_are_known(step):
            return
        self._check_place(step)
        see_opened(self, step)
        lines = self._lines(step)
        self._check_plies(step, lines)
        self._check_now(step)
        if step["op"] == "cut":
            now = [line for line, told in lines if told["when"] == "now" and told["kind"] == "cut"]
            trim(self, step, now) if not step["through"] else self._cut(step, now)
        elif step["frees"]:
            self.tell("frees", f"a {step['op']} step frees nothing")
        if step["handles"] and step["op"] not in {"tag", "lift", "fuse", "hang"} and not (step["op"] == "cut" and not step["through"]):
            self.tell("ids", f"a {step['op']} step names pieces in hand")
        if step["op"] == "mark":
            check_marks(self, step, lines)
        elif step["op"] == "part":
            part(self, step, lines)
        elif step["op"] == "place":
            lay_back(self, lines)
        elif step["op"] in {"tag", "lift", "fuse", "hang"}:
            handle(self, step)
        self.before = step

    def _names_are_known(self, step: Told) -> bool:
        ids = [*step["plies"], *step["through"], *(one["ply"] for one in [*step["frees"], *step["handles"]])]
        if not all(ply in self.table.layers for ply in ids):
            self.tell("ids", f"unknown layers in {ids}")
            return False
        if len({(self.table.cloth_of[ply], self.table.bundle_of[ply]) for ply in ids}) > 1:
            self.tell("ids", f"layers of two cloths or lengths in one step: {ids}")
        unknown = [one for one in [*step["frees"], *step["handles"]] if not self.table.copies_of(one["piece"], one["ply"])]
        if unknown:
            self.tell("ids", f"no such piece on that layer: {unknown}")
        return not unknown

    def _check_place(self, step: Told) -> None:
        if self.before and step["cloth_at"] != self.before["cloth_at"] and step["op"] not in {"place", "slide", "fold"}:
            self.tell("moved", f"a {step['op']} step moves the cloth")
        ids = [*step["plies"], *step["through"]]
        if not ids and step["op"] != "slide":
            return
        # marks pinned into waste that still hangs on: no layer lies under them, the step itself says which cloth is pulled
        cloth, bundle = (self.table.cloth_of[ids[0]], self.table.bundle_of[ids[0]]) if ids else (step["cloth"], step["bundle"])
        part = self.table.parts[cloth][step["part"]]
        if part["bundle"] != bundle:
            self.tell("ids", f"part {step['part']} is not on length {bundle}")
            return
        if step["op"] == "slide":
            self._check_slide(cloth, step["part"], part)
        elif (step["op"] in {"part", "tag", "lift"} and not self._is_in_hand(step)) or (step["op"] == "cut" and step["through"]):
            last = self.last_part.get((cloth, bundle))
            lit = last["part"] if last else next(n for n, one in enumerate(self.table.parts[cloth]) if self._begins(one, bundle))
            if step["part"] != lit:
                self.tell("slide", f"works in part {step['part']} while part {lit} lies in the light")

    def _is_in_hand(self, step: Told) -> bool:
        """All that the step takes was lifted before."""
        return bool(step["handles"]) and all(
            copy.is_lifted for one in step["handles"] for copy in self.table.copies_of(one["piece"], one["ply"])
        )

    @staticmethod
    def _begins(part: Told, bundle: int) -> bool:
        """The part of this length that is lit without any pulling along."""
        return bool(part["bundle"] == bundle and part["slide_from"] is None)

    def _check_slide(self, cloth: str, index: int, part: Told) -> None:
        came = part["slide_from"]
        last = self.last_part.get((cloth, part["bundle"]))
        if last is None and came is None:
            self.tell("slide", f"part {index} follows none")
            return
        if last is None:
            last = {"part": came, "way": 0.0, "turns": 0}
        old = self.table.parts[cloth][last["part"]]
        whole = box(*old["rect"]).buffer(0.5)
        left = [
            copy
            for copy in self.table.copies
            if self.table.cloth_of[copy.ply] == cloth and copy.part == last["part"] and not copy.is_lifted and not self.covered(copy)
            and (copy.is_free or (whole.covers(copy.keep) and not self.held_under(copy)))
        ]  # fmt: skip
        if left:
            self.tell("slide", f"{[(copy.piece, copy.ply) for copy in left]} left behind")
        way = part["rect"][0] - old["rect"][0]
        turns = last["turns"] + (way * last["way"] < 0)
        if turns > self._turns_allowed(cloth, part["bundle"]):
            self.tell("slide", "the cloth is pulled back and forth")
        self.last_part[cloth, part["bundle"]] = {"part": index, "way": way or last["way"], "turns": turns}

    def covered(self, copy: Copy) -> bool:
        """Other cloth lies over it: it cannot be lifted yet."""
        layer = self.table.layers[copy.ply]
        return any(
            other.region == layer.region
            and other.depth < layer.depth
            and any(part.intersection(copy.inner).area > 25 for part in other.parts)
            for other in self.table.layers.values()
        )

    def held_under(self, copy: Copy) -> bool:
        """A piece above it that still waits for another light would be hurt by its cut."""
        layer = self.table.layers[copy.ply]
        above = [one for one in self.table.copies if not one.is_lifted and self.table.layers[one.ply].depth < layer.depth]
        return any(self.table.layers[one.ply].region == layer.region and one.keep.intersection(copy.keep).area > 1.0 for one in above)

    def _turns_allowed(self, cloth: str, bundle: int) -> int:
        """Once back where upper pieces reach from one light into the next over lower ones."""
        depths = [
            layer.depth
            for layer in self.table.layers.values()
            if (self.table.cloth_of[layer.id], self.table.bundle_of[layer.id]) == (cloth, bundle)
        ]
        return 1 if max(depths) > 1 else 0

    def _lines(self, step: Told) -> list[tuple[LineString, Told]]:
        told = [(cloth_from_table(line["mm"], step["cloth_at"]), line) for line in step["lines"]]
        return [(LineString(points if len(points) > 1 else [points[0], points[0] + [0.01, 0.0]]), line) for points, line in told]

    def _check_now(self, step: Told) -> None:
        now = [line for line in step["lines"] if line["kind"] == "cut" and line["when"] == "now"]
        if now and step["op"] != "cut":
            self.tell("now", f"a {step['op']} step shows a line to cut now")
        if step["state"] == "stop" and step["size"] and any(line["kind"] == "cut" for line in step["lines"]):
            self.tell("stop", "a STOP picture lists cut lines")
        if step["op"] == "cut" and not now:
            self.tell("now", "a cut step without a line to cut")

    def _check_plies(self, step: Told, lines: list[tuple[LineString, Told]]) -> None:
        plies = step["plies"]
        if not all(ply in plies for ply in step["through"]):
            self.tell("plies", "cuts layers that it says do not lie there")
        if plies:
            height = len(plies) * self.table.ply_mm[self.table.cloth_of[plies[0]]]
            if abs(step["height_mm"] - height) > 1e-6:
                self.tell("plies", f"height {step['height_mm']} for {len(plies)} layers, should be {height}")
        shapes = [line for line, told in lines if told["kind"] not in {"cross", "grid", "slide"}]
        named = {told["piece"] for _, told in lines}
        in_hand = {copy.piece for copy in self.table.copies if copy.is_trimmed or (copy.again is not None and copy.is_lifted)}
        if not plies or not shapes or (step["op"] == "cut" and not step["through"]) or (step["op"] == "mark" and named <= in_hand):
            return  # pieces in hand laid back under the light
        drawn = unary_union(shapes)
        cloth, bundle = self.table.cloth_of[plies[0]], self.table.bundle_of[plies[0]]
        layers = [
            one for one in self.table.layers.values() if self.table.cloth_of[one.id] == cloth and self.table.bundle_of[one.id] == bundle
        ]
        for layer in layers:
            if layer.id not in plies and layer.under(drawn, EDGE_MM) > UNDER_MM:
                self.tell("plies", f"{layer.id} lies under the lines and is not listed")
            if layer.id in plies and not any(part.intersects(drawn) for part in layer.parts):
                self.tell("plies", f"{layer.id} is listed and has no cloth under the lines")
        for region in {layer.region for layer in layers}:
            depths = [self.table.layers[ply].depth for ply in plies if self.table.layers[ply].region == region]
            if depths != sorted(depths):
                self.tell("plies", f"not top first: {plies}")

    # ---------------------------------------------------------------- cutting

    def _cut(self, step: Told, now: list[LineString]) -> None:
        if not now:
            return
        blade, drawn = kerf_of(now), unary_union(now)
        self._check_left_out(step, drawn)
        self._check_light(step, drawn)
        for ply in step["through"]:
            layer = self.table.layers[ply]
            if layer.under(drawn, 0.0) < UNDER_MM:
                self.tell("air", f"{ply}: no cloth under the cut")
            self._check_damage(layer, blade, drawn)
            layer.cut(blade)
        take_strips(self, step, drawn)
        self.table.drop_waste()
        self._check_frees(step)

    def _check_left_out(self, step: Told, drawn: BaseGeometry) -> None:
        through = [self.table.layers[ply] for ply in step["through"]]
        for region in {layer.region for layer in through}:
            lowest = max(layer.depth for layer in through if layer.region == region)
            reach = unary_union([part for layer in through if layer.region == region for part in layer.parts]).buffer(EDGE_MM)
            for layer in self.table.layers.values():
                if layer.region != region or layer in through or layer.under(drawn.intersection(reach), EDGE_MM) < UNDER_MM:
                    continue
                if layer.depth < lowest:
                    self.tell("over", f"{layer.id} lies above {[one.id for one in through]}")
                elif not self._has_card(region, lowest, layer.depth, drawn):
                    self.tell("card", f"{layer.id} lies below {[one.id for one in through]} without a card")

    def _has_card(self, region: str, lowest: int, depth: int, drawn: BaseGeometry) -> bool:
        return any(
            card.is_in and card.region == region and lowest <= card.depth < depth and card.stack.buffer(EDGE_MM).covers(drawn)
            for card in self.table.cards
        )

    def _check_light(self, step: Told, drawn: BaseGeometry) -> None:
        cloth = self.table.cloth_of[step["through"][0]]
        x0, y0, x1, y1 = self.table.parts[cloth][step["part"]]["rect"]
        a0, b0, a1, b1 = drawn.bounds
        if a0 < x0 - 1 or b0 < y0 - 1 or a1 > x1 + 1 or b1 > y1 + 1:
            self.tell("light", f"the cut {(a0, b0, a1, b1)} leaves its part {(x0, y0, x1, y1)}")

    def _check_damage(self, layer: Layer, blade: BaseGeometry, drawn: BaseGeometry) -> None:
        for copy in self.table.copies:
            if copy.ply != layer.id or copy.is_lifted or not copy.inner.intersects(blade):
                continue
            lost = copy.inner.intersection(blade).area / 0.2
            if lost > 1.0:
                self.tell("damage", f"{copy.piece} on {copy.ply}: a cut of {lost:.1f} mm inside it")
        for a, b, fold in self.table.folds:
            if layer.id not in (a, b):
                continue
            held = [
                copy.keep.intersection(fold.buffer(0.1))
                for copy in self.table.copies
                if copy.ply == layer.id and copy.mates and not copy.is_lifted
            ]
            along = drawn.intersection(unary_union(held).buffer(SLIT_MM / 2)) if held else drawn.difference(drawn)
            for run in getattr(along, "geoms", [along]):
                if not run.is_empty and _runs_along(run, fold):
                    self.tell("slit", f"{layer.id}: {run.length:.1f} mm cut along its fold")

    def _check_frees(self, step: Told) -> None:
        found: set[tuple[str, str]] = set()
        loose = [copy for copy in self.table.copies if not copy.is_free and copy.ply in step["through"] and self._is_loose(copy)]
        for copy in loose:
            if all(
                any(mate.ply == ply and mate.keep is copy.keep and (mate.is_free or mate in loose) for mate in self.table.copies)
                for ply in copy.mates
            ):
                found.add((copy.piece, copy.ply))
        told = [(one["piece"], one["ply"]) for one in step["frees"]]
        hair = {(copy.piece, copy.ply) for copy in loose if self._has_hair(copy)}
        for copy in loose:
            copy.is_free = (copy.piece, copy.ply) in found and ((copy.piece, copy.ply) in told or (copy.piece, copy.ply) not in hair)
        if len(set(told)) != len(told):
            self.tell("frees", f"named twice: {told}")
        if set(told) - found or found - set(told) - hair:
            self.tell("frees", f"says {sorted(set(told) - found)} too much, {sorted(found - set(told) - hair)} too little")

    def _has_hair(self, copy: Copy) -> bool:
        """A strip no wider than the skin still hangs on its line: it may be told loose now, or when the strip is cut off."""
        part = self.table.layers[copy.ply].holding(copy)
        return part is not None and covers(copy.first.buffer(SKIN_MM), part) > 0.0

    def _is_loose(self, copy: Copy) -> bool:
        part = self.table.layers[copy.ply].holding(copy)
        return part is not None and covers(copy.outer, part) < 2.0


def _runs_along(run: BaseGeometry, fold: BaseGeometry) -> bool:
    """More than 6 mm of it lies beside the fold, measured along the fold."""
    x0, y0, x1, y1 = run.bounds
    a0, b0, a1, b1 = fold.bounds
    return bool((x1 - x0 if a1 - a0 > b1 - b0 else y1 - y0) > 6.0)
