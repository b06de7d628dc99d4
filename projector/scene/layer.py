"""One step's lines and labels, made once and moved often.

Worker-aligned frame: the cloth's own places, mirrored if the stack is, turned as they will lie before her, not yet shifted.
A nudge in mm only shifts it, so dashes, label places and fine cutting are kept from picture to picture.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from projector.scene.lines import KINDS, Look, bolder
from projector.scene.occupied import Box, Occupied
from projector.scene.primitives import Area, Label, Stroke
from projector.scene.shapes import arrow_heads, circle, finely, pointer, stroke
from projector.scene.text import outlined
from projector.scene.view import turned
from projector.session.snapshot import ClothAt, See, Slide, Snapshot
from projector.session.words import word
from projector.steps.step import LineKind, Step, StepLine

Array = NDArray[np.float64]
POINT_ARM_MM = 5.0
PIN_ARM_MM = 20.0
EDGE_MM = 6.0
"""Words keep this far from the edge of the light."""
BESIDE_LIGHT_MM = 20.0
"""Words that would lie this little outside the light are brought into it: what they name is lit."""
OFF_CLOTH_MM, OFF_CLOTH_WEIGHT = 60.0, 0.5
"""Beyond a fold lies no cloth: words keep off it where there is room on the stack."""
CUT_WEIGHT, LINE_WEIGHT = 10.0, 1.0
_TOGGLE: dict[LineKind, str] = {
    "cut": "allowances", "sew": "sewing_lines", "notch": "marks", "point": "marks", "dart": "marks", "grain": "marks",
    "level": "body_lines", "cloth": "cloth", "fold": "cloth", "slide": "cloth", "grid": "grid",
}  # fmt: skip
ALONE = Look(2, (6.0, 3.0), "sew", 1.0)
"""The sewing line when allowances are off."""


@dataclass(frozen=True, slots=True, eq=False)
class Layer:
    """Strokes, labels and arrow heads in the worker-aligned frame, and where lines run."""

    strokes: tuple[Stroke, ...]
    labels: tuple[Label, ...]
    areas: tuple[Area, ...]
    occupied: Occupied
    boxes: Array
    """(labels, 4) x0, y0, x1, y1 of each label's capitals."""
    pins: tuple[Box, ...] = ()
    """What each cross to pin takes with its words, x0, y0, x1, y1."""

    def moved_aside(self, room: Box, shift: Array) -> Array | None:
        """(labels, 2) mm that bring labels cut off by the edge of `room` (worker mm), or close outside it, into it, the layer lying at
        `shift`; None: none is. Numbers without any line (a cloth not yet on the table) stand in the middle of the room."""
        if not len(self.boxes):
            return None
        if not self.strokes:
            wanted = (np.array(room[:2]) + np.array(room[2:])) / 2
            middle = (self.boxes[:, :2].min(axis=0) + self.boxes[:, 2:].max(axis=0)) / 2
            return np.tile(wanted - middle - shift, (len(self.boxes), 1))
        low, high = self.boxes[:, :2] + shift, self.boxes[:, 2:] + shift
        first, last = np.array(room[:2]) + EDGE_MM, np.array(room[2:]) - EDGE_MM
        is_seen = np.all((high > first - BESIDE_LIGHT_MM) & (low < last + BESIDE_LIGHT_MM), axis=1)
        moves = np.where(low < first, first - low, np.where(high > last, last - high, 0.0)) * is_seen[:, None]
        cut_off = np.flatnonzero(moves.any(axis=1))
        for number in cut_off:
            moves[number] += self._off_others(int(number), moves, first - shift, last - shift)
        return np.asarray(moves) if len(cut_off) else None

    def _off_others(self, number: int, moves: Array, low: Array, high: Array) -> Array:
        """How much further a label goes between `low` and `high` (own frame) so that it lies on no other and on few lines."""
        boxes = self.boxes + np.hstack([moves, moves])
        own, others = boxes[number], np.delete(boxes, number, axis=0)
        wide, deep = own[2:] - own[:2]
        steps = [np.array([dx * wide, dy * (deep + EDGE_MM)]) for dx in (0.0, -0.3, 0.3, -0.6, 0.6) for dy in range(-6, 7)]
        best, least = np.zeros(2), float("inf")
        for step in sorted(steps, key=lambda step: float(np.hypot(*step))):
            x0, y0, x1, y1 = own + np.concatenate([step, step])
            if x0 < low[0] - 1e-6 or y0 < low[1] - 1e-6 or x1 > high[0] + 1e-6 or y1 > high[1] + 1e-6:
                continue
            lies_on = (x0 < others[:, 2] + 3.0) & (x1 > others[:, 0] - 3.0) & (y0 < others[:, 3] + 3.0) & (y1 > others[:, 1] - 3.0)
            load = 1000.0 * float(lies_on.sum()) + self.occupied.lines((x0, y0, x1, y1)) + 0.15 * float(np.hypot(*step))
            if load < least:
                best, least = step, load
        return best


