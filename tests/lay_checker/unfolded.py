"""A second reading of the contract: every layer unfolded onto the flat cloth, right side up, and judged there.

A ply's own length runs against x when it is turned; its own width against y when face is wrong and it is not turned, or right
and turned. Where two plies join at a fold they meet in one line of the flat cloth. Shapely only, no product code.
"""

from itertools import combinations
from typing import Any

from shapely.affinity import affine_transform
from shapely.geometry import Polygon, box

from tests.lay_checker.rings import TOL_MM

Told = dict[str, Any]
Way = tuple[float, float, float, float]
"""Flat cloth from folded: x and y signs, x and y shifts."""


def unfolded_faults(lay: Told) -> list[str]:
    """Faults of one cloth's lay seen flat: folds that contradict each other, layers over each other, copies too near, cloth used."""
    found: list[str] = []
    used: dict[int, float] = {}
    for region in lay["fold"]["regions"]:
        ways, told = _ways(region)
        found += told
        if told:
            continue
        flat = {ply["id"]: _flat(box(ply["x"][0], ply["y"][0], ply["x"][1], ply["y"][1]), ways[ply["id"]]) for ply in region["ply"]}
        if any(a.intersection(b).area > 1.0 for a, b in combinations(flat.values(), 2)):
            found.append(f"{region['id']}: two layers are one piece of the flat cloth")
        low_x, low_y = (min(one.bounds[n] for one in flat.values()) for n in (0, 1))
        high_x, high_y = (max(one.bounds[n] for one in flat.values()) for n in (2, 3))
        if high_y - low_y > lay["cloth"]["width_mm"] - 2 * lay["cloth"]["selvedge_mm"] + TOL_MM:
            found.append(f"{region['id']}: unfolds to {high_y - low_y:.1f} mm across")
        used[region["bundle"]] = max(used.get(region["bundle"], 0.0), high_x - low_x)
        found += _copies_faults(lay, region, ways, (low_x, high_x))
    found += _neighbour_faults(lay)
    if abs(sum(used.values()) - lay["cloth_needed_mm"]) > 0.5:
        found.append(f"cloth_needed_mm says {lay['cloth_needed_mm']:.1f}, unfolded it is {sum(used.values()):.1f}")
    return found


def _neighbour_faults(lay: Told) -> list[str]:
    """A single layer beside a doubled part goes on from the layer of its own face: one cloth, and it lies as in the cloth frame."""
    regions = lay["fold"]["regions"]
    alone = {region["bundle"]: region["ply"][0]["face"] for region in regions if len(region["ply"]) == 1}
    beside = {ply["id"]: region["bundle"] for region in regions for ply in region["ply"] if ply["face"] == alone.get(region["bundle"])}
    here = [(placed, Polygon(placed["outline"]), {beside[ply] for ply in placed["on"] if ply in beside}) for placed in lay["placed"]]
    return [
        f"flat: in regions beside each other {one['piece']} and {other['piece']} are {a.distance(b):.2f} mm apart"
        for (one, a, bundle), (other, b, same) in combinations(here, 2)
        if one["region"] != other["region"] and bundle & same and a.distance(b) < lay["cloth"]["gap_mm"] - TOL_MM
    ]


