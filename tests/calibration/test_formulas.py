"""Numbers inside formulas of the map and its solve, each at a case where it binds; worked out here apart from the product."""

from dataclasses import replace

import numpy as np
import pytest

from calibration.errors import WrongInput
from calibration.homography import plane_map
from calibration.table import Table


@pytest.mark.parametrize(("off", "belongs"), [(5.7, True), (6.3, False)])
def test_a_pair_within_six_pixels_belongs_to_a_plane_map(off: float, belongs: bool) -> None:
    """64 pairs, one beside its place: believed, it draws the map a little; left out, the map is the others', exact to rounding."""
    source = np.stack(np.meshgrid(np.arange(8.0), np.arange(8.0)), axis=2).reshape(-1, 2) * 100.0
    target = 1.5 * source + [30.0, 20.0]
    spoilt = target.copy()
    spoilt[27, 0] += off
    found = plane_map(source, spoilt)
    assert found is not None
    met = np.column_stack([source, np.ones(64)]) @ found.T
    left = float(np.linalg.norm(met[:, :2] / met[:, 2:] - target, axis=1).max())
    assert (left > 0.02) == belongs
    assert belongs or left < 1e-4


@pytest.mark.parametrize(("px", "is_one"), [(15, False), (16, True)])
def test_a_picture_has_sixteen_pixels_a_side(px: int, is_one: bool) -> None:
    """Fewer hold no spot of light."""
    table = Table.demonstration((1920, 1080))
    if is_one:
        assert replace(table, size=(1920, px)).size == (1920, px)
    else:
        with pytest.raises(WrongInput, match="pixels is none"):
            replace(table, size=(1920, px))
