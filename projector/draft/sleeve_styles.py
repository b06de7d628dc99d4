"""Panels of the fuller sleeves: puff with its band, flared."""

from collections.abc import Mapping

from projector.draft.flounces import cuff_band
from projector.draft.panel import EdgeKind, Mark, Panel, PanelEdge
from projector.draft.sleeve import ELBOW_LENGTH_SHARE, Sleeve
from projector.draft.sleeve_fuller import BAND_EASE_MM, SleeveLines, flared, puffed

FLARED_LEAST_MM = 120.0
SPREADS_MM = (130.0, 110.0, 90.0, 70.0, 60.0)
"""Spreading lowers the cap; on a thick arm it is spread less, so that the sleeve still hangs. 60 to 200: common practice, no source."""
CAP_SHARE_LEAST = 0.21


def _panel(lines: SleeveLines, cap: EdgeKind, hem: EdgeKind, marks: tuple[Mark, ...]) -> Panel:
    edges = (
        PanelEdge("cap back", cap, lines.back_cap),
        PanelEdge("cap front", cap, lines.front_cap),
        PanelEdge("under front", "under", lines.front_under),
        PanelEdge("hem", hem, lines.hem),
        PanelEdge("under back", "under", lines.back_under),
    )
    return Panel("sleeve", "sleeve", edges, {"biceps": 2.0}, (), marks, count=2, mirrored=True)


def fuller_sleeve(
    kind: str, fitted: Sleeve, measures: Mapping[str, float], front_armhole_mm: float, back_armhole_mm: float, mark_share: float
) -> tuple[Panel, ...]:
    """Panels of a `puff` (sleeve and band) or `flared` sleeve made from the fitted short one.

    Marks lie at the armhole's own distances from the underarm: below them a puff is sewn flat, above them it is gathered.
    """
    lines = SleeveLines((fitted.back_cap,), (fitted.front_cap,), fitted.front_under, fitted.hem, fitted.back_under)
    marks = (
        Mark("cap back", mark_share * back_armhole_mm, 2),
        Mark("cap front", -mark_share * front_armhole_mm, 1),
        Mark("cap front", 0.0, 1),
    )
    if kind == "puff":
        return _panel(puffed(lines), "gather", "gather", marks), cuff_band(measures["upper_arm"] + BAND_EASE_MM)
    down = max(ELBOW_LENGTH_SHARE * measures["arm_length"] - 0.35 * fitted.height, FLARED_LEAST_MM)
    for spread in SPREADS_MM:
        wide = flared(lines, down, spread)
        height = max(wide.back_cap[0].a.imag, wide.front_cap[-1].d.imag) - wide.back_cap[-1].d.imag
        if height >= CAP_SHARE_LEAST * (front_armhole_mm + back_armhole_mm):
            break
    return (_panel(wide, "cap", "hem", marks),)
