"""A computed table for showing and for drawing files: a lamp 1.75 m over the table, tilted a little, its lens bent a little."""

import numpy as np

from calibration.arrays import Array
from calibration.hang import rigid_to_frame
from calibration.lamp_lens import LampLens
from calibration.made import Made
from calibration.table import LensPosition, ShapeError, Table, rows, rows3

WIDTH_MM = 1400.0
HEIGHT_MM = 1750.0
TILT_DEG = (3.0, 1.5)  # about the table's x, then about its y: mild keystone
SHIFT_OF_HEIGHT = 0.5  # the light leaves the lens half its height above the axis, as lamps on a stand do


def _px_from_world(size: tuple[int, int]) -> tuple[Array, Array]:
    """((3, 3) ideal px from mm of the plane z = 0, (3,) lens position): a pinhole lamp looking down."""
    w, h = size
    a, b = np.radians(TILT_DEG)
    about_x = np.array([[1, 0, 0], [0, np.cos(a), -np.sin(a)], [0, np.sin(a), np.cos(a)]])
    about_y = np.array([[np.cos(b), 0, np.sin(b)], [0, 1, 0], [-np.sin(b), 0, np.cos(b)]])
    down = np.diag([1.0, -1.0, -1.0])  # lamp axes: x right, y down the picture, z out of the lens
    turn = about_x @ about_y @ down
    focal = HEIGHT_MM * w / WIDTH_MM
    inside = np.array([[focal, 0.0, (w - 1) / 2], [0.0, focal, (h - 1) * (0.5 + SHIFT_OF_HEIGHT)], [0.0, 0.0, 1.0]])
    at = np.array([0.0, 0.0, HEIGHT_MM])
    lamp_from_world = turn.T
    return inside @ np.column_stack([lamp_from_world[:, 0], lamp_from_world[:, 1], -lamp_from_world @ at]), at


def demonstration_table(size: tuple[int, int]) -> Table:
    """The table of state `demonstration` for a picture of `size` px."""
    w, h = size
    plane, at = _px_from_world(size)
    lens = LampLens(((w - 1) / 2, (h - 1) / 2), 0.004, -0.001)
    move = rigid_to_frame(plane, lens, size)
    x, y, _ = move @ np.array([at[0], at[1], 1.0])
    spread = np.diag([0.03**2] * 8 + [5.0**2] * 2 + [5e-5**2] * 2)
    return Table(
        size=size,
        homography_px_from_mm=rows3(plane @ np.linalg.inv(move)),
        lens=lens,
        shape=ShapeError(rows(spread), 0.05),
        made=Made("demonstration", "1", "2000-01-01"),
        lens_position=LensPosition((float(x), float(y), float(at[2])), (20.0, 20.0, 40.0)),
        is_demonstration=True,
    )
