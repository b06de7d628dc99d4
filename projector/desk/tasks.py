"""What jobs can do. Each runs in a child process; arguments and answers are picklable."""

from dataclasses import dataclass
from pathlib import Path

from calibration.errors import Refused
from calibration.made import made_by
from calibration.table import Table


@dataclass(frozen=True, slots=True)
class Solved:
    """A table from photographs and what to tell her."""

    table: Table
    what: str
    why: str
    next_step: str


class NotSolved(Refused):
    """Photographs that give no table good enough."""


def solve(photos: list[Path], sheets: Path, size: tuple[int, int], bar_x_mm: float | None = None, bar_y_mm: float | None = None) -> Solved:
    """Photographs of the frame on the sheets to a table. Raises NotSolved with the reason."""
    from calibration.calibrate import calibrate

    result = calibrate(photos, sheets, size, bar_x_mm, bar_y_mm)
    message = result.verdict.message
    if not result.verdict.solved or result.table is None:
        raise NotSolved(message.what, message.why, message.next)
    return Solved(result.table, message.what, message.why, message.next)


def prove(table: Table, shown_mm: float, taped_mm: float) -> Table:
    """The table after the long line was taped."""
    from calibration.size import proved

    return proved(table, shown_mm, taped_mm, made_by("proof")).table


def by_eye(table: Table, crosses_px: dict[int, tuple[float, float]]) -> Table:
    """The table after every cross was moved onto its spot."""
    from calibration.by_eye import by_eye as made_true

    return made_true(table, crosses_px, made_by("by eye"))
