"""A made-up order for the light's tests: a front on the fold, a skirt, three steps to cut and one to pull along. Cloth mm."""

from dataclasses import replace
from functools import lru_cache

import numpy as np

from calibration.table import Table, TableSpot, Taped
from projector.session.snapshot import ClothAt, Slide, Snapshot, Work
from projector.session.summary import summary_of
from projector.steps.step import Op, Step, StepLabel, StepLine

SIZE = (1280, 720)


def _curve(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> list[tuple[float, float]]:
    t = np.linspace(0.0, 1.0, 30)[:, None]
    points = (1 - t) ** 2 * np.array(a) + 2 * t * (1 - t) * np.array(b) + t * t * np.array(c)
    return [(float(x), float(y)) for x, y in points]


FRONT = (
    (95.0, 0.0), (440.0, 0.0), (445.0, 250.0),
    *_curve((445.0, 250.0), (400.0, 245.0), (230.0, 262.0))[1:],
    *_curve((230.0, 262.0), (170.0, 170.0), (60.0, 180.0))[1:],
    (40.0, 95.0), *_curve((40.0, 95.0), (90.0, 80.0), (95.0, 0.0))[1:-1],
)  # fmt: skip
SKIRT = ((520.0, 0.0), (1140.0, 0.0), (1130.0, 300.0), (710.0, 262.0), (520.0, 190.0))


def _step(title: str, op: Op, part: int, piece: str, ring: tuple[tuple[float, float], ...], other: tuple[tuple[float, float], ...]) -> Step:
    inside = tuple((x * 0.94 + 15, y * 0.9 + 8) for x, y in ring)
    lines = (
        StepLine("cloth", None, "now", ((0.0, 0.0), (1300.0, 0.0), (1300.0, 560.0), (0.0, 560.0)), True),
        StepLine("fold", None, "now", ((0.0, 0.0), (1300.0, 0.0))),
        StepLine("cut", piece, "now", ring, True),
        StepLine("cut", "other", "later", other, True),
        StepLine("sew", piece, "mark", inside, True),
        StepLine("grain", piece, "mark", ((ring[0][0] + 60, 100.0), (ring[0][0] + 260, 100.0))),
        StepLine("notch", piece, "now", ((ring[0][0] + 100, 2.0), (ring[0][0] + 100, 6.0))),
        StepLine("level", piece, "mark", ((270.0, 0.0), (270.0, 255.0))),
        StepLine("point", piece, "now", ((310.0, 130.0),)),
    )
    labels = (StepLabel(f"1  {piece}", (ring[0][0] + 140, 140.0), 16.0), StepLabel("2", (ring[0][0] + 142, 141.0), 10.0))
    ids = tuple(f"main-1.{number}" for number in range(1, 5))
    return Step(title, f"{title}.", op, "main", 0, part, ids, ids[:2], lines=lines, labels=labels, height_mm=3.2, is_fact=op == "cut")


def work() -> Work:
    """Three cuts and a slide of 600 mm along the cloth between the second and the third."""
    steps = (
        _step("Cut the front", "cut", 0, "front", FRONT, SKIRT),
        _step("Cut the skirt", "cut", 0, "skirt front", SKIRT, FRONT),
        _step("Pull the cloth along", "slide", 1, "skirt front", SKIRT, FRONT),
        _step("Cut the rest", "cut", 1, "skirt front", SKIRT, FRONT),
    )
    slides = {2: Slide(((700.0, 40.0), (700.0, 300.0)), (-600.0, 0.0))}
    key = ("main", 0)
    return Work("sample", steps, "cm", "", slides, {key: ((0.0, 0.0), (1300.0, 0.0))}, {0: ClothAt(60.0, 60.0)})


SPOTS = ((40.0, 40.0), (1360.0, 45.0), (1350.0, 740.0), (50.0, 735.0))


@lru_cache
def table(state: str, size: tuple[int, int] = SIZE) -> Table:
    """A computed table told as stop, check, ready or demonstration."""
    made = Table.demonstration(size)
    if state == "demonstration":
        return made
    spots = tuple(TableSpot(number + 1, at, ((0.01, 0.0), (0.0, 0.01))) for number, at in enumerate(SPOTS))
    percent = None if state == "stop" else 0.1
    taped = Taped(line_shown_mm=1300.0, line_taped_mm=1300.0) if state == "ready" else Taped()
    return replace(made, is_demonstration=False, size_percent=percent, taped=taped, spots=spots)


@lru_cache
def snapshot(state: str = "ready") -> Snapshot:
    """The first step on that table."""
    summary = summary_of(table(state), "made-up")
    return Snapshot(number=1, order="sample", of=4, state=summary.state, table=summary, cloth_at=ClothAt(60.0, 60.0))
