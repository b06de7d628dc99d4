"""The whole book in one zip, and back: cards, tables, keys, pictures, notes, voices, where each order stands.

Of a name inside a zip nothing is ever used as a path: it has to be one of the places below, with a name that the book takes.
Each file carries the moment it was last written, into the zip and out of it: of two that differ the newer one stays.
"""

import io
import json
import os
import re
import struct
import time
import zipfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from calibration.errors import TableError, WrongInput
from calibration.keep import Damaged, keep, read_kept
from calibration.records import record_from
from calibration.table_file import table_from_text
from calibration.yaml_reader import document_from, read_card, text_from
from projector.book.beside import LARGEST_SOUND_BYTES, Note, sound_type
from projector.book.book import KINDS, Entry, add_client, checked_name, clean_name, entries, files_below, keep_text, kind_of, refuse_wrong
from projector.book.orders import client_from

LARGEST_ZIP_BYTES = 256 * 1024 * 1024
LARGEST_ENTRIES = 20_000
JPEG = b"\xff\xd8\xff"
UTC_FIELD = 0x5455
"""Extra field of a zip entry with the moment of its last writing in UTC (Info-ZIP's note on extra fields): flags, seconds since 1970."""
EARLIEST_S = time.mktime((1980, 1, 2, 0, 0, 0, 0, 0, -1))
"""Zips begin in 1980."""
LATEST_S = 2**32 - 1
"""That field ends in 2106: a laptop whose clock ran wild still makes a zip."""
SAME_S = 2.0
"""A zip without that field tells even seconds only."""


@dataclass(frozen=True, slots=True)
class Moved:
    """What went into a zip or came out of one: the cards, all other files by their place, what she should know, what is missing in it."""

    entries: list[Entry]
    others: list[str]
    notes: list[str]
    left_out: list[str] = field(default_factory=list)

    @property
    def places(self) -> list[str]:
        """`clients/Ada`, `keys.yaml`: each card and other file."""
        return [*(f"{each.kind}/{each.name}" for each in self.entries), *self.others]


@dataclass(frozen=True, slots=True)
class Packed:
    """A file in a zip: its bytes and when it was last written, seconds since 1970."""

    data: bytes
    written_s: float


def _is_notes(data: bytes, place: str) -> None:
    for line in text_from(data, place).splitlines():
        record_from(Note, json.loads(line), "note")


def _is_lines(data: bytes, place: str) -> None:
    for line in text_from(data, place).splitlines()[:-1]:  # the last one may be torn by a power cut
        json.loads(line)


def _is_sound(data: bytes, place: str) -> None:
    if sound_type(data) is None or len(data) > LARGEST_SOUND_BYTES:
        raise WrongInput(f"{place} is no recording.", "WebM, Ogg, MP3, WAV or M4A of one sentence is wanted.", "Nothing was taken in.")


def _is_picture(data: bytes, place: str) -> None:
    if not data.startswith(JPEG):
        raise WrongInput(f"{place} is no picture.", "JPEG is wanted.", "Nothing was taken in.")


OTHERS: tuple[tuple[str, Callable[[bytes, str], object]], ...] = (
    (r"tables/([^/]+)\.yaml", table_from_text),
    (r"(keys)\.yaml", document_from),
    (r"pictures/([^/]+)\.jpg", _is_picture),
    (r"beside/([^/]+)/picture\.jpg", _is_picture),
    (r"beside/([^/]+)/notes\.jsonl", _is_notes),
    (r"voice/([^/]+)\.bin", _is_sound),
    (r"journal/([^/]+)\.lay\.json", lambda data, _: json.loads(data)),
    (r"journal/([^/]+)\.jsonl", _is_lines),
)
"""Beside the cards: where it lies in the book, and what has to be true of it."""


def export(book: Path, file: Path) -> Moved:
    """Everything in one zip; of a damaged card its newest whole version goes in, and it is said."""
    packed, moved = io.BytesIO(), Moved([], [], [])
    with zipfile.ZipFile(packed, "w") as archive:
        for each in entries(book):
            found, note = _whole(each.kind, each.file)
            if note:
                moved.notes.append(f"{each.kind}/{each.name}: {note}")
            if found is None:
                moved.left_out.append(f"{each.kind}/{each.name}")
            else:
                _pack(archive, f"{each.kind}/{each.name}.yaml", found)
                moved.entries.append(each)
        for place in [place for each in files_below(book) if each.is_file() and _other(place := each.relative_to(book).as_posix())]:
            _pack(archive, place, book / place)
            moved.others.append(place)
    keep(file, packed.getvalue(), versions_kept=0)
    return moved


