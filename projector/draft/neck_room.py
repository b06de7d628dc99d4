"""How far the neckline moves on this body: held at strap, bust line, armhole and princess seam, and large enough for the head. mm.

Each function draws the bodice anew by `draw`, which the bodice hands in, and tells in `said` what was not done as chosen.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from math import cos, sin
from typing import Protocol, TypeVar

import numpy as np

from projector.draft.bodice_back import Back
from projector.draft.bodice_darts import side_darts
from projector.draft.bodice_front import Front, PrincessEdges
from projector.draft.curve import apart_mm, flat, length, walked
from projector.draft.frame import FRONT_HIGHER_MM, FULL_CUP_MM, Frame
from projector.draft.neck import FrontNeck, front_depth_mm, smaller_neck
from projector.draft.panel import DraftRefused
from projector.draft.style import Style

STRAP_LEAST_MM, STRAP_IN_TWO_LEAST_MM = 30.0, 50.0
"""The second where a princess seam parts it."""
NECK_OVER_BUST_MM = 20.0
NECK_HIGHER_MOST_MM = 15.0
"""A taped neck depth may lie this much above the neck's own root; higher it would choke."""
BACK_NECK_OVER_BUST_MM, BACK_NECK_MOST_MM = 25.0, 200.0
HEAD_GIRTH_MM = 580.0
"""A neck without an opening must pass the head. Common practice, no source."""
NECK_CLEAR_MM = 30.0
"""Neck and princess seam or armhole keep their two allowances and a little apart."""
BESIDE_NECK_MM, BESIDE_CLEAR_MM = 70.0, 18.0
"""A shoulder princess runs beside the neck for so long, and there so near at most."""
DART_CLEAR_MM = 25.0
"""From the tips of side darts, where the bust is darted only."""
NARROWED_TIMES = 8
"""Halvings of a neck that gives way: to 1 mm of 120."""
NECK_FACED_CLEAR_MM, NECK_CORNER_CLEAR_MM = 49.0, 66.0
"""With a neck facing (41 wide at least) and a lining under it; the second: from a square neck's corner."""

SEAM_OUT = "The princess seam starts further out on the shoulder than its middle, off the neck."


@dataclass(frozen=True, slots=True)
class NeckCut:
    """How far the neckline really moves on this body. `seam_out`: a shoulder princess starts so far out, 0 usual to 1 the most."""

    widen: float
    drop: float
    back: float
    seam_out: float = 0.0


class Necked(Protocol):
    """What is looked at of a bodice."""

    @property
    def frame(self) -> Frame: ...
    @property
    def front(self) -> Front: ...
    @property
    def front_neck(self) -> FrontNeck: ...
    @property
    def back(self) -> Back: ...
    @property
    def princess(self) -> PrincessEdges | None: ...


Drawn = TypeVar("Drawn", bound=Necked)
Draw = Callable[[NeckCut], Drawn]


def _wanted_neck(frame: Frame, measures: Mapping[str, float], style: Style) -> tuple[float, float]:
    """Widening along the shoulder and drop: the style's, on top of a neck width and depth where they were taped."""
    widen, drop = style.neck_widen_mm, style.neck_drop_mm
    if "neck_width" in measures:
        widen += max(0.0, measures["neck_width"] - frame.neck_half) / cos(frame.front_slope)
    if "neck_depth" in measures:
        root = front_depth_mm(measures["neck"], replace(style, neck_drop_mm=0.0))
        drop += max(-NECK_HIGHER_MOST_MM, measures["neck_depth"] - root)
    return widen, drop


def _strap_mm(style: Style) -> float:
    return STRAP_IN_TWO_LEAST_MM if style.princess == "shoulder" else STRAP_LEAST_MM


