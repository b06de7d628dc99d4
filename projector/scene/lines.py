"""How each kind of line looks: one row per kind. Adding a kind is adding a row.

Kinds differ in dash and weight first, colour second: under full colour-blindness and on coloured cloth the dash must carry
the meaning. Bright is what to do now, thin is marking only, dotted is for later: do not touch.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import sqrt
from typing import Literal

from projector.steps.step import LineKind, When

Role = Literal["cut", "sew", "quiet", "words", "stop"]
"""Colour roles: the colour chosen for cut lines, its companion for sewing lines and marks, the quiet one for cloth and
grid, words, and the bars of STOP. The picture gives each its light."""

Dash = tuple[float, float] | None
"""[on, off] in mm on the cloth, None for a whole line."""

WIDTH_PX: Mapping[int, float] = {1: 1.42, 2: 2.53, 3: 3.71, 4: 6.06}
"""What really comes out of one pass, two at ±0.6 px, three at 0, ±1.25 px and five at 0, ±1.25, ±2.5 px; measured from drawn
pictures, full width of equal light (tests/projector/picture measures it again)."""

WIDTH_RAW_PX: Mapping[int, float] = {1: 1.04, 2: 2.08, 3: 3.17, 4: 5.29}
"""The same where code values are drawn directly (pictures of 1600 rows and more): thinner, since edges lose light."""


@dataclass(frozen=True, slots=True)
class Look:
    """One line as thrown. `weight`: 1 to 4 (WIDTH_PX); `light` 0 to 1, linear."""

    weight: int
    dash_mm: Dash
    role: Role
    light: float


def bolder(look: Look) -> Look:
    """The look on nearly black cloth, where a line adds little light: a weight more, dim ones brighter, still in their order."""
    return Look(look.weight + 1, look.dash_mm, look.role, sqrt(look.light))


@dataclass(frozen=True, slots=True)
class Kind:
    """One row: weight, dash and role when it is to be done now; how bright now, as a mark, and for later (0: not thrown)."""

    weight: int
    dash_mm: Dash
    role: Role
    now: float
    mark: float
    later: float
    later_dash_mm: Dash = None
    """For later the line is dotted instead; None keeps its own dash."""

    def look(self, when: When) -> Look:
        """The look at that time; weight falls to 1 for anything that is not to be done now."""
        light = {"now": self.now, "mark": self.mark, "later": self.later}[when]
        dash = self.later_dash_mm if when == "later" and self.later_dash_mm else self.dash_mm
        return Look(self.weight if when == "now" else 1, dash, self.role, light)


KINDS: Mapping[LineKind, Kind] = {
    #               weight  dash         role     now   mark  later
    "cut":    Kind(3, None,         "cut",   1.00, 0.45, 0.16, (1.5, 4.5)),
    "sew":    Kind(1, (6.0, 3.0),   "sew",   0.60, 0.45, 0.10),
    "fold":   Kind(2, (18.0, 6.0),  "quiet", 0.70, 0.50, 0.30),
    "grain":  Kind(1, None,         "quiet", 0.55, 0.40, 0.12),
    "notch":  Kind(2, None,         "sew",   1.00, 0.70, 0.16),
    "point":  Kind(2, None,         "sew",   1.00, 0.80, 0.16),
    "dart":   Kind(1, (3.0, 2.0),   "sew",   1.00, 0.70, 0.14),
    "level":  Kind(1, (2.0, 6.0),   "quiet", 0.55, 0.40, 0.16),
    "grid":   Kind(1, None,         "quiet", 0.06, 0.06, 0.06),
    "ruler":  Kind(1, None,         "words", 0.80, 0.60, 0.30),
    "cloth":  Kind(1, (30.0, 8.0),  "quiet", 0.40, 0.30, 0.20),
    "slide":  Kind(2, (12.0, 3.0),  "sew",    1.00, 0.60, 0.25),
    "cross":  Kind(1, None,         "words", 0.90, 0.60, 0.40),
}  # fmt: skip