def _pack(archive: zipfile.ZipFile, place: str, file: Path) -> None:
    written = min(max(int(file.stat().st_mtime), int(EARLIEST_S)), LATEST_S)
    info = zipfile.ZipInfo(place, time.localtime(written)[:6])
    info.extra = struct.pack("<HHBL", UTC_FIELD, 5, 1, written)
    archive.writestr(info, read_kept(file).data, zipfile.ZIP_DEFLATED)


def _whole(kind: str, file: Path) -> tuple[Path | None, str]:
    """The card, or the newest version of it that can be read; and what has to be said of it."""
    try:
        read_card(file, lambda document: refuse_wrong(kind, document))
    except Damaged as damaged:
        return damaged.newest, f"it cannot be read; its newest whole version was taken. {damaged.what}"
    except WrongInput as wrong:
        return None, f"it cannot be read, and no whole version is there; it was left out. {wrong.what}"
    return file, ""


def _other(place: str) -> Callable[[bytes, str], object] | None:
    """How a file beside the cards is checked; None: it is not one of them."""
    for pattern, check in OTHERS:
        if (found := re.fullmatch(pattern, place)) and not found[1].startswith("."):
            return check
    return None


def import_from(book: Path, file: Path, *, replace: bool = False) -> Moved:
    """Take a zip in: everything is read and checked before the first is kept; what is replaced stays as a version.

    Where file and zip differ the newer one stays, and it is said by name; `replace`: the zip's. Notes of both are put together.
    Where an order stands is taken only where none stands here: what was cut on this table is a fact.
    Raises WrongInput, and what keeping raises (a full disk): that tells what had come in by then.
    """
    contents = {_placed(name): packed for name, packed in _unpacked(file).items()}
    for place, packed in contents.items():
        _check(place, packed.data)
    moved = Moved([], [], [])
    stand = {place for place in contents if _stands(book, place, contents)}  # seen before the first is kept
    same = {place for place, packed in contents.items() if place not in stand and _is_same(book / place, packed)}
    moved.notes.extend(f"{place} was left: this order stands here already." for place in contents if place in stand)
    moved.notes.extend([f"{len(same)} are the same here."] if same else [])
    for place, packed in contents.items():
        if place not in stand | same and _is_taken(book, place, packed, replace, moved.notes):
            try:
                _take(book, place, packed, moved)
            except TableError as cause:
                raise _half_way(cause, moved) from cause
    return moved


def _half_way(cause: TableError, moved: Moved) -> TableError:
    """The refusal, with what had come in before it: that stays, and is passed over when the zip is taken in again."""
    came = ", ".join(moved.places) or "nothing"
    return type(cause)(cause.what, f"{cause.why} Taken in before that: {came}.", f"{cause.next_step} Then import the zip again.")


def _stands(book: Path, place: str, contents: Mapping[str, Packed]) -> bool:
    """This tells where an order stands, its lay or its journal, and one of the two is here and not the zip's own."""
    kind, _, name = place.partition("/")
    order = name.removesuffix(".jsonl").removesuffix(".lay.json")
    both = [f"{kind}/{order}{ending}" for ending in (".jsonl", ".lay.json")]
    return kind == "journal" and any((book / each).exists() and not _is_same(book / each, contents.get(each)) for each in both)


def _is_same(here: Path, packed: Packed | None) -> bool:
    return packed is not None and here.exists() and read_kept(here).data == packed.data


def _is_taken(book: Path, place: str, packed: Packed, replace: bool, notes: list[str]) -> bool:
    """Whether the zip's file goes in; what she should know of it is said."""
    here, named = book / place, place.removesuffix(".yaml")
    if not here.exists():
        return True
    if place.endswith("/notes.jsonl"):
        notes.append(f"{named}: the notes of both were put together.")
    elif not replace and (reason := _kept_here(here, place, packed)):
        notes.append(f"{named} was left as it is here, {reason}. `--replace` takes the zip's.")
        return False
    else:
        notes.append(f"{named} was replaced by the zip's of {_day(packed.written_s)}; what was here is kept as a version.")
    return True


def _kept_here(here: Path, place: str, packed: Packed) -> str:
    """Why the file here stays; empty: it is the older one, or cannot be read."""
    try:
        _check(place, read_kept(here).data)
    except WrongInput:
        return ""
    written_s = here.stat().st_mtime
    if written_s < packed.written_s - SAME_S:
        return ""
    return f"of {_day(written_s)}: the zip's is of {_day(packed.written_s)}"


def _day(written_s: float) -> str:
    return time.strftime("%Y-%m-%d %H:%M", time.localtime(written_s))


