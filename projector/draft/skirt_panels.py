"""The skirt's quarters put together into panels: darts, zip, vent or slit. Edges clockwise as drawn."""

from collections.abc import Mapping

import numpy as np

from projector.draft.bodice_darts import INSIDE_MM
from projector.draft.bodice_panels import mouths, waist_edges
from projector.draft.curve import Cubic, Curve, flat, length, line, unit
from projector.draft.panel import Mark, Panel, PanelEdge
from projector.draft.ring import Sector
from projector.draft.skirt import ZIP_TO_HIP_SHARE, Quarter, Skirt
from projector.draft.style import Style

VENT_WIDE_MM = 45.0
VENT_TOP_MM = 20.0
SNAP_MM = 3.0


def split_along(curve: Curve, arc: float) -> tuple[Curve, Curve]:
    """Both parts of a run cut `arc` mm from its beginning (inside it)."""
    head: list[Cubic] = []
    ends = np.cumsum([cubic.length() for cubic in curve])[:-1]
    near = ends[np.abs(ends - arc) < SNAP_MM]
    if len(near):  # a stump of a curve would be left: cut at its joint
        place = int(np.flatnonzero(ends == near[0])[0]) + 1
        return curve[:place], curve[place:]
    for place, cubic in enumerate(curve):
        span = cubic.length()
        if arc < span - 1e-6:
            if cubic.is_straight():
                t = arc / span
            else:
                low, high = 0.0, 1.0
                for _ in range(40):
                    t = (low + high) / 2
                    low, high = (t, high) if cubic.split(t)[0].length() < arc else (low, t)
            first, rest = cubic.split(t)
            return (*head, first), (rest, *curve[place + 1 :])
        head.append(cubic)
        arc -= span
    raise ValueError(f"{arc:.1f} mm beyond the end of the run")


def _side_edges(quarter: Quarter, skirt: Skirt, style: Style) -> tuple[PanelEdge, ...]:
    """Side from the waist down: zip (side zip), seam, slit (where no centre-back seam could hold a vent)."""
    curve, edges = quarter.side, []
    if style.zip == "side":
        opened, curve = split_along(curve, ZIP_TO_HIP_SHARE * skirt.hip_y)
        edges.append(PanelEdge("side zip", "opening", opened))
    slit = skirt.vent.from_hem_mm if style.zip == "side" else 0.0
    if slit:
        sewn, slit_curve = split_along(curve, length(curve) - slit)
        return (*edges, PanelEdge("side", "side", sewn), PanelEdge("slit", "opening", slit_curve))
    return (*edges, PanelEdge("side", "side", curve))


def _circle_levels(sector: Sector, skirt: Skirt) -> dict[str, float | tuple[complex, ...]]:
    """Hip and knee as arcs, ended inside the piece."""
    places = {"hip": skirt.hip_y, "knee": skirt.knee_y}
    found: dict[str, float | tuple[complex, ...]] = {}
    for name, y in places.items():
        if y < skirt.hem_y - 5:
            arc = flat(sector.across(y))
            arc[0] += INSIDE_MM * unit(complex(arc[1] - arc[0]))
            arc[-1] -= INSIDE_MM * unit(complex(arc[-1] - arc[-2]))
            found[name] = tuple(arc.tolist())
    return found


def _circle_marks(skirt: Skirt, is_front: bool) -> tuple[Mark, ...]:
    """Where the bodice's side seam falls on the waist, counted from the centre of the quarter it lies on."""
    span = length(skirt.front.waist.runs[0])
    beyond = skirt.side_mark - span
    if abs(beyond) < 4:
        return ()
    if beyond > 0:
        return () if is_front else (Mark("waist", span - beyond),)
    return (Mark("waist", skirt.side_mark),) if is_front else ()


