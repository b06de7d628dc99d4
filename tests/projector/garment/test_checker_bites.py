"""Each spoiled draft turns the property that it breaks red; the good ones it was made from are clean.

A check that cannot fail proves nothing: every property of the checker is broken here at least once.
"""

import json
from collections.abc import Callable
from functools import lru_cache
from typing import Any

import numpy as np
import pytest

from projector.api import pieces_for
from tests.garment_checker.check import faults
from tests.garment_checker.continuity import moved
from tests.projector.garment.spoil import Told, bowed, edge_of, fresh, piece_with, redraw, rejoin, scaled
from tests.published.size_rows import size_rows

BODY = size_rows()["misses 12"] | {"underbust": 740.0}
LONG = {"sleeve": "long"}
GOWN = {"sleeve": "none", "skirt": "tapered", "length": "full"}
Spoil = Callable[[Told], None]
SPOILS: list[tuple[str, str, dict[str, Any], Spoil]] = []


def spoils(property_name: str, style: dict[str, Any] | None = None) -> Callable[[Spoil], Spoil]:
    """Register a spoil: the property it must turn red, the style it is made from."""

    def keep(spoil: Spoil) -> Spoil:
        SPOILS.append((property_name, (spoil.__name__), LONG if style is None else style, spoil))
        return spoil

    return keep


@lru_cache(maxsize=4)
def _good(style: tuple[tuple[str, Any], ...]) -> Told:
    return pieces_for(dict(BODY), dict(style))


def good(style: dict[str, Any]) -> Told:
    """A fresh copy of a good draft, as a reader of the file gets it."""
    return fresh(json.loads(json.dumps(_good(tuple(sorted(style.items()))))))


@spoils("format")
def a_piece_without_cut_line(told: Told) -> None:
    del told["pieces"][0]["cut_line"]


@spoils("format")
def a_seam_to_an_edge_that_is_not_there(told: Told) -> None:
    told["seams"][0]["a"] = [[told["seams"][0]["a"][0][0], "nowhere"]]


@spoils("P01")
def a_gap_of_a_millimetre(told: Told) -> None:
    edge = edge_of(piece_with(told, "side"), "side")
    edge["points"] = [(edge["points"][0][0] + 1.0, edge["points"][0][1]), *edge["points"][1:]]


@spoils("P01")
def a_sewing_line_beside_its_edges(told: Told) -> None:
    piece = told["pieces"][0]
    piece["seam_line"] = [(x, y + 0.5) for x, y in piece["seam_line"]]


@spoils("P02")
def an_outline_that_crosses_itself(told: Told) -> None:
    piece = piece_with(told, "armhole")
    redraw(piece, edge_of(piece, "armhole"), bowed(400.0))


