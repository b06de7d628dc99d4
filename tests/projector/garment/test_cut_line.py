"""Cut lines on shapes whose answer is known in closed form. Tolerances: 0.01 mm, far under a chalk line, where nothing is flattened."""

from math import hypot, pi

import numpy as np
import pytest
import shapely

from projector.draft.curve import Points
from projector.draft.panel import EdgeKind
from projector.garment.cut_line import Run, cut_ring, offset

EXACT_MM = 0.01


def _run(kind: EdgeKind, allowance: float, *points: complex, fold: bool = False) -> Run:
    return Run(np.array(points), allowance, kind, fold)


def _area(ring: Points) -> float:
    return float(shapely.Polygon(np.column_stack([ring.real, ring.imag])).area)


def _has(ring: Points, at: complex) -> bool:
    return bool(np.abs(ring - at).min() < EXACT_MM)


def test_a_box_gets_its_four_allowances() -> None:
    """Clockwise from the top left: 100 wide, 200 down; areas add up as in any handbook."""
    ring = cut_ring(
        (
            _run("waist", 10, 0, 100), _run("side", 20, 100, 100 + 200j),
            _run("hem", 50, 100 + 200j, 200j), _run("centre", 0, 200j, 0, fold=True),
        )
    )  # fmt: skip
    assert _area(ring) == pytest.approx((100 + 20) * (200 + 10 + 50), abs=EXACT_MM)
    for corner in (-10j, 120 - 10j, 120 + 250j, 250j):
        assert _has(ring, corner)


def test_hem_corner_of_a_flared_side_is_reflected() -> None:
    """A side that leans out by 1 in 4: turned up, the hem's end lies on the side's own cut line."""
    side = _run("side", 20, 100, 150 + 200j)
    along = (50 + 200j) / abs(50 + 200j)
    ring = cut_ring((_run("waist", 10, 0, 100), side, _run("hem", 40, 150 + 200j, 200j), _run("centre", 0, 200j, 0, fold=True)))
    above = [p for p in ring if p.imag < 199 and p.real > 60]
    below = [p for p in ring if p.imag > 201 and p.real > 151]  # what is turned up, off the hem's own run
    assert max(p.imag for p in below) == pytest.approx(240, abs=EXACT_MM)
    on_side = [abs(((p - (100 + 20 * along * -1j)) * along.conjugate()).imag) for p in above if p.imag > 0]
    turned_up = [complex(p.real, 400 - p.imag) for p in below]
    off = [abs(((p - (100 + 20 * along * -1j)) * along.conjugate()).imag) for p in turned_up]
    assert max([*off, *on_side, 0.0]) < EXACT_MM


def test_partners_at_a_slanting_corner_end_alike() -> None:
    """Interior angles 70 and 110 along one seam: both raw edges end at the same place on the seam's line drawn on."""
    ends = []
    for interior in (70.0, 110.0):
        turn = np.exp(1j * np.radians(180 - interior))
        seam_end = 100 * turn
        far = seam_end + (0 - 60j)
        ring = cut_ring(
            (
                _run("armhole", 10, -80, 0), _run("princess", 15, 0, seam_end),
                _run("waist", 10, seam_end, far - 200), _run("centre", 0, far - 200, -80),
            )
        )  # fmt: skip
        square = turn * -1j
        outer = [p for p in ring if abs((p * np.conj(square)).real - 15) < EXACT_MM]
        ends.append(min((p * np.conj(turn)).real for p in outer))
    assert ends[0] == pytest.approx(ends[1], abs=EXACT_MM)
    assert ends[0] == pytest.approx(-10 / np.sin(np.radians(70)), abs=EXACT_MM)


def test_a_dart_is_capped_so_that_it_reaches_the_cut_line_when_pressed() -> None:
    """Legs 10 either side of the axis, 100 high, waist square to the legs: folded, the peak lies on the waist's own cut line."""
    tip = 50 + 0j
    inner, outer = 40 + 100j, 60 + 100j
    leg = (inner - tip) / abs(inner - tip)
    waist_in = leg * 1j  # square to the inner leg, towards the centre
    centre = inner + waist_in * 40
    side = outer + complex(-waist_in.real, waist_in.imag) * 40
    ring = cut_ring(
        (
            _run("neck", 0, complex(centre.real, -50), complex(side.real, -50)), _run("side", 0, complex(side.real, -50), side),
            _run("waist", 20, side, outer), _run("dart", 0, outer, tip), _run("dart", 0, tip, inner),
            _run("waist", 20, inner, centre), _run("centre", 0, centre, complex(centre.real, -50), fold=True),
        )
    )  # fmt: skip
    peak = max(p.imag for p in ring if abs(p.real - 50) < EXACT_MM)
    height = hypot(10, 100)
    assert peak == pytest.approx((height + 20) / (100 / height), abs=EXACT_MM)


def test_a_slanting_dart_does_not_stick_out_like_a_tongue() -> None:
    """A dart 33 degrees wide that slants down (a lining's, seen 87 mm out): pressed up, its mouth meets the cut line above it."""
    upper, tip, lower, bottom = 243 + 241j, 154 + 226j, 220 + 287j, 213 + 428j
    side, zip_side = _run("side", 25, 229 + 192j, upper), _run("side", 25, lower, bottom)
    legs = _run("dart", 0, upper, tip), _run("dart", 0, tip, lower)
    ring = cut_ring(
        (side, *legs, zip_side, _run("waist", 15, bottom, 428j), _run("centre", 0, 428j, 192j), _run("facing", 10, 192j, 229 + 192j))
    )
    axis = (upper - tip) / abs(upper - tip) + (lower - tip) / abs(lower - tip)
    axis /= abs(axis)
    mouth = min((p for p in ring if ((p - tip) / axis).real > 0), key=lambda p: abs(((p - tip) / axis).imag))
    up = (upper - 229 - 192j) / abs(upper - 229 - 192j)
    turned = upper + np.conj((mouth - upper) / ((upper - tip) / abs(upper - tip))) * (upper - tip) / abs(upper - tip)
    assert ((turned - upper) / (up * -1j)).real == pytest.approx(25, abs=EXACT_MM)
    assert abs(mouth - (upper + lower) / 2) < 60


@pytest.mark.parametrize("by", [10.0, -10.0])
def test_a_parallel_of_a_circle_is_a_circle(by: float) -> None:
    """Radius 100 run clockwise as drawn: outward is away from the middle. Tolerance: the chords' own sagitta, 100 (pi/400)^2 / 2."""
    turn = np.linspace(-pi / 2, pi / 2, 201)
    moved = offset(100 * np.exp(1j * turn), by)
    assert np.abs(moved) == pytest.approx(100 + by, abs=100 * (pi / 400) ** 2)


def test_narrow_hollows_do_not_loop() -> None:
    """A hollow of radius 8 under an allowance of 15 (an inner curve tighter than the allowance)."""
    turn = np.linspace(pi, 0, 61)
    hollow = np.concatenate([[-40 + 0j], 8 * np.exp(-1j * turn) * 1, [40 + 0j]])
    line = offset(hollow, 15)
    assert shapely.LineString(np.column_stack([line.real, line.imag])).is_simple


def test_sharp_points_are_cut_off() -> None:
    """30 degrees: a mitre would stand out by 10 / sin 15 = 38.6; cut off it stays within twice the allowance."""
    edge = 200 * np.exp(1j * np.radians(150))
    ring = cut_ring((_run("facing", 10, -200, 0), _run("neck", 10, 0, edge), _run("centre", 10, edge, -200)))
    assert max(ring.real) < 2 * 10
