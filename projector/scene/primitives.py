"""What is thrown: strokes, labels, areas in table mm, and the Canvas that takes them."""

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from projector.scene.lines import Look, Role
from projector.scene.text import Outlined, outlined
from projector.session.snapshot import Colour, State
from projector.steps.step import LineKind, When

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Stroke:
    """One line. `mm`: (n, 2) table mm, whole (dashes are cut by the canvas, in mm); a ring repeats its first point."""

    kind: LineKind
    piece: str | None
    when: When
    mm: Array
    look: Look


@dataclass(frozen=True, slots=True)
class Label:
    """Words lying flat for the side she stands at. `at`: left end of the baseline, table mm; `turn_deg`: of the baseline."""

    text: str
    at: tuple[float, float]
    size_mm: float
    turn_deg: float
    role: Role = "words"
    light: float = 0.8
    is_bold: bool = False

    def outline(self) -> Outlined:
        """The shaped outlines, own frame (baseline along x)."""
        return outlined(self.text, self.size_mm, self.is_bold)

    def table_from_own(self, points: Array) -> Array:
        """Own frame (mm along and above the baseline) to table mm, (n, 2)."""
        turn = np.deg2rad(self.turn_deg)
        c, s = float(np.cos(turn)), float(np.sin(turn))
        return np.asarray(points @ np.array([[c, s], [-s, c]]) + np.asarray(self.at))

    def corners_mm(self) -> Array:
        """(4, 2) table mm: lower left, lower right, upper right, upper left of baseline to capitals' height."""
        width = self.outline().width_mm
        return self.table_from_own(np.array([[0.0, 0.0], [width, 0.0], [width, self.size_mm], [0.0, self.size_mm]]))


@dataclass(frozen=True, slots=True, eq=False)
class Area:
    """A filled ring, (n, 2) table mm."""

    mm: Array
    role: Role
    light: float


@dataclass(frozen=True, slots=True, eq=False)
class Scene:
    """All that is thrown at one time, on cloth `height_mm` above the table. `plain`: the ground's own light, 0 dark to 1."""

    state: State
    colour: Colour
    height_mm: float
    strokes: tuple[Stroke, ...]
    labels: tuple[Label, ...]
    areas: tuple[Area, ...]
    plain: float = 0.0


class Canvas(Protocol):
    """Takes a scene's parts in the order areas, strokes from dim to bright, labels."""

    def begin(self, scene: Scene) -> None:
        """Before anything else: ground, colours, height."""

    def area(self, area: Area) -> None:
        """A filled ring."""

    def stroke(self, stroke: Stroke) -> None:
        """One line; dashes are cut in mm along it."""

    def label(self, label: Label) -> None:
        """Words."""


def show(scene: Scene, canvas: Canvas) -> None:
    """Put the whole scene on a canvas; bright lines last, so that a dim one never darkens a crossing."""
    canvas.begin(scene)
    for area in scene.areas:
        canvas.area(area)
    for stroke in sorted(scene.strokes, key=lambda stroke: stroke.look.light):
        canvas.stroke(stroke)
    for label in scene.labels:
        canvas.label(label)
