"""What is true at the virtual table, and how far a map is from it."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from tests.virtual_table.lamp import Lamp
from tests.virtual_table.lens import Array
from tests.virtual_table.scene import Scene

PlaneMap = Callable[[Array], Array]


@dataclass(frozen=True, slots=True)
class Truth:
    """Exact maps between picture px and the table frame: (0, 0) where pixel (0, h-1) falls, x towards (w-1, h-1), y a quarter
    turn counter-clockwise seen from above."""

    lamp: Lamp
    origin: Array
    along: Array

    def table_from_world(self, world: Array) -> Array:
        """(..., 2) world mm to (..., 2) table mm."""
        off = world - self.origin
        across = np.array([-self.along[1], self.along[0]])
        return np.stack([off @ self.along, off @ across], axis=-1)

    def world_from_table(self, table: Array) -> Array:
        """Inverse of table_from_world."""
        across = np.array([-self.along[1], self.along[0]])
        return np.asarray(self.origin + table[..., :1] * self.along + table[..., 1:] * across)

    def mm_from_px(self, px: Array, height_mm: float = 0.0) -> Array:
        """(N, 2) picture px to (N, 2) table mm at a height."""
        return self.table_from_world(self.lamp.world_from_px(px, height_mm))

    def px_from_mm(self, table: Array, height_mm: float = 0.0) -> Array:
        """(N, 2) table mm at a height to (N, 2) picture px."""
        world = self.world_from_table(table)
        return self.lamp.px_from_world(np.concatenate([world, np.full((*world.shape[:-1], 1), height_mm)], axis=-1))

    @property
    def lens_position_mm(self) -> Array:
        """(3,) the lamp's lens in the table frame."""
        return np.append(self.table_from_world(self.lamp.pose.at[None, :2])[0], self.lamp.pose.at[2])


def truth_of(scene: Scene) -> Truth:
    """The truth at the last photograph of the scene (a lamp that moved has no other)."""
    lamp = scene.phones[-1].lamp or scene.lamp if scene.phones else scene.lamp
    return truth_of_lamp(lamp)


def truth_of_lamp(lamp: Lamp) -> Truth:
    """The truth of one lamp."""
    w, h = lamp.size
    first, second = lamp.world_from_px(np.array([[0.0, h - 1.0], [w - 1.0, h - 1.0]]))
    return Truth(lamp, first, (second - first) / np.linalg.norm(second - first))


def grid_px(size: tuple[int, int], across: int = 33, down: int = 19) -> Array:
    """(across × down, 2) px, even over the picture from edge to edge."""
    x, y = np.meshgrid(np.linspace(0, size[0] - 1, across), np.linspace(0, size[1] - 1, down))
    return np.stack([x.ravel(), y.ravel()], axis=-1)


def rigidly_fitted(moving: Array, fixed: Array) -> Array:
    """`moving` after the turn and shift (no scale, no mirror) that bring it closest to `fixed` (Arun, Huang, Blostein 1987)."""
    a, b = moving - moving.mean(axis=0), fixed - fixed.mean(axis=0)
    u, _, vt = np.linalg.svd(a.T @ b)
    turn = u @ np.diag([1.0, np.sign(np.linalg.det(u @ vt))]) @ vt
    return np.asarray(a @ turn + fixed.mean(axis=0))


@dataclass(frozen=True, slots=True)
class Score:
    """Distances after the best rigid fit, mm; share of places within the stated radius; stated / true 95th percentile; scale error."""

    rms_mm: float
    p95_mm: float
    max_mm: float
    covered: float
    stated_over_true: float
    scale_percent: float

    def line(self) -> str:
        """One line for a report."""
        return (
            f"rms {self.rms_mm:.3f} p95 {self.p95_mm:.3f} max {self.max_mm:.3f} mm, covered {100 * self.covered:.0f} %,"
            f" stated/true {self.stated_over_true:.2f}, scale {self.scale_percent:+.3f} %"
        )


def scored(mm_from_px: PlaneMap, truth: Truth, stated_mm: Callable[[Array], Array] | None = None) -> Score:
    """A map against the truth at 33 × 19 places of the picture; `stated_mm`: its 95 % radius at its own places."""
    px = grid_px(truth.lamp.size)
    found, true = mm_from_px(px), truth.mm_from_px(px)
    miss = np.linalg.norm(rigidly_fitted(found, true) - true, axis=1)
    p95 = float(np.percentile(miss, 95))
    radius = np.full(len(px), np.nan) if stated_mm is None else stated_mm(found)
    size_found = np.sqrt(np.square(found - found.mean(axis=0)).sum())
    size_true = np.sqrt(np.square(true - true.mean(axis=0)).sum())
    return Score(
        rms_mm=float(np.sqrt(np.mean(miss**2))),
        p95_mm=p95,
        max_mm=float(miss.max()),
        covered=float(np.mean(miss <= radius)),
        stated_over_true=float(np.percentile(radius, 95)) / p95 if p95 > 0 else float("inf"),
        scale_percent=100.0 * (float(size_found / size_true) - 1.0),
    )
