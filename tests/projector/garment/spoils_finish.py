"""Spoilt darts, linings, facings, snips, counts and chosen parts."""

from typing import Any

import numpy as np
from shapely.geometry import Polygon, box

from tests.projector.garment.spoil import Told, bowed, edge_of, piece_with, redraw
from tests.projector.garment.spoils import spoils


def _of(told: Told, of: str, part: str = "") -> Told:
    found: Told = next(piece for piece in told["pieces"] if piece["of"] == of and piece["part"].startswith(part))
    return found


def _darted(told: Told, corners: int) -> tuple[Told, Told]:
    """A main piece with a dart of so many points."""
    piece = next(p for p in told["pieces"] if p["of"] == "main" and any(len(dart["legs"]) == corners for dart in p["darts"]))
    return piece, next(dart for dart in piece["darts"] if len(dart["legs"]) == corners)


@spoils("P11", " points")
def a_dart_of_five_points(told: Told) -> None:
    _, dart = _darted(told, 3)
    dart["legs"] = [*dart["legs"], *dart["legs"][:2]]


@spoils("P11", " mm wide")
def a_dart_as_wide_as_a_hand(told: Told) -> None:
    _, dart = _darted(told, 3)
    (x0, y0), tip, (x1, y1) = dart["legs"]
    dart["legs"] = [(x0 - 60.0, y0), tip, (x1 + 60.0, y1)]


@spoils("P11", "a contour dart leaves the piece")
def a_contour_dart_that_leaves_its_piece(told: Told) -> None:
    piece, dart = _darted(told, 3)
    x, y = max(piece["seam_line"])
    dart["legs"] = [(x, y - 40.0), (x - 8.0, y), (x, y + 40.0), (x + 8.0, y)]