def neck_cut(frame: Frame, measures: Mapping[str, float], style: Style, said: list[str]) -> NeckCut:
    """Widening and drop as chosen or taped, held where the strap or the bust would be lost (told in a warning)."""
    wanted_widen, wanted_drop = _wanted_neck(frame, measures, style)
    strap = _strap_mm(style)
    widen = min(wanted_widen, frame.front_shoulder_length - strap)
    if widen < wanted_widen - 0.5:
        said.append(
            f"The neck is widened by {widen:.0f} mm, not {wanted_widen:.0f} mm: "
            f"the shoulder of {frame.front_shoulder_length:.0f} mm keeps a strap of {strap:.0f} mm."
        )
    if frame.cup >= FULL_CUP_MM and widen > 0:
        most = max(0.0, (frame.front_higher - FRONT_HIGHER_MM) / (sin(frame.front_slope) - sin(frame.back_slope)))
        if most < widen - 0.5:
            said.append(f"The neck is widened by {most:.0f} mm, not {wanted_widen:.0f} mm: so the front stays higher than the back.")
        widen = min(widen, most)
    root_y = frame.front_neck_point.imag + front_depth_mm(measures["neck"], replace(style, neck_drop_mm=0.0))
    drop = min(wanted_drop, frame.bust_y - NECK_OVER_BUST_MM - root_y)
    if drop < wanted_drop - 0.5:
        said.append(
            f"The neck is dropped by {drop:.0f} mm, not {wanted_drop:.0f} mm: it stays {NECK_OVER_BUST_MM:.0f} mm above the bust line."
        )
    behind = min(style.back_neck_mm, frame.bust_y - BACK_NECK_OVER_BUST_MM)
    if behind < style.back_neck_mm - 0.5:
        said.append(
            f"The back neck is {behind:.0f} mm deep, not {style.back_neck_mm:.0f} mm: "
            f"it stays {BACK_NECK_OVER_BUST_MM:.0f} mm above the bust line."
        )
    return NeckCut(widen, drop, behind)


def _neckline_mm(bodice: Necked) -> float:
    return 2 * (sum(length(curve) for _, curve in bodice.front_neck.edges) + length(bodice.back.neck))


def pass_the_head(bodice: Drawn, draw: Draw[Drawn], style: Style, cut: NeckCut, said: list[str]) -> tuple[Drawn, NeckCut]:
    """A side zip leaves the neck shut: drop and widen it until the head passes."""
    start = cut
    while _neckline_mm(bodice) < HEAD_GIRTH_MM:
        larger = _larger_neck(bodice, draw, style, cut)
        if larger is None:
            raise DraftRefused(
                "The neck does not pass the head.",
                f"It comes to {_neckline_mm(bodice):.0f} mm round; {HEAD_GIRTH_MM:.0f} mm is the least with a zip in the side.",
                "Choose zip: back.",
            )
        bodice, cut = larger
    if cut != start:
        said.append(
            f"With a zip in the side the head must pass the neck ({HEAD_GIRTH_MM:.0f} mm): it is widened by {cut.widen:.0f} mm a shoulder, "
            f"dropped by {cut.drop:.0f} mm in front and {cut.back:.0f} mm behind."
        )
    return bodice, cut


def _larger_neck(bodice: Drawn, draw: Draw[Drawn], style: Style, cut: NeckCut) -> tuple[Drawn, NeckCut] | None:
    """Wider and deeper by a step; without room for that deeper, or deeper behind alone. None: it cannot grow."""
    room = bodice.frame.bust_y - NECK_OVER_BUST_MM - bodice.front_neck.centre.imag
    deepest = min(BACK_NECK_MOST_MM, bodice.frame.bust_y - BACK_NECK_OVER_BUST_MM)
    can_widen = cut.widen + 2 <= bodice.frame.front_shoulder_length - _strap_mm(style)
    drop, behind = cut.drop + (3 if room >= 3 else 0), min(cut.back + 1, deepest)
    tries = [replace(cut, widen=cut.widen + 2, drop=drop, back=behind)] if can_widen else []
    tries += [replace(cut, drop=drop, back=behind)] if room >= 3 else []
    for tried in tries:
        drawn = draw(tried)
        if not _neck_too_near(drawn, style) and not _back_too_near(drawn, style):
            return drawn, tried
    if cut.back + 4 > deepest:
        return None
    cut = replace(cut, back=cut.back + 4)
    drawn = draw(cut)
    return None if _back_too_near(drawn, style) else (drawn, cut)


def _back_too_near(bodice: Necked, style: Style) -> bool:
    """The back neck comes nearer to the armhole than allowances and a neck facing need."""
    neck, armhole = walked(flat(bodice.back.neck)), walked(flat(bodice.back.armhole))
    return apart_mm(neck, armhole) < (NECK_FACED_CLEAR_MM if style.is_sleeved and style.facings else NECK_CLEAR_MM) - 0.5


