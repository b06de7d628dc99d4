"""A small lay written by hand as the contract's JSON: a skirt half on the fold and a pair of sleeves; folds of every plan. mm."""

from typing import Any

Told = dict[str, Any]
Ring = list[list[float]]

USABLE_MM, SELVEDGE_MM, LONG_MM = 980.0, 10.0, 400.0
"""Cloth 1000 mm wide; each layer of the small lay so long."""
SKIRT: Ring = [[0, 0], [100, 0], [100, 300], [0, 300]]
SLEEVE: Ring = [[0, 0], [120, 0], [150, 200], [0, 200]]


def _piece(name: str, ring: Ring, *, on_fold: bool, count: int) -> Told:
    fold = [{"name": "centre", "kind": "centre", "points": [ring[-1], ring[0]], "allowance_mm": 0.0, "fold": True}] if on_fold else []
    return {
        "name": name, "of": "main", "cloth": "main", "cut": {"on_fold": on_fold, "count": count, "mirrored": not on_fold},
        "grain_deg": 90.0, "edges": fold, "seam_line": ring, "cut_line": ring, "levels": {}, "block_mm": 0.0,
    }  # fmt: skip


def _placed(name: str, ring: Ring, shift: tuple[float, float], on: list[str], *, on_fold: bool = False) -> Told:
    """The garment's length along the cloth: cloth (x, y) = piece (y, x) + shift."""
    return {
        "piece": name, "of": "main", "cloth": "main", "region": "m", "plies": 2, "on": on, "part": 0,
        "outline": [[y + shift[0], x + shift[1]] for x, y in ring], "grain_deg": 0.0, "turned": 0, "flipped": False, "on_fold": on_fold,
    }  # fmt: skip


def ply(name: str, x: tuple[float, float], y: tuple[float, float], face: str, turned: int = 0) -> Told:
    """One layer."""
    return {"id": name, "x": list(x), "y": list(y), "turned": turned, "face": face}


def region(name: str, plies: list[Told], folds: list[tuple[str, int, int]], bundle: int = 0) -> Told:
    """Layers from the top; folds as (side, layer, layer) counted from 1. It spans its layers."""
    span = {axis: [min(one[axis][0] for one in plies), max(one[axis][1] for one in plies)] for axis in "xy"}
    told = [{"side": side, "joins": [plies[a - 1]["id"], plies[b - 1]["id"]]} for side, a, b in folds]
    return {"id": name, "bundle": bundle, **span, "ply": plies, "folds": told}


def fold_of(plan: str) -> list[Told]:
    """A right fold of each plan on cloth 1000 mm wide."""
    whole, half, along = (10.0, 990.0), (0.0, USABLE_MM / 2), (0.0, LONG_MM)
    faces = ["wrong", "right", "wrong", "right"]
    if plan == "open":
        return [region("m", [ply("m.1", along, whole, "right")], [])]
    if plan == "lengthwise":
        return [region("m", [ply(f"m.{n + 1}", along, half, faces[n]) for n in (0, 1)], [("y0", 1, 2)])]
    if plan == "off_centre":
        double = region("m", [ply(f"m.{n + 1}", along, (0.0, 300.0), faces[n]) for n in (0, 1)], [("y0", 1, 2)])
        return [double, region("ms", [ply("ms.1", along, (310.0, 680.0), "right")], [])]
    if plan == "crosswise":
        return [region("m", [ply(f"m.{n + 1}", along, whole, faces[n], (180, 0)[n]) for n in (0, 1)], [("x0", 1, 2)])]
    if plan == "quarters_along":  # DRAFT R1: z = 30 less the selvedge, four quarters of 235 and twice 20 make 980
        ys = [(0.0, 235.0), (0.0, 235.0), (-20.0, 235.0), (-20.0, 235.0)]
        plies = [ply(f"m.{n + 1}", along, y, faces[n]) for n, y in enumerate(ys)]
        return [region("m", plies, [("y0", 1, 2), ("y1", 1, 4), ("y1", 2, 3)])]
    if plan == "quarters_across":
        xs = [(0.0, 235.0), (0.0, 235.0), (-20.0, 235.0), (-20.0, 235.0)]
        plies = [ply(f"m.{n + 1}", x, whole, faces[n], (180, 0, 180, 0)[n]) for n, x in enumerate(xs)]
        return [region("m", plies, [("x0", 1, 2), ("x1", 1, 4), ("x1", 2, 3)])]
    plies = [ply(f"m.{n + 1}", along, half, faces[n], (0, 180, 180, 0)[n]) for n in range(4)]
    return [region("m", plies, [("y0", 2, 3), ("y0", 1, 4), ("x0", 1, 2), ("x0", 3, 4)])]


