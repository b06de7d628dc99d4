"""The front bodice, drawn with the bust dart closed, then opened: princess from the armhole or shoulder (darts only: bodice_darts.py).

Frame as in frame.py. "Closed" means: everything outside the dart turned by -theta about the bust point.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product
from math import degrees, radians

import numpy as np

from projector.draft.bodice_back import Shares
from projector.draft.curve import (
    Cubic,
    Curve,
    NoRoot,
    apart_mm,
    direction,
    flat,
    least_radius,
    line,
    root,
    smooth,
    turned,
    turned_curve,
    unit,
    walked,
)
from projector.draft.frame import Frame
from projector.draft.panel import DraftRefused
from projector.draft.style import Princess
from projector.draft.waistline import DartTip, OpenDart, WaistEnds, Waistline, waistline

ARMHOLE_DEPTH_SHARE = 0.56


@dataclass(frozen=True, slots=True)
class PrincessEdges:
    """Both long edges from the top (armhole or shoulder) to the waist; centre's and side's, of one length."""

    centre: Curve
    side: Curve
    share: float
    """Shoulder princess: where on the shoulder it starts, from the neck."""


@dataclass(frozen=True, slots=True)
class Front:
    """The front's lines. `armhole` and `shoulder` as drawn with the dart closed, run clockwise from the neck."""

    point: complex
    tip: complex
    armhole: Curve
    underarm: complex
    side_waist: complex
    centre_waist: complex
    waist: Waistline
    turn: float
    bust_point: complex

    @property
    def closed_underarm(self) -> complex:
        """Where the underarm lies while the bust dart is closed."""
        return turned(self.underarm, self.bust_point, -self.turn)

    @property
    def side_heading(self) -> complex:
        """Direction of the side seam downwards, dart opened."""
        return unit(self.side_waist - self.underarm)

    def opened(self, curve: Curve) -> Curve:
        """From the closed place to the opened place of what lies outside the dart."""
        return turned_curve(curve, self.bust_point, self.turn)


def _armhole(frame: Frame, back_middle_x: float, shoulder_heading: complex, closed_underarm: complex, closed_side: complex) -> Curve:
    """Front armhole with the dart closed: hollower than the back's."""
    tip = frame.front_shoulder_tip
    middle_x = min(tip.real - 14, closed_underarm.real - 26, back_middle_x - 6)
    middle = complex(middle_x, tip.imag + ARMHOLE_DEPTH_SHARE * (closed_underarm.imag - tip.imag))
    upper = smooth(tip, shoulder_heading * 1j, middle, 1j, 0.30, 0.36)
    return (upper, smooth(middle, 1j, closed_underarm, closed_side * -1j, 0.62, 0.52))


def front_waist_ends(frame: Frame, side_waist: complex, side_heading: complex) -> WaistEnds:
    """The front waist from the centre (level) to the side (square to it)."""
    return WaistEnds(complex(0, frame.side_waist_y), 1, side_waist, side_heading * -1j)


def draw_front(frame: Frame, shares: Shares, back_middle_x: float, point: complex) -> Front:
    """Shoulder, closed armhole, side and waist. `point`: the neck point after widening. Raises NoRoot at the waist."""
    to_waist = frame.side_waist_y - frame.bust_y
    underarm = complex(frame.front_bust + shares.side_in * (frame.bust_y - frame.underarm_y) / to_waist, frame.underarm_y)
    side_waist = complex(frame.front_bust - shares.side_in, frame.side_waist_y)
    adjust = frame.adjust
    side_waist, underarm = side_waist + adjust.side_waist, underarm + adjust.side_underarm
    side = unit(side_waist - underarm)
    turn, bust_point = frame.bust_turn, frame.bust_point
    closed = turned(underarm, bust_point, -turn)
    heading = frame.front_shoulder
    armhole = _armhole(frame, back_middle_x, heading, closed, side * direction(-turn))
    ends = front_waist_ends(frame, side_waist, side)
    waist = waistline(ends, (DartTip(bust_point, to_waist, 1.0),), frame.front_waist + adjust.side_waist, +1)
    return Front(point, frame.front_shoulder_tip, armhole, underarm, side_waist, ends.centre, waist, turn, bust_point)


# ------------------------------------------------------------------ princess


STRETCH_MOST = 3.0
SHRINK_MOST = 0.75
TOP_SHARES = (0.50, 0.42, 0.35, 0.28, 0.26)
"""A shoulder princess starts at the middle of the strap, nearer the neck where the edges would bend too sharply."""
TOP_SHARE_MOST, TOP_SHARE_STEP, STRAP_OUTSIDE_MM = 0.70, 0.04, 25.0
"""It starts further out beside a wide deep neck, as long as so much strap is left outside it."""
RADIUS_LEAST_MM = 18.0
BESIDE_ARMHOLE_MM = 18.0
"""A side panel is as wide as that all the way up a shoulder princess: its two allowances and a little. Ours."""
BUST_TILTS_DEG = (0.0, 6.0, 12.0, 18.0, 24.0, 30.0)
"""Both edges pass the bust point straight down; leaning in where a far strap would bend them too sharply there."""


def _handled(cubic: Cubic, first: float, last: float) -> Cubic:
    """The cubic with its two handles scaled."""
    return Cubic(cubic.a, cubic.a + (cubic.b - cubic.a) * first, cubic.d - (cubic.d - cubic.c) * last, cubic.d)


