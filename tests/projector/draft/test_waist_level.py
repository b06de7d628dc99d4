"""Where the waist lies: at the back as measured, at the side and in front the trade's little lower (raised back waist)."""

import pytest

from projector.api import pieces_for
from tests.projector.draft.test_governor import BODY

LOWER_MM = 10.0
"""3/8 to 1/2 in (common practice, no source; amount ours)."""


@pytest.mark.parametrize("style", [{}, {"sleeve": "long"}, {"princess": "none"}, {"bodice": True, "skirt": "none"}])
def test_the_back_waist_is_her_own_and_the_side_a_little_lower(style: dict[str, object]) -> None:
    made = pieces_for({**BODY, "upper_arm": 290.0}, style)
    back = next(piece for piece in made["pieces"] if piece["name"] == "back")
    waist = sorted(point for edge in back["edges"] if edge["kind"] == "waist" for point in (edge["points"][0], edge["points"][-1]))
    (_, centre_y), (_, side_y) = waist[0], waist[-1]
    assert centre_y == pytest.approx(BODY["nape_waist"], abs=0.1)
    assert side_y - centre_y == pytest.approx(LOWER_MM, abs=0.5)
