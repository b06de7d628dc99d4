"""Facings from the draft's own lines: neck facing (sleeved), or neck and armhole in one (sleeveless). mm.

The front is taken with the bust dart closed, so both princess panels are faced as one. Widths: 60 at the neck, 50 at the armhole;
38 is the least (shaped facing 1 1/2 in, Complete Course in Dressmaking).
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from projector.draft.bodice import Bodice
from projector.draft.bodice_darts import LINING_DARTS_LOWER_MM, side_darts
from projector.draft.bodice_panels import ARMHOLE_MARK_SHARE
from projector.draft.curve import Curve, Points, crossing, direction, flat, length, line, smooth, unit
from projector.draft.panel import Mark, Panel, PanelEdge
from projector.draft.style import Style
from projector.garment.cut_line import offset
from projector.garment.lines import end_on

NECK_WIDE_MM = 60.0
ARMHOLE_WIDE_MM = 50.0
STRAP_OF_LINING_MM = 10.0
"""A narrow strap is shared: so much is left to the lining, the facing is narrower there."""
CLEAR_OF_DART_MM = 8.0
CLEAR_OF_PRINCESS_MM, BESIDE_SHOULDER_MM = 8.0, 20.0
"""Inner edge and princess seam; a shoulder princess starts beside it."""
LEAST_MM = 41.0
"""38 and a little, so that a flattened line keeps it."""


@dataclass(frozen=True, slots=True)
class Facing:
    """A facing panel and its inner edge from the centre outward, which is the lining's upper edge too."""

    panel: Panel
    inner: Points


def _centre_above(centre: Curve, y: float) -> Curve:
    """What lies above level y of a centre line run upwards."""
    for place, cubic in enumerate(centre):
        if cubic.a.imag >= y >= cubic.d.imag:
            return (cubic.split(crossing(cubic, complex(0, y), 1))[1], *centre[place + 1 :])
    return centre


def _parallel(neck: tuple[tuple[str, Curve], ...], shoulder: Curve, wide: float, centre_x: float) -> tuple[Points, ...]:
    """Lines `wide` inside each neck edge, from the centre outward, ended on the centre and on the shoulder line."""
    lines = [offset(flat(curve), -wide) for _, curve in neck]
    first = flat(neck[0][1])
    lines[0] = end_on(lines[0][::-1], -unit(complex(first[1] - first[0])), complex(centre_x, 0), 1j)[::-1]
    last = flat(neck[-1][1])
    lines[-1] = end_on(lines[-1], unit(complex(last[-1] - last[-2])), shoulder[0].a, unit(shoulder[0].d - shoulder[0].a))
    if len(lines) == 2:  # square neck: the two parallels meet in its own corner
        corner = complex(lines[1][0].real, lines[0][-1].imag)
        lines = [np.array([lines[0][0], corner]), np.array([corner, lines[1][-1]])]
    return tuple(lines)


def _neck_facing(name: str, neck: tuple[tuple[str, Curve], ...], shoulder: Curve, centre: Curve, is_fold: bool, wide: float) -> Facing:
    inner = _parallel(neck, shoulder, wide, centre[-1].d.real)
    above = _centre_above(centre, float(inner[0][0].imag))
    inner[0][0] = above[0].a
    names = ("facing", "facing upright") if len(inner) == 2 else ("facing",)
    edges = (
        *(PanelEdge(edge, "neck", curve) for edge, curve in neck),
        PanelEdge("shoulder", "shoulder", (line(shoulder[0].a, complex(inner[-1][-1])),)),
        *(PanelEdge(edge, "facing", (), drawn=run[::-1]) for edge, run in zip(names[::-1], inner[::-1], strict=True)),
        PanelEdge("centre", "centre" if is_fold else "opening", above, fold=is_fold),
    )
    panel = Panel(name, name.replace(" ", "_"), edges, count=1 if is_fold else 2, mirrored=not is_fold)
    return Facing(panel, np.concatenate([inner[0], *(run[1:] for run in inner[1:])]))


def neck_facing_wide(bodice: Bodice, style: Style) -> float:
    """Width that leaves the lining some shoulder."""
    shoulder = abs(bodice.front.tip - bodice.front.point)
    part = shoulder / 2 if style.princess == "shoulder" else shoulder
    wide = min(NECK_WIDE_MM, max(min(LEAST_MM, shoulder - STRAP_OF_LINING_MM), 0.8 * part if style.princess == "shoulder" else part - 25))
    least = STRAP_OF_LINING_MM if style.princess == "shoulder" else LEAST_MM
    while wide > least and _meets_princess(bodice, wide):
        wide = max(least, wide - 2)
    return wide


def _meets_princess(bodice: Bodice, wide: float) -> bool:
    """The facing's inner edge comes too near the princess seam for the lining's front to have an edge there."""
    if bodice.princess is None:
        return False
    front = bodice.front
    inner = np.concatenate(_parallel(bodice.front_neck.edges, (line(front.point, front.tip),), wide, 0.0))
    points = np.concatenate([np.linspace(p, q, 8) for p, q in pairwise(inner)]) if len(inner) < 8 else inner
    seam = flat(bodice.princess.centre[:1])
    away = np.abs(points[:, None] - seam[None, np.abs(seam - seam[0]) > BESIDE_SHOULDER_MM])
    return float(away.min()) < CLEAR_OF_PRINCESS_MM


