"""The product's steps cut on virtual cloth: styles, folds, bodies. A lay that does not fit its cloth is the lay's matter: wider cloth."""

from typing import Any

import pytest

from projector.lay.cloth import Light
from projector.lay.errors import ClothTooSmall, FoldRefused
from projector.lay.lay import PLANS, Plan
from tests.cutting.product import BODIES, as_files, garment, lay
from tests.cutting.simulator import prove

SHORT: list[tuple[str, dict[str, Any], Plan]] = [
    ("middle", {}, "lengthwise"),
    ("full", {"sleeve": "long", "neck": "v", "neck_drop_mm": 60}, "off_centre"),
    ("slim", {"skirt": "a_line", "flare_mm": 150, "length": "full", "lining": False}, "quarters_across"),
    ("pear", {"skirt": "circle", "circle_turn": 0.5, "lining": False}, "crossed_four"),
    ("middle", {"fitted": True, "princess": "none", "lining": False}, "crosswise"),
    ("tall", {"lining": False}, "quarters_along"),
    ("big cup", {"lining": False, "sleeve": "short", "zip": "side"}, "open"),
    ("slim", {"sleeve": "off_shoulder", "lining": False}, "quarters_along"),
    ("pear", {"bodice": False, "lining": False}, "lengthwise"),  # a waistband whose lap is cut back at its end: a stepped block
]

STYLES: dict[str, dict[str, Any]] = {
    "default": {},
    "after a fitting": {"fitted": True},
    "long sleeve": {"sleeve": "long"},
    "short sleeve, side zip": {"sleeve": "short", "zip": "side"},
    "circle": {"skirt": "circle"},
    "half circle skirt alone": {"skirt": "circle", "circle_turn": 0.5, "bodice": False},
    "full a-line": {"skirt": "a_line", "flare_mm": 150, "length": "full"},
    "darts only, deep v": {"princess": "none", "neck": "v", "neck_drop_mm": 60},
    "shoulder princess, elbow": {"princess": "shoulder", "sleeve": "elbow"},
    "square neck": {"neck": "square", "neck_drop_mm": 40},
    "boat, no facings": {"neck": "boat", "neck_widen_mm": 60, "facings": False},
    "full tapered": {"skirt": "tapered", "length": "full"},
    "peplum": {"peplum_mm": 150, "skirt": "none"},
    "puff": {"sleeve": "puff"},
    "flared sleeve": {"sleeve": "flared"},
    "flutter": {"sleeve": "flutter"},
    "off-shoulder band": {"sleeve": "off_shoulder"},
    "inset": {"inset": 120, "neck": "v", "neck_drop_mm": 100},
    "skirt alone": {"bodice": False},
    "plain": {"lining": False, "facings": False},
}


MAY_BE_REFUSED: set[Plan] = {"quarters_along", "quarters_across", "crossed_four"}
"""A wide or unpaired piece has no place in four layers on any cloth; on the other folds one of three bodies is always cut."""


def _proved(body: str, style: dict[str, Any], plan: Plan, width_mm: float = 1900.0, light: Light | None = None) -> None:
    made = garment(body, style)
    faults = prove(*as_files(made, lay(made, plan, width_mm, light)))
    assert faults == [], [str(fault) for fault in faults[:10]]


@pytest.mark.parametrize(("body", "style", "plan"), SHORT, ids=[f"{body}, {plan}" for body, _, plan in SHORT])
def test_every_fold_is_cut_without_loss(body: str, style: dict[str, Any], plan: Plan) -> None:
    _proved(body, style, plan)


@pytest.mark.parametrize("plan", ["quarters_along", "crossed_four"])
def test_a_light_smaller_than_the_pieces(plan: Plan) -> None:
    _proved("slim", {"lining": False}, plan, 1900.0, Light(500.0, 420.0))


def test_the_lines_of_a_first_dress_have_room() -> None:
    """A circle's waist is cut 10 mm outside its cut line: no other piece lies there (gap 4 mm)."""
    _proved("middle", {"skirt": "circle", "lining": False}, "crosswise", 1500.0)


@pytest.mark.long
@pytest.mark.timeout(600)
@pytest.mark.parametrize("plan", PLANS)
@pytest.mark.parametrize("style", STYLES)
def test_every_style_and_fold_on_eight_bodies(style: str, plan: Plan) -> None:
    """One body with every style and fold whole; the other bodies in turn, two to a pair of style and fold."""
    place = list(STYLES).index(style) + 3 * PLANS.index(plan)
    others = [body for body in BODIES if body != "middle"]
    proved, refused = 0, []
    for body in ("middle", others[place % 7], others[(place + 3) % 7]):
        for width_mm in (1500.0, 1900.0, 2600.0):
            try:
                _proved(body, STYLES[style], plan, width_mm)
            except (ClothTooSmall, FoldRefused) as cause:
                refused.append(f"{body}, {width_mm:g}: {cause}")
                continue
            proved += 1
            break
    assert proved or plan in MAY_BE_REFUSED, refused
