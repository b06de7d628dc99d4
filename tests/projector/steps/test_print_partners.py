"""The same cross on every partner, in the steps' own records: on both sides of a seam it lies on the same place of the print.

Worked out from the NN.json lines, lay.json and pieces.json alone; the print is a ruler along the cloth that starts anew every repeat.
"""

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from typing import Any

import numpy as np
import pytest
from shapely.geometry import LineString, Point, Polygon

from projector.garment.pieces import Garment
from projector.lay.cloth import Budget, Cloth
from projector.lay.lay import Lay, Plan
from projector.lay.print_place import Motif, side_crosses, where_printed
from projector.lay.stage import Ask, lay_out
from projector.lay_jobs import motif_on, search_tools
from projector.steps.before import Printed
from projector.steps.make import make_steps
from tests.cutting.frames import cloth_from_table, find_piece_to_cloth
from tests.cutting.product import as_files, garment
from tests.cutting.simulator import prove
from tests.lay_checker.check import faults

Told = dict[str, Any]
REPEAT_MM = 160.0
SAME_MM = 0.2
"""Both sewing lines are curves flattened to 0.05 mm, records hold thousandths: twice that and a hair. A tenth of what the trade allows
at side seams (2 mm)."""
ON_LINE_MM = 0.1
STYLES: dict[str, Told] = {
    "princess": {"lining": False, "sleeve": "short"},
    "darts only": {"lining": False, "princess": "none", "sleeve": "short", "skirt": "a_line", "flare_mm": 90},
    "side zip": {"lining": False, "zip": "side"},
}


@lru_cache
def made(style: str, plan: Plan, repeat_mm: float) -> tuple[Told, Told, list[Told], list[list[str]]]:
    """lay.json, pieces.json, the steps' records, and each step's letters beside the crosses."""
    dress = garment("middle", STYLES[style])
    motif = _motif(dress)
    cloth = Cloth("main", 1500.0, up="along", repeat_along_mm=repeat_mm)
    lay = lay_out(dress, {"main": cloth}, Ask(plan, Budget(2, 1), motif=motif), search_tools())
    return (*_files(dress, lay, Printed(where_printed(dress, "main", motif), repeat_mm, side_crosses(dress, "main"))),)


def _motif(dress: Garment) -> Motif:
    front = next(piece.name for piece in dress.pieces if piece.name in ("front", "front centre"))
    return motif_on(dress, front, "bust", "-4 cm", "cm")


def _files(dress: Garment, lay: Lay, printed: Printed) -> tuple[Told, Told, list[Told], list[list[str]]]:
    steps = make_steps(dress, lay, printed=printed)
    letters = [[label.text for label in step.labels if len(label.text) == 1] for step in steps]
    return *as_files(dress, lay, steps), letters


def crosses(steps: list[Told]) -> Iterator[tuple[str | None, float, float]]:
    """(piece, x, y) of every cross for the print, cloth mm; None: the motif's own."""
    for step in steps:
        if step["cloth"] != "main" or "print" not in step["title"].lower():
            continue
        bars = [line for line in step["lines"] if line["kind"] == "cross"]
        for one, other in zip(bars[::2], bars[1::2], strict=True):
            assert one["piece"] == other["piece"]
            x, y = np.vstack([cloth_from_table(bar["mm"], step["cloth_at"]) for bar in (one, other)]).mean(axis=0)
            yield one["piece"], float(x), float(y)


def on_side_seams(lay: Told, pieces: Told, steps: list[Told]) -> dict[tuple[str, str], list[tuple[float, float]]]:
    """By seam and piece: (how far up its side seam from the lower end, place along the cloth) of each cross that stands on it."""
    found: dict[tuple[str, str], list[tuple[float, float]]] = {}
    every = list(crosses(steps))
    by_name = {piece["name"]: piece for piece in pieces["pieces"]}
    for seam in (one for one in pieces["seams"] if any(_edge(by_name, *each)["kind"] == "side" for each in one["a"])):
        for run in (seam["a"], seam["b"]):
            points = _upward([_edge(by_name, *each)["points"] for each in run])
            for placed in (one for one in lay["placed"] if one["piece"] == run[0][0]):
                for half in find_piece_to_cloth(by_name[run[0][0]], placed).halves(points):
                    line = LineString(half)
                    near = [(x, y) for piece, x, y in every if piece == run[0][0] and line.distance(Point(x, y)) < ON_LINE_MM]
                    found.setdefault((seam["name"], run[0][0]), []).extend((float(line.project(Point(at))), at[0]) for at in near)
    return {key: sorted(places) for key, places in found.items() if places}


