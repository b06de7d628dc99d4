"""What the order of a lay asks beside the lay: several dresses in one cloth, a motif, bias strips, cloth needed in words."""

from collections.abc import Sequence
from dataclasses import replace

from calibration.errors import WrongInput
from calibration.units import length_text
from projector.book.cards import MotifCard
from projector.book.orders import Order
from projector.lay.blocks import WAYS, By
from projector.lay.cloth import Budget, Cloth
from projector.lay.errors import ClothTooSmall
from projector.lay.lay import Lay
from projector.lay.needs import need_of
from projector.lay.stage import Ask, cloth_named, lay_out
from projector.lay.task import Tools
from projector.lay.together import Saving, tagged, together
from projector.lay_jobs import motif_on
from projector.making import bound, garment_of, lay_of, plan_from

APART_SHARE = 4
"""Each dress by itself is laid with this part of the trials: only its length is wanted."""


def with_motif(order: Order, typed: str) -> Order:
    """The order with its motif as typed: `skirt front, hip, 2 in`. Raises WrongInput."""
    words = [word.strip() for word in typed.split(",")]
    if not 2 <= len(words) <= 3:
        raise WrongInput(
            f"{typed!r} is no place for a motif.", "PIECE, LEVEL and how much LOWER are wanted.", "Write 'skirt front, hip, 2 in'."
        )
    piece, level, lower = (*words, "0")[:3]
    return replace(order, card=replace(order.card, motif=MotifCard(piece, level, lower)))


def as_asked(order: Order, motif: str | None, binding: str | None) -> Order:
    """The order with a motif and a binding as typed on the command line, where they are. Raises WrongInput."""
    told = order if motif is None else with_motif(order, motif)
    return told if binding is None else replace(told, card=replace(told.card, binding=binding))


def by_from(typed: str | None) -> By | None:
    """How several dresses lie, as typed. Raises WrongInput."""
    if typed is None:
        return None
    for by in WAYS:
        if by == typed:
            return by
    raise WrongInput(f"{typed!r} is no way to lay several dresses.", f"There are {' and '.join(WAYS)}.", "Leave it out.")


def shared_cloths(orders: Sequence[Order], is_pooled: bool) -> dict[str, Cloth]:
    """The first order's cloths; one it does not name is the next order's that does. is_pooled: of linings, interfacings and the like
    every order's lengths of the very same cloth count; the main cloth is the first order's alone."""
    cloths: dict[str, Cloth] = {}
    for order in orders:
        for name, cloth in order.cloths.items():
            had = cloths.setdefault(name, cloth)
            is_same = had is not cloth and replace(had, lengths_mm=()) == replace(cloth, lengths_mm=()) and not had.flaws
            if is_pooled and name != "main" and is_same and had.lengths_mm and cloth.lengths_mm:
                cloths[name] = replace(had, lengths_mm=(*had.lengths_mm, *cloth.lengths_mm))
    return cloths


def lay_together(orders: Sequence[Order], fold: str | None, budget: Budget, tools: Tools, by: By | None = None) -> tuple[Lay, Order, str]:
    """All orders' pieces in the first order's cloths, each piece named by its person; the first order with the cloths they were laid
    on; and what that saves in words. by: person after person or part after part, None: mixed, the least cloth. Where its lining or
    interfacing in hand is too little, the other orders' lengths of it count too.

    Raises WrongInput for two persons of one name, else as `lay_of`.
    """
    names = [order.client.name for order in orders]
    if len(set(names)) < len(names):
        names = [order.name for order in orders]
    if len(set(names)) < len(names):
        raise WrongInput("Two dresses carry one name.", f"There are {', '.join(names)}.", "Give the orders their own names.")
    if any(order.card.binding for order in orders[1:]):
        raise WrongInput(
            "Bias strips of several dresses in one cloth.", "They are cut together, of one width.", "Write their sum on the first order."
        )
    garments = {name: garment_of(order) for name, order in zip(names, orders, strict=True)}
    group, card = together(garments), orders[0].card.motif
    motif = None
    if card is not None:
        piece = card.piece if ":" in card.piece else tagged(names[0], card.piece)
        motif = motif_on(group, piece, card.level, card.lower, orders[0].typed_unit, card.at)
    ask = Ask(plan_from(fold), budget, motif=motif, by=by)
    cloths = shared_cloths(orders, is_pooled=False)
    try:
        lay = lay_out(group, cloths, ask, tools)
    except ClothTooSmall:
        if cloths == (pooled := shared_cloths(orders, is_pooled=True)):
            raise
        cloths, lay = pooled, lay_out(group, pooled, ask, tools)
    first = replace(orders[0], cloths=cloths)
    whole = bound(first, group, lay, ask.light)
    few = replace(budget, trials=max(1, min(budget.trials, 2000) // APART_SHARE))
    bare = {name: replace(cloth, lengths_mm=()) for name, cloth in cloths.items()}
    apart = 0.0
    for order, garment in zip(orders, garments.values(), strict=True):
        alone = replace(order, cloths=bare, card=replace(order.card, motif=None, binding=""))
        apart += lay_of(alone, garment, whole.plan, few, replace(tools, tell=lambda name, used, trials: None)).cloth_needed_mm
    return whole, first, f"{len(orders)} dresses in one cloth: {Saving(whole.cloth_needed_mm, apart).words} of {whole.cloth.name}."


def needs_told(lay: Lay, order: Order) -> list[str]:
    """One sentence a cloth: metres, yards to the eighth, cost, and the largest clean rectangle left."""
    unit, lines = order.client.shown, []
    for one in lay.lays:
        need = need_of(one, cloth_named(order.cloths, one.cloth.name))
        left = [length_text(length, unit) for length in need.left_mm if length >= 1.0]
        beside = f"; left uncut {', '.join(left)}" if left else ""
        if need.rest is not None:
            sides = f"{length_text(need.rest.x1 - need.rest.x0, unit)} by {length_text(need.rest.y1 - need.rest.y0, unit)}"
            layers = f", {need.rest.plies} layers" if need.rest.plies > 1 else ""
            beside += f"; largest clean piece {sides}{layers}"
        lines.append(f"{one.cloth.name}: {need.words}{beside}.")
    return lines


def binding_told(lay: Lay, order: Order) -> list[str]:
    """How many bias strips, where they lie and how long they are joined, in words; [] when none were asked for."""
    told, unit = lay.binding, order.client.shown
    if told is None:
        return []
    where = f"{length_text(told.extra_mm, unit)} more of {lay.cloth.name}, laid open" if told.extra_mm else "in what the lay leaves"
    count = f"{len(told.strips)} strip" + ("s" if len(told.strips) > 1 else "")
    wide, long = length_text(told.width_mm, unit), length_text(told.length_mm, unit)
    return [f"Binding: {count} {wide} wide at 45 degrees on one open layer, joined {long} long; {where}."]
