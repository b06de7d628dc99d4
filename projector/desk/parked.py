"""Orders put aside: whose journals stand in the book, and at which step."""

from pathlib import Path
from typing import Any

from calibration.errors import WrongInput
from calibration.keep import read_kept
from projector.book.orders import names_in
from projector.book.places import journal_file
from projector.desk.journal import line_or_none


def parked(book: Path) -> list[dict[str, Any]]:
    """`{name, step, done}` of every order in the book that was on a table, the latest touched first. `step` counts from 1."""
    found = []
    for name in names_in("orders", book):
        file = journal_file(name, book)
        if file.is_file() and (stood := last_stood(file)) is not None:
            found.append((file.stat().st_mtime, {"name": name, "step": stood["step"] + 1, "done": len(stood["done"])}))
    return [each for _, each in sorted(found, key=lambda pair: -pair[0])]


def stands_at(file: Path | None) -> tuple[str, tuple[int, ...]]:
    """A journal's mark of its steps, and what is done of them; empty where there is no journal."""
    line = _last_line(file) if file is not None and file.is_file() else None
    return (str(line["steps"]), tuple(line["stood"]["done"])) if line is not None else ("", ())


def last_stood(file: Path) -> dict[str, Any] | None:
    """Where a journal stands: its last whole line; None when there is none."""
    line = _last_line(file)
    return line["stood"] if line is not None else None


def _last_line(file: Path) -> dict[str, Any] | None:
    try:
        lines = read_kept(file).data.split(b"\n")
    except WrongInput:
        return None  # gone since it was listed
    return next((line for each in reversed(lines) if (line := line_or_none(each)) is not None), None)
