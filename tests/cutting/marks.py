"""Marks as the steps make them: snips, dart tips, pins. Every one on every layer, before that layer leaves the table."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from shapely.geometry import LineString, Point
from shapely.ops import unary_union

if TYPE_CHECKING:
    from tests.cutting.cloth import Copy
    from tests.cutting.simulator import Run
    from tests.cutting.table import Place

Told = Mapping[str, Any]
SNIP_MM = (3.0, 6.5)
"""A snip is 4 mm (3 to 6) plus half a millimetre of hand."""
SAME_MM = 1.5
"""A mark that moved by less is the same mark: less than 1/16 in."""
CLEAR_MM = 2.9
"""A snip never comes nearer to the sewing line than 3 mm."""


def check_marks(run: "Run", step: Told | None, lines: list[tuple[LineString, Told]]) -> None:
    """Take down what a mark step marks; with step None, at the end, tell what was never marked."""
    for number, place in enumerate([*run.table.places, *run.table.again]):
        is_again = number >= len(run.table.places)
        if step is None:
            for key, where in _wanted(place).items():
                for copy in place.copies:
                    if is_again and _stands(run, key, where, place, copy):
                        continue
                    if f"{key} {copy.ply}" not in run.marked.get(number, set()):
                        run.tell("marks", f"{copy.piece} on {copy.ply}: {key} at {where.x:.0f}, {where.y:.0f} never marked")
            continue
        here = [copy for copy in place.copies if copy.ply in step["through"] and not copy.is_lifted and not is_again]
        here += [
            copy
            for copy in place.copies
            if copy.ply in step["through"]
            and (copy.is_lifted and copy.is_on_crosses if is_again else copy.is_trimmed and not copy.is_on_crosses)
        ]
        mine = [line for line in lines if line[1]["piece"] in {place.piece["name"], None} and line[1]["when"] == "mark"]
        if not here or not mine:
            continue
        _check_snips(run, place, [line for line, told in mine if told["kind"] == "notch"])
        points = unary_union([line for line, told in mine if told["kind"] in {"notch", "point", "dart"}])
        for key, where in _wanted(place).items():
            if not points.is_empty and points.distance(where) <= (_reach(place) if key.startswith("notch") else 6.0):
                run.marked.setdefault(number, set()).update(f"{key} {copy.ply}" for copy in here)


def _stands(run: "Run", key: str, where: Point, place: "Place", copy: "Copy") -> bool:
    """The mark made when the piece was first cut still holds: the same place, and for a snip the same edge there."""
    before = next(one for one in run.table.places if one.copies is place.copies)
    kind = key.split(" ", 1)[0]
    near = [old for told, old in _wanted(before).items() if told.startswith(kind) and old.distance(where) < SAME_MM]
    if not near or kind != "notch":
        return bool(near)
    assert copy.again is not None
    edges = [outline.exterior.interpolate(outline.exterior.project(where)) for outline in (copy.again, copy.trimmed or copy.keep)]
    return bool(edges[0].distance(edges[1]) < SAME_MM)


def _wanted(place: "Place") -> dict[str, Point]:
    """Every notch, dart tip and pin of this piece, cloth frame."""
    told: dict[str, Point] = {}
    let_out = {line["edge"] for line in place.piece["first_cut"]}
    for number, notch in enumerate(place.piece["notches"]):
        if notch["edge"] not in let_out:
            for half, where in enumerate(place.to_cloth.halves([notch["at"]])):
                told[f"notch {number}.{half}"] = Point(where[0])
    for number, dart in enumerate(place.piece["darts"]):
        tips = dart["legs"] if len(dart["legs"]) == 4 else dart["legs"][1:2]
        for count, tip in enumerate(tips):
            for half, where in enumerate(place.to_cloth.halves([tip])):
                told[f"dart {number}.{count}.{half}"] = Point(where[0])
    for number, at in enumerate(place.piece.get("points", ())):
        for half, where in enumerate(place.to_cloth.halves([at])):
            told[f"pin {number}.{half}"] = Point(where[0])
    return told


def _reach(place: "Place") -> float:
    """How far from the sewing line a snip's inner end may stand."""
    return float(max((edge["allowance_mm"] for edge in place.piece["edges"]), default=0.0)) * 1.5 + 12.0


def _check_snips(run: "Run", place: "Place", snips: list[LineString]) -> None:
    sewn = place.to_cloth.shape(place.piece["seam_line"]).exterior
    one = place.copies[0]
    outer = one.again if place in run.table.again and one.again is not None else one.trimmed or one.keep
    for snip in snips:
        ends = sorted((Point(snip.coords[0]), Point(snip.coords[-1])), key=outer.exterior.distance)
        if outer.intersection(snip).length < snip.length / 2:
            continue  # another piece's snip in the same step
        if not SNIP_MM[0] - 0.5 <= snip.length <= SNIP_MM[1] or ends[0].distance(outer.exterior) > 0.5:
            run.tell(
                "marks", f"{place.piece['name']}: a snip of {snip.length:.1f} mm, {ends[0].distance(outer.exterior):.1f} from the edge"
            )
        elif ends[1].distance(sewn) < CLEAR_MM and ends[0].distance(sewn) >= SNIP_MM[0] + CLEAR_MM:
            run.tell("marks", f"{place.piece['name']}: a snip ends {ends[1].distance(sewn):.1f} mm from the sewing line")