def _edge(by_name: dict[str, Told], piece: str, name: str) -> Told:
    return next(edge for edge in by_name[piece]["edges"] if edge["name"] == name)


def _upward(edges: list[list[list[float]]]) -> list[list[float]]:
    """A run of edges as one line from its lower end; a side dart's mouth counts as far up as it is wide."""
    upward = [points if points[0][1] > points[-1][1] else points[::-1] for points in edges]
    return [at for points in sorted(upward, key=lambda points: -points[0][1]) for at in points]


def apart(one: float, other: float) -> float:
    """How far two places lie from each other on the print."""
    return abs((one - other + REPEAT_MM / 2) % REPEAT_MM - REPEAT_MM / 2)


CASES: list[tuple[str, Plan]] = [("princess", "open"), ("princess", "lengthwise"), ("darts only", "lengthwise"), ("side zip", "open")]


@pytest.mark.parametrize(("style", "plan"), CASES)
def test_both_sides_of_a_side_seam_show_the_same_place_of_the_print(style: str, plan: Plan) -> None:
    lay, pieces, steps, _ = made(style, plan, REPEAT_MM)
    found = on_side_seams(lay, pieces, steps)
    seams = {seam for seam, _ in found}
    assert len(seams) == 2, "bodice and skirt"
    for seam in seams:
        (one, other) = (sorted(places) for (name, _), places in found.items() if name == seam)
        heights = [sorted({round(up, 0) for up, _ in side}) for side in (one, other)]
        assert len(heights[0]) == len(heights[1]) > 0
        assert max(abs(a - b) for a, b in zip(*heights, strict=True)) <= 1.0, "sewn onto each other"
        for up, x in one:
            there = [y for far, y in other if abs(far - up) < 0.7]
            assert there
            assert max(apart(x, y) for y in there) <= SAME_MM
    heights_told = sum(len({round(up) for up, _ in places}) for places in found.values()) // 2
    assert heights_told == (3 if style == "darts only" else 4), "bust (not above a side dart), waist, waist of the skirt, hip"


@pytest.mark.parametrize(("style", "plan"), CASES[:3])
def test_centre_back_and_sleeves_show_the_motif(style: str, plan: Plan) -> None:
    lay, pieces, steps, _ = made(style, plan, REPEAT_MM)
    every = list(crosses(steps))
    ((_, motif_x, _),) = [one for one in every if one[0] is None]
    by_name = {piece["name"]: piece for piece in pieces["pieces"]}
    for name in ("back", "sleeve", "skirt front", "skirt back"):
        places = [one for one in lay["placed"] if one["piece"] == name]
        for placed in places:
            frame = find_piece_to_cloth(by_name[name], placed)
            low = min(x for x, _ in by_name[name]["seam_line"])
            ys = [y for _, y in by_name[name]["seam_line"]]
            x = 0.0 if name == "sleeve" else low
            middle = LineString(frame([(x, min(ys) - 1.0), (x, max(ys) + 1.0)]))
            mine = [(a, b) for piece, a, b in every if piece == name and middle.distance(Point(a, b)) < ON_LINE_MM]
            near = [at for at in mine if apart(at[0], motif_x) <= SAME_MM and Polygon(placed["outline"]).buffer(1.0).contains(Point(at))]
            assert near, f"{name} has the motif on its middle"


