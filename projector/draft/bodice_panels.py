"""The bodice's lines put together into panels: front (whole, or centre and side), back. Edges clockwise as drawn."""

from collections.abc import Mapping, Sequence

from projector.draft.bodice import Bodice
from projector.draft.bodice_darts import SideDart, bust_line, kept_clear, side_darts, waist_darts
from projector.draft.bodice_front import Front, PrincessEdges, shoulder_runs
from projector.draft.curve import Curve, back, length, line, unit
from projector.draft.off_shoulder import OffShoulder, opened_beside
from projector.draft.panel import Mark, Panel, PanelEdge
from projector.draft.style import Style
from projector.draft.waistline import OpenDart

ARMHOLE_MARK_SHARE = 0.40
UNDERARM_LEVEL_BELOW_MM = 1.0
BUST_MARK_MM = 50.0
SIDE_ZIP_BELOW_UNDERARM_MM = 60.0
LEVEL_BELOW_TOP_MM = 6.0


def waist_edges(runs: Sequence[Curve], darts: Sequence[OpenDart], outward: bool) -> tuple[PanelEdge, ...]:
    """A waist's runs with mouth darts between them, from the centre outward or from the side inward; numbered from the centre."""
    edges: list[PanelEdge] = []
    for place in range(len(runs)) if outward else range(len(runs) - 1, -1, -1):
        name = f"waist {place + 1}" if len(runs) > 1 else "waist"
        edges.append(PanelEdge(name, "waist", runs[place] if outward else back(runs[place])))
        dart_place = place if outward else place - 1
        if 0 <= dart_place < len(darts):
            edges.extend(_legs(darts[dart_place], dart_place + 1, outward))
    return tuple(edges)


def _legs(dart: OpenDart, number: int, outward: bool) -> tuple[PanelEdge, PanelEdge]:
    inner = PanelEdge(f"waist dart {number} inner", "dart", (line(dart.inner, dart.tip),))
    outer = PanelEdge(f"waist dart {number} outer", "dart", (line(dart.tip, dart.outer),))
    if outward:
        return inner, outer
    return (
        PanelEdge(outer.name, "dart", (line(dart.outer, dart.tip),)),
        PanelEdge(inner.name, "dart", (line(dart.tip, dart.inner),)),
    )


def mouths(darts: Sequence[OpenDart]) -> tuple[tuple[complex, ...], ...]:
    """Leg end, tip, leg end of each dart."""
    return tuple((dart.inner, dart.tip, dart.outer) for dart in darts)


def side_edges(curve: Curve, style: Style, sewn_first_mm: float | None) -> tuple[PanelEdge, ...]:
    """Side seam from the underarm down; with a side zip its lower part is an opening (left side only)."""
    if sewn_first_mm is None or style.zip != "side":
        return (PanelEdge("side", "side", curve),)
    straight = curve[0]
    at = straight.a + unit(straight.d - straight.a) * min(sewn_first_mm, 0.35 * abs(straight.d - straight.a))
    return PanelEdge("side", "side", (line(straight.a, at),)), PanelEdge("side zip", "opening", (line(at, straight.d),))


def _armhole_marks(edges: Mapping[str, float], from_underarm: float, count: int) -> dict[str, Mark]:
    """The mark `from_underarm` along armhole edges listed from the underarm up; each is run downwards, so counted from its end."""
    for name, span in edges.items():
        if from_underarm < span - 8:
            return {name: Mark("armhole", -from_underarm, count)}
        if from_underarm < span + 8:
            return {}  # at the princess seam itself: the seam is the mark
        from_underarm -= span
    return {}


def _levels(bodice: Bodice) -> dict[str, float]:
    frame = bodice.frame
    return {"bust": frame.bust_y, "underbust": frame.underbust_y, "underarm": frame.underarm_y + UNDERARM_LEVEL_BELOW_MM}


