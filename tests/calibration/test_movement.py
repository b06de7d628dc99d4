"""Movement between two pictures of a fixed camera, on chequerboards drawn here: light on the left, printed labels on the right; covers."""

from collections import deque

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from calibration.movement import Movement, Reference, movement
from calibration.refine import refine
from calibration.watch import WatchLook, _judged

Array = NDArray[np.float64]
SIDE = 20
MM_PER_PX = 0.5
LIGHT = (0, 0, 19, 24)
"""Left and upper edge (px), squares across and down."""
LABELS = ((540, 40, 8, 8), (540, 280, 8, 8))
LABEL_ENDS = 180
"""The upper label's last row of saddles, px from the top."""


def chequer(across: int, down: int) -> NDArray[np.float32]:
    """Squares of SIDE px, 0 and 1 in turn."""
    return np.kron(np.indices((down, across)).sum(axis=0) % 2, np.ones((SIDE, SIDE))).astype(np.float32)


def moved(picture: NDArray[np.float32], shift_px: float) -> NDArray[np.float32]:
    """A picture drawn further to the right."""
    shift = np.array([[1.0, 0.0, shift_px], [0.0, 1.0, 0.0]])
    return np.asarray(cv2.warpAffine(picture, shift, picture.shape[::-1], borderMode=cv2.BORDER_REPLICATE), dtype=np.float32)


def table_seen(
    shift_px: float = 0.0, covered_rows: float = 0.0, cover_to: int = 0, stripes: tuple[float, float] = (0.0, 0.0)
) -> NDArray[np.uint8]:
    """(480, 800, 3) the light drawn `shift_px` further right, its upper `covered_rows` squares covered; cloth over the right side down to
    row `cover_to`, on which the light's own edges run straight up and down, 1.5 px beside the labels' columns."""
    picture = np.full((480, 800), 200.0, np.float32)
    picture[:, :380] = moved(chequer(19, 24) * 140.0 + 60.0, shift_px)
    picture[: round(covered_rows * SIDE), :380] = 120.0
    for x, y, across, down in LABELS:
        picture[y : y + down * SIDE, x : x + across * SIDE] = chequer(across, down) * 160.0 + 40.0
    picture[:cover_to, 420:] = np.where(((np.arange(800) - 540 - 1.5) // SIDE) % 2 == 0, *stripes)[420:]
    grey = np.rint(cv2.GaussianBlur(picture, (0, 0), 1.2)).astype(np.uint8)
    return np.repeat(grey[:, :, None], 3, axis=2)


def as_it_was() -> Reference:
    """Every saddle of light and labels in the picture where nothing moved and nothing is covered."""
    parts = []
    for x, y, across, down in (LIGHT, *LABELS):
        columns, rows = np.meshgrid(x + SIDE * np.arange(1, across) - 0.5, y + SIDE * np.arange(1, down) - 0.5)
        parts.append(np.column_stack([columns.ravel(), rows.ravel()]))
    at = np.vstack(parts)
    ways, reach = np.tile(np.eye(2), (len(at), 1, 1)), np.full(len(at), 8.0)
    contrast = refine(table_seen()[:, :, 0], at, ways, reach, 1.2).contrast
    board = np.repeat(np.arange(3), [len(part) for part in parts])
    places = np.stack(np.meshgrid([0.0, 200.0, 400.0], [0.0, 120.0, 240.0]), axis=2).reshape(-1, 2)
    spots = np.zeros((len(at), 2), dtype=np.int64)
    return Reference(at, ways, reach, contrast, board, spots, ("light", "a", "b"), np.diag([MM_PER_PX, MM_PER_PX, 1.0]), places)


def looked(picture: NDArray[np.uint8]) -> WatchLook | None:
    """The first look at a picture; None: too few saddles agree."""
    found = movement(picture, as_it_was())
    return _judged(deque([found])) if isinstance(found, Movement) else None


@pytest.mark.parametrize("edge", range(LABEL_ENDS - 2, LABEL_ENDS + 3))
@pytest.mark.parametrize("stripes", [(60.0, 200.0), (70.0, 150.0)])
def test_a_cover_s_edge_along_a_row_of_a_table_spot_is_no_movement(edge: int, stripes: tuple[float, float]) -> None:
    """Where the cover's edge crosses edges of the light stand false saddles in the place of a label's row; with the rest of that label
    hidden they alone told how the table lies, and 0.4 to 1.5 mm of movement that was none (nothing here moves: 0.05 mm is noise)."""
    look = looked(table_seen(cover_to=edge, stripes=stripes))
    assert look is not None
    assert look.moved_mm == pytest.approx(0.0, abs=0.05)
    assert not look.alarm


def test_beside_a_cover_true_movement_is_told() -> None:
    """1.2 px of 0.5 mm: 0.6 mm of light against the label that is left."""
    look = looked(table_seen(1.2, cover_to=LABEL_ENDS, stripes=(60.0, 200.0)))
    assert look is not None
    assert look.moved_mm == pytest.approx(0.6, abs=0.05)
    assert look.alarm


def test_with_less_than_35_percent_of_the_light_in_sight_nothing_is_said() -> None:
    """Something lies in the way: 0.35 of what was seen in the beginning. Of 23 rows 8 are 0.348, 9 are 0.391."""
    assert looked(table_seen(covered_rows=15.5)) is None
    assert looked(table_seen(covered_rows=14.5)) is not None


def test_what_moved_by_more_than_three_pixels_is_read_by_its_codes() -> None:
    """A webcam's pixel is 1 to 2 mm (here half of one): farther off a neighbour's edge is nearer."""
    found = movement(table_seen(2.9), as_it_was())
    assert isinstance(found, Movement)
    assert found.field[:, 0] == pytest.approx(2.9 * MM_PER_PX, abs=0.05)
    assert looked(table_seen(3.1)) is None
