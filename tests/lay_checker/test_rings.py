"""The checker's own frames: the contract's sentences on a piece whose every corner is told apart."""

import pytest
from shapely.geometry import Point

from tests.lay_checker.rings import grain_on_cloth_deg, seen_from_above


@pytest.mark.parametrize(
    ("across", "turned", "flipped", "wanted"),
    [
        (False, 0, False, (20.0, 3.0)),  # cloth (x, y) = piece (y, x)
        (True, 0, False, (3.0, -20.0)),  # cloth (x, y) = piece (x, -y)
        (False, 180, False, (-20.0, -3.0)),
        (False, 0, True, (20.0, -3.0)),  # mirrored over its length: the top stays where it was
        (True, 0, True, (-3.0, -20.0)),
        (False, 180, True, (-20.0, 3.0)),
    ],
)
def test_frames(across: bool, turned: int, flipped: bool, wanted: tuple[float, float]) -> None:
    seen = seen_from_above(Point(3.0, 20.0), across, turned, flipped)
    assert (seen.x, seen.y) == wanted


def test_grain_lies_along_or_across() -> None:
    assert grain_on_cloth_deg(90.0, False, 0, False) == pytest.approx(0.0)
    assert grain_on_cloth_deg(90.0, True, 180, True) == pytest.approx(90.0)
    assert grain_on_cloth_deg(45.0, False, 0, False) == pytest.approx(45.0)
