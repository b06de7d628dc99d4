"""The chalk card alone gives the dress back: outlines rebuilt from its rounded numbers, mm on cloth."""

from itertools import groupby

import numpy as np
import pytest
from scipy.interpolate import CubicSpline

from calibration.units import Unit
from projector.garment.pieces import Piece
from projector.paper.card import CardPiece, card_piece
from tests.projector.paper.sample import front

REBUILT_MM = 3.0  # the side tolerance of trade cutting tables (±2 mm) and the eighth's own 1.6 mm, added as squares and rounded up


def rebuilt(card: CardPiece) -> np.ndarray:
    """As a hand would: ruler between two points, a smooth curve through more (cubic spline over the chord length)."""
    drawn = []
    for _, points in groupby(card.outline, key=lambda point: point.edge):
        row = np.array([(point.out_mm + card.centre_mm, point.down_mm + card.top_mm) for point in points])
        reach = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(row, axis=0).T))])
        fine = np.linspace(0.0, reach[-1], 60)
        drawn.append(
            np.column_stack([np.interp(fine, reach, row[:, k]) for k in (0, 1)]) if len(row) < 3 else CubicSpline(reach, row)(fine)
        )
    return np.vstack(drawn)


def worst_mm(piece: Piece, unit: Unit) -> float:
    """Largest distance from a point of the sewing outline to the rebuilt one."""
    line = rebuilt(card_piece(piece, unit, ""))
    return max(float(np.hypot(*(line - point).T).min()) for edge in piece.edges for point in np.array(edge.points))


@pytest.mark.parametrize("unit", ["in", "cm"])
def test_hand_made_front_is_rebuilt(unit: Unit) -> None:
    assert worst_mm(front(), unit) < REBUILT_MM


def test_card_counts_from_the_fold_and_from_the_top() -> None:
    card = card_piece(front(), "in", "")
    bust = card.levels[0]
    assert (bust.name, round(bust.down_mm, 3), bust.inner_mm) == ("bust", round(63 * 3.175, 3), 0.0)
    assert abs(bust.sewing_mm - 240.0) < 1.6
    assert abs(bust.cutting_mm - 250.0) < 1.6
