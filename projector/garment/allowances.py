"""Seam allowances by kind of edge: a client's first dress, and after a fitting. mm.

Origins: hem 50.8 and 6.4 to 10 at neck and armhole from dressmaking manuals (sewing guild, seam allowance pages); 50.8 at side
and zip of a first dress, 25 at shoulder and waist: the trade's practice, no source. Partners have one amount, so that raw edges meet.
"""

from dataclasses import dataclass

from projector.draft.panel import EdgeKind
from projector.draft.style import Style

FIRST_SIDE_MM = 50.8
FITTED_SIDE_MM = 25.0
HEM_MM = 50.8
CIRCLE_HEM_MM = 10.0
SLEEVE_HEM_MM = 38.0
LINING_HEM_MM = 20.0
FREE_EDGE_MM = 6.0
BINDING_TURNED_MM = 8.0
FLOUNCES = ("peplum", "flutter")
"""Parts cut in a ring: their hem is as narrow as a circle's."""


@dataclass(frozen=True, slots=True)
class Allowances:
    """One amount per kind of edge; hems by part."""

    by_kind: dict[EdgeKind, float]
    hem: float
    sleeve_hem: float

    def of(self, kind: EdgeKind, part: str) -> float:
        """Allowance of an edge, mm."""
        if part.startswith("shoulder_band") and kind in ("band", "hem", "facing"):
            return BINDING_TURNED_MM if kind == "facing" else self.by_kind["neck"]
        if kind == "hem":
            if part.startswith(FLOUNCES):
                return CIRCLE_HEM_MM
            return self.sleeve_hem if part.startswith("sleeve") else self.hem
        if kind == "band" and part == "waistband":
            return self.by_kind["waist"]
        if part == "binding":
            return self.by_kind["neck"] if kind == "band" else BINDING_TURNED_MM
        return self.by_kind[kind]


def allowances_for(style: Style, of: str) -> Allowances:
    """The amounts of one style for main, lining or facing."""
    first = not style.fitted
    side = FIRST_SIDE_MM if first else FITTED_SIDE_MM
    armhole = 12.0 if style.is_sleeved else 10.0
    by_kind: dict[EdgeKind, float] = {
        "centre": side,
        "opening": side,
        "side": side,
        "shoulder": 25.0 if first else 15.0,
        "waist": 25.0 if first else 15.0,
        "princess": 15.0,
        "neck": 10.0,
        "armhole": armhole,
        "cap": armhole,
        "under": 15.0,
        "dart": 0.0,
        "facing": 10.0 if style.lining else FREE_EDGE_MM,
        "gather": armhole,
        "band": armhole,
        "hem": HEM_MM,
    }
    hem = CIRCLE_HEM_MM if style.skirt == "circle" else HEM_MM
    if of == "lining":
        return Allowances(by_kind, min(hem, LINING_HEM_MM), LINING_HEM_MM)
    return Allowances(by_kind, hem, SLEEVE_HEM_MM)