def _take(book: Path, place: str, packed: Packed, moved: Moved) -> None:
    """Keep one file of the zip, with the moment it was written; what was put together is written now."""
    kind, _, name = place.partition("/")
    if kind in KINDS:
        moved.entries.append(_take_card(book, kind, name.removesuffix(".yaml"), packed.data))
    else:
        data = _both(book / place, packed.data) if place.endswith("/notes.jsonl") and (book / place).exists() else packed.data
        keep(book / place, data)
        moved.others.append(place)
    if _is_same(book / place, packed):
        os.utime(book / place, (packed.written_s, packed.written_s))


def _take_card(book: Path, kind: str, name: str, data: bytes) -> Entry:
    """A card as it stands in the zip; what was measured here goes into a client's history."""
    document, text = document_from(data, name), text_from(data, name)
    if kind == "clients" and clean_name((client := client_from(document.data, document)).name) == name:
        return add_client(book, client, document.data, text=text)
    return keep_text(book, kind, name, text)


def _both(here: Path, data: bytes) -> bytes:
    """Lines of here, then those of the zip that are not among them."""
    lines = [*read_kept(here).data.splitlines(), *data.splitlines()]
    return b"".join(line + b"\n" for line in dict.fromkeys(lines) if line)


def _unpacked(file: Path) -> dict[str, Packed]:
    """Names and what they hold; what other systems add when they pack a folder is passed over, and one folder round everything."""
    try:
        with zipfile.ZipFile(file) as archive:
            infos = [info for info in archive.infolist() if not info.is_dir() and not _is_hidden(info.filename)]
            if len(infos) > LARGEST_ENTRIES or sum(info.file_size for info in infos) > LARGEST_ZIP_BYTES:
                size = sum(info.file_size for info in infos) // 2**20
                raise WrongInput(
                    f"{file.name} is too large.",
                    f"{len(infos)} files of {size} MB; {LARGEST_ENTRIES} of {LARGEST_ZIP_BYTES // 2**20} MB are taken.",
                    "Is it a book?",
                )
            contents = {info.filename: Packed(archive.read(info), _written_s(info)) for info in infos}
    except (OSError, zipfile.BadZipFile, RuntimeError) as cause:  # RuntimeError: locked by a password or packed in an unknown way
        why = cause.strerror if isinstance(cause, OSError) and cause.strerror else str(cause)
        raise WrongInput(f"{file.name} cannot be read.", f"{why}.", "Give a zip written by `book export`.") from cause
    heads = {name.partition("/")[0] for name in contents}
    is_wrapped = len(heads) == 1 and not heads & {*KINDS, *(pattern.partition("/")[0] for pattern, _ in OTHERS)}
    return {name.partition("/")[2] if is_wrapped and "/" in name else name: data for name, data in contents.items()}


def _written_s(info: zipfile.ZipInfo) -> float:
    """When an entry was last written, seconds since 1970: from its UTC field, else from the zip's own local clock."""
    extra = info.extra
    while len(extra) >= 4:
        field, size = struct.unpack_from("<HH", extra)
        if field == UTC_FIELD and size >= 5 and len(extra) >= 9 and extra[4] & 1:
            return float(struct.unpack_from("<L", extra, 5)[0])
        extra = extra[4 + size :]
    try:
        return time.mktime((*info.date_time, 0, 0, -1))
    except (ValueError, OverflowError):
        return EARLIEST_S


def _is_hidden(name: str) -> bool:
    """`.versions`, `.DS_Store`, `__MACOSX`; a step upwards is not hidden but refused."""
    return any((part.startswith(".") and part.strip(".")) or part == "__MACOSX" for part in name.split("/"))


def _placed(inside: str) -> str:
    """The place of something in the book, its name as the book writes it. Raises WrongInput."""
    kind, _, rest = inside.partition("/")
    if kind in KINDS and rest.endswith(".yaml") and "/" not in rest:
        return f"{kind}/{checked_name(rest.removesuffix('.yaml'))}.yaml"
    for pattern, _ in OTHERS:
        if found := re.fullmatch(pattern, inside):
            return inside[: found.start(1)] + checked_name(found[1]) + inside[found.end(1) :]
    raise WrongInput(f"{inside!r} does not belong in a book.", f"Cards lie in {', '.join(KINDS)}.", "Nothing was taken in.")


def _check(place: str, data: bytes) -> None:
    """It holds what its place says. Raises WrongInput."""
    kind = place.partition("/")[0]
    if kind in KINDS:
        document = document_from(data, place)
        if (found := kind_of(document)) != kind:
            raise WrongInput(f"{place} holds no {kind}.", f"It looks like {found}.", "Nothing was taken in.")
        refuse_wrong(kind, document)
        return
    check = _other(place)
    try:
        if check is not None:
            check(data, place)
    except (ValueError, RecursionError) as cause:
        raise WrongInput(f"{place} cannot be read.", "It is damaged.", "Nothing was taken in.") from cause
