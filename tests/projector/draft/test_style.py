"""Style keys and values: the contract's table, nearest names, combinations that cannot be sewn."""

from typing import Any

import pytest

from calibration.errors import WrongInput
from projector.draft.style import HELP, KEYS, Ease, Style, style_from_mapping


def test_nothing_chosen_is_the_default_style() -> None:
    style = style_from_mapping({})
    assert style == Style()
    told = {key: getattr(style, key) for key in ("neck", "princess", "sleeve", "skirt", "length", "bodice", "lining", "facings", "zip")}
    assert told == {
        "neck": "round", "princess": "armhole", "sleeve": "none", "skirt": "straight", "length": "knee",
        "bodice": True, "lining": True, "facings": True, "zip": "back",
    }  # fmt: skip
    assert style.eases == Ease(45, 22, 50, 55, 25)
    assert set(HELP) == set(KEYS)


@pytest.mark.parametrize(
    ("given", "nearest"),
    [
        ({"nek": "v"}, "'neck'"),
        ({"sleeve": "lang"}, "long"),
        ({"skirt": "a-line"}, "a_line"),
        ({"neck_drop_mm": 161}, "160"),
        ({"neck_widen_mm": -1}, "0"),
        ({"circle_turn": 0.8}, "0.75"),
        ({"peplum_mm": 60}, "120"),
        ({"length": "nee"}, "knee"),
        ({"length": 40}, "300"),
        ({"ease": {"bust": 40}}, "bust_mm"),
        ({"ease": {"hip_mm": 5}}, "25"),
        ({"ease": "tight"}, "close"),
        ({"lining": "yes"}, "true"),
        ({"neck_drop_mm": float("nan")}, "40"),
        ({"skirt": None}, "none"),
    ],
)
def test_unknown_keys_and_values_name_the_nearest(given: dict[str, Any], nearest: str) -> None:
    with pytest.raises(WrongInput) as told:
        style_from_mapping(given)
    assert nearest in str(told.value)


@pytest.mark.parametrize(
    "given",
    [
        {"bodice": False, "skirt": "none"},
        {"bodice": False, "sleeve": "long"},
        {"bodice": False, "peplum_mm": 150},
        {"inset": 80},
        {"bodice": False, "neck": "v", "inset": 80},
        {"bodice": False, "sleeve": "off_shoulder"},
        {"sleeve": "off_shoulder", "neck": "v"},
        {"sleeve": "off_shoulder", "neck_drop_mm": 30},
        {"sleeve": "off_shoulder", "back_neck_mm": 30},
        {"sleeve": "off_shoulder", "neck": "v", "inset": 80},
        {"sleeve": "off_shoulder", "princess": "shoulder"},
    ],
)
def test_what_cannot_be_sewn_is_refused_with_what_can(given: dict[str, Any]) -> None:
    with pytest.raises(WrongInput) as told:
        style_from_mapping(given)
    assert "Nearest that can" in told.value.next_step


def test_every_choice_survives_being_written_and_read() -> None:
    given = {
        "neck": "v", "neck_widen_mm": 20, "neck_drop_mm": 90, "inset": 100, "sleeve": "elbow", "skirt": "a_line", "flare_mm": 120,
        "length": 700, "zip": "side", "ease": {"bust_mm": 30}, "fitted": True,
    }  # fmt: skip
    style = style_from_mapping(given)
    assert style_from_mapping(style.as_mapping()) == style
    assert style.eases.bust_mm == 30
    assert style.eases.waist_mm == 22


def test_a_boat_neck_is_wide_unless_told_otherwise() -> None:
    assert style_from_mapping({"neck": "boat"}).neck_widen_mm == 65
    assert style_from_mapping({"neck": "boat", "neck_widen_mm": 72}).neck_widen_mm == 72
