"""Where the cloth lies on the table at every step: it moves at place, slide and fold steps only. Table mm, degrees."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import cos, radians, sin

from projector.garment.pieces import Point
from projector.lay.lay import Lay
from projector.steps.step import Step

Rect = tuple[float, float, float, float]
MOVES = ("place", "slide", "fold")
NO_TABLE_LIGHT: Rect = (0.0, 0.0, 1400.0, 800.0)
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


def places(steps: Sequence[Step], lay: Lay, light: Rect = NO_TABLE_LIGHT, at: Lies | None = None, turn_deg: float = 0.0) -> list[Lies]:
    """Where the cloth frame lies at each step.

    `at` given: the origin of each length lies there for its first part, and pulling moves it by the way from part to part.
    Else the part lies in the middle of `light` (worker's frame, turned by `turn_deg` to the table), its fold towards her.
    """
    lays = {lay.cloth.name: lay, **lay.others}
    first: dict[tuple[str, int], int] = {}
    told: list[Lies] = []
    for step in steps:
        start = first.setdefault((step.cloth, step.bundle), step.part)
        parts = lays[step.cloth].parts
        goal = _lies(parts[step.part].rect, parts[start].rect, light, at, turn_deg)
        told.append(goal if not told or step.op in MOVES else told[-1])
    return told


def _lies(rect: Rect, start: Rect, light: Rect, at: Lies | None, turn_deg: float) -> Lies:
    turn = at.turn_deg if at else turn_deg
    c, s = cos(radians(turn)), sin(radians(turn))
    if at:
        x, y = start[0] - rect[0], start[1] - rect[1]
        return Lies(round(at.x_mm + c * x - s * y, 3), round(at.y_mm + s * x + c * y, 3), turn)
    x = (light[0] + light[2]) / 2 - (rect[0] + rect[2]) / 2
    y = (light[1] + light[3]) / 2 - (rect[1] + rect[3]) / 2
    return Lies(round(c * x - s * y, 3), round(s * x + c * y, 3), turn)
