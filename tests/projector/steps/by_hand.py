"""Rectangles laid by hand on one layer or on a fold: every number of their steps can be told with a ruler. mm."""

from collections.abc import Mapping, Sequence
from typing import Any

from shapely.geometry import LineString

from projector.garment.pieces import Edge, Garment, Piece
from projector.lay.lay import Fold, LaidCloth, Lay, Part, Placed, Ply, Region
from projector.steps.step import Step

Place = tuple[float, float]
ALLOWANCE_MM = 10.0
LIGHT = (0.0, 0.0, 1400.0, 800.0)


def rectangle(
    name: str, wide: float, tall: float, *, hem: float | None = None, fold: bool = False, grow: float = ALLOWANCE_MM, **more: Any
) -> Piece:
    """`wide` at the waist, `hem` at the bottom, `tall` down the body between the sewing lines; `grow` beyond on every edge but a fold."""
    low = wide if hem is None else hem
    left = 0.0 if fold else grow
    corners = ((0.0, 0.0), (wide, 0.0), (low, tall), (0.0, tall))
    names = (("waist", "waist"), ("side", "side"), ("hem", "hem"), ("centre", "centre"))
    edges = tuple(
        Edge(edge, kind, (corners[n], corners[(n + 1) % 4]), 0.0 if fold and kind == "centre" else grow, fold and kind == "centre")  # type: ignore[arg-type]
        for n, (edge, kind) in enumerate(names)
    )
    cut = ((-left, -grow), (wide + grow, -grow), (low + grow, tall + grow), (-left, tall + grow))
    part, cloth = more.pop("part", "skirt_front"), more.pop("cloth", "main")
    return Piece(name, part, cloth, cloth, fold, more.pop("count", 1), False, 90.0, edges, corners, cut, **more)


def placed(piece: Piece, at: Place, on: Sequence[str], part: int = 0) -> Placed:
    """The garment's length along the cloth: cloth (x, y) = piece (y, x) + at, `at` being where its cut line begins."""
    ring = [(y, x) for x, y in piece.cut_line]
    x0, y0 = min(x for x, _ in ring), min(y for _, y in ring)
    outline = tuple((x - x0 + at[0], y - y0 + at[1]) for x, y in ring)
    region, is_on_fold = on[0].split(".")[0], piece.on_fold and len(on) > 1
    return Placed(piece.name, piece.of, piece.cloth, region, len(on), tuple(on), part, outline, 0.0, 0, False, is_on_fold,
                  (at[0] - x0, at[1] - y0))  # fmt: skip


def lay(every: Sequence[Placed], *, layers: int = 1, parts: Sequence[Part] = (Part(0, LIGHT, None),), long: float = 1400.0) -> Lay:
    """One length of cloth 800 mm deep, open (one layer) or folded once along y = 0 (two)."""
    plies = tuple(Ply(f"main-1.{n + 1}", (0.0, long), (0.0, 800.0), 0, "right" if (layers - n) % 2 else "wrong") for n in range(layers))
    folds = (Fold("y0", (plies[0].id, plies[1].id)),) if layers > 1 else ()
    region = Region("main-1", 0, (0.0, long), (0.0, 800.0), plies, folds)
    cloth = LaidCloth("main", 820.0 * layers, (), "none", 4.0, 10.0, 10.0, 0.4)
    return Lay(cloth, "lengthwise" if layers > 1 else "open", (region,), tuple(every), tuple(parts), long, 0.7, 1, 1)


def garment(pieces: Sequence[Piece], measures: Mapping[str, float] | None = None) -> Garment:
    """Nothing but the pieces."""
    return Garment(tuple(pieces), (), (), measures or {}, {})


def cuts(steps: Sequence[Step]) -> list[list[LineString]]:
    """Per cut step the lines to cut now."""
    return [
        [LineString([*line.mm, line.mm[0]] if line.closed else line.mm) for line in step.lines if line.kind == "cut" and line.when == "now"]
        for step in steps
        if step.op == "cut"
    ]
