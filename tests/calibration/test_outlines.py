"""Paper blocks traced on the table: within 1 mm of the truth, corners kept; what cannot be traced is refused with the reason."""

from pathlib import Path
from types import SimpleNamespace

import cv2
import numpy as np
import pytest
from shapely import Polygon

from calibration import flat_photo as flattening
from calibration.arrays import Array
from calibration.errors import Refused
from calibration.flat_photo import MM_PER_PX, FlatPhoto, flat_photo
from calibration.frame import frame_board, frame_picture
from calibration.outlines import Outline, outlines_in
from calibration.table import Table
from tests.calibration.exact import exact_table
from tests.virtual_table import LANDSCAPE_3MP, LANDSCAPE_12MP, good, photographs, poor, truth_of
from tests.virtual_table.blocks import arc, bodice_block, sleeve_block, with_blocks

TRACED_MM = 1.0  # asked of 12 megapixels; the trade cuts necks and armholes within ±1 mm
LAID = [(bodice_block(), (0.28, 0.5), 8.0), (sleeve_block(), (0.70, 0.5), -100.0)]


def away_mm(found: Outline, true: Array) -> float:
    """Largest distance between two rings, looked at from both, every 2 mm."""
    a, b = Polygon(found.ring).exterior, Polygon(true).exterior
    return float(max(a.segmentize(2.0).hausdorff_distance(b), b.segmentize(2.0).hausdorff_distance(a)))


@pytest.mark.parametrize(
    ("make", "seed", "paper", "ground", "phone_px"),
    [
        pytest.param(good, 1, 0.8, 0.3, LANDSCAPE_3MP, id="small photograph", marks=pytest.mark.long),
        pytest.param(good, 1, 0.8, 0.3, LANDSCAPE_12MP, id="light paper", marks=pytest.mark.long),
        pytest.param(good, 2, 0.15, 0.5, LANDSCAPE_12MP, id="dark card", marks=pytest.mark.long),
        pytest.param(poor, 3, 0.8, 0.4, LANDSCAPE_12MP, id="bright room, tilted lamp", marks=pytest.mark.long),
    ],
)
def test_blocks_are_traced_within_a_millimetre(
    tmp_path: Path, make: object, seed: int, paper: float, ground: float, phone_px: tuple[int, int]
) -> None:
    assert callable(make)
    scene, worlds = with_blocks(make(seed, [], photographs=1, phone_px=phone_px), LAID, paper, ground)
    truth = truth_of(scene)
    photo = photographs(scene, [np.ascontiguousarray(frame_picture((1920, 1080))[..., ::-1])], tmp_path)[0]
    flat = flat_photo(photo, exact_table(truth))
    assert flat.left_mm < 0.3
    found = outlines_in(flat)
    for outline, world, corners in zip(found, worlds, (6, 4), strict=True):  # laid from left to right
        true = truth.table_from_world(world)
        assert away_mm(outline, true) < TRACED_MM
        assert len(outline.corners) == corners
        at = outline.ring[list(outline.corners)]
        assert max(float(np.hypot(*(true - corner).T).min()) for corner in at) < TRACED_MM  # sharp: on the true corners themselves


def made_flat(rings: list[Array], paper: float, ground: float, noise: float = 0.01) -> FlatPhoto:
    """A flat picture of 700 × 400 mm under a light that falls off to the right; brightness coded as sRGB does (about power 1/2.2)."""
    shape, finer = (round(400 / MM_PER_PX), round(700 / MM_PER_PX)), 4
    light = np.full(shape, ground)
    for ring in rings:
        px = (ring - (0.0, 400.0)) / (MM_PER_PX, -MM_PER_PX) * finer + (finer - 1) / 2
        mask = np.zeros((shape[0] * finer, shape[1] * finer), np.uint8)
        cv2.fillPoly(mask, [np.round(px * 16).astype(np.int32)], 255, shift=4)
        light += (paper - ground) * cv2.resize(mask, shape[::-1], interpolation=cv2.INTER_AREA) / 255.0
    light = cv2.GaussianBlur(light, (0, 0), 1.5) * np.linspace(1.0, 0.6, shape[1])
    light = light * (1.0 + noise * np.random.default_rng(1).standard_normal(shape))
    coded = np.clip(255 * np.clip(light, 0, 1) ** (1 / 2.2), 0, 255).astype(np.uint8)
    return FlatPhoto(np.dstack([coded] * 3), np.ones(shape, bool), (0.0, 400.0), MM_PER_PX, 0.02, np.zeros((0, 2)))


