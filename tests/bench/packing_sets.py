"""Four public garment sets of the irregular strip-packing literature, as kept in the public collection OR-Datasets.

ALBANO: Albano and Sapuppo, "Optimal allocation of two-dimensional irregular shapes using heuristic search methods", IEEE Trans.
SMC 10, 1980. TROUSERS: Oliveira, Gomes and Ferreira, OR Spektrum 22, 2000. SHIRTS, SHAPES0: Dowsland, Dowsland and Bennell,
J. Oper. Res. Soc. 49, 1998; Oliveira and Ferreira, 1993. Best published utilisations as in Elkeran, "A new approach for sheet
nesting problem using guided cuckoo search and pairwise clustering", EJOR 231, 2013: from memory.
"""

from dataclasses import dataclass
from typing import Any

Corners = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class PackingSet:
    """`outlines`: (count, corners), x along the strip; `strip`: its width; `best`: best published utilisation; `scale`: to mm."""

    name: str
    strip: float
    best: float
    scale: float
    turns: tuple[int, ...]
    outlines: tuple[tuple[int, Corners], ...]

    def card(self) -> dict[str, Any]:
        """As `lay --outlines` reads it: no gap, ends or selvedge."""
        pieces = [
            {"name": f"p{n}", "count": count, "turns": list(self.turns), "outline": [(x * self.scale, y * self.scale) for x, y in corners]}
            for n, (count, corners) in enumerate(self.outlines)
        ]
        return {"pieces": pieces, "gap_mm": 0, "end_mm": 0, "selvedge_mm": 0}


def _box(width: float, height: float) -> Corners:
    return ((0, 0), (width, 0), (width, height), (0, height))


SHAPES0 = PackingSet("shapes0", 40, 0.688, 10.0, (0,), (
    (15, ((0, 0), (2, 0), (2, 3), (12, 3), (12, 0), (14, 0), (14, 5), (0, 5))),
    (7, ((0, 0), (6, -6), (12, 0), (6, 6))),
    (9, ((0, 0), (6, 0), (6, -2), (7, -2), (11, 2), (11, 4), (8, 4), (8, 1), (2, 1), (2, 4), (0, 4))),
    (12, ((0, 0), (2, 0), (2, -2), (4, -2), (4, 0), (6, 0), (6, 2), (4, 2), (4, 4), (2, 4), (2, 2), (0, 2))),
))  # fmt: skip
SHIRTS = PackingSet("shirts", 40, 0.8896, 20.0, (0, 180), (
    (8, ((0, 0), (7, 1), (7, 5), (0, 7), (-1, 5), (-1, 4), (-2, 3), (-1, 2))),
    (8, ((0, 0), (11, 0), (12, 2), (11, 3), (11, 5), (10, 6), (6, 5), (3, 6), (0, 5), (-1, 3))),
    (8, ((0, 0), (3, 0), (3, -1), (5, 0), (8, 0), (11, -1), (12, 4), (11, 8), (7, 7), (0, 7))),
    (15, ((0, 0), (4, 0), (4, 2), (3, 3), (0, 3))),
    (15, ((0, 0), (8, 0), (7, 1), (1, 1))),
    (15, _box(4, 1)),
    (15, _box(3, 1)),
    (15, ((0, 0), (8, 0), (8, 2), (6, 2), (4, 1), (3, 1), (2, 2), (-1, 2))),
))  # fmt: skip
TROUSERS = PackingSet("trousers", 79, 0.91, 10.0, (0, 180), (
    (8, ((0, 0), (12, -1), (14, -3), (24, 0), (33, 1), (59, 2), (59, 13), (4, 13), (4, 8), (2, 5), (0, 5))),
    (8, ((0, 0), (0, -14), (27, -17), (37, -20), (41, -22), (47, -19), (56, -16), (56, 0))),
    (1, _box(57, 5)), (1, _box(52, 5)), (1, _box(44, 5)), (1, _box(42, 5)), (8, _box(21, 2)),
    (8, ((0, 0), (15, 4), (13, 7), (0, 6))),
    (1, ((0, 0), (15, 1), (15, 4), (0, 4))),
    (1, _box(14, 5)),
    (1, ((0, 0), (14, 1), (14, 4), (0, 4))),
    (1, _box(13, 5)),
    (2, ((0, 0), (13, 1), (13, 4), (0, 4))),
    (2, _box(12, 5)),
    (8, ((0, 0), (4, 2), (6, 10), (4, 11), (-4, 11), (-6, 10), (-4, 2))),
    (8, ((0, 0), (3, -2), (8, 0), (8, 8), (2, 8))),
    (4, ((0, 0), (2, 1), (3, 6), (2, 7), (-2, 7), (-3, 6), (-2, 1))),
))  # fmt: skip
ALBANO = PackingSet("albano", 4900, 0.8958, 0.2, (0, 180), (
    (2, (
        (0, 86), (966, 142), (1983, 0), (2185, 238), (2734, 217), (3000, 767), (2819, 900), (2819, 1360), (3000, 1493), (2734, 2043),
        (2185, 2022), (1983, 2260), (966, 2118), (0, 2174),
    )),
    (2, _box(3034, 261)),
    (4, ((0, 173), (1761, 0), (2183, 650), (2183, 1010), (1761, 1660), (0, 1487))),
    (4, ((74, 0), (870, 119), (1666, 0), (1740, 125), (870, 305), (0, 125))),
    (4, ((0, 0), (411, 65), (800, 0), (1189, 65), (1600, 0), (1500, 368), (800, 286), (100, 368))),
    (4, _box(936, 659)),
    (2, ((56, 73), (1066, 143), (1891, 0), (2186, 288), (2573, 241), (2676, 926), (2594, 1366), (0, 1366))),
    (2, ((0, 0), (2499, 0), (2705, 387), (2622, 934), (2148, 967), (1920, 1152), (1061, 1059), (0, 1125))),
))  # fmt: skip
SETS = (SHAPES0, SHIRTS, TROUSERS, ALBANO)
