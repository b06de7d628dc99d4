"""Her own blocks and sharp corners of cut lines: shapes whose answer is known in closed form. mm; limits ours unless a source is named."""

from math import radians, sin, tan

import numpy as np
import pytest
from numpy.typing import NDArray

from calibration.errors import Refused, WrongInput
from projector.draft.panel import EdgeKind
from projector.garment.cut_line import Run, cut_ring
from projector.garment.own import Block, outline_of, piece_of


def ring_of(fold_mm: float, bow_mm: float = 0.0, turn_deg: float = 0.0) -> NDArray[np.float64]:
    """Its left side straight over `fold_mm`, the rest leaning away; low on that side it bows out by `bow_mm`; turned. Down is +y here."""
    bow = [] if not bow_mm else [[0.0, fold_mm], [-bow_mm, 0.8 * fold_mm], [0.0, 0.6 * fold_mm]]
    points = np.array([[0.0, 0.0], [80.0, -20.0], [80.0, 300.0], [79.0, 300.0], *(bow or [[0.0, fold_mm]])])
    angle = radians(turn_deg)
    turned: NDArray[np.float64] = points @ np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])
    return turned


def hung(ring: NDArray[np.float64]) -> tuple[tuple[float, float], ...]:
    """As a block on its fold; the table's y runs up, so down is at -90 degrees and the wearer's left lies on the right."""
    return outline_of(ring * (1.0, -1.0), -90.0, "left")


def test_a_fold_edge_is_60_long() -> None:
    """Shorter is no fold."""
    assert sum(abs(x) < 1e-6 for x, _ in hung(ring_of(61.0))) == 2
    with pytest.raises(Refused, match="straight over"):
        hung(ring_of(59.0))


def test_a_fold_edge_is_straight_to_1_mm() -> None:
    """What the tracing may be off."""
    assert sum(abs(x) < 1e-6 for x, _ in hung(ring_of(200.0, bow_mm=0.9))) == 2
    with pytest.raises(Refused, match="bows out"):
        hung(ring_of(200.0, bow_mm=1.1))


def test_a_block_laid_crooked_by_10_degrees() -> None:
    """Is turned onto the grain; more was meant otherwise."""
    assert sum(abs(x) < 1e-6 for x, _ in hung(ring_of(200.0, turn_deg=9.5))) == 2
    with pytest.raises(Refused, match="no straight run"):
        hung(ring_of(200.0, turn_deg=10.6))


SQUARE = ((0.0, 0.0), (100.0, 0.0), (100.0, 59.5), (0.0, 59.5))


def test_limits_of_a_block() -> None:
    """Fold 60, 3 m, 40 of one, 100 of allowance."""
    with pytest.raises(WrongInput, match="60 mm"):
        Block("x", SQUARE, fold=True)
    Block("x", tuple((x, y * 1.02) for x, y in SQUARE), fold=True)
    Block("x", tuple((x * 29.9, y) for x, y in SQUARE))
    with pytest.raises(WrongInput, match="3 m"):
        Block("x", tuple((x * 30.1, y) for x, y in SQUARE))
    Block("x", SQUARE, count=40, allowance_mm=100.0)
    with pytest.raises(WrongInput):
        Block("x", SQUARE, count=41)
    with pytest.raises(WrongInput):
        Block("x", SQUARE, allowance_mm=100.5)


def test_a_block_hangs_down_its_length() -> None:
    """As traced: the grain runs down the body unless told otherwise."""
    assert piece_of(Block("x", SQUARE)).grain_deg == 90.0


@pytest.mark.parametrize(("turn_deg", "edges"), [(19.0, 4), (21.0, 5)])
def test_a_turn_of_20_degrees_begins_another_edge(turn_deg: float, edges: int) -> None:
    """Between two runs of the outline."""
    out = 100 * tan(radians(turn_deg / 2))
    ring = ((0.0, 0.0), (200.0, 0.0), (200.0, 100.0), (100.0, 100.0 + out), (0.0, 100.0))
    # three corners of 90 and more at top and sides, and the one in the lower edge
    assert len(piece_of(Block("x", ring)).edges) == edges


def corner_reach(interior_deg: float, kind: EdgeKind = "armhole", allowance: float = 10.0) -> float:
    """How far the cut line stands out from a corner of that angle between two edges sewn alike."""
    half = radians(interior_deg / 2)
    legs = 300 * np.exp(1j * (np.pi / 2 + half)), 300 * np.exp(1j * (np.pi / 2 - half))
    points = [legs[0], 0j, legs[1]]
    runs = tuple(Run(np.array([one, two]), allowance, kind, False) for one, two in zip(points, [*points[1:], points[0]], strict=True))
    ring = cut_ring(runs)
    near = ring[np.abs(ring) < 100]
    return float(np.abs(near).max())


def test_sharp_corners_are_cut_off_under_50_degrees() -> None:
    """A whole mitre stands out by the allowance over the sine of half the angle (geometry): 2.3 times at 51; under 50 it is cut off."""
    assert corner_reach(51.0) == pytest.approx(10 / sin(radians(25.5)), abs=0.01)
    assert corner_reach(49.0) < 2 * 10


@pytest.mark.parametrize(("lean_deg", "is_reflected"), [(24.0, True), (26.0, False)])
def test_a_hem_is_reflected_up_to_25_degrees_off_square(lean_deg: float, is_reflected: bool) -> None:
    """So that the turned hem lies on its side's cut line; a side more slanting is squared or mitred as any other corner."""
    lean = 200 * tan(radians(lean_deg))
    ring = cut_ring(
        (
            Run(np.array([0j, 100 + 0j]), 10, "waist", False),
            Run(np.array([100 + 0j, 100 + lean + 200j]), 20, "side", False),
            Run(np.array([100 + lean + 200j, 200j]), 40, "hem", False),
            Run(np.array([200j, 0j]), 0, "centre", True),
        )
    )
    lowest = ring[np.abs(ring.imag - 240) < 0.01].real.max()
    # turned up about the hem, its end comes to lie on the side's cut line 40 higher
    wanted = 100 + lean + 20 / np.cos(radians(lean_deg)) - 40 * tan(radians(lean_deg))
    assert (abs(lowest - wanted) < 0.05) == is_reflected
