"""Points and cubic curves of the drafts. Pure numbers, mm, piece frame (x out from the centre line, y down).

A point is a complex number x + y·i: a turn by t is a product with exp(i·t), so R(P, t) of the drafting rules reads
`turned(p, about, t)`: dx' = dx cos t - dy sin t, dy' = dx sin t + dy cos t. Outlines run so that the piece lies to the
right hand of the way (clockwise as drawn); the outward normal of direction d is d·(-i).
"""

from cmath import exp, phase
from collections.abc import Callable, Sequence
from itertools import pairwise
from math import ceil, pi, radians, sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from projector.body.balance import clamp as clamp

Points = NDArray[np.complex128]
"""(N,) complex: a flattened line."""

TURN_PER_STEP = radians(2.5)
"""A flattened step turns at most this far (on average along a curve)."""
CHORD_MM = 0.04
"""Flattened lines lie within this of their curve (0.05 is promised)."""
STEP_MAX = 160
END_STEP = 0.12
WALK_MM = 4.0
"""Steps along two lines whose distance is asked for."""

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(16)
_SPEED = tuple(
    (3 * (1 - t) ** 2 * w, 6 * t * (1 - t) * w, 3 * t * t * w)
    for t, w in zip(((_NODES + 1) / 2).tolist(), (_WEIGHTS / 2).tolist(), strict=True)
)
_PLACES = (1 - np.cos(np.linspace(0, pi, 65))) / 2
_LEFT = 1 - _PLACES


class NoRoot(ArithmeticError):
    """`root` found no sign change: the caller says in words what cannot be drawn."""


def unit(vector: complex) -> complex:
    """Direction of a vector, length 1."""
    return vector / abs(vector)


def turned(point: complex, about: complex, angle: float) -> complex:
    """R(P, angle) about a centre; angle in radians, clockwise as drawn (y down)."""
    return about + (point - about) * exp(1j * angle)


def direction(angle: float) -> complex:
    """Unit vector `angle` radians from +x towards +y (downwards)."""
    return exp(1j * angle)


def angle_between(first: complex, second: complex) -> float:
    """Signed turn from first to second, radians, clockwise as drawn."""
    return phase(second / first)


class Cubic(NamedTuple):
    """One Bezier cubic by its four control points."""

    a: complex
    b: complex
    c: complex
    d: complex

    def at(self, t: float) -> complex:
        """Point at parameter t."""
        s = 1 - t
        return s * s * s * self.a + 3 * s * s * t * self.b + 3 * s * t * t * self.c + t * t * t * self.d

    @property
    def start(self) -> complex:
        """Unit tangent at the beginning."""
        return unit(self.b - self.a)

    @property
    def end(self) -> complex:
        """Unit tangent at the end."""
        return unit(self.d - self.c)

    def length(self) -> float:
        """Arc length, 16-point Gauss-Legendre: under 0.001 mm wrong on every curve drawn here."""
        u, v, w = self.b - self.a, self.c - self.b, self.d - self.c
        return float(sum(abs(x * u + y * v + z * w) for x, y, z in _SPEED))

    def split(self, t: float) -> tuple["Cubic", "Cubic"]:
        """Both halves at parameter t (de Casteljau)."""
        ab, bc, cd = (p + (q - p) * t for p, q in ((self.a, self.b), (self.b, self.c), (self.c, self.d)))
        abc, bcd = ab + (bc - ab) * t, bc + (cd - bc) * t
        middle = abc + (bcd - abc) * t
        return Cubic(self.a, ab, abc, middle), Cubic(middle, bcd, cd, self.d)

    def turned(self, about: complex, angle: float) -> "Cubic":
        """The same curve turned about a centre."""
        return Cubic(*(turned(p, about, angle) for p in self))

    def moved(self, shift: complex) -> "Cubic":
        """The same curve shifted."""
        return Cubic(*(p + shift for p in self))

    def back(self) -> "Cubic":
        """The same curve run the other way."""
        return Cubic(self.d, self.c, self.b, self.a)

    def is_straight(self) -> bool:
        """Both handles lie on the chord."""
        chord = self.d - self.a
        return all(abs((chord.conjugate() * (p - self.a)).imag) < 1e-9 * abs(chord) ** 2 + 1e-12 for p in (self.b, self.c))

    def turning(self) -> float:
        """Turning of the control polygon, radians: an upper bound of the curve's."""
        legs = [leg for leg in (self.b - self.a, self.c - self.b, self.d - self.c) if abs(leg) > 1e-9]
        return sum(abs(angle_between(p, q)) for p, q in pairwise(legs))

    def flat(self) -> Points:
        """(N,) points; a straight curve gives its two ends."""
        if self.is_straight():
            return np.array([self.a, self.d])
        bend = max(abs(self.a - 2 * self.b + self.c), abs(self.b - 2 * self.c + self.d))
        by_bend = sqrt(0.75 * bend / CHORD_MM)  # Wang's bound: chords of so many even steps stay within CHORD_MM
        steps = min(STEP_MAX, max(8, ceil(self.turning() / TURN_PER_STEP), ceil(by_bend)))
        t = np.arange(-1, steps + 2) / steps
        t[0], t[1], t[-2], t[-1] = 0.0, END_STEP / steps, 1 - END_STEP / steps, 1.0  # short end steps: the ends' true directions
        s = 1 - t
        points: Points = s**3 * self.a + 3 * s * s * t * self.b + 3 * s * t * t * self.c + t**3 * self.d
        points[0], points[-1] = self.a, self.d
        return points


