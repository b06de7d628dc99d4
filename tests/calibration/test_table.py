"""The saved table: map both ways, horizon, height, shape error, size, file and commands."""

import math
import pickle
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
import pytest
from skimage.transform import ProjectiveTransform

from calibration.errors import Refused, WrongInput
from calibration.homography import homography_from_corners
from calibration.lamp_lens import LampLens, actual_from_ideal, ideal_from_actual
from calibration.light import places_lit
from calibration.made import Made
from calibration.shape_error import parameters_of, radius_95
from calibration.size import bar_percent, bars_percent, proved, tape_limit_mm, taped_sd_mm
from calibration.table import LensPosition, ShapeError, Table, TableSpot, Taped, rows, rows3
from tests.virtual_table import good, truth_of
from tests.virtual_table.truth import grid_px, rigidly_fitted

MADE = Made("solve", "0", "2026-01-01")
SIZES = [(1280, 720), (1920, 1080), (3840, 2160)]


def measured(size: tuple[int, int] = (1920, 1080)) -> Table:
    """A table as if solved: nothing taped, spots surveyed."""
    spots = (TableSpot(3, (20.0, 30.0), ((0.01, 0.002), (0.002, 0.02))),)
    return replace(Table.demonstration(size), is_demonstration=False, spots=spots, made=MADE)


@pytest.mark.parametrize("size", SIZES)
def test_table_frame_hangs_on_the_lower_edge(size: tuple[int, int]) -> None:
    w, h = size
    table = Table.demonstration(size)
    (x0, y0), (x1, y1), (_, y2) = table.mm_from_px(np.array([[0.0, h - 1.0], [w - 1.0, h - 1.0], [0.0, 0.0]]))
    assert (x0, y0, y1) == pytest.approx((0.0, 0.0, 0.0), abs=1e-8)
    assert x1 == pytest.approx(1400, abs=5)  # 1.4 m of light, less what its lens bends
    assert y2 > 0
    assert not table.mirrored


@pytest.mark.parametrize(("k1", "k2"), [(0.0, 0.0), (0.03, -0.02), (-0.05, 0.01), (-0.2, 0.0), (0.1, -0.3), (0.0, 0.05)])
def test_lens_terms_invert(k1: float, k2: float) -> None:
    """There and back within 1e-6 px over the picture and half as far outside, wherever a place exists at all."""
    lens = LampLens((970.0, 530.0), k1, k2)
    x, y = np.meshgrid(np.linspace(-900, 2800, 40), np.linspace(-500, 1500, 30))
    ideal = np.column_stack([x.ravel(), y.ravel()])
    actual = actual_from_ideal(ideal, lens, 1920)
    known = np.isfinite(actual).all(axis=1)
    assert known.mean() > 0.3
    assert np.abs(ideal_from_actual(actual[known], lens, 1920) - ideal[known]).max() < 1e-6
    beyond = ideal_from_actual(np.array([[1e6, 1e6]]), LampLens((970.0, 530.0), -0.2), 1920)
    assert np.isnan(beyond).all()


def test_plane_map_is_scikit_image_s_and_opencv_s() -> None:
    """The same four corners through three libraries: 1e-6 mm."""
    rng = np.random.default_rng(4)
    source = np.array([[0, 0], [1919, 0], [1919, 1079], [0, 1079]]) + rng.uniform(-50, 50, (4, 2))
    target = np.array([[0, 800], [1400, 790], [1390, 0], [10, 0]]) + rng.uniform(-50, 50, (4, 2))
    ours = homography_from_corners(source, target)
    points = rng.uniform(0, 1000, (100, 2))
    moved = np.column_stack([points, np.ones(100)]) @ ours.T
    moved = moved[:, :2] / moved[:, 2:]
    theirs = ProjectiveTransform.from_estimate(source, target)(points)  # type: ignore[no-untyped-call]
    assert np.abs(moved - theirs).max() < 1e-6
    opencv = cv2.perspectiveTransform(points[None], cv2.getPerspectiveTransform(source.astype(np.float32), target.astype(np.float32)))
    assert np.abs(moved - opencv[0]).max() < 1e-2  # OpenCV takes these corners as 32-bit numbers


@pytest.mark.parametrize("size", SIZES)
def test_there_and_back_at_every_height(size: tuple[int, int]) -> None:
    table = Table.demonstration(size)
    px = grid_px(size)
    for height in (0.0, 1.0, 8.0, 60.0):
        assert np.abs(table.px_from_mm(table.mm_from_px(px, height), height) - px).max() < 1e-6


