"""Papers as a job: from an order to files' bytes, nothing written here."""

from collections.abc import Iterator, Sequence

from calibration.made import made_by
from calibration.units import Unit, cloth_text, length_text, signed_mm
from projector.body.kinds import BY_KEY
from projector.book.orders import Order
from projector.garment.pieces import Garment
from projector.lay.cloth import Budget, Cloth
from projector.lay.fold_drawing import fold_steps
from projector.lay.lay import Lay
from projector.lay.needs import cost_of, price_words, taken_mm
from projector.making import DEFAULT_TRIALS, Made, garment_of, make
from projector.paper.card_html import card_html
from projector.paper.card_pdf import card_pdf
from projector.paper.card_words import CardHead
from projector.paper.drawing import FIRST_CUT_WORDS, piece_words
from projector.paper.dxf import pieces_dxf
from projector.paper.figure import as_png, as_svg
from projector.paper.fold_figure import fold_figure
from projector.paper.lay_figure import lay_figure
from projector.paper.lay_pdf import lay_pdf
from projector.paper.sketch import sketch_of
from projector.paper.svg import pieces_svg
from projector.paper.ticket import Ticket, TicketMeasure, ticket_pdf
from projector.paper.true_size import tiled_pdf, whole_pdf
from projector.steps.words import EN

KINDS = ("ticket", "card", "pdf", "svg", "dxf", "lay")
NEEDS_LAY = {"ticket", "card", "lay"}


def fold_words(lay: Lay, unit: Unit) -> list[str]:
    """How each cloth is folded, amounts as her tape reads them: a line a cloth."""
    told = []
    for one in lay.lays:
        layers = max(len(region.ply) for region in one.regions)
        how = " ".join(step.words for step in fold_steps(one, unit=unit))
        more = f" Bias strips: {cloth_text(one.binding.extra_mm)} more, laid open." if one.binding and one.binding.extra_mm else ""
        told.append(f"{one.cloth.name}: {how} {layers} {'layers' if layers > 1 else 'layer'}, {cloth_text(one.cloth_needed_mm)}.{more}")
    return told


def cost_words(cloth: Cloth | None, taken_mm: float) -> str:
    """`about 14.20 €`; empty without a price, or for a cloth that the order does not name (laid on an assumed width)."""
    if cloth is None or not cloth.price:
        return ""
    return f"about {price_words(cost_of(cloth, taken_mm), cloth.currency)}"


def style_words(order: Order) -> str:
    """The choices that differ from the default: `no lining, neck drop 2 3/8 in`."""
    if order.blocks:
        return "her own paper blocks"
    return ", ".join(_choice_words(key, value, order.client.shown) for key, value in order.style_given.items()) or "the default style"


def _asked_words(order: Order) -> str:
    """What the order asks of its cloth: where the print sits, how much binding; empty: nothing."""
    told, motif = [], order.card.motif
    if motif is not None:
        lower = motif.lower.strip()
        by_mm = signed_mm(lower or "0", order.typed_unit)
        way = f", {lower.lstrip('+- ')} {'higher' if by_mm < 0.0 else 'lower'}" if by_mm else ""
        told.append(f"print on {motif.piece} at the {motif.level}{way}")
    told += [f"bias binding {order.card.binding}"] if order.card.binding else []
    return "; ".join(told)


def _choice_words(key: str, value: object, unit: Unit) -> str:
    named = key.removesuffix("_mm").replace("_", " ")
    if isinstance(value, bool):
        return named if value else f"no {named}"
    is_length = key.endswith("_mm") or key in ("inset", "length")
    if is_length and isinstance(value, int | float):
        return f"{named} {length_text(float(value), unit)}"
    return f"{named} {value}".replace("_", " ")


def card_head(order: Order, made: str, lay: Lay | None = None, reached: str = "") -> CardHead:
    """What stands above a chalk card."""
    folds = fold_words(lay, order.client.shown) if lay else ()
    return CardHead(order.client.name, order.name, order.client.shown, folds, reached, _marked(order, made))


def _marked(order: Order, made: str) -> str:
    """Day and version; a sample says that it is one."""
    return f"{made}, sample" if order.card.sample or order.client.card.sample else made


