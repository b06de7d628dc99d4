"""What is kept beside the cards: a client's or an order's style picture, an order's notes, the shop's own voice for each kind of step.

DIR/pictures/CLIENT.jpg   DIR/beside/ORDER/picture.jpg   DIR/beside/ORDER/notes.jsonl   DIR/voice/KIND.bin
"""

import json
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Literal

from calibration.errors import WrongInput
from calibration.keep import forget_kept, keep, read_kept
from calibration.records import record_from
from projector.book.book import checked_name
from projector.book.places import journal_file

LONGEST_NOTE = 400
MOST_NOTES = 200
LARGEST_SOUND_BYTES = 2 * 1024 * 1024
"""Half a minute as phones record it; a sentence takes a tenth of that."""


Pictured = Literal["clients", "orders"]
"""Whose a style picture is: hers for whatever she orders, or of one dress."""


@dataclass(frozen=True, slots=True)
class Note:
    """For later, written at a step (from 0)."""

    day: str
    step: int
    title: str
    text: str


def _folder(book: Path, order: str) -> Path:
    return book / "beside" / checked_name(order)


def notes_of(book: Path, order: str) -> list[Note]:
    """All notes of an order, oldest first."""
    file = _folder(book, order) / "notes.jsonl"
    if not file.exists():
        return []
    return [record_from(Note, json.loads(line), "note") for line in read_kept(file).data.decode().splitlines() if line]


def add_note(book: Path, order: str, note: Note) -> list[Note]:
    """One note more. Raises WrongInput for an empty or too long one."""
    if not 0 < len(note.text) <= LONGEST_NOTE:
        raise WrongInput("That note cannot be kept.", f"It has {len(note.text)} letters; 1 to {LONGEST_NOTE} are taken.", "Shorter.")
    every = [*notes_of(book, order), note]
    if len(every) > MOST_NOTES:
        raise WrongInput("There are too many notes.", f"{MOST_NOTES} are kept for one order.", "Write them on her card.")
    keep(_folder(book, order) / "notes.jsonl", "".join(json.dumps(asdict(each), ensure_ascii=False) + "\n" for each in every))
    return every


def picture_file(book: Path, kind: Pictured, name: str) -> Path:
    """Where the style picture of a client or an order is kept; it need not be there."""
    return book / "pictures" / f"{checked_name(name)}.jpg" if kind == "clients" else _folder(book, name) / "picture.jpg"


def keep_picture(book: Path, kind: Pictured, name: str, jpeg: bytes) -> None:
    """The style picture, instead of the one before."""
    keep(picture_file(book, kind, name), jpeg, versions_kept=0)


def forget_picture(book: Path, client: str) -> list[Path]:
    """Remove a client's style picture. Returns what was removed."""
    file = picture_file(book, "clients", client)
    return forget_kept(file) if file.exists() else []


def forget_beside(book: Path, order: str) -> list[Path]:
    """Remove picture, notes, journal and kept lay of an order. Returns what was removed."""
    folder, journal = _folder(book, order), journal_file(order, book)
    files = (folder / "picture.jpg", folder / "notes.jsonl", journal, journal.with_suffix(".lay.json"))
    return [gone for file in files if file.exists() for gone in forget_kept(file)]


def sound_type(data: bytes) -> str | None:
    """The media type a recording's own first bytes tell; None: no recording that browsers play."""
    if data[:4] == b"\x1aE\xdf\xa3":
        return "audio/webm"
    if data[:4] == b"OggS":
        return "audio/ogg"
    if data[:3] == b"ID3" or data[:2] in (b"\xff\xfb", b"\xff\xf3", b"\xff\xf2"):
        return "audio/mpeg"
    if data[:4] == b"RIFF" and data[8:12] == b"WAVE":
        return "audio/wav"
    return "audio/mp4" if data[4:8] == b"ftyp" else None


def _voice_file(book: Path, kind: str) -> Path:
    return book / "voice" / f"{checked_name(kind)}.bin"


def voices(book: Path) -> list[str]:
    """Kinds of step that have a recording."""
    return sorted(file.stem for file in (book / "voice").glob("*.bin"))


def voice(book: Path, kind: str) -> tuple[bytes, str]:
    """A recording and its media type. Raises WrongInput where there is none."""
    data = read_kept(_voice_file(book, kind)).data
    return data, sound_type(data) or "application/octet-stream"


def keep_voice(book: Path, kind: str, data: bytes) -> None:
    """A recording for a kind of step. Raises WrongInput when it is none or too long."""
    if len(data) > LARGEST_SOUND_BYTES:
        raise WrongInput("This recording is too long.", f"It is over {LARGEST_SOUND_BYTES // 2**20} MB.", "One sentence is enough.")
    if sound_type(data) is None:
        raise WrongInput("This is no recording.", "WebM, Ogg, MP3, WAV or M4A is wanted.", "Record it with the phone's own recorder.")
    keep(_voice_file(book, kind), data, versions_kept=0)


def forget_voice(book: Path, kind: str) -> None:
    """Take a recording away."""
    file = _voice_file(book, kind)
    if file.exists():
        forget_kept(file)
