"""The pictures of `solve --report`: one a photograph and the error map; a refused solve is pictured too."""

from pathlib import Path

import cv2
import numpy as np

from calibration.calibrate import calibrate
from calibration.frame import frame_picture
from calibration.report import USED_LIGHT, USED_SHEET, write_report
from calibration.sheets_files import write_sheets
from tests.virtual_table import LANDSCAPE_3MP, good, hostile, pages_of, photographs

SIZE = (1920, 1080)


def near(picture: np.ndarray, colour: tuple[int, int, int]) -> int:
    """How many pixels have about this colour."""
    return int((np.abs(picture.astype(int) - np.array(colour)).max(axis=2) < 40).sum())


def test_used_spots_are_ringed_and_the_error_map_stands_beside(tmp_path: Path) -> None:
    write_sheets(tmp_path, "a4", 4, 200.0)
    scene = good(2, pages_of(tmp_path), SIZE, 1, LANDSCAPE_3MP)
    photos = photographs(scene, [np.ascontiguousarray(frame_picture(SIZE)[..., ::-1])], tmp_path / "shot")
    result = calibrate(photos, tmp_path / "sheets.json", SIZE)
    write_report(result, tmp_path / "report")
    assert sorted(file.name for file in (tmp_path / "report").iterdir()) == ["error.png", "photo-1.png"]
    shown = cv2.imread(str(tmp_path / "report" / "photo-1.png"))
    assert shown is not None
    assert near(shown, USED_SHEET) > 1000  # a hundred rings of some 25 px each; none of it is in the photograph itself (below)
    assert near(shown, USED_LIGHT) > 4000  # some three hundred


def test_a_refused_photograph_is_pictured_without_rings(tmp_path: Path) -> None:
    write_sheets(tmp_path, "a4", 4, 200.0)
    scene = hostile("no sheets", 1, pages_of(tmp_path), SIZE, LANDSCAPE_3MP)
    photos = photographs(scene, [np.ascontiguousarray(frame_picture(SIZE)[..., ::-1])], tmp_path / "shot")
    result = calibrate(photos, tmp_path / "sheets.json", SIZE)
    assert not result.verdict.solved
    write_report(result, tmp_path / "report")
    shown = cv2.imread(str(tmp_path / "report" / "photo-1.png"))
    assert shown is not None
    assert (near(shown, USED_SHEET), near(shown, USED_LIGHT)) == (0, 0)
    assert not (tmp_path / "report" / "error.png").exists()
