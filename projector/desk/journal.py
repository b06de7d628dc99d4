"""What was done, line by line, as it is done. After a power cut the last whole line is where she stood; what was cut is a fact.

One file per order: JSON lines, each with the start of its own sha256: a damaged line is none, never another cut. Opening it keeps
the old file as a version and starts a fresh one from the last state, so it stays short. A cut is on the disk (fsync) before the
picture changes; other changes are written at once and reach the disk itself 0.3 s later, so that a power cut takes half a second
of nudges at most. While an order is on a table no second program takes it.
"""

import contextlib
import hashlib
import json
import os
import threading
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import Any

from filelock import FileLock, Timeout

from calibration.errors import Refused, WrongInput
from calibration.keep import Damaged, NotKept, append_line, keep, load_kept, read_kept
from calibration.records import record_from
from projector.session.snapshot import ClothAt, Colour, Hand, See, Side, Snapshot, Work
from projector.steps.step import Step

FORMAT = 1
FIRST = f'{{"format": {FORMAT}, '.encode()
"""How every line begins."""
SYNC_S = 0.3
"""What the system holds is written through to the disk this much later at most."""


@dataclass(frozen=True, slots=True)
class Stood:
    """What of a snapshot outlives a power cut. Light off and plain light do not: after a cut the lines come back."""

    step: int
    cloth_at: ClothAt
    places: tuple[tuple[int, ClothAt], ...]
    done: tuple[int, ...]
    see: See
    colour: Colour
    worker_side: Side
    lens_side: Side
    cutting_hand: Hand


def stood_of(snapshot: Snapshot) -> Stood:
    """What is written of a snapshot."""
    see = See(**{**asdict(snapshot.see), "light": "lines"})
    return Stood(
        snapshot.step, snapshot.cloth_at, snapshot.places, snapshot.done, see, snapshot.colour, snapshot.worker_side,
        snapshot.lens_side, snapshot.cutting_hand,
    )  # fmt: skip


def fingerprint(steps: tuple[Step, ...]) -> str:
    """Of the steps: another draft or lay has another one, and its cuts are not these cuts."""
    told = json.dumps([asdict(step) for step in steps], sort_keys=True, default=str)
    return hashlib.sha256(told.encode()).hexdigest()[:16]


@dataclass(frozen=True, slots=True)
class Resumed:
    """Where she stood. `is_same`: the steps are the ones that were cut by; else the facts belong to another draft or lay."""

    stood: Stood | None
    is_same: bool
    cuts_before: int
    is_torn: bool = False
    """The last line cannot be read: one more step may have been done than is told here."""


class Journal:
    """The journal of one order's cutting. `path` None: nothing is kept (demonstration)."""

    def __init__(self, path: Path | None, work: Work) -> None:
        self._path, self._print = path, work.mark or (fingerprint(work.steps) if path is not None else "")
        self._last: Stood | None = None
        self._timer: threading.Timer | None = None
        self.resumed = self._read(work)
        if path is not None and self.resumed.stood is not None and self.resumed.is_same:
            keep(path, self._line(self.resumed.stood, "resumed"))
        elif path is not None and _is_there(path) and not (data := read_kept(path).data).endswith(b"\n"):
            keep(path, data + b"\n")  # a torn last line must not swallow the next one

    def _read(self, work: Work) -> Resumed:
        if self._path is None or not _is_there(self._path):
            return Resumed(None, True, 0)
        read = partial(_facts, mark=self._print, count=len(work.steps), name=self._path.name)
        try:
            last, facts, is_torn = load_kept(self._path, read)
        except Damaged:
            raise  # a version tells of cuts
        except WrongInput:
            if not FIRST.startswith(read_kept(self._path).data.strip()[: len(FIRST)]):
                raise
            return Resumed(None, True, 0)  # the very first line, torn by a power cut
        if last["steps"] != self._print:
            return Resumed(None, False, len(facts))
        return Resumed(record_from(Stood, {**last["stood"], "done": sorted(facts)}, "journal"), True, len(facts), is_torn)

    def _line(self, stood: Stood, command: str) -> str:
        at = datetime.now(UTC).isoformat(timespec="milliseconds")
        told = {"format": FORMAT, "at": at, "command": command, "steps": self._print, "stood": asdict(stood)}
        return json.dumps({**told, "check": _check(told)}) + "\n"

    def write(self, snapshot: Snapshot, command: str) -> None:
        """Append when anything that outlives a power cut changed; a new fact is on the disk when this returns.

        Raises NotKept when it cannot be written: the file is then as it was, and the next write tries again.
        """
        stood = stood_of(snapshot)
        if self._path is None or stood == self._last:
            return
        is_fact = self._last is None or stood.done != self._last.done
        try:
            append_line(self._path, self._line(stood, command).encode(), is_on_disk=is_fact)
        except OSError as cause:
            raise NotKept(
                "Where you stand was not written down.",
                f"{cause.strerror or cause}: {self._path.parent}.",
                "Make room on the disk, then again.",
            ) from cause
        self._last = stood
        if not is_fact:
            self._sync_later()

    def _sync_later(self) -> None:
        if self._timer is None or not self._timer.is_alive():
            self._timer = threading.Timer(SYNC_S, self.sync)
            self._timer.daemon = True
            self._timer.start()

    def sync(self) -> None:
        """Write through to the disk what was appended. A disk that cannot is told at the next write."""
        if self._path is None:
            return
        with contextlib.suppress(OSError):
            handle = os.open(self._path, os.O_RDWR)
            try:
                os.fsync(handle)
            finally:
                os.close(handle)