def ticket_of(made: Made, how: str) -> Ticket:
    """Everything the ticket shows."""
    order = made.order
    body = order.body()
    unused = () if order.style.is_off_shoulder else ("round_shoulders",)  # only that band is drafted by it
    used = {key: each for key, each in body.measures.items() if key not in unused}
    told = {BY_KEY[key].trade: each for key, each in used.items()}  # as the shop takes it and as it is drafted: one row
    rows = [TicketMeasure(words, each.mm, each.origin == "stand_in") for words, each in told.items()]
    lays = made.lay.lays
    costs = {one.cloth.name: cost_words(order.cloths.get(one.cloth.name), taken_mm(one)) for one in lays}
    return Ticket(
        client=order.client.name,
        order=order.name,
        unit=order.client.shown,
        made=_marked(order, how),
        style_words="; ".join(each for each in (style_words(order), _asked_words(order)) if each),
        measures=rows,
        garment=made.garment,
        lay=made.lay,
        steps=made.steps,
        sketch=sketch_of(made.garment),
        costs=costs,
        fold_words=fold_words(made.lay, order.client.shown),
        warnings=(*made.garment.warnings, *_first_words(made.garment)),
    )


def _first_words(garment: Garment) -> list[str]:
    """What is cut elsewhere than at its cut line until the fitting, pieces alike together."""
    told: dict[str, list[str]] = {}
    for piece in garment.pieces:
        for first in piece.first_cut:
            (_, words) = EN.text("first_waist" if "skirt" in piece.part else "first", edge=EN.piece(first.edge))
            told.setdefault(words.strip(), []).append(piece_words(piece))
    return [f"{', '.join(names)}: {words} Dotted on the pieces, “{FIRST_CUT_WORDS}” on the card." for words, names in told.items()]


def paper_files(order: Order, wanted: Sequence[str], sheet: str, trials: int | None, fold: str | None) -> Iterator[tuple[str, str | bytes]]:
    """(file name, content) of every paper asked for. Raises what drafting and laying raise."""
    whole: Made | None = None
    if NEEDS_LAY & set(wanted):
        whole = make(order, fold=fold, budget=Budget(trials or DEFAULT_TRIALS, 1))
    yield from papers_of(order, whole.garment if whole else garment_of(order), whole, wanted, sheet)


def papers_of(
    order: Order, garment: Garment, whole: Made | None, wanted: Sequence[str], sheet: str, reached: str = ""
) -> Iterator[tuple[str, str | bytes]]:
    """The same for an order already worked out; `whole` is needed for ticket, card and lay. `reached`: the step she stands at."""
    how = made_by(f"paper {order.name}").words
    unit, client = order.client.shown, order.client.name
    if whole and "ticket" in wanted:
        yield "ticket.pdf", ticket_pdf(ticket_of(whole, how), sheet)
    if whole and "card" in wanted:
        head = card_head(order, how, whole.lay, reached)
        yield "card.pdf", card_pdf(garment, head, sheet)
        yield "card.html", card_html(garment, head)
    if whole and "lay" in wanted:
        title, lies, folds = f"{client}: how the pieces lie", lay_figure(whole.lay), fold_figure(whole.lay, unit)
        yield "lay.svg", as_svg(lies, title)
        yield "lay.pdf", lay_pdf(whole.lay, title, unit)
        yield "lay.png", as_png(lies)
        yield "fold.svg", as_svg(folds, f"{client}: how to fold")
        yield "fold.png", as_png(folds)
    yield from _true_size(garment, wanted, unit, client)


def _true_size(garment: Garment, wanted: Sequence[str], unit: Unit, client: str) -> Iterator[tuple[str, str | bytes]]:
    if "pdf" in wanted:
        yield "pieces.pdf", whole_pdf(garment, unit, client)
        for name in ("a4", "letter"):
            yield f"pieces-{name}.pdf", tiled_pdf(garment, unit, client, name)
    if "svg" in wanted:
        yield "pieces.svg", pieces_svg(garment, unit, client)
    if "dxf" in wanted:
        yield "pieces.dxf", pieces_dxf(garment, unit, client)
