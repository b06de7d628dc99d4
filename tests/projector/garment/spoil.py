"""Ways to spoil a good pieces.json, each breaking one property on purpose."""

import copy
from collections.abc import Callable
from typing import Any

import numpy as np
import numpy.typing as npt

Told = dict[str, Any]
Line = npt.NDArray[np.float64]


def piece_with(told: Told, kind: str, of: str = "main", part: str = "") -> Told:
    """First piece that has an edge of that kind."""
    for piece in told["pieces"]:
        if piece["of"] == of and part in piece["part"] + piece["name"] and any(e["kind"] == kind for e in piece["edges"]):
            return piece  # type: ignore[no-any-return]
    raise LookupError(f"no {of} piece with a {kind} edge")


def edge_of(piece: Told, kind: str) -> Told:
    """Longest edge of a kind."""
    edges = [e for e in piece["edges"] if e["kind"] == kind]
    return max(edges, key=lambda e: np.hypot(*np.diff(np.array(e["points"]), axis=0).T).sum())


def rejoin(piece: Told) -> None:
    """The sewing line from the edges."""
    piece["seam_line"] = [tuple(p) for e in piece["edges"] for p in e["points"][:-1]]


def redraw(piece: Told, edge: Told, change: Callable[[Line], Line]) -> None:
    """Change the points of an edge between its ends."""
    points = np.array(edge["points"], dtype=float)
    if len(points) < 12:
        t = np.linspace(0, 1, 40)
        arc = np.r_[0, np.cumsum(np.hypot(*np.diff(points, axis=0).T))]
        points = np.column_stack([np.interp(t * arc[-1], arc, points[:, k]) for k in (0, 1)])
    inner = change(points)
    inner[0], inner[-1] = points[0], points[-1]
    edge["points"] = inner.tolist()
    rejoin(piece)


def bowed(mm: float) -> Callable[[Line], Line]:
    """A bow of so many mm in the middle, smooth."""

    def change(points: Line) -> Line:
        chord = points[-1] - points[0]
        normal = np.array([-chord[1], chord[0]]) / np.hypot(*chord)
        t = np.linspace(0, 1, len(points))[:, None]
        return np.asarray(points + mm * np.sin(np.pi * t) ** 2 * normal)

    return change


def scaled(piece: Told, x: float, y: float) -> None:
    """Everything drawn on a piece, stretched."""
    for edge in piece["edges"]:
        edge["points"] = [(px * x, py * y) for px, py in edge["points"]]
    piece["seam_line"] = [(px * x, py * y) for px, py in piece["seam_line"]]
    piece["cut_line"] = [(px * x, py * y) for px, py in piece["cut_line"]]
    for notch in piece["notches"]:
        notch["at"] = (notch["at"][0] * x, notch["at"][1] * y)
    for dart in piece["darts"]:
        dart["legs"] = [(px * x, py * y) for px, py in dart["legs"]]
    for first in piece.get("first_cut", ()):
        first["points"] = [(px * x, py * y) for px, py in first["points"]]
    piece["levels"] = {
        name: level * y if isinstance(level, int | float) else [(px * x, py * y) for px, py in level]
        for name, level in piece["levels"].items()
    }


def fresh(told: Told) -> Told:
    """A copy to spoil."""
    return copy.deepcopy(told)
