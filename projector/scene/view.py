"""What of the table the light reaches, seen from where she stands. Table mm.

Worker frame: x to her right, y away from her; table = turn of worker, no shift (turn 0 when she stands at the bottom).
"""

from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Protocol, runtime_checkable

import numpy as np
from numpy.typing import NDArray

from calibration.homography import corner_pixels
from projector.lay.cloth import Light as LayLight
from projector.session.snapshot import WORKER_TURN_DEG, Side

Array = NDArray[np.float64]


class Light(Protocol):
    """What scene and picture need of a table: calibration.table.Table, or PlainLight where there is none."""

    @property
    def size(self) -> tuple[int, int]: ...

    def px_from_mm(self, points_mm: Any, height_mm: float = 0.0) -> Any: ...

    def mm_from_px(self, points_px: Any, height_mm: float = 0.0) -> Any: ...

    def __hash__(self) -> int: ...


@runtime_checkable
class Measured(Light, Protocol):
    """A light that also knows how true it is; PlainLight does not."""

    def shape_error_mm(self, points_mm: Any) -> Any: ...


@dataclass(frozen=True, slots=True)
class PlainLight:
    """No table yet: a stand-in scale for words and bars alone (the picture's width is called 1400). Never used for a cut line."""

    size: tuple[int, int]

    def px_from_mm(self, points_mm: Any, height_mm: float = 0.0) -> Any:
        """(n, 2) stand-in units to px."""
        scale = self.size[0] / 1400.0
        points = np.asarray(points_mm, dtype=np.float64).reshape(-1, 2)
        return np.column_stack([points[:, 0] * scale, self.size[1] - 1 - points[:, 1] * scale])

    def mm_from_px(self, points_px: Any, height_mm: float = 0.0) -> Any:
        """(n, 2) px to stand-in units."""
        scale = self.size[0] / 1400.0
        points = np.asarray(points_px, dtype=np.float64).reshape(-1, 2)
        return np.column_stack([points[:, 0] / scale, (self.size[1] - 1 - points[:, 1]) / scale])


def turned(points: Array, deg: float) -> Array:
    """(n, 2) turned counter-clockwise about the origin."""
    c, s = float(np.cos(np.deg2rad(deg))), float(np.sin(np.deg2rad(deg)))
    return np.asarray(points @ np.array([[c, s], [-s, c]]))


@dataclass(frozen=True, slots=True, eq=False)
class View:
    """The lit part of the table at one height.

    `quad`: (4, 2) table mm of the corner pixels, in the order of `corner_pixels`; `inner`: x0, y0, x1, y1 in the worker's
    frame, a rectangle wholly lit; `turn_deg`: table from worker.
    """

    quad: Array
    inner: tuple[float, float, float, float]
    turn_deg: float
    mm_per_px: float

    def table_from_worker(self, points: Array) -> Array:
        """(n, 2) worker mm to table mm."""
        return turned(points, self.turn_deg)

    def worker_from_table(self, points: Array) -> Array:
        """(n, 2) table mm to worker mm."""
        return turned(points, -self.turn_deg)


def _inside(quad: Array, points: Array) -> bool:
    """True when every point lies in the convex quad, either sense of turning."""
    nxt = np.roll(quad, -1, axis=0)
    d = nxt - quad
    side = d[:, 0] * (points[:, 1][:, None] - quad[:, 1]) - d[:, 1] * (points[:, 0][:, None] - quad[:, 0])
    return bool((side >= -1e-9).all() or (side <= 1e-9).all())


def _inner(quad: Array) -> tuple[float, float, float, float]:
    """A rectangle inside the quad: between the middle values of its corners, shrunk about its middle until it fits."""
    xs, ys = np.sort(quad[:, 0]), np.sort(quad[:, 1])
    middle = np.array([(xs[1] + xs[2]) / 2, (ys[1] + ys[2]) / 2])
    half = np.array([(xs[2] - xs[1]) / 2, (ys[2] - ys[1]) / 2])
    if half.min() < 0.2 * (xs[3] - xs[0]):  # turned far from her side: start from the whole extent
        middle, half = quad.mean(axis=0), np.array([(xs[3] - xs[0]) / 2, (ys[3] - ys[0]) / 2])
    signs = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]])
    for share in np.linspace(1.0, 0.05, 96):
        if _inside(quad, middle + signs * half * share):
            half = half * share
            break
    return (float(middle[0] - half[0]), float(middle[1] - half[1]), float(middle[0] + half[0]), float(middle[1] + half[1]))


@lru_cache(maxsize=32)
def view_of(light: Light, height_mm: float, side: Side) -> View:
    """The view of one table from one side. Raises WrongInput when the picture does not meet the table."""
    quad = np.asarray(light.mm_from_px(corner_pixels(light.size), height_mm), dtype=np.float64)
    turn = WORKER_TURN_DEG[side]
    width = float(np.hypot(*(quad[1] - quad[0])))
    return View(quad, _inner(turned(quad, -turn)), turn, width / (light.size[0] - 1))


LAY_MARGIN_MM = 16.0
"""Room to nudge the light, and for the corner marks."""


def lay_light(light: Light, side: Side = "bottom") -> LayLight:
    """What the lay may use of this light: its wholly lit rectangle as she sees it, less a margin all round."""
    x0, y0, x1, y1 = view_of(light, 0.0, side).inner
    return LayLight(x1 - x0 - 2 * LAY_MARGIN_MM, y1 - y0 - 2 * LAY_MARGIN_MM)
