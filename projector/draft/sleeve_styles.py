"""Panels of the fuller sleeves: puff with its band, flared."""

from collections.abc import Mapping

from projector.draft.flounces import cuff_band
from projector.draft.panel import Panel
from projector.draft.sleeve import ELBOW_LENGTH_SHARE, Sleeve, sleeve_panel
from projector.draft.sleeve_fuller import BAND_EASE_MM, flared, puffed

FLARED_LEAST_MM = 120.0
SPREADS_MM = (130.0, 110.0, 90.0, 70.0, 60.0)
"""Spreading lowers the cap; on a thick arm it is spread less, so that the sleeve still hangs. 60 to 200: common practice, no source."""
CAP_SHARE_LEAST = 0.21


def fuller_sleeve(
    kind: str, fitted: Sleeve, measures: Mapping[str, float], armhole_mm: float, marks_mm: tuple[float, float]
) -> tuple[Panel, ...]:
    """Panels of a `puff` (sleeve and band) or `flared` sleeve made from the fitted short one.

    `armhole_mm`: the whole of it. `marks_mm` as of `sleeve_panel`: below them a puff is sewn flat, above them it is gathered.
    """
    lines = fitted.lines
    if kind == "puff":
        return sleeve_panel(puffed(lines), marks_mm, "gather", "gather"), cuff_band(measures["upper_arm"] + BAND_EASE_MM)
    down = max(ELBOW_LENGTH_SHARE * measures["arm_length"] - 0.35 * fitted.height, FLARED_LEAST_MM)
    for spread in SPREADS_MM:
        wide = flared(lines, down, spread)
        height = max(wide.back_cap[0].a.imag, wide.front_cap[-1].d.imag) - wide.back_cap[-1].d.imag
        if height >= CAP_SHARE_LEAST * armhole_mm:
            break
    return (sleeve_panel(wide, marks_mm),)