NEEDED_MM = {"crosswise": 800.0, "crossed_four": 800.0, "quarters_across": 980.0}


def lay_of(plan: str, placed: list[Told] | None = None) -> Told:
    """A lay of one cloth; without pieces unless given."""
    area = 2 * 100.0 * 300.0 + 2 * 200.0 * 135.0 if placed else 0.0
    needed = NEEDED_MM.get(plan, LONG_MM)
    cloth = {
        "name": "main", "width_mm": 1000.0, "lengths_mm": [3000.0], "up": "none", "gap_mm": 4.0, "end_mm": 10.0,
        "selvedge_mm": SELVEDGE_MM, "ply_mm": 0.4,
    }  # fmt: skip
    return {
        "format": 1, "cloth": cloth, "fold": {"plan": plan, "regions": fold_of(plan)}, "placed": placed or [],
        "parts": [{"bundle": 0, "rect": [0.0, 0.0, 400.0, 490.0], "slide_from": None, "spots": []}],
        "cloth_needed_mm": needed, "utilisation": area / (1000.0 * needed), "trials": 1, "seed": 1, "why": [], "others": {},
    }  # fmt: skip


def small() -> tuple[Told, Told]:
    """lay.json and pieces.json: folded along, the skirt's half on the fold, the sleeves beside it on both layers."""
    both = ["m.1", "m.2"]
    placed = [_placed("skirt", SKIRT, (10.0, 0.0), both, on_fold=True), _placed("sleeve", SLEEVE, (10.0, 104.0), both)]
    pieces = [_piece("skirt", SKIRT, on_fold=True, count=1), _piece("sleeve", SLEEVE, on_fold=False, count=2)]
    return lay_of("lengthwise", placed), {"format": 1, "pieces": pieces}


def two_lights() -> Told:
    """The small lay in two lights that share 200 mm: the skirt in the first, the sleeves in the second."""
    lay, _ = small()
    lay["parts"] = [
        {"bundle": 0, "rect": [0.0, 0.0, 320.0, 490.0], "slide_from": None, "spots": []},
        {"bundle": 0, "rect": [5.0, 0.0, 325.0, 490.0], "slide_from": 0, "spots": [[50.0, 50.0], [300.0, 450.0]]},
    ]
    lay["placed"][1]["part"] = 1
    return lay


def bound() -> Told:
    """The open fold with two bias strips of 40 mm side by side, 300 mm of cloth across; joined 774.6 mm."""
    lay = lay_of("open")
    aslant = 40.0 * 2**0.5
    strips = [[[20 + n * aslant, 20], [20 + (n + 1) * aslant, 20], [320 + (n + 1) * aslant, 320], [320 + n * aslant, 320]] for n in (0, 1)]
    lay["fold"]["regions"][0]["x"] = lay["fold"]["regions"][0]["ply"][0]["x"] = [0.0, 600.0]
    length = 2 * 300.0 * 2**0.5 - 2 * 12.0 * 2**0.5 - 40.0
    lay["binding"] = {"strips": strips, "width_mm": 40.0, "length_mm": length, "region": "m", "extra_mm": 0.0}
    return lay
