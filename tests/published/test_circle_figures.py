"""Circle skirts against published radii and plain geometry."""

from math import pi

import numpy as np
import pytest

from projector.draft.curve import flat, length
from projector.draft.ring import sector_of_edge


def _radius(waist: float, turn: float) -> float:
    """Of the waist's circle, in the unit of `waist`; turn: 1 a full circle, 0.5 half."""
    return sector_of_edge(waist, turn, depth_mm=1.0).radius


@pytest.mark.parametrize(("turn", "radius_in"), [(1, 4.138), (1 / 2, 8.276), (1 / 3, 12.414), (1 / 4, 16.552)])
def test_radius_for_a_waist_of_26_inches(turn: float, radius_in: float) -> None:
    """Source: prettyquirkypants.com 2014/03/07 (4.13, 8.2, 12.4, 16.56 rounded there); exact values derived; 0.001 in."""
    assert _radius(26, turn) == pytest.approx(radius_in, abs=0.001)


@pytest.mark.parametrize(("turn", "radius_mm"), [(1, 111.41), (3 / 4, 148.54), (1 / 2, 222.82), (1 / 3, 334.23), (1 / 4, 445.63)])
def test_radius_for_a_waist_of_70_centimetres(turn: float, radius_mm: float) -> None:
    """Derived: r = W / (2 pi turn)."""
    assert _radius(700, turn) == pytest.approx(radius_mm, abs=0.01)


def test_cloth_in_a_full_circle_of_60_centimetres() -> None:
    """Derived: pi (711.41^2 - 111.41^2) = 1 550 970 mm2 in four of the drawn sector."""
    sector = sector_of_edge(175, 0.25, 600)
    ring = flat((*sector.inner, *sector.side, *sector.outer, *sector.centre))[:-1]
    area = 0.5 * abs(float(np.sum(ring.real * np.roll(ring.imag, -1) - np.roll(ring.real, -1) * ring.imag)))
    assert 4 * area == pytest.approx(1_550_970, rel=1e-4)  # chords of the flattened hem, 0.05 mm at most


def test_a_quarter_of_the_waist_is_no_radius() -> None:
    """Source: whatthecraft.com names the wrong shortcut W/4: 32 in would give 8 where 5.09 is right."""
    assert _radius(32, 1) == pytest.approx(5.09, abs=0.005)


@pytest.mark.parametrize("turn", [0.5, 0.75, 1.0])
def test_drawn_waist_edge_keeps_its_radius_and_length(turn: float) -> None:
    """Arc = r theta and constant radius; 0.01 mm (DRAFT 6, row 11)."""
    quarter_mm = 187.5
    sector = sector_of_edge(quarter_mm, turn / 4, 640)
    away = np.abs(flat(sector.inner) - sector.middle)
    assert np.abs(away - quarter_mm / (2 * pi * turn / 4)).max() < 0.01
    assert length(sector.inner) == pytest.approx(quarter_mm, abs=0.01)
    assert length(sector.outer) == pytest.approx((sector.radius + 640) * sector.angle, abs=0.01)
    assert length(sector.side) == pytest.approx(640, abs=1e-9)
    assert sector.inner[0].start == pytest.approx(1)  # square to the centre line
