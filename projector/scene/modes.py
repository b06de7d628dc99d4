"""Pictures other than a step: the long line alone, two points on the cloth, crosses on spots, shadow test, how true it is.

A mode is one function and one row.
"""

from collections.abc import Callable, Mapping
from dataclasses import replace

import numpy as np

from projector.scene.around import SPOT_ARM_MM
from projector.scene.lines import Look
from projector.scene.primitives import Area, Label, Scene, Stroke
from projector.scene.shapes import circle, cross, finely, flat, stroke
from projector.scene.states import fitted, long_line, long_line_mm, told
from projector.scene.view import Light, Measured, View, view_of
from projector.session.place import SIDE_OUT, cuts_made, through_two_points
from projector.session.snapshot import ClothAt, Mode, Snapshot, Work
from projector.session.words import word

THIN = Look(1, None, "cut", 0.45)
LIVE = Look(2, None, "words", 1.0)
CALM = Look(1, None, "words", 0.5)
CHALK_MM = 0.3
"""A sharp chalk line's thickness (common practice, no source)."""
ERROR_SHOWN = 100.0
"""Circles of the error picture are drawn this many times larger than the error."""


def _heading(view: View, text: str, size_mm: float = 18.0) -> Label:
    x0, _, x1, y1 = view.inner
    return flat(view, text, ((x0 + x1) / 2, y1 - 40.0), size_mm, "middle", is_bold=True, light=1.0)


def _frame(snapshot: Snapshot, work: Work, light: Light, blank: Scene) -> Scene:
    """The calibration frame is a ready picture (calibration.frame), put in by the painter; nothing of a scene lies on it."""
    return blank


SET_UP = ("warm", "keystone", "zoom", "size", "firm")


def _set_up(snapshot: Snapshot, work: Work, light: Light, blank: Scene) -> Scene:
    """What the lamp needs before it is photographed: a tick box and a few words each; no place is known yet, so nothing is true size."""
    view = view_of(light, 0.0, snapshot.worker_side)
    x0, y0, x1, y1 = view.inner
    left, wide, row = x0 + 0.2 * (x1 - x0), 0.7 * (x1 - x0), (y1 - y0) / (len(SET_UP) + 3)
    box = 0.42 * row
    strokes, labels = [], [_heading(view, word("set_up"), 20.0)]
    for number, name in enumerate(SET_UP):
        y = y1 - (number + 2.1) * row
        corners = np.array([[0.0, 0.0], [box, 0.0], [box, box], [0.0, box], [0.0, 0.0]]) + np.array([left, y])
        strokes.append(stroke("ruler", view.table_from_worker(corners), look=LIVE))
        words = word(f"set_up_{name}", w=light.size[0], h=light.size[1])
        labels.append(fitted(view, words, (left + 2.0 * box, y + 0.1 * box), 0.8 * box, "left", wide, 1.0))
    labels.append(fitted(view, word("set_up_on"), ((x0 + x1) / 2, y0 + 0.4 * row), 14.0, "middle", wide, 0.7))
    return replace(blank, strokes=tuple(strokes), labels=tuple(labels))


def _proof(snapshot: Snapshot, work: Work, light: Light, blank: Scene) -> Scene:
    """The long line alone."""
    view = view_of(light, 0.0, snapshot.worker_side)
    strokes, labels = long_line(
        view, snapshot.unit, snapshot.proof_mm or long_line_mm(view, snapshot.unit), (view.inner[1] + view.inner[3]) / 2
    )
    shape_mm = snapshot.table.shape_mm if snapshot.table else None
    heading = word("nothing_taped") if shape_mm is None else word("now_tape", mm=f"{shape_mm:.1f}")
    return replace(blank, strokes=tuple(strokes), labels=(*labels, _heading(view, heading), *told(snapshot, view, view.inner[3] - 70.0)))


def _cut_before(snapshot: Snapshot, work: Work, lies: ClothAt) -> list[Stroke]:
    """The outline already cut on this cloth, thin."""
    made = []
    for index in cuts_made(snapshot, work, snapshot.step):
        for line in work.steps[index].lines:
            if line.kind == "cut" and line.when == "now" and len(line.mm) > 1:
                points = [*line.mm, line.mm[0]] if line.closed else list(line.mm)
                table = np.array([lies.table_from_cloth(point) for point in points])
                made.append(Stroke("cut", line.piece, "later", finely(table), THIN))
    return made


