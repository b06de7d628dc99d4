"""What her hand changes, on the warm worker: a number of a tape check, the lay moved by hand. Plain and frozen data in and out."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from calibration.errors import WrongInput
from calibration.keep import ABSENT, read_kept
from calibration.made import made_by
from calibration.table import Table
from calibration.units import signed_mm
from calibration.yaml_reader import plain, read_yaml
from projector.book import book as kept_book
from projector.book.orders import Order, is_file_name, load_order
from projector.book.places import book_folder, configs_folder
from projector.desk.tasks import Prepared, keep_lay, prepared
from projector.garment.pieces import Garment
from projector.lay.cloth import Budget, Light
from projector.lay.lay import Lay
from projector.lay_jobs import search_tools
from projector.making import garment_of, lay_of, steps_for
from projector.paper.card_html import card_html
from projector.paper_jobs import card_head
from projector.retape import retape as retaped
from projector.retape import with_changes
from projector.scene.view import lay_light
from projector.steps.step import Step, TapeRead
from projector.steps.words import LANGUAGES

TRIALS = 300
"""When there is no room where the pieces lie: a lay made anew, in seconds."""


@dataclass(frozen=True, slots=True)
class TapedAnew:
    """The order after a number was changed. `is_same_way`: the steps follow one another as before."""

    prepared: Prepared
    changes: Mapping[str, float]
    is_same_way: bool


def retape(
    order: str, book: Path | None, kept: Path | None, table: Table | None, lay: Lay, steps: tuple[Step, ...], done: tuple[int, ...],
    read: TapeRead, wanted_mm: float, was: Mapping[str, float],
) -> TapedAnew:  # fmt: skip
    """One number of a tape check changed; order and lay are kept where `kept` says that anything is.

    `was`: lines moved before, of an order that is not kept. Raises NotByTape and what the stages refuse.
    """
    ordered = load_order(order, book)
    before = {line: signed_mm(text, ordered.client.card.unit) for line, text in ordered.card.changes.items()} if kept else dict(was)
    light = lay_light(table) if table else Light()

    def lay_anew(changed: Order, garment: Garment) -> Lay:
        return lay_of(changed, garment, lay.plan, Budget(TRIALS, 1), search_tools(), light)

    made = retaped(ordered, lay, steps, done, read, wanted_mm, before, light, lay_anew)
    changed = with_changes(ordered, made.changes)
    if kept is not None:
        _keep_changes(order, book, changed)
        keep_lay(kept, made.lay, made.garment, ordered.cloths)
    return TapedAnew(prepared(changed, made.garment, made.lay, made.steps), made.changes, made.is_same_way)


def _keep_changes(order: str, book: Path | None, changed: Order) -> None:
    """The order's card in the book with its lines; of a sample a copy. Raises WrongInput for an order that is a file outside."""
    if is_file_name(order):
        raise WrongInput("This order is a file.", "Only orders in the book are changed.", "python -m projector book add FILE.yaml")
    folder = book_folder(book)
    own = folder / "orders" / f"{order}.yaml"
    seen = read_kept(own).fingerprint if own.is_file() else ABSENT
    data = dict(plain(read_yaml(own if own.is_file() else configs_folder() / "orders" / f"{order}.yaml").data))
    data.pop("sample", None)
    kept_book.put(folder, "orders", {**data, "name": data.get("name") or order, "changes": dict(changed.card.changes)}, seen)


def card(order: str, book: Path, lay: Lay | None, reached: str) -> str:
    """The chalk card as one HTML file; `reached`: the step she stands at."""
    ordered = load_order(order, book)
    made = made_by(f"card {ordered.name}")
    return card_html(garment_of(ordered), card_head(ordered, made.words, lay, reached))


def said(
    order: str, book: Path, lay: Lay, changes: Mapping[str, float], language: str, steps: tuple[Step, ...]
) -> list[tuple[str, str, tuple[str, ...]]]:
    """Title, sentence and needs of these steps in another language; [] when they are not this order's any more."""
    ordered = load_order(order, book)
    ordered = with_changes(ordered, changes) if changes else ordered
    try:
        told = steps_for(ordered, garment_of(ordered), lay, LANGUAGES[language])
    except ValueError:  # this lay is of another draft: her card was changed since, by a fitting say
        return []
    is_same = [(step.op, step.part, step.frees) for step in told] == [(step.op, step.part, step.frees) for step in steps]
    return [(step.title, step.say, step.needs) for step in told] if is_same else []
