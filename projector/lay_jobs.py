"""Laying as a job: chance, clock and files for the pure stage `projector.lay`."""

import json
import random
from collections.abc import Callable
from pathlib import Path
from time import monotonic

from calibration.errors import WrongInput
from calibration.records import record_from
from calibration.units import Unit, signed_mm
from projector.garment.pieces import Garment
from projector.lay.board import Spot
from projector.lay.cloth import USUAL_LIGHT, Budget, length_from_text
from projector.lay.lay import Lay
from projector.lay.outlines import OutlinesCard, lay_outlines
from projector.lay.print_place import Motif, unknown_piece
from projector.lay.task import Task, Tools
from projector.lay_extra import ask_extra, nothing

BESIDE_SHARE = 0.2
"""Of the seconds given, linings and interfacings get no more than this together."""


def search_tools(seconds: float | None = None, say: Callable[[str], None] | None = None) -> Tools:
    """Seeded chance, patience of so many seconds from now, progress as sentences; with a clock also the extra, when installed."""
    begun = monotonic()
    end = None if seconds is None else begun + seconds

    def keep_going() -> bool:
        return end is None or monotonic() < end

    def keep_going_beside() -> bool:
        return monotonic() < begun + BESIDE_SHARE * (seconds or 0.0)

    def tell(name: str, used_mm: float, trials: int) -> None:
        if say is not None:
            say(f"{name}: {used_mm:.0f} mm after {trials} trials")

    def ask_closer(task: Task) -> Callable[[], tuple[Spot, ...] | None]:
        return nothing if end is None else ask_extra(task, end - monotonic())

    return Tools(random.Random, keep_going, tell, ask_closer, None if seconds is None else keep_going_beside)


def lay_outline_file(file: Path, width_mm: float, budget: Budget, tools: Tools) -> Lay:
    """Read a file of plain outlines and lay them open. Raises WrongInput, ClothTooSmall."""
    try:
        told = json.loads(file.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, json.JSONDecodeError) as cause:
        raise WrongInput(f"{file} cannot be read.", str(cause), "Give a JSON file of outlines.") from cause
    return lay_outlines(record_from(OutlinesCard, told, "file of outlines"), width_mm, budget, USUAL_LIGHT, tools)


def binding_from(typed: str, unit: Unit | None) -> tuple[float, float]:
    """Length when joined and width of a binding as typed (`3 m, 35 mm`), mm. Raises WrongInput."""
    words = [word.strip() for word in typed.split(",")]
    if len(words) != 2:
        raise WrongInput(f"{typed!r} is no binding.", "LENGTH and WIDTH are wanted.", "Write '3 m, 35 mm'.")
    return length_from_text(words[0], unit), length_from_text(words[1], unit)


LEVELS = ("bust", "waist", "hip", "knee")


def motif_on(garment: Garment, name: str, level: str, lower: str, unit: Unit, at: tuple[str, str] | None = None) -> Motif:
    """A level of a piece and how far below it (`-` above), as a point on its centre line; `at`: its place on the cloth as typed.

    Raises WrongInput for a piece or level that is not there.
    """
    piece = next((each for each in garment.pieces if each.name == name), None)
    if piece is None:
        raise unknown_piece(name, [each.name for each in garment.pieces])
    levels = [key for key in piece.levels if key in LEVELS]
    if level not in levels:
        raise WrongInput(f"{name} has no {level or 'such'} level.", f"It has {', '.join(levels) or 'none'}.", "Choose one of them.")
    point = (min(x for x, _ in piece.seam_line), piece.level_y(level) + signed_mm(lower.strip() or "0", unit))
    return Motif(name, point, None if at is None else (length_from_text(at[0], unit), length_from_text(at[1], unit)))
