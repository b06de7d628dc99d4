"""What each fold plan must look like: plies, faces, turns, folds, sums across the cloth. From DRAFT's R1 and the contract."""

from itertools import pairwise
from typing import Any

from tests.lay_checker.rings import TOL_MM

Told = dict[str, Any]
LAYERS = {
    "open": {1},
    "lengthwise": {2},
    "off_centre": {1, 2},
    "crosswise": {2},
    "quarters_along": {4},
    "quarters_across": {4},
    "crossed_four": {4},
}
FOLD_SIDES = {
    "open": set(), "lengthwise": {"y0"}, "off_centre": {"y0"}, "crosswise": {"x0"},
    "quarters_along": {"y0", "y1"}, "quarters_across": {"x0", "x1"}, "crossed_four": {"x0", "y0"},
}  # fmt: skip


def plan_faults(lay: Told) -> list[str]:
    """Faults of the fold itself, in words."""
    plan, cloth, regions = lay["fold"]["plan"], lay["cloth"], lay["fold"]["regions"]
    found: list[str] = []
    ids = [ply["id"] for region in regions for ply in region["ply"]]
    if len(ids) != len(set(ids)):
        found.append("two plies carry the same id")
    for region in regions:
        name = region["id"]
        if len(region["ply"]) not in LAYERS[plan]:
            found.append(f"{name}: {len(region['ply'])} layers, plan {plan} has others")
        if {fold["side"] for fold in region["folds"]} - FOLD_SIDES[plan]:
            found.append(f"{name}: a fold that plan {plan} does not have")
        if len(region["ply"]) > 1 and {fold["side"] for fold in region["folds"]} != FOLD_SIDES[plan]:
            found.append(f"{name}: folds of plan {plan} are missing")
        if not 0 <= region["bundle"] < len(cloth["lengths_mm"]):
            found.append(f"{name}: bundle {region['bundle']} is not in hand")
        if [ply["id"] for ply in region["ply"]] != [f"{name}.{n + 1}" for n in range(len(region["ply"]))]:
            found.append(f"{name}: ply ids are not {name}.N from the top")
        found += _fold_faults(region) + _span_faults(region)
    return found + _width_faults(lay) + _length_faults(lay)


def _fold_faults(region: Told) -> list[str]:
    plies = {ply["id"]: ply for ply in region["ply"]}
    found = []
    for fold in region["folds"]:
        if set(fold["joins"]) - set(plies):
            found.append(f"{region['id']}: a fold joins plies that are not there")
            continue
        a, b = (plies[name] for name in fold["joins"])
        axis, end = fold["side"][0], int(fold["side"][1])
        if a["face"] == b["face"]:
            found.append(f"{region['id']}: a fold joins two plies of the same face")
        if (a["turned"] == b["turned"]) != (axis == "y"):
            found.append(f"{region['id']}: plies joined at {fold['side']} are turned wrongly")
        if abs(a[axis][end] - b[axis][end]) > TOL_MM:
            found.append(f"{region['id']}: plies joined at {fold['side']} do not end at one line")
    return found


def _span_faults(region: Told) -> list[str]:
    found = []
    for axis in "xy":
        low = min(ply[axis][0] for ply in region["ply"])
        high = max(ply[axis][1] for ply in region["ply"])
        if abs(low - region[axis][0]) > TOL_MM or abs(high - region[axis][1]) > TOL_MM:
            found.append(f"{region['id']}: the region's {axis} does not span its plies")
        if any(ply[axis][1] <= ply[axis][0] for ply in region["ply"]):
            found.append(f"{region['id']}: a ply of no size")
    return found


def _width_faults(lay: Told) -> list[str]:
    """Across the cloth everything must add up to its width (each selvedge off once)."""
    plan, cloth = lay["fold"]["plan"], lay["cloth"]
    width, trim = cloth["width_mm"], cloth["selvedge_mm"]
    found = []
    for region in lay["fold"]["regions"]:
        ys = [ply["y"] for ply in region["ply"]]
        taken = sum(high - low for low, high in ys)
        if plan in ("open", "crosswise", "quarters_across") and any(abs(high - low - (width - 2 * trim)) > TOL_MM for low, high in ys):
            found.append(f"{region['id']}: layers are not the usable width")
        if plan == "lengthwise" and (abs(taken - (width - 2 * trim)) > TOL_MM or abs(ys[0][1] - ys[1][1]) > TOL_MM):
            found.append(f"{region['id']}: the two layers do not make the usable width")
        if plan in ("quarters_along", "crossed_four"):
            wanted = (width - 2 * trim) * (1 if plan == "quarters_along" else 2)
            if abs(taken - wanted) > TOL_MM:
                found.append(f"{region['id']}: four layers hold {taken:.1f} across, cloth has {wanted:.1f}")
    if plan == "off_centre":
        found += _off_centre_faults(lay, width - 2 * trim)
    return found


def _off_centre_faults(lay: Told, usable: float) -> list[str]:
    found = []
    for bundle in {region["bundle"] for region in lay["fold"]["regions"]}:
        here = [region for region in lay["fold"]["regions"] if region["bundle"] == bundle]
        double = [region for region in here if len(region["ply"]) == 2]
        single = [region for region in here if len(region["ply"]) == 1]
        if len(double) != 1 or len(single) > 1:
            found.append("off-centre: one doubled part and at most one single part are wanted")
            continue
        depth = double[0]["y"][1]
        if double[0]["y"][0] != 0 or 2 * depth > usable + TOL_MM:
            found.append(f"off-centre: {depth:.1f} doubled does not fit in {usable:.1f}")
        for region in single:
            if region["y"][0] < depth - TOL_MM or region["y"][1] > usable - depth + TOL_MM:
                found.append("off-centre: the single layer lies under the doubled part or beyond the selvedge")
    return found


def _length_faults(lay: Told) -> list[str]:
    """Along the cloth: no bundle gives more than it has; several regions of one bundle share its length or lie one after the other."""
    plan, cloth, found = lay["fold"]["plan"], lay["cloth"], []
    total = 0.0
    for bundle, have in enumerate(cloth["lengths_mm"]):
        here = [region for region in lay["fold"]["regions"] if region["bundle"] == bundle]
        spans = sorted({tuple(region["x"]) for region in here})
        if any(second[0] < first[1] - TOL_MM for first, second in pairwise(spans)):
            found.append(f"bundle {bundle}: its regions run into each other along the cloth")
        used = 0.0
        for span in spans:
            stack = next(region for region in here if tuple(region["x"]) == span)
            times = {"crosswise": 2, "crossed_four": 2}.get(plan, 1)
            if plan == "quarters_across":
                used += sum(ply["x"][1] - ply["x"][0] for ply in stack["ply"])
            else:
                used += times * (span[1] - span[0])
        if used > have + TOL_MM:
            found.append(f"bundle {bundle}: {used:.1f} used, {have:.1f} in hand")
        total += used
    if abs(total - lay["cloth_needed_mm"]) > 0.5:
        found.append(f"cloth_needed_mm says {lay['cloth_needed_mm']:.1f}, the regions use {total:.1f}")
    return found
