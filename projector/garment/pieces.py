"""What the drafting stages hand on: pieces, edges, seams. Frozen data, mm, piece frame.

Piece frame (DEVELOPERS.md, "Frames"): x from the centre line outward, y down the body, seen from the cloth's
right side: the wearer's left front, the wearer's right back. Rings do not repeat their first point; curves are
flattened to 0.05 mm. `as_json` gives pieces.json.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from itertools import pairwise
from math import dist
from typing import Any

from projector.draft.panel import EdgeKind as EdgeKind
from projector.draft.walking import VentPlan

Point = tuple[float, float]
Line = tuple[Point, ...]
"""An open line or a ring of points, mm."""


def line_length(line: Line) -> float:
    """Length of an open line, mm."""
    return sum(dist(a, b) for a, b in pairwise(line))


def _told(record: Any) -> dict[str, Any]:
    """Field names to values, one level deep: frozen points need no copies (dataclasses.asdict made up half of a draft's time)."""
    return {each.name: getattr(record, each.name) for each in fields(record)}


@dataclass(frozen=True, slots=True)
class Edge:
    """A named stretch of a piece's sewing outline, from where the last edge ended."""

    name: str
    kind: EdgeKind
    points: Line
    allowance_mm: float
    fold: bool = False


@dataclass(frozen=True, slots=True)
class Dart:
    """Leg end, tip, leg end for a mouth dart; four points (mouthless, round the contour) for a contour dart."""

    legs: Line


SNIP_LEAST_MM, SNIP_CLEAR_MM = 3.0, 3.0
"""A snip is never shorter, and ends so far from the sewing line where the allowance is wide enough for both."""


@dataclass(frozen=True, slots=True)
class Notch:
    """`at` on the sewing line; the snip runs from the cut line `depth_mm` inward."""

    at: Point
    edge: str
    count: int
    depth_mm: float


@dataclass(frozen=True, slots=True)
class FirstCut:
    """The line cut instead of this edge's cut line on a first dress (further out, ends on the cut line)."""

    edge: str
    points: Line


@dataclass(frozen=True, slots=True)
class Piece:
    """One part to cut. For `on_fold` both rings are the half.

    `count`: whole pieces cut; `mirrored`: half of them are mirror images. `of`: main, lining, facing, interfacing or a
    cloth's name; `cloth`: what it is cut from. `grain_deg` from +x, modulo 180 (90 = down the body).
    `levels`: bust, underbust, waist, hip, knee, biceps, underarm: a y or a line, strictly inside the piece.
    """

    name: str
    part: str
    of: str
    cloth: str
    on_fold: bool
    count: int
    mirrored: bool
    grain_deg: float
    edges: tuple[Edge, ...]
    seam_line: Line
    cut_line: Line
    levels: Mapping[str, float | Line] = field(default_factory=dict)
    darts: tuple[Dart, ...] = ()
    notches: tuple[Notch, ...] = ()
    first_cut: tuple[FirstCut, ...] = ()
    block_mm: float = 0.0
    points: tuple[Point, ...] = ()
    """Bust point and other pin marks."""
    was: "Piece | None" = None
    """The piece as it is cut first, whose outline stands in the lay: the dress was changed after that cut, the piece is cut again
    in hand."""

    def level_y(self, name: str) -> float:
        """Where one of its levels meets the centre line: the y of a straight one, of a line its first point."""
        level = self.levels[name]
        return float(level) if isinstance(level, int | float) else level[0][1]

    def as_json(self) -> dict[str, Any]:
        """One entry of pieces.json's `pieces`."""
        told = _told(self)
        for key in ("edges", "darts", "notches", "first_cut"):
            told[key] = tuple(_told(record) for record in told[key])
        told["levels"] = dict(self.levels)
        del told["was"]
        if self.was is not None:
            told["was"] = self.was.as_json()
        told["cut"] = {"on_fold": told.pop("on_fold"), "count": told.pop("count"), "mirrored": told.pop("mirrored")}
        return told


@dataclass(frozen=True, slots=True)
class Seam:
    """Two runs of (piece, edge) sewn together; length(a) - length(b) lies within `ease_mm`."""

    name: str
    a: tuple[tuple[str, str], ...]
    b: tuple[tuple[str, str], ...]
    a_mm: float
    b_mm: float
    ease_mm: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Join:
    """Corners (piece, edge before, edge after) that meet when sewn: their interior angles add up to `sum_deg`."""

    name: str
    at: tuple[tuple[str, str, str], ...]
    sum_deg: float
    tol_deg: float


@dataclass(frozen=True, slots=True)
class Garment:
    """Everything that is cut and sewn for one dress."""

    pieces: tuple[Piece, ...]
    seams: tuple[Seam, ...]
    joins: tuple[Join, ...]
    measures: Mapping[str, float]
    finished: Mapping[str, float | None]
    warnings: tuple[str, ...] = ()
    order: str | None = None
    walking: VentPlan | None = None
    """What a narrow skirt lets her step, and the opening that gives more; None: it never binds."""

    def piece(self, name: str) -> Piece:
        """The piece of that name; KeyError is a defect of ours."""
        for piece in self.pieces:
            if piece.name == name:
                return piece
        raise KeyError(name)

    def as_cut(self) -> "Garment":
        """The dress as it is cut from the cloth, before any piece is cut again."""
        return replace(self, pieces=tuple(piece.was or piece for piece in self.pieces)) if self.is_cut_again else self

    @property
    def is_cut_again(self) -> bool:
        """A piece is cut again in hand."""
        return any(piece.was is not None for piece in self.pieces)

    def as_json(self) -> dict[str, Any]:
        """The whole of pieces.json."""
        return {
            "format": 1,
            "order": self.order,
            "pieces": [piece.as_json() for piece in self.pieces],
            "seams": [_told(seam) for seam in self.seams],
            "joins": [_told(join) for join in self.joins],
            "measures": dict(self.measures),
            "finished": dict(self.finished),
            "warnings": list(self.warnings),
        }
