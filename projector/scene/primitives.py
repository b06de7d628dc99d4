"""What is thrown: strokes, labels, areas in table mm."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from projector.scene.lines import Look, Role
from projector.scene.text import Outlined, outlined
from projector.scene.view import turned
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
class Lying:
    """What lies on the cloth and moves with it, in a frame of its own (mm): table = turn by `turn_deg`, then `shift_mm`.

    The tuples are the same objects from picture to picture while only the cloth moves, so a canvas may keep what it made of them.
    """

    strokes: tuple[Stroke, ...]
    labels: tuple[Label, ...]
    areas: tuple[Area, ...]
    turn_deg: float
    shift_mm: tuple[float, float]
    label_moves_mm: Array | None = None
    """(labels, 2) own mm: how far each label is moved aside, so that it is not cut off at the edge of the light."""

    def on_table(self, points: Array) -> Array:
        """(n, 2) own mm to table mm."""
        return np.asarray(turned(points, self.turn_deg) + np.asarray(self.shift_mm))


@dataclass(frozen=True, slots=True, eq=False)
class Scene:
    """All that is thrown at one time, on cloth `height_mm` above the table: `strokes`, `labels`, `areas` in table mm, and what
    moves with the cloth. `plain`: the ground's own light, 0 dark to 1."""

    state: State
    colour: Colour
    height_mm: float
    strokes: tuple[Stroke, ...]
    labels: tuple[Label, ...]
    areas: tuple[Area, ...]
    plain: float = 0.0
    lying: Lying | None = None

    def laid(self) -> "Scene":
        """The same with everything in table mm and nothing that moves."""
        moving = self.lying
        if moving is None:
            return self
        strokes = [Stroke(one.kind, one.piece, one.when, moving.on_table(one.mm), one.look) for one in moving.strokes]
        labels = []
        moves = moving.label_moves_mm if moving.label_moves_mm is not None else np.zeros((len(moving.labels), 2))
        for label, aside in zip(moving.labels, moves, strict=True):
            x, y = moving.on_table(np.array([label.at + aside]))[0]
            labels.append(replace(label, at=(float(x), float(y)), turn_deg=label.turn_deg + moving.turn_deg))
        areas = [replace(area, mm=moving.on_table(area.mm)) for area in moving.areas]
        return replace(
            self, strokes=(*self.strokes, *strokes), labels=(*labels, *self.labels), areas=(*areas, *self.areas), lying=None
        )  # fmt: skip
