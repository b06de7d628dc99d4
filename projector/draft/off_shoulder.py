"""A bodice cut off above the bust for an off-shoulder band: top lines front and back, what is left of the armholes, the band. mm.

The band is a doubled straight strip round chest, back and both upper arms; it is sewn to the top lines, which it draws in a
little, and free over the arms. No table prints such a bodice: every amount here is judgement, no source, tried on 260 women.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from projector.body.stand_ins import round_shoulders_mm
from projector.draft.bodice import Bodice
from projector.draft.bodice_back import Back
from projector.draft.bodice_front import Front, edges_from_tops
from projector.draft.curve import Cubic, Curve, NoRoot, clamp, crossing, length, root, turned_curve
from projector.draft.frame import Frame
from projector.draft.neck import FrontNeck
from projector.draft.panel import DraftRefused

BAND_SHARE = 0.97
"""The band is so much of what she measures round both arms, and its joined stretches of the top lines: it has to hold."""
ARM_EASE_MM, ARM_EASE_LEAST_MM = 40.0, 25.0
"""Open armhole and band over the arm, over the arm's girth. The first is the least of a sleeve (TRADE figures: arm + 40)."""
OVER_UNDERARM_MM = (30.0, 70.0)
"""How far above the underarm the top line meets the armhole: as little as lets the arm through."""
BELOW_TIP_MM = 50.0
"""The band's fold lies so far below the shoulder tip, if its height allows."""
BAND_HIGH_MM = (45.0, 70.0)
OVER_BUST_MM = 70.0
DIP_MOST_MM = 28.0
BACK_DIP_MM = 8.0
TOP_SHARE = 0.56
"""Where on the front's top line a princess seam starts: a little outside the bust point."""


@dataclass(frozen=True, slots=True)
class ShoulderBand:
    """Finished lengths of one half (front fold to centre back) and the finished height; `arm_mm`: all that is free over one arm."""

    front_mm: float
    back_mm: float
    arm_mm: float
    high_mm: float


@dataclass(frozen=True, slots=True)
class OffShoulder(Bodice):
    """A bodice with top lines in place of necks and shoulders; `front.armhole` and `back.armhole` are what stays open."""

    band: ShoulderBand = ShoulderBand(0.0, 0.0, 0.0, 0.0)
    beside: Curve = ()
    """The top line of the side front, dart closed; the centre front's is the neck. Empty with darts only."""


@dataclass(frozen=True, slots=True)
class _Tops:
    """Top lines from the centre outward and what is left of the armholes, for one height above the underarm."""

    front: Curve
    front_armhole: Curve
    back: Curve
    back_armhole: Curve
    back_centre: Curve

    @property
    def open_mm(self) -> float:
        """Both open armholes of one side."""
        return length(self.front_armhole) + length(self.back_armhole)

    @property
    def sewn_mm(self) -> float:
        """Both top lines of one side."""
        return length(self.front) + length(self.back)


def _below(curve: Curve, y: float) -> Curve:
    """What lies below level y of a run that goes down (an armhole; its last bit may rise again)."""
    for place, cubic in enumerate(curve):
        if cubic.a.imag <= y and (cubic.d.imag >= y or place == len(curve) - 1):
            return (cubic.split(crossing(cubic, complex(0, y), 1))[1], *curve[place + 1 :])
    raise NoRoot(f"the armhole does not reach {y:.1f} mm")


def _up_to(centre: Curve, y: float) -> Curve:
    """What lies below level y of a centre line run upwards."""
    for place, cubic in enumerate(centre):
        if cubic.d.imag <= y:
            return (*centre[:place], cubic.split(crossing(cubic, complex(0, y), 1))[0])
    return centre


def _top(centre: complex, leaving: complex, end: complex) -> Cubic:
    """A top line: square to the centre, then a shallow curve to the armhole."""
    knee = centre + leaving * (0.45 * abs(end - centre))
    return Cubic(centre, knee, end + (knee - end) * 0.45, end)


def _tops(frame: Frame, front: Front, back: Back, over_mm: float) -> _Tops:
    """Everything for top lines that meet the armholes `over_mm` above the underarms (front: dart closed)."""
    front_armhole = _below(front.armhole, front.closed_underarm.imag - over_mm)
    back_armhole = _below(back.armhole, back.side[0].a.imag - over_mm)
    one, two = front_armhole[0].a, back_armhole[0].a
    dip = clamp(front.bust_point.imag - OVER_BUST_MM - one.imag, 0.0, DIP_MOST_MM)
    back_centre = _up_to(back.centre, two.imag + BACK_DIP_MM + frame.adjust.neck_back)
    return _Tops(
        (_top(complex(0, one.imag + dip + frame.adjust.neck_front), 1, one),), front_armhole,
        (_top(back_centre[-1].d, back_centre[-1].end * 1j, two),), back_armhole, back_centre,
    )  # fmt: skip


