"""The book: one folder of YAML files, clients, orders, styles, cloths and paper blocks, kept whole by calibration.keep.

DIR/clients/NAME.yaml   DIR/orders/NAME.yaml   DIR/styles/NAME.yaml   DIR/cloths/NAME.yaml   DIR/blocks/NAME.yaml
DIR/groups/NAME.yaml
"""

import io
import re
import zipfile
from collections.abc import Mapping
from dataclasses import dataclass, fields
from datetime import date
from pathlib import Path
from typing import Any

from calibration.errors import Refused, WrongInput
from calibration.keep import ABSENT, fingerprint_of, forget_kept, keep, read_kept
from calibration.names import unknown_name
from calibration.records import record_from
from calibration.yaml_reader import Document, document_from, read_yaml, yaml_text
from projector.book.cards import OrderCard
from projector.book.orders import Client, client_from, is_file_name, order_from, read_client
from projector.draft.style import Style, style_from_mapping
from projector.garment.own import Block
from projector.lay.cloth import ClothCard

KINDS = ("clients", "orders", "styles", "cloths", "blocks", "groups")
NAME = re.compile(r"[^\W_][\w .,'’()+-]{0,79}", re.UNICODE)
LARGEST_ZIP_BYTES = 32 * 1024 * 1024
LARGEST_ENTRIES = 20_000


class NameTaken(Refused):
    """A copy would replace something."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing in the book."""

    kind: str
    name: str
    file: Path


def checked_name(name: str) -> str:
    """A name that is a file name everywhere. Raises WrongInput."""
    clean = " ".join(name.split())
    if not NAME.fullmatch(clean) or clean.endswith("."):
        raise WrongInput(
            f"{name!r} cannot be a name in the book.",
            "Letters, figures, spaces and . , ' ( ) + - are taken, at most 80.",
            "Choose another.",
        )
    return clean


def entries(book: Path, kind: str | None = None) -> list[Entry]:
    """Everything in the book, by kind and name."""
    kinds = KINDS if kind is None else (kind,)
    return [Entry(each, file.stem, file) for each in kinds for file in sorted((book / each).glob("*.yaml"))]


def entry(book: Path, name: str, kind: str | None = None) -> Entry:
    """The entry of that name; `kind` where two kinds share it. Raises WrongInput with the nearest name."""
    found = [each for each in entries(book, kind) if each.name == name]
    if not found:
        raise unknown_name(name, [each.name for each in entries(book)] or ["nothing yet"], "book", "the name")
    if len(found) > 1:
        kinds = " and ".join(each.kind for each in found)
        raise WrongInput(f"{name!r} stands in {kinds}.", "One has to be meant.", f"Say which, for example {found[0].kind}/{name}.")
    return found[0]


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
        return _add_client(book, client_from(document.data, document), document.data)
    if kind == "orders":
        return _add_order(book, file, document)
    if kind == "blocks":
        return put(book, kind, dict(document.data))
    _refuse_wrong(kind, document)
    return _keep(book, kind, checked_name(file.stem), yaml_text(document.data))


def _refuse_wrong(kind: str, document: Document) -> None:
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
        return _add_client(book, client_from(data), data, seen)
    if kind == "blocks":
        return _keep(book, kind, checked_name(record_from(Block, data, "block").name), yaml_text(data), seen)
    order = order_from(data, str(data.get("name", "")), None, book, book)
    return _keep(book, "orders", checked_name(order.name), yaml_text(data), seen)


def _keep(book: Path, kind: str, name: str, text: str, seen: str | None = None) -> Entry:
    place = book / kind / f"{name}.yaml"
    if seen is None:
        seen = fingerprint_of(place.read_bytes()) if place.exists() else ABSENT
    keep(place, text, seen=seen)
    return Entry(kind, name, place)


def _add_client(book: Path, client: Client, typed: Mapping[str, Any], seen: str | None = None) -> Entry:
    name = checked_name(client.name)
    data = dict(typed)
    place = book / "clients" / f"{name}.yaml"
    if place.exists():
        before = read_client(place).card
        known = [*read_yaml(place).data.get("history", []), *data.get("history", [])]
        if before.measures != client.card.measures:
            who = {"who": before.who} if before.who else {}
            known.append({"day": before.day or date.today().isoformat(), "measures": dict(before.measures), **who})
        data["history"] = list({yaml_text(each): each for each in known}.values())
    return _keep(book, "clients", name, yaml_text(data), seen)


