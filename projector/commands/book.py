"""`python -m projector book`: clients, orders, styles and cloths that are kept."""

from pathlib import Path
from typing import Annotated

import typer

ACTIONS = ("list", "show", "add", "copy", "find", "export", "import", "forget")


def book(
    action: Annotated[
        str, typer.Argument(help="list [KIND] | show NAME | add FILE… | copy NAME NEW | find WORDS | export ZIP | import ZIP | forget NAME")
    ],
    words: Annotated[list[str] | None, typer.Argument(help="what it takes")] = None,
    book: Annotated[Path | None, typer.Option("--book", help="the book's folder; else PROJECTOR_BOOK, else your data folder")] = None,
    json: Annotated[bool, typer.Option("--json", help="one JSON object on stdout")] = False,
) -> None:
    """What is kept: list, show, add or replace, copy, find, export and import as one zip, forget."""
    from calibration.command_line import print_json, print_note
    from calibration.names import unknown_name
    from projector.book import book as kept
    from projector.book.places import book_folder

    if action not in ACTIONS:
        raise unknown_name(action, ACTIONS, "book", "what to do")
    folder, given = book_folder(book), words or []
    _refuse_wrong_count(action, given)
    if action == "show":
        text = kept.show(folder, given[0])
        print_json({"text": text}) if json else print(text, end="")
        return
    if action == "forget":
        removed = [str(file.relative_to(folder)) for file in kept.forget(folder, given[0])]
        print_json({"removed": removed}) if json else print("removed: " + ", ".join(removed))
        return
    if action == "list" and given and given[0] not in kept.KINDS:
        raise unknown_name(given[0], kept.KINDS, "book list", "the kind")
    actions = {
        "list": lambda: kept.entries(folder, given[0] if given else None),
        "add": lambda: [kept.add(folder, Path(file)) for file in given],
        "copy": lambda: [kept.copy(folder, given[0], given[1])],
        "find": lambda: kept.find(folder, " ".join(given)),
        "export": lambda: kept.export(folder, Path(given[0])),
        "import": lambda: kept.import_from(folder, Path(given[0])),
    }
    found = actions[action]()
    if json:
        print_json({"entries": [{"kind": each.kind, "name": each.name} for each in found]})
    else:
        for each in found:
            print(f"{each.kind}/{each.name}")
        if not found:
            print_note("Nothing.")


def _refuse_wrong_count(action: str, given: list[str]) -> None:
    from calibration.errors import WrongInput

    wanted = {"list": (0, 1), "copy": (2, 2), "add": (1, 99), "find": (1, 99)}.get(action, (1, 1))
    if not wanted[0] <= len(given) <= wanted[1]:
        raise WrongInput(f"book {action} takes {wanted[0]} to {wanted[1]} words.", f"{len(given)} were given.", "See book --help.")
