"""Parts in the light: every piece whole in its part where it can be, slides one way only, marks in both lights."""

from typing import Any

from shapely.geometry import Point, Polygon

from tests.lay_checker.rings import TOL_MM

Told = dict[str, Any]


def part_faults(lay: Told) -> list[str]:
    """Faults of `parts` and of the `part` that each placed piece names."""
    parts, regions = lay["parts"], {region["id"]: region for region in lay["fold"]["regions"]}
    if not parts:
        return ["no parts"]
    found: list[str] = []
    for placed in lay["placed"]:
        if not 0 <= placed["part"] < len(parts):
            found.append(f"{placed['piece']}: part {placed['part']} does not exist")
            continue
        part = parts[placed["part"]]
        region = regions.get(placed["region"])
        if region and part["bundle"] != region["bundle"]:
            found.append(f"{placed['piece']}: its part lies on another length")
        found += _whole_faults(placed, parts, part["bundle"])
    for number, part in enumerate(parts):
        found += _slide_faults(number, part, parts)
        plies = [ply for region in regions.values() if region["bundle"] == part["bundle"] for ply in region["ply"]]
        found += [
            f"part {number}: a sliding mark is on no cloth" for spot in part["spots"] if not any(_lies_on(spot, ply) for ply in plies)
        ]
    return found or _back_faults(lay)


def _lies_on(spot: list[float], ply: Told) -> bool:
    """Within a layer as told: selvedges are trimmed off and lie loose."""
    return all(ply[axis][0] - TOL_MM <= at <= ply[axis][1] + TOL_MM for axis, at in zip("xy", spot, strict=True))


def _back_faults(lay: Told) -> list[str]:
    """A piece under another is cut after it. In an earlier part it makes her pull the cloth back, which is a fault where one of the
    two could have been in a part with, or beyond, the other."""
    parts, depth = lay["parts"], {region["id"]: [ply["id"] for ply in region["ply"]] for region in lay["fold"]["regions"]}
    found = []
    for low in lay["placed"]:
        for high in lay["placed"]:
            if low["region"] != high["region"] or high["part"] <= low["part"]:
                continue
            order = depth.get(low["region"], [])
            if not set(low["on"]) | set(high["on"]) <= set(order):
                continue  # told where layers are checked
            if max(map(order.index, high["on"])) >= min(map(order.index, low["on"])):
                continue
            under, over = Polygon(low["outline"]), Polygon(high["outline"])
            if under.buffer(-1.0).intersection(over).area < 20.0:
                continue
            later = any(_holds(part, under) for part in parts[high["part"] :] if part["bundle"] == parts[high["part"]]["bundle"])
            if later or (_holds(parts[low["part"]], over) and not _holds_back(high, low["part"], lay)):
                found.append(f"{low['piece']}: lies under {high['piece']} of a later part; the cloth is pulled back for it")
    return found


def _holds_back(high: Told, part: int, lay: Told) -> bool:
    """Something above this piece is cut later than `part`."""
    own = Polygon(high["outline"]).buffer(-1.0)
    order = {ply["id"]: n for region in lay["fold"]["regions"] for n, ply in enumerate(region["ply"])}
    top = min(order.get(ply, -1) for ply in high["on"])
    return any(
        other["region"] == high["region"]
        and other["part"] > part
        and max(order.get(ply, 99) for ply in other["on"]) < top
        and own.intersects(Polygon(other["outline"]))
        for other in lay["placed"]
    )


def _holds(part: Told, outline: Polygon) -> bool:
    x0, y0, x1, y1 = part["rect"]
    low_x, low_y, high_x, high_y = outline.bounds
    return bool(low_x >= x0 - TOL_MM and low_y >= y0 - TOL_MM and high_x <= x1 + TOL_MM and high_y <= y1 + TOL_MM)


def _whole_faults(placed: Told, parts: list[Told], bundle: int) -> list[str]:
    outline = Polygon(placed["outline"])
    if _holds(parts[placed["part"]], outline):
        return []
    low_x, low_y, high_x, high_y = outline.bounds
    here = [part["rect"] for part in parts if part["bundle"] == bundle]
    if any(high_x - low_x <= r[2] - r[0] and high_y - low_y <= r[3] - r[1] for r in here):
        return [f"{placed['piece']}: would fit whole into the light, its part cuts it"]
    rest = outline
    for x0, y0, x1, y1 in here:
        rest = rest.difference(Polygon([(x0, y0), (x1, y0), (x1, y1), (x0, y1)]).buffer(TOL_MM))
    return [] if rest.area < 1.0 else [f"{placed['piece']}: some of it is in no part"]


def _slide_faults(number: int, part: Told, parts: list[Told]) -> list[str]:
    came = part["slide_from"]
    if came is None:
        first = min(n for n, other in enumerate(parts) if other["bundle"] == part["bundle"])
        return [] if number == first else [f"part {number}: comes from nowhere"]
    if not 0 <= came < number or parts[came]["bundle"] != part["bundle"]:
        return [f"part {number}: cannot slide from {came}"]
    before = parts[came]
    found = []
    if part["rect"][0] < before["rect"][0] - TOL_MM:
        found.append(f"part {number}: slides the cloth back")
    if len(part["spots"]) != 2:
        return [*found, f"part {number}: two sliding marks are wanted"]
    for spot in part["spots"]:
        for rect in (before["rect"], part["rect"]):
            if not (rect[0] - TOL_MM <= spot[0] <= rect[2] + TOL_MM and rect[1] - TOL_MM <= spot[1] <= rect[3] + TOL_MM):
                found.append(f"part {number}: a sliding mark is not in both lights")
    if Point(part["spots"][0]).distance(Point(part["spots"][1])) < 100.0:
        found.append(f"part {number}: the two sliding marks are too near each other to hold a turn")
    return found
