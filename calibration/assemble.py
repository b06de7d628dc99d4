"""The saved table from a finished solve."""

import numpy as np

from calibration.arrays import Array
from calibration.hang import hung
from calibration.lens_place import lens_position
from calibration.light import plane_of
from calibration.made import made_by
from calibration.size import size_percent
from calibration.solve import Work
from calibration.table import Inputs, Noise, PhotographFile, ShapeError, SheetPlace, Table, Taped, rows, rows3
from calibration.unknowns import LIGHT


def table_of(work: Work, taped: Taped, widen: float, floor_mm: float, sheets_file: str) -> Table:
    """The table of a solve; `widen` multiplies the standard deviations, `floor_mm` is added everywhere."""
    solved = work.solved
    at = solved.setting.lamp_at(work.stand)
    lamp, covariance, move = hung(solved.x[at], solved.covariance[np.ix_(at, at)] * widen**2, work.size)
    plane, lens = plane_of(lamp, work.size)
    light = solved.used & (solved.spots.drawing == LIGHT)
    printed = solved.used & (solved.spots.drawing != LIGHT)
    photographs = tuple(PhotographFile(work.looks[n].photograph.file, work.looks[n].photograph.sha256) for n in work.tied)
    return Table(
        size=work.size,
        homography_px_from_mm=rows3(plane),
        lens=lens,
        shape=ShapeError(rows(covariance), floor_mm),
        made=made_by("solve"),
        lens_position=lens_position(lamp, covariance, work.size),
        size_percent=size_percent(taped),
        taped=taped,
        sheets=sheet_places(work, move),
        noise=Noise(_rms(solved.residual[printed]), _rms(solved.residual[light])),
        inputs=Inputs(photographs, sheets_file, int(solved.used.sum())),
    )


def sheet_places(work: Work, move: Array) -> tuple[SheetPlace, ...]:
    """Where each sheet lies in the table frame; `move` (3 x 3) takes the solve's frame there."""
    setting = work.solved.setting
    width, height = (float(side) for side in setting.page * work.stretch)
    turned = np.arctan2(move[1, 0], move[0, 0])
    places = []
    for sheet, page in enumerate(work.pages):
        x, y, turn = work.solved.x[setting.sheet_at(sheet)] if sheet else np.zeros(3)
        at = move @ np.array([x, y, 1.0])
        places.append(SheetPlace(page, (float(at[0]), float(at[1])), float(np.degrees(turn + turned)), (width, height)))
    return tuple(places)


def _rms(residual: Array) -> float:
    return float(np.sqrt(np.mean(residual**2))) if len(residual) else 0.0