def test_never_a_false_point_beyond_the_horizon() -> None:
    """A lamp tilted 40 degrees: pixels above the horizon meet no table, places behind the lens have no pixel."""
    angle, focal = np.radians(60.0), 1500.0
    turn = np.array([[1, 0, 0], [0, -np.cos(angle), -np.sin(angle)], [0, np.sin(angle), -np.cos(angle)]])
    inside = np.array([[focal, 0, 959.5], [0, focal, 539.5], [0, 0, 1]])
    plane = inside @ np.column_stack([turn[:, 0], turn[:, 1], turn @ np.array([0, 0, -1000.0])])
    table = replace(
        Table.demonstration((1920, 1080)), homography_px_from_mm=rows3(plane), lens_position=None, lens=LampLens((959.5, 539.5))
    )
    middle = table.mm_from_px(np.array([[959.5, 539.5]]))
    assert np.isfinite(middle).all()
    px = grid_px(table.size) * np.array([1.0, 6.0]) - np.array([0.0, 3000.0])
    mm = table.mm_from_px(px)
    known = np.isfinite(mm).all(axis=1)
    assert 0.1 < known.mean() < 0.9
    assert np.abs(table.px_from_mm(mm[known]) - px[known]).max() < 1e-5
    behind = 2 * np.array([[0.0, 0.0]]) - middle * 3  # beyond the foot of the lens, away from the light
    assert np.isnan(table.px_from_mm(behind)).all()
    assert np.isnan(table.shape_error_mm(behind)).all()
    assert np.isfinite(table.shape_error_mm(middle)).all()
    for turned in (-1.0, 1e-5, -1e7):  # the scale and sign of H mean nothing
        same = replace(table, homography_px_from_mm=rows3(turned * plane))
        assert np.allclose(same.mm_from_px(px), mm, equal_nan=True)


def test_height_agrees_with_the_virtual_lamp() -> None:
    """Intercept theorem with the true lens position against the ray itself: 1e-6 px, heights 1 to 40 mm; no lens model needed."""
    for seed in range(6):
        truth = truth_of(good(seed, []))
        lamp = truth.lamp
        size = lamp.size
        points = truth.mm_from_px(grid_px(size))
        x, y, z = (float(number) for number in truth.lens_position_mm)
        known = replace(Table.demonstration(size), lens_position=LensPosition((x, y, z), (0, 0, 0), "tape"))
        for height in (1.0, 8.0, 40.0):
            direct = truth.px_from_mm(points, height)
            by_rule = truth.px_from_mm(known._to_plane(points, height))
            assert np.abs(direct - by_rule).max() < 1e-6


def test_height_without_lens_position_is_wrong_input() -> None:
    blind = replace(Table.demonstration((1280, 720)), lens_position=None)
    for call in (blind.px_from_mm, blind.mm_from_px):
        with pytest.raises(WrongInput, match="lens position"):
            call(np.zeros((1, 2)), 3.0)
    with pytest.raises(WrongInput, match="cannot be lit"):
        Table.demonstration((1280, 720)).px_from_mm(np.zeros((1, 2)), 5000.0)


def test_shape_error_is_what_noise_does() -> None:
    """Monte Carlo: maps drawn from the covariance, fitted rigidly, lie within the stated radius in 95 % (± 1.5) of cases."""
    rng = np.random.default_rng(7)
    root = rng.normal(size=(12, 12)) @ np.diag([0.1] * 8 + [3.0] * 2 + [2e-4] * 2)
    covariance = root.T @ root / 4
    table = replace(measured(), shape=ShapeError(rows(covariance)))
    px = grid_px(table.size)
    places = table.mm_from_px(px)
    stated = table.shape_error_mm(places)
    start = parameters_of(table)
    inside = []
    for draw in rng.multivariate_normal(np.zeros(12), covariance, size=400):
        moved = places_lit(start + draw, px, table.size)
        inside.append(np.linalg.norm(rigidly_fitted(moved, places) - places, axis=1) <= stated)
    assert np.mean(inside) == pytest.approx(0.95, abs=0.015)
    by_place = np.mean(inside, axis=0)
    assert by_place.min() > 0.90


def test_radius_holds_95_percent_exactly_at_both_ends() -> None:
    """Round error: 2.4477 sd (Rayleigh); along one line: 1.9600 sd (normal)."""
    assert radius_95(np.array([np.eye(2), np.diag([1.0, 0.0])])) == pytest.approx([2.4477, 1.9600], abs=2e-4)


