"""The bodice of one body and style: shared frame, front, back, and the governor that makes armhole and underbust fit.

Frame as in frame.py; the limits stand beside their names and come from trials on real bodies unless a source is named.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import floor

from projector.body.balance import ABOVE_WAIST_MM, BELOW_ARMHOLE_MM, UNSEEN_MM
from projector.draft.adjust import NO_CHANGE, Adjust
from projector.draft.bodice_back import Back, Shares, back_shares, centre_in_at, draw_back
from projector.draft.bodice_darts import side_darts, waist_darts, with_fitting_waist
from projector.draft.bodice_front import Front, PrincessEdges, draw_front, front_waist_ends, princess_edges
from projector.draft.curve import Curve, NoRoot, crossing, length, line
from projector.draft.frame import FRONT_HIGHER_MM, FULL_CUP_MM, Frame, Tuning, frame_of
from projector.draft.neck import FrontNeck, back_centre_y, back_leaving, back_neck, front_depth_mm, front_neck
from projector.draft.neck_room import NeckCut, clear_back, clear_neck, neck_cut, pass_the_head
from projector.draft.panel import DraftRefused
from projector.draft.style import Style
from projector.draft.waistline import OpenDart

ROUNDS_MAX = 80
ARMHOLE_OVER_ARM_MM = {"sleeved": 90.0, "bare": 75.0}
CAP_OVER_ARM_MM = 115.0
"""Armhole and cap ease together go so far round the arm that a sleeve head has height. Ours."""
ARMHOLE_OVER_ARM_MOST_MM = 190.0
ARMHOLE_OVER_ARM_REFUSED_MM = 72.0
BUST_EASE_MOST_MM = 122.0
"""A fitted bodice with more ease than 125 mm no longer fits; the governor stops short of it."""
NECK_HOLLOW_LEAST_MM = 8.0
"""A neck raised at a fitting still lies so much lower at the centre than on the shoulder. Ours."""
BUST_HELD_MOST_MM = 24.0
"""The underarm may go so far below where the measures want the bust line before the armhole is refused; the line is drawn under it."""


@dataclass(frozen=True, slots=True)
class Bodice:
    """All lines of one bodice."""

    frame: Frame
    front: Front
    front_neck: FrontNeck
    back: Back
    princess: PrincessEdges | None
    tuning: Tuning
    shares: Shares
    warnings: tuple[str, ...] = ()

    @property
    def armhole_mm(self) -> tuple[float, float]:
        """Front and back armhole."""
        return length(self.front.armhole), length(self.back.armhole)

    @property
    def centre_front(self) -> Curve:
        """The front's centre line from the waist up to the neck."""
        return (line(self.front.centre_waist, self.front_neck.centre),)

    @property
    def front_hollow(self) -> float:
        """How far the front neck's centre lies under its neck point, mm."""
        return (self.front_neck.centre - self.front.point).imag

    @property
    def back_hollow(self) -> float:
        """How far the back neck's centre lies under its neck point, mm."""
        return (self.back.neck[0].a - self.back.neck[-1].d).imag


def _draw(measures: Mapping[str, float], style: Style, frame: Frame, cut: NeckCut, tuning: Tuning) -> Bodice:
    """One round: necks, back, front, princess."""
    front_heading, back_heading = frame.front_shoulder, frame.back_shoulder
    front_point = frame.front_neck_point + cut.widen * front_heading
    back_point = frame.back_neck_point + cut.widen * back_heading
    depth = front_depth_mm(measures["neck"], replace(style, neck_drop_mm=cut.drop))
    front_centre = complex(0, frame.front_neck_point.imag + depth)
    neck = front_neck(style.neck, front_centre, front_point, front_heading)
    by_hand = frame.adjust.neck_back
    leaving = back_leaving(back_heading, neck.leaving, front_heading)
    back_centre = complex(0, back_centre_y(back_point, cut.back - by_hand, leaving) + by_hand)
    behind = back_neck(back_centre, back_point, leaving)
    shares = back_shares(frame, is_on_fold=style.zip == "side")
    back = draw_back(measures, frame, shares, behind, back_point, tuning.is_back_dart_low)
    front = draw_front(frame, shares, back.armhole_x, front_point)
    edges = None if style.princess == "none" else princess_edges(front, style.princess, cut.seam_out)
    if edges is None:
        ends = front_waist_ends(frame, front.side_waist, front.side_heading)
        front = with_fitting_waist(front, ends, frame.front_waist + frame.adjust.side_waist)
    return Bodice(frame, front, neck, back, edges, tuning, shares)


def _dart_width(dart: OpenDart, y: float) -> float:
    """What a dart takes at level y under its tip."""
    height = (dart.inner.imag + dart.outer.imag) / 2 - dart.tip.imag
    return abs(dart.outer - dart.inner) * max(0.0, y - dart.tip.imag) / height