@pytest.mark.parametrize("repeat_mm", [0.0, REPEAT_MM])
def test_every_cross_has_a_letter_and_stands_in_a_light_before_its_piece_is_cut(repeat_mm: float) -> None:
    """Without a repeat too; and the simulator takes the steps as they are."""
    lay, pieces, steps, letters = made("princess", "open", repeat_mm)
    seen: set[str] = set()
    counted = 0
    for step, here in zip(steps, letters, strict=True):
        if "print" in step["title"].lower() and step["cloth"] == "main":
            bars = sum(line["kind"] == "cross" for line in step["lines"])
            assert len(here) * 2 == bars or (bars == 2 and not here), "the motif's cross alone needs no letter"
            assert set(here) <= set(step["say"].replace(",", " ").replace(".", " ").split())
            seen |= {line["piece"] for line in step["lines"] if line["kind"] == "cross" and line["piece"]}
            counted += len(here)
            x0, y0, x1, y1 = lay["parts"][step["part"]]["rect"]
            for _, x, y in crosses([step]):
                assert x0 - 0.01 <= x <= x1 + 0.01
                assert y0 - 0.01 <= y <= y1 + 0.01
        elif step["op"] == "cut" and step["cloth"] == "main":
            cut = {line["piece"] for line in step["lines"] if line["kind"] == "cut" and line["when"] == "now"} - {None}
            assert {name for name in cut if name in ("back", "front side", "skirt back", "sleeve")} <= seen, cut
    assert counted >= 14
    assert [str(fault) for fault in prove(lay, pieces, steps)] == []


def test_sides_that_do_not_match_are_found() -> None:
    """The test's own ruler: a back laid 3 mm off is 3 mm off."""
    lay, pieces, steps, _ = made("princess", "lengthwise", REPEAT_MM)
    found = on_side_seams(lay, pieces, steps)
    name = next(seam for seam, piece in found if piece == "back")
    one, other = (found[name, piece] for piece in ("front side", "back"))
    assert max(apart(a + 3.0, b) for (_, a), (_, b) in zip(one, other, strict=True)) == pytest.approx(3.0, abs=SAME_MM)


def test_a_motif_taped_on_the_cloth_stays_there_and_the_rest_lies_round_it() -> None:
    """Typed without a repeat: 40 cm from the cut end, 50 cm from the selvedge."""
    dress = garment("middle", STYLES["princess"])
    motif = replace(_motif(dress), at=(400.0, 500.0))
    cloth = Cloth("main", 1500.0, up="along")
    lay = lay_out(dress, {"main": cloth}, Ask("open", Budget(2, 1), motif=motif), search_tools())
    told, pieces, steps, _ = _files(dress, lay, Printed(where_printed(dress, "main", motif), 0.0, side_crosses(dress, "main")))
    assert faults(told, pieces) == []
    ((_, x, y),) = [one for one in crosses(steps) if one[0] is None]
    assert (x, y) == pytest.approx((400.0, 500.0), abs=SAME_MM)


@pytest.mark.parametrize("plan", ["open", "lengthwise", "off_centre"])
def test_without_a_repeat_the_window_is_the_motifs_own_piece(plan: Plan) -> None:
    """The first light shows its sewing line bright, its bust points, and its cross on its own centre line, before anything is cut."""
    lay, _, steps, _ = made("princess", plan, 0.0)
    step = next(step for step in steps if step["cloth"] == "main" and "print" in step["title"].lower())
    assert {line["piece"] for line in step["lines"] if line["kind"] == "sew" and line["when"] == "now"} == {"front centre"}
    assert any(line["kind"] == "point" and line["piece"] == "front centre" for line in step["lines"])
    ((_, x, y),) = [one for one in crosses([step]) if one[0] is None]
    outlines = [Polygon(placed["outline"]) for placed in lay["placed"] if placed["piece"] == "front centre"]
    assert min(outline.distance(Point(x, y)) for outline in outlines) < ON_LINE_MM
    assert not any(before["op"] == "cut" for before in steps[: steps.index(step)])


@pytest.mark.parametrize("plan", ["lengthwise", "off_centre"])
def test_a_placed_print_lies_outside(plan: Plan) -> None:
    """R6: folded right side out where the print is placed or matched, and said so; plain cloth right side in."""
    lay, _, steps, _ = made("princess", plan, 0.0)
    assert {region["ply"][0]["face"] for region in lay["fold"]["regions"]} == {"right"}
    fold = next(step["say"] for step in steps if step["op"] == "fold")
    assert "wrong sides together (print outside)" in fold
    plain = lay_out(garment("middle", STYLES["princess"]), {"main": Cloth("main", 1500.0)}, Ask(plan, Budget(1, 1)), search_tools())
    assert plain.regions[0].ply[0].face == "wrong"
