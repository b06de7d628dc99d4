"""What is done before the first cut of a length: press, measure, fold, count layers, weights, light to the cloth, print."""

from collections.abc import Mapping
from dataclasses import dataclass

from shapely.geometry import LineString
from shapely.ops import unary_union

from calibration.units import Unit, length_text
from projector.garment.pieces import Point
from projector.lay.lay import Lay, Region
from projector.lay.print_place import SideCross
from projector.steps.remains import Remains
from projector.steps.shown import amount
from projector.steps.stack import fold_line
from projector.steps.step import Op, Step, StepLabel, StepLine
from projector.steps.words import Words

CROSS_MM = 25.0
INTERFACING = "interfacing"
"""The cloth with glue on it: no iron before it is laid on."""


@dataclass(frozen=True, slots=True)
class Printed:
    """A placed print. `places`: by piece (piece frame) where the motif sits, first; then where its row crosses each partner.
    `repeat_mm`: how far along the cloth the same motif stands again, 0 where that was not said; `sides`: places of the side seams."""

    places: Mapping[str, Point]
    repeat_mm: float = 0.0
    sides: tuple[SideCross, ...] = ()


@dataclass(frozen=True, slots=True)
class Bench:
    """What every step of one length of cloth needs to be written down."""

    lay: Lay
    bundle: int
    remains: Remains
    words: Words
    unit: Unit
    printed: Printed | None = None

    def step(
        self, op: Op, text: tuple[str, str], part: int, lines: list[StepLine] | None = None, all_of: tuple[str, ...] = (), **more: object
    ) -> Step:
        """A step with the layers that lie under its lines (or all of a region, whose edges they are) and their height."""
        drawn = lines or []
        on_cloth = [line for line in drawn if line.kind not in ("grid", "cross")] or drawn
        shape = unary_union([stroke(line) for line in on_cloth]) if drawn else LineString()
        taken = {*more.get("through", ()), *(handle.ply for handle in more.get("handles", ()))}  # type: ignore[attr-defined, misc]
        plies = tuple(all_of) or self.remains.in_order({*self.remains.under(shape), *taken})
        title, say = text
        return Step(
            title=title, say=say, op=op, cloth=self.lay.cloth.name, bundle=self.bundle, part=part, plies=plies,
            lines=tuple(drawn), height_mm=len(plies) * self.lay.cloth.ply_mm, **more,  # type: ignore[arg-type]
        )  # fmt: skip


def stroke(line: StepLine) -> LineString:
    """The line as geometry; a single place as a hair."""
    if len(line.mm) == 1:
        (x, y) = line.mm[0]
        return LineString([(x, y), (x + 0.01, y)])
    return LineString([*line.mm, line.mm[0]] if line.closed else line.mm)


def cross(x: float, y: float) -> list[StepLine]:
    """A light cross."""
    return [
        StepLine("cross", None, "now", ((x - CROSS_MM, y), (x + CROSS_MM, y))),
        StepLine("cross", None, "now", ((x, y - CROSS_MM), (x, y + CROSS_MM))),
    ]


def set_up(bench: Bench, first_part: int) -> list[Step]:
    """All that is done before the first cut of this length but placing its print."""
    lay, words = bench.lay, bench.words
    regions = [region for region in lay.regions if region.bundle == bench.bundle]
    named = {"cloth": words.piece(lay.cloth.name), "width": length_text(lay.cloth.width_mm, bench.unit)}
    width = StepLabel(amount(lay.cloth.width_mm, bench.unit), _middle(regions[0]), 24.0)
    long = StepLabel(
        amount(lay.cloth.lengths_mm[bench.bundle] if lay.cloth.lengths_mm else lay.cloth_needed_mm, bench.unit), _middle(regions[0]), 24.0
    )
    kind = "prepare_fusible" if lay.cloth.name == INTERFACING else "prepare"
    shrunk = () if lay.cloth.name == INTERFACING else (words.said("need_shrunk"),)
    told = [
        bench.step("prepare", words.text(kind, **named), first_part, labels=(long,), needs=shrunk),
        bench.step("check", words.text("width", **named), first_part, labels=(width,), needs=(words.said("need_square"),)),
        _fold(bench, first_part, regions, named),
    ]
    every = tuple(ply.id for ply in regions[0].ply)
    counted = (words.said("need_counted"),)
    told += [_layers(bench, first_part, region) for region in regions]
    told.append(bench.step("prepare", words.text("weights"), first_part, outline_of(regions[0]), every, needs=counted))
    told.append(light_step(bench, first_part, regions[0], words.said("need_weights")))
    return told