def underbust_girth(bodice: Bodice) -> float:
    """Girth along the underbust line, darts and seams sewn, mm."""
    y, frame, front, back = bodice.frame.underbust_y, bodice.frame, bodice.front, bodice.back
    to_waist = (y - frame.underarm_y) / (frame.side_waist_y - frame.underarm_y)
    front_side = front.underarm.real + (front.side_waist.real - front.underarm.real) * to_waist
    back_side = back.side[0].at(to_waist).real
    level = complex(0, y)
    if bodice.princess is not None:
        inner, outer = (curve[1].at(crossing(curve[1], level, 1)).real for curve in (bodice.princess.centre, bodice.princess.side))
        front_width = front_side - outer + inner
    else:
        front_width = front_side - sum(_dart_width(dart, y) for dart in waist_darts(front))
    back_width = back_side - centre_in_at(back.centre[0].back(), y)
    back_width -= sum(_dart_width(dart, y) for dart in back.waist.darts)
    return 2 * (front_width + back_width)


def _more_bust(tuning: Tuning, by: float, style: Style) -> Tuning | None:
    return replace(tuning, bust_mm=tuning.bust_mm + by) if style.eases.bust_mm + tuning.bust_mm + by <= BUST_EASE_MOST_MM else None


def _govern_underbust(bodice: Bodice, measures: Mapping[str, float], style: Style) -> Tuning | None:
    """Room under the bust: first the back dart starts lower, then the whole bust gets more ease."""
    room = underbust_girth(bodice) - measures["underbust"]
    if room >= 14:
        return None
    if not bodice.tuning.is_back_dart_low and bodice.back.waist.darts:
        return replace(bodice.tuning, is_back_dart_low=True)
    more = _more_bust(bodice.tuning, 6, style)
    if more is None and room < 5:
        raise DraftRefused(
            "The line under the bust cannot be made wide enough.",
            f"It comes to {underbust_girth(bodice):.0f} mm on a body of {measures['underbust']:.0f} mm, "
            f"with a waist of {measures['waist']:.0f} mm.",
            "Measure round under bust, waist and bust again.",
        )
    return more


def _over_arm(style: Style) -> float:
    """The least that an armhole measures more than the arm in it."""
    if not style.is_sleeved:
        return ARMHOLE_OVER_ARM_MM["bare"]
    return max(ARMHOLE_OVER_ARM_MM["sleeved"], CAP_OVER_ARM_MM - style.eases.cap_mm)


def _govern_armhole(bodice: Bodice, measures: Mapping[str, float], style: Style, has_raised: bool) -> Tuning | None:
    """Arm through the armhole: first the underarm goes lower, then the whole bust gets more ease."""
    arm, armhole = measures["upper_arm"], sum(bodice.armhole_mm)
    if armhole >= arm + _over_arm(style):
        return None
    tuning = bodice.tuning
    # Lower than the bust allows would only be raised again by the rule before this one.
    lowest = min(0.60 * measures["nape_waist"], bodice.frame.bust_y_wanted - 1)
    if not has_raised and bodice.frame.underarm_y + 4 <= lowest:
        return replace(tuning, underarm_mm=tuning.underarm_mm + 4)
    more = _more_bust(tuning, 8, style)
    if more is None and armhole < arm + ARMHOLE_OVER_ARM_REFUSED_MM:
        if bodice.frame.underarm_y + 4 <= min(0.60 * measures["nape_waist"], bodice.frame.bust_y_wanted + BUST_HELD_MOST_MM):
            return replace(tuning, underarm_mm=tuning.underarm_mm + 4, is_bust_held=True)
        raise DraftRefused(
            "No armhole can be made for this arm.",
            f"It comes to {armhole:.0f} mm round an upper arm of {arm:.0f} mm; {arm + ARMHOLE_OVER_ARM_REFUSED_MM:.0f} mm is the least.",
            "Measure round arm, round bust and shoulder again.",
        )
    return more


def _next_tuning(bodice: Bodice, measures: Mapping[str, float], style: Style) -> Tuning | None:
    """What the governor changes next; None when all is well. The first rule listed wins."""
    tuning, frame = bodice.tuning, bodice.frame
    is_free = "scye_depth" not in measures
    if is_free and tuning.underarm_mm > -18 and sum(bodice.armhole_mm) > measures["upper_arm"] + ARMHOLE_OVER_ARM_MOST_MM:
        return replace(tuning, underarm_mm=tuning.underarm_mm - 3)
    changed = _govern_underbust(bodice, measures, style)
    if changed is not None:
        return changed
    is_bust_too_high = not tuning.is_bust_held and frame.bust_y_wanted < frame.underarm_y + BELOW_ARMHOLE_MM - UNSEEN_MM
    if is_bust_too_high and frame.underarm_y > 0.36 * measures["nape_waist"]:
        return replace(tuning, underarm_mm=tuning.underarm_mm - 3)
    return _govern_armhole(bodice, measures, style, has_raised=is_bust_too_high or tuning.underarm_mm < 0)


def _refuse_flat_cup(frame: Frame) -> None:
    higher = frame.front_higher
    if frame.cup >= FULL_CUP_MM and higher < FRONT_HIGHER_MM:
        raise DraftRefused(
            "Shoulder to nipple is too short for this cup.",
            f"The front would stand {abs(floor(higher)):d} mm {'higher' if higher >= 0 else 'lower'} than the back; "
            f"a cup of {frame.cup:.0f} mm wants it {FRONT_HIGHER_MM:.0f} mm higher.",
            "Measure shoulder to nipple and round under bust again.",
        )


