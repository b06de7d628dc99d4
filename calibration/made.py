"""By which version, command and on which day something was made: stands in every file that is kept."""

from dataclasses import dataclass
from typing import ClassVar


@dataclass(frozen=True, slots=True)
class Made:
    """`command` as typed without paths (solve, proof, …), `version` of the program, `day` as YYYY-MM-DD."""

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    command: str
    version: str
    day: str

    @property
    def words(self) -> str:
        """`2026-01-01, version 1.0`: day and version as they stand on paper."""
        return f"{self.day}, version {self.version}"


def made_by(command: str) -> Made:
    """The record for something made now by this version."""
    from datetime import date
    from importlib.metadata import version

    return Made(command, version("cutting-table-projector"), date.today().isoformat())
