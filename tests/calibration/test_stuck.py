"""Spots stuck to the table: survey, re-calibration after a knock, check. Spot level for many trials, one rendered table for all of it."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from calibration.__main__ import app
from calibration.command_line import run_app
from calibration.errors import Refused, WrongInput
from calibration.frame import frame_picture
from calibration.old_frame import in_old_frame, moved_frame
from calibration.sheets_files import write_sheets
from calibration.stuck import checked, hung_on_spots, surveyed
from calibration.table import Table
from tests.calibration.exact import MADE, bench, exact_table, knocked, solved_table, spot_look, with_survey
from tests.virtual_table import good, labels_of, photographs, scored, stuck_labels, truth_of
from tests.virtual_table.truth import grid_px


def test_one_photograph_makes_a_knocked_table_true_again() -> None:
    """10 tables known to their own error, surveyed by two photographs, knocked by 1 degree (10 to 30 mm), one photograph.

    Goal of the bench at a survey error of 0.05 mm: 0.1 mm rms (our own goal, spot level); 0.040 is reached. Stated radius: 95 %
    pooled, at most three times the true one. The frame hangs on the spots: the place too is kept, to 0.28 mm at the worst.
    """
    rms, inside, ratios, still = [], [], [], []
    for seed in range(10):
        random = np.random.default_rng([seed, 4])
        scene, truth, stuck = bench(seed)
        table = solved_table(truth, random)
        after = surveyed(table, [spot_look(phone, truth, stuck, random) for phone in scene.phones], MADE)
        assert len(after.spots) == 6
        moved, phone = knocked(scene, truth, 1.0, random)
        again = hung_on_spots(after, [spot_look(phone, moved, stuck, random)], MADE)
        score = scored(again.mm_from_px, moved, again.shape_error_mm)
        rms.append(score.rms_mm)
        inside.append(score.covered)
        ratios.append(score.stated_over_true)
        px = grid_px(truth.lamp.size)
        still.append(np.linalg.norm(again.mm_from_px(px) - moved.mm_from_px(px), axis=1).max())
    assert np.median(rms) < 0.05
    assert np.mean(inside) >= 0.95
    assert np.median(ratios) < 3.0
    assert max(still) < 0.35


def test_the_stated_error_is_what_repeated_noise_does() -> None:
    """10 noisy photographs of one knocked table whose spots are known exactly: places within the stated radius, and not far within it.

    Stated is 5.0 times the true 95th percentile here: it holds what is not known of lens and lamp, which no noise moves. Over ten
    tables (above) it is under 3.
    """
    scene, truth, stuck = bench(3)
    table = with_survey(exact_table(truth, np.full(12, 1e-7)), truth, stuck, 0.0, np.random.default_rng(0))
    moved, phone = knocked(scene, truth, 0.7, np.random.default_rng(5))
    scores = []
    for trial in range(10):
        again = hung_on_spots(table, [spot_look(phone, moved, stuck, np.random.default_rng([trial, 6]))], MADE)
        scores.append(scored(again.mm_from_px, moved, again.shape_error_mm))
    assert np.mean([score.covered for score in scores]) >= 0.95
    assert np.median([score.stated_over_true for score in scores]) < 6.0


def test_check_tells_how_far_and_whether_it_matters() -> None:
    """Untouched it tells 0.12 mm, the survey's own error; knocked by 1.3 and 10 mm it is 0.05 mm off."""
    random = np.random.default_rng(1)
    scene, truth, stuck = bench(1)
    table = surveyed(solved_table(truth, random), [spot_look(phone, truth, stuck, random) for phone in scene.phones], MADE)
    still = checked(table, [spot_look(scene.phones[0], truth, stuck, random)], MADE)
    assert not still.matters
    assert still.moved_mm < 0.15
    for degrees in (0.04, 0.3):
        moved, phone = knocked(scene, truth, degrees, random)
        px = grid_px(truth.lamp.size)
        far = float(np.percentile(np.linalg.norm(moved.mm_from_px(px) - truth.mm_from_px(px), axis=1), 95))
        found = checked(table, [spot_look(phone, moved, stuck, random)], MADE)
        assert found.moved_mm == pytest.approx(far, abs=0.1)
        assert found.matters


