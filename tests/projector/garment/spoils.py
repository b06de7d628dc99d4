"""Spoilt drafts, outlines and seams: each has to turn one property of the checker red."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from tests.projector.garment.spoil import Told, bowed, edge_of, piece_with, redraw, scaled

LONG = {"sleeve": "long"}
GOWN = {"sleeve": "none", "skirt": "tapered", "length": "full"}
Spoil = Callable[[Told], None]


@dataclass(frozen=True, slots=True)
class Spoilt:
    """One spoilt draft: the property it turns red, words of the sentence that says so, the style it is made from."""

    rule: str
    says: str
    style: dict[str, Any]
    spoil: Spoil


SPOILS: list[Spoilt] = []


def spoils(rule: str, says: str, style: dict[str, Any] | None = None) -> Callable[[Spoil], Spoil]:
    """Register a spoil; `says`: words of one sentence of the checker, without a figure between them."""

    def keep(spoil: Spoil) -> Spoil:
        SPOILS.append(Spoilt(rule, says, LONG if style is None else style, spoil))
        return spoil

    return keep


@spoils("format", " missing")
def a_piece_without_cut_line(told: Told) -> None:
    del told["pieces"][0]["cut_line"]


@spoils("format", "seam ")
def a_seam_to_an_edge_that_is_not_there(told: Told) -> None:
    told["seams"][0]["a"] = [[told["seams"][0]["a"][0][0], "nowhere"]]


@spoils("P01", " mm between the end of ")
def a_gap_of_a_millimetre(told: Told) -> None:
    edge = edge_of(piece_with(told, "side"), "side")
    edge["points"] = [(edge["points"][0][0] + 1.0, edge["points"][0][1]), *edge["points"][1:]]


@spoils("P01", "seam_line and edges are ")
def a_sewing_line_beside_its_edges(told: Told) -> None:
    piece = told["pieces"][0]
    piece["seam_line"] = [(x, y + 0.5) for x, y in piece["seam_line"]]


@spoils("P02", " crosses or touches itself: ")
def an_outline_that_crosses_itself(told: Told) -> None:
    piece = piece_with(told, "armhole")
    redraw(piece, edge_of(piece, "armhole"), bowed(400.0))


@spoils("P02", " crosses or touches itself: ")
def a_cut_line_with_a_loop(told: Told) -> None:
    ring = told["pieces"][0]["cut_line"]
    ring[0], ring[len(ring) // 3] = ring[len(ring) // 3], ring[0]


@spoils("P03", " degrees inside the edge")
def a_corner_inside_a_princess_edge(told: Told) -> None:
    piece = piece_with(told, "princess")

    def kink(points: Any) -> Any:
        points = points.copy()
        points[len(points) // 3] += (4.0, 0.0)
        return points

    redraw(piece, edge_of(piece, "princess"), kink)


@spoils("P03", "radius ")
def an_armhole_bent_tighter_than_a_coin(told: Told) -> None:
    piece = piece_with(told, "armhole", part="back")

    def dent(points: Any) -> Any:
        t = np.linspace(0, 1, 400)
        arc = np.linspace(0, 1, len(points))
        dense = np.column_stack([np.interp(t, arc, points[:, k]) for k in (0, 1)])
        return dense + np.array([3.5, 0.0]) * np.exp(-(((t - 0.5) / 0.035) ** 2))[:, None]

    redraw(piece, edge_of(piece, "armhole"), dent)


@spoils("P04", " is outside [")
def a_side_longer_than_its_partner(told: Told) -> None:
    piece = piece_with(told, "side", part="back")
    redraw(piece, edge_of(piece, "side"), bowed(14.0))


@spoils("P04", " along the edges")
def a_stated_length_that_is_wrong(told: Told) -> None:
    told["seams"][0]["a_mm"] += 0.4


@spoils("P04", "] is not sewn in such a seam")
def an_ease_that_allows_anything(told: Told) -> None:
    seam = next(s for s in told["seams"] if "side" in s["name"])
    seam["ease_mm"] = [-50.0, 50.0]


@spoils("P05", " edge without partner")
def a_seam_left_out(told: Told) -> None:
    told["seams"] = [s for s in told["seams"] if s is not next(s for s in told["seams"] if "side" in s["name"])]


@spoils("P05", "sewn in ")
def an_edge_sewn_twice(told: Told) -> None:
    told["seams"].append(dict(next(s for s in told["seams"] if "shoulder" in s["name"])))


@spoils("P06", "edges differ by ")
def princess_edges_that_differ(told: Told) -> None:
    piece = piece_with(told, "princess")
    redraw(piece, edge_of(piece, "princess"), bowed(35.0))


@spoils("P06", "a princess seam whose name does not say so")
def a_princess_seam_of_another_name(told: Told) -> None:
    for seam in told["seams"]:
        seam["name"] = seam["name"].replace("princess", "panel")


@spoils("P07", " line breaks: ")
def an_armhole_that_breaks_at_the_shoulder(told: Told) -> None:
    piece = piece_with(told, "armhole", part="back")

    def leaning(points: Any) -> Any:
        t = np.linspace(0, 1, len(points))[:, None]
        return points + np.array([90.0, 0.0]) * t * (1 - t) ** 4

    redraw(piece, edge_of(piece, "armhole"), leaning)


@spoils("P07", " degrees hides a break")
def a_join_that_tolerates_anything(told: Told) -> None:
    told["joins"][0]["tol_deg"] = 40.0


@spoils("P07", "corners add up to ")
def a_join_with_the_wrong_sum(told: Told) -> None:
    told["joins"][0]["sum_deg"] += 20.0


@spoils("join", " line runs on no join is declared")
def joins_left_out(told: Told) -> None:
    told["joins"] = []


@spoils("P08", " on a body of ")
def a_dress_without_bust_ease(told: Told) -> None:
    told["measures"]["bust"] += 40.0


@spoils("P08", " on a body of ")
def a_hip_too_tight_to_sit(told: Told) -> None:
    for piece in told["pieces"]:
        if piece["of"] == "main" and "hip" in piece["levels"]:
            scaled(piece, 0.94, 1.0)


@spoils("P08", ", the slices give ")
def a_finished_girth_that_is_not_there(told: Told) -> None:
    told["finished"]["hip_mm"] += 5.0


@spoils("P09", " on a body of ")
def a_waist_that_does_not_close(told: Told) -> None:
    told["measures"]["waist"] += 30.0


@spoils("P10", ", skirt ")
def a_skirt_wider_than_its_bodice(told: Told) -> None:
    for piece in told["pieces"]:
        if piece["of"] == "main" and piece["part"].startswith("skirt"):
            scaled(piece, 1.01, 1.0)
