"""A number changed at a tape check: the line behind it moves, every seam still meets, what is not cut yet is drawn again.

The pieces stay where they lie. A piece that is already cut never changes: then the change is refused in words.
"""

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from calibration.errors import Refused
from calibration.units import Unit
from projector.book.orders import Order
from projector.draft.adjust import LINES, MOST_MM
from projector.garment.pieces import Garment, Piece
from projector.lay.again import all_with_pieces, laid_again, with_pieces
from projector.lay.cloth import Light
from projector.lay.lay import Lay
from projector.lay.stage import cloth_named
from projector.making import garment_of, steps_for
from projector.steps.changed import changed_in_cut, pushed_apart
from projector.steps.facts import missing_cloth, refuse_what_is_missing
from projector.steps.stack import kept_in
from projector.steps.step import Step, TapeRead
from projector.steps.tape import taped

REACHED_MM = 0.4
"""Half of 1/32 in: finer than a tape is read."""
SAME_MM = 0.05
MOST_STEPS = 4
SIDE_LINES = {
    "bust": "side_underarm", "underbust": "side_underarm", "underarm": "side_underarm", "waist": "side_waist", "hip": "side_hip",
    "knee": "side_hip", "hem": "side_hem",
}  # fmt: skip


class NotByTape(Refused):
    """A number that no line of its own stands behind, or a piece that is already cut."""


@dataclass(frozen=True, slots=True)
class Retaped:
    """`changes`: lines moved at the table for this order so far, mm; `is_same_way`: the steps follow one another as before."""

    garment: Garment
    lay: Lay
    steps: tuple[Step, ...]
    changes: Mapping[str, float]
    is_same_way: bool


def line_of_tape(piece: Piece, where: str) -> str | None:
    """The line of the draft that moves when this number is changed; None when only the client's measures can do it."""
    if where:
        return SIDE_LINES.get(where) if any(edge.kind == "side" for edge in piece.edges) else None
    return "hem" if piece.part.startswith("skirt") else "sleeve_length" if piece.part == "sleeve" else None


def with_changes(order: Order, changes: Mapping[str, float]) -> Order:
    """The order with its lines moved by so much, as its card would say it."""
    return replace(order, card=replace(order.card, changes={line: f"{mm:+.2f} mm" for line, mm in changes.items() if mm}))


def _sewn_mm(garment: Garment, lay: Lay, read: TapeRead) -> float | None:
    """The same number on pieces that lie the same way."""
    for kept in kept_in(garment, lay):
        if kept.piece.name == read.piece:
            return next((one.sewn_mm for one in taped(kept) if one.where == read.where), None)
    return None


def _cut_already(steps: tuple[Step, ...], done: Iterable[int]) -> set[str]:
    """Pieces with a line that was cut; an outer line of several pieces counts for all that this part frees."""
    found: set[str] = set()
    for number in done:
        step = steps[number]
        cuts = [line for line in step.lines if line.kind == "cut" and line.when == "now"]
        if not step.is_fact or not cuts:
            continue
        found |= {line.piece for line in cuts if line.piece} | {one.piece for one in (*step.frees, *step.handles)}
        if any(line.piece is None for line in cuts):
            same = [each for each in steps if (each.cloth, each.bundle, each.part) == (step.cloth, step.bundle, step.part)]
            found |= {one.piece for each in same for one in each.frees}
    return found


def _changed(before: Garment, after: Garment) -> set[str]:
    rings = {piece.name: piece for piece in before.pieces}
    return {piece.name for piece in after.pieces if _differs(rings[piece.name], piece)}


def _differs(one: Piece, other: Piece) -> bool:
    if len(one.cut_line) != len(other.cut_line):
        return True
    return any(abs(a - b) > SAME_MM for p, q in zip(one.cut_line, other.cut_line, strict=True) for a, b in zip(p, q, strict=True))


def _order_of(steps: tuple[Step, ...]) -> list[tuple[object, ...]]:
    """How the steps follow one another, but for what is cut again at the end."""
    return [(step.op, step.cloth, step.bundle, step.part, step.is_fact, step.frees, step.handles) for step in steps if not step.is_again]


def _solved(order: Order, lay: Lay, read: TapeRead, wanted_mm: float, line: str, was: Mapping[str, float]) -> dict[str, float]:
    """How far the line moves so that the tape reads `wanted_mm` between the sewing lines: straight steps, two drafts mostly.

    Raises NotByTape when no allowed move reaches it, and what the draft refuses.
    """

    def reads(by: float) -> float | None:
        garment = garment_of(with_changes(order, {**was, line: by}))
        return _sewn_mm(garment, with_pieces(lay, garment), read)

    by = was.get(line, 0.0)
    now, slope = reads(by), 1.0
    for _ in range(MOST_STEPS):
        if now is None or abs(wanted_mm - now) <= REACHED_MM:
            break
        step = (wanted_mm - now) / slope
        if abs(by + step) > MOST_MM:
            raise NotByTape(
                f"{read.piece} is not made to read that here.",
                f"The {LINES[line].partition(':')[0]} would move by {abs(by + step):.0f} mm; {MOST_MM:.0f} mm is the most.",
                "Measure again, change her card, and lay the dress again.",
            )
        after = reads(by + step)
        slope = (after - now) / step if after is not None and abs(after - now) > 0.2 * abs(step) else slope
        by, now = by + step, after
    if now is None or abs(wanted_mm - now) > REACHED_MM:
        raise NotByTape(f"{read.piece} is not made to read that here.", "Moving its line does not reach it.", "Change her measures.")
    return {**was, line: by}


