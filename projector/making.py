"""From an order to pieces, lay and steps: the one way every command, the desk and other programs go."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from calibration.errors import Refused, TableError
from calibration.names import unknown_name
from calibration.units import Unit
from projector.body.body import Body
from projector.body.said import said_in, told_in, warnings_in
from projector.book.fittings import Pinned, pinned
from projector.book.orders import Order, client_from
from projector.draft.style import Style
from projector.garment.alter import Altered, Cover, alter, covers
from projector.garment.build import build
from projector.garment.figure import draft_measures
from projector.garment.own import garment_of_blocks
from projector.garment.pieces import Garment
from projector.lay.bias import with_binding
from projector.lay.choose import CONVENIENT
from projector.lay.cloth import USUAL_LIGHT, Budget, Cloth, Light
from projector.lay.errors import FoldRefused
from projector.lay.lay import PLANS, Lay, Plan
from projector.lay.parts import fits
from projector.lay.print_place import Motif, side_crosses, where_printed
from projector.lay.refusals import PLAN_WORDS
from projector.lay.stage import Ask, cloth_named, lay_out
from projector.lay.task import Tools
from projector.lay_jobs import binding_from, motif_on, search_tools
from projector.steps.before import Printed
from projector.steps.make import make_steps
from projector.steps.step import Step
from projector.steps.words import EN, Words

DEFAULT_TRIALS = 1500
LAY_TRIALS = 5000
"""Where the lay itself is asked for: about ten seconds on an idle laptop. Open lays of twelve dresses: 1.272 of the bound, with
1500 trials 1.285."""


UNEVEN = "Left and right differ: both are cut by the wider side, then the other side is trimmed by its own line."


def garment_of(order: Order) -> Garment:
    """Draft the dress, or take her own blocks instead. Raises BodyRefused, DraftRefused."""
    if order.blocks:
        return altered_of(order).cut
    body, fitting = order.body(), _fitting_of(order)
    altered = _altered(order, body, fitting)
    doubts = tuple(str(doubt) for doubt in body.doubts)
    uneven = () if altered.is_even else (UNEVEN,)
    covered = (*_body_covered(order, altered.cut), *_fitting_covered(order, altered.cut))
    drafted = warnings_in(altered.cut.warnings, order.client.shown)
    return replace(altered.cut, order=order.name, warnings=(*doubts, *fitting.said, *covered, *uneven, *drafted))


def altered_of(order: Order) -> Altered:
    """The dress with what her fittings pinned, left and right apart. Raises BodyRefused, DraftRefused, WrongInput in her unit."""
    if order.blocks:
        own = garment_of_blocks(order.blocks, order.name)
        return Altered(own, own, own, True)
    return _altered(order, order.body(), _fitting_of(order))


def _fitting_of(order: Order) -> Pinned:
    return pinned(order.client, order.name, order.card.changes)


def _altered(order: Order, body: Body, fitting: Pinned) -> Altered:
    body.refuse_stops()
    try:
        return alter(draft_measures(body), order.style, fitting.both, fitting.left, fitting.right)
    except TableError as cause:
        raise told_in(cause, order.client.shown) from cause


def _as_first(order: Order, fittings: int) -> Style:
    """The style as this dress was cut before its fitting: with a first dress's allowances when no other fitting is recorded."""
    return order.style if fittings or "fitted" in order.style_given else replace(order.style, fitted=False)


def _body_covered(order: Order, now: Garment) -> tuple[str, ...]:
    """The body changed: whether the cloth cut from the measures kept before covers the new lines."""
    card = order.client.card
    if not card.history or not any(fitting.kind == "body" for fitting in card.fittings):
        return ()
    earlier = card.history[-1]
    told = {"name": card.name, "measures": dict(earlier.measures), "lengths_from": earlier.lengths_from or card.lengths_from}
    unit = earlier.unit or card.unit
    was = replace(order, client=client_from(told if unit is None else {**told, "unit": unit}))
    try:
        before = build(draft_measures(was.body()), _as_first(order, len(card.fittings) - 1))
    except Refused as cause:
        return (f"What was cut from the measures of {earlier.day} cannot be compared: {said_in(cause.what, order.client.shown)}",)
    return (_cover_told(f"Cut from the measures of {earlier.day}", covers(before, now), now, order.client.shown),)


def _fitting_covered(order: Order, now: Garment) -> tuple[str, ...]:
    """Pinned at a fitting of this very dress: whether the cloth that was cut without those lines covers them."""
    card = order.client.card
    own = [fitting for fitting in card.fittings if fitting.kind != "body" and fitting.order == order.name]
    if not own:
        return ()
    day = f" of {own[0].day}" if own[0].day else ""
    rest = tuple(fitting for fitting in card.fittings if fitting not in own)
    client = replace(order.client, card=replace(card, fittings=rest))
    try:
        before = altered_of(replace(order, client=client, style=_as_first(order, len(rest)))).cut
    except TableError as cause:
        return (f"What was cut before the fitting{day} cannot be compared: {cause.what}",)
    return (_cover_told(f"Cut before the fitting{day}", covers(before, now), now, order.client.shown),)


def _cover_told(start: str, found: Sequence[Cover], now: Garment, unit: Unit) -> str:
    """Of the dress itself: facings and linings are soon cut anew."""
    found = [each for each in found if now.piece(each.piece).of == "main"]
    short = [each for each in found if not each.is_covered]
    if short:
        worst = min(short, key=lambda each: each.left_mm).says(unit)
        return f"{start}, {len(short)} of {len(found)} edges that moved run short; the worst is {worst}"
    if not found:
        return f"{start}, the dress needs no change: no edge moves."
    least = min(found, key=lambda each: each.left_mm).says(unit)
    return f"{start}, the cloth covers all {len(found)} edges that moved; the least is {least}"


