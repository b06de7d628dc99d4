"""Scene + table -> picture.

Order of work: everything in mm is cut into dashes and short pieces; one call maps all points; OpenCV draws thin anti-aliased
passes in linear light, dim before bright; words and areas are laid on; one look-up encodes. What stands still (the grid as a
picture, other lines as whole numbers, words as masks) and what lies on the cloth (lying.py) is kept from picture to picture.
"""

from collections import OrderedDict
from collections.abc import Hashable
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from calibration.homography import corner_pixels
from projector.picture.cut import Lines, clipped, dashed, finely, joined, lengths, parted
from projector.picture.letters import Mask, MaskStore, coloured, fills_apart, lay_on, mask_of
from projector.picture.light import code, encode, level
from projector.picture.lying import Ready, fill_areas
from projector.picture.passes import Passes, Views, dashes_of, grouped
from projector.picture.strokes import SHIFT, known_px
from projector.scene.kept import kept
from projector.scene.lines import Role
from projector.scene.primitives import Area, Label, Scene, Stroke
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
    quad = np.asarray(light.mm_from_px(corner_pixels(light.size), height_mm))
    middle = quad.mean(axis=0)
    planes = []
    for a, b in zip(quad, np.roll(quad, -1, axis=0), strict=True):
        d = b - a
        n = np.array([-d[1], d[0]]) / np.hypot(*d)
        if n @ (middle - a) < 0:
            n = -n
        planes.append([n[0], n[1], -float((mm @ n).min())])
    return np.array(planes)


RAW_FROM_ROWS = 1600
"""From so many rows on code values are drawn directly: a pixel is then so small that the centre of a line stays within
0.08 px (0.03 mm on the cloth, tests/projector/picture), and encoding 8 million pixels would take most of a picture's time."""
_STILLS_KEPT, _LAYERS_KEPT = 6, 6
Looks = list[tuple[Role, float, Views]]


@dataclass(frozen=True, slots=True, eq=False)
class _Still:
    """What does not move: the grid drawn already (None: no grid), other lines, masks with their light."""

    strokes: tuple[Stroke, ...]
    labels: tuple[Label, ...]
    areas: tuple[Area, ...]
    ground: NDArray[np.uint8] | None
    looks: Looks
    masks: tuple[tuple[Mask, Hashable, Role, float], ...]


