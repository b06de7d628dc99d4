"""The four states, each with its own shape: bars, a broken border, four corners, the word across. Words only help."""

from dataclasses import replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from calibration.units import MM_PER_CM, MM_PER_INCH, Unit, length_text
from projector.scene.lines import Look
from projector.scene.primitives import Area, Label, Scene, Stroke
from projector.scene.shapes import flat, ruler, stroke
from projector.scene.text import outlined
from projector.scene.view import Light, View, view_of
from projector.session.snapshot import Snapshot
from projector.session.words import word

Array = NDArray[np.float64]
UNIT_MM: dict[Unit, float] = {"cm": MM_PER_CM, "mm": MM_PER_CM, "in": MM_PER_INCH}
BAR_MM = 34.0
CORNER_MM = 42.0


def long_line_mm(view: View, unit: Unit) -> float:
    """The longest line of whole tens of cm (whole half feet) that fits flat before her, table mm; 0 when none does."""
    whole = 6 * MM_PER_INCH if unit == "in" else 100.0
    return float(np.floor((view.inner[2] - view.inner[0] - 50.0) / whole) * whole)


@lru_cache(maxsize=16)
def long_line(view: View, unit: Unit, length_mm: float, y: float) -> tuple[tuple[Stroke, ...], tuple[Label, ...]]:
    """The line her tape is laid on, in the middle of the width at worker height `y`."""
    if length_mm <= 0.0:
        return (), ()
    x = (view.inner[0] + view.inner[2] - length_mm) / 2
    strokes, labels = ruler(view, (x, y), length_mm, UNIT_MM[unit], word("shown", length=length_text(length_mm, unit)))
    return tuple(strokes), tuple(labels)


def _bars(view: View) -> list[Area]:
    """Slanting bars along the two long edges of the lit rectangle."""
    x0, y0, x1, y1 = view.inner
    made = []
    for low in (y0 + 4.0, y1 - 4.0 - BAR_MM):
        for x in np.arange(x0 + 4.0, x1 - 2 * BAR_MM, 2 * BAR_MM):
            ring = np.array([[x, low], [x + BAR_MM, low], [x + 2 * BAR_MM, low + BAR_MM], [x + BAR_MM, low + BAR_MM]])
            made.append(Area(view.table_from_worker(ring), "stop", 0.5))
    return made


def fitted(view: View, text: str, at: tuple[float, float], size_mm: float, align: str, widest: float, light: float = 0.8) -> Label:
    """Words no wider than `widest`: made smaller down to 10 mm capitals."""
    width = outlined(text, size_mm, True).width_mm
    size = size_mm if width <= widest else max(10.0, size_mm * widest / width)
    return flat(view, text, at, size, align, is_bold=True, light=light)


def told(snapshot: Snapshot, view: View, y: float) -> list[Label]:
    """What the program last said, downwards from worker height `y`: a note in one line; of a refusal what, why and what to do."""
    message = snapshot.message
    if message is None:
        return []
    middle, wide = (view.inner[0] + view.inner[2]) / 2, (view.inner[2] - view.inner[0]) * 0.9
    is_refusal = message.kind == "refusal"
    labels = [fitted(view, message.what, (middle, y), 14.0, "middle", wide, 1.0 if is_refusal else 0.6)]
    for row, text in enumerate(text for text in (message.why, message.next_step) if text and is_refusal):
        labels.append(fitted(view, text, (middle, y - 20.0 * (row + 1)), 11.0, "middle", wide, 0.6))
    return labels


def stop_scene(snapshot: Snapshot, light: Light, blank: Scene) -> Scene:
    """STOP: bars, why, the long line where there is a map to prove, help. Never a cut line."""
    view = view_of(light, 0.0, snapshot.worker_side)
    x0, y0, x1, y1 = view.inner
    middle, wide = (x0 + x1) / 2, (x1 - x0) * 0.9
    high = y1 - y0
    reason = snapshot.stop_reason or (word("no_table") if snapshot.table is None else word("nothing_taped"))
    labels = [
        fitted(view, word("stop"), (middle, y0 + 0.52 * high), 0.16 * high, "middle", wide, 1.0),
        fitted(view, reason, (middle, y0 + 0.40 * high), 20.0, "middle", wide),
        fitted(view, word("press_help"), (middle, y0 + BAR_MM + 26.0), 12.0, "middle", wide, 0.5),
    ]
    strokes: tuple[Stroke, ...] = ()
    if snapshot.table is not None and not snapshot.stop_reason:
        strokes, words = long_line(view, snapshot.unit, long_line_mm(view, snapshot.unit), y0 + 0.24 * high)
        labels += words
    labels += told(snapshot, view, y0 + 0.87 * high)
    return replace(blank, state="stop", areas=tuple(_bars(view)), strokes=strokes, labels=tuple(labels))


def check_shape(view: View) -> list[Stroke]:
    """CHECK WITH TAPE: a broken border round the light."""
    x0, y0, x1, y1 = view.inner
    e = 7.0
    ring = np.array([[x0 + e, y0 + e], [x1 - e, y0 + e], [x1 - e, y1 - e], [x0 + e, y1 - e], [x0 + e, y0 + e]])
    return [stroke("ruler", view.table_from_worker(ring), look=Look(2, (40.0, 25.0), "words", 0.45))]


def ready_shape(view: View) -> list[Stroke]:
    """READY: four plain corners."""
    x0, y0, x1, y1 = view.inner
    e, c = 7.0, CORNER_MM
    made = []
    for x, y, sx, sy in ((x0 + e, y0 + e, 1, 1), (x1 - e, y0 + e, -1, 1), (x1 - e, y1 - e, -1, -1), (x0 + e, y1 - e, 1, -1)):
        ring = np.array([[x + sx * c, y], [x, y], [x, y + sy * c]])
        made.append(stroke("ruler", view.table_from_worker(ring), look=Look(1, None, "words", 0.35)))
    return made


def demonstration_word(view: View) -> Label:
    """The word across the whole picture, dim, slanting up from her left."""
    x0, y0, x1, y1 = view.inner
    text = word("demonstration")
    wide, high = x1 - x0, y1 - y0
    slope = float(np.arctan2(high, wide)) * 0.8
    c, s = float(np.cos(slope)), float(np.sin(slope))
    tall = 100.0 / outlined(text, 100.0, True).width_mm  # height of capitals for each mm of width
    room = 0.94 * min(wide / (c + s * tall), high / (s + c * tall))
    size = room * tall
    start = np.array([(x0 + x1) / 2, (y0 + y1) / 2]) - np.array([c, s]) * room / 2 - np.array([-s, c]) * size / 2
    at = view.table_from_worker(start[None])[0]
    return Label(text, (float(at[0]), float(at[1])), size, view.turn_deg + float(np.rad2deg(slope)), "words", 0.035, True)
