"""Bias strips for binding: how many, how wide a block of open cloth they take at 45 degrees, and where the lines run."""

from dataclasses import dataclass
from math import ceil, sqrt

from calibration.errors import WrongInput
from projector.garment.pieces import Line
from projector.lay.errors import ClothTooSmall

JOIN_MM = 12.0
"""Seam allowance at each end of a strip, along the grain: common practice, no source."""
ROOT2 = sqrt(2.0)


@dataclass(frozen=True, slots=True)
class Bias:
    """Strips cut side by side from one parallelogram of open cloth.

    `lines`: cutting lines, cloth frame, mm, at 45 degrees; `along_mm`, `across_mm`: the block they lie in; `strips` each
    `strip_mm` long on its long edge; `length_mm`: of the whole binding when joined.
    """

    strips: int
    strip_mm: float
    width_mm: float
    length_mm: float
    along_mm: float
    across_mm: float
    lines: tuple[Line, ...]


def bias_strips(length_mm: float, width_mm: float, across_mm: float) -> Bias:
    """Strips of a cut width that make a binding of a length, from a block of open cloth `across_mm` deep.

    Each strip runs from edge to edge of the block at 45 degrees; its ends are cut along the grain, so that two strips joined
    on the grain lose one allowance each. Side by side they take width * sqrt 2 along the cloth each (geometry).
    Raises WrongInput for sizes that are none, ClothTooSmall when the block gives no useful strip.
    """
    if min(length_mm, width_mm, across_mm) <= 0.0:
        raise WrongInput("A bias strip needs a length, a width and cloth.", "One of them is not above nothing.", "Give all three in mm.")
    edge = across_mm * ROOT2
    useful = edge - ROOT2 * JOIN_MM  # each strip gives up one slanted join
    if useful < 3.0 * width_mm:
        raise ClothTooSmall(
            f"The cloth is only {across_mm:.0f} mm deep.",
            f"A strip would be {edge:.0f} mm long and {width_mm:.0f} mm wide.",
            "Take a deeper piece of cloth, or cut the strips on the straight grain.",
        )
    strips = max(1, ceil((length_mm + ROOT2 * JOIN_MM) / useful))
    pitch = width_mm * ROOT2
    along = across_mm + strips * pitch
    lines = tuple(((n * pitch, 0.0), (n * pitch + across_mm, across_mm)) for n in range(strips + 1))
    return Bias(strips, edge, width_mm, strips * useful - ROOT2 * JOIN_MM, along, across_mm, lines)
