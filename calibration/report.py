"""Pictures of a solve for `--report DIR`: each photograph with its spots, and a map of the predicted error."""

from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from calibration.arrays import Array
from calibration.calibrate import Calibrated
from calibration.old_frame import InOldFrame
from calibration.photograph import Photograph
from calibration.table import Table
from calibration.unknowns import LIGHT

Picture = NDArray[np.uint8]
USED_SHEET, USED_LIGHT, REFUSED = (90, 200, 70), (235, 180, 40), (60, 60, 235)  # blue, green, red
LONG_PX = 1600
GRID = (33, 19)
ERROR_TOP_MM = 1.0  # the smallest cutting tolerance of the trade: brighter than this is not cut by
MARK_BITS = 4


def report_files(result: Calibrated | InOldFrame) -> list[tuple[str, Picture]]:
    """(file name, picture) of every photograph and, when there is a table, the error map."""
    files = [(f"photo-{number}.png", _photo_picture(result, number - 1)) for number in range(1, len(result.looks) + 1)]
    if result.table is not None:
        files.append(("error.png", _error_picture(result.table)))
    return files


def write_report(result: Calibrated | InOldFrame, folder: Path) -> None:
    """All of them into `folder`."""
    import cv2

    folder.mkdir(parents=True, exist_ok=True)
    for name, picture in report_files(result):
        cv2.imwrite(str(folder / name), picture)


def _shrunk(photograph: Photograph) -> tuple[Picture, float]:
    """(picture at most LONG_PX long, its px per full px)."""
    import cv2

    small = photograph.small
    scale = min(1.0, LONG_PX / max(small.shape[:2]))
    shown = cv2.resize(small, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
    dimmed = np.asarray(shown * 0.6, dtype=np.uint8)  # the marks have to stand out
    return dimmed, scale / photograph.reduced


def _photo_picture(result: Calibrated | InOldFrame, number: int) -> Picture:
    shown, scale = _shrunk(result.looks[number].photograph)
    if isinstance(result, InOldFrame):
        _rings(shown, result.looks[number].at, scale, USED_LIGHT)
        _words(shown, [f"Blue rings: {len(result.looks[number].at)} spots of light used."], 0)
        return shown
    work = result.work
    if work is None or number not in work.tied:
        problem = result.verdict.problems[number]
        _words(shown, ["Nothing in this photograph could be used" + (f": {problem}." if problem else ".")], 0)
        return shown
    mine = work.solved.spots.photo == work.tied.index(number)
    spots, used = work.solved.spots, work.solved.used
    _rings(shown, spots.at[mine & used & (spots.drawing != LIGHT)], scale, USED_SHEET)
    _rings(shown, spots.at[mine & used & (spots.drawing == LIGHT)], scale, USED_LIGHT)
    _crosses(shown, spots.at[mine & ~used], scale, REFUSED)
    missing = [str(page) for drawing, page in enumerate(work.pages) if not (mine & (spots.drawing == drawing)).any()]
    on_sheets = int((mine & used & (spots.drawing != LIGHT)).sum())
    left_out, problem = int((mine & ~used).sum()), result.verdict.problems[number]
    lines = [f"Green rings: {on_sheets} printed spots used. Blue rings: {int((mine & used).sum()) - on_sheets} spots of light used."]
    lines += [f"Red crosses: {left_out} spots left out, they do not fit the rest."] if left_out else []
    lines += [f"Sheet {', '.join(missing)}: not found here."] if missing else []
    _words(shown, lines + ([f"This photograph: {problem}."] if problem else []), 0)
    return shown


def _fine(at: Array, scale: float) -> NDArray[np.int_]:
    """Places in the full photograph as whole sixteenths of a pixel of the shown one."""
    return np.asarray(np.round(((at + 0.5) * scale - 0.5) * 2**MARK_BITS), dtype=np.int_)


def _rings(picture: Picture, at: Array, scale: float, colour: tuple[int, int, int]) -> None:
    import cv2

    for x, y in _fine(at, scale):
        cv2.circle(picture, (int(x), int(y)), 4 * 2**MARK_BITS, colour, 1, cv2.LINE_AA, MARK_BITS)


def _crosses(picture: Picture, at: Array, scale: float, colour: tuple[int, int, int]) -> None:
    import cv2

    reach = 5 * 2**MARK_BITS
    for x, y in _fine(at, scale):
        cv2.line(picture, (int(x - reach), int(y - reach)), (int(x + reach), int(y + reach)), colour, 1, cv2.LINE_AA, MARK_BITS)
        cv2.line(picture, (int(x - reach), int(y + reach)), (int(x + reach), int(y - reach)), colour, 1, cv2.LINE_AA, MARK_BITS)


def _words(picture: Picture, lines: list[str], top: int) -> None:
    import cv2

    for place, line in enumerate(lines):
        at = (18, top + 34 + 30 * place)
        for right, down in ((-2, 0), (2, 0), (0, -2), (0, 2)):  # a thicker letter is a wider one: a shadow on every side instead
            cv2.putText(picture, line, (at[0] + right, at[1] + down), cv2.FONT_HERSHEY_SIMPLEX, 0.8, (0, 0, 0), 1, cv2.LINE_AA)
        cv2.putText(picture, line, at, cv2.FONT_HERSHEY_SIMPLEX, 0.8, (255, 255, 255), 1, cv2.LINE_AA)


def _error_picture(table: Table) -> Picture:
    """The light's picture in grey: black is 0, white is ERROR_TOP_MM or more; numbers are the 95 % radius in mm."""
    import cv2

    width, height = table.size
    columns, rows = GRID
    radii = table.shape_error_mm(table.places_mm(columns, rows)).reshape(rows, columns)
    level = np.nan_to_num(np.clip(radii / ERROR_TOP_MM, 0.0, 1.0), nan=1.0)
    scale = min(1.0, LONG_PX / max(width, height))
    shown = cv2.resize((level * 220.0).astype(np.uint8), (round(width * scale), round(height * scale)), interpolation=cv2.INTER_CUBIC)
    picture: Picture = cv2.cvtColor(shown, cv2.COLOR_GRAY2BGR).astype(np.uint8)
    for row in range(1, rows, 4):
        for column in range(2, columns, 7):
            x, y = column * (width - 1) / (columns - 1), row * (height - 1) / (rows - 1)
            at = (int(x * scale) - 24, int(y * scale) + 6)
            told = f"{radii[row, column]:.2f}" if np.isfinite(radii[row, column]) else "no table"
            cv2.putText(picture, told, at, cv2.FONT_HERSHEY_SIMPLEX, 0.6, (255, 255, 255), 1, cv2.LINE_AA)
    words = f"How far off a line may lie here, in mm (95 times in 100 it is nearer). Black 0, grey to white: {ERROR_TOP_MM:g} mm or more."
    _words(picture, [words], picture.shape[0] * 5 // 6 - 34)  # between two rows of numbers
    return picture
