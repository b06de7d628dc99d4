"""The picture that the lamp shows: one colour carries the pattern, and its saddles lie where the solver takes them to be."""

import numpy as np
import pytest
from numpy.lib.stride_tricks import sliding_window_view

from calibration.errors import WrongInput
from calibration.frame import USUAL_SIZES, frame_board, frame_picture, read_size, square_px

SIZES = [(1920, 1080), (1280, 720), (3840, 2160), (1024, 768), (720, 1280)]


@pytest.mark.parametrize("size", SIZES)
def test_only_green_is_modulated_over_the_whole_light(size: tuple[int, int]) -> None:
    picture = frame_picture(size)
    assert picture.shape == (size[1], size[0], 3)
    assert (picture[:, :, [0, 2]] == 255).all()
    assert set(np.unique(picture[:, :, 1])) == {0, 255}
    side = square_px(size)
    for part in (picture[:, :side, 1], picture[:, -side:, 1], picture[:side, :, 1], picture[-side:, :, 1]):
        assert 0.3 < np.mean(part == 0) < 0.7


@pytest.mark.parametrize("size", SIZES)
def test_spots_are_the_corners_between_pixels(size: tuple[int, int]) -> None:
    """Around every spot the four pixels that touch it are two bright and two dark, on the diagonals."""
    green = frame_picture(size)[:, :, 1].astype(int)
    for x, y in frame_board(size).spots.reshape(-1, 2):
        column, row = int(x + 0.5), int(y + 0.5)
        assert (x + 0.5, y + 0.5) == (column, row)
        assert green[row - 1, column - 1] == green[row, column] != green[row - 1, column] == green[row, column - 1]


def test_squares_are_60_to_80_px_at_full_high_definition() -> None:
    assert 60 <= square_px((1920, 1080)) <= 80


def test_no_two_sizes_share_a_code() -> None:
    """Every patch of 5 x 5 squares differs in 4 bits or more between the usual picture and any other, in the same place."""
    ours = frame_board((1920, 1080)).bits
    for size in USUAL_SIZES[1:]:
        other = frame_board(size).bits
        rows, columns = min(ours.shape[0], other.shape[0]), min(ours.shape[1], other.shape[1])
        apart = sliding_window_view(ours[:rows, :columns] != other[:rows, :columns], (5, 5)).sum(axis=(2, 3))
        assert apart.min() >= 4, size


@pytest.mark.parametrize("text", ["1920", "1920x", "axb", "0x0", "1920x-5", "99999x10"])
def test_a_size_that_is_none_is_refused(text: str) -> None:
    with pytest.raises(WrongInput):
        read_size(text)
    assert read_size("1920X1080") == (1920, 1080)
