"""What stands around the work: step and title, layers, state, grid, long line, crosses on table spots. Calm and few."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from projector.scene.layer import Layer
from projector.scene.lines import KINDS, Look
from projector.scene.occupied import Box
from projector.scene.primitives import Area, Label, Stroke
from projector.scene.shapes import cross, flat, stack, stroke
from projector.scene.states import check_shape, demonstration_word, fitted, long_line, long_line_mm, ready_shape, told
from projector.scene.view import View
from projector.session.snapshot import Snapshot, Work
from projector.session.words import word
from projector.steps.step import Step

GRID_MM = 50.0
STRIP_MM = 34.0
SPOT_ARM_MM = 18.0


@lru_cache(maxsize=8)
def grid(view: View) -> tuple[Stroke, ...]:
    """Lines every 50 mm of the table over the whole light."""
    low, high = view.quad.min(axis=0), view.quad.max(axis=0)
    look = KINDS["grid"].look("now")
    made = []
    for x in np.arange(np.ceil(low[0] / GRID_MM) * GRID_MM, high[0], GRID_MM):
        made.append(stroke("grid", [[x, low[1]], [x, high[1]]], look=look))
    for y in np.arange(np.ceil(low[1] / GRID_MM) * GRID_MM, high[1], GRID_MM):
        made.append(stroke("grid", [[low[0], y], [high[0], y]], look=look))
    return tuple(made)


def spot_crosses(snapshot: Snapshot) -> list[Stroke]:
    """A light cross on each surveyed spot: bare eyes see that lamp and table agree."""
    look = Look(1, None, "words", 0.5)
    return [part for spot in (snapshot.table.spots if snapshot.table else ()) for part in cross(spot, SPOT_ARM_MM, look)]


@dataclass(frozen=True, slots=True)
class Strip:
    """Where the step's words stand: their baseline and the ends they keep; the state's word in the corner left free. Worker mm."""

    y: float
    left: float
    right: float
    corner: tuple[float, float]


def strip_for(snapshot: Snapshot, view: View, layer: Layer | None) -> Strip:
    """Along the far edge, or the near one where fewer lines run; beside the crosses on table spots and at pins."""
    x0, y0, x1, y1 = view.inner
    far, near = y1 - STRIP_MM - 10.0, y0 + 20.0
    spots = _spot_boxes(snapshot, view)
    if layer is None:
        return _strip_at(far, spots, view)
    shift = view.worker_from_table(np.array([[snapshot.cloth_at.x_mm, snapshot.cloth_at.y_mm]]))[0]
    pins = [(a + shift[0], b + shift[1], c + shift[0], d + shift[1]) for a, b, c, d in layer.pins]

    def load(y: float) -> float:
        box = (x0 - shift[0], y - 6.0 - shift[1], x1 - shift[0], y + STRIP_MM - 6.0 - shift[1])
        return layer.occupied.load(box)

    y = far if load(far) <= 1.5 * load(near) + 1.0 else near
    return _strip_at(y, [*spots, *pins], view)


def _strip_at(y: float, boxes: list[Box], view: View) -> Strip:
    """The words at height `y`; they run along the near edge where that is in the lower half."""
    is_near = y < (view.inner[1] + view.inner[3]) / 2
    corner_y = view.inner[3] - 30.0 if is_near else view.inner[1] + 18.0
    return Strip(y, *_clear_of(boxes, view, y), (_clear_of(boxes, view, corner_y)[1], corner_y))


def _spot_boxes(snapshot: Snapshot, view: View) -> list[Box]:
    """What the crosses on table spots take, worker mm."""
    spots = snapshot.table.spots if snapshot.table else ()
    places = [view.worker_from_table(np.array([spot]))[0] for spot in spots]
    return [(x - SPOT_ARM_MM, y - SPOT_ARM_MM, x + SPOT_ARM_MM, y + SPOT_ARM_MM) for x, y in places]


def _clear_of(boxes: list[Box], view: View, y: float) -> tuple[float, float]:
    """Left and right end of the words at height `y`, worker mm: inside the light, beside what is marked near its ends."""
    left, right = view.inner[0] + 24.0, view.inner[2] - 24.0
    middle = (left + right) / 2
    for x0, y0, x1, y1 in boxes:
        if y0 < y + STRIP_MM and y1 > y - 6.0:
            left = max(left, x1 + 8.0) if x0 < left + 150.0 < middle else left
            right = min(right, x0 - 8.0) if x1 > right - 150.0 > middle else right
    return float(left), float(right)


def next_piece(work: Work, index: int) -> str:
    """The piece that comes into hand next after this step, other than what is cut in it; empty when none does.

    An outer line through all layers gives none by itself: after it, as before it, comes the first piece that is cut loose.
    """
    own = _pieces_cut(work.steps[index])
    after = (name for step in work.steps[index + 1 :] for name in _pieces_cut(step))
    return next((name for name in after if name not in own), "")


def _pieces_cut(step: Step) -> list[str]:
    """What a cut gives into her hand: pieces cut loose, or cut again; what one light cannot finish counts by its line."""
    if step.op != "cut":
        return []
    given = [one.piece for one in (*step.frees, *step.handles)]
    cuts = [line for line in step.lines if line.kind == "cut" and line.piece]
    later = {line.piece for line in cuts if line.when == "later"}
    return given or [line.piece for line in cuts if line.when == "now" and line.piece and line.piece not in later]


def _strip(snapshot: Snapshot, work: Work, view: View, strip: Strip) -> tuple[list[Label], list[Area]]:
    """Step number, its title, the piece that comes next, the layers that lie there (those worked on are bright)."""
    if not work.steps:
        middle = ((view.inner[0] + view.inner[2]) / 2, view.inner[3] - STRIP_MM - 10.0)
        return ([flat(view, snapshot.job, middle, 18.0, "middle", light=0.7)] if snapshot.job else []), []
    step = work.steps[snapshot.step]
    x0, y, right = strip.left, strip.y, strip.right
    number = flat(view, str(snapshot.step + 1), (x0, y), 24.0, is_bold=True, light=1.0)
    of = flat(view, word("of", of=len(work.steps)), (x0 + 6.0 + number.outline().width_mm, y), 10.0, light=0.45)
    left = x0 + 24.0 + number.outline().width_mm + of.outline().width_mm
    areas: list[Area] = []
    labels = [number, of]
    if step.plies:
        count = word("layer") if len(step.plies) == 1 else word("layers", n=len(step.plies))
        layers = flat(view, count, (right - 66.0, y), 12.0, "right", light=0.7)
        labels.append(layers)
        areas = stack(view, (right, y), len(step.plies), len(step.through))
        right -= 86.0 + layers.outline().width_mm
    title = fitted(view, step.title, (left, y), 18.0, "left", right - left, 1.0)
    labels.append(title)
    name = next_piece(work, snapshot.step)
    after = flat(view, word("next_piece", piece=name), (right, y), 12.0, "right", light=0.4)
    if name and left + title.outline().width_mm + 30.0 + after.outline().width_mm <= right:
        labels.append(after)
    return labels, areas


def _warnings(snapshot: Snapshot, view: View, y: float) -> list[Label]:
    """What must be seen before anything is cut by this picture."""
    texts = []
    if not snapshot.see.allowances:
        texts.append(word("allowances_off"))
    if not snapshot.is_cloth_true:
        texts.append(word("cloth_unsure"))
    middle = (view.inner[0] + view.inner[2]) / 2
    return [flat(view, text, (middle, y - 26.0 * (n + 1)), 16.0, "middle", is_bold=True, light=1.0) for n, text in enumerate(texts)]


def _state(snapshot: Snapshot, view: View, corner: tuple[float, float]) -> tuple[list[Stroke], list[Label]]:
    """The state's shape and word, in the corner that the step's words leave free."""
    if snapshot.state == "check":
        return check_shape(view), [flat(view, word("check"), corner, 12.0, "right", is_bold=True, light=0.8)]
    if snapshot.state == "demonstration":
        return [], [demonstration_word(view)]
    day = f"{word('ready')}  {snapshot.table.day}" if snapshot.table and snapshot.table.day else word("ready")
    return ready_shape(view), [flat(view, day, corner, 10.0, "right", light=0.4)]


@dataclass(frozen=True, slots=True, eq=False)
class Surroundings:
    """All that does not move with the cloth, table mm."""

    strokes: tuple[Stroke, ...]
    labels: tuple[Label, ...]
    areas: tuple[Area, ...]


def surroundings(snapshot: Snapshot, work: Work, view: View, strip: Strip) -> Surroundings:
    """Everything that stands around the work; `strip`: where the step's words stand, see `strip_for`."""
    strokes, labels = _state(snapshot, view, strip.corner)
    if snapshot.see.grid:
        strokes += grid(view)
    strip_labels, areas = _strip(snapshot, work, view, strip)
    warnings = _warnings(snapshot, view, view.inner[3] - STRIP_MM - 18.0)
    labels += [*strip_labels, *warnings, *told(snapshot, view, view.inner[3] - STRIP_MM - 44.0 - 26.0 * len(warnings))]
    if snapshot.see.long_line:
        rule, words = long_line(view, snapshot.unit, long_line_mm(view, snapshot.unit), (view.inner[1] + view.inner[3]) / 2)
        strokes += rule
        labels += words
    strokes += spot_crosses(snapshot)
    return Surroundings(tuple(strokes), tuple(labels), tuple(areas))