def retape(
    order: Order, lay: Lay, steps: tuple[Step, ...], done: Iterable[int], read: TapeRead, wanted_mm: float,
    was: Mapping[str, float], light: Light, lay_anew: Callable[[Order, Garment], Lay],
) -> Retaped:  # fmt: skip
    """The order after one number of a tape check was changed. `wanted_mm`: between the sewing lines; `was`: changes made before.

    Raises NotByTape, and what draft and lay refuse; then nothing is changed.
    """
    if any(step.is_again for step in steps):
        raise NotByTape(
            "This number is not changed at the table any more.",
            "The dress was changed in mid-cut, and pieces of it are cut again.",
            "Change her measure or the style on the phone, and open the order again.",
        )
    before = garment_of(with_changes(order, was))
    line = line_of_tape(before.piece(read.piece), read.where)
    if line is None:
        raise NotByTape(
            f"This number of {read.piece} is not changed here.",
            "No seam of its own stands behind it: the pieces beside it would not meet.",
            "Change her measure on her card, or the style, and lay again.",
        )
    lays = {lay.cloth.name: lay, **lay.others}
    changes = _solved(order, lays[before.piece(read.piece).cloth], read, wanted_mm, line, was)
    changed_order = with_changes(order, changes)
    garment = garment_of(changed_order)
    is_cut = _cut_already(steps, done)
    spoiled = is_cut & _changed(before, garment)
    if spoiled:
        raise NotByTape(
            "This number cannot change any more.",
            f"{', '.join(sorted(spoiled))} would change with it and is already cut.",
            "Sew it as it is cut, and pin the rest at the fitting.",
        )
    again, faults = _laid(order, lays, garment, light, is_cut)
    if faults and is_cut:
        raise NotByTape("There is no room for that on the cloth.", f"{faults[0]}.", "Less, or lay what is not cut on fresh cloth.")
    if faults:
        again = lay_anew(changed_order, garment)
    made = steps_for(changed_order, garment, again)
    is_same_way = _order_of(made) == _order_of(steps)
    if is_cut and not is_same_way:
        raise NotByTape("That would change the order of the cuts.", "Something is cut already.", "Less, or pin it at the fitting.")
    return Retaped(garment, again, made, changes, is_same_way)


def carry(old: Garment, lay: Lay, steps: Sequence[Step], done: Collection[int], garment: Garment, unit: Unit) -> tuple[Garment, Lay]:
    """Dress and lay in which a changed order goes on after the steps done (numbers from 0) of the old one.

    A piece cut already that the change makes smaller keeps its old outline in the lay and is cut again in hand. Raises Refused with
    the amount missing where the cloth already cut does not allow the change.
    """
    refuse_what_is_missing(missing_cloth(old, lay, steps, done, garment), unit)
    gone = sorted({piece.name for piece in old.pieces} ^ {piece.name for piece in garment.pieces})
    if gone:
        raise Refused(
            "The changed order has other pieces.", f"{', '.join(gone[:6])}: in one of the two only.", "Lay it again on fresh cloth."
        )
    carried, lay = changed_in_cut(old, lay, steps, done, garment)
    laid, faults = all_with_pieces(lay, carried)
    if faults:
        laid, faults = pushed_apart(laid, old, lay, steps, done)
    if faults:
        raise Refused("There is no room for that change on the cloth.", f"{faults[0]}.", "Change less, or cut those pieces from new cloth.")
    return carried, laid


def carried_on(
    order: Order, old: Garment, lay: Lay, steps: tuple[Step, ...], done: Collection[int], garment: Garment
) -> tuple[Garment, Lay, tuple[Step, ...]]:
    """Dress, lay and steps of an order changed in mid-cut; step by step the old ones, so that what is done stays done, and at the
    end what is cut again in hand. Raises as `carry`."""
    dress, laid = carry(old, lay, steps, done, garment, order.client.shown)
    made = steps_for(order, dress, laid)
    if _order_of(made) != _order_of(steps):
        raise Refused(
            "The changed dress is cut in another order.",
            "Its outlines cross one another elsewhere than those that were cut.",
            "Change less, or lay what is not cut on fresh cloth.",
        )
    return dress, laid, made


def _laid(order: Order, lays: Mapping[str, Lay], garment: Garment, light: Light, is_cut: set[str]) -> tuple[Lay, list[str]]:
    """Every cloth's lay with the changed pieces; what is wrong with any."""
    made, faults = {}, []
    for name, lay in lays.items():
        cloth = cloth_named(order.cloths, name)
        made[name], wrong = laid_again(lay, garment, cloth, light, is_cut)
        faults += wrong
    top, *rest = lays
    return replace(made[top], others={name: made[name] for name in rest}), faults
