"""Panels of what not every dress has: fuller sleeves, flutter, peplum, waistband, bias binding. mm."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from projector.draft.bodice import Bodice
from projector.draft.bodice_panels import ARMHOLE_MARK_SHARE
from projector.draft.curve import length
from projector.draft.flounces import FLUTTER_SHARE, binding, flutter, peplum, shoulder_bands, waistbands
from projector.draft.off_shoulder import OffShoulder
from projector.draft.panel import Mark, Panel, PanelEdge
from projector.draft.skirt_panels import split_along
from projector.draft.sleeve import Sleeve, sleeve_panel
from projector.draft.sleeve_styles import fuller_sleeve
from projector.draft.style import Style

FRONT_PARTS = ("front", "front_side")


def sleeve_panels(sleeve: Sleeve, bodice: Bodice, style: Style, measures: Mapping[str, float]) -> tuple[Panel, ...]:
    """The sleeve as chosen: fitted, or a puff with its band, or flared."""
    if style.sleeve in ("puff", "flared"):
        return fuller_sleeve(style.sleeve, sleeve, measures, sum(bodice.armhole_mm), armhole_marks_mm(bodice))
    return (sleeve_panel(sleeve.lines, armhole_marks_mm(bodice)),)


def armhole_marks_mm(bodice: Bodice) -> tuple[float, float]:
    """How far from the underarm the armhole is marked, front and back."""
    front, back = bodice.armhole_mm
    return ARMHOLE_MARK_SHARE * front, ARMHOLE_MARK_SHARE * back


def _parted(panel: Panel, upper_mm: float) -> Panel:
    """The armhole edge in two, `upper_mm` below the shoulder."""
    edges: list[PanelEdge] = []
    marks: list[Mark] = []
    for edge in panel.edges:
        if edge.kind != "armhole":
            edges.append(edge)
            continue
        upper, lower = split_along(edge.curve, upper_mm)
        edges += [replace(edge, name="armhole upper", curve=upper), replace(edge, name="armhole lower", curve=lower)]
        for mark in panel.marks:
            if mark.edge == edge.name and -length(lower) < mark.from_start_mm < 0:
                marks.append(replace(mark, edge="armhole lower"))
    kept = tuple(mark for mark in panel.marks if mark.edge != "armhole")
    return replace(panel, edges=tuple(edges), marks=(*kept, *marks))


def with_flutter(panels: Sequence[Panel], bodice: Bodice) -> list[Panel]:
    """The flutter cap on the upper armhole: down to the princess seam where one starts there, else its share of the armhole."""
    front_mm, back_mm = bodice.armhole_mm
    out, inner = [], 0.0
    is_cut = any(panel.part == "front" and any(edge.kind == "armhole" for edge in panel.edges) for panel in panels) and any(
        panel.part == "front_side" for panel in panels
    )
    for panel in panels:
        edge = next((edge for edge in panel.edges if edge.kind == "armhole"), None)
        if edge is None or (is_cut and panel.part == "front_side"):
            out.append(panel)
        elif is_cut and panel.part == "front":
            inner += length(edge.curve)
            out.append(panel)
        else:
            upper = FLUTTER_SHARE * (front_mm if panel.part in FRONT_PARTS else back_mm)
            inner += upper
            out.append(_parted(panel, upper))
    shoulder_at = next(
        (length(edge.curve) for panel in out if panel.part == "front" for edge in panel.edges if edge.kind == "armhole"), None
    )
    cap = flutter(inner)
    if is_cut and shoulder_at is not None:
        cap = replace(cap, marks=(Mark("armhole", shoulder_at),))
    return [*out, cap]


def with_extras(panels: Sequence[Panel], bodice: Bodice | None, style: Style, waists_mm: tuple[float, float]) -> list[Panel]:
    """Main panels and all that the style adds to them. `waists_mm`: sewn quarter waists, front and back."""
    out = list(panels)
    if bodice is None:
        return [*out, *waistbands(*waists_mm, style.zip)]
    if style.sleeve == "flutter":
        out = with_flutter(out, bodice)
    if style.peplum_mm:
        out += peplum(*waists_mm, style.peplum_mm, style.zip)
    if isinstance(bodice, OffShoulder):
        out += shoulder_bands(bodice.band, style.zip)
        if not style.lining:
            out.append(binding("underarm binding", sum(bodice.armhole_mm), False, is_open=True))
    elif not style.facings and not style.lining:
        neck = sum(length(curve) for _, curve in bodice.front_neck.edges) + length(bodice.back.neck)
        out.append(binding("neck binding", neck, True, closed=style.zip == "side"))
        if not style.is_sleeved:
            out.append(binding("armhole binding", sum(bodice.armhole_mm), False))
    return out


def extra_words(style: Style) -> tuple[str, ...]:
    """What the maker has to know about edges that no piece finishes."""
    if style.is_off_shoulder:
        return ("The off-shoulder band's inside is turned in and felled over its seam; over the arms both edges are turned in together.",)
    if style.inset is None:
        return ()
    return ("The inset's own neck edge is hemmed or bound before it is stitched behind the V.",)