def is_shown(line: StepLine, see: See, may_cut: bool) -> bool:
    """What the toggles and the state allow of one line."""
    if line.kind == "cut" and not may_cut:
        return False
    if line.kind == "sew" and not see.allowances:
        return True
    toggle = _TOGGLE.get(line.kind)
    return toggle is None or bool(getattr(see, toggle))


def _points(line: StepLine) -> Array:
    points = np.asarray(line.mm, dtype=np.float64).reshape(-1, 2)
    if line.closed and len(points) > 1:
        points = np.vstack([points, points[:1]])
    return finely(points) if len(points) > 1 else points


def _look(line: StepLine, see: See) -> Look:
    look = ALONE if line.kind == "sew" and not see.allowances and line.when == "now" else KINDS[line.kind].look(line.when)
    return bolder(look) if see.bold and line.kind != "grid" else look


def _strokes(line: StepLine, points: Array, look: Look) -> list[Stroke]:
    """One stroke, or a pin mark where the line is a single place."""
    if len(points) != 1:
        return [Stroke(line.kind, line.piece, line.when, points, look)]
    middle = points[0]
    arm = np.array([POINT_ARM_MM, 0.0])
    up = arm[::-1]
    return [
        Stroke(line.kind, line.piece, line.when, np.array([middle - arm, middle + arm]), look),
        Stroke(line.kind, line.piece, line.when, np.array([middle - up, middle + up]), look),
        Stroke(line.kind, line.piece, line.when, circle(middle, POINT_ARM_MM * 0.6), Look(1, None, look.role, look.light)),
    ]


def _aligned(points: Array, cloth_at: ClothAt, worker_turn_deg: float) -> Array:
    flip = np.array([1.0, -1.0]) if cloth_at.mirrored else np.array([1.0, 1.0])
    return turned(points * flip, cloth_at.turn_deg - worker_turn_deg)


def _labels(step: Step, cloth_at: ClothAt, worker_turn_deg: float, occupied: Occupied, chosen: int) -> list[Label]:
    """Each label near its place, off cut lines and other labels where that can be had. Never mirrored, never turned with the piece.

    `chosen`: the label (of a tape check) whose number the keys change; -1: none.
    """
    made = []
    for number, label in enumerate(step.labels):
        size = max(10.0, label.size_mm)
        width = outlined(label.text, size).width_mm
        middle = _aligned(np.array([label.at], dtype=np.float64), cloth_at, worker_turn_deg)[0]
        if not np.isfinite(middle).all():
            continue
        x, y = occupied.free_near((float(middle[0]), float(middle[1])), width, size, 0.6 * width + 20.0)
        occupied.take((x - width / 2, y - size / 2, x + width / 2, y + size / 2))
        is_chosen = number == chosen
        made.append(Label(label.text, (x - width / 2, y - size / 2), size, 0.0, "cut" if is_chosen else "words", 1.0 if is_chosen else 0.8))
    return made


