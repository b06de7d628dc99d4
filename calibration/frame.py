"""The frame: the coded board of light over the whole picture. Green is modulated, red and blue stay full.

Pixels: (0, 0) is the middle of the top-left pixel, so the edge between the columns k - 1 and k lies at k - 0.5.
"""

import numpy as np
from numpy.typing import NDArray

from calibration.arrays import Array
from calibration.board import Board, bits_of, dark_square, frame_name
from calibration.errors import WrongInput

FITTED = "fitted"
"""Kind of the second frame: plain light on the sheets; its own codes tell it apart."""

SQUARES_ACROSS_SHORT_SIDE = 16.0  # 68 px at 1920x1080
SMALLEST_PX, LARGEST_PX = 240, 16384

USUAL_SIZES: tuple[tuple[int, int], ...] = (
    (1920, 1080), (1280, 720), (3840, 2160), (1280, 800), (1920, 1200), (1024, 768), (800, 600), (854, 480), (1366, 768), (1360, 768),
    (1400, 1050), (1440, 900), (1600, 900), (1600, 1200), (1680, 1050), (2560, 1440), (2560, 1600), (2048, 1080), (2048, 1152),
    (1152, 864), (1280, 1024), (1280, 960), (640, 480), (640, 360), (960, 540), (2880, 1620), (4096, 2160), (2560, 1080),
    (3440, 1440), (1080, 1920), (720, 1280), (2160, 3840),
)  # fmt: skip
"""Pictures that lamps and desktops have; a frame of one of these is recognised when another was wanted."""


def read_size(text: str) -> tuple[int, int]:
    """`1920x1080` to (1920, 1080). Raises WrongInput."""
    width, by, height = text.lower().replace("×", "x").partition("x")
    try:
        size = (int(width), int(height))
    except ValueError:
        size = (0, 0)
    if not by or not all(SMALLEST_PX <= side <= LARGEST_PX for side in size):
        raise WrongInput(
            f"{text!r} is not a picture's size.",
            f"Two numbers between {SMALLEST_PX} and {LARGEST_PX} with an x between them are wanted.",
            "Give the lamp's own pixels, for example --size 1920x1080.",
        )
    return size


def other_size(named: str, own: tuple[int, int], asked: tuple[int, int]) -> WrongInput:
    """The error for a table (or its file) that was made for a light of another size than the one asked for."""
    return WrongInput(f"{named} is for a light of {own[0]}x{own[1]}.", f"Asked is {asked[0]}x{asked[1]}.", "Give its own --size.")


def square_px(size: tuple[int, int]) -> int:
    """Side of a square of light."""
    return max(8, round(min(size) / SQUARES_ACROSS_SHORT_SIDE))


def _lines(length: int, side: int) -> Array:
    """Edges between squares along one side of the picture, px; the board is centred, half a square or more at both ends."""
    count = int((length - side) // side) + 1
    first = round((length - side * (count - 1)) / 2.0)
    return np.asarray(first + side * np.arange(count) - 0.5, dtype=np.float64)


def frame_board(size: tuple[int, int], kind: str = "") -> Board:
    """The light's board; spots in px, row 0 at the top of the picture."""
    side = square_px(size)
    x, y = _lines(size[0], side), _lines(size[1], side)
    name = frame_name(size, kind)
    return Board(name, np.stack(np.meshgrid(x, y), axis=2), bits_of(name, len(y) - 1, len(x) - 1))


def frame_green(board: Board, size: tuple[int, int]) -> NDArray[np.uint8]:
    """(h, w) green channel: 255 in bright squares and dots, 0 in dark ones."""
    width, height = size
    row = np.searchsorted(board.spots[:, 0, 1], np.arange(height)) - 1
    column = np.searchsorted(board.spots[0, :, 0], np.arange(width)) - 1
    green = np.where(dark_square(row[:, None], column[None, :]), 0, 255).astype(np.uint8)
    for x, y, radius, dark in board.dots():
        left, top, reach = int(x - radius), int(y - radius), int(2 * radius) + 3
        ys, xs = np.mgrid[top : top + reach, left : left + reach]
        green[ys[(xs - x) ** 2 + (ys - y) ** 2 <= radius**2], xs[(xs - x) ** 2 + (ys - y) ** 2 <= radius**2]] = 0 if dark else 255
    return green


def frame_picture(size: tuple[int, int]) -> NDArray[np.uint8]:
    """(h, w, 3) picture, channels in OpenCV's order (blue, green, red)."""
    return in_green(frame_green(frame_board(size), size))


def in_green(green: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """(h, w, 3) picture of a green channel, red and blue full; channels in OpenCV's order."""
    full = np.full_like(green, 255)
    return np.stack([full, green, full], axis=2)
