"""The order of cuts: garment and lay to steps. Pure; cloth frame, mm.

`make_steps` puts the cloths one after another (main first), each length from pressing to the last lift, part by part in one
direction, then fusing, trimming and hanging; last, what the changed dress wants cut again in hand.
"""

from collections.abc import Sequence

from calibration.errors import Refused, WrongInput
from calibration.units import Unit, length_text
from projector.garment.pieces import Garment, Point
from projector.lay.bias import laid_apart
from projector.lay.lay import Lay
from projector.steps.after import fit, fuse_and_trim, hang
from projector.steps.again import cut_again
from projector.steps.before import Bench, Printed, cross, set_up
from projector.steps.cutting import Cutting
from projector.steps.printed import is_printed, place_print, see_print
from projector.steps.remains import SLIVER_MM, Remains
from projector.steps.stack import Kept, Stack, kept_in, stacks
from projector.steps.step import Step, StepLine
from projector.steps.strips import opened_rest, refuse_strips_on_pieces, strips_in_light
from projector.steps.words import EN, Words

MOST_PASSES = 3


def make_steps(
    garment: Garment, lay: Lay, unit: Unit = "in", words: Words = EN, first: str | None = None, printed: Printed | None = None
) -> tuple[Step, ...]:
    """Every step of the order, first to last. `unit`: what her tape reads; `printed`: where the print is placed.

    `first`: a cloth (the lining) that is cut, tacked and fitted before the others. Raises WrongInput for a cloth that is not there,
    Refused where no order of cuts is found; ValueError for a lay of another garment.
    """
    known = (lay.cloth.name, *lay.others)
    if first is not None and first not in known:
        raise WrongInput(f"Nothing of this order is cut from {first}.", f"Its cloths are {', '.join(known)}.", "Name one of them.")
    number, later, garment = {piece.name: place for place, piece in enumerate(garment.pieces, 1)}, garment, garment.as_cut()
    told: list[Step] = []
    held: list[tuple[Bench, list[Kept]]] = []
    for one in sorted(lay.lays, key=lambda each: each.cloth.name != first):
        kept = kept_in(garment, one)
        every = stacks(kept, one)
        refuse_strips_on_pieces(one.binding, kept)
        for bundle in sorted({region.bundle for region in one.regions}):
            regions = [region for region in one.regions if region.bundle == bundle]
            mine = [stack for stack in every if stack.region.bundle == bundle]
            if mine:
                bench = Bench(one, bundle, Remains(regions, kept), words, unit, printed)
                told += _length(bench, garment, mine)
                held.append((bench, [piece for stack in mine for piece in stack.kept]))
        told += _strips_beyond(one, words, unit)
        if one.cloth.name == first:
            told += fit(held, number)
    return (*told, *fuse_and_trim(held, number), *hang(held, number), *cut_again(held, later, number))


def part_order(lay: Lay, bundle: int) -> list[int]:
    """Indexes of this length's parts in the order of pulling, each slid to from the one before."""
    parts = [number for number, part in enumerate(lay.parts) if part.bundle == bundle]
    told = [number for number in parts if lay.parts[number].slide_from is None]
    while True:
        after = [number for number in parts if number not in told and lay.parts[number].slide_from in told]
        if not after:
            return told
        told += after


def _length(bench: Bench, garment: Garment, mine: Sequence[Stack]) -> list[Step]:
    """One length of cloth, from pressing to the last lift: along it once, and back once where lower layers had to wait."""
    order = part_order(bench.lay, bench.bundle)
    cutting = Cutting(bench, garment, mine)
    every, seen = [kept for stack in mine for kept in stack.kept], set[int]()
    cutting.steps += [*set_up(bench, order[0]), *([place_print(bench, order[0], every)] if is_printed(bench, every) else [])]

    def visit(number: int) -> None:
        if number in seen:
            cutting.visit(number)
            return
        cutting.steps += see_print(bench, number, every) if seen else []
        cutting.visit(number)
        seen.add(number)
        binding = bench.lay.binding
        if binding is not None and binding.region and binding.bundle == bench.bundle:
            cutting.steps += strips_in_light(bench, binding, number)

    at = 0
    visit(order[0])
    for _ in range(MOST_PASSES):
        for way in (1, -1):
            while any(cutting.has_work(order[to]) for to in (range(at + 1, len(order)) if way > 0 else range(at))):
                at += way
                cutting.steps.append(_slide(bench, order[at], order[at - way], bench.lay.parts[order[max(at, at - way)]].spots))
                visit(order[at])
        if not cutting.open:
            return cutting.steps
        if not any(cutting.has_work(number) for number in order if number != order[at]):
            break
    names = ", ".join(sorted({unit.name for unit in cutting.open}))
    raise Refused(
        f"No order of cuts was found for {names} on {bench.lay.cloth.name}.",
        _why_not(cutting),
        "Choose another fold, or hang the lamp higher for a larger light.",
    )


def _strips_beyond(lay: Lay, words: Words, unit: Unit) -> list[Step]:
    """Bias strips on cloth beyond the lay: opened out, then cut, pulled along where the light is shorter."""
    apart = laid_apart(lay)
    if apart is None or lay.binding is None:
        return []
    bench = Bench(apart, lay.binding.bundle, Remains(apart.regions, ()), words, unit)
    order = part_order(apart, lay.binding.bundle)
    last = max(order.index(number) for number in lay.binding.part_of)
    told = opened_rest(bench, order[0], was_folded=lay.plan != "open")
    for at, number in enumerate(order[: last + 1]):
        if at:
            told.append(_slide(bench, number, order[at - 1], apart.parts[number].spots))
        told += strips_in_light(bench, lay.binding, number)
    return told


def _why_not(cutting: Cutting) -> str:
    """Of what is still open after every part was lit: what is left of it, and why."""
    bench, unit = cutting.bench, cutting.open[0]
    left = cutting.missing(unit)
    if left.is_empty:
        return "Its marks lie under another piece in the only light that shows them."
    length = length_text(left.length, bench.unit)
    if not bench.remains.under(left, SLIVER_MM):
        return f"{length} of its line run along the cloth's own edge, alone in one light."
    return f"{length} of its line lie under another piece in the only light that shows them."


def _slide(bench: Bench, number: int, before: int, spots: Sequence[Point]) -> Step:
    """Pull the cloth along: where the two pinned marks must lie now; on cloth that is still there, in both lights."""
    (a0, b0, a1, b1), (c0, d0, c1, d1) = bench.lay.parts[number].rect, bench.lay.parts[before].rect
    held = bench.remains.spots_on_cloth(spots, (max(a0, c0), max(b0, d0), min(a1, c1), min(b1, d1)))
    lines = [StepLine("slide", None, "now", one.mm) for spot in held for one in cross(*spot)]
    return bench.step("slide", bench.words.text("slide"), number, lines, needs=(bench.words.said("need_lifted"),))