def _inside(levels: Mapping[str, float], edges: Sequence[PanelEdge]) -> dict[str, float]:
    """The levels below a top line: a panel that ends above the bust may not reach up to the underarm's."""
    top = max((float(edge.flat().imag.min()) for edge in edges if edge.name == "top"), default=-1e9)
    return {name: y for name, y in levels.items() if y > top + LEVEL_BELOW_TOP_MM}


def _princess_marks(edges: PrincessEdges, is_upward: bool) -> tuple[Mark, ...]:
    upper, lower = edges.centre[0].length(), edges.centre[1].length()
    places = [upper - BUST_MARK_MM, upper, upper + min(BUST_MARK_MM, 0.4 * lower), upper + 0.7 * lower]
    kept = [place for place in places if place > 15]
    return tuple(Mark("princess", -place if is_upward else place) for place in kept)


def _princess_front(bodice: Bodice, style: Style, princess: PrincessEdges) -> tuple[Panel, Panel]:
    front = bodice.front
    centre_shoulder, side_shoulder = shoulder_runs(front, style.princess, princess.share)
    is_shoulder = style.princess == "shoulder"
    levels = _levels(bodice)
    lower = length(front.armhole[1:])
    upper = length(front.armhole[:1])
    spans = {"front side": lower + upper} if is_shoulder else {"front side": lower, "front centre": upper}
    is_off = isinstance(bodice, OffShoulder)
    marks = {} if is_off else _armhole_marks(spans, ARMHOLE_MARK_SHARE * (lower + upper), 1)
    centre_edges = [
        *(PanelEdge(name, "neck", curve) for name, curve in bodice.front_neck.edges),
        *(() if is_off else (PanelEdge("shoulder", "shoulder", centre_shoulder),)),
        *(() if is_shoulder or is_off else (PanelEdge("armhole", "armhole", front.armhole[:1]),)),
        PanelEdge("princess", "princess", princess.centre),
        PanelEdge("waist", "waist", back(front.waist.runs[0])),
        PanelEdge("centre", "centre", bodice.centre_front, fold=True),
    ]
    armhole = front.opened(front.armhole if is_shoulder or is_off else front.armhole[1:])
    side_edges_ = [
        *((PanelEdge("top", "neck", opened_beside(bodice)),) if isinstance(bodice, OffShoulder) else ()),
        *((PanelEdge("shoulder", "shoulder", front.opened(side_shoulder)),) if is_shoulder else ()),
        PanelEdge("armhole", "armhole", armhole),
        *side_edges((line(front.underarm, front.side_waist),), style, SIDE_ZIP_BELOW_UNDERARM_MM),
        PanelEdge("waist", "waist", back(front.waist.runs[1])),
        PanelEdge("princess", "princess", back(princess.side)),
    ]
    centre = Panel(
        "front centre", "front", tuple(centre_edges), _inside(levels, centre_edges), (),
        (*_princess_marks(princess, False), *(mark for name, mark in marks.items() if name == "front centre")),
        (front.bust_point,), count=1, mirrored=False,
    )  # fmt: skip
    side = Panel(
        "front side", "front_side", tuple(side_edges_), _inside(levels, side_edges_), (),
        (*_princess_marks(princess, True), *(mark for name, mark in marks.items() if name == "front side")), (front.bust_point,),
    )  # fmt: skip
    return centre, side


def _darted_side(front: Front, darts: Sequence[SideDart], style: Style) -> tuple[PanelEdge, ...]:
    """Side seam from the underarm down, with its darts; below the last one it may be a zip."""
    edges: list[PanelEdge] = []
    start = front.closed_underarm
    for place, dart in enumerate(darts, 1):
        tail = f" {place}" if len(darts) > 1 else ""
        edges += [
            PanelEdge(f"side {place}", "side", (line(start, dart.upper),)),
            PanelEdge(f"side dart{tail} upper", "dart", (line(dart.upper, dart.tip),)),
            PanelEdge(f"side dart{tail} lower", "dart", (line(dart.tip, dart.lower),)),
        ]
        start = dart.lower
    rest = (line(start, front.side_waist),)
    last = PanelEdge("side zip", "opening", rest) if style.zip == "side" else PanelEdge(f"side {len(darts) + 1}", "side", rest)
    return (*edges, last)


