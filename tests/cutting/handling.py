"""Pieces in hand: cards, tags, lifts, fusing, trimming, hanging, and what must be true at the end."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from shapely.geometry import LineString, Point
from shapely.ops import unary_union

from tests.cutting.cloth import Copy, covers, kerf_of
from tests.cutting.marks import check_marks
from tests.cutting.table import Card

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

    from tests.cutting.simulator import Run
    from tests.cutting.table import Place

Told = Mapping[str, Any]


def part(run: "Run", step: Told, lines: list[tuple[LineString, Told]]) -> None:
    """A card goes in under these layers, where the step's lines are."""
    if not lines or not step["through"]:
        run.tell("card", "a card without layers or without a place")
        return
    region = run.table.layers[step["through"][0]].region
    stack, copies = run.table.stack_at(region, unary_union([line for line, _ in lines]))
    here = [
        layer
        for layer in run.table.layers.values()
        if layer.region == region and any(part.intersection(stack).area > 100 for part in layer.parts)
    ]
    here.sort(key=lambda layer: layer.depth)
    ids = [layer.id for layer in here]
    if ids[: len(step["through"])] != list(step["through"]) or len(ids) == len(step["through"]):
        run.tell("card", f"over the card lie {step['through']}, on the table {ids}")
        return
    depth = run.table.layers[step["through"][-1]].depth
    over = [copy for copy in copies if copy.ply in step["through"] and not copy.is_lifted]
    run.table.cards.append(Card(region, depth, stack, over))


def named_by(run: "Run", step: Told) -> list[Copy]:
    """The copies that the handles name (fusing and trimming: wherever they lay)."""
    return [copy for one in step["handles"] for copy in _meant(run, step, run.table.copies_of(one["piece"], one["ply"]))]


def _meant(run: "Run", step: Told, copies: list[Copy]) -> list[Copy]:
    """Of two copies on one layer those still there of this part; where none is (larger than the light), the loose one."""
    if step["op"] in {"fuse", "hang", "cut"} or len(copies) == 1:
        return copies
    there = [copy for copy in copies if not copy.is_lifted] or copies
    return [copy for copy in there if copy.part == step["part"]] or [copy for copy in there if copy.is_free]


def handle(run: "Run", step: Told) -> None:
    """Tag, lift, fuse or hang."""
    if not step["handles"]:
        run.tell("ids", f"a {step['op']} step takes nothing")
    named = named_by(run, step)
    named.sort(key=lambda copy: run.table.layers[copy.ply].depth)
    for copy in named:
        if step["op"] == "tag":
            copy.is_tagged = True
        elif step["op"] == "lift":
            lift(run, copy)
        elif not copy.is_lifted:
            run.tell("lift", f"{copy.piece} on {copy.ply} is not in hand for {step['op']}")
        elif step["op"] == "fuse":
            copy.is_fused = True
    if step["op"] == "lift":
        run.table.drop_waste()


def lift(run: "Run", copy: Copy) -> None:
    """Take one copy off the table."""
    who = f"{copy.piece} on {copy.ply}"
    if copy.is_lifted:
        run.tell("lift", f"{who} is lifted twice")
        return
    layer = run.table.layers[copy.ply]
    held = layer.holding(copy)
    if held is None:
        run.tell("lift", f"{who} is gone")
        return
    if not copy.is_tagged:
        run.tell("tag", f"{who} has no tag")
    if not copy.is_free:
        run.tell("lift", f"{who} is not cut loose")
    for other in run.table.layers.values():
        if (
            other.region == layer.region
            and other.depth < layer.depth
            and any(part.intersection(copy.inner).area > 25 for part in other.parts)
        ):
            run.tell("lift", f"{who} lies under {other.id}")
    copy.cloth = held
    if copy.is_free:
        layer.parts = [part for part in layer.parts if part is not held]


def finish(run: "Run") -> None:
    """What must be true when all is done."""
    run.number = 0
    for place in run.table.places:
        for copy in place.copies:
            check_end(run, copy)
    check_marks(run, None, [])
    for place in run.table.again:
        for copy in place.copies:
            check_again(run, place, copy)
    wanted = {place.piece["name"]: int(place.piece["cut"]["count"]) for place in run.table.places}
    for name, count in wanted.items():
        copies = [copy for place in run.table.places if place.piece["name"] == name for copy in place.copies]
        whole = sum(1.0 / (1 + len(copy.mates)) for copy in copies)
        if abs(whole - count) > 1e-9:
            run.tell("end", f"{name}: {whole:g} cut, {count} wanted")


def check_end(run: "Run", copy: Copy) -> None:
    """One copy at the end: whole, cut to its line, trimmed."""
    who = f"{copy.piece} on {copy.ply}"
    if copy.cloth is None:
        run.tell("end", f"{who} was never lifted")
        return
    if copy.is_again:
        return
    if copy.trimmed is None and covers(copy.cloth, copy.inner) > 0.3:
        run.tell("end", f"{who} lacks {covers(copy.cloth, copy.inner):.1f} mm2")
    if copy.trimmed is None and covers(copy.outer, copy.cloth) > 2.0:
        run.tell("end", f"{who} was not cut to its line")
    if copy.trimmed is not None and not copy.is_trimmed:
        run.tell("trim", f"{who} was never trimmed to its cut line")


