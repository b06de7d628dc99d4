"""The book: one folder of YAML files, clients, orders, styles, cloths and paper blocks, kept whole by calibration.keep.

DIR/clients/NAME.yaml   DIR/orders/NAME.yaml   DIR/styles/NAME.yaml   DIR/cloths/NAME.yaml   DIR/blocks/NAME.yaml
DIR/groups/NAME.yaml
"""

import os
import re
from collections.abc import Mapping
from dataclasses import dataclass, fields
from datetime import date
from pathlib import Path
from typing import Any

from calibration.errors import Refused, WrongInput
from calibration.keep import ABSENT, VERSIONS_FOLDER, ChangedByAnother, keep, load_kept, read_kept, versions
from calibration.names import unknown_name
from calibration.records import record_from
from calibration.yaml_reader import Document, as_number, document_from, plain, read_card, read_yaml, text_from
from calibration.yaml_writer import with_comments, yaml_text
from projector.book.cards import OrderCard
from projector.book.orders import Client, client_from, composed, is_file_name, order_from
from projector.book.places import configs_folder
from projector.draft.style import Style, style_from_mapping
from projector.garment.own import Block
from projector.lay.cloth import ClothCard

KINDS = ("clients", "orders", "styles", "cloths", "blocks", "groups")
NAME = re.compile(r"[^\W_][\w .,'’()+-]{0,79}", re.UNICODE)
LONGEST_NAME_BYTES = 200
"""Of the 255 that file systems take, with room for the endings of versions."""
OTHERS_BETWEEN = 20
"""So often other programs may write a card between its reading and its keeping before theirs is left out of the history."""
DEVICES = {"con", "prn", "aux", "nul", *(f"{port}{number}" for port in ("com", "lpt") for number in range(1, 10))}
"""Names that Windows keeps for itself, with any ending (its rules for naming files)."""


class NameTaken(Refused):
    """A copy would replace something."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing in the book."""

    kind: str
    name: str
    file: Path


def clean_name(name: str) -> str:
    """A name as the book writes it: single spaces, accents in one way of writing them (NFC)."""
    return composed(" ".join(name.split()))


def checked_name(name: str) -> str:
    """The clean name, which is a file name everywhere. Raises WrongInput."""
    clean = clean_name(name)
    is_device = clean.partition(".")[0].strip().casefold() in DEVICES
    if not NAME.fullmatch(clean) or clean.endswith(".") or is_device or len(clean.encode()) > LONGEST_NAME_BYTES:
        raise WrongInput(
            f"{name!r} cannot be a name in the book.",
            "Windows keeps it for itself." if is_device else "Letters, figures, spaces and . , ' ( ) + - are taken, at most 80.",
            "Choose another.",
        )
    return clean


def entries(book: Path, kind: str | None = None) -> list[Entry]:
    """Everything in the book, by kind and name."""
    kinds = KINDS if kind is None else (kind,)
    files = [(each, file) for each in kinds for file in files_below(book / each, is_deep=False) if file.suffix == ".yaml"]
    return [Entry(each, composed(file.stem), file) for each, file in files]


def files_below(folder: Path, *, is_deep: bool = True) -> list[Path]:
    """What lies in a folder of the book, sorted, hidden things aside; none where there is no such folder. `is_deep`: in its folders too.

    Raises WrongInput where a folder may not be opened: what lies in it must not seem never to have been there.
    """

    def refuse(cause: OSError) -> None:
        if not isinstance(cause, FileNotFoundError):
            raise WrongInput(
                f"{cause.filename} cannot be opened.", f"{cause.strerror or cause}; its cards were not seen.",
                "Give it back to your own account, or name another folder with --book.",
            ) from cause  # fmt: skip

    found: list[Path] = []
    for place, folders, files in os.walk(folder, onerror=refuse):
        found += [Path(place, name) for name in ([*files] if is_deep else [*files, *folders]) if not name.startswith(".")]
        folders[:] = [each for each in folders if is_deep and not each.startswith(".")]
    return sorted(found)


def entry(book: Path, name: str, kind: str | None = None) -> Entry:
    """The entry of that name; `kind` where two kinds share it. Raises WrongInput with the nearest name."""
    found = [each for each in entries(book, kind) if each.name == composed(name)]
    if not found:
        raise unknown_name(name, [each.name for each in entries(book)] or ["nothing yet"], "book", "the name")
    if len(found) > 1:
        kinds = " and ".join(each.kind for each in found)
        raise WrongInput(f"{name!r} stands in {kinds}.", "One has to be meant.", f"Say which, for example {found[0].kind}/{name}.")
    return found[0]


def mark_of(each: Entry) -> str:
    """What a list says behind a name: a sample, or damaged; empty for all others."""
    try:
        data = read_card(each.file, lambda document: refuse_wrong(each.kind, document)).data
    except WrongInput:
        return "  (cannot be read)"
    return "  (sample)" if data.get("sample") is True else ""


