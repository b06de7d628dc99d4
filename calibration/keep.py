"""Keeping a file so that nothing is lost: power cut, full disk, two programs, a person's own edit.

One save under a lock: the new text goes to `.versions/NAME/` (whole, fsync'd), then beside the file, then over it by
one rename, then the folder is fsync'd. After a cut at any moment the file is the old one whole or the new one whole.
An output, of which no version is kept, goes the same way without lock and versions.
A version's name carries its number and the start of its sha256, so that a torn version is known from the name alone.
"""

import contextlib
import errno
import hashlib
import os
import secrets
import stat
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from glob import escape
from pathlib import Path
from typing import TypeVar

from filelock import FileLock, Timeout

from calibration.errors import Refused, WrongInput

T = TypeVar("T")

VERSIONS_KEPT = 20
LOCK_PATIENCE_S = 10.0
LARGEST_BYTES = 64 * 1024 * 1024
VERSIONS_FOLDER = ".versions"
ABSENT = ""
"""The fingerprint of a file that is not there."""


class NotKept(Refused):
    """The file could not be written; the old one is whole."""


class ChangedByAnother(Refused):
    """The file is no longer what was read: a person or another program wrote it. It was left alone."""


class Damaged(WrongInput):
    """The file cannot be read. `newest`: the newest version that can, or None."""

    def __init__(self, what: str, why: str, next_step: str, newest: Path | None = None) -> None:
        super().__init__(what, why, next_step)
        self.newest = newest


@dataclass(frozen=True, slots=True)
class Kept:
    """What stood in a file when it was read, and the fingerprint to hand back when saving it."""

    data: bytes
    fingerprint: str


def fingerprint_of(data: bytes) -> str:
    """sha256 as hex."""
    return hashlib.sha256(data).hexdigest()


def system_words(cause: OSError) -> NotKept | WrongInput | None:
    """What the system refused, in words: a folder that may not be entered, a full or failing disk; None: nothing of the kind."""
    named = f"{cause.filename or 'A file'}"
    if cause.errno in {errno.EACCES, errno.EPERM}:
        return WrongInput(f"{named} cannot be used.", f"{_reason(cause)}.", "Give it back to your own account, or name another folder.")
    if cause.errno in {errno.ENOSPC, errno.EDQUOT, errno.EROFS, errno.EIO}:
        return NotKept(f"{named} could not be saved.", f"{_reason(cause)}.", "Make room on the disk or choose another, then again.")
    return None


def read_kept(path: Path) -> Kept:
    """The file's bytes and fingerprint. Raises WrongInput when it is missing, no plain file, unreadable or over 64 MB."""
    try:
        found = path.stat()
        if not stat.S_ISREG(found.st_mode) and not stat.S_ISDIR(found.st_mode):
            raise WrongInput(f"{path} cannot be read.", "It is a device or a pipe: it would never end.", "Give a plain file.")
        if found.st_size > LARGEST_BYTES:
            raise WrongInput(f"{path.name} is too large.", f"It is over {LARGEST_BYTES // 2**20} MB.", "Is it the right file?")
        data = path.read_bytes()
    except OSError as cause:
        raise WrongInput(f"{path} cannot be read.", f"{_reason(cause)}.", "Check the name and the folder.") from cause
    return Kept(data, fingerprint_of(data))


def load_kept(path: Path, read: Callable[[bytes], T]) -> T:
    """`read` the file's bytes. When it raises WrongInput, or cannot be opened, and an older version reads, Damaged names that version."""
    try:
        return read(read_kept(path).data)
    except WrongInput as wrong:
        for version in versions(path):
            if _reads(version, read):
                told = f'"{version}"' if " " in str(version) else str(version)  # to be typed behind `book add` as it stands
                raise Damaged(
                    wrong.what,
                    f"{wrong.why} The file was left as it is.",
                    f"{wrong.next_step} Or go back to the newest whole version: {told}",
                    version,
                ) from wrong
        raise