@spoils("P11", " mm from an edge")
def a_dart_that_reaches_the_armhole(told: Told) -> None:
    piece = piece_with(told, "armhole", part="back")
    hole = edge_of(piece, "armhole")["points"]
    x, y = hole[len(hole) // 2]
    piece["darts"][0]["legs"][1] = (x - 8.0, y)


@spoils("P11", " along a dart leg")
def a_dart_leg_with_allowance(told: Told) -> None:
    piece, _ = _darted(told, 3)
    edge_of(piece, "dart")["allowance_mm"] = 5.0


@spoils("P15", ", the slice gives ")
def a_finished_sleeve_that_is_not_there(told: Told) -> None:
    told["finished"]["biceps_mm"] += 5.0


@spoils("P18", " has no bust level across its princess edge")
def a_centre_front_without_bust_level(told: Told) -> None:
    _of(told, "main", "front")["levels"].pop("bust")


@spoils("count", "its count is ")
def a_piece_that_is_not_cut(told: Told) -> None:
    _of(told, "main")["cut"]["count"] = 0


@spoils("count", "neither on the fold nor mirrored")
def two_left_backs(told: Told) -> None:
    _of(told, "main", "back")["cut"]["mirrored"] = False


@spoils("count", " times: a side stays without partner")
def a_back_cut_four_times(told: Told) -> None:
    _of(told, "main", "back")["cut"]["count"] = 4


@spoils("lining", " asked for, ", {})
def a_lining_that_is_called_something_else(told: Told) -> None:
    for piece in told["pieces"]:
        piece["of"] = "second skin" if piece["of"] == "lining" else piece["of"]


@spoils("lining", "cut from the main cloth", {})
def a_lining_cut_from_the_main_cloth(told: Told) -> None:
    _of(told, "lining")["cloth"] = "main"


@spoils("facing", "facings not asked for", {"facings": False})
def a_facing_nobody_asked_for(told: Told) -> None:
    _of(told, "lining", "front")["of"] = "facing"


@spoils("facing", "has no neck or armhole edge", {})
def a_facing_that_faces_nothing(told: Told) -> None:
    for edge in _of(told, "facing")["edges"]:
        edge["kind"] = "opening" if edge["kind"] in ("neck", "armhole") else edge["kind"]


@spoils("grain", "grain ")
def a_grain_that_runs_upward(told: Told) -> None:
    told["pieces"][0]["grain_deg"] = 270.0


@spoils("grain", "fused block ", {})
def a_fused_block_without_room(told: Told) -> None:
    _of(told, "facing")["block_mm"] = 5.0


@spoils("notch", "on an edge that is not there")
def a_notch_on_no_edge(told: Told) -> None:
    piece_with(told, "princess")["notches"][0]["edge"] = "nowhere"


@spoils("notch", "on a fold or along a dart leg, or counted nought")
def a_notch_counted_nought(told: Told) -> None:
    piece_with(told, "princess")["notches"][0]["count"] = 0


@spoils("notch", " mm from the sewing line")
def a_snip_that_nearly_reaches_the_sewing_line(told: Told) -> None:
    """4 mm deep, as snips are, in 6 mm of allowance: 2 are left."""
    piece = piece_with(told, "princess")
    piece["cut_line"] = list(Polygon(piece["seam_line"]).buffer(6.0).exterior.coords)[:-1]


@spoils("first_cut", "no such edge, or no line", {})
def a_first_cut_of_no_edge(told: Told) -> None:
    next(piece for piece in told["pieces"] if piece["first_cut"])["first_cut"][0]["edge"] = "nowhere"


@spoils("first_cut", " mm from the cut line and its neighbours run on", {})
def a_first_cut_that_ends_in_mid_cloth(told: Told) -> None:
    first = next(piece for piece in told["pieces"] if piece["first_cut"])["first_cut"][0]
    x, y = first["points"][-1]
    first["points"][-1] = (x - 12.0, y - 9.0)


@spoils("even", " mm off the allowance")
def a_bump_on_the_cut_line(told: Told) -> None:
    piece = piece_with(told, "side", part="back")
    line = np.array(edge_of(piece, "side")["points"])
    middle = (line[0] + line[-1]) / 2
    ring = Polygon(piece["cut_line"]).union(
        Polygon([*((middle + 60.0 * np.array([np.cos(a), np.sin(a)])) for a in np.arange(0, 6.2, 0.2))])
    )
    piece["cut_line"] = list(ring.exterior.coords)[:-1]


@spoils("corner", "raw edges at its ends miss each other by ")
def a_corner_cut_back_on_one_side(told: Told) -> None:
    """The allowance at the underarm end of the back's side cut off square, the front's left whole."""
    piece = piece_with(told, "side", part="back")
    line = np.array(edge_of(piece, "side")["points"])
    top = line[np.argmin(line[:, 1])]
    blade = box(top[0] + 3.0, top[1] - 90.0, top[0] + 300.0, top[1] - 1.0)
    piece["cut_line"] = list(Polygon(piece["cut_line"]).difference(blade).exterior.coords)[:-1]


@spoils("corner", "no raw edge at an end of it")
def an_allowance_cut_away_at_the_underarm(told: Told) -> None:
    piece = piece_with(told, "side", part="back")
    line = np.array(edge_of(piece, "side")["points"])
    top = line[np.argmin(line[:, 1])]
    blade = box(top[0] + 3.0, top[1] - 90.0, top[0] + 300.0, top[1] + 12.0)
    piece["cut_line"] = list(Polygon(piece["cut_line"]).difference(blade).exterior.coords)[:-1]


@spoils("chosen", " edges, bowed by ", {"neck": "v", "neck_drop_mm": 60})
def a_v_that_bends(told: Told) -> None:
    piece = _of(told, "main", "front")
    redraw(piece, edge_of(piece, "neck"), bowed(9.0))


@spoils("chosen", " mm on a sleeve ", {"sleeve": "flared"})
def a_flared_sleeve_as_wide_as_its_arm(told: Told) -> None:
    piece = piece_with(told, "cap")
    for edge in piece["edges"]:
        edge["kind"] = "opening" if edge["kind"] == "hem" else edge["kind"]


@spoils("circle", " mm, a turn of ", {"skirt": "circle"})
def a_circle_without_half_of_its_hem(told: Told) -> None:
    edges = _of(told, "main", "skirt_back")["edges"]
    place = next(n for n, edge in enumerate(edges) if edge["kind"] == "hem")
    points = edges[place]["points"]
    half = len(points) // 2
    one = {**edges[place], "points": points[: half + 1]}
    edges[place : place + 1] = [one, {**one, "name": "rest", "kind": "facing", "points": points[half:]}]


def _band(told: Told, side: str) -> Any:
    return _of(told, "main", f"shoulder_band_{side}")


OFF: dict[str, Any] = {"sleeve": "off_shoulder"}


@spoils("band", " pieces of an off-shoulder band, sleeve is ", OFF)
def a_dress_without_its_band(told: Told) -> None:
    for side in ("front", "back"):
        _band(told, side)["part"] = "scarf"


@spoils("band", "nothing but the band finishes the top line", OFF)
def a_facing_beside_a_band(told: Told) -> None:
    _of(told, "lining", "front")["of"] = "facing"


@spoils("band", "a closed ring of ", {**OFF, "zip": "side"})
def a_ring_that_does_not_pass_the_head(told: Told) -> None:
    for side in ("front", "back"):
        for points in (edge["points"] for edge in _band(told, side)["edges"]):
            points[:] = [(x * 0.5, y) for x, y in points]
        _band(told, side)["seam_line"] = [(x * 0.5, y) for x, y in _band(told, side)["seam_line"]]


@spoils("band", " round both arms", OFF)
def a_band_as_large_as_she_is_measured(told: Told) -> None:
    told["measures"]["round_shoulders"] = 1200.0


@spoils("band", " mm of band over one arm", OFF)
def a_band_sewn_down_over_the_arm(told: Told) -> None:
    for side in ("front", "back"):
        names = {edge["name"]: edge for edge in _band(told, side)["edges"]}
        bodice, arm = names["bodice"]["points"], names["arm"]["points"]
        outer = max((*bodice, *arm))[0] - 10.0
        joint = next(point for point in bodice if any(np.hypot(point[0] - p[0], point[1] - p[1]) < 0.01 for p in arm))
        for points in (bodice, arm):
            points[:] = [(outer, y) if np.hypot(x - joint[0], y - joint[1]) < 0.01 else (x, y) for x, y in points]


@spoils("band", " mm up from the underarm", OFF)
def a_bodice_without_a_hold_under_the_arm(told: Told) -> None:
    piece = _of(told, "main", "back")
    hole = edge_of(piece, "armhole")
    place = piece["edges"].index(hole)
    x, y = hole["points"][-1]
    hole["points"] = [(x, y - 10.0), (x, y)]
    before = piece["edges"][place - 1]
    before["points"] = [*before["points"][:-1], (x, y - 10.0)]
    rejoined = [tuple(point) for edge in piece["edges"] for point in edge["points"][:-1]]
    piece["seam_line"] = rejoined


@spoils("band", "no snip where it is folded", OFF)
def a_band_without_a_snip_at_its_fold(told: Told) -> None:
    band = _band(told, "front")
    far = max(x for x, _ in band["seam_line"])
    band["notches"] = [notch for notch in band["notches"] if notch["at"][0] < far - 0.1]
