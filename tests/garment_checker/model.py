"""pieces.json read into arrays. Anything that is not as the contract says raises Unreadable with the place."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from shapely.geometry import LineString, Polygon

from tests.garment_checker.shapes import Line, as_line, length_mm, ring_area

KINDS = {
    "centre",
    "waist",
    "side",
    "shoulder",
    "armhole",
    "neck",
    "princess",
    "dart",
    "hem",
    "cap",
    "under",
    "opening",
    "facing",
    "gather",
    "band",
}
LEVELS = {"bust", "underbust", "waist", "hip", "knee", "biceps", "underarm"}
PIECE_KEYS = {
    "name",
    "part",
    "of",
    "cloth",
    "cut",
    "grain_deg",
    "edges",
    "seam_line",
    "cut_line",
    "levels",
    "darts",
    "notches",
    "first_cut",
    "block_mm",
}
TOP_KEYS = {"format", "order", "pieces", "seams", "joins", "measures", "finished", "warnings"}
FINISHED_KEYS = {"bust_mm", "underbust_mm", "waist_mm", "hip_mm", "knee_mm", "hem_mm", "biceps_mm", "vent_from_hem_mm"}

STEP_MM = 0.002
"""A shorter step has no direction: points are told to a ten-thousandth of a millimetre."""


class Unreadable(Exception):
    """pieces.json does not have the shape of the contract."""


@dataclass(frozen=True)
class Edge:
    """One edge: its line, and what the file says about it."""

    name: str
    kind: str
    line: Line
    allowance_mm: float
    fold: bool

    @cached_property
    def length_mm(self) -> float:
        return length_mm(self.line)

    @cached_property
    def shape(self) -> LineString:
        return LineString(self.line)


@dataclass(frozen=True)
class Piece:
    """One piece."""

    name: str
    part: str
    of: str
    cloth: str
    on_fold: bool
    count: int
    mirrored: bool
    grain_deg: float
    edges: tuple[Edge, ...]
    seam: Line
    cut: Line
    levels: Mapping[str, Any]
    darts: tuple[Line, ...]
    notches: tuple[Mapping[str, Any], ...]
    first_cut: tuple[Mapping[str, Any], ...]
    block_mm: float

    @cached_property
    def area(self) -> float:
        return ring_area(self.seam)

    @cached_property
    def shape(self) -> Polygon:
        return Polygon(self.seam)

    @cached_property
    def wider(self) -> Polygon:
        """The piece and a millimetre round it."""
        return self.shape.buffer(1.0, quad_segs=2)

    @cached_property
    def cut_shape(self) -> Polygon:
        return Polygon(self.cut)

    @cached_property
    def cut_ring(self) -> LineString:
        return LineString(np.vstack([self.cut, self.cut[:1]]))

    @cached_property
    def index(self) -> dict[str, int]:
        return {edge.name: i for i, edge in enumerate(self.edges)}

    @property
    def copies(self) -> int:
        """How often the drawn outline occurs in the garment."""
        return self.count * (2 if self.on_fold else 1)

    @property
    def is_sleeve(self) -> bool:
        return any(edge.kind == "cap" for edge in self.edges) or self.part.startswith("sleeve")

    @property
    def kinds(self) -> set[str]:
        return {edge.kind for edge in self.edges}

    def edge(self, name: str) -> Edge:
        return self.edges[self.index[name]]

    def beside(self, name: str, step: int) -> Edge:
        """The edge `step` places further round the outline."""
        return self.edges[(self.index[name] + step) % len(self.edges)]


@dataclass(frozen=True)
class Seam:
    """Two runs sewn together."""

    name: str
    a: tuple[tuple[str, str], ...]
    b: tuple[tuple[str, str], ...]
    a_mm: float
    b_mm: float
    ease_mm: tuple[float, float]


@dataclass(frozen=True)
class Garment:
    """The whole file."""

    pieces: Mapping[str, Piece]
    seams: tuple[Seam, ...]
    joins: tuple[Mapping[str, Any], ...]
    measures: Mapping[str, float]
    finished: Mapping[str, float | None]
    warnings: tuple[str, ...]

    def of(self, *names: str) -> list[Piece]:
        return [piece for piece in self.pieces.values() if piece.of in names]

    @cached_property
    def main(self) -> list[Piece]:
        return self.of("main")

    def run_mm(self, run: tuple[tuple[str, str], ...]) -> float:
        return sum(self.pieces[piece].edge(edge).length_mm for piece, edge in run)


def _need(told: Mapping[str, Any], keys: set[str], where: str) -> None:
    if missing := keys - set(told):
        raise Unreadable(f"{where}: {sorted(missing)} missing")


def _ring(points: Any, where: str) -> Line:
    ring = np.asarray(points, dtype=np.float64)
    if ring.ndim != 2 or ring.shape[1] != 2 or len(ring) < 3 or not np.isfinite(ring).all():
        raise Unreadable(f"{where}: no ring of finite points")
    if np.hypot(*(ring - np.roll(ring, 1, axis=0)).T).min() < STEP_MM:
        raise Unreadable(f"{where}: a ring has a point twice in a row, or its first point again at its end")
    return as_line(ring)


def _edge(told: Mapping[str, Any], where: str) -> Edge:
    _need(told, {"name", "kind", "points", "allowance_mm", "fold"}, where)
    line = np.asarray(told["points"], dtype=np.float64)
    if line.ndim != 2 or line.shape[1] != 2 or not np.isfinite(line).all() or len(as_line(line)) < 2:
        raise Unreadable(f"{where}: edge {told['name']} has no line")
    if np.hypot(*np.diff(line, axis=0).T).min() < STEP_MM:
        raise Unreadable(f"{where}: edge {told['name']} repeats a point")
    if told["kind"] not in KINDS:
        raise Unreadable(f"{where}: edge kind {told['kind']!r}")
    return Edge(told["name"], told["kind"], as_line(line), float(told["allowance_mm"]), bool(told["fold"]))


def _piece(told: Mapping[str, Any]) -> Piece:
    where = str(told.get("name"))
    _need(told, PIECE_KEYS, where)
    _need(told["cut"], {"on_fold", "count", "mirrored"}, where)
    edges = tuple(_edge(edge, where) for edge in told["edges"])
    if len({edge.name for edge in edges}) != len(edges):
        raise Unreadable(f"{where}: two edges of one name")
    if unknown := set(told["levels"]) - LEVELS:
        raise Unreadable(f"{where}: levels {unknown}")
    return Piece(
        where, told["part"], told["of"], told["cloth"], bool(told["cut"]["on_fold"]), int(told["cut"]["count"]),
        bool(told["cut"]["mirrored"]), float(told["grain_deg"]), edges, _ring(told["seam_line"], where), _ring(told["cut_line"], where),
        told["levels"], tuple(np.asarray(dart["legs"], dtype=np.float64) for dart in told["darts"]), tuple(told["notches"]),
        tuple(told["first_cut"]), float(told["block_mm"]),
    )  # fmt: skip


def read(told: Mapping[str, Any]) -> Garment:
    """Read a pieces.json object."""
    _need(told, TOP_KEYS, "pieces.json")
    if told["format"] != 1:
        raise Unreadable(f"format {told['format']!r}")
    _need(told["finished"], FINISHED_KEYS, "finished")
    pieces = [_piece(piece) for piece in told["pieces"]]
    if len({piece.name for piece in pieces}) != len(pieces):
        raise Unreadable("two pieces of one name")
    seams = tuple(
        Seam(
            s["name"], tuple((p, e) for p, e in s["a"]), tuple((p, e) for p, e in s["b"]), float(s["a_mm"]), float(s["b_mm"]),
            (float(s["ease_mm"][0]), float(s["ease_mm"][1])),
        )
        for s in told["seams"]
    )  # fmt: skip
    by_name = {piece.name: piece for piece in pieces}
    for seam in seams:
        for piece, edge in (*seam.a, *seam.b):
            if piece not in by_name or edge not in by_name[piece].index:
                raise Unreadable(f"seam {seam.name} names {piece}/{edge}, which is not there")
    for join in told["joins"]:
        for piece, one, two in join["at"]:
            if piece not in by_name or not {one, two} <= set(by_name[piece].index):
                raise Unreadable(f"join {join['name']} names {piece}/{one}/{two}, which is not there")
    return Garment(by_name, seams, tuple(told["joins"]), told["measures"], told["finished"], tuple(told["warnings"]))
