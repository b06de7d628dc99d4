"""Parts: what fits in the light at one time. The cloth is pulled along in one direction; it never goes back.

The light is a rectangle on the table, x along the cloth. Pieces lie whole in a part wherever they are no larger than the light.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import permutations
from math import ceil

from shapely.geometry import Polygon

from projector.garment.pieces import Point
from projector.lay.cloth import Light
from projector.lay.lay import Part, Placed, Region, Span

MARK_MM = 40.0
"""Sliding marks lie this far inside both lights (a pin and a thumb's width)."""
OVERLAP_MM = 120.0
"""Two lights share at least this much cloth along the slide."""
OVER_MM2 = 1.0
"""Pieces that share less lie beside each other."""
Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class _Window:
    x: float
    y: float


def box_of(outline: Sequence[Point]) -> Box:
    """Least x, least y, greatest x, greatest y."""
    xs, ys = [point[0] for point in outline], [point[1] for point in outline]
    return min(xs), min(ys), max(xs), max(ys)


def _starts(spans: Sequence[tuple[float, float]], light: float, whole: tuple[float, float]) -> list[float]:
    """Where windows of length `light` begin so that every span no longer than it lies whole in one of them.

    Greedy from the low end; neighbours overlap by OVERLAP_MM; the windows reach from end to end of `whole`.
    """
    low, high = whole
    found = [low]
    left = [span for span in spans if span[1] - span[0] <= light]
    while found[-1] + light < high - 1e-6:
        left = [span for span in left if span[1] > found[-1] + light + 1e-6]  # these begin later than this window
        begin = min([found[-1] + light - OVERLAP_MM, high - light, *(span[0] for span in left)])
        found.append(begin)
    return found


def _windows(boxes: Sequence[Box], whole: Box, light: Light) -> list[_Window]:
    """Columns along the cloth; within a column rows across, up and down in turn, so that no slide goes back."""
    xs = _starts([(box[0], box[2]) for box in boxes], light.width_mm, (whole[0], whole[2]))
    ys = _starts([(box[1], box[3]) for box in boxes], light.height_mm, (whole[1], whole[3]))
    made = []
    for number, x in enumerate(xs):
        made += [_Window(x, y) for y in (ys if number % 2 == 0 else ys[::-1])]
    return made


def make_parts(placed: Sequence[Placed], regions: Sequence[Region], light: Light) -> tuple[tuple[Placed, ...], tuple[Part, ...]]:
    """Assign each placed piece its part; returns the pieces with their part, and the parts in the order they are lit."""
    parts: list[Part] = []
    numbered: dict[int, int] = {}
    bundle_of = {region.id: region.bundle for region in regions}
    for bundle in sorted({region.bundle for region in regions}):
        here = [region for region in regions if region.bundle == bundle]
        mine = [(number, box_of(each.outline)) for number, each in enumerate(placed) if bundle_of[each.region] == bundle]
        whole = (
            min(region.x[0] for region in here), min(region.y[0] for region in here),
            max(region.x[1] for region in here), max(region.y[1] for region in here),
        )  # fmt: skip
        windows = _windows([box for _, box in mine], whole, light)
        first = len(parts)
        for number, window in enumerate(windows):
            rect = (window.x, window.y, window.x + light.width_mm, window.y + light.height_mm)
            came = None if number == 0 else first + number - 1
            spots = () if came is None else _spots(parts[came].rect, rect, whole, [region.y for region in here])
            parts.append(Part(bundle, rect, came, spots))
        for number, box in mine:
            numbered[number] = first + _best_window([part.rect for part in parts[first:]], box)
    _never_back(placed, regions, parts, numbered)
    return tuple(replace(each, part=numbered[number]) for number, each in enumerate(placed)), tuple(parts)


def _never_back(placed: Sequence[Placed], regions: Sequence[Region], parts: Sequence[Part], numbered: dict[int, int]) -> None:
    """Light what lies under a piece no earlier than that piece, or the cloth is pulled back for it: changes `numbered`.

    The lower piece goes to a later part that holds it whole; where none does, the upper one to the earlier part.
    """
    pairs = _stacked(placed, regions)
    for _ in pairs:
        before = dict(numbered)
        for high, low in pairs:
            if numbered[low] >= numbered[high]:
                continue
            bundle = parts[numbered[high]].bundle
            later = [n for n in range(numbered[high], len(parts)) if parts[n].bundle == bundle and fits(placed[low], parts[n])]
            if later:
                numbered[low] = later[0]
            elif fits(placed[high], parts[numbered[low]]) and all(
                numbered[above] <= numbered[low] for above, under in pairs if under == high
            ):
                numbered[high] = numbered[low]
        if numbered == before:
            return


def _stacked(placed: Sequence[Placed], regions: Sequence[Region]) -> list[tuple[int, int]]:
    """(upper, lower) numbers of the pieces of which one lies over the other."""
    depth = {ply.id: number for region in regions for number, ply in enumerate(region.ply)}
    shapes = [Polygon(each.outline).buffer(0) for each in placed]
    told = []
    for high, low in permutations(range(len(placed)), 2):
        upper, under = placed[high], placed[low]
        if upper.region != under.region or max(depth[ply] for ply in upper.on) >= min(depth[ply] for ply in under.on):
            continue
        if shapes[high].intersects(shapes[low]) and shapes[high].intersection(shapes[low]).area > OVER_MM2:
            told.append((high, low))
    return told


def fits(placed: Placed, part: Part) -> bool:
    """The piece lies whole in this light."""
    x0, y0, x1, y1 = box_of(placed.outline)
    return part.rect[0] <= x0 + 0.5 and part.rect[1] <= y0 + 0.5 and x1 <= part.rect[2] + 0.5 and y1 <= part.rect[3] + 0.5


def _best_window(rects: Sequence[Box], box: Box) -> int:
    """The window that holds the box whole and nearest its middle (under the lens), the earliest of equals; else the one that
    holds most of it."""

    def off(rect: Box) -> tuple[float, float]:
        out = sum(max(0.0, rect[n] - box[n]) + max(0.0, box[n + 2] - rect[n + 2]) for n in (0, 1))
        middle = abs((rect[0] + rect[2]) - (box[0] + box[2])) + abs((rect[1] + rect[3]) - (box[1] + box[3]))
        return (round(out, 3), ceil(middle / 50.0))

    return min(range(len(rects)), key=lambda number: (*off(rects[number]), number))


def _spots(before: Box, after: Box, whole: Box, across: Sequence[Span]) -> tuple[Point, Point]:
    """Two places far from each other in both lights and on the cloth. `across`: y of each region, between which a selvedge may lie."""
    x0, x1 = max(before[0], after[0], whole[0]), min(before[2], after[2], whole[2])
    y0, y1 = max(before[1], after[1], whole[1]), min(before[3], after[3], whole[3])
    inset_x, inset_y = min(MARK_MM, (x1 - x0) / 4), min(MARK_MM, (y1 - y0) / 4)
    return (x0 + inset_x, _on_cloth(y0 + inset_y, across)), (x1 - inset_x, _on_cloth(y1 - inset_y, across))


def _on_cloth(y: float, across: Sequence[Span]) -> float:
    """The nearest y that lies on a region."""
    return min((min(max(y, low), high) for low, high in across), key=lambda there: abs(there - y))