def keep(path: Path, text: str | bytes, *, seen: str | None = None, versions_kept: int = VERSIONS_KEPT) -> str:
    """Write the whole file so that a cut leaves the old or the new one. Returns the new fingerprint.

    seen: the fingerprint under which the caller read the file (ABSENT: there was none); when the file is another by
    now, ChangedByAnother is raised and it is left alone. None: replace whatever is there.
    What is replaced always stays as a version, a person's own edit too. Missing folders are made, 0700; the file is 0600.
    versions_kept 0 without `seen`: an output. Nothing of it is compared or kept, so no hidden folder is left beside it.
    Raises NotKept when the disk is full, the folder read-only, no plain file there or the lock held by another for 10 s.
    """
    data = text.encode("utf-8") if isinstance(text, str) else text
    path = _plain(path)
    if versions_kept == 0 and seen is None:
        with _written(path):
            _make_folders(path.parent)
            _write_whole(path, data, _beside(path, f".{secrets.token_hex(4)}"))  # its own name: no lock keeps another program off
        return fingerprint_of(data)
    with _written(path), _locked(path):
        old = _bytes_or_none(path)
        _refuse_changed(path, old, seen)
        if versions_kept > 0:
            _add_versions(path, [each for each in (old, data) if each is not None])
        _write_whole(path, data, _beside(path))
        _prune(path, versions_kept)
    return fingerprint_of(data)


def append_line(path: Path, line: bytes, *, is_on_disk: bool = False) -> None:
    """Add a whole line to a file, or leave the file as it was. `is_on_disk`: return only when the disk itself has it.

    Raises OSError.
    """
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    handle = os.open(path, os.O_WRONLY | os.O_APPEND | os.O_CREAT | getattr(os, "O_BINARY", 0), 0o600)
    try:
        before = os.fstat(handle).st_size
        try:
            if os.write(handle, line) != len(line):
                raise OSError(28, "No space left on device")
            if is_on_disk:
                os.fsync(handle)
        except OSError:
            with contextlib.suppress(OSError):
                os.ftruncate(handle, before)  # half a line must not swallow the next one
            raise
    finally:
        os.close(handle)


def forget_kept(path: Path) -> list[Path]:
    """Remove the file and all its versions, and a link that led to it. Returns what was removed. Raises NotKept."""
    link, path = path, _plain(path)
    removed: list[Path] = []
    with _written(path), _locked(path):
        outputs = path.parent.glob(_beside(Path(escape(path.name)), ".*").name)
        left = [_beside(path), *outputs, *_versions_of(path).glob(".*.new")]  # half a save, by a power cut
        for each in [path, *_all_versions(path), *left]:
            if each.exists():
                each.unlink()
                removed.append(each)
        if link.is_symlink():  # it would lead nowhere
            link.unlink()
            removed.append(link)
        if _versions_of(path).is_dir():
            _versions_of(path).rmdir()
        _sync_folder(path.parent)
    return removed


def versions(path: Path) -> list[Path]:
    """The whole versions kept of a file, newest first."""
    return [version for version in _all_versions(Path(os.path.realpath(path))) if _is_whole(version)]


def _plain(path: Path) -> Path:
    """The file a name leads to, links followed. Raises NotKept when a folder, a device or a pipe is there: none of them is ours."""
    real = Path(os.path.realpath(path))
    try:
        mode = real.stat().st_mode
    except OSError:
        return real  # not there; else what is tried next tells
    if stat.S_ISREG(mode):
        return real
    raise NotKept(
        f"{path.name} could not be saved.",
        f"{'A folder' if stat.S_ISDIR(mode) else 'A device or a pipe'} of that name is there, no file; nothing was written.",
        "Move it away or choose another name, then again.",
    )