SQUARE = np.array([[100.0, 100.0], [300.0, 120.0], [290.0, 330.0], [90.0, 310.0]])


def test_every_piece_is_found_from_left_to_right_by_its_true_size() -> None:
    disc = arc((500.0, 220.0), 90.0, 0.0, 360.0)[:-1]
    found = outlines_in(made_flat([disc, SQUARE], 0.7, 0.25))
    assert [len(outline.corners) for outline in found] == [4, 0]
    assert away_mm(found[0], SQUARE) < 0.3
    assert away_mm(found[1], disc) < 0.3
    assert found[1].area_mm2 == pytest.approx(np.pi * 90.0**2, rel=0.003)


def test_a_dark_disc_is_traced_as_large_as_a_light_one() -> None:
    """A lens mixes light, not the values it is written in: by these every bright thing came out larger than a dark one. White and nearly
    black, a usual blur; 0.02 mm apart, 0.1 where the power of the values is off by 15 %."""
    disc = arc((350.0, 200.0), 90.0, 0.0, 360.0)[:-1]
    light, dark = (np.sqrt(outlines_in(made_flat([disc], *of, 0.0))[0].area_mm2 / np.pi) for of in ((0.9, 0.03), (0.03, 0.9)))
    assert light == pytest.approx(dark, abs=0.05)


@pytest.mark.parametrize(
    ("rings", "paper", "reason"),
    [
        ([SQUARE], 0.27, "cannot be told"),
        ([], 0.7, "cannot be told"),
        ([SQUARE - (95.0, 0.0)], 0.7, "runs out of the light"),
        ([SQUARE * 0.15 + (300.0, 200.0)], 0.7, "No piece"),
    ],
    ids=["hardly lighter", "nothing there", "over the edge", "a coin"],
)
def test_what_cannot_be_traced_is_refused_with_numbers(rings: list[Array], paper: float, reason: str) -> None:
    with pytest.raises(Refused, match=reason) as told:
        outlines_in(made_flat(rings, paper, 0.25))
    assert any(character.isdigit() for character in told.value.why)
    assert told.value.next_step


def test_a_stuck_label_is_no_piece() -> None:
    label = np.array([[500.0, 200.0], [560.0, 200.0], [560.0, 260.0], [500.0, 260.0]])
    flat = made_flat([SQUARE, label], 0.7, 0.25)
    assert len(outlines_in(flat)) == 2
    known = FlatPhoto(flat.picture, flat.lit, flat.corner_mm, flat.mm_per_px, flat.left_mm, np.array([[530.0, 230.0]]))
    assert len(outlines_in(known)) == 1


def box_of(left: float, low: float, wide: float, tall: float, roof: float = 0.0) -> Array:
    """A rectangle, its upper side raised in the middle by `roof`."""
    top = [[left + wide, low + tall], [left + wide / 2, low + tall + roof], [left, low + tall]]
    return np.array([[left, low], [left + wide, low], *(top if roof else top[::2])])


@pytest.mark.parametrize(("side", "is_piece"), [(53.5, False), (56.0, True)])
def test_what_is_smaller_than_a_collar_stand_is_no_piece(side: float, is_piece: bool) -> None:
    """30 cm²: a collar stand is larger, a coin, a label's half or a pair of small scissors smaller."""
    found = outlines_in(made_flat([SQUARE, box_of(450.0, 150.0, side, side)], 0.7, 0.25, 0.0))
    assert len(found) == 1 + is_piece


