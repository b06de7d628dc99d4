"""Facings from the draft's own lines: neck facing (sleeved), or neck and armhole in one (sleeveless). mm.

The front is taken with the bust dart closed, so both princess panels are faced as one. Widths: 60 at the neck, 50 at the armhole;
38 is the least (shaped facing 1 1/2 in, Complete Course in Dressmaking).
"""

from dataclasses import dataclass, replace
from math import ceil, pi, radians

import numpy as np

from projector.draft.bodice import Bodice
from projector.draft.bodice_darts import LINING_DARTS_LOWER_MM, side_darts
from projector.draft.bodice_panels import ARMHOLE_MARK_SHARE
from projector.draft.curve import Curve, Points, clamp, crossing, direction, flat, length, line, smooth, unit, walked
from projector.draft.panel import DraftRefused, Mark, Panel, PanelEdge
from projector.draft.style import Style
from projector.garment.cut_line import offset
from projector.garment.lines import bent_to, end_on, thinned

NECK_WIDE_MM, NECK_WIDEST_MM = 60.0, 100.0
ARMHOLE_WIDE_MM = 50.0
STRAP_OF_LINING_MM = 10.0
"""A narrow strap is shared: so much is left to the lining, the facing is narrower there."""
CLEAR_OF_DART_MM = 8.0
LOWER_HANDLES = (
    (0.33, 0.33),
    *(pair for u in (0.25, 0.5, 0.75, 1.0) for pair in ((0.33 - 0.08 * u, 0.33 + 0.22 * u), (0.33 + 0.22 * u, 0.33 - 0.08 * u))),
)
FLATTER_HANDLES = ((0.15, 0.50), (0.10, 0.65))
"""Of the inner edge of a facing in one, at the side and at the centre, least bent first and in small steps, so that like bodies get
like facings; the second over a side dart, where it may dip less."""
OFF_CENTRE_MM = 0.5
BENT_OVER_SHOULDER = radians(20.0)
"""An inner edge bends so much at most where it passes the shoulder seam. Ours."""
CRUMB_MM = 0.3
"""A parallel inside a bend ends in steps that small, some of them backwards."""
SHAPED_LEAST_MM = 38.0
LEAST_MM = 41.0
"""38 and a little, so that a flattened line keeps it."""


class NoFacing(DraftRefused):
    """No facing goes under the neckline, or none with a lining."""


@dataclass(frozen=True, slots=True)
class Facing:
    """A facing panel and its inner edge from the centre outward, which is the lining's upper edge too."""

    panel: Panel
    inner: Points


def runs_over_shoulder(front: Facing, back: Facing) -> bool:
    """The inner edges run on over the shoulder seam, so that its raw edges meet."""
    angles = []
    for facing in (front, back):
        shoulder = next(edge.flat() for edge in facing.panel.edges if edge.kind == "shoulder")
        angles.append(abs(float(np.angle((facing.inner[-2] - facing.inner[-1]) / (shoulder[0] - shoulder[-1])))))
    return abs(sum(angles) - pi) < BENT_OVER_SHOULDER


