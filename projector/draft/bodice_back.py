"""The back bodice: raised waist, shaped centre back, waist darts. Nape at (0, 0), mm."""

from collections.abc import Mapping
from dataclasses import dataclass

from projector.draft.curve import Cubic, Curve, clamp, line, smooth, unit
from projector.draft.frame import Frame
from projector.draft.waistline import DartTip, WaistEnds, Waistline, waistline

CENTRE_IN_MAX_MM = 14.0
DART_LEAST_MM = 6.0
"""A smaller rest goes into the centre back (or, on a fold, into the sides)."""
ONE_DART_MOST_MM = 38.0
SECOND_TIP_LOWER_MM = 15.0
AXES_ONE = (0.50,)
AXES_TWO = (0.38, 0.70)
ARMHOLE_DEPTH_SHARE = 0.55


@dataclass(frozen=True, slots=True)
class Shares:
    """How the back's intake is spent: side (both quarters alike), centre back, darts."""

    side_in: float
    centre_in: float
    dart: float


@dataclass(frozen=True, slots=True)
class Back:
    """The back's lines, each run clockwise as drawn."""

    neck: Curve
    shoulder: Curve
    armhole: Curve
    side: Curve
    centre: Curve
    """From the waist up to the neck."""
    waist: Waistline
    armhole_x: float
    reach: float
    """Half width at the bust level before centre back and darts take their part."""


def back_shares(frame: Frame, is_on_fold: bool) -> Shares:
    """Spend the back's intake. On a fold the centre takes nothing and the front's side moves with the back's."""
    intake = frame.back_bust - frame.back_waist
    side = frame.side_in
    centre = 0.0 if is_on_fold else clamp(0.25 * (intake - side), 0, CENTRE_IN_MAX_MM)
    dart = intake - side - centre
    if dart < DART_LEAST_MM:
        if is_on_fold:
            side += dart
        else:
            centre += dart
        dart = 0.0
    return Shares(side, centre, dart)


def _centre_line(frame: Frame, centre_in: float, neck_y: float) -> tuple[Cubic, complex]:
    """Parabola from 0.55 of the armhole depth to the waist, run downwards; its heading at the waist."""
    start_y = max(0.55 * frame.underarm_y, neck_y + 5)
    start, end = complex(0, start_y), complex(centre_in, frame.back_waist_y)
    knee = complex(0, (start_y + frame.back_waist_y) / 2)  # quadratic control point of x = in·s²
    curve = Cubic(start, start + (knee - start) * 2 / 3, end + (knee - end) * 2 / 3, end)
    return curve, curve.end


def centre_in_at(curve: Cubic, y: float) -> float:
    """How far the centre-back line lies in at level y (0 above its start); y runs evenly along this parabola."""
    t = (y - curve.a.imag) / (curve.d.imag - curve.a.imag)
    return curve.at(clamp(t, 0, 1)).real if t > 0 else 0.0


def armhole_curve(shoulder: complex, shoulder_heading: complex, middle: complex, underarm: complex, side_heading: complex) -> Curve:
    """Back armhole: square to the shoulder, vertical at the middle, square to the side seam."""
    upper = smooth(shoulder, shoulder_heading * 1j, middle, 1j, 0.30, 0.36)
    lower = smooth(middle, 1j, underarm, side_heading * -1j, 0.62, 0.50)
    return (upper, lower)


def _darts(frame: Frame, reach: float, dart: float, is_low: bool) -> tuple[DartTip, ...]:
    """Dart tips: at bust level (or the underbust line), the second 15 mm lower."""
    if dart <= 0:
        return ()
    axes = AXES_ONE if dart <= ONE_DART_MOST_MM else AXES_TWO
    top = frame.underbust_y if is_low else frame.bust_y
    tips = []
    for place, axis in enumerate(axes):
        y = min(top + place * SECOND_TIP_LOWER_MM, frame.back_waist_y - 60)
        tips.append(DartTip(complex(axis * reach, y), frame.side_waist_y - y, 1 / len(axes)))
    return tuple(tips)


def draw_back(measures: Mapping[str, float], frame: Frame, shares: Shares, neck: Curve, point: complex, is_dart_low: bool) -> Back:
    """The whole back. `neck`: from the centre to `point` on the shoulder. Raises NoRoot when the waist cannot be taken in."""
    centre_curve, centre_heading = _centre_line(frame, shares.centre_in, neck[0].a.imag)
    reach = frame.back_bust + centre_in_at(centre_curve, frame.bust_y)  # what the centre takes at the bust line is given back
    adjust = frame.adjust
    if adjust.centre_back_waist:
        centre_curve, centre_heading = _centre_line(frame, shares.centre_in - adjust.centre_back_waist, neck[0].a.imag)
    side_waist = complex(reach - shares.side_in, frame.side_waist_y)
    slope = (reach - side_waist.real) / (frame.side_waist_y - frame.bust_y)
    underarm = complex(reach + slope * (frame.bust_y - frame.underarm_y), frame.underarm_y)
    side_waist, underarm = side_waist + adjust.side_waist, underarm + adjust.side_underarm
    side_heading = unit(side_waist - underarm)
    tip = frame.back_shoulder_tip
    depth = frame.underarm_y - tip.imag
    middle_x = min(measures["across_back"] / 2 + 4, tip.real + 4, underarm.real - 34)
    middle = complex(middle_x, tip.imag + ARMHOLE_DEPTH_SHARE * depth)
    shoulder_heading = unit(tip - point)
    ends = WaistEnds(centre_curve.d, centre_heading * -1j, side_waist, side_heading * -1j)
    need = frame.back_waist + adjust.side_waist + adjust.centre_back_waist
    waist = waistline(ends, _darts(frame, reach, shares.dart, is_dart_low), need, +1)
    centre = (centre_curve.back(), line(centre_curve.a, neck[0].a))
    return Back(
        neck=neck,
        shoulder=(line(point, tip),),
        armhole=armhole_curve(tip, shoulder_heading, middle, underarm, side_heading),
        side=(line(underarm, side_waist),),
        centre=centre if ends.centre.real else (line(ends.centre, neck[0].a),),
        waist=waist,
        armhole_x=middle_x,
        reach=reach,
    )
