"""The whole garment from measures and style: draft, panels, pieces, seams, joins, finished girths. Pure; mm."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from projector.body.balance import front_waist_more_mm
from projector.draft.adjust import NO_CHANGE, Adjust
from projector.draft.bodice import Bodice, draw_bodice
from projector.draft.bodice_darts import LINING_DARTS_LOWER_MM
from projector.draft.bodice_panels import bodice_panels
from projector.draft.circle import draw_circle
from projector.draft.curve import NoRoot, length
from projector.draft.flounces import peplum
from projector.draft.inset import inset_panel
from projector.draft.off_shoulder import cut_off_shoulder
from projector.draft.panel import DraftRefused, Panel
from projector.draft.skirt import Skirt, SkirtNeed, draw_skirt
from projector.draft.skirt_panels import skirt_panels
from projector.draft.sleeve import Sleeve, draw_sleeve, sleeve_panel
from projector.draft.style import Style
from projector.garment.allowances import Allowances, allowances_for
from projector.garment.extras import armhole_marks_mm, extra_words, sleeve_panels, with_extras
from projector.garment.facing import Facing, NoFacing, is_wide, neck_facing_widths, neck_facings, one_facings, room_mm, runs_over_shoulder
from projector.garment.finished import edges_mm, girth
from projector.garment.first_cut import first_cuts
from projector.garment.lining import (
    HEM_SHORTER_MM,
    below_neck_facing,
    below_one_facing,
    is_sewable,
    past_the_shoulder_seam,
    renamed,
    to_the_edge,
)
from projector.garment.make_piece import make_piece
from projector.garment.pieces import Garment, Piece
from projector.garment.sew import FACING_TO_LINING, Sewing, sew

BODICE_PARTS = ("front", "front_side", "back")
BLOCK_MM = 20.0
"""Fused pieces are cut with this much to spare, 15 to 30 (Industrial Cutting of Textile Materials)."""


@dataclass(slots=True)
class Drafted:
    """All lines of one dress before they become pieces."""

    style: Style
    bodice: Bodice | None = None
    sleeve: Sleeve | None = None
    lining_sleeve: Sleeve | None = None
    skirt: Skirt | None = None
    lining_skirt: Skirt | None = None
    need: SkirtNeed = field(default_factory=lambda: SkirtNeed(0.0, 0.0, 0.0, 0.0))
    warnings: list[str] = field(default_factory=list)


def skirt_need(measures: Mapping[str, float], style: Style, bodice: Bodice | None, adjust: Adjust = NO_CHANGE) -> SkirtNeed:
    """Quarter waists to sew to: the bodice's, or waist plus ease for a skirt alone."""
    if bodice is None:
        quarter = (measures["waist"] + style.eases.waist_mm) / 4
        g = front_waist_more_mm(measures["bust"] - measures["underbust"])
        front_mm, back_mm = quarter + g + adjust.side_waist, quarter - g + adjust.side_waist + adjust.centre_back_waist
        if style.skirt == "circle":  # its quarters are equal, and so are the halves of its band
            front_mm = back_mm = (front_mm + back_mm) / 2
        return SkirtNeed(front_mm, back_mm, 0.5 * quarter, 0.45 * quarter, adjust)
    front, back = bodice.front.waist, bodice.back.waist
    back_first = length(back.runs[0]) if back.darts else 0.45 * back.length
    front_first = length(front.runs[0]) if front.darts else 0.5 * front.length
    return SkirtNeed(front.length, back.length, front_first, back_first, adjust)


def _skirt(measures: Mapping[str, float], style: Style, need: SkirtNeed, shorter_mm: float = 0.0) -> Skirt:
    try:
        return (draw_circle if style.skirt == "circle" else draw_skirt)(measures, style, need, shorter_mm)
    except NoRoot as cause:
        raise DraftRefused(
            "The skirt's waist cannot be taken in.",
            f"Waist {measures['waist']:.0f} mm and hip {measures['hip']:.0f} mm leave darts that do not close.",
            "Measure waist, hip and waist to hip again.",
        ) from cause