@spoils("P02")
def a_cut_line_with_a_loop(told: Told) -> None:
    ring = told["pieces"][0]["cut_line"]
    ring[0], ring[len(ring) // 3] = ring[len(ring) // 3], ring[0]


@spoils("P03")
def a_corner_inside_a_princess_edge(told: Told) -> None:
    piece = piece_with(told, "princess")

    def kink(points: Any) -> Any:
        points = points.copy()
        points[len(points) // 3] += (4.0, 0.0)
        return points

    redraw(piece, edge_of(piece, "princess"), kink)


@spoils("P03")
def an_armhole_bent_tighter_than_a_coin(told: Told) -> None:
    piece = piece_with(told, "armhole", part="back")

    def dent(points: Any) -> Any:
        t = np.linspace(0, 1, 200)
        arc = np.linspace(0, 1, len(points))
        dense = np.column_stack([np.interp(t, arc, points[:, k]) for k in (0, 1)])
        return dense + np.array([9.0, 0.0]) * np.exp(-(((t - 0.5) / 0.035) ** 2))[:, None]

    redraw(piece, edge_of(piece, "armhole"), dent)


@spoils("P04")
def a_side_longer_than_its_partner(told: Told) -> None:
    piece = piece_with(told, "side", part="back")
    redraw(piece, edge_of(piece, "side"), bowed(14.0))


@spoils("P04")
def a_stated_length_that_is_wrong(told: Told) -> None:
    told["seams"][0]["a_mm"] += 0.4


@spoils("P04")
def an_ease_that_allows_anything(told: Told) -> None:
    seam = next(s for s in told["seams"] if "side" in s["name"])
    seam["ease_mm"] = [-50.0, 50.0]


@spoils("P05")
def a_seam_left_out(told: Told) -> None:
    told["seams"] = [s for s in told["seams"] if s is not next(s for s in told["seams"] if "side" in s["name"])]


@spoils("P05")
def an_edge_sewn_twice(told: Told) -> None:
    told["seams"].append(dict(next(s for s in told["seams"] if "shoulder" in s["name"])))


@spoils("P06")
def princess_edges_that_differ(told: Told) -> None:
    piece = piece_with(told, "princess")
    redraw(piece, edge_of(piece, "princess"), bowed(35.0))


@spoils("P06")
def a_princess_seam_of_another_name(told: Told) -> None:
    for seam in told["seams"]:
        seam["name"] = seam["name"].replace("princess", "panel")


@spoils("P07")
def an_armhole_that_breaks_at_the_shoulder(told: Told) -> None:
    piece = piece_with(told, "armhole", part="back")

    def leaning(points: Any) -> Any:
        t = np.linspace(0, 1, len(points))[:, None]
        return points + np.array([90.0, 0.0]) * t * (1 - t) ** 4

    redraw(piece, edge_of(piece, "armhole"), leaning)


@spoils("P07")
def a_join_that_tolerates_anything(told: Told) -> None:
    told["joins"][0]["tol_deg"] = 40.0


@spoils("P07")
def a_join_with_the_wrong_sum(told: Told) -> None:
    told["joins"][0]["sum_deg"] += 20.0


@spoils("join")
def joins_left_out(told: Told) -> None:
    told["joins"] = []


@spoils("P08")
def a_dress_without_bust_ease(told: Told) -> None:
    told["measures"]["bust"] += 40.0


@spoils("P08")
def a_hip_too_tight_to_sit(told: Told) -> None:
    for piece in told["pieces"]:
        if piece["of"] == "main" and "hip" in piece["levels"]:
            scaled(piece, 0.94, 1.0)


@spoils("P08")
def a_finished_girth_that_is_not_there(told: Told) -> None:
    told["finished"]["hip_mm"] += 5.0


@spoils("P09")
def a_waist_that_does_not_close(told: Told) -> None:
    told["measures"]["waist"] += 30.0


@spoils("P10")
def a_skirt_wider_than_its_bodice(told: Told) -> None:
    for piece in told["pieces"]:
        if piece["of"] == "main" and piece["part"].startswith("skirt"):
            scaled(piece, 1.01, 1.0)


def _darted(told: Told) -> tuple[Told, list[Any]]:
    piece = next(p for p in told["pieces"] if p["of"] == "main" and any(len(d["legs"]) == 3 for d in p["darts"]))
    return piece, next(d for d in piece["darts"] if len(d["legs"]) == 3)["legs"]


@spoils("P11")
def a_dart_with_uneven_legs(told: Told) -> None:
    piece, legs = _darted(told)
    tip = tuple(legs[1])
    new = (tip[0] + 6.0, tip[1])
    for edge in piece["edges"]:
        edge["points"] = [new if np.hypot(p[0] - tip[0], p[1] - tip[1]) < 1e-6 else p for p in edge["points"]]
    legs[1] = new
    rejoin(piece)


@spoils("P11")
def a_dart_that_is_only_listed(told: Told) -> None:
    piece, legs = _darted(told)
    legs[1] = (legs[1][0], legs[1][1] + 9.0)
    assert piece


@spoils("P11")
def a_dart_edge_that_is_not_listed(told: Told) -> None:
    piece, _ = _darted(told)
    piece["darts"] = []


@spoils("P12")
def an_armhole_that_stops_the_arm(told: Told) -> None:
    told["measures"]["upper_arm"] += 120.0


@spoils("P13")
def a_cap_that_cannot_be_eased_in(told: Told) -> None:
    scaled(piece_with(told, "cap"), 1.08, 1.08)


@spoils("P14")
def a_flat_cap(told: Told) -> None:
    scaled(piece_with(told, "cap"), 1.0, 0.45)


@spoils("P15")
def a_sleeve_too_narrow_for_the_arm(told: Told) -> None:
    scaled(piece_with(told, "cap"), 0.9, 1.0)


@spoils("P16")
def a_cuff_that_no_hand_passes(told: Told) -> None:
    told["measures"]["wrist"] += 60.0


@spoils("P17")
def a_strap_of_a_finger(told: Told) -> None:
    scaled(piece_with(told, "shoulder", part="back"), 0.15, 0.15)


@spoils("P18", {"princess": "shoulder", "sleeve": "long"})
def princess_seams_without_cup(told: Told) -> None:
    for piece in told["pieces"]:
        for edge in piece["edges"]:
            if edge["kind"] == "princess" and piece["of"] == "main":
                start, end = np.array(edge["points"][0]), np.array(edge["points"][-1])
                edge["points"] = [tuple(start + (end - start) * t) for t in np.linspace(0, 1, 30)]
        rejoin(piece)


@spoils("P19")
def a_bent_fold(told: Told) -> None:
    piece = next(p for p in told["pieces"] if p["cut"]["on_fold"])
    redraw(piece, next(e for e in piece["edges"] if e["fold"]), bowed(2.0))


@spoils("P19")
def a_fold_off_the_grain(told: Told) -> None:
    next(p for p in told["pieces"] if p["cut"]["on_fold"])["grain_deg"] = 87.0


@spoils("P19")
def a_fold_with_allowance(told: Told) -> None:
    piece = next(p for p in told["pieces"] if p["cut"]["on_fold"])
    next(e for e in piece["edges"] if e["fold"])["allowance_mm"] = 10.0


@spoils("P20", GOWN)
def a_gown_without_vent_in_which_nobody_walks(told: Told) -> None:
    told["finished"]["vent_from_hem_mm"] = None


@spoils("P21")
def a_piece_for_a_giant(told: Told) -> None:
    scaled(told["pieces"][0], 14.0, 14.0)


@spoils("P23")
def a_front_no_longer_than_the_back(told: Told) -> None:
    told["measures"]["underbust"] = told["measures"]["bust"] - 120.0
    for piece in told["pieces"]:
        if piece["of"] == "main" and "front" in piece["part"] + piece["name"] and "bust" in piece["levels"]:
            scaled(piece, 1.0, 0.9)


@spoils("even")
def a_cut_line_slipped_sideways(told: Told) -> None:
    piece = told["pieces"][0]
    piece["cut_line"] = [(x + 2.0, y) for x, y in piece["cut_line"]]


@spoils("cut")
def a_cut_line_inside_the_sewing_line(told: Told) -> None:
    piece = piece_with(told, "side", part="back")
    x0 = min(x for x, _ in piece["cut_line"])
    piece["cut_line"] = [(x0 + (x - x0) * 0.7, y) for x, y in piece["cut_line"]]


@spoils("even")
def partners_with_different_allowances(told: Told) -> None:
    edge_of(piece_with(told, "side", part="back"), "side")["allowance_mm"] += 5.0


@spoils("corner")
def a_corner_that_sticks_out(told: Told) -> None:
    piece = told["pieces"][0]
    ring = np.array(piece["cut_line"])
    far = int(np.argmax(ring @ (1.0, 1.0)))
    ring[far] += (90.0, 90.0)
    piece["cut_line"] = [tuple(p) for p in ring]


@spoils("cap")
def a_dart_mouth_cut_straight_across(told: Told) -> None:
    from shapely.geometry import Polygon

    piece, legs = _darted(told)
    tip, middle = np.array(legs[1]), (np.array(legs[0]) + np.array(legs[2])) / 2
    axis = (middle - tip) / np.hypot(*(middle - tip))
    across = np.array([-axis[1], axis[0]])
    start = tip + axis * (np.hypot(*(middle - tip)) + 4.0)
    blade = Polygon([start - 60 * across, start + 60 * across, start + 60 * across + 200 * axis, start - 60 * across + 200 * axis])
    piece["cut_line"] = list(Polygon(piece["cut_line"]).difference(blade).exterior.coords)[:-1]


def _notched(told: Told) -> tuple[Told, Told]:
    piece = next(p for p in told["pieces"] if p["of"] == "main" and p["notches"])
    return piece, piece["notches"][0]


@spoils("notch")
def a_notch_off_the_sewing_line(told: Told) -> None:
    _, notch = _notched(told)
    notch["at"] = (notch["at"][0] + 3.0, notch["at"][1] + 3.0)


@spoils("notch")
def a_snip_into_the_sewing_line(told: Told) -> None:
    piece, notch = _notched(told)
    notch["depth_mm"] = next(e for e in piece["edges"] if e["name"] == notch["edge"])["allowance_mm"] - 1.0


@spoils("notch")
def a_notch_that_misses_its_partner(told: Told) -> None:
    piece = piece_with(told, "princess")
    edge = edge_of(piece, "princess")
    for notch in piece["notches"]:
        if notch["edge"] == edge["name"]:
            points = np.array(edge["points"])
            near = int(np.argmin(np.hypot(*(points - np.array(notch["at"])).T)))
            other = near + 3 if near + 3 < len(points) else near - 3
            notch["at"] = edge["points"][other]
            return
    raise LookupError("no notch on a princess edge")


@spoils("level")
def a_level_outside_its_piece(told: Told) -> None:
    piece = next(p for p in told["pieces"] if "hip" in p["levels"])
    piece["levels"]["hip"] = max(y for _, y in piece["seam_line"]) + 5.0


@spoils("count")
def one_back_for_two_sides(told: Told) -> None:
    piece_with(told, "side", part="back")["cut"]["count"] = 1


@spoils("lining", {})
def a_lining_as_long_as_the_dress(told: Told) -> None:
    for piece in told["pieces"]:
        if piece["of"] == "lining" and piece["part"].startswith("skirt"):
            scaled(piece, 1.0, 1.05)


@spoils("lining", {})
def a_lining_tighter_than_the_dress(told: Told) -> None:
    for piece in told["pieces"]:
        if piece["of"] == "lining":
            scaled(piece, 0.95, 1.0)


@spoils("facing", {})
def a_facing_of_a_finger(told: Told) -> None:
    piece = piece_with(told, "facing", of="facing")
    sewn = np.array([p for e in piece["edges"] if e["kind"] in ("neck", "armhole") for p in e["points"]])
    for edge in piece["edges"]:
        if edge["kind"] == "facing":
            points = np.array(edge["points"])
            near = np.array([sewn[np.argmin(np.hypot(*(sewn - p).T))] for p in points])
            edge["points"] = [tuple(p) for p in near + (points - near) * 0.4]
    for before, after in zip([piece["edges"][-1], *piece["edges"][:-1]], piece["edges"], strict=True):
        if before["kind"] == "facing":
            after["points"] = [before["points"][-1], *after["points"][1:]]
        elif after["kind"] == "facing":
            before["points"] = [*before["points"][:-1], after["points"][0]]
    rejoin(piece)


@spoils("first_cut", {})
def a_first_neck_line_inside_the_piece(told: Told) -> None:
    piece = next(p for p in told["pieces"] if p.get("first_cut"))
    middle = np.mean(piece["seam_line"], axis=0)
    first = piece["first_cut"][0]
    first["points"] = [tuple(np.array(p) * 0.5 + middle * 0.5) for p in first["points"]]


@spoils("chosen")
def a_sleeve_that_was_asked_for_and_is_not_there(told: Told) -> None:
    piece_with(told, "cap")["part"] = "scarf"


@spoils("chosen", {"sleeve": "puff"})
def a_puff_that_is_not_gathered(told: Told) -> None:
    for seam in told["seams"]:
        if seam["a"][0][0] == "sleeve":
            seam["a_mm"] = seam["b_mm"]


@spoils("circle", {"skirt": "circle"})
def a_circle_that_is_an_ellipse(told: Told) -> None:
    for piece in told["pieces"]:
        if piece["part"].startswith("skirt"):
            scaled(piece, 1.02, 1.0)


@pytest.mark.parametrize("style", [LONG, GOWN, {}], ids=["long", "gown", "default"])
def test_the_good_drafts_are_clean(style: dict[str, Any]) -> None:
    assert not [str(fault) for fault in faults(good(style), style)]


@pytest.mark.parametrize(("property_name", "style", "spoil"), [pytest.param(p, s, f, id=n) for p, n, s, f in SPOILS])
def test_spoiled_draft_turns_its_property_red(property_name: str, style: dict[str, Any], spoil: Spoil) -> None:
    told = good(style)
    spoil(told)
    found = faults(told, style)
    assert property_name in {fault.name for fault in found}, [str(fault) for fault in found]


def test_pieces_that_jump_between_bodies_are_seen() -> None:
    other = pieces_for(BODY | {"bust": BODY["bust"] + 130.0}, LONG)
    assert {fault.name for fault in moved(good(LONG), other)} == {"P22"}


def test_the_checker_shares_no_code_with_the_product() -> None:
    import ast
    from pathlib import Path

    for file in (Path(__file__).parents[2] / "garment_checker").glob("*.py"):
        names = {
            name.split(".")[0]
            for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
            if isinstance(node, ast.Import | ast.ImportFrom)
            for name in ([node.module or ""] if isinstance(node, ast.ImportFrom) else [alias.name for alias in node.names])
        }
        assert not names & {"projector", "calibration"}, file
