"""Spoilt files: what the contract promises and other rules need left out, outlines and girths told wrongly."""

from typing import Any

import numpy as np

from tests.projector.garment.spoil import Told, bowed, edge_of, piece_with, redraw, rejoin, scaled
from tests.projector.garment.spoils import GOWN, spoils


def _folded(told: Told) -> Told:
    found: Told = next(piece for piece in told["pieces"] if piece["cut"]["on_fold"])
    return found


@spoils("format", "format ")
def a_file_of_another_format(told: Told) -> None:
    told["format"] = 2


@spoils("format", " no ring of finite points")
def a_cut_line_that_is_nowhere(told: Told) -> None:
    told["pieces"][0]["cut_line"][3] = (float("nan"), 0.0)


@spoils("format", " has no line")
def an_edge_of_one_point(told: Told) -> None:
    edge = told["pieces"][0]["edges"][0]
    edge["points"] = edge["points"][:1]


@spoils("format", " repeats a point")
def an_edge_with_a_point_twice(told: Told) -> None:
    points = told["pieces"][0]["edges"][0]["points"]
    points.insert(1, (points[0][0] + 0.001, points[0][1]))


@spoils("format", "edge kind ")
def an_edge_of_no_kind(told: Told) -> None:
    told["pieces"][0]["edges"][0]["kind"] = "ruffle"


@spoils("format", "two edges of one name")
def two_edges_of_one_name(told: Told) -> None:
    edges = told["pieces"][0]["edges"]
    edges[1]["name"] = edges[0]["name"]


@spoils("format", "two pieces of one name")
def two_pieces_of_one_name(told: Told) -> None:
    told["pieces"][1]["name"] = told["pieces"][0]["name"]


@spoils("format", ": levels ")
def a_level_of_no_name(told: Told) -> None:
    told["pieces"][0]["levels"]["elbow"] = 100.0


@spoils("format", "join ")
def a_join_at_an_edge_that_is_not_there(told: Told) -> None:
    told["joins"][0]["at"] = [[told["joins"][0]["at"][0][0], "nowhere", "nowhere"]]


@spoils("format", " missing")
def a_first_cut_that_is_not_told(told: Told) -> None:
    """[] when there is none (contract): left out, a shallow neck would never be asked for."""
    for piece in told["pieces"]:
        piece.pop("first_cut")


@spoils("given", ", by which other rules judge")
def an_arm_that_is_not_told(told: Told) -> None:
    """Without it armhole and sleeve were once judged by nothing, in silence."""
    told["measures"].pop("upper_arm")


@spoils("given", "no piece tells its ")
def a_line_under_the_bust_that_is_not_told(told: Told) -> None:
    for piece in told["pieces"]:
        piece["levels"].pop("underbust", None)
    told["finished"]["underbust_mm"] = None


@spoils("given", "no piece tells its ", GOWN)
def a_gown_without_knees(told: Told) -> None:
    for piece in told["pieces"]:
        piece["levels"].pop("knee", None)
    told["finished"]["knee_mm"] = None


@spoils("given", "no notch at the bust point")
def a_princess_seam_without_its_bust_notch(told: Told) -> None:
    for piece in told["pieces"]:
        piece["notches"] = [notch for notch in piece["notches"] if notch["edge"] != "princess"]


@spoils("given", "no notch on the cap")
def a_sleeve_head_without_notches(told: Told) -> None:
    piece_with(told, "cap")["notches"] = []


@spoils("given", "no notch on it for the sleeve")
def an_armhole_without_notches(told: Told) -> None:
    for piece in told["pieces"]:
        piece["notches"] = [notch for notch in piece["notches"] if notch["edge"] != "armhole"]


@spoils("P02", " has a spike of ")
def a_spike_in_the_side(told: Told) -> None:
    piece = piece_with(told, "side", part="back")
    edge = edge_of(piece, "side")
    points = np.array(edge["points"])
    step = points[1] - points[0]
    along = step / np.hypot(*step)
    base = points[0] + 0.3 * step
    edge["points"] = [*points[:1], base, base + 60.0 * np.array([along[1], -along[0]]), base + 1.0 * along, *points[1:]]
    edge["points"] = [tuple(point) for point in edge["points"]]
    rejoin(piece)


@spoils("P02", " holds ")
def a_piece_for_a_doll(told: Told) -> None:
    scaled(told["pieces"][0], 0.01, 0.02)


@spoils("P05", "a fold is sewn")
def a_fold_that_is_sewn(told: Told) -> None:
    piece = _folded(told)
    fold = next(edge for edge in piece["edges"] if edge["fold"])
    run = [[piece["name"], fold["name"]]]
    mm = float(np.hypot(*np.diff(np.array(fold["points"]), axis=0).T).sum())
    told["seams"].append({"name": "down the fold", "a": run, "b": run, "a_mm": mm, "b_mm": mm, "ease_mm": [0.0, 0.0]})