def _neck_too_near(bodice: Necked, style: Style) -> bool:
    """The front neck comes nearer to the armhole, or to a princess seam, than allowances and a neck facing need."""
    is_faced = style.is_sleeved and style.facings
    neck = walked(np.concatenate([flat(curve) for _, curve in bodice.front_neck.edges]))
    others = [walked(flat(bodice.front.armhole))]
    seam = walked(flat(bodice.princess.centre[:1])) if bodice.princess is not None else None
    if style.princess == "shoulder":  # beside the neck at the shoulder, further off below
        assert seam is not None
        below = seam[np.abs(seam - seam[0]) > BESIDE_NECK_MM]
        if apart_mm(neck, below) < NECK_CLEAR_MM - 0.5 or apart_mm(neck, seam) < BESIDE_CLEAR_MM:
            return True
    elif seam is not None:
        others.append(seam)
    else:
        tips = np.array([dart.tip for dart in side_darts(bodice.front, bodice.frame.underbust_y)])
        if apart_mm(neck, tips) < DART_CLEAR_MM:
            return True
    if min(apart_mm(neck, other) for other in others) < (NECK_FACED_CLEAR_MM if is_faced else NECK_CLEAR_MM) - 0.5:
        return True
    if not is_faced or len(bodice.front_neck.edges) < 2:
        return False
    corner = np.array([bodice.front_neck.edges[1][1][0].a])  # a square neck's facing reaches out to its own corner
    return min(apart_mm(corner, other) for other in others) < NECK_CORNER_CLEAR_MM


def _halved(
    clear: float, tried: Callable[[float], tuple[Drawn, NeckCut]], is_near: Callable[[Drawn], bool]
) -> tuple[Drawn, NeckCut] | None:
    """The least of a change that keeps the neck clear, between none and what is clear; None: none tried was."""
    near, best = 0.0, None
    for _ in range(NARROWED_TIMES):
        middle = (near + clear) / 2
        found = tried(middle)
        if is_near(found[0]):
            near = middle
        else:
            clear, best = middle, found
    return best


def clear_neck(bodice: Drawn, draw: Draw[Drawn], style: Style, cut: NeckCut, said: list[str]) -> tuple[Drawn, NeckCut]:
    """A deep wide neck keeps clear of armhole and princess seam, as little changed as will do (told).

    First a shoulder princess starts further out, then the neck is narrowed, then raised.
    """
    start, deep = cut, max(0.0, cut.drop)
    if max(start.widen, deep) <= 0 or not _neck_too_near(bodice, style):
        return bodice, cut

    def drawn(tried: NeckCut) -> tuple[Drawn, NeckCut]:
        return draw(tried), tried

    def is_near(made: Drawn) -> bool:
        return _neck_too_near(made, style)

    if style.princess == "shoulder":
        outer = replace(start, seam_out=1.0)
        if not _neck_too_near(draw(outer), style):
            said.append(SEAM_OUT)
            return _halved(1.0, lambda share: drawn(replace(start, seam_out=share)), is_near) or drawn(outer)
        start = outer

    def smaller(share: float) -> tuple[Drawn, NeckCut]:  # at 1 nothing is left of the widening, at 2 nothing of the drop
        return drawn(replace(start, widen=start.widen * max(0.0, 1 - share), drop=start.drop - max(0.0, share - 1) * deep))

    bodice, cut = _halved(2.0, smaller, is_near) or smaller(2.0)  # halved, so that like bodies fare alike
    said += [SEAM_OUT] if cut.seam_out else []
    said.extend(smaller_neck((start.widen, start.drop), (cut.widen, cut.drop), "it keeps clear of armhole and princess seam"))
    return bodice, cut


def clear_back(bodice: Drawn, draw: Draw[Drawn], style: Style, cut: NeckCut, said: list[str]) -> tuple[Drawn, NeckCut]:
    """A deep wide back neck is raised, then narrowed, until it keeps clear of the armhole: as little as will do (told)."""
    start = cut
    if max(start.widen, start.back) <= 0 or not _back_too_near(bodice, style):
        return bodice, cut

    def smaller(share: float) -> tuple[Drawn, NeckCut]:  # at 1 nothing is left of the depth, at 2 nothing of the widening
        tried = replace(start, back=start.back * max(0.0, 1 - share), widen=start.widen * (1 - max(0.0, share - 1)))
        return draw(tried), tried

    bodice, cut = _halved(2.0, smaller, lambda made: _back_too_near(made, style)) or smaller(2.0)
    so = "it keeps clear of the armhole"
    if cut.back < start.back - 0.5:
        said.append(f"The back neck is {cut.back:.0f} mm deep, not {start.back:.0f} mm: so {so}.")
    said.extend(smaller_neck((start.widen, start.drop), (cut.widen, cut.drop), so))
    return bodice, cut
