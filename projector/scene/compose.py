"""Snapshot + step + table -> scene. The only door from the session to what is thrown."""

from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from projector.scene.around import around
from projector.scene.help import help_scene
from projector.scene.layer import Layer, layer_of
from projector.scene.modes import MODES
from projector.scene.primitives import Area, Label, Scene, Stroke
from projector.scene.states import stop_scene
from projector.scene.view import Light, View, view_of
from projector.session.keys import keys_shown
from projector.session.snapshot import Snapshot, Work
from projector.steps.step import Step

Array = NDArray[np.float64]
_LAYERS_KEPT = 24


def may_cut(snapshot: Snapshot) -> bool:
    """A cut line may be thrown: the state allows it and the light is known to lie on the real cloth."""
    return snapshot.state != "stop" and snapshot.is_cloth_true


def _shifted(layer: Layer, view: View, x_mm: float, y_mm: float) -> tuple[list[Stroke], list[Label], list[Area]]:
    """The layer put on the table: turned to table mm and shifted, all points at once."""
    shift = np.array([x_mm, y_mm])
    strokes: list[Stroke] = []
    if layer.strokes:
        whole = view.table_from_worker(np.vstack([stroke.mm for stroke in layer.strokes])) + shift
        ends = np.cumsum([len(stroke.mm) for stroke in layer.strokes])
        for stroke, part in zip(layer.strokes, np.split(whole, ends[:-1]), strict=True):
            strokes.append(Stroke(stroke.kind, stroke.piece, stroke.when, part, stroke.look))
    labels = []
    for label in layer.labels:
        at = view.table_from_worker(np.array([label.at]))[0] + shift
        labels.append(replace(label, at=(float(at[0]), float(at[1])), turn_deg=view.turn_deg))
    areas = [replace(area, mm=view.table_from_worker(area.mm) + shift) for area in layer.areas]
    return strokes, labels, areas


@dataclass(slots=True)
class Scenes:
    """Makes scenes of one order's steps; keeps the last layers so that a nudge costs a shift."""

    work: Work
    _layers: "OrderedDict[tuple[object, ...], Layer]"
    keys: Mapping[str, str]
    """Command to the keys that ask for it, as help tells them."""

    @classmethod
    def of(cls, work: Work, keys: Mapping[str, str] | None = None) -> "Scenes":
        """Nothing kept yet."""
        return cls(work, OrderedDict(), keys_shown({}) if keys is None else keys)

    def _layer(self, index: int, snapshot: Snapshot, view: View) -> Layer:
        at = snapshot.cloth_at
        key = (index, snapshot.see, at.turn_deg, at.mirrored, view.turn_deg, may_cut(snapshot))
        if key not in self._layers:
            self._layers[key] = layer_of(self.work.steps[index], snapshot, view.turn_deg, may_cut(snapshot))
            while len(self._layers) > _LAYERS_KEPT:
                self._layers.popitem(last=False)
        self._layers.move_to_end(key)
        return self._layers[key]

    def step(self, snapshot: Snapshot) -> Step | None:
        """The step shown, None while there is no order."""
        return self.work.steps[snapshot.step] if 0 <= snapshot.step < len(self.work.steps) else None

    def scene(self, snapshot: Snapshot, light: Light) -> Scene:
        """Everything thrown for this snapshot."""
        step = self.step(snapshot)
        height = step.height_mm if step else 0.0
        blank = Scene(snapshot.state, snapshot.colour, height, (), (), ())
        if snapshot.see.light == "off":
            return blank
        if snapshot.see.light == "plain":
            return replace(blank, plain=1.0)
        if snapshot.is_help:
            return help_scene(snapshot, light, blank, self.keys)
        view = view_of(light, height if snapshot.mode in ("steps", "align") else 0.0, snapshot.worker_side)
        if snapshot.mode in MODES:
            return MODES[snapshot.mode](snapshot, self.work, light, replace(blank, height_mm=0.0))
        if snapshot.state == "stop" or snapshot.table is None:
            return stop_scene(snapshot, light, replace(blank, height_mm=0.0))
        if step is None:
            return around(snapshot, self.work, view, None, blank)
        layer = self._layer(snapshot.step, snapshot, view)
        strokes, labels, areas = _shifted(layer, view, snapshot.cloth_at.x_mm, snapshot.cloth_at.y_mm)
        laid = replace(blank, strokes=tuple(strokes), labels=tuple(labels), areas=tuple(areas))
        return around(snapshot, self.work, view, layer, laid)


def laid_out(scenes: Scenes, snapshot: Snapshot) -> Scene:
    """A step without any table: its strokes where the cloth lies, for files that hold mm and no picture. Told as stop."""
    step = scenes.work.steps[snapshot.step]
    layer = layer_of(step, snapshot, 0.0, may_cut=True)
    nowhere = View(np.zeros((4, 2)), (0.0, 0.0, 0.0, 0.0), 0.0, 1.0)
    strokes, labels, areas = _shifted(layer, nowhere, snapshot.cloth_at.x_mm, snapshot.cloth_at.y_mm)
    return Scene("stop", snapshot.colour, step.height_mm, tuple(strokes), tuple(labels), tuple(areas))