def _pins(slide: Slide, cloth_at: ClothAt, worker_turn_deg: float) -> tuple[list[Stroke], list[Label], list[Box]]:
    """Before the cloth is pulled along: the two places to pin, where they lie now."""
    look = KINDS["slide"].look("now")
    strokes: list[Stroke] = []
    labels: list[Label] = []
    boxes: list[Box] = []
    spots = _aligned(np.array(slide.spots, dtype=np.float64), cloth_at, worker_turn_deg)
    text = word("pin_here")
    width = outlined(text, 12.0).width_mm
    for spot in spots:
        arms = np.array([[PIN_ARM_MM, 0.0], [0.0, PIN_ARM_MM]])
        strokes += [stroke("slide", np.array([spot - arm, spot + arm]), look=look) for arm in arms]
        x, y = float(spot[0]), float(spot[1])
        at = x + PIN_ARM_MM + 6.0 if x <= spots[:, 0].mean() else x - PIN_ARM_MM - 6.0 - width
        labels.append(Label(text, (at, y + 8.0), 12.0, 0.0, light=0.9))
        boxes.append((min(at, x - PIN_ARM_MM), y - PIN_ARM_MM, max(at + width, x + PIN_ARM_MM), y + PIN_ARM_MM))
    return strokes, labels, boxes


def _beyond_folds(folds: list[Array], drawn: list[tuple[Array, float]], occupied: Occupied) -> None:
    """Mark the bare table along each fold: the side of it on which the step draws nothing."""
    if not folds:
        return
    middle = np.vstack([points for points, _ in drawn]).mean(axis=0)
    for points in folds:
        low, high = points.min(axis=0), points.max(axis=0)
        across = 0 if high[0] - low[0] < high[1] - low[1] else 1
        is_below = middle[across] > (low[across] + high[across]) / 2
        low[across], high[across] = (low[across] - OFF_CLOTH_MM, low[across]) if is_below else (high[across], high[across] + OFF_CLOTH_MM)
        low[1 - across] -= OFF_CLOTH_MM
        high[1 - across] += OFF_CLOTH_MM
        occupied.shun((*low, *high), OFF_CLOTH_WEIGHT)


def layer_of(step: Step, snapshot: Snapshot, worker_turn_deg: float, may_cut: bool, slide_next: Slide | None = None) -> Layer:
    """Make one step's layer for the toggles and the turn of this snapshot; `slide_next`: the cloth is pulled along after it."""
    strokes: list[Stroke] = []
    areas: list[Area] = []
    sampled: list[tuple[Array, float]] = []
    folds: list[Array] = []
    for line in step.lines:
        if not is_shown(line, snapshot.see, may_cut):
            continue
        look = _look(line, snapshot.see)
        points = _aligned(_points(line), snapshot.cloth_at, worker_turn_deg)
        if not len(points) or look.light <= 0.0:
            continue
        strokes += _strokes(line, points, look)
        if line.kind == "grain" and len(line.mm) == 2:
            areas += arrow_heads(points, look.role, look.light)
        if line.kind == "notch" and line.when != "later" and step.op == "mark" and len(line.mm) > 1:
            areas += pointer(points, look.role, 1.0)
        if line.kind == "fold":
            folds.append(points)
        if line.kind != "grid":
            sampled.append((finely(points, 4.0), CUT_WEIGHT if line.kind == "cut" else LINE_WEIGHT))
    occupied = Occupied(sampled)
    _beyond_folds(folds, sampled, occupied)
    chosen = snapshot.tape if len(step.tapes) == len(step.labels) and step.tapes else -1
    labels = _labels(step, snapshot.cloth_at, worker_turn_deg, occupied, chosen) if snapshot.see.labels else []
    pins: list[Box] = []
    if slide_next is not None:
        pin_strokes, pin_labels, pins = _pins(slide_next, snapshot.cloth_at, worker_turn_deg)
        strokes += pin_strokes
        labels += pin_labels
    boxes = [(*label.at, label.at[0] + label.outline().width_mm, label.at[1] + label.size_mm) for label in labels]
    return Layer(tuple(strokes), tuple(labels), tuple(areas), occupied, np.array(boxes, dtype=np.float64).reshape(-1, 4), tuple(pins))