@contextmanager
def _written(path: Path) -> Iterator[None]:
    """Foreign errors become words."""
    try:
        yield
    except OSError as cause:
        full = cause.errno in {errno.ENOSPC, errno.EDQUOT}
        advice = "Make room on the disk, then save again." if full else "Check the folder, then save again."
        old = "the old one is whole" if _is_there(path) else "nothing was written"
        raise NotKept(f"{path.name} could not be saved.", f"{_reason(cause)}; {old}.", advice) from cause


@contextmanager
def _locked(path: Path) -> Iterator[None]:
    folder = path.parent / VERSIONS_FOLDER
    _make_folders(folder)
    lock = FileLock(folder / ".lock", timeout=LOCK_PATIENCE_S, mode=0o600)
    try:
        lock.acquire()
    except Timeout as cause:
        raise NotKept(
            f"{path.name} could not be saved.", f"Another program has held it for {LOCK_PATIENCE_S:.0f} s.", "Close it, then save again."
        ) from cause
    try:
        yield
    finally:
        lock.release()


def _make_folders(folder: Path) -> None:
    """Missing folders one by one, each 0700 (mkdir's own `parents` gives the outer ones the usual mode)."""
    for each in [*reversed(folder.parents), folder]:
        if not each.is_dir():
            each.mkdir(mode=0o700, exist_ok=True)


def _refuse_changed(path: Path, old: bytes | None, seen: str | None) -> None:
    if seen is None:
        return
    found = ABSENT if old is None else fingerprint_of(old)
    if found != seen:
        how = "It was removed" if old is None else "It was written"
        raise ChangedByAnother(
            f"{path.name} has changed and was left alone.",
            f"{how} by someone else since it was read.",
            "Read it again, then make your change once more.",
        )


def _add_versions(path: Path, contents: list[bytes]) -> None:
    folder = _versions_of(path)
    _make_folders(folder)
    for data in contents:
        there = _all_versions(path)
        mark = fingerprint_of(data)[:16]
        if there and there[0].stem.endswith(mark) and _is_whole(there[0]):
            continue
        number = int(there[0].name.split("-")[0]) + 1 if there else 1
        version = folder / f"{number:08d}-{mark}{path.suffix}"
        _write_whole(version, data, _beside(version))


def _prune(path: Path, count: int) -> None:
    for version in _all_versions(path)[count:]:
        version.unlink()


def _write_whole(path: Path, data: bytes, beside: Path) -> None:
    beside.unlink(missing_ok=True)  # left by a power cut; the lock, or the name, is ours
    handle = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o600)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(path)
    except OSError:
        beside.unlink(missing_ok=True)
        raise
    _sync_folder(path.parent)


def _sync_folder(folder: Path) -> None:
    if os.name == "nt":  # Windows cannot open a folder; NTFS journals the rename itself
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _beside(path: Path, mark: str = "") -> Path:
    return path.with_name(f".{path.name}{mark}.new")


def _versions_of(path: Path) -> Path:
    return path.parent / VERSIONS_FOLDER / path.name


def _all_versions(path: Path) -> list[Path]:
    folder = _versions_of(path)
    if not folder.is_dir():
        return []
    return sorted((each for each in folder.iterdir() if each.name[:8].isdigit()), key=lambda each: each.name, reverse=True)


def _is_whole(version: Path) -> bool:
    data = _bytes_or_none(version)
    return data is not None and version.stem.split("-")[-1] == fingerprint_of(data)[:16]


def _reads(version: Path, read: Callable[[bytes], object]) -> bool:
    try:
        read(version.read_bytes())
    except WrongInput:
        return False
    return True


def _is_there(path: Path) -> bool:
    try:
        return path.is_file()
    except OSError:
        return False


def _bytes_or_none(path: Path) -> bytes | None:
    try:
        return path.read_bytes()
    except FileNotFoundError:
        return None


def _reason(cause: OSError) -> str:
    return cause.strerror or str(cause)