@spoils("P05", " edge without partner", {})
def a_raw_neck_under_a_warning_of_another_thing(told: Told) -> None:
    """`The neck is dropped by ...` says nothing of how its edge is finished."""
    gone = {piece["name"] for piece in told["pieces"] if piece["of"] in ("facing", "interfacing", "lining")}
    told["pieces"] = [piece for piece in told["pieces"] if piece["name"] not in gone]
    told["seams"] = [seam for seam in told["seams"] if not any(at[0] in gone for at in (*seam["a"], *seam["b"]))]
    told["joins"] = [join for join in told["joins"] if not any(at[0] in gone for at in join["at"])]
    told["warnings"].append("The neck is dropped by 48 mm, not 100 mm: so it keeps clear of armhole and princess seam.")


@spoils("P07", "names edges that do not follow each other")
def a_join_of_edges_apart(told: Told) -> None:
    join = told["joins"][0]
    name = join["at"][0][0]
    edges = next(piece for piece in told["pieces"] if piece["name"] == name)["edges"]
    join["at"] = [[name, edges[0]["name"], edges[2]["name"]], *join["at"][1:]]


@spoils("P07", ", not 90 degrees")
def a_waist_that_comes_to_its_fold_aslant(told: Told) -> None:
    piece = next(piece for piece in told["pieces"] if piece["name"] == "skirt front")
    edge = next(edge for edge in piece["edges"] if edge["name"] == "waist 1")

    def lifted(points: Any) -> Any:
        t = np.linspace(0, 1, len(points))[:, None]
        return points + np.array([0.0, 20.0]) * t * (1 - t) ** 3

    redraw(piece, edge, lifted)


@spoils("P07", "its hem meets the side at ")
def a_hem_that_comes_to_its_side_aslant(told: Told) -> None:
    piece = next(piece for piece in told["pieces"] if piece["name"] == "skirt back")
    redraw(piece, edge_of(piece, "hem"), bowed(-9.0))
    edge = edge_of(piece, "side")
    points = np.array(edge["points"])
    lean = np.array([30.0, 0.0]) * np.clip((points[:, 1] - points[:, 1].max() + 90.0) / 90.0, 0.0, 1.0)[:, None]
    edge["points"] = [tuple(point) for point in points - lean]


@spoils("P08", ", finished ")
def a_finished_girth_of_no_level(told: Told) -> None:
    told["finished"]["underbust_mm"] = None


@spoils("P08", ", asked for ")
def a_bust_looser_than_asked(told: Told) -> None:
    told["measures"]["bust"] -= 20.0


@spoils("P08", ", asked for ")
def a_bust_looser_because_the_hip_was_given_more(told: Told) -> None:
    """Ease that was raised is told girth by girth, and by how much."""
    told["measures"]["bust"] -= 20.0
    told["warnings"].append("Hip ease is 80 mm instead of 50 mm: so she can sit.")


@spoils("P09", ", asked for ")
def a_waist_looser_than_asked(told: Told) -> None:
    told["measures"]["waist"] -= 20.0


@spoils("P09", ", its waist edges give ")
def a_finished_waist_that_is_not_there(told: Told) -> None:
    told["finished"]["waist_mm"] += 5.0


@spoils("P20", ", its hem edges give ")
def a_finished_hem_that_is_not_there(told: Told) -> None:
    told["finished"]["hem_mm"] += 5.0


@spoils("P19", "on_fold is ")
def a_fold_that_is_said_to_be_none(told: Told) -> None:
    _folded(told)["cut"]["on_fold"] = False


@spoils("P19", "its folds do not lie in one line")
def a_fold_in_two_lines(told: Told) -> None:
    """Two edges of the fold, the lower one a millimetre out."""
    piece = _folded(told)
    place = next(n for n, edge in enumerate(piece["edges"]) if edge["fold"])
    fold = piece["edges"][place]
    (x0, y0), (x1, y1) = fold["points"][0], fold["points"][-1]
    middle = (y0 + y1) / 2
    one = {**fold, "points": [(x0, y0), (x0, middle)]}
    two = {**fold, "name": "fold 2", "points": [(x1 + 1.0, middle), (x1 + 1.0, y1)]}
    piece["edges"][place : place + 1] = [one, two]


@spoils("P19", "the cut line leaves the fold by ")
def a_cut_line_beside_its_fold(told: Told) -> None:
    piece = _folded(told)
    piece["cut_line"] = [(x - 2.0 if x < 0.01 else x, y) for x, y in piece["cut_line"]]


@spoils("P19", " mm beyond its fold")
def a_cut_line_beyond_the_centre(told: Told) -> None:
    piece = _folded(told)
    piece["cut_line"] = [(x - 2.0 if x < 0.01 else x, y) for x, y in piece["cut_line"]]


@spoils("P21", "an edge of ")
def an_edge_too_short_to_sew(told: Told) -> None:
    piece = piece_with(told, "side", part="back")
    place = piece["edges"].index(edge_of(piece, "side"))
    edge = piece["edges"][place]
    last, before = np.array(edge["points"][-1]), np.array(edge["points"][-2])
    near = tuple(last + 2.0 * (before - last) / np.hypot(*(before - last)))
    crumb = {**edge, "name": "crumb", "points": [near, tuple(last)]}
    piece["edges"][place : place + 1] = [{**edge, "points": [*edge["points"][:-1], near]}, crumb]


@spoils("P21", "allowance ")
def an_allowance_of_a_hand(told: Told) -> None:
    edge_of(piece_with(told, "side", part="back"), "side")["allowance_mm"] = 95.0