def _middle(region: Region) -> tuple[float, float]:
    return ((region.x[0] + min(region.x[1], region.x[0] + 800.0)) / 2, (region.y[0] + region.y[1]) / 2)


def outline_of(region: Region) -> list[StepLine]:
    """The edges of a stack of layers, and its folds."""
    (x0, x1), (y0, y1) = region.x, region.y
    lines = [StepLine("cloth", None, "mark", ((x0, y0), (x1, y0), (x1, y1), (x0, y1)), True)]
    seen = set()
    for fold in region.folds:
        line = fold_line(region, fold.side, fold.joins)
        key = tuple(round(value, 3) for value in line.bounds)
        if key not in seen:
            seen.add(key)
            lines.append(StepLine("fold", None, "now", tuple((float(x), float(y)) for x, y in line.coords)))
    return lines


def _fold(bench: Bench, part: int, regions: list[Region], named: dict[str, str]) -> Step:
    words, lay, top, unit = bench.words, bench.lay, regions[0], bench.unit
    face = words.said("up" if top.ply[0].face == "right" else "down")
    beyond = [ply.y[0] - top.y[0] for ply in top.ply]  # in quarters: how far the backs reach beyond the fronts' fold
    short = max(beyond) + lay.cloth.selvedge_mm if any(beyond) else max(ply.x[0] - top.x[0] for ply in top.ply)
    is_out = len(top.ply) > 1 and top.ply[0].face == "right"
    sides, edge = ("sides_out", "edge_under") if is_out else ("sides_in", "edge_over")
    text = words.text(
        lay.plan, sides=words.said(sides), edge=words.said(edge), face=face, short=length_text(short, unit),
        along=length_text(top.x[1] - max(top.x[0], 0.0), unit),
        depth=length_text(top.y[1] - max(top.y[0], 0.0) + lay.cloth.selvedge_mm, unit),
        whole=length_text(4.0 * top.x[1] + 2.0 * short, unit), **named,
    )  # fmt: skip
    labels = tuple(StepLabel(str(len(region.ply)), _middle(region), 40.0) for region in regions)
    needs = (words.said("need_width", width=named["width"]),)
    return bench.step("fold", text, part, outline_of(top), tuple(ply.id for ply in top.ply), labels=labels, needs=needs)


def _layers(bench: Bench, part: int, region: Region) -> Step:
    """The bar of light across the folded layers, inside the part's light."""
    x0, _, x1, _ = bench.lay.parts[part].rect
    x = (max(x0, region.x[0]) + min(x1, region.x[1])) / 2
    (y0, y1) = region.y
    bar = StepLine("ruler", None, "now", ((x, y0), (x, y1)))
    key = "layers" if region.folds else "layers_open"
    text = bench.words.text(key, layers=bench.words.layers(len(region.ply)), depth=length_text(y1 - y0, bench.unit))
    label = StepLabel(amount(y1 - y0, bench.unit), (x + 60.0, (y0 + y1) / 2), 24.0)
    count = StepLabel(f"×{len(region.ply)}", (x - 60.0, (y0 + y1) / 2), 40.0)
    return bench.step("check", text, part, [bar], labels=(label, count), needs=(bench.words.said("need_folded"),))


def corners(region: Region, rect: tuple[float, float, float, float]) -> tuple[tuple[float, float], tuple[float, float]]:
    """Fold corner and a place along the fold (or the near edge) inside this light."""
    across = [fold for fold in region.folds if fold.side in ("y0", "y1")]
    y = fold_line(region, across[0].side, across[0].joins).coords[0][1] if across else region.y[0]
    return (region.x[0], y), (min(region.x[1], rect[2]), y)


def light_step(bench: Bench, part: int, region: Region, need: str) -> Step:
    """The light moved to the cloth: its fold corner (or corner), then its edge."""
    (ax, ay), (bx, by) = corners(region, bench.lay.parts[part].rect)
    fold = [line for line in outline_of(region) if line.kind == "fold"]
    return bench.step(
        "place",
        bench.words.text("place" if region.folds else "place_open"),
        part,
        [*cross(ax, ay), *cross(bx, by), *fold],
        tuple(ply.id for ply in region.ply),
        needs=(need,),
    )
