"""From an order (file or name in the book) to what the stages take: measures in mm, style, cloths in mm."""

import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from calibration.errors import WrongInput
from calibration.names import unknown_name
from calibration.records import record_from
from calibration.units import Unit, mm_from_text
from calibration.yaml_reader import Document, plain, read_card, read_record, read_yaml
from projector.body.body import Body
from projector.body.complete import complete_measures
from projector.body.kinds import BY_KEY
from projector.book.cards import ClientCard, OrderCard, Taken
from projector.book.places import book_folder, configs_folder
from projector.draft.style import Style, style_from_mapping
from projector.garment.own import Block
from projector.lay.cloth import Cloth, cloth_from_card

FILE_ENDINGS = (".yaml", ".yml")


def composed(name: str) -> str:
    """The same name with each accent on its letter: what one system writes as two signs, another writes as one (NFC)."""
    return unicodedata.normalize("NFC", name)


@dataclass(frozen=True, slots=True)
class Client:
    """One client: the card as typed and its readings in mm. `again_mm`: second readings of the same tape."""

    card: ClientCard
    given_mm: Mapping[str, float]
    again_mm: Mapping[str, float] = field(default_factory=dict)

    @property
    def name(self) -> str:
        """As written on the card."""
        return self.card.name

    @property
    def shown(self) -> Unit:
        """The unit numbers are shown in: the card's own, else cm."""
        return self.card.unit or "cm"

    def body(self, *, needs_sleeve: bool = False, needs_bodice: bool = True) -> Body:
        """Complete and checked measures; stops stand in the body and are not raised."""
        return complete_measures(
            self.given_mm,
            self.card.lengths_from,
            needs_sleeve=needs_sleeve,
            needs_bodice=needs_bodice,
            again_mm=self.again_mm,
            shown=self.shown,
        )


@dataclass(frozen=True, slots=True)
class Order:
    """One dress: everything inline. `cloths` in mm by name; empty until cloth is known. `blocks`: cut instead of a draft."""

    name: str
    client: Client
    style: Style
    style_given: Mapping[str, Any]
    cloths: Mapping[str, Cloth]
    card: OrderCard
    blocks: tuple[Block, ...] = ()

    @property
    def typed_unit(self) -> Unit:
        """The unit of a bare number on the order: its own, else the one its client is shown in."""
        return self.card.unit or self.client.shown

    def body(self) -> Body:
        """The client's measures as this style needs them."""
        return self.client.body(needs_sleeve=self.style.is_sleeved, needs_bodice=self.style.bodice)


def client_from(data: object, document: Document | None = None, path: tuple[str | int, ...] = ()) -> Client:
    """Check a client's card and read its measures. Raises WrongInput with the place in the file."""
    card = record_from(ClientCard, data, "client", document, path)
    given, again = {}, {}
    for key, taken in card.measures.items():
        where = document.where((*path, "measures", key)) if document else card.name
        if key not in BY_KEY:
            raise unknown_name(key, BY_KEY, where, "the measure")
        first, *second = _readings(taken)
        given[key] = _mm(first, card.unit, where)
        if second:
            again[key] = _mm(second[0], card.unit, where)
    return Client(card, given, again)


def _readings(taken: Taken) -> tuple[str, ...]:
    return (taken,) if isinstance(taken, str) else tuple(taken)


def _mm(text: str, unit: Unit | None, where: str) -> float:
    try:
        return mm_from_text(text, unit)
    except WrongInput as wrong:
        raise wrong.at(where) from wrong


def read_client(file: Path) -> Client:
    """A client's file. Raises WrongInput, Damaged when an older version would do."""
    return read_record(file, lambda document: client_from(document.data, document))


def load_order(where: str, book: Path | None = None) -> Order:
    """An order by file or by name in the book (`--book`, PROJECTOR_BOOK, the platform's data folder), else among the samples."""
    file = found_file(where, "orders", Path.cwd(), book, "the order")
    document = read_card(file, lambda document: record_from(OrderCard, document.data, "order", document))
    return order_from(document.data, file.stem, document, file.parent, book)