def _tuning_warnings(bodice: Bodice, style: Style) -> list[str]:
    said, tuning, frame = [], bodice.tuning, bodice.frame
    if tuning.bust_mm:
        said.append(
            f"Bust ease is {style.eases.bust_mm + tuning.bust_mm:.0f} mm instead of {style.eases.bust_mm:.0f} mm: "
            "armhole or line under the bust needs it."
        )
    if tuning.underarm_mm:
        way = "lower" if tuning.underarm_mm > 0 else "higher"
        said.append(
            f"The underarm lies {abs(tuning.underarm_mm):.0f} mm {way} than measured or worked out, so that the armhole fits the arm."
        )
    if tuning.is_bust_held:
        said.append(
            f"The bust line lies {frame.bust_y - frame.bust_y_wanted:.0f} mm lower than worked out, so that the armhole fits the arm: "
            "measure shoulder to nipple and round arm again."
        )
    if frame.bust_y_wanted > frame.side_waist_y - ABOVE_WAIST_MM + UNSEEN_MM:
        said.append(
            f"The bust point came out very low and is held {ABOVE_WAIST_MM:.0f} mm above the waist: measure shoulder to nipple again."
        )
    if style.back_neck_mm >= 120:
        said.append("A back neck this deep needs a tie across the shoulders, or it slips.")
    return said


def _adjusted(measures: Mapping[str, float], style: Style, bodice: Bodice, cut: NeckCut, adjust: Adjust) -> Bodice:
    """The governed bodice drawn again with the lines that a fitting moved."""
    if adjust.centre_back_waist and style.zip == "side":
        raise DraftRefused(
            "There is no centre-back seam to alter.",
            f"The zip is in the side and the back lies on the fold; {adjust.centre_back_waist:.0f} mm cannot be taken there.",
            "Take them at side_waist, or choose zip: back.",
        )
    frame = replace(bodice.frame, adjust=adjust)
    cut = replace(cut, drop=cut.drop + adjust.neck_front, back=cut.back + adjust.neck_back)
    try:
        drawn = _draw(measures, style, frame, cut, bodice.tuning)
    except NoRoot as cause:
        raise DraftRefused(
            "The fitting's lines cannot be drawn.",
            "The waist no longer closes.",
            "Look at side_waist and centre_back_waist of the fitting again.",
        ) from cause
    for side, moved, hollow in (("front", adjust.neck_front, drawn.front_hollow), ("back", adjust.neck_back, drawn.back_hollow)):
        if moved < 0 and hollow < NECK_HOLLOW_LEAST_MM:
            most = max(0.0, hollow - moved - NECK_HOLLOW_LEAST_MM)
            raise DraftRefused(
                f"The {side} neck cannot be so high.",
                f"{-moved:.0f} mm higher it comes too near the neck point's level; {most:.0f} mm is the most.",
                f"Pin less at neck_{side}, or lift the shoulders at shoulder_tip.",
            )
    return drawn


def draw_bodice(measures: Mapping[str, float], style: Style, adjust: Adjust = NO_CHANGE) -> Bodice:
    """Draft the bodice. `measures` in mm, complete; optional: front_waist, shoulder_underbust, scye_depth (only when measured).

    `adjust`: lines moved at a fitting.

    Raises DraftRefused, in words, where this body and style give nothing that can be sewn.
    """
    tuning, said = Tuning(), list[str]()
    for _ in range(ROUNDS_MAX):
        frame = frame_of(measures, style, tuning)
        said = []
        cut = neck_cut(frame, measures, style, said)
        try:
            bodice = _draw(measures, style, frame, cut, tuning)
        except NoRoot as cause:
            raise DraftRefused(
                "The waist cannot be taken in.",
                f"Bust {measures['bust']:.0f} mm and waist {measures['waist']:.0f} mm leave darts that do not close.",
                "Measure round bust, round waist and back half length again.",
            ) from cause
        changed = _next_tuning(bodice, measures, style)
        if changed is None:
            break
        tuning = changed
    _refuse_flat_cup(frame)
    if style.princess == "none":
        side_darts(bodice.front, bodice.frame.underbust_y)
        waist_darts(bodice.front)
    governed = bodice

    def drawn(tried: NeckCut) -> Bodice:
        return _draw(measures, style, governed.frame, tried, governed.tuning)

    if not style.is_off_shoulder:  # its neck is cut off
        bodice, cut = clear_neck(bodice, drawn, style, cut, said)
        bodice, cut = clear_back(bodice, drawn, style, cut, said)
        if style.zip == "side":
            bodice, cut = pass_the_head(bodice, drawn, style, cut, said)
    warnings = (*said, *_tuning_warnings(bodice, style))
    if adjust != NO_CHANGE:
        bodice = _adjusted(measures, style, bodice, cut, adjust)
    return replace(bodice, warnings=warnings)
