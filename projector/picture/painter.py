"""Scene + table -> picture. The Canvas of the projector.

Order of work: everything in mm is cut to the lit part, into dashes and short pieces; one call maps all points; OpenCV draws
thin anti-aliased passes in linear light; words and areas are laid on; one look-up encodes.
"""

from collections.abc import Hashable
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from projector.picture.cut import Lines, clipped, dashed, finely, joined, lengths, parted
from projector.picture.letters import MaskStore, lay_on, mask_of
from projector.picture.light import ENCODE, level
from projector.picture.strokes import FARTHEST_PX, draw
from projector.scene.primitives import Area, Label, Scene, Stroke, show
from projector.scene.view import Light

cv2.setNumThreads(1)  # a frame is small: two threads brought nothing measurable and cost a second core

Array = NDArray[np.float64]
MARGIN_PX = 24.0
"""Lines are cut this far outside the picture."""


def lit_planes(light: Light, height_mm: float) -> Array:
    """(4, 3) half-planes in mm round everything the picture lights, MARGIN_PX outside; a x + b y + c >= 0 inside.

    The four corners' quad, each side moved out until all of the (bent) border lies inside it.
    """
    w, h = light.size
    x = np.linspace(-MARGIN_PX, w - 1 + MARGIN_PX, 17)
    y = np.linspace(-MARGIN_PX, h - 1 + MARGIN_PX, 17)
    border = np.vstack(
        [np.column_stack([x, np.full(17, e)]) for e in (y[0], y[-1])] + [np.column_stack([np.full(17, e), y]) for e in (x[0], x[-1])]
    )
    mm = np.asarray(light.mm_from_px(border, height_mm))
    mm = mm[np.isfinite(mm).all(axis=1)]
    inside = np.array([[0, 0], [w - 1, 0], [w - 1, h - 1], [0, h - 1]], dtype=np.float64)
    quad = np.asarray(light.mm_from_px(inside, height_mm))
    middle = quad.mean(axis=0)
    planes = []
    for a, b in zip(quad, np.roll(quad, -1, axis=0), strict=True):
        d = b - a
        n = np.array([-d[1], d[0]]) / np.hypot(*d)
        if n @ (middle - a) < 0:
            n = -n
        planes.append([n[0], n[1], -float((mm @ n).min())])
    return np.array(planes)


@dataclass(frozen=True, slots=True, eq=False)
class _Filled:
    """Rings in table mm to be filled, under a key that names their mask."""

    key: Hashable
    points: Array
    counts: list[int]
    fills: int
    colour: tuple[int, ...]


class Painter:
    """Draws scenes for one table; buffers, masks and planes are kept between pictures. A Canvas."""

    def __init__(self, light: Light) -> None:
        self.table = light
        w, h = light.size
        self._light = np.zeros((h, w, 4), dtype=np.uint8)
        self._planes: dict[float, Array] = {}
        self._masks = MaskStore()
        self._scene = Scene("stop", "yellow", 0.0, (), (), ())
        self._strokes: list[Stroke] = []
        self._filled: list[_Filled] = []

    # Canvas ------------------------------------------------------------------------------------------------------
    def begin(self, scene: Scene) -> None:
        """Dark ground, or plain light."""
        self._scene, self._strokes, self._filled = scene, [], []
        self._light.fill(round(255 * scene.plain))

    def area(self, area: Area) -> None:
        """A filled ring."""
        self._ask(("area", area.mm.tobytes()), area.mm, [len(area.mm)], 1, level(area.role, area.light, self._scene))

    def stroke(self, stroke: Stroke) -> None:
        """Gathered; drawn together in `finish`."""
        self._strokes.append(stroke)

    def label(self, label: Label) -> None:
        """Shaped outlines, mapped point by point."""
        shape = label.outline()
        if shape.fills:
            key = (label.text, label.at, label.size_mm, label.turn_deg, label.is_bold)
            colour = level(label.role, label.light, self._scene)
            rings = [*shape.fills, *shape.holes]
            fills = 0 if label.text.isascii() else len(shape.fills)  # only composed letters overlap their marks
            is_known = (key, self._scene.height_mm) in self._masks
            own = rings[0] if is_known else np.vstack(rings)
            self._ask(key, label.table_from_own(own), [len(ring) for ring in rings], fills, colour)

    def _ask(self, key: Hashable, points: Array, counts: list[int], fills: int, colour: tuple[int, ...]) -> None:
        """Something filled, rings in table mm (see `mask_of`), under a key. Mapped later, all new ones in one call."""
        self._filled.append(_Filled((key, self._scene.height_mm), points, counts, fills, colour))

    def _lay_all(self) -> None:
        new = [one for one in self._filled if one.key not in self._masks]
        if new:
            px = np.asarray(self.table.px_from_mm(np.vstack([one.points for one in new]), self._scene.height_mm))
            for one, own in zip(new, np.split(px, np.cumsum([len(one.points) for one in new])[:-1]), strict=True):
                self._masks.put(one.key, mask_of(own, one.counts, one.fills, self.table.size))
        for one in self._filled:
            mask = self._masks.get(one.key)
            if mask is not None:
                lay_on(self._light, mask, one.colour)

    # Picture -----------------------------------------------------------------------------------------------------
    def _px_lines(self) -> Lines:
        height = self._scene.height_mm
        if height not in self._planes:
            self._planes[height] = lit_planes(self.table, height)
        on = np.array([stroke.look.dash_mm[0] if stroke.look.dash_mm else 0.0 for stroke in self._strokes])
        off = np.array([stroke.look.dash_mm[1] if stroke.look.dash_mm else 0.0 for stroke in self._strokes])
        lines = joined([stroke.mm for stroke in self._strokes])
        lines, phase = clipped(lines, lengths(lines), self._planes[height])
        lines = finely(dashed(lines, phase, on, off))
        if not len(lines.points):
            return lines
        px = np.asarray(self.table.px_from_mm(lines.points, height))
        with np.errstate(invalid="ignore"):
            known = (np.abs(px) < FARTHEST_PX).all(axis=1)
        lines = Lines(px, lines.starts, lines.of)
        return lines if known.all() else parted(lines, known)

    def _draw_strokes(self) -> None:
        lines = self._px_lines()
        if not len(lines.of):
            return
        weight = np.array([stroke.look.weight for stroke in self._strokes], dtype=np.int64)[lines.of]
        groups: dict[tuple[int, ...], list[int]] = {}
        for number, stroke in enumerate(self._strokes):
            groups.setdefault(level(stroke.look.role, stroke.look.light, self._scene), []).append(number)
        order = []
        for colour, numbers in sorted(groups.items(), key=lambda item: sum(item[0])):
            chosen = np.flatnonzero(np.isin(lines.of, numbers))
            if len(chosen):
                order.append((chosen, colour))
        draw(self._light, lines, weight, order)

    def light(self, scene: Scene) -> NDArray[np.uint8]:
        """(h, w, 4) B, G, R, 0 in linear light; overwritten by the next call."""
        show(scene, self)
        if self._strokes:
            self._draw_strokes()
        self._lay_all()
        return self._light

    def into(self, scene: Scene, target: NDArray[np.uint8]) -> None:
        """Draw and encode into `target` (h, w, 4) BGRX: the display's own memory."""
        cv2.LUT(self.light(scene), ENCODE, dst=target)

    def rgb(self, scene: Scene) -> NDArray[np.uint8]:
        """(h, w, 3) R, G, B code values: what the window shows, for files."""
        coded = cv2.LUT(self.light(scene), ENCODE)
        return np.ascontiguousarray(coded[:, :, 2::-1])
