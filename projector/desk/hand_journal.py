"""The journal of the lay in her hand: the lay as it was made, then one line for each command. Read again it gives the same lay.

A torn last line (power cut) is left out; so is everything after it.
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from calibration.errors import WrongInput
from calibration.keep import NotKept, append_line, keep
from projector.lay.lay import Lay
from projector.lay_file import lay_read
from projector.session.commands import Command
from projector.steps.given import NOT_TOLD

FORMAT = 1


@dataclass(frozen=True, slots=True)
class MadeLay:
    """A lay as it was made: for which order (its card as typed) and print."""

    order: dict[str, Any]
    motif: dict[str, Any] | None
    lay: Lay


@dataclass(slots=True)
class HandJournal:
    """One file, one lay: a new lay takes the place of the old one."""

    path: Path

    def begin(self, made: MadeLay) -> None:
        """A lay was made. Raises NotKept."""
        told = {"format": FORMAT, "at": _now(), "order": made.order, "motif": made.motif, "lay": made.lay.as_json()}
        keep(self.path, json.dumps(told, ensure_ascii=False) + "\n", versions_kept=0)

    def add(self, command: Command) -> None:
        """A command was obeyed. Raises NotKept; the file is then as it was."""
        line = json.dumps({"at": _now(), "command": command.name, "args": dict(command.args)}) + "\n"
        try:
            append_line(self.path, line.encode())
        except OSError as cause:
            raise NotKept(
                "What you moved was not written down.",
                f"{cause.strerror or cause}: {self.path.parent}.",
                "Make room on the disk, then again.",
            ) from cause

    def read(self) -> tuple[MadeLay, Sequence[Command]] | None:
        """The lay as made and what was done since; None when there is none that can be read."""
        try:
            first, *lines = self.path.read_bytes().split(b"\n")
            told = json.loads(first)
            made = MadeLay(dict(told["order"]), told["motif"], lay_read(told["lay"], self.path.name))
        except (OSError, WrongInput, *NOT_TOLD):
            return None
        commands = []
        for line in lines:
            command = _command_or_none(line)
            if command is None:
                break
            commands.append(command)
        return made, commands


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="milliseconds")


def _command_or_none(line: bytes) -> Command | None:
    try:
        told: Mapping[str, Any] = json.loads(line)
        return Command(str(told["command"]), dict(told["args"]))
    except (ValueError, KeyError, TypeError, RecursionError):
        return None