def file_or_sample(given: str) -> Path:
    """A file as named; else the sample of that name, an order before others. Raises WrongInput."""
    if is_file_name(given) or Path(given).exists():
        return Path(given)
    for kind in ("orders", *KINDS):
        if (file := configs_folder() / kind / f"{given}.yaml").is_file():
            return file
    raise unknown_name(given, sorted({file.stem for file in configs_folder().glob("*/*.yaml")}), "book add", "the file or sample")


def kind_of(document: Document) -> str:
    """What a file holds. Raises WrongInput."""
    data = document.data
    if not isinstance(data, Mapping):
        raise WrongInput(f"{document.file} holds nothing for the book.", "`name: value` lines are wanted.", "See the samples.")
    if "measures" in data:
        return "clients"
    if "client" in data:
        return "orders"
    if "width" in data:
        return "cloths"
    if "outline" in data:
        return "blocks"
    if "people" in data:
        return "groups"
    if data and set(data) <= {field.name for field in fields(Style)}:
        return "styles"
    raise WrongInput(
        f"{document.file} is neither a client, an order, a style, a cloth, a paper block nor a group.",
        f"Its keys are {', '.join(map(str, data))}.",
        "A client has `measures`, an order has `client`, a cloth has `width`, a block has `outline`, a group has `people`.",
    )


def add(book: Path, file: Path) -> Entry:
    """Add a file, or replace the client or order of that name whole; what was there stays as a version.

    A client's earlier measures go into her history. A client file named by an order goes into the book's order itself.
    Raises WrongInput when the file does not hold what it should.
    """
    document = read_yaml(file)
    kind = kind_of(document)
    if kind == "clients":
        return add_client(book, client_from(document.data, document), document.data, text=_text_of(file))
    if kind == "orders":
        return _add_order(book, file, document)
    if kind == "blocks":
        return put(book, kind, dict(document.data))
    refuse_wrong(kind, document)
    return keep_text(book, kind, checked_name(_name_of(file)), _text_of(file))


def refuse_wrong(kind: str, document: Document) -> None:
    """Raise WrongInput with the place when the file does not hold what its kind should; what an order or group names is not followed."""
    from projector.book.groups import GroupCard  # it follows orders, which the book keeps

    cards: dict[str, tuple[type, str]] = {
        "orders": (OrderCard, "order"), "cloths": (ClothCard, "cloth"), "blocks": (Block, "block"), "groups": (GroupCard, "group"),
    }  # fmt: skip
    if kind == "clients":
        client_from(document.data, document)
    elif kind == "styles":
        style_from_mapping(dict(document.data))
    else:
        card, named = cards[kind]
        record_from(card, document.data, named, document)


def put(book: Path, kind: str, data: dict[str, Any], seen: str | None = None) -> Entry:
    """Keep a client, an order or a paper block. `seen`: the fingerprint it was read under (ABSENT: a new one).

    Raises WrongInput when it is not whole, ChangedByAnother when the file was written since.
    """
    if kind == "clients":
        return add_client(book, client_from(data), data, seen)
    if kind == "blocks":
        return _keep_with_comments(book, kind, checked_name(record_from(Block, data, "block").name), data, seen)
    order = order_from(data, str(data.get("name", "")), None, book, book)
    return _keep_with_comments(book, "orders", checked_name(order.name), data, seen)


def _keep_with_comments(book: Path, kind: str, name: str, data: Mapping[str, Any], seen: str | None) -> Entry:
    """What the program keeps in her file's place leaves her comments where they are."""
    place, text = book / kind / f"{name}.yaml", yaml_text(data)
    try:
        if place.is_file():
            text = with_comments(text, document_text(place))
    except WrongInput:
        pass  # it cannot be read any more; it stays as a version
    return keep_text(book, kind, name, text, seen)


def document_text(file: Path) -> str:
    """The text of a YAML file that can be read. Raises WrongInput."""
    text = _text_of(file)
    document_from(text, file.name)
    return text


def keep_text(book: Path, kind: str, name: str, text: str, seen: str | None = None) -> Entry:
    """Keep a card's text under a checked name. `seen`: the fingerprint it was read under; None: over whatever stands there.

    Raises ChangedByAnother, NotKept.
    """
    place = book / kind / f"{name}.yaml"
    keep(place, text, seen=seen)
    return Entry(kind, name, place)


def add_client(book: Path, client: Client, typed: Mapping[str, Any], seen: str | None = None, text: str | None = None) -> Entry:
    """Keep a client's card; earlier measures that stand in the book go into her history. `text`: her own file, kept as it stands.

    Without `seen`, when another program wrote the card meanwhile, its measures go into the history too. Raises ChangedByAnother.
    """
    for _ in range(OTHERS_BETWEEN if seen is None else 0):
        try:
            return _keep_client(book, client, typed, _mark_of(book / "clients" / f"{checked_name(client.name)}.yaml"), text)
        except ChangedByAnother:
            continue
    return _keep_client(book, client, typed, seen, text)


