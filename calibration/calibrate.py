"""Photographs, sheets and what was taped to a table and a verdict: the whole of `calibration solve`, for other programs too."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from calibration.assemble import table_of
from calibration.judge import Verdict, judge_looks, judge_work, photo_rows
from calibration.sheets import read_sheets
from calibration.size import stretch_of
from calibration.solve import Look, Work, look_at, once, work_out
from calibration.table import RIGID_GRID, Table, Taped
from calibration.unknowns import LIGHT

WIDEN_ALONE = 1.4
"""One photograph alone: a cutting mat's lines disturb the spots of light alike from one to the next, and nothing contradicts them."""
WIDEN_UNEVEN, UNEVEN = 2.0, 1.0
"""Paper that is not flat moves neighbouring spots alike, and the covariance knows nothing of it. It shows: a sheet is refused, or printed
spots scatter more than their own estimate (0.35 to 0.8 of it on flat and curled sheets, 1.2 to 4.7 of it in waves of 1.5 mm)."""
FLOOR_MM = 0.03
"""Added everywhere: what no spot tells, such as paper that grows 0.1 mm on a page with damp air between print and photograph."""


@dataclass(frozen=True, slots=True, eq=False)
class Calibrated:
    """Verdict, and the table when there is one (also when refused, for the report)."""

    verdict: Verdict
    table: Table | None
    work: Work | None
    looks: list[Look]

    def as_json(self) -> dict[str, Any]:
        """The object of `solve --json`."""
        table = self.table
        return {
            "status": "solved" if self.verdict.solved else "refused",
            "spots_used": int(self.work.solved.used.sum()) if self.work is not None else 0,
            "photos": photo_rows(self.work, self.looks, self.verdict),
            "shape_mm": shape_mm(table) if table is not None and self.verdict.solved else None,
            "size_percent": round(table.size_percent, 3) if table is not None and table.size_percent is not None else None,
            "message": self.verdict.message.as_json(),
        }


def shape_mm(table: Table) -> dict[str, float]:
    """95 % shape radius in the middle, the median along the edge, the worst place."""
    across, down = RIGID_GRID
    radii = table.shape_error_mm(table.places_mm()).reshape(down, across)
    edge = np.concatenate([radii[0], radii[-1], radii[1:-1, 0], radii[1:-1, -1]])
    told = {"centre": radii[down // 2, across // 2], "edge": np.median(edge), "worst": radii.max()}
    return {where: round(float(radius), 3) for where, radius in told.items()}


def _uneven(work: Work) -> bool:
    """Whether the sheets lay less flat than the solve can follow."""
    printed = [scale for (_, light), scale in work.solved.scale.items() if not light]
    return max(printed, default=0.0) > UNEVEN or any(drawing != LIGHT for _, drawing in work.solved.refused)


def calibrate(
    photos: list[Path], sheets_file: Path, size: tuple[int, int], bar_x_mm: float | None = None, bar_y_mm: float | None = None
) -> Calibrated:
    """Find, solve, judge."""
    sheets = read_sheets(sheets_file)
    stretch = stretch_of(sheets, bar_x_mm, bar_y_mm)
    looks = once([look_at(photo, sheets, size) for photo in photos])
    work = work_out(looks, sheets, size, stretch)
    if work is None:
        return Calibrated(judge_looks(looks), None, None, looks)
    widen = (WIDEN_ALONE if len(work.tied) == 1 else 1.0) * (WIDEN_UNEVEN if _uneven(work) else 1.0)
    table = table_of(work, Taped(bar_x_mm, bar_y_mm), widen, FLOOR_MM, sheets_file.name)
    return Calibrated(judge_work(work, table), table, work, looks)
