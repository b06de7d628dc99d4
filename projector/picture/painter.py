"""Scene + table -> picture. The Canvas of the projector.

Order of work: everything in mm is cut to the lit part, into dashes and short pieces; one call maps all points; OpenCV draws
thin anti-aliased passes in linear light; words and areas are laid on; one look-up encodes.
"""

import cv2
import numpy as np
from numpy.typing import NDArray

from projector.picture.cut import Lines, clipped, dashed, finely, joined, lengths, parted
from projector.picture.letters import Mask, MaskStore, lay_on, mask_of
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
        self._masked: list[tuple[Mask, tuple[int, ...]]] = []

    # Canvas ------------------------------------------------------------------------------------------------------
    def begin(self, scene: Scene) -> None:
        """Dark ground, or plain light."""
        self._scene, self._strokes, self._masked = scene, [], []
        self._light.fill(round(255 * scene.plain))

    def area(self, area: Area) -> None:
        """A filled ring."""
        ring = np.asarray(self.table.px_from_mm(area.mm, self._scene.height_mm))
        self._lay(("area", area.mm.tobytes(), self._scene.height_mm), [ring], [], level(area.role, area.light, self._scene))

    def stroke(self, stroke: Stroke) -> None:
        """Gathered; drawn together in `finish`."""
        self._strokes.append(stroke)

    def label(self, label: Label) -> None:
        """Shaped outlines, mapped point by point."""
        colour = level(label.role, label.light, self._scene)
        key = (label.text, label.at, label.size_mm, label.turn_deg, label.is_bold, self._scene.height_mm)
        known, mask = self._masks.get(key)
        if known:
            if mask is not None:
                self._masked.append((mask, colour))
            return
        shape = label.outline()
        rings = [*shape.fills, *shape.holes]
        if not rings:
            return
        whole = np.asarray(self.table.px_from_mm(label.table_from_own(np.vstack(rings)), self._scene.height_mm))
        parts = np.split(whole, np.cumsum([len(ring) for ring in rings])[:-1])
        self._lay(key, parts[: len(shape.fills)], parts[len(shape.fills) :], colour)

    def _lay(self, key: object, fills: list[Array], holes: list[Array], colour: tuple[int, ...]) -> None:
        known, mask = self._masks.get(key)
        if not known:
            mask = mask_of(fills, holes, self.table.size)
            self._masks.put(key, mask)
        if mask is not None:
            self._masked.append((mask, colour))

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
        for mask, colour in self._masked:
            lay_on(self._light, mask, colour)
        return self._light

    def into(self, scene: Scene, target: NDArray[np.uint8]) -> None:
        """Draw and encode into `target` (h, w, 4) BGRX: the display's own memory."""
        cv2.LUT(self.light(scene), ENCODE, dst=target)

    def rgb(self, scene: Scene) -> NDArray[np.uint8]:
        """(h, w, 3) R, G, B code values: what the window shows, for files."""
        coded = cv2.LUT(self.light(scene), ENCODE)
        return np.ascontiguousarray(coded[:, :, 2::-1])
