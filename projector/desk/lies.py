"""An order as it lies on the table, for paper: the lay kept beside its journal and the step reached. Nothing is written."""

from dataclasses import dataclass
from pathlib import Path

from projector.book.orders import Order
from projector.desk.journal import fingerprint
from projector.desk.parked import last_stood, stands_at
from projector.desk.tasks import kept_lay, made_for
from projector.making import Made, garment_of, steps_for


@dataclass(frozen=True, slots=True)
class Lies:
    """`made`: the order in the lay that is on the table, None: it is laid anew. `reached`: `12 of 69: Cut back`; `note`: what to tell."""

    made: Made | None = None
    reached: str = ""
    note: str = ""


def as_it_lies(order: Order, journal: Path) -> Lies:
    """The lay of these very pieces kept beside the journal. Raises WrongInput where that lay is damaged, and what drafting raises."""
    had = kept_lay(journal.with_suffix(".lay.json"))
    if had is None:
        return Lies()
    garment = garment_of(order)
    mark, done = stands_at(journal)
    if had.made_for != made_for(garment, order.cloths):
        note = f"{order.name} was changed since its cloth was laid: this paper lays it anew. `show {order.name}` goes on in the old lay."
        return Lies(note=note if done else "")
    dress = had.pieces if had.pieces is not None and had.pieces.is_cut_again else garment
    steps, stood = steps_for(order, dress, had.lay), last_stood(journal) if journal.is_file() else None
    is_same = stood is not None and mark in (had.mark, fingerprint(steps)) and stood["step"] < len(steps)
    number = stood["step"] if stood is not None and is_same else None
    reached = f"{number + 1} of {len(steps)}: {steps[number].title}" if number is not None else ""
    return Lies(Made(order, dress, had.lay, steps), reached, f"{order.name} as it lies on the table.")