def _evened(one: Cubic, other: Cubic, is_far_start: bool) -> tuple[Cubic, Cubic]:
    """Both curves made equally long: the shorter's far handle grows, the longer's handles shrink, alike in share.

    `is_far_start`: the end away from the bust point is the start. Raises NoRoot when that does not even them.
    """
    swapped = one.length() > other.length()
    short, long = (other, one) if swapped else (one, other)

    def at(share: float) -> tuple[Cubic, Cubic]:
        far, near = 1 + STRETCH_MOST * share, 1 - SHRINK_MOST * share
        grown = _handled(short, far, 1) if is_far_start else _handled(short, 1, far)
        return grown, _handled(long, near, (1 + near) / 2) if is_far_start else _handled(long, (1 + near) / 2, near)

    def gap(share: float) -> float:
        grown, shrunk = at(share)
        return grown.length() - shrunk.length()

    share = 0.0 if abs(gap(0.0)) < 1e-6 else root(gap, 0.0, 1.0, 1e-7)
    grown, shrunk = at(share)
    return (shrunk, grown) if swapped else (grown, shrunk)


def _upper(front: Front, top: complex, leaving: complex, down: complex) -> tuple[Cubic, Cubic]:
    """From the armhole or shoulder to the bust point: centre's edge and the side's, the side's start turned by theta."""
    other_top = turned(top, front.bust_point, front.turn)
    centre = smooth(top, leaving, front.bust_point, down)
    side = smooth(other_top, leaving * direction(front.turn), front.bust_point, down)
    return _evened(centre, side, True)


def _lower(front: Front, dart: OpenDart, down: complex) -> tuple[Cubic, Cubic]:
    """From the bust point to the waist, square to it."""
    inner, outer = front.waist.inner_headings[0], front.waist.outer_headings[0]
    centre = smooth(front.bust_point, down, dart.inner, inner * 1j)
    side = smooth(front.bust_point, down, dart.outer, outer * 1j)
    return _evened(centre, side, False)


def _top_shares(front: Front, princess: Princess, seam_out: float) -> tuple[float, ...]:
    """Where on the shoulder the seam may start, the wanted place first, then nearer the neck."""
    if princess != "shoulder":
        return TOP_SHARES[:1]
    most = max(TOP_SHARES[0], min(TOP_SHARE_MOST, 1 - STRAP_OUTSIDE_MM / abs(front.tip - front.point)))
    wanted = TOP_SHARES[0] + seam_out * (most - TOP_SHARES[0])
    return (*np.arange(wanted, TOP_SHARES[0] + 0.02, -TOP_SHARE_STEP).tolist(), *TOP_SHARES)


def _beside_armhole_mm(front: Front, side: Cubic) -> float:
    """Least width of the side panel between a shoulder princess and the armhole."""
    return apart_mm(walked(side.flat()), walked(flat(front.opened(front.armhole))))


def princess_edges(front: Front, princess: Princess, seam_out: float) -> PrincessEdges:
    """Both long edges, of one length above and below the bust point.

    `seam_out`: a shoulder princess starts further out than usual, 1 the most.
    Raises DraftRefused when no pair of equal edges exists.
    """
    tops = [(*cut_top(front, princess, share), share) for share in _top_shares(front, princess, seam_out)]
    return edges_from_tops(front, tops, is_beside_armhole=princess == "shoulder")


def edges_from_tops(front: Front, tops: Sequence[tuple[complex, complex, float]], is_beside_armhole: bool = False) -> PrincessEdges:
    """Both long edges from the first of these tops that does not bend them too sharply, else the gentlest.

    A top: where the seam starts (closed place), its direction there, its share of the line it starts on. `is_beside_armhole`: the
    side panel keeps its least width between the seam and the armhole. Raises DraftRefused.
    """
    failed: NoRoot | None = None
    best: tuple[float, PrincessEdges] | None = None
    for (top, leaving, share), tilt in product(tops, BUST_TILTS_DEG):
        down = 1j * direction(radians(tilt))
        try:
            upper, lower = _upper(front, top, leaving, down), _lower(front, front.waist.darts[0], down)
        except NoRoot as cause:
            failed = cause
            continue
        good = min(least_radius(cubic) for cubic in (*upper, *lower)) / RADIUS_LEAST_MM
        if is_beside_armhole:
            good = min(good, _beside_armhole_mm(front, upper[1]) / BESIDE_ARMHOLE_MM)
        if best is None or good > best[0]:
            best = good, PrincessEdges((upper[0], lower[0]), (upper[1], lower[1]), share)
        if good >= 1:
            break
    if best is None:
        raise DraftRefused(
            "The princess edges cannot be made equally long.",
            f"The bust dart of {degrees(front.turn):.0f} degrees bends one edge too far.",
            "Measure shoulder to nipple, round under bust and nipple to nipple again, or choose princess: none.",
        ) from failed
    return best[1]


def cut_top(front: Front, princess: Princess, share: float) -> tuple[complex, complex]:
    """Where the princess seam starts (closed place) and its direction there: square to the shoulder, or between square and straight."""
    if princess == "shoulder":
        return front.point + (front.tip - front.point) * share, unit(front.tip - front.point) * 1j
    top = front.armhole[0].d
    return top, unit(-0.55 + 0.45 * unit(front.bust_point - top))


def shoulder_runs(front: Front, princess: Princess, share: float) -> tuple[Curve, Curve]:
    """Shoulder of the centre and of the side panel (the second only for a shoulder princess), closed place."""
    if princess == "shoulder":
        middle = front.point + (front.tip - front.point) * share
        return (line(front.point, middle),), (line(middle, front.tip),)
    return (line(front.point, front.tip),), ()
