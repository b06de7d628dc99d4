"""Fittings as typed on a client's card, as lines of the draft in mm: this figure always, this dress only, or the body changed."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from calibration.errors import WrongInput
from calibration.units import Unit, length_text, signed_mm
from projector.book.cards import Fitting
from projector.book.orders import Client
from projector.draft.adjust import LINES

NOTHING: Mapping[str, str] = {}


@dataclass(frozen=True, slots=True)
class Pinned:
    """What the next draft of one dress takes over. Amounts in mm by line; `said`: what was read, for the maker."""

    both: Mapping[str, float] = field(default_factory=dict)
    left: Mapping[str, float] = field(default_factory=dict)
    right: Mapping[str, float] = field(default_factory=dict)
    said: tuple[str, ...] = ()


def _is_for(fitting: Fitting, order: str) -> bool:
    return fitting.kind == "figure" or (fitting.kind == "dress" and fitting.order == order)


def _add(total: dict[str, float], typed: Mapping[str, str], unit: Unit | None, where: str) -> None:
    for line, text in typed.items():
        try:
            total[line] = total.get(line, 0.0) + signed_mm(text, unit)
        except WrongInput as wrong:
            raise wrong.at(where) from wrong


def pinned(client: Client, order: str, at_the_table: Mapping[str, str] = NOTHING) -> Pinned:
    """All fittings that count for this order, added up, and the lines moved for it at its tape checks.

    Raises WrongInput for an amount that cannot be read.
    """
    both: dict[str, float] = {}
    left: dict[str, float] = {}
    right: dict[str, float] = {}
    said = []
    for fitting in client.card.fittings:
        where = f"{client.name}, fitting {fitting.day}".rstrip()
        if fitting.kind == "body":
            said.append(f"{where}: the body changed; the card's own measures are used.")
        elif _is_for(fitting, order):
            for total, typed in ((both, fitting.changes), (left, fitting.left), (right, fitting.right)):
                _add(total, typed, client.card.unit, where)
    said += [_said(line, side, mm, client.shown, "from the fitting")
             for side, total in (("", both), (", left", left), (", right", right)) for line, mm in total.items() if mm]  # fmt: skip
    moved: dict[str, float] = {}
    _add(moved, at_the_table, client.card.unit, "changed at the table")
    said += [_said(line, "", mm, client.shown, "changed at the table") for line, mm in moved.items()]
    both = {line: both.get(line, 0.0) + moved.get(line, 0.0) for line in (*both, *(line for line in moved if line not in both))}
    return Pinned(both, left, right, tuple(said))


_WAYS = {"out": "let out by", "in": "taken in by"}


def _said(line: str, side: str, mm: float, unit: Unit, where: str) -> str:
    """`side seam at the hip, front and back each, left: let out by 1/8 in, from the fitting.`"""
    words, _, ways = LINES.get(line, f"{line}: more or less").rpartition(": ")
    more, _, less = ways.partition(" or ")
    way = more if mm > 0 else less
    return f"{words}{side}: {_WAYS.get(way, f'{way} by')} {length_text(abs(mm), unit)}, {where}."
