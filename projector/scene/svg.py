"""A canvas that writes SVG in table mm, dark lines on white: the same step for paper and browsers. Words are outlines.

SVG's y runs down, the table's up: y is turned over on writing. Lines beyond the lit part are kept; the viewer clips them.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from projector.scene.lines import WIDTH_PX
from projector.scene.primitives import Area, Label, Scene, Stroke, in_order

Array = NDArray[np.float64]
MM_PER_PX_OF_WEIGHT = 0.25
"""Line width on paper for one projector pixel of weight."""
DIM_MOST = 0.8
"""The dimmest line is this grey; the brightest is black."""


def _path(rings: Sequence[Array], is_closed: bool) -> str:
    told = []
    for ring in rings:
        known = ring[np.isfinite(ring).all(axis=1)]
        if len(known) > 1:
            told.append("M" + "L".join(f"{x:.3f} {-y:.3f}" for x, y in known) + ("Z" if is_closed else ""))
    return "".join(told)


def _grey(light: float) -> str:
    value = round(255 * DIM_MOST * (1.0 - min(1.0, light)))
    return f"#{value:02x}{value:02x}{value:02x}"


class SvgCanvas:
    """Gathers elements; `text` is the whole file."""

    def __init__(self, box: tuple[float, float, float, float]) -> None:
        self._box = box
        self._parts: list[str] = []

    def show(self, scene: Scene) -> None:
        """A fresh sheet with the whole scene."""
        self._parts = []
        areas, strokes, labels = in_order(scene)
        for area in areas:
            self._area(area)
        for stroke in strokes:
            self._stroke(stroke)
        for label in labels:
            self._label(label)

    def _area(self, area: Area) -> None:
        """A filled ring."""
        self._parts.append(f'<path d="{_path([area.mm], True)}" fill="{_grey(area.light)}"/>')

    def _stroke(self, stroke: Stroke) -> None:
        """One line, its dashes in mm."""
        dash = f' stroke-dasharray="{stroke.look.dash_mm[0]:g} {stroke.look.dash_mm[1]:g}"' if stroke.look.dash_mm else ""
        width = WIDTH_PX[stroke.look.weight] * MM_PER_PX_OF_WEIGHT
        path = _path([stroke.mm], False)
        if path:
            self._parts.append(
                f'<path class="{stroke.kind}" d="{path}" fill="none" stroke="{_grey(stroke.look.light)}" stroke-width="{width:.3f}"{dash}/>'
            )

    def _label(self, label: Label) -> None:
        """Words as outlines."""
        shape = label.outline()
        rings = [label.table_from_own(ring) for ring in (*shape.fills, *shape.holes)]
        self._parts.append(f'<path d="{_path(rings, True)}" fill="{_grey(label.light)}"/>')

    @property
    def text(self) -> str:
        """The file: true size, mm."""
        x0, y0, x1, y1 = self._box
        size = f'width="{x1 - x0:.3f}mm" height="{y1 - y0:.3f}mm"'
        head = f'<svg xmlns="http://www.w3.org/2000/svg" {size} viewBox="{x0:.3f} {-y1:.3f} {x1 - x0:.3f} {y1 - y0:.3f}">'
        return "\n".join([head, *self._parts, "</svg>", ""])


def scene_svg(scene: Scene, box: tuple[float, float, float, float]) -> str:
    """One scene; `box`: x0, y0, x1, y1 of the table, mm."""
    canvas = SvgCanvas(box)
    canvas.show(scene)
    return canvas.text