class Painter:
    """Draws scenes for one table; buffers, masks, planes and layers are kept between pictures."""

    def __init__(self, light: Light, is_raw: bool | None = None) -> None:
        self.table = light
        w, h = light.size
        self.is_raw = h >= RAW_FROM_ROWS if is_raw is None else is_raw
        """Code values are drawn, not light."""
        self._drawn = np.zeros((h, w, 4), dtype=np.uint8)
        self._planes: dict[float, Array] = {}
        self._masks = MaskStore()
        self._parts: OrderedDict[Hashable, NDArray[np.uint8]] = OrderedDict()
        self._stills: OrderedDict[Hashable, _Still] = OrderedDict()
        self._layers: OrderedDict[Hashable, Ready] = OrderedDict()

    # Pictures ----------------------------------------------------------------------------------------------------
    def into(self, scene: Scene, target: NDArray[np.uint8]) -> None:
        """Draw into `target` (h, w, 4) BGRX: the display's own memory."""
        if self.is_raw:
            self._draw(scene, target)
        else:
            encode(self.light(scene), target)

    def light(self, scene: Scene) -> NDArray[np.uint8]:
        """(h, w, 4) B, G, R, 0 in linear light (code values when raw); overwritten by the next call."""
        self._draw(scene, self._drawn)
        return self._drawn

    def rgb(self, scene: Scene) -> NDArray[np.uint8]:
        """(h, w, 3) R, G, B code values: what the window shows, for files."""
        shown = np.zeros_like(self._drawn)
        self.into(scene, shown)
        return np.ascontiguousarray(shown[:, :, 2::-1])

    # Parts of a picture ------------------------------------------------------------------------------------------
    def _level(self, role: Role, light: float, scene: Scene) -> tuple[int, int, int, int]:
        told = level(role, light, scene)
        return code(told) if self.is_raw else told

    def _draw(self, scene: Scene, out: NDArray[np.uint8]) -> None:
        key = (id(scene.strokes), id(scene.labels), id(scene.areas), scene.height_mm)
        still = kept(self._stills, key, _STILLS_KEPT, lambda: self._stand(scene))
        if still.ground is not None and not scene.plain:
            np.copyto(out, still.ground)
        else:
            out.fill(round(255 * scene.plain))
        looks = list(still.looks)
        words: list[tuple[Mask, Hashable, int, int, tuple[int, ...]]] = []
        lying = scene.lying
        if lying is not None:
            layer = (id(lying.strokes), id(lying.labels), id(lying.areas))
            ready = kept(self._layers, layer, _LAYERS_KEPT, lambda: Ready(lying))
            passes, probes, rings = ready.put(lying, self.table, scene.height_mm, self._lit(scene.height_mm))
            fill_areas(out, rings, [self._level(area.role, area.light, scene) for area in lying.areas])
            looks += (passes or self._cut(scene.laid().strokes[len(scene.strokes) :], scene.height_mm)).looks
            for label, word in ready.words(lying, probes, self._masks):
                words.append((word.mask, word.key, word.x, word.y, self._level(label.role, label.light, scene)))
        self._draw_lines(out, looks, scene)
        for mask, name, role, light in still.masks:
            words.append((mask, name, 0, 0, self._level(role, light, scene)))
        for mask, name, x, y, colour in words:
            part = kept(self._parts, (name, colour), 512, lambda mask=mask, colour=colour: coloured(mask, colour))  # type: ignore[misc]
            lay_on(out, part, mask.x + x, mask.y + y)

    def _draw_lines(self, out: NDArray[np.uint8], looks: Looks, scene: Scene) -> None:
        """Every look's lines, dim before bright, one call a colour."""
        groups: dict[tuple[int, ...], Views] = {}
        for role, light, views in looks:
            groups.setdefault(self._level(role, light, scene), []).extend(views)
        for colour, views in sorted(groups.items(), key=lambda item: sum(item[0])):
            cv2.polylines(out, views, False, colour, 1, cv2.LINE_AA, SHIFT)

    def _stand(self, scene: Scene) -> _Still:
        """Make ready what stands still in this scene."""
        grid = tuple(stroke for stroke in scene.strokes if stroke.kind == "grid")
        rest = tuple(stroke for stroke in scene.strokes if stroke.kind != "grid")
        ground = None
        if grid:
            ground = np.zeros_like(self._drawn)
            self._draw_lines(ground, self._cut(grid, scene.height_mm).looks, scene)
        return _Still(scene.strokes, scene.labels, scene.areas, ground, self._cut(rest, scene.height_mm).looks, self._masked(scene))

    def _masked(self, scene: Scene) -> tuple[tuple[Mask, Hashable, Role, float], ...]:
        """Words and areas that stand still, point by point through the map."""
        asked: list[tuple[Hashable, Array, list[int], int, Role, float]] = []
        for area in scene.areas:
            asked.append((("area", area.mm.tobytes()), area.mm, [len(area.mm)], 1, area.role, area.light))
        for label in scene.labels:
            shape = label.outline()
            rings = [*shape.fills, *shape.holes]
            if rings:
                key = (label.text, label.at, label.size_mm, label.turn_deg, label.is_bold)
                points = label.table_from_own(np.vstack(rings))
                asked.append((key, points, [len(ring) for ring in rings], fills_apart(label), label.role, label.light))
        told = []
        for name, points, counts, fills, role, light in asked:
            whole = (name, scene.height_mm)
            if whole not in self._masks:
                px = np.asarray(self.table.px_from_mm(points, scene.height_mm))
                self._masks.put(whole, mask_of(px, counts, fills, self.table.size))
            mask = self._masks.get(whole)
            if mask is not None:
                told.append((mask, whole, role, light))
        return tuple(told)

    def _lit(self, height_mm: float) -> Array:
        if height_mm not in self._planes:
            self._planes[height_mm] = lit_planes(self.table, height_mm)
        return self._planes[height_mm]

    def _cut(self, strokes: tuple[Stroke, ...], height_mm: float) -> Passes:
        """Strokes in table mm cut to the light, into dashes and short pieces, mapped. Whatever lies beyond is left out."""
        lines = joined([stroke.mm for stroke in strokes])
        lines, phase = clipped(lines, lengths(lines), self._lit(height_mm))
        lines = finely(dashed(lines, phase, *dashes_of(strokes)))
        px = np.asarray(self.table.px_from_mm(lines.points, height_mm)) if len(lines.points) else lines.points
        known = known_px(px)
        lines = Lines(px, lines.starts, lines.of)
        lines, groups = grouped(lines if known.all() else parted(lines, known), strokes)
        passes = Passes(lines.counts, groups)
        passes.fill(lines.points)
        return passes