def _mark_of(place: Path) -> str | None:
    """The fingerprint of what stands there, ABSENT for nothing; None: it cannot be opened."""
    try:
        return read_kept(place).fingerprint
    except WrongInput:
        return None if place.exists() else ABSENT


def _keep_client(book: Path, client: Client, typed: Mapping[str, Any], seen: str | None, text: str | None) -> Entry:
    name = checked_name(client.name)
    data = {**typed, "measures": {key: _as_typed(taken) for key, taken in typed["measures"].items()}}
    before = _newest_client(book / "clients" / f"{name}.yaml")
    if before is not None:
        known = [*before[1].get("history", []), *data.get("history", [])]
        if before[0].card.measures != client.card.measures or _taken_how(before[0]) != _taken_how(client):
            known.append(_earlier(*before))
        if known:
            data["history"] = list({yaml_text(each): each for each in known}.values())
    if text is not None:
        return keep_text(book, "clients", name, text if plain(data) == plain(typed) else with_comments(yaml_text(data), text), seen)
    return _keep_with_comments(book, "clients", name, data, seen)


def _as_typed(taken: Any) -> Any:
    return [as_number(each) for each in taken] if isinstance(taken, list | tuple) else as_number(taken)


def _newest_client(place: Path) -> tuple[Client, Mapping[str, Any]] | None:
    """The card that stands there, or the newest version of it that can be read, and its values."""
    for file in [place, *versions(place)]:
        try:
            document = read_yaml(file)
            return client_from(document.data, document), document.data
        except WrongInput:
            continue
    return None


def _taken_how(client: Client) -> tuple[str | None, str]:
    return client.card.unit, client.card.lengths_from


def _earlier(before: Client, data: Mapping[str, Any]) -> dict[str, Any]:
    """A card's measures for the history, as taken: day, by whom, in which unit, from where."""
    card = before.card
    unit, who = {"unit": card.unit} if card.unit else {}, {"who": card.who} if card.who else {}
    return {
        "day": card.day or date.today().isoformat(), **who, **unit, "lengths_from": card.lengths_from, "measures": dict(data["measures"]),
    }  # fmt: skip


def _add_order(book: Path, file: Path, document: Document) -> Entry:
    name = _name_of(file)
    order = order_from(document.data, name, document, file.parent, book)  # checked whole before it is kept
    data, text = dict(document.data), _text_of(file)
    named = data["client"]
    if isinstance(named, str) and is_file_name(named):
        data["client"] = dict(read_yaml(file.parent / named if (file.parent / named).is_file() else Path(named)).data)
        text = with_comments(yaml_text(data), text)
    return keep_text(book, "orders", checked_name(order.name), text)


def _name_of(file: Path) -> str:
    """A file's own name; of an older version the name it was a version of."""
    is_version = file.absolute().parent.parent.name == VERSIONS_FOLDER
    return Path(file.absolute().parent.name).stem if is_version else file.stem


def _text_of(file: Path) -> str:
    return text_from(read_kept(file).data, file.name).replace("\r\n", "\n")


def copy(book: Path, name: str, new: str) -> Entry:
    """A second one under a new name. Raises NameTaken."""
    old, clean = named(book, name), checked_name(new)
    place = book / old.kind / f"{clean}.yaml"
    if place.exists():
        raise NameTaken(
            f"There is already a {clean!r} in {old.kind}.", "A copy replaces nothing.", "Choose another name, or forget that one first."
        )
    document = read_card(old.file, lambda document: refuse_wrong(old.kind, document))
    data = dict(document.data)
    data.pop("sample", None)  # what she makes of a sample is hers
    if old.kind == "clients":
        data = {**data, "name": clean}
    elif "name" in data:
        data["name"] = clean
    return keep_text(book, old.kind, clean, with_comments(yaml_text(data), document_text(old.file)))


def named(book: Path, name: str) -> Entry:
    """The entry of that name, or of `KIND/NAME` where two kinds share it. Raises WrongInput with the nearest name."""
    kind, _, rest = name.partition("/")
    return entry(book, rest, kind) if rest and kind in KINDS else entry(book, name)


def show(book: Path, name: str) -> str:
    """The file's text as it stands. Raises Damaged where it is no text."""
    file = named(book, name).file
    return load_kept(file, lambda data: text_from(data, file.name))


def find(book: Path, text: str) -> list[Entry]:
    """Entries whose name or text holds the words, capitals aside. Of one that cannot be opened the name alone is looked at."""
    wanted = composed(text).casefold()
    return [each for each in entries(book) if wanted in f"{each.name}\n{_letters(each.file)}".casefold()]


def closed(book: Path) -> list[Entry]:
    """Entries that cannot be opened, whose words are therefore not known."""
    return [each for each in entries(book) if _letters(each.file) is None]


def _letters(file: Path) -> str | None:
    """What can be read of a file, damaged or not; None: it cannot be opened."""
    try:
        return composed(read_kept(file).data.decode("utf-8", "replace"))
    except WrongInput:
        return None
