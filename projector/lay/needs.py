"""Cloth needed and left: metres, yards to the eighth rounded up, cost, the largest clean rectangle of what is left."""

from dataclasses import dataclass
from math import ceil

from calibration.units import yards_text, yards_up
from projector.lay.cloth import Cloth
from projector.lay.lay import Lay, Region
from projector.lay.taken import taken_cells

CENTIMETRE_MM = CELL_MM = 10.0
SIGNS_BEFORE = ("$", "£", "¥")


@dataclass(frozen=True, slots=True)
class Rest:
    """A clean rectangle of cloth left, cloth frame of its region, mm; `plies` layers of it."""

    region: str
    x0: float
    y0: float
    x1: float
    y1: float
    plies: int

    @property
    def area_mm2(self) -> float:
        """Of one layer."""
        return (self.x1 - self.x0) * (self.y1 - self.y0)


@dataclass(frozen=True, slots=True)
class Need:
    """What one cloth takes. `buy_mm`: before shrinking, ends and bias strips beyond the lay in. `cost`: 0 when no price is known."""

    cloth: str
    used_mm: float
    buy_mm: float
    metres: float
    yards: str
    cost: float
    currency: str
    left_mm: tuple[float, ...]
    rest: Rest | None

    @property
    def words(self) -> str:
        """`1.85 m (2 1/8 yd), 19.24 GHS`."""
        told = f"{self.metres:.2f} m ({self.yards})"
        return f"{told}, {price_words(self.cost, self.currency)}" if self.cost else told


def price_words(amount: float, currency: str) -> str:
    """`14.20 €`, `$14.20`: each sign on its own side."""
    return f"{currency}{amount:.2f}" if currency in SIGNS_BEFORE else f"{amount:.2f} {currency}".strip()


def cost_of(cloth: Cloth, taken_mm: float) -> float:
    """What so much of it costs as shops sell it, before shrinking: by the centimetre or by the eighth of a yard. 0 without a price."""
    bought = _before_shrinking(cloth, taken_mm)
    return cloth.price * (float(yards_up(bought)) if cloth.price_per == "yard" else _metres_up(bought))


def taken_mm(lay: Lay) -> float:
    """Cloth that a lay takes, bias strips beyond it in."""
    return lay.cloth_needed_mm + (lay.binding.extra_mm if lay.binding else 0.0)


def _before_shrinking(cloth: Cloth, taken_mm: float) -> float:
    return taken_mm / (1.0 - cloth.shrinks_along)


def _metres_up(mm: float) -> float:
    """A hair of 0.01 mm does not buy another centimetre."""
    return ceil((mm - 0.01) / CENTIMETRE_MM) / 100.0


def need_of(lay: Lay, cloth: Cloth) -> Need:
    """Cloth to buy or to take. Metres rounded up to the centimetre, yards to the eighth."""
    taken = taken_mm(lay)
    buy = _before_shrinking(cloth, taken)
    used = {region.bundle: lay.flat_mm(region) for region in reversed(lay.regions)}  # the first of each length
    if lay.binding:
        used[lay.binding.bundle] = used.get(lay.binding.bundle, 0.0) + lay.binding.extra_mm
    left = tuple(max(0.0, length - used.get(bundle, 0.0)) for bundle, length in enumerate(cloth.lengths_mm))
    cost, rest = cost_of(cloth, taken), largest_rest(lay)
    return Need(cloth.name, lay.cloth_needed_mm, buy, _metres_up(buy), yards_text(buy), cost, cloth.currency, left, rest)


def largest_rest(lay: Lay) -> Rest | None:
    """The largest rectangle free of every outline, within the lay (the uncut rest of a length comes beside it)."""
    found = [rest for region in lay.regions for rest in [_largest_in(lay, region)] if rest is not None]
    return max(found, key=lambda rest: rest.area_mm2, default=None)


def _largest_in(lay: Lay, region: Region) -> Rest | None:
    """Largest empty rectangle of cells by the histogram method; a cell that an outline's inside touches is taken."""
    x0, y0 = region.x[0], max(ply.y[0] for ply in region.ply)
    x1, y1 = region.x[1], min(ply.y[1] for ply in region.ply)
    columns, rows = int((x1 - x0) // CELL_MM), int((y1 - y0) // CELL_MM)
    outlines = [placed.outline for placed in lay.placed if placed.region == region.id]
    taken = taken_cells(outlines, (x0, y0), (columns, rows), CELL_MM)
    heights, best = [0] * rows, (0, 0, 0, 0, 0)
    for column in range(columns):
        heights = [0 if taken[column, row] else heights[row] + 1 for row in range(rows)]
        area, start, stop, deep = _widest(heights)
        if area > best[0]:
            best = (area, column + 1 - deep, column + 1, start, stop)
    if best[0] == 0:
        return None
    _, first, last, low, high = best
    return Rest(
        region.id, x0 + first * CELL_MM, y0 + low * CELL_MM, x0 + last * CELL_MM, y0 + high * CELL_MM, len(region.ply)
    )  # fmt: skip


def _widest(heights: list[int]) -> tuple[int, int, int, int]:
    """Largest rectangle under a histogram: (cells, first, stop, height)."""
    best, open_bars = (0, 0, 0, 0), [(0, 0)]
    for place, height in enumerate([*heights, 0]):
        start = place
        while open_bars and open_bars[-1][1] >= height:
            start, tall = open_bars.pop()
            best = max(best, (tall * (place - start), start, place, tall))
        open_bars.append((start, height))
    return best
