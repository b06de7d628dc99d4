"""From an order to pieces, lay and steps: the one way every command, the desk and other programs go."""

from dataclasses import dataclass, replace

from calibration.names import unknown_name
from projector.book.fittings import pinned
from projector.book.orders import Order
from projector.garment.alter import alter
from projector.garment.figure import draft_measures
from projector.garment.own import garment_of_blocks
from projector.garment.pieces import Garment
from projector.lay.cloth import Budget, Light
from projector.lay.lay import PLANS, Lay, Plan
from projector.lay.print_place import Motif, where_printed
from projector.lay.stage import Ask, lay_out
from projector.lay.task import Tools
from projector.lay_jobs import motif_on, search_tools
from projector.steps.before import Printed
from projector.steps.make import make_steps
from projector.steps.step import Step
from projector.steps.words import EN, Words

DEFAULT_TRIALS = 1500
LAY_TRIALS = 2500
"""Where the lay itself is asked for: about ten seconds on an idle laptop."""


UNEVEN = "Left and right differ: both are cut by the wider side, then the other side is trimmed by its own line."


def garment_of(order: Order) -> Garment:
    """Draft the dress, or take her own blocks instead. Raises BodyRefused, DraftRefused."""
    if order.blocks:
        return garment_of_blocks(order.blocks, order.name)
    body = order.body()
    body.refuse_stops()
    fitting = pinned(order.client, order.name, order.card.changes)
    altered = alter(draft_measures(body), order.style, fitting.both, fitting.left, fitting.right)
    doubts = tuple(str(doubt) for doubt in body.doubts)
    uneven = () if altered.is_even else (UNEVEN,)
    return replace(altered.cut, order=order.name, warnings=(*doubts, *fitting.said, *uneven, *altered.cut.warnings))


def plan_from(fold: str | None) -> Plan | None:
    """The fold plan of that name; None: the recommended one. Raises WrongInput."""
    if fold is None:
        return None
    for plan in PLANS:
        if plan == fold.replace("-", "_"):
            return plan
    raise unknown_name(fold, PLANS, "--fold", "the fold")


def lay_of(order: Order, garment: Garment, fold: str | None, budget: Budget, tools: Tools, light: Light | None = None) -> Lay:
    """Fold and lay every cloth of the order, its motif where the order says. Raises ClothTooSmall, FoldRefused, WrongInput."""
    return lay_out(garment, order.cloths, Ask(plan_from(fold), budget, light or Light(), _motif_of(order, garment)), tools)


def _motif_of(order: Order, garment: Garment) -> Motif | None:
    card = order.card.motif
    return None if card is None else motif_on(garment, card.piece, card.level, card.lower, order.card.unit or order.client.shown, card.at)


def printed_on(order: Order, garment: Garment) -> Printed | None:
    """Where the order's motif sits and its row crosses each partner, and how far along its cloth it repeats; None: none is placed."""
    motif = _motif_of(order, garment)
    if motif is None:
        return None
    cloth = order.cloths.get(garment.piece(motif.piece).cloth)
    return Printed(where_printed(garment, motif), cloth.repeat_along_mm if cloth else 0.0)


def steps_for(order: Order, garment: Garment, lay: Lay, words: Words = EN) -> tuple[Step, ...]:
    """The order of cuts, the cross for the print where the order places its motif. Raises Refused where no order of cuts is found."""
    return make_steps(garment, lay, order.client.shown, words, printed=printed_on(order, garment))


@dataclass(frozen=True, slots=True)
class Made:
    """An order worked out to its last step."""

    order: Order
    garment: Garment
    lay: Lay
    steps: tuple[Step, ...]


def make(
    order: Order, *, fold: str | None = None, budget: Budget | None = None, tools: Tools | None = None, light: Light | None = None
) -> Made:
    """The whole way. Raises what its stages raise."""
    garment = garment_of(order)
    lay = lay_of(order, garment, fold, budget or Budget(DEFAULT_TRIALS, 1), tools or search_tools(), light)
    return Made(order, garment, lay, steps_for(order, garment, lay))
