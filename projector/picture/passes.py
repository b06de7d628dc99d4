"""Lines made ready for OpenCV: grouped by look, parallel thin passes, whole numbers in buffers that are kept between pictures."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from projector.picture.cut import Lines
from projector.picture.strokes import PASSES_PX, SHIFT, normals
from projector.scene.lines import Role
from projector.scene.primitives import Stroke

Array = NDArray[np.float64]
Index = NDArray[np.int64]
Views = list[NDArray[np.int32]]


@dataclass(frozen=True, slots=True)
class Group:
    """Lines of one look: numbers `first` up to `last` (not itself)."""

    weight: int
    role: Role
    light: float
    first: int
    last: int


def dashes_of(strokes: Sequence[Stroke]) -> tuple[Array, Array]:
    """(strokes,) mm on and off; off 0: a whole line."""
    on = np.array([stroke.look.dash_mm[0] if stroke.look.dash_mm else 0.0 for stroke in strokes])
    off = np.array([stroke.look.dash_mm[1] if stroke.look.dash_mm else 0.0 for stroke in strokes])
    return on, off


def reordered(lines: Lines, order: Index) -> Lines:
    """The lines numbered in `order`, in that order."""
    counts = lines.counts[order]
    starts = np.concatenate([[0], np.cumsum(counts)]).astype(np.int64)
    place = np.arange(starts[-1]) - np.repeat(starts[:-1], counts) + np.repeat(lines.starts[order], counts)
    return Lines(lines.points[place], starts, lines.of[order])


def grouped(lines: Lines, strokes: Sequence[Stroke]) -> tuple[Lines, tuple[Group, ...]]:
    """Lines sorted by weight, then look; and where each look begins and ends."""
    looks = [(stroke.look.weight, stroke.look.role, stroke.look.light) for stroke in strokes]
    kinds = sorted(set(looks))
    number = np.array([kinds.index(look) for look in looks], dtype=np.int64)[lines.of]
    order = np.argsort(number, kind="stable").astype(np.int64)
    bounds = np.searchsorted(number[order], np.arange(len(kinds) + 1)).tolist()
    groups = [Group(*kind, bounds[n], bounds[n + 1]) for n, kind in enumerate(kinds) if bounds[n] < bounds[n + 1]]
    return reordered(lines, order), tuple(groups)


class Passes:
    """Buffers for lines of known counts. `fill` writes their pixels, `looks` holds what to draw of them."""

    def __init__(self, counts: Index, groups: Sequence[Group]) -> None:
        starts = np.concatenate([[0], np.cumsum(counts)]).astype(np.int64)
        self._starts = starts
        self._weights: list[tuple[int, int, int, Mapping[float, NDArray[np.int32]]]] = []
        self.looks: list[tuple[Role, float, Views]] = []
        for weight in sorted({group.weight for group in groups}):
            own = [group for group in groups if group.weight == weight]
            first, last = own[0].first, own[-1].last
            low, high = int(starts[first]), int(starts[last])
            buffers = {offset: np.empty((high - low, 2), dtype=np.int32) for offset in PASSES_PX[weight]}
            self._weights.append((weight, first, last, buffers))
            ends = (starts[first : last + 1] - low).tolist()
            for group in own:
                span = range(group.first - first, group.last - first)
                views = [whole[ends[n] : ends[n + 1]] for whole in buffers.values() for n in span]
                self.looks.append((group.role, group.light, views))

    def fill(self, px: Array) -> None:
        """`px` (n, 2): the points of all lines, in order; all of them known and nearer than FARTHEST_PX."""
        scaled = float(1 << SHIFT)
        for weight, first, last, buffers in self._weights:
            low, high = self._starts[first], self._starts[last]
            points = px[low:high]
            sides = normals(points, self._starts[first : last + 1] - low) if weight > 1 else None
            for offset, whole in buffers.items():
                moved = points * scaled if sides is None or offset == 0.0 else (points + sides * offset) * scaled
                np.rint(moved, out=moved)
                whole[...] = moved