def test_a_spot_that_came_off_is_named() -> None:
    random = np.random.default_rng(2)
    scene, truth, stuck = bench(2)
    table = surveyed(solved_table(truth, random), [spot_look(phone, truth, stuck, random) for phone in scene.phones], MADE)
    slipped = {**stuck, 5: stuck[5] + np.array([4.0, -2.0])}
    with pytest.raises(Refused, match="Table spot 5"):
        hung_on_spots(table, [spot_look(scene.phones[0], truth, slipped, random)], MADE)
    hidden = {number: place for number, place in stuck.items() if number < 4}
    with pytest.raises(WrongInput, match="3 surveyed"):
        hung_on_spots(table, [spot_look(scene.phones[0], truth, hidden, random)], MADE)
    with pytest.raises(WrongInput, match="no surveyed spots"):
        hung_on_spots(replace(table, spots=()), [spot_look(scene.phones[0], truth, stuck, random)], MADE)
    with pytest.raises(Refused, match="Only 3 table spots"):
        surveyed(table, [spot_look(scene.phones[0], truth, hidden, random)], MADE)


def test_a_fresh_solve_is_hung_into_the_old_frame() -> None:
    """After a knock the sheets are solved anew: the map comes in its own frame and is turned back onto the spots (0.02 mm; exact maps).

    What is left is the scatter of one photograph's spots (0.004 mm here).
    """
    random = np.random.default_rng(3)
    scene, truth, stuck = bench(4)
    old = surveyed(exact_table(truth), [spot_look(phone, truth, stuck, random) for phone in scene.phones], MADE)
    moved, phone = knocked(scene, truth, 1.5, random)
    own_frame = moved_frame(exact_table(moved), np.array([[0.8, -0.6, 90.0], [0.6, 0.8, -40.0], [0, 0, 1.0]]))
    kept = in_old_frame(own_frame, old, [spot_look(phone, moved, stuck, random)])
    px = grid_px(truth.lamp.size)
    assert np.abs(kept.mm_from_px(px) - moved.mm_from_px(px)).max() < 0.02
    assert kept.spots == old.spots
    slipped = {**stuck, 2: stuck[2] + 6.0}
    with pytest.raises(Refused, match="not where it was surveyed"):
        in_old_frame(own_frame, old, [spot_look(phone, moved, slipped, random)])


def test_rendered_table_through_the_commands(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Labels rendered into two photographs, knocked by 0.5 degree, one photograph: survey, check and solve --keep as typed."""
    write_sheets(tmp_path, "a4", 1, 300.0, labels=True)
    scene = good(3, [], phone_px=(2880, 2160))  # 6 megapixels, half the rendering; of 3 a label is not read
    random = np.random.default_rng(3)
    scene = replace(scene, sheets=stuck_labels(random, scene.lamp, list(labels_of(tmp_path).values())[:6]))
    truth = truth_of(scene)
    picture = np.ascontiguousarray(frame_picture((1920, 1080))[..., ::-1])
    table, kept = tmp_path / "table.yaml", tmp_path / "kept.yaml"
    exact_table(truth).write(table)
    before = [str(path) for path in photographs(scene, [picture], tmp_path / "before")]
    assert run_app(app, ["check", before[0], "--table", str(table)]) == 2
    assert run_app(app, ["survey", *before, "--table", str(table), "--out", str(table)]) == 0
    places = truth.table_from_world(np.array([sheet.at for sheet in scene.sheets]))
    spots = Table.read(table).spots
    assert [spot.id for spot in spots] == [1, 2, 3, 4, 5, 6]
    assert np.abs(np.array([spot.at_mm for spot in spots]) - places).max() < 0.06  # half of it the label's cut, whole pixels of 0.08 mm
    moved, phone = knocked(scene, truth, 0.5, random)
    after = replace(scene, lamp=moved.lamp, phones=(phone,))
    again = str(photographs(after, [picture], tmp_path / "after")[0])
    assert run_app(app, ["check", again, "--table", str(table), "--json"]) == 1
    asked = ["solve", again, "--sheets", str(tmp_path / "sheets.json"), "--size", "1920x1080", "--out", str(kept), "--keep", str(table)]
    assert run_app(app, [*asked, "--json"]) == 0
    score = scored(Table.read(kept).mm_from_px, moved, Table.read(kept).shape_error_mm)
    assert score.rms_mm < 0.05  # as at spot level
    assert score.covered > 0.95
    capsys.readouterr()
