"""One round of the governor: what it changes next, on a bodice made up of the few figures it looks at; just short and just beyond.

Source: the drafting specification (3.5), own derivation, no source.
"""

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from projector.draft import bodice as governor
from projector.draft.frame import Tuning
from projector.draft.panel import DraftRefused
from projector.draft.style import style_from_mapping

MEASURES = {"upper_arm": 300.0, "nape_waist": 400.0, "underbust": 780.0, "waist": 700.0}
BARE_ARMED = style_from_mapping({"lining": False, "facings": False})
FIRST, MOST = Tuning(), Tuning(bust_mm=72.0, is_bust_held=True)
"""45 and 72: one more step of 8 would pass 122."""


def next_of(
    monkeypatch: pytest.MonkeyPatch, over_arm: float = 80.0, underarm: float = 210.0, wanted: float = 260.0, room: float = 20.0,
    tuning: Tuning = FIRST, darts: tuple[float, ...] = (),
) -> Tuning | None:  # fmt: skip
    """What is changed. `over_arm`: armhole over the arm; `underarm`, `wanted`: its level and the bust line's; `room`: under the bust."""
    monkeypatch.setattr(governor, "underbust_girth", lambda _: MEASURES["underbust"] + room)
    made: Any = SimpleNamespace(
        tuning=tuning, frame=SimpleNamespace(underarm_y=underarm, bust_y_wanted=wanted), armhole_mm=(150.0, 150.0 + over_arm),
        back=SimpleNamespace(waist=SimpleNamespace(darts=darts)),
    )  # fmt: skip
    return governor._next_tuning(made, MEASURES, BARE_ARMED)


def test_a_bodice_that_fits_is_left_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    assert next_of(monkeypatch) is None


@pytest.mark.parametrize(
    ("over", "so_far", "underarm"), [(189.0, 0.0, None), (191.0, 0.0, -3.0), (191.0, -17.5, -20.5), (191.0, -18.5, None)]
)
def test_a_gaping_armhole_is_raised_by_3_down_to_18(
    monkeypatch: pytest.MonkeyPatch, over: float, so_far: float, underarm: float | None
) -> None:
    found = next_of(monkeypatch, over_arm=over, tuning=Tuning(underarm_mm=so_far))
    assert (found.underarm_mm if found else None) == underarm


@pytest.mark.parametrize(("underarm", "raised"), [(143.0, False), (145.0, True)])
def test_an_underarm_under_a_high_bust_line_is_raised_by_3_down_to_a_third(
    monkeypatch: pytest.MonkeyPatch, underarm: float, raised: bool
) -> None:
    """0.36 of the back length: 144."""
    found = next_of(monkeypatch, underarm=underarm, wanted=underarm - 5.0)
    assert (found.underarm_mm if found else 0.0) == (-3.0 if raised else 0.0)


@pytest.mark.parametrize(
    ("room", "tuning", "darts", "wanted"),
    [
        (13.5, Tuning(), (1.0,), Tuning(is_back_dart_low=True)),  # first the back dart starts lower
        (13.5, Tuning(), (), Tuning(bust_mm=6.0)),
        (14.5, Tuning(), (), None),
        (5.5, Tuning(bust_mm=74.0), (), None),  # no more ease, and close to it
    ],
)
def test_room_under_the_bust(
    monkeypatch: pytest.MonkeyPatch, room: float, tuning: Tuning, darts: tuple[float, ...], wanted: Tuning | None
) -> None:
    """14 wanted, 5 the least."""
    assert next_of(monkeypatch, room=room, tuning=tuning, darts=darts) == wanted


def test_no_room_under_the_bust_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(DraftRefused, match="line under the bust"):
        next_of(monkeypatch, room=4.5, tuning=Tuning(bust_mm=74.0))


@pytest.mark.parametrize(
    ("underarm", "bust", "wanted"),
    [
        (235.5, 300.0, Tuning(underarm_mm=4.0)),  # down to 0.60 of the back length, 240
        (236.5, 300.0, Tuning(bust_mm=8.0)),
        (194.5, 200.0, Tuning(underarm_mm=4.0)),  # to 1 over the bust line
        (195.5, 200.0, Tuning(bust_mm=8.0)),
    ],
)
def test_an_armhole_too_small_goes_down_by_4_then_gets_8_of_ease(
    monkeypatch: pytest.MonkeyPatch, underarm: float, bust: float, wanted: Tuning
) -> None:
    assert next_of(monkeypatch, over_arm=74.0, underarm=underarm, wanted=bust) == wanted


@pytest.mark.parametrize(
    ("underarm", "bust", "goes"), [(219.5, 200.0, True), (220.5, 200.0, False), (235.5, 217.0, True), (236.5, 217.0, False)]
)
def test_then_the_bust_line_gives_way_by_4(monkeypatch: pytest.MonkeyPatch, underarm: float, bust: float, goes: bool) -> None:
    """With all ease given: 24 under where it belongs, and not under 0.60 of the back length; then it is refused."""
    if goes:
        assert next_of(monkeypatch, over_arm=71.0, underarm=underarm, wanted=bust, tuning=MOST) == replace(MOST, underarm_mm=4.0)
    else:
        with pytest.raises(DraftRefused, match="No armhole"):
            next_of(monkeypatch, over_arm=71.0, underarm=underarm, wanted=bust, tuning=MOST)


@pytest.mark.parametrize(("deep", "is_told"), [(119.0, False), (121.0, True)])
def test_a_back_neck_over_120_deep_is_told_to_slip(deep: float, is_told: bool) -> None:
    style = style_from_mapping({"back_neck_mm": deep})
    made: Any = SimpleNamespace(tuning=Tuning(), frame=SimpleNamespace(bust_y_wanted=250.0, side_waist_y=415.0))
    assert any("tie across the shoulders" in words for words in governor._tuning_warnings(made, style)) == is_told
