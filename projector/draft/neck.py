"""Necklines: round, V, square, boat. Front from the centre to the neck point, back likewise.

The line runs on smoothly over the shoulder: interior angles of front and back at the neck point add up to 180 degrees.
"""

from cmath import phase
from dataclasses import dataclass
from math import pi

from projector.draft.curve import Cubic, Curve, direction, least_radius, line, unit
from projector.draft.style import Neck, Style

CENTRE_HANDLE = 0.55
POINT_HANDLE = 0.40
BOAT_CENTRE_HANDLE = 0.75
BOAT_RISE_MM = 30.0
"""A boat neck lies this much higher at the centre than the neck's own root: it clears the neck sideways. Common practice, no source."""
BACK_HOLLOW_MM = 18.0
"""A widened back neck still lies this much lower at the centre than on the shoulder, else it would run uphill to the nape. Ours."""
BACK_HOLLOWS_MM = tuple(BACK_HOLLOW_MM + 2.0 * step for step in range(12))
HOOK_RADIUS_MM = 22.0
"""A back neck bends no more sharply than this: allowances of 10 mm and facings still lie flat. Ours."""
SHALLOW_HANDLES = (0.4, 0.5, 0.6, 0.7, 0.8)


@dataclass(frozen=True, slots=True)
class FrontNeck:
    """One curve per edge (a square neck has two), from the centre outward; `leaving`: direction from the neck point into it."""

    edges: tuple[tuple[str, Curve], ...]
    leaving: complex

    @property
    def centre(self) -> complex:
        """Where it meets the centre front."""
        return self.edges[0][1][0].a


def front_depth_mm(neck_mm: float, style: Style) -> float:
    """Depth of the centre below the (unwidened) neck point: neck/5 + 1/4 in (Ingalls, French lining draft) plus the style's drop."""
    rise = BOAT_RISE_MM if style.neck == "boat" else 0.0
    return neck_mm / 5 + 6 + style.neck_drop_mm - rise


def _round(centre: complex, point: complex, leaving: complex, centre_handle: float) -> Cubic:
    chord = abs(point - centre)
    first = min(centre_handle * chord, 0.80 * (point.real - centre.real))  # a deep neck may not bulge past its own point
    last = min(POINT_HANDLE * chord, (centre - point).imag / leaving.imag)  # nor a shallow one dip under its own centre
    firsts = [first]
    if last < POINT_HANDLE * chord:  # and it comes round to its point without a hook
        firsts += [share * (point.real - centre.real) for share in SHALLOW_HANDLES]
    return max((Cubic(centre, centre + each, point + leaving * last, point) for each in firsts), key=least_radius)


def back_centre_y(point: complex, depth_mm: float, leaving: complex) -> float:
    """Level of the back neck at the centre: `depth_mm` under the neck bone, lower where a widened neck point would lie under it.

    `leaving`: direction from the neck point into the line. The steeper, the lower, else the line would hook up to its point.
    """
    for hollow in BACK_HOLLOWS_MM:
        y = max(depth_mm, point.imag + hollow)
        if least_radius(_round(complex(0, y), point, leaving, CENTRE_HANDLE)) >= HOOK_RADIUS_MM:
            break
    return y


def front_neck(shape: Neck, centre: complex, point: complex, shoulder: complex) -> FrontNeck:
    """Front neckline from the centre front to the neck point; `shoulder`: unit direction of the shoulder outward."""
    square = shoulder * 1j  # into the piece, square to the shoulder
    if shape == "v":
        return FrontNeck((("neck", (line(centre, point),)),), unit(centre - point))
    if shape == "square":
        corner = complex(point.real, centre.imag)
        return FrontNeck((("neck", (line(centre, corner),)), ("neck upright", (line(corner, point),))), 1j)
    handle = BOAT_CENTRE_HANDLE if shape == "boat" else CENTRE_HANDLE
    return FrontNeck((("neck", (_round(centre, point, square, handle),)),), square)


def back_leaving(shoulder: complex, front_leaving: complex, front_shoulder: complex) -> complex:
    """Direction from the back neck point into its line: it carries on the front's over the shoulder."""
    return shoulder * direction(pi - phase(front_leaving / front_shoulder))


def back_neck(centre: complex, point: complex, leaving: complex) -> Curve:
    """Back neckline from the centre back (square) to the neck point."""
    return (_round(centre, point, leaving, CENTRE_HANDLE),)


def smaller_neck(wanted_mm: tuple[float, float], made_mm: tuple[float, float], so: str) -> tuple[str, ...]:
    """How a neck gives way (widening, drop), in words: only what changes; nothing under half a millimetre."""
    ways = zip(("widened", "dropped"), wanted_mm, made_mm, strict=True)
    told = [f"{way} by {made:.0f} mm, not {wanted:.0f} mm" for way, wanted, made in ways if wanted - made > 0.5]
    return (f"The neck is {', and '.join(told)}: so {so}.",) if told else ()
