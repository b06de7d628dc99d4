"""The second frame: the light's own codes everywhere but on the sheets, where the light is plain, so that nothing clashes with print."""

import numpy as np
from numpy.typing import NDArray

from calibration.arrays import Array
from calibration.errors import WrongInput
from calibration.frame import FITTED, frame_board, frame_green, in_green, other_size
from calibration.table import SheetPlace, Table

MARGIN_MM = 10.0
"""Plain light round a sheet: a sheet pushed by a few millimetres meanwhile still lies in it."""
ALONG = 33  # points on each side of a sheet: the lamp's lens bends its outline


def _outline_mm(sheet: SheetPlace) -> Array:
    """(4 ALONG, 2) table mm round a sheet and its margin."""
    low, high = -MARGIN_MM * np.ones(2), np.array(sheet.size_mm) + MARGIN_MM
    corners = np.array([low, [high[0], low[1]], high, [low[0], high[1]]])
    share = np.linspace(0.0, 1.0, ALONG, endpoint=False)[:, None]
    page = np.concatenate([corners[n] + share * (corners[(n + 1) % 4] - corners[n]) for n in range(4)])
    cosine, sine = np.cos(np.radians(sheet.turn_deg)), np.sin(np.radians(sheet.turn_deg))
    return np.asarray(page @ np.array([[cosine, sine], [-sine, cosine]]) + np.array(sheet.at_mm))


def fitted_picture(table: Table, size: tuple[int, int]) -> NDArray[np.uint8]:
    """(h, w, 3) picture, channels in OpenCV's order. Raises WrongInput when the table does not go with it."""
    import cv2

    if table.size != size:
        raise other_size("The table", table.size, size)
    if not table.sheets:
        raise WrongInput(
            "This table does not say where the sheets lay.",
            "0 sheets are kept in it: it was made by an older version, or without sheets.",
            "Solve photographs of frame-1.png again and leave the sheets where they are.",
        )
    green = frame_green(frame_board(size, FITTED), size)
    for sheet in table.sheets:
        px = table.px_from_mm(_outline_mm(sheet))
        if np.isfinite(px).all():
            reach = 4.0 * max(size)
            cv2.fillPoly(green, [np.rint(np.clip(px, -reach, reach)).astype(np.int32)], 255)
    return in_green(green)


def beyond_plain_mm(on_page: Array, page_mm: Array) -> Array:
    """(N,) distance from places (N, 2) mm of a page to its plain light, negative in it."""
    middle = page_mm / 2.0
    off = np.abs(on_page - middle) - (middle + MARGIN_MM)
    outside = np.linalg.norm(np.maximum(off, 0.0), axis=1)
    return np.asarray(np.where((off > 0.0).any(axis=1), outside, off.max(axis=1)))