def _bodice(measures: Mapping[str, float], style: Style, adjust: Adjust) -> Bodice:
    """The bodice as chosen; under an off-shoulder band no neck is drawn, however deep and wide one was taped."""
    if not style.is_off_shoulder:
        return draw_bodice(measures, style, adjust)
    own = {key: mm for key, mm in measures.items() if key not in ("neck_depth", "neck_width")}
    return cut_off_shoulder(draw_bodice(own, style, adjust), own)


def draft(measures: Mapping[str, float], style: Style, adjust: Adjust = NO_CHANGE) -> Drafted:
    """Every line of the dress, with the lines that a fitting moved. Raises DraftRefused in words."""
    drafted = Drafted(style)
    if style.bodice:
        drafted.bodice = _bodice(measures, style, adjust)
        drafted.warnings.extend(drafted.bodice.warnings)
        if style.is_sleeved:
            drafted.sleeve = draw_sleeve(measures, style, drafted.bodice.armhole_mm, adjust=adjust)
            drafted.warnings.extend(drafted.sleeve.warnings)
            if style.lining:
                drafted.lining_sleeve = draw_sleeve(measures, style, drafted.bodice.armhole_mm, HEM_SHORTER_MM, adjust)
    need = drafted.need = skirt_need(measures, style, drafted.bodice, adjust)
    if style.skirt == "none" and style.peplum_mm:
        return drafted
    drafted.skirt = _skirt(measures, style, need)
    drafted.warnings.extend(drafted.skirt.warnings)
    if style.lining:
        drafted.lining_skirt = replace(_skirt(measures, style, need, HEM_SHORTER_MM), vent=drafted.skirt.vent)
    return drafted


def _lining_bodice(bodice: Bodice, panels: Sequence[Panel], facings: Sequence[Facing], style: Style) -> list[Panel]:
    """The bodice's lining panels, in the order of `panels`."""
    if not facings:
        kinds = ("neck",) if style.is_sleeved else ("armhole",) if style.is_off_shoulder else ("neck", "armhole")
        return [to_the_edge(panel, kinds) for panel in panels]
    if style.is_sleeved:
        return _below_neck_facings(bodice, panels, facings, style)
    theta, about = complex(np.exp(1j * bodice.front.turn)), bodice.front.bust_point
    done, kept = [], 0.0
    for panel in panels:
        inner = facings[1].inner if panel.part == "back" else facings[0].inner
        is_outside = panel.part == "front_side" or (panel.part == "front" and bodice.princess is None)
        turn = theta if panel.part == "front_side" else 1 + 0j
        lined, mm = below_one_facing(panel, inner, turn, about, kept if is_outside and kept else None)
        kept = mm or kept
        done.append(lined)
    return done


def _below_neck_facings(bodice: Bodice, panels: Sequence[Panel], facings: Sequence[Facing], style: Style) -> list[Panel]:
    """Under neck facings; a facing wider than a shoulder princess' first half reaches into the side panel."""
    front, back = facings[0].inner, facings[1].inner
    if style.princess == "shoulder" and bodice.princess is not None:
        seam = bodice.princess.centre[0].a
        if abs(front[-1] - bodice.front.point) > abs(seam - bodice.front.point):
            theta = complex(np.exp(1j * bodice.front.turn))
            below = past_the_shoulder_seam(panels, front, theta, bodice.front.bust_point)
            return [below_neck_facing(panel, back) if panel.part == "back" else below.get(panel.part, panel) for panel in panels]
    by_part = {"front": front, "back": back}
    return [below_neck_facing(panel, by_part[panel.part]) if panel.part in by_part else panel for panel in panels]


