"""The whole book in one zip, and back: cards, tables, keys, pictures, notes, voices, where each order stands.

Of a name inside a zip nothing is ever used as a path: it has to be one of the places below, with a name that the book takes.
"""

import io
import json
import re
import zipfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from calibration.errors import WrongInput
from calibration.keep import Damaged, keep, read_kept
from calibration.records import record_from
from calibration.table_file import table_from_text
from calibration.yaml_reader import document_from, read_card, text_from
from projector.book.beside import LARGEST_SOUND_BYTES, Note, sound_type
from projector.book.book import KINDS, Entry, checked_name, entries, keep_text, kind_of, refuse_wrong

LARGEST_ZIP_BYTES = 256 * 1024 * 1024
LARGEST_ENTRIES = 20_000
JPEG = b"\xff\xd8\xff"


@dataclass(frozen=True, slots=True)
class Moved:
    """What went into a zip or came out of one: the cards, all other files by their place, what she should know."""

    entries: list[Entry]
    others: list[str]
    notes: list[str]


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
    packed, notes = io.BytesIO(), []
    kept = entries(book)
    others = [place for each in sorted(book.rglob("*")) if each.is_file() and _other(place := each.relative_to(book).as_posix())]
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for each in kept:
            data, note = _whole(each.kind, each.file)
            if note:
                notes.append(f"{each.kind}/{each.name}: {note}")
            if data is not None:
                archive.writestr(f"{each.kind}/{each.name}.yaml", data)
        for place in others:
            archive.writestr(place, read_kept(book / place).data)
    keep(file, packed.getvalue(), versions_kept=0)
    return Moved(kept, others, notes)


def _whole(kind: str, file: Path) -> tuple[bytes | None, str]:
    """What can be read of a card, newest first; and what has to be said of it."""
    try:
        read_card(file, lambda document: refuse_wrong(kind, document))
    except Damaged as damaged:
        newest = damaged.newest
        return (newest.read_bytes() if newest else None), f"damaged; its newest whole version was taken. {damaged.what}"
    except WrongInput as wrong:
        return None, f"damaged, and no whole version is there; it was left out. {wrong.what}"
    return read_kept(file).data, ""


def _other(place: str) -> Callable[[bytes, str], object] | None:
    """How a file beside the cards is checked; None: it is not one of them."""
    for pattern, check in OTHERS:
        if (found := re.fullmatch(pattern, place)) and not found[1].startswith("."):
            return check
    return None


def import_from(book: Path, file: Path) -> Moved:
    """Take a zip in: everything is read and checked before the first is kept; what was there stays as a version.

    Where an order stands is taken only where none stands here: what was cut on this table is a fact. Raises WrongInput.
    """
    contents = {_placed(name): data for name, data in _unpacked(file).items()}
    for place, data in contents.items():
        _check(place, data)
    stands = [place for place in contents if place.startswith("journal/") and (book / place).exists()]
    cards, others = [], []
    notes = [f"{place} was left: this order stands here already." for place in stands]
    for place, data in contents.items():
        kind, _, name = place.partition("/")
        if kind in KINDS:
            name = name.removesuffix(".yaml")
            before, text = book / kind / f"{name}.yaml", text_from(data, place)
            if before.exists() and read_kept(before).data != text.encode():
                notes.append(f"{kind}/{name} was replaced; what was there is kept as a version.")
            cards.append(keep_text(book, kind, name, text))
        elif place not in stands:
            keep(book / place, data, versions_kept=0)
            others.append(place)
    return Moved(cards, others, notes)


def _unpacked(file: Path) -> dict[str, bytes]:
    """Names and bytes; what other systems add when they pack a folder is passed over, and one folder round everything."""
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
            contents = {info.filename: archive.read(info) for info in infos}
    except (OSError, zipfile.BadZipFile, RuntimeError) as cause:  # RuntimeError: locked by a password or packed in an unknown way
        why = cause.strerror if isinstance(cause, OSError) and cause.strerror else str(cause)
        raise WrongInput(f"{file.name} cannot be read.", f"{why}.", "Give a zip written by `book export`.") from cause
    heads = {name.partition("/")[0] for name in contents}
    is_wrapped = len(heads) == 1 and not heads & {*KINDS, *(pattern.partition("/")[0] for pattern, _ in OTHERS)}
    return {name.partition("/")[2] if is_wrapped and "/" in name else name: data for name, data in contents.items()}


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
