"""`faults(lay, pieces)`: every way in which a lay is not what the contract promises, in words; an empty list is a valid lay.

Written before the laying, from the contract alone; shapely only, no product code.
"""

from collections import Counter
from itertools import combinations, pairwise
from typing import Any

from shapely.geometry import Polygon

from tests.lay_checker.parts import part_faults
from tests.lay_checker.plans import plan_faults
from tests.lay_checker.rings import (
    TOL_MM,
    grain_on_cloth_deg,
    grown,
    is_symmetrical,
    same_place_distance,
    seen_from_above,
    whole_outline,
)

Told = dict[str, Any]
SHARE = 0.0005
"""Of the cloth: half of the tenth of a per cent in which a utilisation is told."""


def faults(lay: Told, pieces: Told, flaws: list[Told] | None = None) -> list[str]:
    """Faults of the top lay and of every lay in `others`. `flaws`: {"cloth", "ply", "outline"} in the cloth frame."""
    found = [f"format is {lay.get('format')}"] if lay.get("format") != 1 else []
    every = [lay, *lay["others"].values()]
    ids = Counter(ply["id"] for one in every for region in one["fold"]["regions"] for ply in region["ply"])
    found += [f"ply {name} stands {times} times in lay.json" for name, times in ids.items() if times > 1]
    by_cloth = {one["cloth"]["name"]: one for one in every}
    if len(by_cloth) != len(every):
        found.append("two lays of the same cloth")
    for cloth in {piece["cloth"] for piece in pieces["pieces"]} - set(by_cloth):
        found.append(f"no lay for cloth {cloth}")
    for name, one in by_cloth.items():
        wanted = [piece for piece in pieces["pieces"] if piece["cloth"] == name]
        found += [f"{name}: {fault}" for fault in _cloth_faults(one, wanted, [f for f in flaws or [] if f["cloth"] == name])]
    return found


def _cloth_faults(lay: Told, wanted: list[Told], flaws: list[Told]) -> list[str]:
    found = plan_faults(lay)
    regions = {region["id"]: region for region in lay["fold"]["regions"]}
    pieces = {piece["name"]: piece for piece in wanted}
    for placed in lay["placed"]:
        if placed["piece"] not in pieces or placed["region"] not in regions:
            found.append(f"{placed['piece']} in {placed['region']}: no such piece or region")
            continue
        piece, region = pieces[placed["piece"]], regions[placed["region"]]
        told = _outline_faults(placed, piece, lay) + _ply_faults(placed, region) + _inside_faults(placed, piece, region, lay)
        found += [f"{placed['piece']}: {fault}" for fault in told]
    found += _apart_faults(lay) + _count_faults(lay, pieces, regions) + _way_faults(lay, regions)
    found += _sum_faults(lay, pieces) + part_faults(lay) + _flaw_faults(lay, flaws)
    return found


def is_across(placed: Told) -> bool:
    """Read from the placed grain: across the cloth or along it (a piece's own grain is straight down it or along it)."""
    return bool(abs(placed["grain_deg"] % 180.0 - 90.0) < 45.0)


def _outline_faults(placed: Told, piece: Told, lay: Told) -> list[str]:
    outline = Polygon(placed["outline"])
    if not outline.is_valid:
        return ["its outline crosses itself"]
    if placed["on_fold"] and not piece["cut"]["on_fold"]:
        return ["laid on a fold, but it is not a fold piece"]
    is_half = bool(placed["on_fold"])
    wanted = Polygon(piece["cut_line"]) if is_half or not piece["cut"]["on_fold"] else whole_outline(piece)
    wanted = grown(wanted, piece, is_half)
    across = is_across(placed)
    lies = seen_from_above(wanted, across, placed["turned"], placed["flipped"])
    found = []
    off = same_place_distance(outline, lies)
    if off > TOL_MM:
        found.append(f"its outline is not the cut line moved (off by {off:.2f} mm)")
    grain = grain_on_cloth_deg(piece["grain_deg"], across, placed["turned"], placed["flipped"])
    if min(abs(grain - placed["grain_deg"] % 180), 180 - abs(grain - placed["grain_deg"] % 180)) > 0.01:
        found.append(f"grain_deg says {placed['grain_deg']}, the piece lies at {grain:.2f}")
    if placed["of"] != piece["of"] or placed["cloth"] != piece["cloth"]:
        found.append("`of` or `cloth` is not the piece's")
    if placed["cloth"] != lay["cloth"]["name"]:
        found.append("laid on another cloth")
    return found


