"""Walking room: how wide a skirt must be at each height for a step, and the vent or slit that gives it.

Own derivation (step 0.41 of the stature from memory, shortened to 0.8 in a narrow dress): uncertain by some 10 %, so it is
told as a proposal. Heights z over the floor, mm.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Levels = NDArray[np.float64]
"""(N,) mm."""

STEP_SHARE = 0.41
NARROW_SHARE = 0.8
HIP_HEIGHT_SHARE = 0.53
_LEG_AT = (0.07, 0.5, 0.95)
_LEG_GIRTH = (0.24, 0.38, 0.62)
VENT_LEAST_MM = 100.0
"""A shorter vent cannot be sewn neatly. Common practice, no source."""
VENT_SAFE_MM = 10.0


@dataclass(frozen=True, slots=True)
class VentPlan:
    """`from_hem_mm` 0: none needed. Steps in mm: a full one, and what the skirt lets her stride without and with the vent."""

    from_hem_mm: float
    step_wanted_mm: float
    step_without_mm: float
    step_with_mm: float


def need_mm(z_mm: float, stature_mm: float, hip_mm: float) -> float:
    """Girth wanted at height z for a full step."""
    share = z_mm / (HIP_HEIGHT_SHARE * stature_mm)
    legs = hip_mm * float(np.interp(share, _LEG_AT, _LEG_GIRTH))
    return 2 * NARROW_SHARE * STEP_SHARE * stature_mm * (1 - share) + legs


def step_mm(z_mm: float, girth_mm: float, stature_mm: float, hip_mm: float) -> float:
    """The stride that a girth at height z allows (need_mm solved for the step)."""
    share = z_mm / (HIP_HEIGHT_SHARE * stature_mm)
    legs = hip_mm * float(np.interp(share, _LEG_AT, _LEG_GIRTH))
    return max(0.0, (girth_mm - legs) / (2 * (1 - share))) if share < 1 else float("inf")


def no_vent(measures: Mapping[str, float]) -> VentPlan:
    """A skirt that never binds."""
    wanted = NARROW_SHARE * STEP_SHARE * measures["stature"]
    return VentPlan(0.0, wanted, wanted, wanted)


def vent_plan(
    measures: Mapping[str, float], girths_at: Callable[[Levels], Levels], hip_y: float, hem_y: float, half_hem_mm: float
) -> VentPlan:
    """The highest place below the hip that is narrower than a step needs; from there down it opens.

    `girths_at`: whole girths at levels below the waist, (N,) mm each.
    """
    stature, floor, hip = measures["stature"], measures["waist_floor"], measures["hip"]
    wanted = NARROW_SHARE * STEP_SHARE * stature
    ys = np.arange(hip_y, hem_y, 5.0)
    levels: list[float] = ys.tolist()
    girths: list[float] = np.where(ys >= hem_y - 1, 2 * half_hem_mm, girths_at(ys)).tolist()
    steps = [step_mm(floor - y, girth, stature, hip) for y, girth in zip(levels, girths, strict=True)]
    at_hem = step_mm(floor - hem_y, 2 * half_hem_mm, stature, hip)
    binding = [(y, step) for y, girth, step in zip(levels, girths, steps, strict=True) if girth < need_mm(floor - y, stature, hip)]
    without = min([at_hem, *(step for _, step in binding)])
    top = hem_y - binding[0][0] if binding else 0.0
    if not top and without < wanted:
        top = VENT_LEAST_MM
    if not top:
        return VentPlan(0.0, wanted, wanted, wanted)
    height = min(max(VENT_LEAST_MM, top + VENT_SAFE_MM), hem_y - hip_y - 20)
    above = [step for y, step in zip(levels, steps, strict=True) if y <= hem_y - height]
    return VentPlan(height, wanted, min(without, wanted), min([wanted, *above]))
