"""What was done, line by line, as it is done. After a power cut the last whole line is where she stood; what was cut is a fact.

One file per order: JSON lines. Opening it keeps the old file as a version and starts a fresh one from the last state, so it
stays short. A cut is on the disk (fsync) before the picture changes; other changes are written at once and synced with the next.
"""

import hashlib
import json
import os
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from calibration.errors import WrongInput
from calibration.keep import keep, read_kept
from calibration.records import record_from
from projector.session.snapshot import ClothAt, Colour, Hand, See, Side, Snapshot, Work

FORMAT = 1


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


def fingerprint(work: Work) -> str:
    """Of the steps: another draft or lay has another one, and its cuts are not these cuts."""
    told = json.dumps([asdict(step) for step in work.steps], sort_keys=True, default=str)
    return hashlib.sha256(told.encode()).hexdigest()[:16]


@dataclass(frozen=True, slots=True)
class Resumed:
    """Where she stood. `is_same`: the steps are the ones that were cut by; else the facts belong to another draft or lay."""

    stood: Stood | None
    is_same: bool
    cuts_before: int


class Journal:
    """The journal of one order's cutting. `path` None: nothing is kept (demonstration)."""

    def __init__(self, path: Path | None, work: Work) -> None:
        self._path, self._print = path, fingerprint(work)
        self._last: Stood | None = None
        self.resumed = self._read(work)
        if path is not None and self.resumed.stood is not None and self.resumed.is_same:
            keep(path, self._line(self.resumed.stood, "resumed"))
        elif path is not None and path.exists() and not (data := read_kept(path).data).endswith(b"\n"):
            keep(path, data + b"\n")  # a torn last line must not swallow the next one

    def _read(self, work: Work) -> Resumed:
        if self._path is None or not self._path.exists():
            return Resumed(None, True, 0)
        last: dict[str, Any] | None = None
        facts: set[int] = set()
        for line in read_kept(self._path).data.split(b"\n"):
            told = _line_or_none(line)
            if told is None:
                continue  # torn by a power cut: the line before it stands
            if last is not None and told["steps"] != last["steps"]:
                facts = set()
            last = told
            facts |= set(told["stood"]["done"])
        if last is None:
            return Resumed(None, True, 0)
        is_same = last["steps"] == self._print
        if not is_same:
            return Resumed(None, False, len(facts))
        stood = record_from(Stood, {**last["stood"], "done": sorted(facts)}, "journal")
        if not 0 <= stood.step < max(1, len(work.steps)):
            raise WrongInput(f"{self._path.name} does not fit this order.", f"It stands at step {stood.step + 1}.", "Move it away.")
        return Resumed(stood, True, len(facts))

    def _line(self, stood: Stood, command: str) -> str:
        at = datetime.now(UTC).isoformat(timespec="milliseconds")
        return json.dumps({"format": FORMAT, "at": at, "command": command, "steps": self._print, "stood": asdict(stood)}) + "\n"

    def write(self, snapshot: Snapshot, command: str) -> None:
        """Append when anything that outlives a power cut changed; a new fact is on the disk when this returns."""
        stood = stood_of(snapshot)
        if self._path is None or stood == self._last:
            return
        is_fact = self._last is None or stood.done != self._last.done
        self._last = stood
        self._path.parent.mkdir(parents=True, exist_ok=True)
        with self._path.open("ab") as file:
            file.write(self._line(stood, command).encode())
            file.flush()
            if is_fact:
                os.fsync(file.fileno())


def _line_or_none(line: bytes) -> dict[str, Any] | None:
    try:
        told = json.loads(line)
    except (UnicodeDecodeError, json.JSONDecodeError):
        return None
    return told if isinstance(told, dict) and told.get("format") == FORMAT and "stood" in told and "steps" in told else None