def _align(snapshot: Snapshot, work: Work, light: Light, blank: Scene) -> Scene:
    """Two points on the real cloth; what is already cut thin; the cross being moved is bright."""
    step = work.steps[snapshot.step] if work.steps else None
    height = step.height_mm if step else 0.0
    view = view_of(light, height, snapshot.worker_side)
    labels = [_heading(view, word("cross_here"))]
    align = snapshot.align
    if align is None:
        return replace(blank, labels=tuple(labels))
    lies, _ = through_two_points(snapshot.cloth_at, align.cloth, align.table)  # the lines follow the crosses
    strokes: list[Stroke] = _cut_before(snapshot, work, lies) if snapshot.state != "stop" else []
    if step:
        for line in step.lines:
            if line.kind in ("cloth", "fold") and len(line.mm) > 1:
                table = np.array([lies.table_from_cloth(point) for point in line.mm])
                strokes.append(stroke(line.kind, table, look=CALM if line.kind == "fold" else None))
    names = {"place": ("fold_corner", "fold_edge"), "recover": ("cut_edge", "cut_edge"), "slide": ("pinned", "pinned")}[align.purpose]
    for index, (place, name) in enumerate(zip(align.table, names, strict=True)):
        is_live = index == align.at
        strokes += cross(place, 30.0, LIVE if is_live else CALM, with_ring=is_live, turn_deg=view.turn_deg)
        x, y = view.worker_from_table(np.array([place]))[0]
        labels.append(flat(view, word(name), (x + 24.0, y + 22.0), 12.0, is_bold=is_live, light=1.0 if is_live else 0.5))
    return replace(blank, height_mm=height, strokes=tuple(strokes), labels=tuple(labels))


def _spots(snapshot: Snapshot, work: Work, light: Light, blank: Scene) -> Scene:
    """Each cross through the present map, moved by keys; the live one is bright."""
    view = view_of(light, 0.0, snapshot.worker_side)
    strokes: list[Stroke] = []
    labels = [_heading(view, word("cross_spot"))]
    spots = snapshot.table.spots if snapshot.table else ()
    for index, spot in enumerate(spots):
        dx, dy = snapshot.spot_moves[index] if index < len(snapshot.spot_moves) else (0.0, 0.0)
        place = (spot[0] + dx, spot[1] + dy)
        is_live = index == snapshot.spot
        strokes += cross(place, 30.0 if is_live else SPOT_ARM_MM, LIVE if is_live else CALM, with_ring=is_live)
        x, y = view.worker_from_table(np.array([place]))[0]
        labels.append(flat(view, f"{index + 1}", (x + 20.0, y + 16.0), 12.0, is_bold=is_live, light=1.0 if is_live else 0.4))
    return replace(blank, strokes=tuple(strokes), labels=tuple(labels))


def _shadow(snapshot: Snapshot, work: Work, light: Light, blank: Scene) -> Scene:
    """Where the lamp hangs and which hand cuts, set by keys; lines to try with shears, the place 10 cm ahead marked.

    A shadow falls away from the lamp: the line that runs that way is shown broken, since her own hand hides it.
    """
    view = view_of(light, 0.0, snapshot.worker_side)
    x0, y0, x1, y1 = view.inner
    mx, my = (x0 + x1) / 2, (y0 + y1) / 2
    reach = 0.3 * min(x1 - x0, y1 - y0)
    lamp = view.worker_from_table(np.array([SIDE_OUT[snapshot.lens_side]]))[0]
    bold, hidden = Look(3, None, "cut", 1.0), Look(1, (4.0, 4.0), "cut", 0.5)
    strokes = []
    for turn in np.deg2rad(np.arange(0.0, 360.0, 45.0)):
        way = np.array([np.cos(turn), np.sin(turn)])
        look = hidden if way @ lamp < -0.9 else bold
        strokes.append(stroke("ruler", view.table_from_worker(np.array([[mx, my], [mx, my] + way * reach])), look=look))
    strokes.append(stroke("ruler", view.table_from_worker(circle((mx, my), 100.0)), look=CALM))
    far, deep = (x1 - x0) / 2 - 120.0, (y1 - y0) / 2 - 80.0
    at = (mx + lamp[0] * far, my + lamp[1] * deep)
    strokes += [stroke("ruler", view.table_from_worker(circle(at, radius)), look=LIVE) for radius in (10.0, 22.0)]
    hand = word("hand_left") if snapshot.cutting_hand == "left" else word("hand_right")
    labels = [
        _heading(view, word("shadow"), 16.0),
        flat(view, word("lamp_here"), (at[0], at[1] - 44.0), 12.0, "middle", light=1.0),
        flat(view, word("hand", hand=hand), (mx, y0 + 22.0), 12.0, "middle", light=1.0),
        flat(view, word("falls_here"), (mx - lamp[0] * (reach + 66.0), my - lamp[1] * (reach + 26.0) - 6.0), 12.0, "middle", light=0.6),
    ]
    return replace(blank, strokes=tuple(strokes), labels=tuple(labels))