def test_file_keeps_every_number(tmp_path: Path) -> None:
    table = measured()
    table.write(tmp_path / "table.yaml")
    again = Table.read(tmp_path / "table.yaml")
    assert again == table
    assert hash(again) == hash(table)
    assert pickle.loads(pickle.dumps(again)) == table
    text = (tmp_path / "table.yaml").read_text(encoding="utf-8")
    assert "homography_px_from_mm:" in text
    assert "state: stop" in text


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("size: [1920, 1080]", "size: [1920]", "2 whole numbers are wanted, 1 stand there"),
        ("size: [1920, 1080]", "size: []", "2 whole numbers are wanted, 0 stand there"),
        ("size: [1920, 1080]", "size: [1, 2, 3]", "2 whole numbers are wanted, 3 stand there"),
        ("size: [1920, 1080]\n", "", "'size' is missing"),
        ("format: 1", "format: 9", "not a table of this format"),
        ("k1: ", "k9: ", "'k9' is not known"),
        ("  centre_px: [959.5", "  centre_px: [.nan", "'centre_px' cannot be"),
        ("lens:", "lens: &x", "& and \\* are not used here"),
    ],
)
def test_broken_file_is_told(tmp_path: Path, old: str, new: str, told: str) -> None:
    file = tmp_path / "table.yaml"
    measured().write(file)
    whole = file.read_text(encoding="utf-8")
    assert old in whole
    file.write_text(whole.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(WrongInput, match=told):
        Table.read(file)


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"size_percent": -1.0}, "which no tape gives"),
        ({"size_percent": 1e300}, "which no tape gives"),
        ({"size_percent": 0.1, "taped": Taped(line_shown_mm=1300.0, line_taped_mm=0.0)}, "a length taped is none"),
        ({"size_percent": 0.1, "taped": Taped(line_shown_mm=1300.0, line_taped_mm=1e300)}, "a length taped is none"),
        ({"shape": ShapeError(rows(np.diag([-1.0] + [1.0] * 11)))}, "below 0"),
        ({"homography_px_from_mm": ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1e-290))}, "makes a pixel"),
        ({"homography_px_from_mm": ((1e300, 0.0, 0.0), (0.0, -1.4, 1000.0), (0.0, 0.0, 1.0))}, "makes a pixel"),
        ({"lens": LampLens((959.5, 539.5), -1e10, 0.0)}, "makes a pixel"),
        ({"lens": LampLens((1e300, 539.5), 0.004, 0.0)}, "makes a pixel"),
    ],
)
def test_a_damaged_number_never_makes_a_table(changed: dict[str, object], told: str) -> None:
    """With a line taped as 0 mm, or a size true within -1 %, cut lines were shown."""
    with pytest.raises(WrongInput, match=told):
        replace(measured(), **changed)  # type: ignore[arg-type]


def test_states_follow_the_tape() -> None:
    table = measured()
    assert table.state == "stop"
    barred = replace(table, size_percent=bar_percent(250.0), taped=Taped(180.0, 250.0))
    assert barred.state == "check"
    assert proved(barred, 1400.0, 1399.0, MADE).table.state == "ready"
    assert Table.demonstration((1920, 1080)).state == "demonstration"


def test_size_error_by_gum() -> None:
    """Worked figures: 250 mm bar, 0.5 mm reading, class II tape (0.5 mm to 1 m, 0.7 mm to 2 m): 0.33 %; 1400 mm: 1.0 mm."""
    assert tape_limit_mm(250.0) == pytest.approx(0.5)
    assert tape_limit_mm(1400.0) == pytest.approx(0.7)
    assert tape_limit_mm(10_000.0) == pytest.approx(2.3)  # Hultafors' printed figure for class II, 10 m
    assert bar_percent(250.0) == pytest.approx(0.33, abs=0.005)
    assert 2 * taped_sd_mm(1400.0) == pytest.approx(1.0, abs=0.01)
    assert bars_percent(180.0, 250.0) < bar_percent(180.0)


def test_proof_corrects_the_scale() -> None:
    """A map thought 2 % too large: after the tape, places are where they are, to the reading; the lens goes with them."""
    true = measured()
    thought = true.scaled(1.02)
    done = proved(thought, 1224.0, 1200.0, MADE)
    px = grid_px(true.size)
    assert np.abs(done.table.mm_from_px(px) - true.mm_from_px(px)).max() < 1e-9
    assert done.table.lens_position is not None
    assert true.lens_position is not None
    assert done.table.lens_position.at_mm == pytest.approx(true.lens_position.at_mm)
    assert done.table.spots[0].at_mm == pytest.approx(true.spots[0].at_mm)
    assert done.table.size_percent == pytest.approx(100 * 2 * taped_sd_mm(1200.0) / 1200.0, rel=0.1)
    assert np.abs(done.table.px_from_mm(done.table.mm_from_px(px, 8.0), 8.0) - px).max() < 1e-6


