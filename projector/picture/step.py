"""One step for files: the picture exactly as the window shows it, and the record of every stroke, label and area."""

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from projector.picture.painter import Light, Painter
from projector.scene.lines import WIDTH_PX
from projector.scene.primitives import Label, Scene, Stroke

DIGITS = 4


def _numbers(points: NDArray[np.float64]) -> list[list[float] | None]:
    """Rows of plain numbers; None for a place beyond the horizon."""
    return [[round(float(x), DIGITS), round(float(y), DIGITS)] if np.isfinite([x, y]).all() else None for x, y in points]


def _stroke(stroke: Stroke, light: Light | None, height_mm: float) -> dict[str, Any]:
    px = None if light is None else _numbers(np.asarray(light.px_from_mm(stroke.mm, height_mm)))
    return {
        "kind": stroke.kind, "piece": stroke.piece, "when": stroke.when, "width_px": WIDTH_PX[stroke.look.weight],
        "dash_mm": list(stroke.look.dash_mm) if stroke.look.dash_mm else None, "mm": _numbers(stroke.mm), "px": px,
    }  # fmt: skip


def _label(label: Label, light: Light, height_mm: float) -> dict[str, Any]:
    return {"text": label.text, "px": _numbers(np.asarray(light.px_from_mm(label.corners_mm(), height_mm)))}


def record(scene: Scene, light: Light | None) -> dict[str, Any]:
    """`lines`, `labels`, `areas` of NN.json: every stroke drawn, table mm and px before drawing. Without a table px is null."""
    height = scene.height_mm
    return {
        "lines": [_stroke(stroke, light, height) for stroke in scene.strokes],
        "labels": [] if light is None else [_label(label, light, height) for label in scene.labels],
        "areas": [] if light is None else [{"px": _numbers(np.asarray(light.px_from_mm(area.mm, height)))} for area in scene.areas],
    }


def pictures(scenes: Sequence[Scene], light: Light) -> list[NDArray[np.uint8]]:
    """(h, w, 3) RGB of each scene, the same as the window shows."""
    painter = Painter(light)
    return [painter.rgb(scene) for scene in scenes]