class Claim:
    """One program at a time has an order on a table: a lock beside its journal, let go by the system when the program dies."""

    def __init__(self) -> None:
        self._lock: FileLock | None = None

    @contextlib.contextmanager
    def taking(self, journal: Path | None) -> Iterator[None]:
        """Hold this order's journal; the last one is let go when the block ends well, this one when it does not.

        Raises Refused when another program holds it.
        """
        if journal is not None and self._lock is not None and Path(self._lock.lock_file) == _lock_of(journal):
            yield
            return
        lock = _locked(journal) if journal is not None else None
        try:
            yield
        except BaseException:
            if lock is not None:
                lock.release()
            raise
        self.release()
        self._lock = lock

    def release(self) -> None:
        """Let it go."""
        if self._lock is not None:
            self._lock.release()
        self._lock = None


def _is_there(journal: Path) -> bool:
    """Path.exists, but a folder that may not be entered is told."""
    try:
        return journal.exists()
    except OSError as cause:
        raise NotKept(
            "Where you stood cannot be read.", f"{cause.strerror or cause}: {journal.parent}.", "Choose another folder with --book."
        ) from cause


def _lock_of(journal: Path) -> Path:
    return journal.with_name(f".{journal.name}.lock")


def _locked(journal: Path) -> FileLock:
    lock = FileLock(_lock_of(journal), timeout=0, mode=0o600, thread_local=False)
    try:
        journal.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        lock.acquire()
    except Timeout as cause:
        raise Refused(
            f"{journal.stem} is on a table already.", "Another program here is cutting by it.", "Go on there, or end it first."
        ) from cause
    except OSError as cause:
        raise NotKept(
            "Where you stand cannot be written down.", f"{cause.strerror or cause}: {journal.parent}.", "Choose another folder with --book."
        ) from cause
    return lock


def _check(told: Mapping[str, Any]) -> str:
    """The start of a line's own sha256."""
    return hashlib.sha256(json.dumps(told).encode()).hexdigest()[:16]


def line_or_none(line: bytes) -> dict[str, Any] | None:
    """One line of a journal, None when it is torn, damaged or not ours. Lines of the days before the check have none."""
    try:
        told = json.loads(line)
        if not isinstance(told, dict) or told.get("format") != FORMAT or not isinstance(told.get("steps"), str):
            return None
        check = told.pop("check", None)
        if check is not None and check != _check(told):
            return None
        record_from(Stood, told.get("stood"), "journal")
    except (ValueError, RecursionError, WrongInput):
        return None
    steps = [told["stood"]["step"], *told["stood"]["done"]]
    return told if all(isinstance(step, int) and not isinstance(step, bool) and step >= 0 for step in steps) else None


def _reaches(stood: Any) -> int:
    """The highest step a line tells of."""
    return max(int(step) for step in (0, stood["step"], *stood["done"]))


def _facts(data: bytes, mark: str, count: int, name: str) -> tuple[dict[str, Any], set[int], bool]:
    """A journal's last readable line, what was done by then, whether a line after it cannot be read.

    mark, count: of the steps as they are now; a line of these that tells of a step beyond them is damaged too.
    Raises WrongInput where no line can be read.
    """
    last: dict[str, Any] | None = None
    facts: set[int] = set()
    is_torn = False
    for line in filter(None, data.split(b"\n")):
        told = line_or_none(line)
        is_torn = told is None or (told["steps"] == mark and _reaches(told["stood"]) >= max(1, count))
        if told is None or is_torn:
            continue  # the line before it stands
        if last is not None and told["steps"] != last["steps"]:
            facts = set()
        last = told
        facts |= set(told["stood"]["done"])
    if last is None:
        why = f"Its {len(data)} bytes hold no whole line: what was cut is not known."
        raise WrongInput(f"{name} cannot be read.", why, "Look at the cloth; where nothing is cut, move the file away.")
    return last, facts, is_torn
