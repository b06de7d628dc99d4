"""What bad photographs get, on the virtual table (3 megapixels, seconds each): refused with the reason, or true within the stated error.

One scene a case, seed 1; which of both is said of each. Growing this table is a row. Print scale cannot be seen in any photograph:
`print 98` has to come out two per cent off and unproved (state stop), and true once both bars are taped.
"""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from calibration.calibrate import Calibrated, calibrate
from calibration.frame import frame_picture
from calibration.sheets_files import write_sheets
from tests.virtual_table import LANDSCAPE_3MP, Score, Truth, hostile, pages_of, photographs, scored, truth_of

SIZE = (1920, 1080)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Four printed pages."""
    made = tmp_path_factory.mktemp("sheets")
    write_sheets(made, "a4", 4, 200.0)
    return made


def taken(folder: Path, out: Path, case: str, thrown: tuple[int, int] = SIZE) -> tuple[list[Path], Truth]:
    """(two photographs of one spoilt scene, its truth)."""
    scene = hostile(case, 1, pages_of(folder), SIZE, LANDSCAPE_3MP)
    return photographs(scene, [np.ascontiguousarray(frame_picture(thrown)[..., ::-1])], out), truth_of(scene)


def solved(folder: Path, out: Path, case: str) -> tuple[Calibrated, Score | None]:
    """(result, its score against the truth when there is a table) of one spoilt scene."""
    photos, truth = taken(folder, out, case)
    result = calibrate(photos, folder / "sheets.json", SIZE)
    table = result.table
    return result, None if table is None else scored(table.mm_from_px, truth, table.shape_error_mm)


@pytest.mark.parametrize(
    ("case", "reason"),
    [
        ("no sheets", "sheet"), ("light off", "light"), ("dark", "dark"), ("blur 15", "blurred"),
        ("overexposed", "too bright"),
        *(
            pytest.param(case, reason, marks=pytest.mark.long)
            for case, reason in (("chat program tiny", "shrunk"), ("wavy 6", "sheets contradict each other"), ("blur 6", "blurred"))
        ),
    ],
)  # fmt: skip
def test_refused_with_the_reason(folder: Path, tmp_path: Path, case: str, reason: str) -> None:
    result, _ = solved(folder, tmp_path, case)
    message = result.verdict.message
    assert not result.verdict.solved, message
    told = f"{message.what} {message.why}".lower()
    assert reason in told
    assert message.next
    assert any(character.isdigit() for character in told), "the why holds numbers"


@pytest.mark.parametrize(
    ("case", "worst_mm", "told"),
    [
        ("curled 5", 0.25, "is calibrated"), ("lamp moved 0.2", 0.12, "The lamp moved"), ("shelf 30", 0.15, "is calibrated"),
        *(
            pytest.param(case, worst_mm, "is calibrated", marks=pytest.mark.long)
            for case, worst_mm in (("noise", 0.15), ("glare 30", 0.15), ("desktop scaled", 0.08), ("wavy", 0.8), ("chat program", 0.25))
        ),
    ],
)  # fmt: skip
def test_true_within_the_stated_error(folder: Path, tmp_path: Path, case: str, worst_mm: float, told: str) -> None:
    """At least 70 % of places within the stated 95 % radius in any one scene (80 % with curled sheets, else 96 and more), and none
    further off than half as much again as was reached: all under 1 mm, the trade's smallest cutting tolerance."""
    result, score = solved(folder, tmp_path, case)
    assert result.verdict.solved, result.verdict.message
    assert told in result.verdict.message.what
    assert score is not None
    assert score.covered >= 0.70, score.line()
    assert score.max_mm < worst_mm, score.line()


def test_a_frame_of_another_size_is_refused(folder: Path, tmp_path: Path) -> None:
    """The desktop stretches a 1280x720 picture over the light: its codes say so."""
    photos, _ = taken(folder, tmp_path, "noise", (1280, 720))
    result = calibrate(photos, folder / "sheets.json", SIZE)
    assert not result.verdict.solved
    assert "1280" in f"{result.verdict.message.what} {result.verdict.message.why} {result.verdict.message.next}"


def test_a_mirrored_light_is_solved_and_told(folder: Path, tmp_path: Path) -> None:
    """Rear projection left on: the map is true (95 % of places within the stated radius) and the lamp's menu is named."""
    result, score = solved(folder, tmp_path, "mirrored")
    assert result.verdict.solved
    assert "mirror image" in result.verdict.message.what
    assert "front projection" in result.verdict.message.next
    assert score is not None
    assert score.covered >= 0.95, score.line()


@pytest.mark.long
@pytest.mark.parametrize(("case", "height"), [("stretch 0.3", 0.997), ("stretch 1", 0.99)])
def test_a_print_stretched_one_way_is_true_once_taped(folder: Path, tmp_path: Path, case: str, height: float) -> None:
    """Sheets lying crosswise to each other show the stretch; bars of 180 and 250 mm taped exactly settle the size (0.02 %)."""
    photos, truth = taken(folder, tmp_path, case)
    blind = calibrate(photos, folder / "sheets.json", SIZE).table
    table = calibrate(photos, folder / "sheets.json", SIZE, 180.0, 250.0 * height).table
    assert blind is not None
    assert blind.state == "stop"
    assert table is not None
    score = scored(table.mm_from_px, truth, table.shape_error_mm)
    assert score.max_mm < 0.3, score.line()
    assert score.covered >= 0.70, score.line()


def test_a_photograph_of_the_sheets_alone_hinders_nothing(folder: Path, tmp_path: Path) -> None:
    """The lamp was off in the second photograph: it is named, the first one is solved."""
    lit, off = (hostile(case, 1, pages_of(folder), SIZE, LANDSCAPE_3MP) for case in ("curled 2", "light off"))
    thrown = [np.ascontiguousarray(frame_picture(SIZE)[..., ::-1])]
    one = photographs(replace(lit, phones=lit.phones[:1]), thrown, tmp_path / "lit")
    two = photographs(replace(off, phones=off.phones[1:]), thrown, tmp_path / "off")
    result = calibrate([*one, *two], folder / "sheets.json", SIZE)
    assert result.verdict.solved, result.verdict.message
    assert result.verdict.problems[0] is None
    assert result.verdict.problems[1] is not None
    assert "photograph 2" in result.verdict.message.what


def test_a_shrunken_print_needs_the_tape(folder: Path, tmp_path: Path) -> None:
    """98 %: nothing in a picture shows it, so nothing may be cut; both bars taped (180 and 250 mm at 98 %) make it true."""
    photos, truth = taken(folder, tmp_path, "print 98")
    blind = calibrate(photos, folder / "sheets.json", SIZE).table
    taped = calibrate(photos, folder / "sheets.json", SIZE, 0.98 * 180.0, 0.98 * 250.0).table
    assert blind is not None
    assert taped is not None
    assert (blind.state, taped.state) == ("stop", "check")
    assert scored(blind.mm_from_px, truth).scale_percent == pytest.approx(2.04, abs=0.05)  # 1 / 0.98
    assert scored(taped.mm_from_px, truth).p95_mm < 0.3