def _facings(drafted: Drafted, upper: Sequence[Panel]) -> tuple[Facing, ...]:
    """Neck and armhole in one without sleeves; with sleeves the widest neck facings that leave the lining a shape to sew."""
    bodice, style = drafted.bodice, drafted.style
    if bodice is None or not style.facings or style.is_off_shoulder:
        return ()
    if not style.is_sleeved:
        return one_facings(bodice, style)
    widths = neck_facing_widths(bodice, style)
    for wide in widths:
        facings = neck_facings(bodice, style, wide)
        lined = _lining_bodice(bodice, upper, facings, style) if style.lining else []
        is_whole = all(is_sewable(panel) for panel in (*(facing.panel for facing in facings), *lined))
        if is_whole and runs_over_shoulder(*facings) and all(is_wide(facing, room_mm(bodice, style)) for facing in facings):
            return facings
    raise NoFacing(
        "No neck facing goes under this neckline.",
        f"At every width from {min(widths):.0f} mm up it bends too sharply or runs into the lining's other seams.",
        "Choose facings: false, or a smaller neck.",
    )


def _refuse_unlike_facing(sewing: Sewing) -> None:
    """A facing is cut flat: over some busts it no longer fits the shaped lining."""
    for seam in sewing.seams:
        low, high = seam.ease_mm
        more = seam.a_mm - seam.b_mm
        if seam.name.endswith(FACING_TO_LINING) and not low <= more <= high:
            raise NoFacing(
                "No facing fits the lining over this bust.",
                f"They would differ by {abs(more):.0f} mm; {high:.0f} mm can be taken up.",
                "Choose facings: false, or a smaller neck.",
            )


def _lining_panels(drafted: Drafted, main: Sequence[Panel], facings: Sequence[Facing]) -> list[Panel]:
    style = drafted.style
    panels: list[Panel] = []
    if drafted.bodice is not None:
        under = bool(facings) and not style.is_sleeved and style.princess == "none"
        upper = bodice_panels(drafted.bodice, style, LINING_DARTS_LOWER_MM) if under else main
        panels += _lining_bodice(drafted.bodice, upper, facings, style)
    if drafted.lining_skirt is not None:
        panels += skirt_panels(drafted.lining_skirt, style, is_lining=True)
    if drafted.sleeve is not None and drafted.bodice is not None:
        assert drafted.lining_sleeve is not None  # drafted with the sleeve
        panels.append(sleeve_panel(drafted.lining_sleeve.lines, armhole_marks_mm(drafted.bodice)))
    if drafted.bodice is not None and style.peplum_mm:
        panels += peplum(drafted.need.front, drafted.need.back, style.peplum_mm, style.zip)
    return [renamed(panel) for panel in panels]


def _pieces(panels: Sequence[Panel], of: str, cloth: str, allowances: Allowances, block_mm: float = 0.0) -> list[Piece]:
    return [make_piece(panel, of, cloth, allowances, block_mm) for panel in panels]


def _as_main(piece: Piece, style: Style) -> Piece:
    """A piece of the dress itself: lines of a first dress, and a waistband as the block its interfacing is fused to."""
    return replace(piece, first_cut=first_cuts(piece, style), block_mm=BLOCK_MM if piece.part == "waistband" else 0.0)


def _finished(main: Sequence[Piece], drafted: Drafted) -> dict[str, float | None]:
    body = [piece for piece in main if not piece.part.startswith("sleeve")]
    uppers = [piece for piece in body if piece.part in BODICE_PARTS]
    skirts = [piece for piece in body if piece.part.startswith("skirt")] or [piece for piece in body if piece.part.startswith("peplum")]
    biceps = girth([piece for piece in main if piece.part == "sleeve"], "biceps")
    waist = edges_mm(uppers if uppers else skirts, "waist")
    vent = drafted.skirt.vent.from_hem_mm if drafted.skirt is not None else 0.0
    told = {
        "bust_mm": girth(uppers, "bust"),
        "underbust_mm": girth(uppers, "underbust"),
        "waist_mm": waist,
        "hip_mm": girth(skirts, "hip"),
        "knee_mm": girth(skirts, "knee"),
        "hem_mm": edges_mm(skirts, "hem"),
        "biceps_mm": biceps / 2 if biceps is not None else None,
        "vent_from_hem_mm": vent or None,
    }
    return {name: None if mm is None else round(mm, 3) for name, mm in told.items()}