def _ply_faults(placed: Told, region: Told) -> list[str]:
    ids = {ply["id"] for ply in region["ply"]}
    found = []
    if placed["plies"] != len(ids):
        found.append(f"plies says {placed['plies']}, its region has {len(ids)} layers")
    if not placed["on"] or set(placed["on"]) - ids or len(set(placed["on"])) != len(placed["on"]):
        found.append(f"on {placed['on']} is not a choice of the region's plies")
    if placed["on_fold"]:
        joined = [set(fold["joins"]) for fold in region["folds"]]
        left = set(placed["on"])
        for pair in joined:
            if pair <= left:
                left -= pair
        if left or len(placed["on"]) % 2:
            found.append("a fold piece must be on both joined plies")
    return found


def _sides(ply: Told, region: Told) -> dict[str, bool]:
    """Which of a ply's four sides is a fold."""
    folded = {fold["side"] for fold in region["folds"] if ply["id"] in fold["joins"]}
    return {side: side in folded for side in ("x0", "x1", "y0", "y1")}


def _inside_faults(placed: Told, piece: Told, region: Told, lay: Told) -> list[str]:
    low_x, low_y, high_x, high_y = Polygon(placed["outline"]).bounds
    reach = {"x0": low_x, "x1": -high_x, "y0": low_y, "y1": -high_y}
    half_gap, end = lay["cloth"]["gap_mm"] / 2, lay["cloth"]["end_mm"]
    found = []
    fold_at: set[str] = set()
    for ply in region["ply"]:
        if ply["id"] not in placed["on"]:
            continue
        limit = {"x0": ply["x"][0], "x1": -ply["x"][1], "y0": ply["y"][0], "y1": -ply["y"][1]}
        for side, is_fold in _sides(ply, region).items():
            room = reach[side] - limit[side]
            if is_fold and placed["on_fold"] and abs(room) <= TOL_MM:
                fold_at.add(side)
                continue
            least = half_gap if is_fold else end if side[0] == "x" else 0.0
            if room < least - TOL_MM:
                found.append(f"{room:.2f} mm from side {side} of {ply['id']}, {least:g} wanted")
    if placed["on_fold"]:
        found += _fold_edge_faults(placed, piece, region, fold_at)
    return found


def _fold_edge_faults(placed: Told, piece: Told, region: Told, fold_at: set[str]) -> list[str]:
    across = is_across(placed)
    wanted = {"x0", "x1"} if across else {"y0", "y1"}
    sides = fold_at & wanted
    if len(sides) != 1:
        return ["its fold edge does not lie on the fold"]
    side = sides.pop()
    line = region["ply"][0][side[0]][int(side[1])]
    length = sum(
        abs(b[1] - a[1])
        for edge in piece["edges"] if edge["fold"]
        for a, b in pairwise(edge["points"])
    )  # fmt: skip
    axis = 0 if across else 1
    ring = [*placed["outline"], placed["outline"][0]]
    on_line = sum(
        abs(b[1 - axis] - a[1 - axis]) for a, b in pairwise(ring) if abs(a[axis] - line) <= TOL_MM and abs(b[axis] - line) <= TOL_MM
    )
    if on_line < length - 1.0:  # the cut line's fold side is at least the sewing line's (allowances make it longer)
        return [f"only {on_line:.1f} of its {length:.1f} mm fold edge lie on the fold"]
    return []


def _apart_faults(lay: Told) -> list[str]:
    found = []
    shapes = [(placed, Polygon(placed["outline"])) for placed in lay["placed"]]
    gap = lay["cloth"]["gap_mm"]
    for (a, shape_a), (b, shape_b) in combinations(shapes, 2):
        if set(a["on"]) & set(b["on"]):
            apart = shape_a.distance(shape_b)
            if shape_a.intersection(shape_b).area > 0.01:
                found.append(f"{a['piece']} and {b['piece']} lie over each other")
            elif apart < gap - TOL_MM:
                found.append(f"{a['piece']} and {b['piece']} are {apart:.2f} mm apart, {gap:g} wanted")
    return found


