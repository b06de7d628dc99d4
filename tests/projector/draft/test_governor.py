"""Where a thick arm wants more armhole than the bust gives: ease grows before the draft is refused, and never past what still fits."""

import re
from functools import lru_cache
from itertools import pairwise
from typing import Any

import pytest

from calibration.errors import TableError
from projector.api import pieces_for
from projector.body.balance import BUST_EASE_MM
from projector.draft.style import Ease
from tests.published.pieces import sewn_mm

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


def armhole_mm(made: dict[str, Any]) -> float:
    """Round one armhole of the dress, mm."""
    return sum(sewn_mm(piece, "armhole") for piece in made["pieces"] if piece["of"] == "main" and piece["part"] != "sleeve")


def test_an_armhole_does_not_gape_round_a_thin_arm() -> None:
    """More than 190 mm over the arm the underarm is raised (ours, no source): a bust of 82 cm has 197 mm over an arm of 18. By as little
    as does: a step of the underarm is worth 9 mm at most."""
    thin = 180.0
    assert thin + 190.0 - 9.0 < armhole_mm(pieces_for({**BODY, "upper_arm": thin}, {"sleeve": "none"})) < thin + 190.0


def test_a_sleeve_without_ease_in_its_head_gets_the_more_armhole() -> None:
    """Armhole and cap ease together go 115 mm round the arm, so that the head has height (ours, no source); a step of the
    underarm is worth 9 mm at most."""
    over = [
        armhole_mm(pieces_for({**BODY, "upper_arm": arm}, {"sleeve": "long", "ease": {"cap_mm": 0}})) - arm for arm in (280.0, 300.0, 310.0)
    ]
    assert min(over) >= 115.0
    assert max(over) < 115.0 + 9.0


BROAD = {**BODY, "bust": 800.0, "shoulder_width": 400.0, "across_back": 375.0, "nape_waist": 400.0}
HELD_MOST_MM = 24.0
"""A bust line further below her own no longer sits (ours, no source); the underarm goes down in steps of 4 mm, so 2 over it may be told."""


def test_the_bust_line_gives_way_a_little_before_an_arm_is_refused() -> None:
    lower = []
    for arm in (340.0, 344.0, 348.0):
        made = pieces_for({**BROAD, "upper_arm": arm}, {"sleeve": "none"})
        found = re.search(r"bust line lies (\d+) mm lower", " ".join(made["warnings"]))
        assert found, arm
        lower.append(float(found[1]))
    assert lower == sorted(lower)
    assert lower[-1] <= HELD_MOST_MM + 2.0
    with pytest.raises(TableError, match="No armhole can be made"):
        pieces_for({**BROAD, "upper_arm": 353.0}, {"sleeve": "none"})


def test_the_thickest_arm_is_the_one_told() -> None:
    """Section 3.5: refused under arm + 72, with the underarm down by as much as the bust line gives way: 24, in steps of 4; the bust line
    lies 4 below the underarm."""
    over, lower, refused = [], [], 0
    for arm in range(344, 358, 2):
        try:
            made = pieces_for({**BROAD, "upper_arm": float(arm)}, {"sleeve": "none"})
        except TableError:
            refused += 1
            continue
        over.append(armhole_mm(made) - arm)
        found = re.search(r"bust line lies (\d+) mm lower", " ".join(made["warnings"]))
        lower.append(float(found[1]) if found else 0.0)
    assert refused
    assert 72.0 - 0.1 <= min(over) < 76.0
    assert HELD_MOST_MM < max(lower) <= HELD_MOST_MM + 4.0


def test_ease_is_given_up_to_122() -> None:
    """In steps of 8 from the style's own: standard 45 reaches 117, a hundred and twenty one with 49 (ours: over 125 it no longer fits)."""
    most = 0.0
    for ease in (45.0, 49.0):
        for arm in (350.0, 360.0):
            try:
                made = pieces_for({**BODY, "upper_arm": arm}, {"sleeve": "none", "ease": {"bust_mm": ease}})
            except TableError:
                continue
            most = max(most, made["finished"]["bust_mm"] - BODY["bust"])
    assert 114.0 < most <= 122.3


TIGHT = {**BODY, "bust": 940.0, "waist": 560.0, "hip": 960.0, "neck_bust": 270.0, "bust_span": 190.0, "upper_arm": 260.0}


def room_under_bust(underbust: float) -> tuple[float, str]:
    """Line under the bust over the body there, mm, and what is said."""
    made = pieces_for({**TIGHT, "underbust": underbust}, {"skirt": "none", "lining": False, "facings": False})
    return made["finished"]["underbust_mm"] - underbust, " ".join(made["warnings"])


def test_room_under_the_bust() -> None:
    """Section 3.5: under 14 the back dart starts lower, then the bust gets 6 more (45 to 51). A mm of body is a mm of room, less what the
    dart follows."""
    rooms = [room_under_bust(float(mm))[0] for mm in range(866, 876)]
    assert 14.0 - 0.1 <= min(rooms) < 15.0
    assert max(rooms) > 40.0  # the dart lowered
    eased = [room_under_bust(float(mm)) for mm in range(907, 913)]
    assert 14.0 - 0.1 <= min(room for room, _ in eased) < 15.0
    assert any("Bust ease is 51 mm instead of 45 mm" in said for _, said in eased)