Curve = tuple[Cubic, ...]
"""A run of cubics, each starting where the last ended."""


def line(a: complex, d: complex) -> Cubic:
    """A straight cubic."""
    return Cubic(a, a + (d - a) / 3, a + (d - a) * 2 / 3, d)


def smooth(a: complex, leaving: complex, d: complex, arriving: complex, first: float = 1 / 3, last: float = 1 / 3) -> Cubic:
    """Cubic from a to d with the two directions of travel; handles as parts of the chord."""
    chord = abs(d - a)
    return Cubic(a, a + unit(leaving) * first * chord, d - unit(arriving) * last * chord, d)


def least_radius(cubic: Cubic) -> float:
    """Smallest radius of curvature at 65 places, mm; closer towards the ends, where short handles bend most."""
    u, v, w = cubic.b - cubic.a, cubic.c - cubic.b, cubic.d - cubic.c
    speed = 3 * (_LEFT**2 * u + 2 * _LEFT * _PLACES * v + _PLACES**2 * w)
    bend = np.abs((np.conj(speed) * (6 * (_LEFT * (v - u) + _PLACES * (w - v)))).imag)
    return float(np.min(np.abs(speed) ** 3 / np.maximum(bend, 1e-9)))


def flat(curve: Sequence[Cubic]) -> Points:
    """(N,) points of a whole run, shared points once."""
    runs = [cubic.flat() for cubic in curve]
    return np.concatenate([runs[0], *(run[1:] for run in runs[1:])])


def length(curve: Sequence[Cubic]) -> float:
    """Arc length of a run."""
    return sum(cubic.length() for cubic in curve)


def turned_curve(curve: Sequence[Cubic], about: complex, angle: float) -> Curve:
    """A run turned about a centre."""
    return tuple(cubic.turned(about, angle) for cubic in curve)


def back(curve: Sequence[Cubic]) -> Curve:
    """A run gone the other way."""
    return tuple(cubic.back() for cubic in reversed(curve))


def root(f: Callable[[float], float], low: float, high: float, tolerance: float = 1e-7) -> float:
    """Where f crosses zero between low and high (Illinois false position with bisection as its guard).

    `tolerance` is in the unit of the argument. Raises NoRoot when f has one sign at both ends.
    """
    f_low, f_high = f(low), f(high)
    if f_low == 0 or f_high == 0:
        return low if f_low == 0 else high
    if (f_low > 0) == (f_high > 0):
        raise NoRoot(f"no sign change between {low:.6g} ({f_low:.6g}) and {high:.6g} ({f_high:.6g})")
    side = 0
    for turn in range(100):
        middle = (low + high) / 2 if turn % 4 == 3 else (low * f_high - high * f_low) / (f_high - f_low)
        value = f(middle)
        if value == 0 or abs(high - low) < tolerance or abs(value) < 1e-9:
            return middle
        if (value > 0) == (f_high > 0):
            high, f_high = middle, value
            f_low = f_low / 2 if side == 1 else f_low
            side = 1
        else:
            low, f_low = middle, value
            f_high = f_high / 2 if side == -1 else f_high
            side = -1
    return (low + high) / 2


def crossing(cubic: Cubic, origin: complex, ray: complex) -> float:
    """Parameter where the curve crosses the line origin + s·ray. Raises NoRoot."""
    return root(lambda t: (ray.conjugate() * (cubic.at(t) - origin)).imag, 0.0, 1.0, 1e-10)


def walked(line: Points, step_mm: float = WALK_MM) -> Points:
    """The line's points and more between them, `step_mm` apart at most: distances between points then stand for the lines'."""
    steps = np.diff(line)
    counts = np.maximum(1, np.ceil(np.abs(steps) / step_mm)).astype(int)
    share = np.concatenate([np.arange(count) / count for count in counts])
    return np.append(np.repeat(line[:-1], counts) + np.repeat(steps, counts) * share, line[-1])


def apart_mm(one: Points, other: Points) -> float:
    """Least distance of two lines whose points lie close enough to stand for them."""
    return float(np.abs(one[:, None] - other[None, :]).min())