def _levels(quarter: Quarter, skirt: Skirt) -> Mapping[str, float | tuple[complex, ...]]:
    if skirt.sector is not None:
        return _circle_levels(skirt.sector, skirt)
    lowest = min(skirt.hem_y, float(flat(quarter.side)[-1].imag))
    levels = {"hip": skirt.hip_y, "knee": skirt.knee_y}
    return {name: y for name, y in levels.items() if y < lowest - 5}


def _centre_back(quarter: Quarter, skirt: Skirt, style: Style, is_lining: bool) -> tuple[tuple[PanelEdge, ...], complex]:
    """Centre back from the hem up, and where the hem ends: vent extension (in a lining a slit), seam, zip."""
    top, low = quarter.centre_top, quarter.hem_centre
    if style.zip == "side":
        return (PanelEdge("centre", "centre", (line(low, top),), fold=True),), low
    zip_end = complex(0, ZIP_TO_HIP_SHARE * skirt.hip_y)
    zip_edge = PanelEdge("zip", "opening", (line(zip_end, top),))
    height = skirt.vent.from_hem_mm
    if not height:
        return (PanelEdge("centre", "centre", (line(low, zip_end),)), zip_edge), low
    vent = complex(0, low.imag - height)
    if is_lining:
        slit = PanelEdge("slit", "opening", (line(low, vent),))
        return (slit, PanelEdge("centre", "centre", (line(vent, zip_end),)), zip_edge), low
    out = complex(-VENT_WIDE_MM, vent.imag + VENT_WIDE_MM - VENT_TOP_MM)
    start = complex(0, out.imag - VENT_WIDE_MM)
    bottom = complex(-VENT_WIDE_MM, low.imag)
    return (
        PanelEdge("vent", "opening", (line(bottom, out),)),
        PanelEdge("vent top", "opening", (line(out, start),)),
        PanelEdge("centre", "centre", (line(start, zip_end),)),
        zip_edge,
    ), bottom


def skirt_panels(skirt: Skirt, style: Style, is_lining: bool = False) -> tuple[Panel, Panel]:
    """Front on the fold; back in two halves, or on the fold with a side zip."""
    front, behind = skirt.front, skirt.back
    front_edges = (
        *waist_edges(front.waist.runs, front.waist.darts, outward=True),
        *_side_edges(front, skirt, style),
        PanelEdge("hem", "hem", front.hem),
        PanelEdge("centre", "centre", (line(front.hem_centre, front.centre_top),), fold=True),
    )
    centre, hem_end = _centre_back(behind, skirt, style, is_lining)
    hem = (*behind.hem, line(behind.hem_centre, hem_end)) if hem_end != behind.hem_centre else behind.hem
    back_edges = (
        *waist_edges(behind.waist.runs, behind.waist.darts, outward=True),
        *_side_edges(behind, skirt, style),
        PanelEdge("hem", "hem", hem),
        *centre,
    )
    side_name = next(edge.name for edge in front_edges if edge.kind == "side")
    hip_from_end = -(length(next(edge.curve for edge in front_edges if edge.name == side_name)) - _hip_arc(skirt, front_edges))
    marks = (Mark(side_name, hip_from_end),)
    is_fold = style.zip == "side"
    circle = [_circle_marks(skirt, is_front) if skirt.sector is not None else () for is_front in (True, False)]

    return (
        Panel(
            "skirt front", "skirt_front", front_edges, _levels(front, skirt), mouths(front.waist.darts), (*marks, *circle[0]),
            count=1, mirrored=False,
        ),
        Panel(
            "skirt back", "skirt_back", back_edges, _levels(behind, skirt), mouths(behind.waist.darts), (*marks, *circle[1]),
            count=1 if is_fold else 2, mirrored=not is_fold,
        ),
    )  # fmt: skip


def _hip_arc(skirt: Skirt, edges: tuple[PanelEdge, ...]) -> float:
    """How far along the `side` edge the hip line lies."""
    quarter = skirt.front
    opened = sum(length(edge.curve) for edge in edges if edge.name == "side zip")
    to_hip = skirt.hip_y if skirt.sector is not None else quarter.side[0].length()
    return to_hip - opened
