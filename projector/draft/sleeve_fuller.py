"""Fuller sleeves made from a fitted short one: puff (wider, raised, gathered at both ends) and flared (slashed and spread).

Sleeve frame: y = 0 at the biceps line, x = 0 under the cap's top, front to +x. Flaring is slash and spread in the limit of many
slashes: every vertical strip turns about its point on the cap, so the cap keeps its length to 0.05 mm and still fits its armhole.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from projector.draft.curve import Cubic, Curve, direction, length, line, root

PUFF_WIDER = 1.5
"""Width of a puff over the fitted sleeve: 1.3 to 2, common practice, no source."""
PUFF_CAP_RAISE_MM = 22.0
"""15 to 30, common practice, no source."""
PUFF_DROP_MM = 12.0
"""The hem of a puff falls this much lower in the middle, so that it blouses over its band. Common practice, no source."""
BAND_EASE_MM = 20.0
"""Puff band over the round sleeve."""
PARTS = 6
"""A half cap is turned in so many parts."""


@dataclass(frozen=True, slots=True)
class SleeveLines:
    """A sleeve, clockwise as drawn from the back underarm: back cap up, front cap down, front under seam, hem, back under seam."""

    back_cap: Curve
    front_cap: Curve
    front_under: Curve
    hem: Curve
    back_under: Curve

    @property
    def cap_mm(self) -> float:
        """Cap length."""
        return length((*self.back_cap, *self.front_cap))


def _mapped(curve: Curve, at: Callable[[complex], complex]) -> Curve:
    """An affine map of a curve (control points may be mapped)."""
    return tuple(Cubic(*(at(p) for p in cubic)) for cubic in curve)


def puffed(fitted: SleeveLines) -> SleeveLines:
    """Wider by PUFF_WIDER, the cap higher; under seams keep their length and stand upright, the hem drops in the middle."""
    top = fitted.back_cap[-1].d
    taller = (top.imag - PUFF_CAP_RAISE_MM) / top.imag
    back = _mapped(fitted.back_cap, lambda p: complex(p.real * PUFF_WIDER, p.imag * taller))
    front = _mapped(fitted.front_cap, lambda p: complex(p.real * PUFF_WIDER, p.imag * taller))
    drop = length(fitted.front_under)
    front_end, back_end = front[-1].d, back[0].a
    middle = complex((front_end.real + back_end.real) / 2, drop + PUFF_DROP_MM)
    half = abs(front_end.real - back_end.real) / 2
    front_hem = Cubic(front_end + 1j * drop, front_end + 1j * drop - 0.4 * half, middle + 0.45 * half, middle)
    back_hem = Cubic(middle, middle - 0.45 * half, back_end + 1j * drop + 0.4 * half, back_end + 1j * drop)
    return SleeveLines(back, front, (line(front_end, front_hem.a),), (front_hem, back_hem), (line(back_hem.d, back_end),))


def _parts(curve: Curve) -> list[Cubic]:
    """Every cubic of a curve in PARTS even parts."""
    out = []
    for cubic in curve:
        rest = cubic
        for i in range(PARTS, 1, -1):
            first, rest = rest.split(1 / i)
            out.append(first)
        out.append(rest)
    return out


def _spread_cap(cap: Curve, turn_at: Callable[[float], float]) -> Curve:
    """The cap with the direction at every x turned by `turn_at(x)`; each part keeps its length."""
    out: list[Cubic] = []
    here = cap[0].a
    for part in _parts(cap):
        start, end = part.start * direction(turn_at(part.a.real)), part.end * direction(turn_at(part.d.real))
        t = np.linspace(0, 1, 33)
        points = np.array([part.at(float(s)) for s in t])
        steps = np.diff(points)
        middles = (points[1:].real + points[:-1].real) / 2
        there = here + complex(np.sum(steps * np.exp(1j * np.array([turn_at(float(x)) for x in middles]))))
        out.append(_with_length(here, start, there, end, part.length()))
        here = there
    return tuple(out)


def _with_length(a: complex, start: complex, d: complex, end: complex, wanted: float) -> Cubic:
    """Cubic of a wanted length with both end directions; even handles."""
    chord = abs(d - a)

    def drawn(share: float) -> Cubic:
        return Cubic(a, a + start * share * chord, d - end * share * chord, d)

    usual = drawn(1 / 3)
    if abs(usual.length() - wanted) < 1e-4 or not drawn(0.1).length() < wanted < drawn(0.6).length():
        return usual
    return drawn(root(lambda share: drawn(share).length() - wanted, 0.1, 0.6, 1e-6))


def _smooth_run(points: list[complex], headings: list[complex]) -> Curve:
    """Cubics through points with headings."""
    return tuple(
        Cubic(a, a + u * abs(d - a) / 3, d - v * abs(d - a) / 3, d)
        for a, d, u, v in zip(points[:-1], points[1:], headings[:-1], headings[1:], strict=True)
    )


def flared(fitted: SleeveLines, drop_mm: float, spread_mm: float) -> SleeveLines:
    """Slash and spread to `drop_mm` below the biceps line: the hem becomes `spread_mm` wider than the biceps.

    Each under seam leaves the cap as square as before, so that the cap runs on over it, and meets the hem square.
    """
    back_x, front_x = fitted.back_cap[0].a.real, fitted.front_cap[-1].d.real
    top = fitted.back_cap[-1].d
    fullest = spread_mm / max(drop_mm - top.imag / 2, 1.0)  # a strip's mean length from cap to hem

    def drawn(whole: float) -> SleeveLines:
        def turn_at(x: float) -> float:
            return -whole * x / (front_x - back_x)  # the front's strips swing forward (towards +x at the hem)

        cap = _spread_cap((*fitted.back_cap, *fitted.front_cap), turn_at)
        middle = len(cap) * len(fitted.back_cap) // (len(fitted.back_cap) + len(fitted.front_cap))
        shift = top - cap[middle].a
        cap = tuple(cubic.moved(shift) for cubic in cap)
        parts = _parts((*fitted.back_cap, *fitted.front_cap))
        fitted_points = [part.a for part in parts] + [parts[-1].d]
        spread_points = [cubic.a for cubic in cap] + [cap[-1].d]
        turns = [turn_at(p.real) for p in fitted_points]
        hem = [q + 1j * direction(t) * (drop_mm - p.imag) for p, q, t in zip(fitted_points, spread_points, turns, strict=True)]
        hem.reverse()
        headings = [-direction(t) for t in reversed(turns)]
        back, front = cap[:middle], cap[middle:]
        return SleeveLines(back, front, (line(front[-1].d, hem[0]),), _smooth_run(hem, headings), (line(hem[-1], back[0].a),))

    biceps = front_x - back_x
    whole = root(lambda angle: length(drawn(angle).hem) - biceps - spread_mm, 0.05 * fullest, 3.0 * fullest, 1e-6)
    return drawn(whole)
