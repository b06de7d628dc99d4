"""Snapshot + step + table -> scene. The only door from the session to what is thrown."""

from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from projector.scene.around import Surroundings, strip_for, surroundings
from projector.scene.help import help_scene
from projector.scene.kept import kept
from projector.scene.layer import Layer, layer_of
from projector.scene.modes import MODES
from projector.scene.primitives import Lying, Scene
from projector.scene.states import stop_scene
from projector.scene.view import Light, View, view_of
from projector.session.keys import keys_shown
from projector.session.snapshot import ClothAt, Snapshot, Work
from projector.steps.step import Step

KEPT = 24


def may_cut(snapshot: Snapshot) -> bool:
    """A cut line may be thrown: the state allows it and the light is known to lie on the real cloth."""
    return snapshot.state != "stop" and snapshot.is_cloth_true


@dataclass(slots=True)
class Scenes:
    """Makes scenes of one order's steps; keeps the last layers so that a nudge costs a shift."""

    work: Work
    keys: Mapping[str, str]
    """Command to the keys that ask for it, as help tells them."""
    _layers: "OrderedDict[tuple[object, ...], Layer]" = field(default_factory=OrderedDict)
    _surroundings: "OrderedDict[tuple[object, ...], Surroundings]" = field(default_factory=OrderedDict)

    @classmethod
    def of(cls, work: Work, keys: Mapping[str, str] | None = None) -> "Scenes":
        """Nothing kept yet."""
        return cls(work, keys_shown({}) if keys is None else keys)

    def _layer(self, index: int, snapshot: Snapshot, view: View) -> Layer:
        at = snapshot.cloth_at
        key = (index, snapshot.see, at.turn_deg, at.mirrored, view.turn_deg, may_cut(snapshot), snapshot.tape)
        slide = self.work.slides.get(index + 1)
        return kept(self._layers, key, KEPT, lambda: layer_of(self.work.steps[index], snapshot, view.turn_deg, may_cut(snapshot), slide))

    def _around(self, snapshot: Snapshot, view: View, layer: Layer | None) -> Surroundings:
        """Kept while only the cloth moves, unless its lines come under the words."""
        strip = strip_for(snapshot, view, layer)
        still = replace(snapshot, number=0, cloth_at=ClothAt(), places=(), done=(), colour="yellow")
        return kept(self._surroundings, (still, view, strip), KEPT, lambda: surroundings(snapshot, self.work, view, strip))

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
        layer = self._layer(snapshot.step, snapshot, view) if step else None
        around = self._around(snapshot, view, layer)
        at = snapshot.cloth_at
        lying = None
        if layer is not None:
            aside = layer.moved_aside(view.inner, view.worker_from_table(np.array([[at.x_mm, at.y_mm]]))[0])
            lying = Lying(layer.strokes, layer.labels, layer.areas, view.turn_deg, (at.x_mm, at.y_mm), aside)
        return replace(blank, strokes=around.strokes, labels=around.labels, areas=around.areas, lying=lying)


def laid_out(scenes: Scenes, snapshot: Snapshot) -> Scene:
    """A step without any table: its strokes where the cloth lies, for files that hold mm and no picture. Told as stop."""
    step = scenes.work.steps[snapshot.step]
    layer = layer_of(step, snapshot, 0.0, may_cut=True)
    lying = Lying(layer.strokes, layer.labels, layer.areas, 0.0, (snapshot.cloth_at.x_mm, snapshot.cloth_at.y_mm))
    return Scene("stop", snapshot.colour, step.height_mm, (), (), (), lying=lying)