def test_proof_covers_the_true_size() -> None:
    """2,000 tapes (bias within class II, reading within 0.5 mm): |size error| within the stated in at least 95 %."""
    rng = np.random.default_rng(11)
    length, table = 1300.0, measured()
    stated = proved(table, length, length, MADE).table.size_percent
    assert stated is not None
    readings = length + rng.uniform(-1, 1, 2000) * tape_limit_mm(length) + rng.uniform(-0.5, 0.5, 2000)
    off = 100 * np.abs(readings / length - 1)
    assert np.mean(off <= stated) >= 0.95
    assert stated < 1.3 * float(np.percentile(off, 95))


@pytest.mark.parametrize(
    ("shown", "taped", "error"),
    [
        (1400.0, 1400.0 / 25.4, Refused),
        (1400.0, 1400 * 1.09, Refused),
        (1e5, 1e5, WrongInput),
        (100.0, 100.0, WrongInput),
        (1400.0, -3.0, WrongInput),
        (1400.0, math.nan, WrongInput),
        (1400.0, 0.0, WrongInput),
    ],
)
def test_proof_refuses_misreadings(shown: float, taped: float, error: type[Exception]) -> None:
    with pytest.raises(error):
        proved(measured(), shown, taped, MADE)


def test_proof_refuses_a_line_where_no_corner_is_lit() -> None:
    """A damaged lens term that leaves only the middle: any line was taken for shown there."""
    damaged = replace(measured(), lens=LampLens((959.5, 539.5), 0.004, -5.0))
    assert np.isnan(damaged.places_mm(2, 2)).all()
    with pytest.raises(WrongInput, match="was not shown"):
        proved(damaged, 1300.0, 1300.0, MADE)


def test_proof_refuses_a_line_that_contradicts_the_bars() -> None:
    barred = replace(measured(), size_percent=bar_percent(250.0), taped=Taped(180.0, 250.0))
    with pytest.raises(Refused, match="contradicts the bars"):
        proved(barred, 1400.0, 1420.0, MADE)
    assert proved(barred, 1400.0, 1403.0, MADE).table.state == "ready"


def _run(*arguments: str, given: str = "") -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, "-m", "calibration", *arguments], input=given, capture_output=True, text=True, check=False)


def test_map_command_line_for_line(tmp_path: Path) -> None:
    table, file = measured(), tmp_path / "table.yaml"
    table.write(file)
    px = grid_px(table.size, 5, 3)
    told = _run("map", str(file), "--to", "mm", "--error", given="".join(f"{x},{y}\n" for x, y in px))
    assert told.returncode == 0
    found = np.array([[float(part) for part in line.split(",")] for line in told.stdout.splitlines()])
    assert found.shape == (15, 3)
    assert np.abs(found[:, :2] - table.mm_from_px(px)).max() < 1e-5
    assert np.abs(found[:, 2] - table.shape_error_mm(table.mm_from_px(px))).max() < 1e-5
    high = _run("map", str(file), "--to", "px", "--height", "8", given="100,200\n1e9,1e9\n")
    back = table.px_from_mm(np.array([[100.0, 200.0]]), 8.0)[0]
    first, second = high.stdout.splitlines()
    assert [float(part) for part in first.split(",")] == pytest.approx(back, abs=1e-5)
    assert second == "nan,nan", "a place that no light reaches has no pixel, near or false"


def test_commands_tell_what_is_wrong(tmp_path: Path) -> None:
    file = tmp_path / "table.yaml"
    replace(measured(), lens_position=None).write(file)
    before = file.read_bytes()
    assert _run("map", str(file), "--to", "px", "--height", "3", given="1,2\n").returncode == 2
    assert _run("map", str(file), "--to", "cm", given="1,2\n").returncode == 2
    bad = _run("map", str(file), "--to", "px", given="1,2\nx,3\n")
    assert (bad.returncode, bad.stdout) == (2, "")
    assert "Line 2" in bad.stderr
    assert _run("proof", str(file), "--shown", "1400", "--taped", "55").returncode == 1
    assert file.read_bytes() == before
    done = _run("proof", str(file), "--shown", "1300", "--taped", "1301", "--json")
    assert done.returncode == 0
    assert Table.read(file).state == "ready"
