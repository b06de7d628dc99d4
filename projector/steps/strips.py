"""Bias strips for a binding: cut off one open layer after the pieces of their light, or off what is left, opened first. Cloth frame, mm.

A strip is no piece: its lines name none, nothing is freed, tagged or lifted.
"""

from collections.abc import Sequence
from dataclasses import replace

from shapely.geometry import LineString, Polygon
from shapely.ops import linemerge, unary_union

from calibration.errors import Refused
from calibration.units import length_text
from projector.garment.pieces import Line
from projector.lay.bias import JOIN_MM
from projector.lay.lay import Binding
from projector.steps.before import Bench, light_step, outline_of
from projector.steps.remains import Remains
from projector.steps.shown import AMOUNT_MM, NAME_MM, amount, cut_now
from projector.steps.stack import Kept
from projector.steps.step import Step, StepLabel, StepLine

WIDE_LABEL_MM = 24.0


def strips_in_light(bench: Bench, told: Binding, number: int) -> list[Step]:
    """What cuts the strips that part `number` of the bench's lay lights: the width taped, then one cut; [] where it lights none."""
    strips = [(place, strip) for place, strip in enumerate(told.strips, 1) if told.part_of[place - 1] == number]
    if not strips:
        return []
    regions = [region for region in bench.lay.regions if any(ply.id == told.ply for ply in region.ply)]
    bench = replace(bench, remains=Remains(regions, ()))  # a clean rest hangs on nothing that the pieces still need
    words, unit = bench.words, bench.unit
    wide = length_text(told.width_mm, unit)
    bar = _across(strips[0][1])
    labels = tuple(StepLabel(str(place), _middle(strip), NAME_MM) for place, strip in strips)
    ring = [StepLine("cut", None, "later", strip, True) for _, strip in strips]
    taped = bench.step(
        "check", words.text("strip_tape", width=wide), number, [StepLine("ruler", None, "now", bar), *ring],
        labels=(StepLabel(amount(told.width_mm, unit), bar[1], AMOUNT_MM),), needs=(words.said("need_lifted"),),
    )  # fmt: skip
    text = words.text(
        "strips_more" if len(strips) > 1 else "strips", count=len(strips), layers=words.layers(1), width=wide,
        whole=length_text(told.length_mm, unit), join=length_text(JOIN_MM, unit), all=len(told.strips),
    )  # fmt: skip
    needs = tuple(words.said(key) for key in ("need_proof", "need_light", "need_lifted"))
    lines = cut_now(_lines([strip for _, strip in strips]), None)
    return [taped, bench.step("cut", text, number, lines, labels=labels, through=(told.ply,), needs=needs, is_fact=True)]


def opened_rest(bench: Bench, first_part: int, was_folded: bool) -> list[Step]:
    """What is left beyond the lay, laid open in one layer, and the light on its corner and edge. `bench`: of that cloth alone."""
    (region,), words = bench.lay.regions, bench.words
    long = length_text(region.x[1] - region.x[0], bench.unit)
    name = words.piece(bench.lay.cloth.name.partition(",")[0])
    face = words.said("up" if region.ply[0].face == "right" else "down")
    label = StepLabel("×1", ((region.x[0] + region.x[1]) / 2, (region.y[0] + region.y[1]) / 2), WIDE_LABEL_MM)
    text = words.text("unfold_rest" if was_folded else "open_rest", cloth=name, long=long, face=face)
    plies = tuple(ply.id for ply in region.ply)
    need = words.said("need_lifted")
    return [
        bench.step("fold", text, first_part, outline_of(region), plies, labels=(label,), needs=(need,)),
        light_step(bench, first_part, region, words.said("need_folded")),
    ]


def refuse_strips_on_pieces(told: Binding | None, every: Sequence[Kept]) -> None:
    """Raise Refused where a strip lies on cloth that a piece keeps: a lay whose pieces changed since it was bound."""
    for one in every if told else ():
        if told and told.ply in one.placed.on and any(one.first.intersects(Polygon(strip)) for strip in told.strips):
            raise Refused(
                "A bias strip would be cut out of a piece.",
                f"{one.piece.name} has come to lie on it.",
                "Lay the order again, or move that piece on the phone: the strips are laid round it anew.",
            )


def _lines(strips: Sequence[Line]) -> list[LineString]:
    """The strips' edges, each once: neighbours share theirs."""
    every = unary_union([LineString([*strip, strip[0]]) for strip in strips])
    merged = linemerge(every) if every.geom_type == "MultiLineString" else every
    return [line for line in getattr(merged, "geoms", [merged]) if isinstance(line, LineString)]


def _middle(strip: Line) -> tuple[float, float]:
    return (sum(x for x, _ in strip) / len(strip), sum(y for _, y in strip) / len(strip))


def _across(strip: Line) -> Line:
    """Square across the strip at its middle, edge to edge."""
    (x, y), (ax, _), (bx, _) = _middle(strip), strip[0], strip[1]
    half = (bx - ax) / 4.0  # its end, along the cloth, is the width times root 2: half of it each way along the other diagonal
    return ((x - half, y + half), (x + half, y - half))
