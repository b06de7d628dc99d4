"""What other programs hand over: numbers of any kind, shop lengths, and what is no card at all."""

from typing import Any

import numpy as np
import pytest

from calibration.errors import WrongInput
from projector.api import pieces_for

CARD = {"bust": 920.0, "waist": 740.0, "hip": 980.0, "stature": 1650.0}
SHOP = {"half_length": 406.4, "shoulder_hip": 635.0, "shoulder_knee": 965.2, "full_length": 1422.4}
"""Half length 16, hip line 25, knee 38, full length 56 in: the drafting specification's own card."""
NUMBERED: dict[Any, Any] = {**CARD, 3: 900.0}
NO_CARDS: list[Any] = [None, [920.0], {**CARD, "hip": np.array([980.0])}, {**CARD, "hip": None}, {**CARD, "hip": "98"}, NUMBERED]
SKIRT: dict[str, Any] = {"bodice": False, "lining": False}


@pytest.mark.parametrize("kind", [np.float32, np.float64, np.int64, int])
def test_numbers_of_any_kind_are_measures(kind: type) -> None:
    assert pieces_for({key: kind(mm) for key, mm in CARD.items()}, SKIRT)["measures"]["waist"] == 740.0


@pytest.mark.parametrize("given", NO_CARDS)
def test_what_is_no_card_is_refused_in_words(given: Any) -> None:
    with pytest.raises(WrongInput):
        pieces_for(given, SKIRT)


def test_lengths_of_a_shop_are_read_from_the_shoulder() -> None:
    told = pieces_for({"bust": 920.0, "waist": 740.0, "hip": 980.0, **SHOP}, {})
    assert told["measures"]["waist_floor"] == pytest.approx(1422.4 - 406.4)
    assert not [words for words in told["warnings"] if "measure" in words.lower()]


@pytest.mark.parametrize(("full", "floor"), [(1016.0, 1016.0), (1422.4, 1016.0)])
def test_a_full_length_alone_tells_where_it_began(full: float, floor: float) -> None:
    told = pieces_for({"bust": 920.0, "waist": 740.0, "hip": 980.0, "half_length": 406.4, "full_length": full}, SKIRT)
    assert told["measures"]["waist_floor"] == pytest.approx(floor)
