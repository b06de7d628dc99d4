"""How far a place is from the nearest edge of a drawing: both drawings are known, so clashing spots are found by looking up."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from calibration.arrays import Array
from calibration.frame import frame_board, frame_green
from calibration.sheets import PAGE_MM, Paper, page_of

SHEET_DPI = 76.2  # 3 px a mm or more
AROUND_MM = 40.0


@dataclass(frozen=True, slots=True, eq=False)
class EdgeDistance:
    """`distance` (h, w) in drawing units; a place p lies at picture coordinates scale * p + shift (y flipped by a negative scale)."""

    distance: NDArray[np.float32]
    scale: Array
    shift: Array

    def at(self, places: Array) -> Array:
        """(N,) distance from (N, 2) places to the nearest edge; beyond the drawing's surroundings the distance at their rim."""
        known = np.where(np.isfinite(places), places, 0.0)
        index = np.rint(known * self.scale + self.shift).astype(np.int64)
        x = np.clip(index[:, 0], 0, self.distance.shape[1] - 1)
        y = np.clip(index[:, 1], 0, self.distance.shape[0] - 1)
        return np.where(np.isfinite(places).all(axis=1), self.distance[y, x], np.inf)


def _distances(drawing: NDArray[np.uint8], per_unit: float) -> NDArray[np.float32]:
    """Distance of each pixel to the nearest change of brightness in a drawing."""
    import cv2

    step = cv2.morphologyEx(drawing, cv2.MORPH_GRADIENT, np.ones((3, 3), np.uint8)) > 64
    plain = np.where(step, 0, 1).astype(np.uint8)
    return np.asarray(cv2.distanceTransform(plain, cv2.DIST_L2, 5) / per_unit, dtype=np.float32)


@lru_cache(maxsize=16)
def sheet_edges(paper: Paper, number: int) -> EdgeDistance:
    """Edges of ink and of the paper itself; places in mm from the page's lower-left corner."""
    import cv2

    from calibration.sheet_drawing import picture_of

    page = picture_of(page_of(paper, number), SHEET_DPI)
    per_mm = page.shape[1] / PAGE_MM[paper][0]
    around = round(AROUND_MM * per_mm)
    whole = cv2.copyMakeBorder(page, around, around, around, around, cv2.BORDER_CONSTANT, value=0)
    height = PAGE_MM[paper][1]
    shift = np.array([around - 0.5, around + height * per_mm - 0.5])
    return EdgeDistance(_distances(np.asarray(whole), per_mm), np.array([per_mm, -per_mm]), shift)


@lru_cache(maxsize=4)
def light_edges(size: tuple[int, int], kind: str = "") -> EdgeDistance:
    """Edges of the light's pattern and of the light itself; places in px."""
    import cv2

    around = 64
    green = cv2.copyMakeBorder(frame_green(frame_board(size, kind), size), around, around, around, around, cv2.BORDER_CONSTANT, value=128)
    return EdgeDistance(_distances(np.asarray(green), 1.0), np.ones(2), np.array([around, around], dtype=np.float64))