def _darted_front(bodice: Bodice, style: Style, darts_lower_mm: float) -> Panel:
    front = bodice.front
    busts = side_darts(front, bodice.frame.underbust_y, darts_lower_mm)
    waists = kept_clear(waist_darts(front), busts)
    closed = front.armhole
    is_off = isinstance(bodice, OffShoulder)
    edges = (
        *(PanelEdge(name, "neck", curve) for name, curve in bodice.front_neck.edges),
        *(() if is_off else (PanelEdge("shoulder", "shoulder", (line(front.point, front.tip),)),)),
        PanelEdge("armhole", "armhole", closed),
        *_darted_side(front, busts, style),
        *waist_edges(front.waist.runs, waists, outward=False),
        PanelEdge("centre", "centre", bodice.centre_front, fold=True),
    )
    levels: dict[str, float | tuple[complex, ...]] = dict(_levels(bodice))
    levels["underarm"] = min(bodice.frame.underarm_y, front.closed_underarm.imag) + UNDERARM_LEVEL_BELOW_MM
    bent = bust_line(front, busts, bodice.frame.bust_y)
    if bent is not None:
        levels["bust"] = bent
    if busts[-1].lower.imag > bodice.frame.underbust_y - 5:
        del levels["underbust"]  # no level line over a dart's mouth
    marks = () if is_off else (Mark("armhole", -ARMHOLE_MARK_SHARE * length(closed)),)
    legs = (*((dart.upper, dart.tip, dart.lower) for dart in busts), *mouths(waists))
    return Panel("front", "front", edges, levels, legs, marks, (front.bust_point,), count=1, mirrored=False)


def _back(bodice: Bodice, style: Style, darts_lower_mm: float = 0.0) -> Panel:
    drawn = bodice.back
    is_fold = style.zip == "side"
    marks = () if style.sleeve == "flutter" or not drawn.shoulder else (Mark("armhole", -ARMHOLE_MARK_SHARE * length(drawn.armhole), 2),)
    sewn = None
    if is_fold:
        # The back's side parts where the front's does, so that the zip's ends meet.
        sewn = SIDE_ZIP_BELOW_UNDERARM_MM
        if style.princess == "none":
            sewn = side_darts(bodice.front, bodice.frame.underbust_y, darts_lower_mm)[-1].at_mm
    edges = (
        PanelEdge("neck" if drawn.shoulder else "top", "neck", drawn.neck),
        *((PanelEdge("shoulder", "shoulder", drawn.shoulder),) if drawn.shoulder else ()),
        PanelEdge("armhole", "armhole", drawn.armhole),
        *side_edges(drawn.side, style, sewn),
        *waist_edges(drawn.waist.runs, drawn.waist.darts, outward=False),
        PanelEdge("centre", "centre", drawn.centre, fold=True) if is_fold else PanelEdge("zip", "opening", drawn.centre),
    )
    return Panel(
        "back", "back", edges, _levels(bodice), mouths(drawn.waist.darts), marks, (),
        count=1 if is_fold else 2, mirrored=not is_fold,
    )  # fmt: skip


def bodice_panels(bodice: Bodice, style: Style, darts_lower_mm: float = 0.0) -> tuple[Panel, ...]:
    """Front panel or panels, then the back. `darts_lower_mm`: side darts (darts only) further down than the dress's."""
    if bodice.princess is None:
        return _darted_front(bodice, style, darts_lower_mm), _back(bodice, style, darts_lower_mm)
    return *_princess_front(bodice, style, bodice.princess), _back(bodice, style)