def _add_order(book: Path, file: Path, document: Document) -> Entry:
    order = order_from(document.data, file.stem, document, file.parent, book)  # checked whole before it is kept
    data = dict(document.data)
    named = data["client"]
    if isinstance(named, str) and is_file_name(named):
        data["client"] = dict(read_yaml(file.parent / named if (file.parent / named).is_file() else Path(named)).data)
    return _keep(book, "orders", checked_name(order.name), yaml_text(data))


def copy(book: Path, name: str, new: str) -> Entry:
    """A second one under a new name. Raises NameTaken."""
    old, clean = _named(book, name), checked_name(new)
    place = book / old.kind / f"{clean}.yaml"
    if place.exists():
        raise NameTaken(
            f"There is already a {clean!r} in {old.kind}.", "A copy replaces nothing.", "Choose another name, or forget that one first."
        )
    data = dict(read_yaml(old.file).data)
    if old.kind == "clients":
        data = {**data, "name": clean}
    elif "name" in data:
        data["name"] = clean
    return _keep(book, old.kind, clean, yaml_text(data))


def _named(book: Path, name: str) -> Entry:
    kind, _, rest = name.partition("/")
    return entry(book, rest, kind) if rest and kind in KINDS else entry(book, name)


def show(book: Path, name: str) -> str:
    """The file's text as it stands."""
    return read_kept(_named(book, name).file).data.decode("utf-8")


def find(book: Path, text: str) -> list[Entry]:
    """Entries whose name or text holds the words, capitals aside."""
    wanted = text.casefold()
    return [each for each in entries(book) if wanted in each.name.casefold() or wanted in each.file.read_text("utf-8").casefold()]


def forget(book: Path, name: str) -> list[Path]:
    """Remove an entry with all its versions; for a client also the orders made for her, and what is kept beside an order.

    Returns what was removed.
    """
    from projector.book.beside import forget_beside, forget_picture  # it names its files as the book does

    gone = _named(book, name)
    orders = [each for each in entries(book, "orders") if each == gone or (gone.kind == "clients" and _is_for(each, gone.name))]
    files = dict.fromkeys([gone.file, *(each.file for each in orders)])
    removed = [one for file in files for one in forget_kept(file)]
    pictures = forget_picture(book, gone.name) if gone.kind == "clients" else []
    return removed + pictures + [one for order in orders for one in forget_beside(book, order.name)]


def _is_for(order: Entry, client: str) -> bool:
    data: Any = read_yaml(order.file).data
    named = data.get("client") if isinstance(data, Mapping) else None
    return bool(named == client or (isinstance(named, Mapping) and named.get("name") == client))


def export(book: Path, file: Path) -> list[Entry]:
    """Everything in one zip."""
    packed = io.BytesIO()
    kept = entries(book)
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for each in kept:
            archive.writestr(f"{each.kind}/{each.name}.yaml", each.file.read_bytes())
    keep(file, packed.getvalue(), versions_kept=0)
    return kept


def import_from(book: Path, file: Path) -> list[Entry]:
    """Take a zip in: every entry is read and checked before the first is kept; what was there stays as a version."""
    try:
        with zipfile.ZipFile(file) as archive:
            infos = archive.infolist()
            if len(infos) > LARGEST_ENTRIES or sum(info.file_size for info in infos) > LARGEST_ZIP_BYTES:
                raise WrongInput(f"{file.name} is too large.", f"{len(infos)} files.", "Is it a book?")
            texts = {info.filename: archive.read(info) for info in infos if not info.is_dir()}
    except (OSError, zipfile.BadZipFile) as cause:
        raise WrongInput(f"{file.name} cannot be read.", f"{cause}.", "Give a zip written by `book export`.") from cause
    checked = [(*_place(name), text) for name, text in texts.items()]
    for kind, name, text in checked:
        document = document_from(text, f"{kind}/{name}.yaml")
        found = kind_of(document)
        if found != kind:
            raise WrongInput(f"{kind}/{name}.yaml holds no {kind}.", f"It looks like {found}.", "Nothing was taken in.")
        _refuse_wrong(kind, document)
    return [_keep(book, kind, name, text.decode("utf-8")) for kind, name, text in checked]


def _place(inside: str) -> tuple[str, str]:
    """Kind and name from a name inside a zip; nothing of it is ever used as a path."""
    kind, _, rest = inside.partition("/")
    if kind not in KINDS or not rest.endswith(".yaml") or "/" in rest:
        raise WrongInput(f"{inside!r} does not belong in a book.", f"Folders are {', '.join(KINDS)}.", "Nothing was taken in.")
    return kind, checked_name(rest.removesuffix(".yaml"))