def _count_faults(lay: Told, pieces: dict[str, Told], regions: dict[str, Told]) -> list[str]:
    as_drafted: Counter[str] = Counter()
    mirrored: Counter[str] = Counter()
    for placed in lay["placed"]:
        if placed["region"] not in regions:
            continue
        faces = {ply["id"]: ply["face"] for ply in regions[placed["region"]]["ply"]}
        if placed["on_fold"]:
            as_drafted[placed["piece"]] += len(placed["on"]) // 2
            continue
        for ply in placed["on"]:
            as_is = (faces.get(ply) == "right") != placed["flipped"]
            (as_drafted if as_is else mirrored)[placed["piece"]] += 1
    found = []
    for name, piece in pieces.items():
        good, other, count = as_drafted[name], mirrored[name], piece["cut"]["count"]
        if good + other != count:
            found.append(f"{name}: {good + other} laid, {count} wanted")
        elif piece["cut"]["mirrored"] and good != other:
            found.append(f"{name}: {good} as drafted and {other} mirror images are no pairs")
        elif not piece["cut"]["mirrored"] and other and not _has_no_hand(piece):
            found.append(f"{name}: {other} laid as mirror images")
    return found


def _has_no_hand(piece: Told) -> bool:
    return bool(piece["cut"]["on_fold"]) or is_symmetrical(Polygon(piece["cut_line"]))


def _way_faults(lay: Told, regions: dict[str, Told]) -> list[str]:
    """Along or across as the cloth's up says, and all the same way round on each ply's own cloth."""
    up, plan = lay["cloth"]["up"], lay["fold"]["plan"]
    ways: set[tuple[bool, bool]] = set()
    found = []
    for placed in lay["placed"]:
        across = is_across(placed)
        if (up == "along" and across) or (up == "across" and not across):
            found.append(f"{placed['piece']}: lies {'across' if across else 'along'}, the cloth's up is {up}")
        if up == "none" and across != (plan in ("crosswise", "quarters_across")):
            found.append(f"{placed['piece']}: lies {'across' if across else 'along'} in plan {plan}")
        for ply in regions.get(placed["region"], {"ply": []})["ply"]:
            if ply["id"] in placed["on"]:
                length_against = ply["turned"] == 180
                width_against = (ply["face"] == "wrong") != (ply["turned"] == 180)
                ways.add((across, (placed["turned"] == 180) != (width_against if across else length_against)))
    if up in ("along", "across") and len(ways) > 1:
        found.append("not all pieces lie the same way round on their own cloth")
    return found


def _sum_faults(lay: Told, pieces: dict[str, Told]) -> list[str]:
    area = 0.0
    for piece in pieces.values():
        one = whole_outline(piece) if piece["cut"]["on_fold"] else Polygon(piece["cut_line"])
        area += piece["cut"]["count"] * grown(one, piece, False).area
    used = lay["cloth"]["width_mm"] * lay["cloth_needed_mm"]
    if abs(area / used - lay["utilisation"]) > SHARE:
        return [f"utilisation says {lay['utilisation']:.4f}, area over cloth is {area / used:.4f}"]
    return []


def _flaw_faults(lay: Told, flaws: list[Told]) -> list[str]:
    return [
        f"{placed['piece']} lies on a flaw"
        for flaw in flaws
        for placed in lay["placed"]
        if flaw["ply"] in placed["on"] and Polygon(placed["outline"]).intersection(Polygon(flaw["outline"])).area > 0.01
    ]


def phase_faults(repeat_mm: float, points: dict[str, float], tol_mm: float = 0.5) -> list[str]:
    """Repeat along the cloth: matched points (cloth x by placed piece name) must stand at one phase."""
    phases = {name: x % repeat_mm for name, x in points.items()}
    first = next(iter(phases.values()), 0.0)
    worst = {name: min(abs(p - first), repeat_mm - abs(p - first)) for name, p in phases.items()}
    return [f"{name}: {off:.2f} mm out of phase" for name, off in worst.items() if off > tol_mm]