def _half_mm(measures: Mapping[str, float]) -> float:
    body = measures.get("round_shoulders", round_shoulders_mm(measures["bust"], measures["upper_arm"]))
    return BAND_SHARE * body / 2


def _room_mm(tops: _Tops, half_mm: float) -> float:
    """Round one arm: open armhole and what the top lines leave of the band."""
    return tops.open_mm + half_mm - BAND_SHARE * tops.sewn_mm


def _fitting(bodice: Bodice, measures: Mapping[str, float], half_mm: float) -> _Tops:
    """Top lines as low as lets the arm through."""
    frame, front, back, arm = bodice.frame, bodice.front, bodice.back, measures["upper_arm"]
    low, high = OVER_UNDERARM_MM

    def room(over_mm: float) -> float:
        return _room_mm(_tops(frame, front, back, over_mm), half_mm) - arm - ARM_EASE_MM

    if room(low) >= 0:
        return _tops(frame, front, back, low)
    return _tops(frame, front, back, high if room(high) <= 0 else root(room, low, high, 1e-6))


def _band(tops: _Tops, bodice: Bodice, measures: Mapping[str, float], half_mm: float) -> tuple[ShoulderBand, list[str]]:
    """The band on these tops, and what has to be said of it."""
    said, arm = [], measures["upper_arm"]
    front, back = BAND_SHARE * length(tops.front), BAND_SHARE * length(tops.back)
    free = half_mm - front - back
    lacking = arm + ARM_EASE_LEAST_MM - tops.open_mm - free
    body = 2 * half_mm / BAND_SHARE
    if lacking > 0:
        free += lacking
        said.append(
            f"The off-shoulder band is lengthened by {2 * lacking:.0f} mm, so that an upper arm of {arm:.0f} mm goes through: "
            "measure round both arms and upper arm again."
        )
    whole = 2 * (front + back + free)
    if "round_shoulders" not in measures:
        said.append(
            f"Round both arms was not measured: {body:.0f} mm is worked out from bust and arm (two of three women lie within 36 mm). "
            "Measure it before the band is cut."
        )
    high = clamp(tops.front_armhole[0].a.imag - bodice.front.tip.imag - BELOW_TIP_MM, *BAND_HIGH_MM)
    said.append(
        f"The off-shoulder band is {whole:.0f} mm round and {high:.0f} mm high, she {body:.0f} mm round both arms. "
        "Elastic through its fold, or bones at the side seams, keep it up; she lifts her arms only as far as it slides. "
        "Pin the top line to her before it is sewn in."
    )
    return ShoulderBand(front, back, free, high), said


def cut_off_shoulder(bodice: Bodice, measures: Mapping[str, float]) -> OffShoulder:
    """The governed bodice with its upper part cut off. `measures` as for `draw_bodice`, in mm; `round_shoulders` when it was taken.

    Raises DraftRefused where a fitting moved a shoulder that is not there, or where no princess edges go up to the top line.
    """
    frame = bodice.frame
    if frame.adjust.shoulder_tip:
        raise DraftRefused(
            "There is no shoulder to alter.",
            f"The bodice ends below it in a band; {frame.adjust.shoulder_tip:.0f} mm cannot be taken there.",
            "Move neck_front or neck_back of the fitting: they raise and lower the top line.",
        )
    half_mm = _half_mm(measures)
    try:
        tops = _fitting(bodice, measures, half_mm)
    except NoRoot as cause:
        raise DraftRefused(
            "The top line does not meet the armhole.",
            f"Front and back armhole are {bodice.armhole_mm[0]:.0f} mm and {bodice.armhole_mm[1]:.0f} mm long: too shallow for it.",
            "Measure shoulder and armhole depth again.",
        ) from cause
    band, said = _band(tops, bodice, measures, half_mm)
    front = replace(bodice.front, armhole=tops.front_armhole)
    back = replace(bodice.back, neck=tops.back, shoulder=(), armhole=tops.back_armhole, centre=tops.back_centre)
    edges, own = None, tops.front
    beside: Curve = ()
    if bodice.princess is not None:
        inner, outer = tops.front[0].split(TOP_SHARE)
        edges, own, beside = edges_from_tops(front, [(outer.a, outer.start * 1j, TOP_SHARE)]), (inner,), (outer,)
    neck = FrontNeck((("top", own),), tops.front[0].end)
    return OffShoulder(frame, front, neck, back, edges, bodice.tuning, bodice.shares, (*bodice.warnings, *said), band=band, beside=beside)


def opened_beside(bodice: OffShoulder) -> Curve:
    """The side front's top line where it lies on its panel."""
    return turned_curve(bodice.beside, bodice.front.bust_point, bodice.front.turn)
