"""Where a thick arm wants more armhole than the bust gives: ease grows before the draft is refused, and never past what still fits."""

from functools import lru_cache
from itertools import pairwise

import pytest

from calibration.errors import TableError
from projector.api import pieces_for
from projector.body.balance import BUST_EASE_MM
from projector.draft.style import Ease

BODY = {
    "bust": 820.0, "underbust": 710.0, "waist": 660.0, "hip": 900.0, "nape_waist": 400.0, "stature": 1650.0, "neck": 350.0,
    "shoulder_width": 380.0, "across_back": 350.0, "bust_span": 175.0, "wrist": 160.0, "arm_length": 560.0,
}  # fmt: skip
FITTED_MOST_MM = 125.0
"""A bodice with more ease than this no longer fits closely (common practice, no source)."""
GROWN_LEAST_MM = 105.0
"""Rather than refuse a body, most of that room is used."""
ARMS_MM = range(300, 370, 10)
"""From an arm that needs nothing to the thickest that this bust takes (0.45 of it)."""


@lru_cache
def eases(sleeve: str) -> list[float]:
    """Finished bust over the measured one for each arm, mm."""
    found = []
    for arm in ARMS_MM:
        made = pieces_for({**BODY, "upper_arm": float(arm)}, {"sleeve": sleeve})
        found.append(made["finished"]["bust_mm"] - BODY["bust"])
    return found


@pytest.mark.parametrize("sleeve", ["long", "none"])
def test_ease_grows_with_the_arm_and_stops_where_it_no_longer_fits(sleeve: str) -> None:
    found = eases(sleeve)
    assert abs(found[0] - Ease().bust_mm) < 1.0, "a slim arm gets the style's own ease"
    assert all(later >= one - 1.0 for one, later in pairwise(found)), "more arm, never less room"
    assert max(found) <= FITTED_MOST_MM
    assert max(found) >= GROWN_LEAST_MM


def test_an_arm_no_bodice_of_this_bust_can_take_is_refused() -> None:
    with pytest.raises(TableError, match="too thick"):
        pieces_for({**BODY, "upper_arm": 375.0}, {"sleeve": "long"})


def test_measures_and_draft_reckon_with_one_ease() -> None:
    """The half length that is worked out from the other hangs on the ease of the bodice that will be drafted."""
    assert Ease().bust_mm == BUST_EASE_MM
