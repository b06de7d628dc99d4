"""A made-up dress as the drafts give it: halves on the fold, pairs, a single band, a block to be fused. Invented numbers, mm."""

import json
import random
from collections.abc import Sequence
from typing import Any

import numpy as np

from projector.garment.pieces import Edge, Garment, Piece
from projector.lay.cloth import Budget, Cloth, Light
from projector.lay.lay import Lay, Plan
from projector.lay.stage import Ask, lay_out
from projector.lay.task import Tools

Points = Sequence[tuple[float, float]]
TOOLS = Tools(random.Random)


def bend(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float], count: int = 12) -> list[tuple[float, float]]:
    """A curve from a to c pulled towards b."""
    t = np.linspace(0.0, 1.0, count)[:, None]
    points = (1 - t) ** 2 * np.array(a) + 2 * t * (1 - t) * np.array(b) + t * t * np.array(c)
    return [(float(x), float(y)) for x, y in points]


def piece(name: str, points: Points, *, fold: bool = False, count: int = 1, mirrored: bool = False, part: str = "", **more: Any) -> Piece:
    """A piece whose sewing line is its cut line; the fold edge runs along x = 0."""
    line = tuple((float(x), float(y)) for x, y in points)
    on_axis = sorted((p for p in line if p[0] == 0.0), key=lambda p: p[1])
    edges = (Edge("fold", "centre", (on_axis[0], on_axis[-1]), 0.0, True),) if fold else (Edge("centre", "centre", line[:2], 10.0),)
    return Piece(
        name, part or name.replace(" ", "_"), "main", more.pop("cloth", "main"), fold, count, mirrored, 90.0, edges, line, line, **more
    )


def dress(scale: float = 1.0, length: float = 690.0) -> tuple[Piece, ...]:
    """Princess front, darted back with a zip, straight skirt, long sleeves, facings, a bow's band: 17 pieces to cut."""
    side = bend((180, -12), (265, 120), (275, 220))
    neck, cb = [(0, 90), *bend((0, 90), (70, 85), (75, 0)), (110, 15)], [(-50, 30), *bend((-50, 30), (60, 25), (75, 0))]
    cap = bend((-190, 150), (-110, 140), (-80, 60)) + bend((-80, 60), (0, -60), (90, 60)) + bend((90, 60), (120, 140), (190, 150))
    armhole = [*bend((110, 15), (95, 120), (150, 180)), *bend((150, 180), (90, 250), (110, 430))]
    slit = [*bend((10, 60), (60, 150), (130, 160)), (150, 400), (20, 410), *bend((20, 410), (-20, 230), (10, 60))]
    shapes: list[tuple[str, Points, bool, int, bool]] = [
        ("centre front", [*neck, *armhole, (0, 440)], True, 1, False),
        ("side front", slit, False, 2, True),
        ("back", [*cb, (190, 40), *bend((190, 40), (180, 190), (260, 215)), (240, 440), (-50, 450)], False, 2, True),
        ("skirt front", [(0, 0), *side, (275, length), (0, length)], True, 1, False),
        ("skirt back", [(-50, 0), *side, (275, length), (-50, length)], False, 2, True),
        ("sleeve", [*cap, (130, 600), (-120, 600)], False, 2, True),
        ("front facing", [*neck, *bend((110, 15), (100, 150), (0, 155))], True, 1, False),
        ("back facing", [*cb, (120, 15), *bend((120, 15), (90, 95), (-50, 95))], False, 2, True),
        ("bow", [(0, 0), (90, 0), (120, 400), (0, 400)], False, 1, False),
        ("strap", [(0, 0), (50, 0), (50, 330), (0, 330)], False, 3, False),
    ]
    return tuple(
        piece(name, _without_repeats([(x * scale, y * scale) for x, y in points]), fold=fold, count=count, mirrored=mirrored)
        for name, points, fold, count, mirrored in shapes
    )


def _without_repeats(points: Points) -> Points:
    return [point for place, point in enumerate(points) if point != points[place - 1]]


def garment(pieces: Sequence[Piece]) -> Garment:
    """Only the pieces matter to laying."""
    return Garment(tuple(pieces), (), (), {}, {})


def told(thing: Lay | Garment) -> Any:
    """As another program reads it."""
    return json.loads(json.dumps(thing.as_json()))


def laid(pieces: Sequence[Piece], cloth: Cloth, plan: Plan | None = None, trials: int = 30, light: Light | None = None) -> Lay:
    """One cloth laid with a small, fixed search."""
    return lay_out(garment(pieces), {cloth.name: cloth}, Ask(plan, Budget(trials, 1), light or Light()), TOOLS)
