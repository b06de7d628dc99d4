"""Geometry that any textbook proves, asked of our curves: turning, mirror images, lengths."""

from math import hypot, pi, radians, sqrt

import numpy as np
import numpy.typing as npt
import pytest

from projector.draft.curve import Cubic, Points, angle_between, flat, length, line, root, smooth, turned, turned_curve

WAVE = (smooth(0j, 1, complex(120, 60), 1j), smooth(complex(120, 60), 1j, complex(90, 260), -1 + 1j))


def _sides(points: Points) -> npt.NDArray[np.float64]:
    return np.asarray(np.abs(np.diff(points)))


def test_dart_closed_and_opened_returns_every_point() -> None:
    """DRAFT 6 row 24: a turn and its opposite are nothing; 1e-6 mm."""
    there = turned_curve(WAVE, complex(80, 190), radians(17.3))
    back = turned_curve(there, complex(80, 190), -radians(17.3))
    for before, after in zip(WAVE, back, strict=True):
        assert max(abs(before.at(t) - after.at(t)) for t in np.linspace(0, 1, 50)) < 1e-6
    assert length(there) == pytest.approx(length(WAVE), abs=1e-9)


def test_a_quarter_turn_runs_from_x_to_y_down() -> None:
    """dx' = dx cos t - dy sin t, dy' = dx sin t + dy cos t: 90 degrees takes (1, 0) to (0, 1), clockwise as drawn."""
    assert turned(1 + 0j, 0j, pi / 2) == pytest.approx(1j)
    assert angle_between(1, 1j) == pytest.approx(pi / 2)


def test_mirror_image_has_the_same_lengths_and_area() -> None:
    """DRAFT 6 row 25."""
    points = flat(WAVE)
    image = np.conj(points)
    area = 0.5 * float(np.sum(points.real * np.roll(points.imag, -1) - np.roll(points.real, -1) * points.imag))
    other = 0.5 * float(np.sum(image.real * np.roll(image.imag, -1) - np.roll(image.real, -1) * image.imag))
    assert np.abs(_sides(points) - _sides(image)).max() < 1e-9
    assert other == pytest.approx(-area, abs=1e-6)


def test_length_of_a_quarter_circle() -> None:
    """Cubic through a quarter circle with handles 4/3 (sqrt 2 - 1) r: radius within 0.0273 % (known bound); length pi r / 2 within that."""
    r = 150.0
    handle = 4 / 3 * (sqrt(2) - 1) * r
    quarter = Cubic(complex(r, 0), complex(r, handle), complex(handle, r), complex(0, r))
    assert quarter.length() == pytest.approx(pi * r / 2, rel=0.000273)


def test_length_of_a_parabola_in_closed_form() -> None:
    """Cubic that is the parabola y = x^2/100 from 0 to 100. Closed form of its arc: textbook integral; 0.001 mm."""
    a, b, c, d = 0j, complex(100 / 3, 0), complex(200 / 3, 100 / 3), complex(100, 100)
    slope = 2.0
    exact = 25 * (slope * hypot(1, slope) + np.arcsinh(slope))
    assert Cubic(a, b, c, d).length() == pytest.approx(float(exact), abs=0.001)


def test_flattened_curves_lie_within_a_twentieth_of_a_millimetre() -> None:
    """DESIGN 4: curves flattened to 0.05 mm; asked of curves as large as any piece has."""
    for cubic in (*WAVE, smooth(0j, 1, complex(300, 900), 1j), smooth(0j, 1j, complex(400, 40), 1)):
        points = cubic.flat()
        dense = np.array([cubic.at(float(t)) for t in np.linspace(0, 1, 4001)])
        a, b = points[:-1, None], points[1:, None]
        along = np.clip(((dense - a) * np.conj(b - a)).real / np.abs(b - a) ** 2, 0, 1)
        away = np.abs(dense - (a + along * (b - a))).min(axis=0)
        assert away.max() < 0.05, cubic


def test_split_curve_is_the_same_curve() -> None:
    cubic = WAVE[1]
    first, second = cubic.split(0.37)
    assert first.length() + second.length() == pytest.approx(cubic.length(), abs=0.001)
    assert first.at(0.5) == pytest.approx(cubic.at(0.185))
    assert second.at(1.0) == cubic.d


def test_root_finds_the_golden_section() -> None:
    """x^2 = x + 1. Source: Euclid, Elements, book VI, proposition 30."""
    assert root(lambda x: x * x - x - 1, 1.0, 2.0) == pytest.approx((1 + sqrt(5)) / 2, abs=1e-6)


def test_straight_line_has_its_two_ends_only() -> None:
    assert line(0j, complex(30, 40)).length() == pytest.approx(50)
    assert len(line(0j, complex(30, 40)).flat()) == 2
