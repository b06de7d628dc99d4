"""Where the cloth lies on the table at every step: it moves at place, slide and fold steps only. Table mm, degrees."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import cos, radians, sin

from projector.garment.pieces import Point
from projector.lay.bias import lays_cut
from projector.lay.cloth import USUAL_LIGHT
from projector.lay.lay import Lay, Part
from projector.steps.step import Step

Rect = tuple[float, float, float, float]
WORDS_MM = 50.0
"""Room for the title along the far edge."""
MOVES = ("place", "slide", "fold")
NO_TABLE_LIGHT: Rect = (0.0, 0.0, USUAL_LIGHT.width_mm, USUAL_LIGHT.height_mm)
"""The light that is thought of where there is no table: x0, y0, x1, y1."""


@dataclass(frozen=True, slots=True)
class Lies:
    """table = turn (counter-clockwise) of cloth + (x_mm, y_mm)."""

    x_mm: float
    y_mm: float
    turn_deg: float


def table_from_cloth(points: Iterable[Point], lies: Lies) -> list[list[float]]:
    """Cloth mm to table mm, to the thousandth."""
    c, s = cos(radians(lies.turn_deg)), sin(radians(lies.turn_deg))
    return [[round(c * x - s * y + lies.x_mm, 3), round(s * x + c * y + lies.y_mm, 3)] for x, y in points]


def places(steps: Sequence[Step], lay: Lay, light: Rect = NO_TABLE_LIGHT, at: Lies | None = None) -> list[Lies]:
    """Where the cloth frame lies at each step.

    `at` given: the origin of each length lies there for its first part, and pulling moves it by the way from part to part.
    Else what lies in the part stands in the middle of `light` (table frame), its fold towards the table's near edge, y = 0, clear of
    the words along the far edge where there is room. A worker at another edge has the words turned to her, not the cloth.
    """
    lays = lays_cut(lay)
    first: dict[tuple[str, int], int] = {}
    told: list[Lies] = []
    for step in steps:
        start = first.setdefault((step.cloth, step.bundle), step.part)
        parts = lays[step.cloth].parts
        part = parts[step.part]
        goal = _given(part.rect, parts[start].rect, at) if at else _middle(_cloth_in(lays[step.cloth], part), light)
        told.append(goal if not told or step.op in MOVES else told[-1])
    return told


def _cloth_in(lay: Lay, part: Part) -> Rect:
    """The cloth that lies in this part."""
    regions = [region for region in lay.regions if region.bundle == part.bundle]
    x0, y0, x1, y1 = part.rect
    return (
        max(x0, min(region.x[0] for region in regions)), max(y0, min(region.y[0] for region in regions)),
        min(x1, max(region.x[1] for region in regions)), min(y1, max(region.y[1] for region in regions)),
    )  # fmt: skip


def _given(rect: Rect, start: Rect, at: Lies) -> Lies:
    c, s = cos(radians(at.turn_deg)), sin(radians(at.turn_deg))
    x, y = start[0] - rect[0], start[1] - rect[1]
    return Lies(round(at.x_mm + c * x - s * y, 3), round(at.y_mm + s * x + c * y, 3), at.turn_deg)


def _middle(cloth: Rect, light: Rect) -> Lies:
    top = WORDS_MM if cloth[3] - cloth[1] + WORDS_MM <= light[3] - light[1] else 0.0
    x = (light[0] + light[2]) / 2 - (cloth[0] + cloth[2]) / 2
    y = (light[1] + light[3] - top) / 2 - (cloth[1] + cloth[3]) / 2
    return Lies(round(x, 3), round(y, 3), 0.0)
