"""`python -m projector book`: clients, orders, styles and cloths that are kept."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from projector.book.book import Entry
    from projector.book.packed import Moved

ACTIONS = ("list", "show", "add", "copy", "find", "export", "import", "forget")


def book(
    action: Annotated[
        str, typer.Argument(help="list [KIND] | show NAME | add FILE… | copy NAME NEW | find WORDS | export ZIP | import ZIP | forget NAME")
    ],
    words: Annotated[list[str] | None, typer.Argument(help="what it takes; `add sample` takes in the sample of that name")] = None,
    book: Annotated[Path | None, typer.Option("--book", help="the book's folder; else PROJECTOR_BOOK, else your data folder")] = None,
    replace: Annotated[bool, typer.Option("--replace", help="import: the zip's card also where the one here is newer")] = False,
    json: Annotated[bool, typer.Option("--json", help="one JSON object on stdout")] = False,
) -> None:
    """What is kept: list, show, add or replace, copy, find, export and import as one zip, forget."""
    from calibration.command_line import print_json, print_note
    from calibration.errors import WrongInput
    from calibration.names import unknown_name
    from projector.book import book as kept
    from projector.book.packed import export, import_from
    from projector.book.places import book_folder

    if action not in ACTIONS:
        raise unknown_name(action, ACTIONS, "book", "what to do")
    folder, given = book_folder(book), words or []
    _refuse_wrong_count(action, given)
    if replace and action != "import":
        raise WrongInput(f"book {action} takes no --replace.", "It belongs to `book import` alone.", "Leave it out.")
    if action == "show":
        text = kept.show(folder, given[0])
        print_json({"text": text}) if json else print(text, end="")
    elif action == "forget":
        _forget(folder, given[0], json)
    elif action == "export":
        _tell_exported(export(folder, Path(given[0])), Path(given[0]), json)
    elif action == "import":
        _tell_moved(import_from(folder, Path(given[0]), replace=replace), json)
    else:
        _tell_entries(action, _entries(action, folder, given), json)
        if action == "find" and (shut := kept.closed(folder)):
            print_note(f"Not looked into, because they cannot be opened: {', '.join(f'{each.kind}/{each.name}' for each in shut)}.")


def _entries(action: str, folder: Path, given: list[str]) -> "list[Entry]":
    from calibration.names import unknown_name
    from projector.book import book as kept

    if action == "add":
        files = [kept.file_or_sample(each) for each in given]  # all found before the first is kept
        return [kept.add(folder, file) for file in files]
    if action == "copy":
        return [kept.copy(folder, given[0], given[1])]
    if action == "find":
        return kept.find(folder, " ".join(given))
    if given and given[0] not in kept.KINDS:
        raise unknown_name(given[0], kept.KINDS, "book list", "the kind")
    return kept.entries(folder, given[0] if given else None)


def _tell_entries(action: str, found: "list[Entry]", as_json: bool) -> None:
    from calibration.command_line import print_json, print_note
    from projector.book.book import mark_of

    if as_json:
        print_json({"entries": [{"kind": each.kind, "name": each.name} for each in found]})
        return
    for each in found:
        print(f"{each.kind}/{each.name}{mark_of(each) if action == 'list' else ''}")
    if not found:
        print_note("Nothing. `book add sample` takes the sample order in." if action == "list" else "Nothing.")


def _forget(folder: Path, given: str, as_json: bool) -> None:
    """Forget, say what was removed, and where the name still stands."""
    from calibration.command_line import print_json, print_note
    from projector.book.book import named
    from projector.book.forget import forget, still_named

    name = named(folder, given).name
    real = folder.resolve()  # links of its path and of its cards were followed
    removed = [str(file.relative_to(real) if file.is_relative_to(real) else file) for file in forget(real, given)]
    left = still_named(folder, name)
    print_json({"removed": removed, "left": left}) if as_json else print("removed: " + ", ".join(removed))
    if left:
        print_note(f"{name!r} still stands in {', '.join(left)}. Take the name out there, or forget them too.")


def _tell_exported(moved: "Moved", file: Path, as_json: bool) -> None:
    """Raises Refused when a card is not in the zip: whoever relies on it has to know."""
    from calibration.errors import Refused

    if not (moved.left_out and as_json):
        _tell_moved(moved, as_json)
    if moved.left_out:
        raise Refused(
            f"{file.name} is not the whole book.", f"It lacks {len(moved.left_out)} of its cards: {', '.join(moved.left_out)}.",
            "Mend them, or remove them with `book forget`, then export again.",
        )  # fmt: skip


def _tell_moved(moved: "Moved", as_json: bool) -> None:
    """What went into a zip or came out of one."""
    from calibration.command_line import print_json, print_note

    if as_json:
        names = [{"kind": each.kind, "name": each.name} for each in moved.entries]
        print_json({"entries": names, "others": moved.others, "notes": moved.notes})
        return
    for place in moved.places:
        print(place)
    for note in moved.notes or ([] if moved.places else ["Nothing: it is empty."]):
        print_note(note)


def _refuse_wrong_count(action: str, given: list[str]) -> None:
    from calibration.errors import WrongInput

    least, most = {"list": (0, 1), "copy": (2, 2), "add": (1, 999), "find": (1, 99)}.get(action, (1, 1))
    if not least <= len(given) <= most:
        takes = {"list": "a kind or nothing", "copy": "a name and the new name", "add": "files", "find": "words"}.get(action, "one name")
        next_step = "Put a name of several words in quotes." if len(given) > most else "See book --help."
        raise WrongInput(f"book {action} takes {takes}.", f"{len(given) or 'None'} were given.", next_step)
