"""Figures of the balance of front and back, read back where they bind."""

import pytest

from projector.body.balance import cup_turn_deg


@pytest.mark.parametrize(("cup_mm", "turn_deg"), [(5.0, 5.0), (100.0, 12.0), (400.0, 30.0)])
def test_a_bust_dart_turns_between_5_and_30_degrees(cup_mm: float, turn_deg: float) -> None:
    """By what bust and underbust differ, our own line: flatter than 12.5 mm it stays 5, so that there is a dart to press."""
    assert cup_turn_deg(cup_mm) == pytest.approx(turn_deg)
