"""One step for files: the picture exactly as the window shows it, and the record of every stroke, label and area."""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from calibration.table import Table
from projector.picture.painter import RAW_FROM_ROWS, Painter
from projector.scene.compose import Scenes
from projector.scene.lines import WIDTH_PX, WIDTH_RAW_PX
from projector.scene.primitives import Label, Scene, Stroke
from projector.scene.step import step_scene
from projector.scene.view import Light

DIGITS = 4


def _numbers(points: NDArray[np.float64]) -> list[list[float] | None]:
    """Rows of plain numbers; None for a place beyond the horizon."""
    return [[round(float(x), DIGITS), round(float(y), DIGITS)] if np.isfinite([x, y]).all() else None for x, y in points]


def _stroke(stroke: Stroke, light: Light | None, height_mm: float) -> dict[str, Any]:
    px = None if light is None else _numbers(np.asarray(light.px_from_mm(stroke.mm, height_mm)))
    widths = WIDTH_RAW_PX if light is not None and light.size[1] >= RAW_FROM_ROWS else WIDTH_PX
    return {
        "kind": stroke.kind, "piece": stroke.piece, "when": stroke.when, "width_px": widths[stroke.look.weight],
        "dash_mm": list(stroke.look.dash_mm) if stroke.look.dash_mm else None, "mm": _numbers(stroke.mm), "px": px,
    }  # fmt: skip


def _label(label: Label, light: Light, height_mm: float) -> dict[str, Any]:
    return {"text": label.text, "px": _numbers(np.asarray(light.px_from_mm(label.corners_mm(), height_mm)))}


def record(scene: Scene, light: Light | None) -> dict[str, Any]:
    """`lines`, `labels`, `areas` of NN.json: every stroke drawn, table mm and px before drawing. Without a table px is null."""
    height, scene = scene.height_mm, scene.laid()
    return {
        "lines": [_stroke(stroke, light, height) for stroke in scene.strokes],
        "labels": [] if light is None else [_label(label, light, height) for label in scene.labels],
        "areas": [] if light is None else [{"px": _numbers(np.asarray(light.px_from_mm(area.mm, height)))} for area in scene.areas],
    }


@dataclass(frozen=True, slots=True, eq=False)
class StepPicture:
    """`rgb` (h, w, 3), None without a table; `told`: state, size, height_mm, lines, labels, areas of NN.json."""

    rgb: NDArray[np.uint8] | None
    told: dict[str, Any]


class StepPictures:
    """Pictures of an order's steps for one table, or the strokes alone without one. Buffers are kept between steps."""

    def __init__(self, scenes: Scenes, table: Table | None) -> None:
        self._scenes, self._table = scenes, table
        self._painter = Painter(table) if table else None

    def step(self, index: int, cloth_at: tuple[float, float, float]) -> StepPicture:
        """One step. `cloth_at`: x, y mm and turn in degrees, cloth frame in the table frame. Raises WrongInput for cloth
        thicker than nothing on a table without a lens position."""
        scene = step_scene(self._scenes, index, self._table, cloth_at)
        rgb = self._painter.rgb(scene) if self._painter else None
        size = list(self._table.size) if self._table else None
        return StepPicture(rgb, {"state": scene.state, "size": size, "height_mm": scene.height_mm, **record(scene, self._table)})
