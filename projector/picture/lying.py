"""What lies on the cloth, made ready once in its own frame and put on the table for each picture.

Dashes, short pieces, buffers and masks of words are kept while the cloth only moves; a picture costs one turn and shift, one
call of the map and the drawing. Words keep their masks over small moves: they are laid on at the nearest whole pixel.
"""

from collections.abc import Hashable
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from projector.picture.cut import Lines, dashed, finely, joined
from projector.picture.letters import LARGEST_PX, Mask, MaskStore, fills_apart, mask_of
from projector.picture.passes import Group, Passes, dashes_of, grouped, reordered
from projector.picture.strokes import SHIFT, known_px
from projector.scene.primitives import Label, Lying
from projector.scene.view import Light, turned

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]
LARGEST_MM = 20_000.0
"""A layer wider than this is cut to the light for every picture instead: dashes of a line that runs to the moon are not kept."""
PROBE_MM = 10.0
FAR_END_PX = 0.25
"""A word's mask is used again while neither end of the word would lie by more than this elsewhere, each way."""


@dataclass(slots=True, eq=False)
class _Chosen:
    """The lines that meet the light just now, with their buffers. `index` (k,): their points among all."""

    keep: Bools
    index: NDArray[np.int64]
    passes: Passes


@dataclass(frozen=True, slots=True, eq=False)
class Word:
    """A mask and the pixel on which its middle lies."""

    mask: Mask
    key: Hashable
    x: int
    y: int