def is_wide(facing: Facing, room_mm: float) -> bool:
    """It keeps its least width along the middle of every neck edge, or what a narrow strap leaves."""
    inner = walked(facing.inner, 4.0)
    for edge in facing.panel.edges:
        if edge.kind == "neck":
            line = walked(edge.flat(), 8.0)
            middle = line[len(line) // 5 : max(len(line) * 4 // 5, len(line) // 5 + 1)]
            if np.abs(middle[:, None] - inner[None, :]).min() < min(SHAPED_LEAST_MM, room_mm - 1):
                return False
    return True


def _centre_above(centre: Curve, y: float) -> Curve:
    """What lies above level y of a centre line run upwards."""
    for place, cubic in enumerate(centre):
        if cubic.a.imag >= y >= cubic.d.imag:
            return (cubic.split(crossing(cubic, complex(0, y), 1))[1], *centre[place + 1 :])
    return centre


def _parallel(neck: tuple[tuple[str, Curve], ...], shoulder: Curve, wide: float, centre_x: float) -> tuple[Points, ...]:
    """Lines `wide` inside each neck edge, from the centre outward, ended on the centre and on the shoulder line."""
    lines = [thinned(offset(flat(curve), -wide), CRUMB_MM) for _, curve in neck]
    first = flat(neck[0][1])
    lines[0] = end_on(lines[0][::-1], -unit(complex(first[1] - first[0])), complex(centre_x, 0), 1j)[::-1]
    last = flat(neck[-1][1])
    lines[-1] = end_on(lines[-1], unit(complex(last[-1] - last[-2])), shoulder[0].a, unit(shoulder[0].d - shoulder[0].a))
    if len(lines) == 2:  # square neck: the two parallels meet in its own corner
        corner = complex(lines[1][0].real, lines[0][-1].imag)
        lines = [np.array([lines[0][0], corner]), np.array([corner, lines[1][-1]])]
    return tuple(lines)


def _neck_facing(
    name: str, runs: tuple[Points, ...], neck: tuple[tuple[str, Curve], ...], shoulder: Curve, centre: Curve, is_fold: bool
) -> Facing:
    """The panel between the neck edges and their parallels `runs`, which begin on the centre line and end on the shoulder."""
    above = _centre_above(centre, float(runs[0][0].imag))
    start = above[0].a
    inner = [np.concatenate([[start], runs[0][1:][runs[0][1:].real > start.real + OFF_CENTRE_MM]]), *runs[1:]]
    names = ("facing", "facing upright") if len(inner) == 2 else ("facing",)
    edges = (
        *(PanelEdge(edge, "neck", curve) for edge, curve in neck),
        PanelEdge("shoulder", "shoulder", (line(shoulder[0].a, complex(inner[-1][-1])),)),
        *(PanelEdge(edge, "facing", (), drawn=run[::-1]) for edge, run in zip(names[::-1], inner[::-1], strict=True)),
        PanelEdge("centre", "centre" if is_fold else "opening", above, fold=is_fold),
    )
    panel = Panel(name, name.replace(" ", "_"), edges, count=1 if is_fold else 2, mirrored=not is_fold)
    return Facing(panel, np.concatenate([inner[0], *(run[1:] for run in inner[1:])]))


def room_mm(bodice: Bodice, style: Style) -> float:
    """How much of the shoulder a facing may take."""
    return abs(bodice.front.tip - bodice.front.point) - (STRAP_OF_LINING_MM if style.lining else 0.0)


def neck_facing_widths(bodice: Bodice, style: Style) -> tuple[float, ...]:
    """Widths to try, the usual first, then narrower. A shoulder that is all strap is shared with the lining, if there is one.

    A shoulder princess may run along the inner edge of them all; wider ones cross it squarely.
    """
    room = room_mm(bodice, style)
    most = min(NECK_WIDE_MM, room)
    least = min(LEAST_MM, most)
    usual = np.linspace(most, least, 1 + ceil((most - least) / 3))
    wider = np.arange(most + 4, min(room, NECK_WIDEST_MM), 4) if style.princess == "shoulder" else np.array([])
    return (*usual.tolist(), *wider.tolist())


def _ended_at(run: Points, end: complex) -> Points:
    """The run moved over its last EASED_OVER_MM so that it ends there."""
    if len(run) == 2:
        return np.array([run[0], end])
    return bent_to(walked(run, 4.0)[::-1], end)[::-1]


def neck_facings(bodice: Bodice, style: Style, wide: float) -> tuple[Facing, Facing]:
    """Front (on the fold) and back neck facing, equally wide on the shoulder so that they and the lining meet there."""
    front, back = bodice.front, bodice.back
    shoulder = (line(front.point, front.tip),)
    behind = (("neck", back.neck),)
    drawn = (_parallel(bodice.front_neck.edges, shoulder, wide, 0.0), _parallel(behind, back.shoulder, wide, back.centre[-1].d.real))
    starts = front.point, back.shoulder[0].a
    over = min(room_mm(bodice, style), max(abs(complex(runs[-1][-1]) - start) for runs, start in zip(drawn, starts, strict=True)))
    ended = [
        (*runs[:-1], _ended_at(runs[-1], run[0].a + over * unit(run[0].d - run[0].a)))
        for runs, run in zip(drawn, (shoulder, back.shoulder), strict=True)
    ]
    return (
        _neck_facing("front neck facing", ended[0], bodice.front_neck.edges, shoulder, bodice.centre_front, True),
        _neck_facing("back neck facing", ended[1], behind, back.shoulder, back.centre, style.zip == "side"),
    )


def _lower_edge(start: complex, heading: complex, end: complex, keep_off: Points, dart: Points) -> Points | None:
    """From the side in to the centre; None when it comes too near the neck, the armhole or the lining's dart below it."""
    for first, last in (*LOWER_HANDLES, *(FLATTER_HANDLES if len(dart) else ())):
        points = flat((smooth(start, heading, end, -1, first, last),))
        is_clear = float(np.abs(points[:, None] - keep_off[None, ::2]).min()) >= LEAST_MM
        if is_clear and np.abs(points[:, None] - dart[None, :]).min(initial=np.inf) >= CLEAR_OF_DART_MM:
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
    dart: Points
    """The lining's side dart nearest below, its upper leg; empty where there is none."""

    def lower(self, deep: float, low: float) -> Points | None:
        """Inner edge from the side in, `deep` below the underarm and `low` below the neck; None when too near another edge."""
        keep_off = np.concatenate([flat(self.armhole), *(flat(curve) for _, curve in self.neck)])
        above = _centre_above(self.centre, self.neck[0][1][0].a.imag + low)
        return _lower_edge(self.armhole[-1].d + self.side * deep, self.side * 1j, above[0].a, keep_off, self.dart)

    def facing(self, deep: float, low: float) -> Facing:
        """The panel of that depth."""
        underarm = self.armhole[-1].d
        start = underarm + self.side * deep
        above = _centre_above(self.centre, self.neck[0][1][0].a.imag + low)
        lower = self.lower(deep, low)
        assert lower is not None
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
    shoulder = (line(front.point, front.tip),)
    deepest, leg = 90.0, np.array([], dtype=np.complex128)
    if bodice.princess is None:  # the lining's bust dart opens in the side seam, under the facing
        dart = side_darts(front, bodice.frame.underbust_y, LINING_DARTS_LOWER_MM)[0]
        deepest, leg = dart.at_mm - CLEAR_OF_DART_MM, walked(np.array([dart.upper, dart.tip]), 4.0)
    one = _Upper("front facing", bodice.front_neck.edges, shoulder, front.armhole, closed_side, bodice.centre_front, True, 1, leg)
    back_side = unit(back.side[0].d - back.side[0].a)
    is_fold = style.zip == "side"
    two = _Upper("back facing", (("neck", back.neck),), back.shoulder, back.armhole, back_side, back.centre, is_fold, 2, leg[:0])
    front_low = NECK_WIDE_MM
    if bodice.princess is not None:  # under the bust point the facing, cut flat, is wider than the shaped lining
        front_low = clamp(front.bust_point.imag - bodice.front_neck.centre.imag, LEAST_MM + 1, NECK_WIDE_MM)
    for each in (one, replace(one, dart=leg[:0])):  # rather near the lining's dart than no facing
        found = _depths((each, two), min(ARMHOLE_WIDE_MM, deepest), deepest, (front_low, NECK_WIDE_MM))
        if found is not None:
            deep, low = found
            return each.facing(deep, low[0]), two.facing(deep, low[1])
    raise NoFacing(
        "No facing of neck and armhole in one goes under this neckline.",
        f"It needs {LEAST_MM:.0f} mm between its edge and both.",
        "Choose facings: false, or a smaller neck.",
    )


def _depths(
    uppers: tuple[_Upper, _Upper], deep: float, deepest: float, lows: tuple[float, float]
) -> tuple[float, tuple[float, float]] | None:
    """Depth at the side, alike in front and behind, and below either neck, at which both inner edges go; None: they never do."""
    for _ in range(20):
        tight = [upper.lower(deep, low) is None for upper, low in zip(uppers, lows, strict=True)]
        if not any(tight):
            return deep, lows
        deep = min(deep + 4, deepest)
        lows = lows[0] + 4 * tight[0], lows[1] + 4 * tight[1]
    return None