def plan_from(fold: str | None) -> Plan | None:
    """The fold plan of that name; None: the recommended one. Raises WrongInput."""
    if fold is None:
        return None
    for plan in PLANS:
        if plan == fold.replace("-", "_"):
            return plan
    raise unknown_name(fold, PLANS, "--fold", "the fold")


def lay_of(order: Order, garment: Garment, fold: str | None, budget: Budget, tools: Tools, light: Light | None = None) -> Lay:
    """Fold and lay every cloth of the order, its motif where the order says, so that an order of cuts is found.

    Raises ClothTooSmall, FoldRefused (also where a piece is larger than the light and no order of cuts is found: it names a
    fold that goes), WrongInput, Refused when no fold goes.
    """
    light = light or USUAL_LIGHT
    laid = lay_to_cut(garment, order.cloths, Ask(plan_from(fold), budget, light, _motif_of(order, garment)), tools)
    return bound(order, garment, laid, light)


def bound(order: Order, garment: Garment, lay: Lay, light: Light) -> Lay:
    """The lay with the order's bias strips, in what it leaves or on cloth beyond it. Raises WrongInput, ClothTooSmall."""
    if not order.card.binding:
        return lay
    sizes = binding_from(order.card.binding, order.typed_unit)
    return with_binding(lay, cloth_named(order.cloths, lay.cloth.name), *sizes, light, {piece.name: piece for piece in garment.pieces})


def lay_to_cut(garment: Garment, cloths: Mapping[str, Cloth], ask: Ask, tools: Tools) -> Lay:
    """`lay_out`, and another fold where no order of cuts is found for its lay. Raises as `lay_of`."""
    lay = lay_out(garment, cloths, ask, tools)
    cause = _no_order_of_cuts(garment, lay)
    return lay if cause is None else _other_fold(garment, cloths, ask, tools, lay.plan, cause)


def _no_order_of_cuts(garment: Garment, lay: Lay) -> Refused | None:
    """Why this lay cannot be cut in any order; only asked where a piece is larger than the light, else one is always found."""
    if all(fits(placed, one.parts[placed.part]) for one in lay.lays for placed in one.placed):
        return None
    try:
        make_steps(garment, lay)
    except Refused as cause:
        return cause
    return None


def _other_fold(garment: Garment, cloths: Mapping[str, Cloth], ask: Ask, tools: Tools, plan: Plan, cause: Refused) -> Lay:
    """The first other fold that can be cut, told why; raised instead where one fold was asked for. None goes: the cause."""
    for other in (*CONVENIENT, *(each for each in PLANS if each not in CONVENIENT)):
        if other == plan:
            continue
        try:
            lay = lay_out(garment, cloths, replace(ask, plan=other), tools)
        except Refused:
            continue  # this fold does not go either; its own reason is told by the lay that is chosen
        if _no_order_of_cuts(garment, lay) is not None:
            continue
        if ask.plan is not None:
            next_step = f"Choose {other} ({PLAN_WORDS[other]}), or hang the lamp higher for a larger light."
            raise FoldRefused(f"Not {PLAN_WORDS[plan]}: {cause.what}", cause.why, next_step)
        return replace(lay, why=(*lay.why, f"{PLAN_WORDS[plan]}: no. {cause.what}"))
    raise cause


def _motif_of(order: Order, garment: Garment) -> Motif | None:
    card = order.card.motif
    return None if card is None else motif_on(garment, card.piece, card.level, card.lower, order.typed_unit, card.at)


def printed_on(order: Order, garment: Garment) -> Printed | None:
    """Where the order's motif sits and its row crosses each partner, the side seams' own places, and how far along its cloth it
    repeats; without a motif what a typed repeat keeps in step; None: neither was said."""
    motif = _motif_of(order, garment)
    repeated = [name for name, cloth in order.cloths.items() if cloth.repeat_along_mm or cloth.repeat_across_mm]
    name = garment.piece(motif.piece).cloth if motif else next(iter(repeated), None)
    if name is None:
        return None
    cloth = order.cloths.get(name)
    return Printed(where_printed(garment, name, motif), cloth.repeat_along_mm if cloth else 0.0, side_crosses(garment, name))


def steps_for(order: Order, garment: Garment, lay: Lay, words: Words = EN) -> tuple[Step, ...]:
    """The order of cuts, the order's first cloth first, the cross for the print where the order places its motif.

    Raises Refused where no order of cuts is found, WrongInput for a first cloth that the order does not have.
    """
    return make_steps(garment, lay, order.client.shown, words, order.card.first or None, printed_on(order, garment))


@dataclass(frozen=True, slots=True)
class Made:
    """An order worked out to its last step."""

    order: Order
    garment: Garment
    lay: Lay
    steps: tuple[Step, ...]


def make(order: Order, *, fold: str | None = None, budget: Budget | None = None, light: Light | None = None) -> Made:
    """The whole way. Raises what its stages raise."""
    garment = garment_of(order)
    lay = lay_of(order, garment, fold, budget or Budget(DEFAULT_TRIALS, 1), search_tools(), light)
    return Made(order, garment, lay, steps_for(order, garment, lay))