class Ready:
    """One layer. `is_bounded` False: it must be cut to the light for every picture."""

    def __init__(self, lying: Lying) -> None:
        self.lying = lying
        strokes = tuple(stroke for stroke in lying.strokes if len(stroke.mm) > 1)
        lines = joined([stroke.mm for stroke in strokes])
        lines = reordered(lines, np.flatnonzero(lines.counts > 1))
        self.is_bounded = not len(lines.points) or bool(np.abs(lines.points).max() < LARGEST_MM)
        self._groups: tuple[Group, ...] = ()
        if self.is_bounded and len(lines.of):
            on, off = dashes_of(strokes)
            lines, self._groups = grouped(finely(dashed(lines, np.zeros(len(lines.of)), on, off)), strokes)
        self._lines = lines if self.is_bounded else Lines(np.zeros((0, 2)), np.zeros(1, dtype=np.int64), np.zeros(0, dtype=np.int64))
        self._chosen: _Chosen | None = None
        self._low, self._high = self._extents()
        self._middles = [np.array([label.outline().width_mm / 2, label.size_mm / 2]) for label in lying.labels]
        probes = np.array([[0.0, 0.0], [PROBE_MM, 0.0], [0.0, PROBE_MM]])
        words = [label.table_from_own(middle + probes) for label, middle in zip(lying.labels, self._middles, strict=True)]
        self._areas_mm = [area.mm for area in lying.areas]
        self._points = np.vstack([self._lines.points, *words, *self._areas_mm])

    def _extents(self) -> tuple[Array, Array]:
        """(m, 2) least and greatest corner of each line, own mm."""
        if not len(self._lines.of):
            return np.zeros((0, 2)), np.zeros((0, 2))
        first = self._lines.starts[:-1]
        return np.minimum.reduceat(self._lines.points, first), np.maximum.reduceat(self._lines.points, first)

    def _met(self, planes: Array, lying: Lying) -> Bools:
        """(m,) lines whose box meets the lit region; `planes` (k, 3) in table mm."""
        across = turned(planes[:, :2], -lying.turn_deg)
        ahead = planes[:, 2] + planes[:, :2] @ np.asarray(lying.shift_mm)
        most = self._high @ np.maximum(across, 0.0).T + self._low @ np.minimum(across, 0.0).T + ahead
        return np.asarray((most >= 0.0).all(axis=1))

    def _choose(self, keep: Bools) -> _Chosen:
        if self._chosen is None or not np.array_equal(self._chosen.keep, keep):
            before = np.concatenate([[0], np.cumsum(keep)])
            groups = [Group(one.weight, one.role, one.light, int(before[one.first]), int(before[one.last])) for one in self._groups]
            counts = self._lines.counts
            index = np.flatnonzero(np.repeat(keep, counts))
            rest = np.arange(len(self._lines.points), len(self._points))
            passes = Passes(counts[keep], [group for group in groups if group.first < group.last])
            self._chosen = _Chosen(keep, np.concatenate([index, rest]), passes)
        return self._chosen

    def put(self, lying: Lying, light: Light, height_mm: float, planes: Array) -> tuple[Passes | None, Array, list[Array]]:
        """Lines in px (None: some place is unknown, cut them to the light), the words' probes (3 a word), the areas' rings."""
        chosen = self._choose(self._met(planes, lying))
        px = np.asarray(light.px_from_mm(lying.on_table(self._points[chosen.index]), height_mm))
        count = len(chosen.index) - (len(self._points) - len(self._lines.points))
        lines, rest = px[:count], px[count:]
        is_known = self.is_bounded and bool(known_px(lines).all())
        if is_known:
            chosen.passes.fill(lines)
        probes, rings = rest[: 3 * len(self._middles)], rest[3 * len(self._middles) :]
        ends = np.cumsum([len(area) for area in self._areas_mm])
        return chosen.passes if is_known else None, probes, np.split(rings, ends[:-1]) if self._areas_mm else []

    def words(self, lying: Lying, probes: Array, masks: MaskStore) -> list[tuple[Label, Word]]:
        """Each label's mask, made for how the map stretches and turns it there (in steps too small to see)."""
        if not len(self._middles):
            return []
        at, along, up = probes[0::3], probes[1::3], probes[2::3]
        if lying.label_moves_mm is not None:
            at = at + ((along - at) * lying.label_moves_mm[:, :1] + (up - at) * lying.label_moves_mm[:, 1:]) / PROBE_MM
            along, up = probes[1::3] + at - probes[0::3], probes[2::3] + at - probes[0::3]
        grain = 2.0 * FAR_END_PX / np.hypot(*np.array(self._middles).T)
        with np.errstate(invalid="ignore"):
            steps = np.rint(np.stack([along - at, up - at], axis=1) / (PROBE_MM * grain[:, None, None]))
            near = (np.abs(at) < LARGEST_PX).all(axis=1) & np.isfinite(steps).all(axis=(1, 2))
            places = np.rint(np.where(near[:, None], at, 0.0)).astype(int).tolist()
        told = []
        for number in np.flatnonzero(near).tolist():
            label = lying.labels[number]
            key = ("word", label.text, label.size_mm, label.is_bold, steps[number].tobytes())
            if key not in masks:
                stretch = steps[number] * grain[number]
                masks.put(key, _mask(label, (np.vstack(_rings(label)) - self._middles[number]) @ stretch) if _rings(label) else None)
            mask = masks.get(key)
            if mask is not None:
                told.append((label, Word(mask, key, *places[number])))
        return told


def _rings(label: Label) -> list[Array]:
    return [*label.outline().fills, *label.outline().holes]


def _mask(label: Label, px: Array) -> Mask | None:
    return mask_of(px, [len(ring) for ring in _rings(label)], fills_apart(label), None)


def fill_areas(light: NDArray[np.uint8], rings: list[Array], colours: list[tuple[int, ...]]) -> None:
    """Small filled shapes that move with the cloth, edges smoothed; one with an unknown place is left out."""
    if not rings:
        return
    known = known_px(np.vstack(rings))
    whole = np.rint(np.where(known[:, None], np.vstack(rings), 0.0) * (1 << SHIFT)).astype(np.int32)
    end = 0
    for ring, colour in zip(rings, colours, strict=True):
        first, end = end, end + len(ring)
        if known[first:end].all():
            cv2.fillPoly(light, [whole[first:end]], colour, cv2.LINE_AA, SHIFT)
