"""Small drawings built of strokes and areas: crosses, rulers, arrow heads, stacks of layers. Table mm unless said."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from projector.scene.lines import KINDS, Look, Role
from projector.scene.primitives import Area, Label, Stroke
from projector.scene.view import View
from projector.steps.step import LineKind, When

Array = NDArray[np.float64]
LONGEST_PIECE_MM = 100.0
"""No straight piece is longer: the lens bends a 100 mm piece by 0.004 px at 1080 rows (measured), a 1500 mm one by 0.85."""
ROUND_MM = 0.05
HEAD_MM = 9.0
"""Length of a filled head."""


def finely(points: Array, longest_mm: float = LONGEST_PIECE_MM) -> Array:
    """The same line, no piece longer than `longest_mm`. Lines beyond all tables (over 100 m a piece) are left as they are."""
    steps = np.diff(points, axis=0)
    with np.errstate(over="ignore", invalid="ignore"):
        lengths = np.hypot(steps[:, 0], steps[:, 1])
    if not len(lengths) or not np.isfinite(lengths).all() or lengths.max() <= longest_mm or lengths.max() > 1e5:
        return points
    counts = np.maximum(1, np.ceil(lengths / longest_mm)).astype(np.int64)
    first = np.repeat(np.arange(len(steps)), counts)
    share = (np.arange(counts.sum()) - np.repeat(np.cumsum(counts) - counts, counts)) / np.repeat(counts, counts)
    return np.vstack([points[first] + steps[first] * share[:, None], points[-1:]])


def stroke(
    kind: LineKind,
    points: Sequence[Sequence[float] | Array] | Array,
    when: When = "now",
    look: Look | None = None,
    piece: str | None = None,
) -> Stroke:
    """A stroke of its kind's look unless another is given."""
    return Stroke(kind, piece, when, finely(np.asarray(points, dtype=np.float64)), look or KINDS[kind].look(when))


def circle(middle: Sequence[float], radius_mm: float) -> Array:
    """A closed ring, flattened to ROUND_MM."""
    count = max(12, int(np.ceil(np.pi / np.arccos(1 - min(0.5, ROUND_MM / radius_mm)))))
    turn = np.linspace(0.0, 2 * np.pi, count + 1)
    return np.column_stack([middle[0] + radius_mm * np.cos(turn), middle[1] + radius_mm * np.sin(turn)])


def cross(at: Sequence[float], arm_mm: float, look: Look, with_ring: bool = False, turn_deg: float = 0.0) -> list[Stroke]:
    """A cross of light, its middle left free by 1 mm so that the spot under it is seen."""
    c, s = np.cos(np.deg2rad(turn_deg)), np.sin(np.deg2rad(turn_deg))
    middle = np.asarray(at, dtype=np.float64)
    arms = [np.array([c, s]), np.array([-s, c]), np.array([-c, -s]), np.array([s, -c])]
    made = [stroke("cross", [middle + arm * 1.0, middle + arm * arm_mm], look=look) for arm in arms]
    if with_ring:
        made.append(stroke("cross", circle(at, arm_mm * 0.6), look=look))
    return made


def arrow_heads(line: Array, role: Role, light: float) -> list[Area]:
    """Filled heads at both ends of a straight line."""
    ends = [(line[0], line[0] - line[-1]), (line[-1], line[-1] - line[0])]
    made = []
    for tip, along in ends:
        length = float(np.hypot(*along))
        if length < 2 * HEAD_MM or not np.isfinite(length):
            continue
        u = along / length
        across = np.array([-u[1], u[0]])
        back = tip - u * HEAD_MM
        made.append(Area(np.array([tip, back + across * HEAD_MM * 0.3, back - across * HEAD_MM * 0.3]), role, light))
    return made


def pointer(snip: Array, role: Role, light: float) -> list[Area]:
    """A filled head outside the cut edge, pointing at a snip that is to be made: 4 mm alone is not found."""
    along = snip[-1] - snip[0]
    length = float(np.hypot(*along))
    if not np.isfinite(length) or length <= 0.0:
        return []
    u = along / length
    across = np.array([-u[1], u[0]])
    tip, back = snip[0] - u * 2.0, snip[0] - u * (2.0 + HEAD_MM)
    return [Area(np.array([tip, back + across * HEAD_MM * 0.35, back - across * HEAD_MM * 0.35]), role, light)]


def ruler(view: View, at: tuple[float, float], length_mm: float, unit_mm: float, words: str) -> tuple[list[Stroke], list[Label]]:
    """The long line, flat for her side. `at`: its left end, worker mm; `unit_mm`: 10 or 25.4, one tick each.

    End ticks are long and thin, so that her tape's end can be laid exactly on them; every tenth (or twelfth) is numbered.
    """
    x, y = at
    thin = Look(1, None, "words", 0.8)
    long_every = 10 if unit_mm == 10.0 else 12
    made = [stroke("ruler", view.table_from_worker(np.array([[x, y], [x + length_mm, y]])), look=Look(2, None, "words", 1.0))]
    labels: list[Label] = []
    for index in range(round(length_mm / unit_mm) + 1):
        place = x + index * unit_mm
        is_long = index % long_every == 0
        tall = 14.0 if is_long else (9.0 if index % (long_every // 2) == 0 else 5.0)
        if index in (0, round(length_mm / unit_mm)):
            tall = 30.0
        made.append(stroke("ruler", view.table_from_worker(np.array([[place, y], [place, y + tall]])), look=thin))
        if is_long and index and place < x + length_mm - 4 * unit_mm:
            labels.append(flat(view, str(index), (place, y + 17.0), 10.0, "middle"))
    labels.append(flat(view, words, (x + length_mm / 2, y - 24.0), 14.0, "middle", is_bold=True, light=1.0))
    return made, labels


def flat(
    view: View,
    text: str,
    at: tuple[float, float],
    size_mm: float,
    align: str = "left",
    is_bold: bool = False,
    light: float = 0.8,
    role: Role = "words",
) -> Label:
    """Words flat for her side. `at`: worker mm, on the baseline; `align`: left, middle, right."""
    label = Label(text, (0.0, 0.0), size_mm, view.turn_deg, role, light, is_bold)
    shift = {"left": 0.0, "middle": -0.5, "right": -1.0}[align] * label.outline().width_mm
    place = view.table_from_worker(np.array([[at[0] + shift, at[1]]]))[0]
    return Label(text, (float(place[0]), float(place[1])), size_mm, view.turn_deg, role, light, is_bold)


def stack(view: View, at: tuple[float, float], count: int, bright: int, width_mm: float = 46.0) -> list[Area]:
    """Layers as bars one above the other, right end at `at` (worker mm); the upper `bright` ones lit."""
    made = []
    for index in range(min(count, 8)):
        low = at[1] + (min(count, 8) - 1 - index) * 5.0
        slant = index * 1.5
        ring = np.array(
            [[at[0] - width_mm - slant, low], [at[0] - slant, low], [at[0] - slant, low + 2.6], [at[0] - width_mm - slant, low + 2.6]]
        )
        made.append(Area(view.table_from_worker(ring), "words", 0.8 if index < bright else 0.18))
    return made
