"""Laying as a job: chance, clock and files for the pure stage `projector.lay`."""

import json
import random
from collections.abc import Callable
from pathlib import Path
from time import monotonic

from calibration.errors import WrongInput
from calibration.records import record_from
from projector.lay.board import Spot
from projector.lay.cloth import Budget, Light
from projector.lay.lay import Lay
from projector.lay.outlines import OutlinesCard, lay_outlines
from projector.lay.task import Task, Tools
from projector.lay_extra import ask_extra, nothing


def search_tools(seconds: float | None = None, say: Callable[[str], None] | None = None) -> Tools:
    """Seeded chance, patience of so many seconds from now, progress as sentences; with a clock also the extra, when installed."""
    end = None if seconds is None else monotonic() + seconds

    def keep_going() -> bool:
        return end is None or monotonic() < end

    def tell(name: str, used_mm: float, trials: int) -> None:
        if say is not None:
            say(f"{name}: {used_mm:.0f} mm after {trials} trials")

    def ask_closer(task: Task) -> Callable[[], tuple[Spot, ...] | None]:
        return nothing if end is None else ask_extra(task, end - monotonic())

    return Tools(random.Random, keep_going, tell, ask_closer)


def lay_outline_file(file: Path, width_mm: float, budget: Budget, tools: Tools, light: Light | None = None) -> Lay:
    """Read a file of plain outlines and lay them open. Raises WrongInput, ClothTooSmall."""
    try:
        told = json.loads(file.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, json.JSONDecodeError) as cause:
        raise WrongInput(f"{file} cannot be read.", str(cause), "Give a JSON file of outlines.") from cause
    return lay_outlines(record_from(OutlinesCard, told, "file of outlines"), width_mm, budget, light or Light(), tools)
