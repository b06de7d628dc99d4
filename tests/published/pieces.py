"""The product's pieces drafted and read as pieces.json: edges, lengths, levels; curves drawn and bends measured by hand. mm."""

from itertools import pairwise
from math import dist
from typing import Any

import numpy as np

from projector.api import pieces_for

Point = tuple[float, float]
Piece = dict[str, Any]


def drafted(card: dict[str, float], of: str = "main", **style: Any) -> dict[str, Any]:
    """Pieces of one cloth by part, warnings under `said`, everything under `all`."""
    found = pieces_for(card, style)
    pieces = {piece["part"]: piece for piece in found["pieces"] if piece["of"] == of}
    return pieces | {"said": " ".join(found["warnings"]), "all": found["pieces"]}


def named(piece: Piece, name: str) -> list[Point]:
    """All points of the edges of one name."""
    return [tuple(point) for each in piece["edges"] if each["name"] == name for point in each["points"]]


def edge(piece: Piece, kind: str) -> list[Point]:
    """All points of the edges of one kind, as the outline runs."""
    return [tuple(point) for each in piece["edges"] if each["kind"] == kind for point in each["points"]]


def sewn_mm(piece: Piece, kind: str) -> float:
    """Length of the edges of one kind, darts between them left out."""
    return sum(dist(p, q) for each in piece["edges"] if each["kind"] == kind for p, q in pairwise(each["points"]))


def at_level(line: list[Point], y: float) -> float:
    """x of a line at a level."""
    points = sorted(line, key=lambda point: point[1])
    return float(np.interp(y, [point[1] for point in points], [point[0] for point in points]))


def level_y(piece: Piece, name: str, x: float = 0.0) -> float:
    """y of a level: told as one number, or as a line of points, then at the point nearest to x."""
    told = piece["levels"][name]
    if isinstance(told, int | float):
        return float(told)
    return float(min(told, key=lambda point: abs(point[0] - x))[1])


def least_radius(line: list[Point]) -> float:
    """Of the circles through three neighbouring points, ends left out."""
    radii = []
    for a, b, c in zip(line[1:], line[2:-1], line[3:-1], strict=False):
        twice = abs((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]))
        radii.append(dist(a, b) * dist(b, c) * dist(c, a) / max(2 * twice, 1e-9))
    return min(radii)


def line_mm(line: list[Point]) -> float:
    """Length of a line of points."""
    return sum(dist(p, q) for p, q in pairwise(line))


def bezier(start: Point, leaving: Point, end: Point, arriving: Point, first: float, last: float) -> list[Point]:
    """4000 points of the cubic with these two directions of travel, its handles as parts of the chord."""
    a, d = complex(*start), complex(*end)
    u, v = complex(*leaving), complex(*arriving)
    chord = abs(d - a)
    b, c = a + u / abs(u) * first * chord, d - v / abs(v) * last * chord
    t = np.linspace(0, 1, 4000)
    points = (1 - t) ** 3 * a + 3 * (1 - t) ** 2 * t * b + 3 * (1 - t) * t**2 * c + t**3 * d
    return [(float(point.real), float(point.imag)) for point in points]


def apart_mm(line: list[Point], curve: list[Point]) -> float:
    """How far the points of a drawn line lie from a curve at most."""
    drawn, exact = np.array(line), np.array(curve)
    return float(np.hypot(*(drawn[:, None] - exact[None]).transpose(2, 0, 1)).min(axis=1).max())