def _ways(region: Told) -> tuple[dict[str, Way], list[str]]:
    """How each ply unfolds, the first one staying where it is."""
    plies = {ply["id"]: ply for ply in region["ply"]}
    signs = {}
    for name, ply in plies.items():
        is_turned, is_wrong = ply["turned"] == 180, ply["face"] == "wrong"
        signs[name] = (-1.0 if is_turned else 1.0, -1.0 if is_wrong != is_turned else 1.0)
    first = region["ply"][0]["id"]
    shifts, todo, found = {first: (0.0, 0.0)}, [first], []
    while todo:
        here = todo.pop()
        for fold in (fold for fold in region["folds"] if here in fold["joins"]):
            there = next(name for name in fold["joins"] if name != here)
            axis = "xy".index(fold["side"][0])
            line = plies[here]["xy"[axis]][int(fold["side"][1])]
            if signs[here][axis] == signs[there][axis] or signs[here][1 - axis] != signs[there][1 - axis]:
                found.append(f"{region['id']}: {here} and {there} do not lie as one fold leaves them")
            shift = list(shifts[here])
            shift[axis] += (signs[here][axis] - signs[there][axis]) * line
            if there not in shifts:
                shifts[there] = (shift[0], shift[1])
                todo.append(there)
            elif max(abs(a - b) for a, b in zip(shift, shifts[there], strict=True)) > TOL_MM:
                found.append(f"{region['id']}: its folds contradict each other at {there}")
    if len(shifts) < len(plies):
        found.append(f"{region['id']}: a layer is joined to nothing")
    return {name: (*signs[name], *shifts[name]) for name in shifts}, found


def _flat(shape: Polygon, way: Way) -> Polygon:
    return affine_transform(shape, [way[0], 0.0, 0.0, way[1], way[2], way[3]])


def _copies_faults(lay: Told, region: Told, ways: dict[str, Way], ends: tuple[float, float]) -> list[str]:
    """Copies cut out of the flat cloth: gap apart (two halves of one piece meet at their fold), end_mm from both cut ends."""
    gap, end, found = lay["cloth"]["gap_mm"], lay["cloth"]["end_mm"], []
    copies = [
        (number, placed, _flat(Polygon(placed["outline"]), ways[ply]))
        for number, placed in enumerate(lay["placed"]) if placed["region"] == region["id"]
        for ply in placed["on"]
    ]  # fmt: skip
    for (a, one, shape_a), (b, other, shape_b) in combinations(copies, 2):
        is_one_piece = a == b and one["on_fold"]
        if not is_one_piece and shape_a.distance(shape_b) < gap - TOL_MM:
            found.append(f"flat: {one['piece']} is cut {shape_a.distance(shape_b):.2f} mm from {other['piece']}")
    for _, placed, shape in copies:
        if shape.bounds[0] < ends[0] + end - TOL_MM or shape.bounds[2] > ends[1] - end + TOL_MM:
            found.append(f"flat: {placed['piece']} lies too near a cut end")
    return found


def flaws_on_plies(lay: Told, flaws: list[Told]) -> list[Told]:
    """Where flaws of the flat cloth (x from the cut end, y from the left selvedge, right side up; mm) show on each layer as folded."""
    found, trim = [], lay["cloth"]["selvedge_mm"]
    for bundle in {region["bundle"] for region in lay["fold"]["regions"]}:
        here = [region for region in lay["fold"]["regions"] if region["bundle"] == bundle]
        ways = {name: way for region in here for name, way in _ways(region)[0].items()}
        plies = [ply for region in here for ply in region["ply"]]
        flat = [_flat(box(ply["x"][0], ply["y"][0], ply["x"][1], ply["y"][1]), ways[ply["id"]]) for ply in plies]
        left = min(shape.bounds[1] for shape in flat) - trim
        for flaw in flaws:
            if flaw["bundle"] == bundle:
                spot = box(flaw["x"], left + flaw["y"], flaw["x"] + flaw["along"], left + flaw["y"] + flaw["across"])
                found += [
                    {"cloth": lay["cloth"]["name"], "ply": ply["id"], "outline": _folded(spot, ways[ply["id"]])}
                    for ply, shape in zip(plies, flat, strict=True)
                    if shape.buffer(trim, join_style="mitre").intersects(spot)
                ]
    return found


def _folded(shape: Polygon, way: Way) -> list[list[float]]:
    """The other way: from the flat cloth to where it lies."""
    back = affine_transform(shape, [way[0], 0.0, 0.0, way[1], -way[0] * way[2], -way[1] * way[3]])
    return [[float(x), float(y)] for x, y in back.exterior.coords[:-1]]
