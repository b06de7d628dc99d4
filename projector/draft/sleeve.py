"""Set-in sleeve to the armhole: long, elbow, short. y = 0 at the biceps line, x = 0 under the cap's top, front to +x, mm."""

from collections.abc import Mapping
from dataclasses import dataclass

from projector.draft.adjust import NO_CHANGE, Adjust
from projector.draft.curve import Cubic, Curve, NoRoot, line, root, smooth
from projector.draft.panel import DraftRefused, EdgeKind, Mark, Panel, PanelEdge
from projector.draft.sleeve_fuller import SleeveLines
from projector.draft.style import Style

FRONT_EASE_SHARE = 0.45
FRONT_HANDLES, BACK_HANDLES = (0.50, 0.50), (0.56, 0.58)
CAP_SHARE_MOST, CAP_SHARE_LEAST, CAP_SHARE_REFUSED = 0.37, 0.24, 0.20
BICEPS_LEAST_MM = 45.0
CAP_EASE_MOST_MM, FLATTENED_CAP_MM = 38.0, 0.05
"""1 1/2 in is the most that is eased in (Virginia Cooperative Extension 346-122); flattening may not pass either end."""
ELBOW_LENGTH_SHARE = 0.42
SHORT_SHARE = 0.17
HEM_EASE_MM = 20.0
"""Over the taped round sleeve: two fingers, common practice, no source."""
NARROWER_SHORT_MM, NARROWER_ELBOW_MM = 10.0, 26.0


@dataclass(frozen=True, slots=True)
class Sleeve:
    """Cap from the back underarm over the top to the front underarm, under seams down, hem from front to back."""

    back_cap: Cubic
    front_cap: Cubic
    front_under: Curve
    back_under: Curve
    hem: Curve
    height: float
    warnings: tuple[str, ...] = ()

    @property
    def lines(self) -> SleeveLines:
        """Its outline alone."""
        return SleeveLines((self.back_cap,), (self.front_cap,), self.front_under, self.hem, self.back_under)


def half_cap(width: float, height: float, handles: tuple[float, float]) -> Cubic:
    """From the top (0, -height) to (width, 0), level at both ends; handles as parts of the width. Width may be negative."""
    return Cubic(complex(0, -height), complex(handles[0] * width, -height), complex(width - handles[1] * width, 0), complex(width, 0))


def _width(want: float, height: float, handles: tuple[float, float]) -> float:
    """Half cap width whose length is `want`."""
    return root(lambda w: half_cap(w, height, handles).length() - want, 1.0, want, 1e-7)


def _caps(front_mm: float, back_mm: float, biceps: float) -> tuple[Cubic, Cubic]:
    """Half caps of the two lengths that together are `biceps` wide."""

    def widths(height: float) -> tuple[float, float]:
        return _width(front_mm, height, FRONT_HANDLES), _width(back_mm, height, BACK_HANDLES)

    height = root(lambda h: sum(widths(h)) - biceps, 15.0, 0.97 * min(front_mm, back_mm) - 1, 1e-6)
    front, behind = widths(height)
    return half_cap(front, height, FRONT_HANDLES), half_cap(-behind, height, BACK_HANDLES)


def _fit_caps(front_mm: float, back_mm: float, arm: float, style: Style, said: list[str]) -> tuple[Cubic, Cubic, float]:
    """Biceps as chosen; wider while the cap stands too high, narrower when it lies too flat."""
    armhole = front_mm + back_mm - style.eases.cap_mm
    biceps = arm + style.eases.sleeve_mm
    caps: tuple[Cubic, Cubic] | None = None
    for _ in range(60):
        try:
            caps = _caps(front_mm, back_mm, biceps)
        except NoRoot:
            caps = None
            break
        if -caps[0].a.imag / armhole <= CAP_SHARE_MOST:
            break
        biceps += 3
    if caps is None or -caps[0].a.imag / armhole < CAP_SHARE_LEAST:
        biceps = arm + min(BICEPS_LEAST_MM, style.eases.sleeve_mm)
        try:
            caps = _caps(front_mm, back_mm, biceps)
        except NoRoot:
            caps = None
    if caps is None or -caps[0].a.imag / armhole < CAP_SHARE_REFUSED:
        raise DraftRefused(
            "No sleeve goes into this armhole.",
            f"An armhole of {armhole:.0f} mm round an upper arm of {arm:.0f} mm leaves no height for the sleeve head.",
            "Measure round arm and round bust again, or choose a roomy bust ease.",
        )
    if abs(biceps - arm - style.eases.sleeve_mm) > 1:
        said.append(f"The sleeve's ease is {biceps - arm:.0f} mm instead of {style.eases.sleeve_mm:.0f} mm: so the head fits the armhole.")
    return caps[0], caps[1], biceps