@pytest.mark.parametrize(("times", "is_told"), [(1.27, False), (1.335, True)])
def test_paper_an_eighth_brighter_in_the_picture_is_told_from_the_table(times: float, is_told: bool) -> None:
    """12 % of the picture's value, 30 % of the light (power 2.2): less is lost in wood grain."""
    flat = made_flat([SQUARE], 0.25 * times, 0.25, 0.0)
    if is_told:
        assert len(outlines_in(flat)) == 1
    else:
        with pytest.raises(Refused, match="cannot be told"):
            outlines_in(flat)


@pytest.mark.parametrize(("turn_deg", "corners"), [(20.0, 4), (24.0, 5)])
def test_a_turn_of_22_degrees_is_a_corner(turn_deg: float, corners: int) -> None:
    """A smooth curve of 15 mm radius turns by 17 degrees between the two runs that are looked at."""
    roof = 150.0 * np.tan(np.radians(turn_deg / 2))
    (found,) = outlines_in(made_flat([box_of(150.0, 100.0, 300.0, 180.0, float(roof))], 0.7, 0.25, 0.0))
    assert len(found.corners) == corners


@pytest.mark.parametrize(("away", "is_label"), [(57.0, True), (64.0, False)])
def test_a_label_is_looked_for_within_its_own_size(away: float, is_label: bool) -> None:
    """Labels are 88 mm wide with their rims: what lies over 60 mm from a label's spot is something else."""
    flat = made_flat([SQUARE, box_of(500.0, 200.0, 60.0, 60.0)], 0.7, 0.25, 0.0)
    known = FlatPhoto(flat.picture, flat.lit, flat.corner_mm, flat.mm_per_px, flat.left_mm, np.array([[530.0 + away, 230.0]]))
    assert len(outlines_in(known)) == (1 if is_label else 2)


@pytest.mark.parametrize(("inside", "is_cut_off"), [(11.0, True), (13.2, False)])
def test_a_piece_near_the_light_s_edge_is_thought_cut_off(inside: float, is_cut_off: bool) -> None:
    """12 mm: the table's own brightness is taken there."""
    flat = made_flat([box_of(inside, 100.0, 200.0, 200.0)], 0.7, 0.25, 0.0)
    if is_cut_off:
        with pytest.raises(Refused, match="runs out of the light"):
            outlines_in(flat)
    else:
        assert len(outlines_in(flat)) == 1


@pytest.mark.parametrize(("off_mm", "fits"), [(0.28, True), (0.32, False)])
def test_a_photograph_whose_spots_lie_off_the_map_does_not_fit(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, off_mm: float, fits: bool
) -> None:
    """0.3 mm at 95 % of the spots, a third of the millimetre asked of an outline: the lamp was moved since."""
    table = Table.demonstration((1920, 1080))
    on = frame_board(table.size).spots.reshape(-1, 2)
    turn = np.random.default_rng(1).uniform(0.0, 2 * np.pi, len(on))
    cv2.imwrite(str(tmp_path / "a.png"), np.full((1800, 3000, 3), 90, np.uint8))

    def seen(far_mm: float) -> None:
        at = 2.0 * (table.mm_from_px(on) + 40.0 + far_mm * np.column_stack([np.cos(turn), np.sin(turn)]))
        monkeypatch.setattr(flattening, "look_for_spots", lambda *_: SimpleNamespace(on=on, at=at, stuck=()))

    seen(0.1)
    seen(0.1 * off_mm / flat_photo(tmp_path / "a.png", table).left_mm)  # the map bends a little towards them
    if fits:
        assert flat_photo(tmp_path / "a.png", table).left_mm == pytest.approx(off_mm, rel=0.05)
    else:
        with pytest.raises(Refused, match="does not fit this table"):
            flat_photo(tmp_path / "a.png", table)
