"""Papers of an order that is on the table: its own lay and the step reached, not another lay beside the cloth that was cut."""

import json
from dataclasses import asdict, replace
from functools import lru_cache
from pathlib import Path

import pytest

from calibration.command_line import run_app
from projector.book import book as kept
from projector.book.orders import load_order
from projector.book.places import configs_folder, journal_file
from projector.commands.app import app
from projector.desk.journal import fingerprint, stood_of
from projector.desk.lies import as_it_lies
from projector.desk.tasks import keep_lay
from projector.lay.cloth import Budget
from projector.making import Made, make
from projector.paper.figure import as_svg
from projector.paper.lay_figure import lay_figure
from projector.session.snapshot import Snapshot


@lru_cache
def made() -> Made:
    """A quick lay: nobody who searches longer gets this one."""
    return make(load_order("tomasina_plain"), budget=Budget(1, 1))


def on_the_table(book: Path, done: tuple[int, ...], step: int) -> Path:
    """The order in the book, its lay and where it stands."""
    for kind, name in (("clients", "tomasina"), ("orders", "tomasina_plain")):
        kept.add(book, configs_folder() / kind / f"{name}.yaml")
    journal = journal_file("tomasina_plain", book)
    read = load_order("tomasina_plain", book)
    keep_lay(journal.with_suffix(".lay.json"), made().lay, made().garment, read.cloths)
    stood = asdict(replace(stood_of(Snapshot()), step=step, done=done))
    journal.write_text(json.dumps({"format": 1, "at": "", "command": "done", "steps": fingerprint(made().steps), "stood": stood}) + "\n")
    return journal


def test_paper_tells_the_lay_that_is_on_the_table_and_the_step(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book, out = tmp_path / "book", tmp_path / "out"
    on_the_table(book, (0, 1, 2), 3)
    before = {file: file.read_bytes() for file in book.rglob("*") if file.is_file()}
    assert run_app(app, ["paper", "tomasina_plain", "--card", "--lay", "--out", str(out), "--book", str(book)]) == 0
    assert "as it lies on the table" in capsys.readouterr().err
    title = made().order.client.name
    assert (out / "lay.svg").read_text() == as_svg(lay_figure(made().lay), f"{title}: how the pieces lie")
    assert f"Step reached: 4 of {len(made().steps)}: {made().steps[3].title}" in (out / "card.html").read_text()
    assert {file: file.read_bytes() for file in book.rglob("*") if file.is_file()} == before, "paper writes nothing into the book"


def test_a_fold_that_is_asked_for_is_laid_anew(tmp_path: Path) -> None:
    book, out = tmp_path / "book", tmp_path / "out"
    on_the_table(book, (0,), 1)
    asked = ["paper", "tomasina_plain", "--lay", "--fold", "lengthwise", "--trials", "2", "--out", str(out), "--book", str(book)]
    assert run_app(app, asked) == 0
    assert (out / "lay.svg").read_text() != as_svg(lay_figure(made().lay), f"{made().order.client.name}: how the pieces lie")


def test_an_order_changed_since_is_told(tmp_path: Path) -> None:
    book = tmp_path / "book"
    journal = on_the_table(book, (0, 1), 2)
    order = load_order("tomasina_plain", book)
    changed = as_it_lies(replace(order, style=replace(order.style, neck_drop_mm=40.0)), journal)
    assert changed.made is None
    assert "was changed since its cloth was laid" in changed.note
    assert as_it_lies(order, tmp_path / "no.jsonl").note == ""


def test_a_journal_of_other_steps_tells_no_step(tmp_path: Path) -> None:
    book = tmp_path / "book"
    journal = on_the_table(book, (), 1)
    journal.write_text(journal.read_text().replace(fingerprint(made().steps), "0" * 16))
    lies = as_it_lies(load_order("tomasina_plain", book), journal)
    assert lies.made is not None
    assert lies.reached == ""