def files_of(where: str, book: Path | None = None) -> list[Path]:
    """The cards an order is read from: its own, her client's, style and blocks where they are named; those that can be found."""
    found = []
    try:
        found.append(file := found_file(where, "orders", Path.cwd(), book, "the order"))
        data = read_yaml(file).data
        told = data if isinstance(data, Mapping) else {}
        named = [("clients", told.get("client")), ("styles", told.get("style")), *(("blocks", each) for each in told.get("blocks") or [])]
        found += [found_file(each, kind, file.parent, book, kind) for kind, each in named if isinstance(each, str)]
    except (WrongInput, TypeError):
        pass  # the order itself will be told as wrong
    return found


def order_from(data: object, name: str, document: Document | None = None, beside: Path | None = None, book: Path | None = None) -> Order:
    """Check an order's card and follow what it names. `beside`: the folder its files are relative to."""
    card = record_from(OrderCard, data, "order", document)
    where = document.where(("client",)) if document else name
    client = _client(card.client, where, document, beside or Path.cwd(), book)
    style, given = _style(card.style, document, beside or Path.cwd(), book)
    if client.card.fittings and "fitted" not in given:
        style = style_from_mapping({**given, "fitted": True})  # a recorded fitting: the narrower allowances
    unit = card.unit or client.card.unit
    cloths = {}
    for key, cloth in card.cloth.items():
        place = document.where(("cloth", key)) if document else key
        try:
            cloths[key] = cloth_from_card(key, cloth, unit)
        except WrongInput as wrong:
            raise wrong.at(place) from wrong
    blocks = tuple(read_block(found_file(each, "blocks", beside or Path.cwd(), book, "the block")) for each in card.blocks)
    return Order(card.name or name, client, style, given, cloths, card, blocks)


def read_block(file: Path) -> Block:
    """A paper block's file. Raises WrongInput, Damaged when an older version would do."""
    return read_record(file, lambda document: record_from(Block, document.data, "block", document))


def _client(named: str | Mapping[str, Any], where: str, document: Document | None, beside: Path, book: Path | None) -> Client:
    if isinstance(named, Mapping):
        return client_from(named, document, ("client",))
    return read_client(found_file(named, "clients", beside, book, f"{where}: the client"))


def _style(named: str | Mapping[str, Any], document: Document | None, beside: Path, book: Path | None) -> tuple[Style, dict[str, Any]]:
    place: tuple[str, ...] = ("style",)
    if not isinstance(named, Mapping):
        document = read_yaml(found_file(named, "styles", beside, book, "the style"))
        named, place = (document.data or {}), ()
        if not isinstance(named, Mapping):
            raise WrongInput(f"{document.file} is no style.", "`key: value` lines are wanted.", "See the sample styles.")
    given: dict[str, Any] = plain(named)
    try:
        return style_from_mapping(given), given
    except WrongInput as wrong:
        raise wrong.at(document.where(place) if document else "style") from wrong


def is_file_name(where: str) -> bool:
    """Whether it is meant as a file: an ending, or a folder in it."""
    return where.lower().endswith(FILE_ENDINGS) or "/" in where or "\\" in where


def names_in(kind: str, book: Path | None = None) -> list[str]:
    """Every name of a kind (clients, orders, styles, cloths) in the book and among the samples."""
    folders = (book_folder(book) / kind, configs_folder() / kind)
    files = [file for folder in folders if folder.is_dir() for file in folder.glob("*.yaml")]
    return sorted({composed(file.stem) for file in files if not file.name.startswith(".")})


def found_file(where: str, kind: str, beside: Path, book: Path | None, called: str) -> Path:
    """The file meant by a file's name or by a name in the book or among the samples. Raises WrongInput with the nearest name."""
    if is_file_name(where):
        for file in (beside / where, Path(where)):
            if file.is_file():
                return file
        raise WrongInput(f"{called} {where!r} cannot be read.", "There is no such file.", "Check the name and the folder.")
    for folder in (book_folder(book) / kind, beside, configs_folder() / kind):
        for name in (where, composed(where), unicodedata.normalize("NFD", where)):
            if (file := folder / f"{name}.yaml").is_file():
                return _kept_of(file, book) if kind == "clients" and folder == configs_folder() / kind else file
    raise unknown_name(where, names_in(kind, book), "book and samples", called)


def _kept_of(sample: Path, book: Path | None) -> Path:
    """A sample client's card in the book, where she keeps one: a sample is called `marisol`, her card by the client's whole name."""
    own = book_folder(book) / "clients" / f"{read_client(sample).name}.yaml"
    return own if own.is_file() else sample
