"""Shapes of the flat sketch: a panel with its darts sewn, drape that stands out in folds, sleeves. Complex points, mm, y down."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from projector.garment.pieces import Edge, Line, Piece

Points = NDArray[np.complex128]

ARM_DEG = 62.0  # below the horizontal: an arm hanging a little away, so that sleeve and side are told apart
ARM_FROM_SIDE_DEG = 16.0  # an arm lies at least so far out from the line shoulder tip to underarm
ARM_HIGHEST_DEG = 20.0  # below the horizontal: a wide hem lifts the arm no further
STANDS_OUT = 0.62  # how far a full circle stands out at the hem, of its length; less turn, less
FOLDS = 3


def points_of(line: Line) -> Points:
    """(N,) complex points of a line."""
    xy = np.asarray(line)
    points: Points = xy[:, 0] + 1j * xy[:, 1]
    return points


def line_of(points: Points) -> Line:
    """A line that paper and page draw."""
    return tuple((round(float(p.real), 2), round(float(p.imag), 2)) for p in points)


def run_of(edges: Sequence[Edge]) -> Points:
    """Edges that follow each other as one run."""
    return np.concatenate([points_of(edge.points) for edge in edges])


def bent(a: complex, control: complex, b: complex) -> Points:
    """Quadratic curve from a to b pulled towards `control`."""
    t = np.linspace(0.0, 1.0, 20)
    curve: Points = (1 - t) ** 2 * a + 2 * t * (1 - t) * control + t**2 * b
    return curve


@dataclass(frozen=True, slots=True)
class Take:
    """A sewn dart or princess gap: nothing at its tip, `mouth_mm` at its mouth, what lies outside `axis_x` moves in."""

    tip: complex
    mouth_y: float
    mouth_mm: float

    def at(self, points: Points) -> Points:
        """What it takes at the levels of these points, for those outside it."""
        share = np.clip((points.imag - self.tip.imag) / (self.mouth_y - self.tip.imag), 0.0, 1.2)
        return np.where(points.real > self.tip.real, share * self.mouth_mm, 0.0).astype(np.complex128)


def waist_darts(piece: Piece) -> list[tuple[complex, complex, complex]]:
    """Inner leg end, tip, outer leg end of the darts that open at the waist."""
    found = []
    for dart in piece.darts:
        if len(dart.legs) == 3:
            one, tip, two = points_of(dart.legs).tolist()
            if abs(one.real - two.real) > abs(one.imag - two.imag):
                inner, outer = sorted((one, two), key=lambda p: p.real)
                found.append((inner, tip, outer))
    return sorted(found, key=lambda dart: dart[1].real)


def takes_of(piece: Piece) -> list[Take]:
    """Its waist darts as they are sewn."""
    return [Take(tip, (inner.imag + outer.imag) / 2, abs(outer - inner)) for inner, tip, outer in waist_darts(piece)]


def sewn(points: Points, takes: Sequence[Take]) -> Points:
    """Where points lie when the darts between them and the centre are sewn."""
    moved: Points = points - sum((take.at(points) for take in takes), np.zeros(len(points), dtype=np.complex128))
    return moved


def dart_lines(piece: Piece, takes: Sequence[Take]) -> list[Points]:
    """Sewn darts are lines: from the tip to the waist."""
    out = []
    for place, (inner, tip, _) in enumerate(waist_darts(piece)):
        out.append(sewn(np.array([tip, inner]), takes[:place]))
    return out


def drape(waist: Points, long_mm: float, turn: float, over_mm: float = 0.0) -> list[Points]:
    """A circle skirt or peplum as it hangs: side, waved hem, folds. `waist`: from the centre outward; `over_mm`: half width it covers."""
    centre, side = complex(waist[0]), complex(waist[-1])
    out = max(STANDS_OUT * np.sqrt(min(turn, 1.0)) * long_mm, over_mm + 12.0 - side.real)
    end = complex(side.real + out, side.imag + 0.96 * long_mm)
    edge = bent(side, complex(side.real + 0.30 * out, side.imag + 0.30 * long_mm), end)
    x = np.linspace(0.0, 1.0, 90)
    wave = 0.022 * long_mm * np.sin(x * np.pi * (2 * FOLDS + 0.5)) * np.minimum(1.0, 4 * (1 - x))
    level = centre.imag + long_mm + (end.imag - centre.imag - long_mm) * x**2
    hem: Points = end.real * x + 1j * (level + wave)
    lines = [edge, hem]
    for place in range(FOLDS):
        share = (4 * place + 3) / (4 * FOLDS + 1)  # the wave's crests
        foot = complex(np.interp(share, x, hem.real), np.interp(share, x, hem.imag))
        top = complex(side.real * share, centre.imag + 0.45 * long_mm)
        lines.append(bent(foot, complex((0.8 * foot.real + 0.2 * top.real), (foot.imag + top.imag) / 2), top))
    return lines


@dataclass(frozen=True, slots=True)
class Arm:
    """Where a sleeve hangs: shoulder tip, underarm, its direction down and the direction from outside in; `wide`: of its hem.

    A wide hem lifts the arm, so that it does not lie across the bodice.
    """

    tip: complex
    underarm: complex
    wide: float = 0.0

    @property
    def down(self) -> complex:
        """Unit direction of the sleeve."""
        across = self.underarm - self.tip
        lifted = np.degrees(np.arcsin(min(1.0, self.wide / abs(across))))
        turn = float(np.degrees(np.angle(across)) - max(ARM_FROM_SIDE_DEG, lifted))
        return complex(np.exp(1j * np.radians(min(ARM_DEG, max(turn, ARM_HIGHEST_DEG)))))

    @property
    def inward(self) -> complex:
        """Square to it, towards the body."""
        return self.down * 1j


def _height(sleeve: Piece) -> tuple[float, float]:
    """Height of the cap and length below it."""
    y = np.asarray(sleeve.seam_line)[:, 1]
    return float(-y.min()), float(y.max())


def fitted_sleeve(sleeve: Piece, arm: Arm) -> list[Points]:
    """Outer line over the arm, hem, under seam; a flared one swings out and its hem waves."""
    cap, long = _height(sleeve)
    hem = run_of([edge for edge in sleeve.edges if edge.kind == "hem"])
    flat_hem = float(np.abs(np.diff(hem)).sum()) / 2
    biceps = float(np.ptp(np.asarray([p for edge in sleeve.edges if edge.kind == "cap" for p in edge.points])[:, 0])) / 2
    flare = max(0.0, flat_hem - biceps)
    arm = replace(arm, wide=min(flat_hem, biceps))
    outer = arm.tip + arm.down * (cap + long) - arm.inward * 0.6 * flare
    over = bent(arm.tip, arm.tip + arm.down * 0.35 * (cap + long) - arm.inward * 10.0, outer)
    inner = outer + arm.inward * min(flat_hem, 1.25 * biceps + 0.3 * flare)
    under = np.array([arm.underarm, inner])
    x = np.linspace(0.0, 1.0, 40)
    wave = 0.0 if flare < 20 else 7.0 * np.sin(x * np.pi * 4)
    edge: Points = outer + (inner - outer) * x + arm.down * (wave + 5.0 * np.sin(np.pi * x))
    return [over, edge, under]


def puff_sleeve(sleeve: Piece, band: Piece, arm: Arm) -> list[Points]:
    """Ballooned over its band, gathers at both ends."""
    _, long = _height(sleeve)
    wide = max(y for _, y in band.seam_line) / 2
    reach, arm = abs(arm.underarm - arm.tip), replace(arm, wide=0.95 * wide)
    top = arm.tip + arm.down * (0.62 * reach + long)
    start = top - arm.inward * 0.05 * wide
    end = start + arm.inward * wide
    deep = arm.down * 25.0
    over = bent(arm.tip, (arm.tip + start) / 2 - arm.inward * 75.0 - arm.down * 10.0, start)
    under = bent(arm.underarm, (arm.underarm + end) / 2 + arm.inward * 22.0, end)
    ticks = [np.array([start + (end - start) * s, start + (end - start) * s - arm.down * 28.0]) for s in (0.2, 0.4, 0.6, 0.8)]
    return [over, under, np.array([start, end, end + deep, start + deep, start]), *ticks]


def shoulder_band(top: Points, free_mm: float, high_mm: float) -> list[Points]:
    """An off-shoulder band on a top line (from the centre outward): its lower edge falls over the arm, where it is folded."""
    start = complex(top[-1])
    end = start + free_mm * complex(0.86, 0.5)
    lower = np.concatenate([top, bent(start, start + free_mm * complex(0.5, 0.08), end)[1:]])
    run = np.concatenate([[0.0], np.cumsum(np.abs(np.diff(lower)))]) / float(np.abs(np.diff(lower)).sum())
    upper = lower + high_mm * np.exp(1j * np.radians(-90.0 + 30.0 * run**3))
    return [lower, upper, np.array([lower[-1], upper[-1]])]


def flutter_cap(armhole: Points, share: float = 0.6, deep_mm: float = 95.0) -> list[Points]:
    """The flounce over the upper armhole."""
    run = np.concatenate([[0.0], np.cumsum(np.abs(np.diff(armhole)))])
    foot = complex(np.interp(share * run[-1], run, armhole.real), np.interp(share * run[-1], run, armhole.imag))
    tip = complex(armhole[0])
    low = tip + complex(0.62, 0.78) * deep_mm
    return [bent(tip, tip + complex(0.55, 0.15) * deep_mm, low), bent(low, complex((low.real + foot.real) / 2, low.imag + 22.0), foot)]
