"""Finished pieces of pieces.json read by tests: edges, lengths, levels; curves drawn by hand. mm. Shares nothing with the product."""

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