def _error(snapshot: Snapshot, work: Work, light: Light, blank: Scene) -> Scene:
    """How true the light is: circles of the 95 % shape error, enlarged, with the figure beside them."""
    view = view_of(light, 0.0, snapshot.worker_side)
    x0, y0, x1, y1 = view.inner
    if not isinstance(light, Measured):
        return replace(blank, labels=(_heading(view, word("no_table")),))
    xs, ys = np.meshgrid(np.linspace(x0 + 90, x1 - 90, 5), np.linspace(y0 + 70, y1 - 110, 3))
    places = np.column_stack([xs.ravel(), ys.ravel()])
    radii = np.asarray(light.shape_error_mm(view.table_from_worker(places)))
    seen = radii[np.isfinite(radii)]
    is_thin = bool(len(seen)) and float(seen.max()) < CHALK_MM
    strokes, labels = [], [_heading(view, word("error_title", times=int(ERROR_SHOWN)))]
    under = ((x0 + x1) / 2, y0 + 16.0)
    labels.append(fitted(view, word("error_thin" if is_thin else "error_thick"), under, 14.0, "middle", x1 - x0 - 60.0))
    for place, radius in zip(places, radii, strict=True):
        if np.isfinite(radius) and radius > 0:
            strokes.append(stroke("ruler", view.table_from_worker(circle(place, radius * ERROR_SHOWN)), look=CALM))
            at = (float(place[0]), float(place[1]) - radius * ERROR_SHOWN - 18.0)
            labels.append(flat(view, f"{radius:.2f} mm", at, 11.0, "middle"))
    return replace(blank, strokes=tuple(strokes), labels=tuple(labels))


CODE_SHARE, CODE_LARGEST_MM, CODE_QUIET = 0.62, 360.0, 4
"""Of the light's depth; no larger than a phone at arm's length takes in; modules of light round it (ISO/IEC 18004, 6.3.8)."""


def _code(snapshot: Snapshot, work: Work, light: Light, blank: Scene) -> Scene:
    """The code that opens the page: light ground, dark modules, square to her side."""
    import segno  # here: the first picture does not wait for it

    view = view_of(light, 0.0, snapshot.worker_side)
    x0, y0, x1, y1 = view.inner
    modules = np.array(segno.make(snapshot.code or "-", error="m", boost_error=False).matrix, bool)
    count = len(modules) + 2 * CODE_QUIET
    is_light = np.ones((count, count), bool)
    is_light[CODE_QUIET:-CODE_QUIET, CODE_QUIET:-CODE_QUIET] = ~modules
    side = min(CODE_SHARE * (y1 - y0), CODE_LARGEST_MM) / count
    left, top = (x0 + x1) / 2 - count * side / 2, (y0 + y1) / 2 + count * side / 2
    grown = 0.6 * view.mm_per_px  # rows overlap, or dark hairlines run between them
    areas = []
    for row, line in enumerate(is_light):
        edges = np.flatnonzero(np.diff(np.concatenate(([False], line, [False]))))
        for start, end in edges.reshape(-1, 2):
            low, high = top - (row + 1) * side - grown, top - row * side + grown
            ring = np.array([[left + start * side, low], [left + end * side, low], [left + end * side, high], [left + start * side, high]])
            areas.append(Area(view.table_from_worker(ring), "words", 1.0))
    under = flat(view, word("code_network"), ((x0 + x1) / 2, top - count * side - 34.0), 12.0, "middle", light=0.6)
    return replace(blank, areas=tuple(areas), labels=(_heading(view, word("code")), under))


Maker = Callable[[Snapshot, Work, Light, Scene], Scene]
MODES: Mapping[Mode, Maker] = {
    "setup": _set_up,
    "frame": _frame,
    "proof": _proof,
    "align": _align,
    "spots": _spots,
    "shadow": _shadow,
    "error": _error,
    "code": _code,
}
