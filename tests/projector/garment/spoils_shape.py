"""Spoilt drafts, darts, sleeves, allowances and marks; they register themselves beside those of spoils.py."""

from typing import Any

import numpy as np

from tests.projector.garment.spoil import Told, bowed, edge_of, piece_with, redraw, rejoin, scaled
from tests.projector.garment.spoils import GOWN, spoils


def _darted(told: Told) -> tuple[Told, list[Any]]:
    piece = next(p for p in told["pieces"] if p["of"] == "main" and any(len(d["legs"]) == 3 for d in p["darts"]))
    return piece, next(d for d in piece["darts"] if len(d["legs"]) == 3)["legs"]


@spoils("P11", "legs differ by ")
def a_dart_with_uneven_legs(told: Told) -> None:
    piece, legs = _darted(told)
    tip = tuple(legs[1])
    new = (tip[0] + 6.0, tip[1])
    for edge in piece["edges"]:
        edge["points"] = [new if np.hypot(p[0] - tip[0], p[1] - tip[1]) < 1e-6 else p for p in edge["points"]]
    legs[1] = new
    rejoin(piece)


@spoils("P11", "its legs are not two dart edges of the outline")
def a_dart_that_is_only_listed(told: Told) -> None:
    piece, legs = _darted(told)
    legs[1] = (legs[1][0], legs[1][1] + 9.0)
    assert piece


@spoils("P11", " dart edges for ")
def a_dart_edge_that_is_not_listed(told: Told) -> None:
    piece, _ = _darted(told)
    piece["darts"] = []


@spoils("P12", " round an arm of ")
def an_armhole_that_stops_the_arm(told: Told) -> None:
    told["measures"]["upper_arm"] += 120.0


@spoils("P13", "cap ease ")
def a_cap_that_cannot_be_eased_in(told: Told) -> None:
    scaled(piece_with(told, "cap"), 1.08, 1.08)


@spoils("P14", " of the armhole high")
def a_flat_cap(told: Told) -> None:
    scaled(piece_with(told, "cap"), 1.0, 0.45)


@spoils("P15", " on an arm of ")
def a_sleeve_too_narrow_for_the_arm(told: Told) -> None:
    scaled(piece_with(told, "cap"), 0.9, 1.0)


@spoils("P16", " over a hand of a ")
def a_cuff_that_no_hand_passes(told: Told) -> None:
    told["measures"]["wrist"] += 60.0


@spoils("P17", "shoulder ")
def a_strap_of_a_finger(told: Told) -> None:
    scaled(piece_with(told, "shoulder", part="back"), 0.15, 0.15)


@spoils("P18", " degrees of cup", {"princess": "shoulder", "sleeve": "long"})
def princess_seams_without_cup(told: Told) -> None:
    for piece in told["pieces"]:
        for edge in piece["edges"]:
            if edge["kind"] == "princess" and piece["of"] == "main":
                start, end = np.array(edge["points"][0]), np.array(edge["points"][-1])
                edge["points"] = [tuple(start + (end - start) * t) for t in np.linspace(0, 1, 30)]
        rejoin(piece)


@spoils("P19", "the fold bends by ")
def a_bent_fold(told: Told) -> None:
    piece = next(p for p in told["pieces"] if p["cut"]["on_fold"])
    redraw(piece, next(e for e in piece["edges"] if e["fold"]), bowed(2.0))


@spoils("P19", " degrees from the grain")
def a_fold_off_the_grain(told: Told) -> None:
    next(p for p in told["pieces"] if p["cut"]["on_fold"])["grain_deg"] = 87.0


@spoils("P19", " on a fold")
def a_fold_with_allowance(told: Told) -> None:
    piece = next(p for p in told["pieces"] if p["cut"]["on_fold"])
    next(e for e in piece["edges"] if e["fold"])["allowance_mm"] = 10.0


@spoils("P20", "narrower than a step up to ", GOWN)
def a_gown_without_vent_in_which_nobody_walks(told: Told) -> None:
    told["finished"]["vent_from_hem_mm"] = None


@spoils("P21", " mm long, ")
def a_piece_for_a_giant(told: Told) -> None:
    scaled(told["pieces"][0], 14.0, 14.0)


@spoils("P23", " behind, neck point over side waist")
def a_front_no_longer_than_the_back(told: Told) -> None:
    told["measures"]["underbust"] = told["measures"]["bust"] - 120.0
    for piece in told["pieces"]:
        if piece["of"] == "main" and "front" in piece["part"] + piece["name"] and "bust" in piece["levels"]:
            scaled(piece, 1.0, 0.9)


@spoils("even", "), allowance ")
def a_cut_line_slipped_sideways(told: Told) -> None:
    piece = told["pieces"][0]
    piece["cut_line"] = [(x + 2.0, y) for x, y in piece["cut_line"]]


@spoils("cut", " mm2 of the piece lie outside its cut line")
def a_cut_line_inside_the_sewing_line(told: Told) -> None:
    piece = piece_with(told, "side", part="back")
    x0 = min(x for x, _ in piece["cut_line"])
    piece["cut_line"] = [(x0 + (x - x0) * 0.7, y) for x, y in piece["cut_line"]]


@spoils("even", "partners' allowances ")
def partners_with_different_allowances(told: Told) -> None:
    edge_of(piece_with(told, "side", part="back"), "side")["allowance_mm"] += 5.0


@spoils("corner", "the cut line sticks out ")
def a_corner_that_sticks_out(told: Told) -> None:
    piece = told["pieces"][0]
    ring = np.array(piece["cut_line"])
    far = int(np.argmax(ring @ (1.0, 1.0)))
    ring[far] += (90.0, 90.0)
    piece["cut_line"] = [tuple(p) for p in ring]