def neck_facings(bodice: Bodice, style: Style) -> tuple[Facing, Facing]:
    """Front (on the fold) and back neck facing."""
    front, back = bodice.front, bodice.back
    wide = neck_facing_wide(bodice, style)
    shoulder = (line(front.point, front.tip),)
    centre = (line(front.centre_waist, bodice.front_neck.edges[0][1][0].a),)
    return (
        _neck_facing("front neck facing", bodice.front_neck.edges, shoulder, centre, True, wide),
        _neck_facing("back neck facing", (("neck", back.neck),), back.shoulder, back.centre, style.zip == "side", wide),
    )


def _lower_edge(start: complex, heading: complex, end: complex, keep_off: Points) -> Points | None:
    """From the side in to the centre; None when it comes too near the neck or armhole."""
    for first, last in ((0.33, 0.33), (0.25, 0.55), (0.55, 0.25)):
        points = flat((smooth(start, heading, end, -1, first, last),))
        near = float(np.abs(points[:, None] - keep_off[None, ::2]).min())
        if near >= LEAST_MM:
            return points
    return None


@dataclass(frozen=True, slots=True)
class _Upper:
    """Front or back as it is faced in one: lines run clockwise; `side`: unit direction of the side seam downwards."""

    name: str
    neck: tuple[tuple[str, Curve], ...]
    shoulder: Curve
    armhole: Curve
    side: complex
    centre: Curve
    is_fold: bool
    snips: int
    """Single in front, double behind, where the dress has them."""

    def lower(self, deep: float, low: float) -> Points | None:
        """Inner edge from the side in, `deep` below the underarm and `low` below the neck; None when too near another edge."""
        keep_off = np.concatenate([flat(self.armhole), *(flat(curve) for _, curve in self.neck)])
        above = _centre_above(self.centre, self.neck[0][1][0].a.imag + low)
        return _lower_edge(self.armhole[-1].d + self.side * deep, self.side * 1j, above[0].a, keep_off)

    def facing(self, deep: float, low: float) -> Facing:
        """The panel of that depth."""
        underarm = self.armhole[-1].d
        start = underarm + self.side * deep
        above = _centre_above(self.centre, self.neck[0][1][0].a.imag + low)
        found = self.lower(deep, low)
        lower = found if found is not None else flat((smooth(start, self.side * 1j, above[0].a, -1),))
        edges = (
            *(PanelEdge(edge, "neck", curve) for edge, curve in self.neck),
            PanelEdge("shoulder", "shoulder", self.shoulder),
            PanelEdge("armhole", "armhole", self.armhole),
            PanelEdge("side", "side", (line(underarm, start),)),
            PanelEdge("facing", "facing", (), drawn=lower),
            PanelEdge("centre", "centre" if self.is_fold else "opening", above, fold=self.is_fold),
        )
        count = 1 if self.is_fold else 2
        marks = (Mark("armhole", -ARMHOLE_MARK_SHARE * length(self.armhole), self.snips),)
        panel = Panel(self.name, self.name.replace(" ", "_"), edges, marks=marks, count=count, mirrored=not self.is_fold)
        return Facing(panel, lower[::-1])


def one_facings(bodice: Bodice, style: Style) -> tuple[Facing, Facing]:
    """Front (on the fold, bust dart closed) and back facing of neck and armhole in one, equally deep at the side."""
    front, back = bodice.front, bodice.back
    closed_side = front.side_heading * direction(-front.turn)
    centre = (line(front.centre_waist, bodice.front_neck.edges[0][1][0].a),)
    shoulder = (line(front.point, front.tip),)
    one = _Upper("front facing", bodice.front_neck.edges, shoulder, front.armhole, closed_side, centre, True, 1)
    back_side = unit(back.side[0].d - back.side[0].a)
    two = _Upper("back facing", (("neck", back.neck),), back.shoulder, back.armhole, back_side, back.centre, style.zip == "side", 2)
    deepest = 90.0
    if bodice.princess is None:  # the lining's bust dart opens in the side seam, under the facing
        deepest = side_darts(front, bodice.frame.underbust_y, LINING_DARTS_LOWER_MM)[0].at_mm - CLEAR_OF_DART_MM
    deep, low = min(ARMHOLE_WIDE_MM, deepest), {one.name: NECK_WIDE_MM, two.name: NECK_WIDE_MM}
    for _ in range(20):
        tight = [upper for upper in (one, two) if upper.lower(deep, low[upper.name]) is None]
        if not tight:
            break
        deep = min(deep + 4, deepest)
        low |= {upper.name: low[upper.name] + 8 for upper in tight}
    return one.facing(deep, low[one.name]), two.facing(deep, low[two.name])


def facing_panels(bodice: Bodice, style: Style) -> tuple[Facing, Facing]:
    """The facings of one bodice: with sleeves the neck alone, without them neck and armhole in one."""
    return neck_facings(bodice, style) if style.is_sleeved else one_facings(bodice, style)