def trim(run: "Run", step: Told, now: list[LineString]) -> None:
    """Cut fused blocks in hand along these lines."""
    if not now:
        return
    blade = kerf_of(now)
    if not step["handles"]:
        run.tell("air", "a cut that names neither layers nor pieces in hand")
    if step["frees"]:
        run.tell("frees", "a re-trim frees nothing new")
    for copy in named_by(run, step):
        if copy.is_lifted and not copy.keep.intersects(blade):
            continue  # the other copy of a pair, under another light
        if copy.again is not None and copy.cloth is not None and (copy.trimmed is None or copy.is_trimmed):
            cut_again(run, copy, blade)
            continue
        if copy.trimmed is None or copy.cloth is None or not copy.is_fused:
            run.tell("trim", f"{copy.piece} on {copy.ply} is no fused block in hand")
            continue
        left = [part for part in getattr(copy.cloth.difference(blade), "geoms", [copy.cloth]) if part.intersection(copy.trimmed).area > 1.0]
        if len(left) != 1:
            run.tell("trim", f"{copy.piece} on {copy.ply} falls into {len(left)}")
            continue
        copy.cloth, copy.is_trimmed = left[0], True
        if covers(left[0], copy.trimmed.buffer(-0.3)) > 0.3 or covers(copy.trimmed.buffer(0.6), left[0]) > 2.0:
            run.tell("trim", f"{copy.piece} on {copy.ply} does not end at its cut line")


NOT_TRIMMED_MM = 1.7
"""A sixteenth of an inch (1.6 mm) and a hair: less is not trimmed with shears (common practice, no source)."""


SEWN_MM = 6.4
"""The least allowance that can be sewn: a quarter of an inch (seam allowance pages)."""


def lay_back(run: "Run", lines: list[tuple[LineString, Told]]) -> None:
    """Pieces that are cut again: laid back when both crosses of the step stand on their cut edge, apart from each other."""
    crosses = [line for line, told in lines if told["kind"] == "cross"]
    middles = [one.intersection(other) for here, one in enumerate(crosses) for other in crosses[here + 1 :] if one.intersects(other)]
    for copy in run.table.copies:
        if copy.again is None or copy.cloth is None:
            continue
        mine = [middle for middle in middles if middle.distance(copy.cloth.exterior) < 0.5]
        copy.is_on_crosses = len(mine) == 2 and mine[0].distance(mine[1]) > 60.0


def cut_again(run: "Run", copy: Copy, blade: "BaseGeometry") -> None:
    """A piece in hand, laid back by two points of its edge, cut to the line of the changed dress."""
    who = f"{copy.piece} on {copy.ply}"
    assert copy.again is not None
    assert copy.cloth is not None
    if not copy.is_on_crosses:
        run.tell("again", f"{who} was not laid back by two points of its cut edge")
    left = [part for part in getattr(copy.cloth.difference(blade), "geoms", [copy.cloth]) if part.intersection(copy.again).area > 1.0]
    if len(left) != 1:
        run.tell("again", f"{who} falls into {len(left)}")
        return
    copy.cloth, copy.is_again, copy.is_tagged = left[0], True, False
    if covers(left[0], copy.again.buffer(-0.3)) > 0.3:
        run.tell("again", f"{who} lacks {covers(left[0], copy.again.buffer(-0.3)):.1f} mm2 of its new outline")


def check_again(run: "Run", place: "Place", copy: Copy) -> None:
    """At the end: nothing stands out of the new outline that shears could take off, every sewing line has an allowance, the tag is on."""
    who = f"{copy.piece} on {copy.ply}"
    if copy.again is None or copy.cloth is None:
        return
    if covers(copy.again.buffer(NOT_TRIMMED_MM), copy.cloth) > 2.0:
        run.tell("again", f"{who} does not end at its new line")
    if covers(copy.cloth, copy.again.buffer(-0.4)) > 0.3:
        run.tell("again", f"{who} lacks cloth for its new outline")
    folds = unary_union([line.buffer(0.1) for a, b, line in run.table.folds if copy.ply in (a, b)])
    edge = copy.cloth.exterior.difference(folds) if copy.mates else copy.cloth.exterior
    for one in place.piece["edges"]:
        for sewn in place.to_cloth.halves(one["points"]) if one.get("points") and not one["fold"] and one["kind"] != "dart" else ():
            inside = [Point(at) for at in sewn[1:-1] if copy.cloth.buffer(0.5).contains(Point(at))]
            least = min((edge.distance(at) for at in inside), default=0.0) if len(inside) == len(sewn[1:-1]) else -1.0
            if len(sewn) > 2 and least < min(SEWN_MM, one["allowance_mm"]) - NOT_TRIMMED_MM:
                run.tell("again", f"{who}: {least:.1f} mm of allowance left at {one['name']}")
    if copy.is_again and not copy.is_tagged:
        run.tell("tag", f"{who} was not tagged again")