def _zip_words(style: Style) -> tuple[str, ...]:
    if style.zip == "back":
        return ()
    return ("The zip is set into the left side; the right side is sewn whole.",)


def _vent_words(drafted: Drafted) -> list[str]:
    skirt = drafted.skirt
    if skirt is None or not skirt.vent.from_hem_mm:
        return []
    vent = skirt.vent
    drawn = "slit at the side" if drafted.style.zip == "side" else "vent at centre back"
    return [
        (
            f"Walking: slit, vent or neither? Neither lets her step {vent.step_without_mm:.0f} mm; slit or vent, "
            f"{vent.from_hem_mm:.0f} mm up from the hem, {vent.step_with_mm:.0f} mm; a full step is {vent.step_wanted_mm:.0f} mm. "
            f"The {drawn} is drawn: decide before cutting (some 10 % uncertain)."
        )
    ]


def build(measures: Mapping[str, float], style: Style, adjust: Adjust = NO_CHANGE) -> Garment:
    """Everything that is cut and sewn. `measures` complete in mm (see draw_bodice); `adjust`: lines moved at a fitting.

    Under a neck that no facing goes under, the lining goes to the edge or the edge is bound, told in a warning. Raises DraftRefused.
    """
    try:
        return _built(measures, style, adjust)
    except NoFacing as cause:
        made = _built(measures, replace(style, facings=False), adjust)
        instead = "So the lining goes to the edge, without facings." if style.lining else "So it has none."
        return replace(made, warnings=(f"{cause.what} {cause.why} {instead}", *made.warnings))


def _built(measures: Mapping[str, float], style: Style, adjust: Adjust) -> Garment:
    drafted = draft(measures, style, adjust)
    upper = list(bodice_panels(drafted.bodice, style)) if drafted.bodice is not None else []
    main_panels = list(upper)
    if drafted.sleeve is not None:
        assert drafted.bodice is not None
        main_panels += sleeve_panels(drafted.sleeve, drafted.bodice, style, measures)
    if drafted.skirt is not None:
        main_panels += skirt_panels(drafted.skirt, style)
    waists = drafted.need.front, drafted.need.back
    main_panels = with_extras(main_panels, drafted.bodice, style, waists)
    facings = _facings(drafted, upper)
    main = [_as_main(piece, style) for piece in _pieces(main_panels, "main", "main", allowances_for(style, "main"))]
    pieces = list(main)
    facing_pieces = _pieces([facing.panel for facing in facings], "facing", "main", allowances_for(style, "facing"), BLOCK_MM)
    pieces += facing_pieces
    if style.lining:
        pieces += _pieces(_lining_panels(drafted, upper, facings), "lining", "lining", allowances_for(style, "lining"))
    stiffened = (*facing_pieces, *(piece for piece in main if piece.part == "waistband"))
    pieces += [replace(piece, name=f"{piece.name} interfacing", of="interfacing", cloth="interfacing") for piece in stiffened]
    if style.inset is not None and drafted.bodice is not None:
        pieces += _pieces([inset_panel(drafted.bodice, style.inset, drafted.warnings)], "inset", "inset", allowances_for(style, "facing"))
    sewing = sew(pieces, style)
    _refuse_unlike_facing(sewing)
    warnings = (*drafted.warnings, *_zip_words(style), *_vent_words(drafted), *sewing.warnings, *extra_words(style))
    walking = drafted.skirt.vent if drafted.skirt is not None and drafted.skirt.vent.from_hem_mm else None
    return Garment(tuple(pieces), sewing.seams, sewing.joins, dict(measures), _finished(main, drafted), warnings, walking=walking)
