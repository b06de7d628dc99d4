"""The saved table from a finished solve."""

import numpy as np

from calibration.hang import hung, lens_of_plane, plane_of
from calibration.made import made_by
from calibration.saddles import Array
from calibration.size import bar_percent, bars_percent
from calibration.solve import Work
from calibration.table import Inputs, LensPosition, Noise, Photograph, ShapeError, SheetPlace, Table, Taped, rows, rows3
from calibration.unknowns import LIGHT

DRAWS = 200
WORST_LENS_SD_MM = 400.0


def lens_position(lamp: Array, covariance: Array, size: tuple[int, int], seed: int = 1) -> LensPosition | None:
    """Where the lamp's lens is, with standard deviations from draws of the map's covariance; None when too loose to use."""
    middle = lens_of_plane(plane_of(lamp, size)[0], size)
    if middle is None:
        return None
    draws = np.random.default_rng(seed).multivariate_normal(lamp, covariance, size=DRAWS, method="eigh")
    found = [place for draw in draws if (place := lens_of_plane(plane_of(draw, size)[0], size)) is not None]
    if len(found) < 0.9 * DRAWS:
        return None
    sd = np.std(found, axis=0)
    if not (middle[2] > 0.0 and sd[2] < WORST_LENS_SD_MM):
        return None
    return LensPosition((float(middle[0]), float(middle[1]), float(middle[2])), (float(sd[0]), float(sd[1]), float(sd[2])))


def table_of(work: Work, taped: Taped, widen: float, floor_mm: float, sheets_file: str) -> Table:
    """The table of a solve; `widen` multiplies the standard deviations, `floor_mm` is added everywhere."""
    solved = work.solved
    at = solved.setting.lamp_at(work.stand)
    lamp, covariance, move = hung(solved.x[at], solved.covariance[np.ix_(at, at)] * widen**2, work.size)
    plane, lens = plane_of(lamp, work.size)
    light = solved.used & (solved.spots.drawing == LIGHT)
    printed = solved.used & (solved.spots.drawing != LIGHT)
    photographs = tuple(Photograph(work.looks[n].photograph.file, work.looks[n].photograph.sha256) for n in work.tied)
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


def size_percent(taped: Taped) -> float | None:
    """95 % size error left by the taped bars; None when nothing was taped."""
    bars = [bar for bar in (taped.bar_x_mm, taped.bar_y_mm) if bar is not None]
    if len(bars) == 2:
        return bars_percent(bars[0], bars[1])
    return bar_percent(bars[0]) if bars else None


def _rms(residual: Array) -> float:
    return float(np.sqrt(np.mean(residual**2))) if len(residual) else 0.0