def _hem_of(measures: Mapping[str, float], style: Style, biceps: float, height: float) -> tuple[float, float]:
    """(width, y) of the hem."""
    arm = measures["arm_length"]
    taped = min(biceps, measures["round_sleeve"] + HEM_EASE_MM) if "round_sleeve" in measures else None
    if style.sleeve == "long":
        wrist = measures["wrist"]
        hand = max(wrist + 45, 1.28 * wrist + 5)
        return min(biceps, max(hand, taped or 0.0)), arm - height
    if style.sleeve == "elbow":
        return taped or biceps - NARROWER_ELBOW_MM, ELBOW_LENGTH_SHARE * arm
    return taped or biceps - NARROWER_SHORT_MM, SHORT_SHARE * arm


def draw_sleeve(
    measures: Mapping[str, float], style: Style, armhole_mm: tuple[float, float], shorter_mm: float = 0.0, adjust: Adjust = NO_CHANGE
) -> Sleeve:
    """Sleeve for a front and back armhole; a lining's is `shorter_mm` shorter. Raises DraftRefused when no head fits."""
    said: list[str] = []
    ease = min(max(style.eases.cap_mm, FLATTENED_CAP_MM), CAP_EASE_MOST_MM - FLATTENED_CAP_MM)
    front_mm, back_mm = armhole_mm[0] + FRONT_EASE_SHARE * ease, armhole_mm[1] + (1 - FRONT_EASE_SHARE) * ease
    front, behind, biceps = _fit_caps(front_mm, back_mm, measures["upper_arm"] + 2 * adjust.side_underarm, style, said)
    height, middle = -front.a.imag, (front.d.real + behind.d.real) / 2
    hem_width, hem_y = _hem_of(measures, style, biceps, height)
    hem_y = max(hem_y + adjust.sleeve_length, 40.0) - shorter_mm
    front_end, back_end = complex(middle + hem_width / 2, hem_y), complex(middle - hem_width / 2, hem_y)
    return Sleeve(
        back_cap=behind.back(),
        front_cap=front,
        front_under=(smooth(front.d, 1j, front_end, 1j),),
        back_under=(smooth(back_end, -1j, behind.d, -1j),),
        hem=(line(front_end, back_end),),
        height=height,
        warnings=tuple(said),
    )


def sleeve_panel(lines: SleeveLines, marks_mm: tuple[float, float], cap: EdgeKind = "cap", hem: EdgeKind = "hem") -> Panel:
    """One panel, cut twice mirrored. `marks_mm`: how far from the underarm front and back are marked; the cap's top at the shoulder."""
    edges = (
        PanelEdge("cap back", cap, lines.back_cap),
        PanelEdge("cap front", cap, lines.front_cap),
        PanelEdge("under front", "under", lines.front_under),
        PanelEdge("hem", hem, lines.hem),
        PanelEdge("under back", "under", lines.back_under),
    )
    front_mm, back_mm = marks_mm
    marks = (Mark("cap back", back_mm, 2), Mark("cap front", -front_mm, 1), Mark("cap front", 0.0, 1))
    return Panel("sleeve", "sleeve", edges, {"biceps": 2.0}, (), marks, count=2, mirrored=True)
