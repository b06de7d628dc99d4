"""Tape checks: what her tape must read between two edges before the first cut, worded as she would chalk it."""

from dataclasses import dataclass
from typing import Literal

from shapely.geometry import LineString, Polygon

from calibration.units import Unit
from projector.garment.pieces import Line
from projector.steps.shown import amount, as_line, level_run
from projector.steps.stack import Kept, sound

MOST = 3


@dataclass(frozen=True, slots=True)
class Taped:
    """One length to tape. `mm`: edge to edge; `sewn_mm`: between the sewing lines; `line`: cloth frame; `how`: key of its words."""

    where: str
    how: Literal["fold_to_edge", "edge_to_edge", "down_middle"]
    line: Line
    mm: float
    sewn_mm: float

    def text(self, unit: Unit) -> str:
        """`hip 11 3/4 = 9 3/4 + 2`."""
        rest = self.mm - self.sewn_mm
        told = f"{self.where} {amount(self.mm, unit)}".strip()
        return told if rest < 0.5 else f"{told} = {amount(self.sewn_mm, unit)} + {amount(rest, unit)}"


def taped(kept: Kept) -> list[Taped]:
    """Widths at up to three levels and the length; every piece has at least its length."""
    told: list[Taped] = []
    names = [name for name in ("bust", "waist", "hip", "hem", "biceps", "knee", "underbust", "underarm") if name in kept.piece.levels]
    for name in names:
        run = level_run(kept, name)
        if run is not None and len(told) < MOST:
            told.append(_edge_to_edge(kept, name, run))
    return [*told, _length(kept)]


def _edge_to_edge(kept: Kept, name: str, run: LineString) -> Taped:
    """The level's run drawn on to the cut edges on both sides."""
    points = list(run.coords)
    whole = LineString([_beyond(points[1], points[0]), *points[1:-1], _beyond(points[-2], points[-1])])
    inside = kept.true.intersection(whole)
    runs = [one for one in getattr(inside, "geoms", [inside]) if isinstance(one, LineString) and one.distance(run.centroid) < 5.0]
    line = max(runs, key=lambda one: float(one.length), default=run)
    return Taped(name, "edge_to_edge" if kept.folds.is_empty else "fold_to_edge", as_line(line)[0], float(line.length), float(run.length))


def _beyond(a: tuple[float, ...], b: tuple[float, ...], far: float = 120.0) -> tuple[float, float]:
    size = max(((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5, 1e-9)
    return (b[0] + (b[0] - a[0]) / size * far, b[1] + (b[1] - a[1]) / size * far)


def _length(kept: Kept) -> Taped:
    """Down the piece through its middle, edge to edge."""
    cut = sound(Polygon(kept.piece.cut_line))
    middle = cut.representative_point()
    top, bottom = cut.bounds[1] - 5.0, cut.bounds[3] + 5.0
    best: list[LineString] = []
    for shape in (cut, sound(Polygon(kept.piece.seam_line))):
        inside = shape.intersection(LineString([(middle.x, top), (middle.x, bottom)]))
        runs = [one for one in getattr(inside, "geoms", [inside]) if isinstance(one, LineString)]
        best.append(max(runs, key=lambda one: float(one.length), default=LineString([(middle.x, top), (middle.x, bottom)])))
    return Taped(
        "",
        "down_middle",
        kept.at([(x, y) for x, y in best[0].coords]),
        float(best[0].length),
        min(float(best[1].length), float(best[0].length)),
    )