@spoils("cap", " from the tip, pressed it must reach ")
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


@spoils("notch", " mm off the sewing line")
def a_notch_off_the_sewing_line(told: Told) -> None:
    _, notch = _notched(told)
    notch["at"] = (notch["at"][0] + 3.0, notch["at"][1] + 3.0)


@spoils("notch", " mm deep")
def a_snip_into_the_sewing_line(told: Told) -> None:
    piece, notch = _notched(told)
    notch["depth_mm"] = next(e for e in piece["edges"] if e["name"] == notch["edge"])["allowance_mm"] - 1.0


@spoils("notch", " mm from its partner")
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


@spoils("level", " is not inside ")
def a_level_outside_its_piece(told: Told) -> None:
    piece = next(p for p in told["pieces"] if "hip" in p["levels"])
    piece["levels"]["hip"] = max(y for _, y in piece["seam_line"]) + 5.0


@spoils("count", "mirrored with count ")
def one_back_for_two_sides(told: Told) -> None:
    piece_with(told, "side", part="back")["cut"]["count"] = 1


@spoils("lining", " mm shorter than the dress", {})
def a_lining_as_long_as_the_dress(told: Told) -> None:
    for piece in told["pieces"]:
        if piece["of"] == "lining" and piece["part"].startswith("skirt"):
            scaled(piece, 1.0, 1.05)


@spoils("lining", " in the lining, ", {})
def a_lining_tighter_than_the_dress(told: Told) -> None:
    for piece in told["pieces"]:
        if piece["of"] == "lining":
            scaled(piece, 0.95, 1.0)


@spoils("facing", " mm wide", {})
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


@spoils("first_cut", " mm of it run inside the cut line", {})
def a_first_neck_line_inside_the_piece(told: Told) -> None:
    piece = next(p for p in told["pieces"] if p.get("first_cut"))
    middle = np.mean(piece["seam_line"], axis=0)
    first = piece["first_cut"][0]
    first["points"] = [tuple(np.array(p) * 0.5 + middle * 0.5) for p in first["points"]]


@spoils("first_cut", " mm beside the centre: opened out it stands up there in a peak", {})
def a_first_neck_line_lifted_most_at_the_centre(told: Told) -> None:
    first = next(p for p in told["pieces"] if p.get("first_cut"))["first_cut"][0]
    count = len(first["points"])
    first["points"] = [(x, y - 20.0 * (1 - place / count)) for place, (x, y) in enumerate(first["points"])]


@spoils("chosen", ", parts are ")
def a_sleeve_that_was_asked_for_and_is_not_there(told: Told) -> None:
    piece_with(told, "cap")["part"] = "scarf"


@spoils("chosen", " mm gathered to ", {"sleeve": "puff"})
def a_puff_that_is_not_gathered(told: Told) -> None:
    for seam in told["seams"]:
        if seam["a"][0][0] == "sleeve":
            seam["a_mm"] = seam["b_mm"]


@spoils("circle", " varies by ", {"skirt": "circle"})
def a_circle_that_is_an_ellipse(told: Told) -> None:
    for piece in told["pieces"]:
        if piece["part"].startswith("skirt"):
            scaled(piece, 1.02, 1.0)


@spoils("P24", " mm under its own centre")
def a_back_neck_that_runs_uphill_to_the_nape(told: Told) -> None:
    piece = next(p for p in told["pieces"] if p["name"] == "back")
    redraw(piece, edge_of(piece, "neck"), bowed(8.0))


@spoils("P24", " mm under its own centre", {"skirt": "a_line"})
def a_hem_that_dips_beside_its_centre(told: Told) -> None:
    piece = next(p for p in told["pieces"] if p["name"] == "skirt front")
    redraw(piece, edge_of(piece, "hem"), bowed(-8.0))


@spoils("format", ": a ring has a point twice in a row")
def a_cut_line_with_a_point_twice(told: Told) -> None:
    ring = told["pieces"][0]["cut_line"]
    ring.insert(5, ring[5])


@spoils("format", ": a ring has a point twice in a row")
def an_outline_whose_first_point_comes_again(told: Told) -> None:
    ring = told["pieces"][0]["seam_line"]
    ring.append(ring[0])


@spoils("P19", " mm from the centre line")
def a_front_beside_its_centre_line(told: Told) -> None:
    piece = next(p for p in told["pieces"] if p["cut"]["on_fold"])
    for points in (piece["seam_line"], piece["cut_line"], *(edge["points"] for edge in piece["edges"])):
        points[:] = [(x + 3.0, y) for x, y in points]


@spoils("bridge", " parts are left where it is wider than ")
def a_back_that_hangs_on_a_thread(told: Told) -> None:
    """The armhole drawn in until 6 mm are left to the neck or the zip."""
    piece = next(p for p in told["pieces"] if p["name"] == "back")
    edge = edge_of(piece, "armhole")
    deepest = min(x for x, _ in edge["points"])

    def drawn_in(points: Any) -> Any:
        t = np.linspace(0, 1, len(points))[:, None]
        return points - np.array([deepest - 4.0, 0.0]) * np.sin(np.pi * t) ** 2

    redraw(piece, edge, drawn_in)


@spoils("P08", ", the slices give ", GOWN)
def a_finished_knee_that_is_not_there(told: Told) -> None:
    told["finished"]["knee_mm"] += 5.0


@spoils("level", "the line leaves the piece", {"princess": "none"})
def a_bent_level_that_leaves_its_piece(told: Told) -> None:
    for piece in told["pieces"]:
        for level in piece["levels"].values():
            if isinstance(level, list):
                level[-1] = (level[-1][0] + 0.5, level[-1][1])
                return
    raise LookupError("no bent level")
