"""Measures completed and checked: what is asked again, what stops, what is worked out. The drafting specification's rules."""

import pytest

from calibration.errors import WrongInput
from calibration.units import Unit, length_text
from projector.body.body import Finding
from projector.body.complete import complete_measures
from projector.body.kinds import KINDS

FULL = {
    "bust": 920.0, "underbust": 785.0, "waist": 740.0, "hip": 1000.0, "nape_waist": 405.0, "stature": 1680.0, "neck": 365.0,
    "shoulder_width": 390.0, "across_back": 365.0, "neck_bust": 270.0, "bust_span": 190.0, "upper_arm": 295.0, "wrist": 160.0,
    "arm_length": 560.0, "waist_hip": 200.0, "waist_knee": 580.0, "waist_floor": 1040.0,
}  # fmt: skip


def keys(found: tuple[Finding, ...]) -> set[str]:
    return {each.key for each in found}


def test_a_consistent_card_passes_without_a_word() -> None:
    body = complete_measures(FULL, "waist", needs_sleeve=True)
    assert not body.stops
    assert not body.doubts
    assert all(body.measures[key].origin == "given" for key in FULL)


def test_required_alone_are_completed_and_marked() -> None:
    body = complete_measures({"bust": 864.0, "waist": 686.0, "hip": 952.0, "half_length": 413.0})
    assert not body.stops
    worked_out = {key for key, each in body.measures.items() if each.origin == "stand_in"}
    assert {"underbust", "neck", "shoulder_width", "bust_span", "stature", "nape_waist"} <= worked_out
    # stand-in rules as the specification prints them: 0.933 B - 84 and B/5 + 182, mm
    assert body.mm("underbust") == pytest.approx(0.933 * 864 - 84, abs=0.5)
    assert body.mm("neck") == pytest.approx(864 / 5 + 182, abs=0.5)


def test_lengths_from_the_shoulder_run_over_the_front_half_length() -> None:
    body = complete_measures(
        {**FULL, "front_waist": 430.0, "shoulder_hip": 640.0, "shoulder_knee": 1005.0} | {"waist_hip": 210.0}, "shoulder"
    )
    assert body.mm("waist_hip") == 210.0
    without = {key: mm for key, mm in FULL.items() if key not in ("waist_hip", "waist_knee")}
    body = complete_measures({**without, "front_waist": 460.0, "shoulder_hip": 660.0, "shoulder_knee": 1040.0}, "shoulder")
    assert body.mm("waist_hip") == pytest.approx(200.0)
    assert body.mm("waist_knee") == pytest.approx(580.0)


@pytest.mark.parametrize("missing", ["bust", "waist", "hip", "upper_arm", "wrist"])
def test_what_a_sleeved_dress_needs_is_asked_for(missing: str) -> None:
    body = complete_measures({key: mm for key, mm in FULL.items() if key != missing}, "waist", needs_sleeve=True)
    assert missing in keys(body.stops)


def test_hip_is_never_guessed_and_a_skirt_needs_no_bust() -> None:
    skirt = {key: FULL[key] for key in ("waist", "hip", "waist_hip", "waist_knee")}
    assert not complete_measures(skirt, "waist", needs_bodice=False).stops
    assert "bust" in keys(complete_measures(skirt, "waist").stops)


def test_one_value_in_inches_among_centimetres_is_named_with_its_proposed_value() -> None:
    body = complete_measures({**FULL, "hip": 390.0}, "waist")  # 39 in written beside centimetres
    stop = next(stop for stop in body.stops if stop.key == "hip")
    assert "39 cm: did you mean 39 in?" in str(stop)
    assert "99.1 cm" in str(stop)


def test_a_whole_card_in_the_wrong_unit_is_one_stop_that_proposes_the_unit() -> None:
    body = complete_measures({key: mm / 2.54 for key, mm in FULL.items()}, "waist")
    assert [stop.key for stop in body.stops if stop.key == "unit"] == ["unit"]


@pytest.mark.parametrize(
    ("changed", "key", "kind"),
    [
        ({"hip": 730.0, "waist": 740.0}, "hip", "doubt"),  # hip under waist: real on 1 in 100, asked and drafted
        ({"underbust": 905.0}, "underbust", "stop"),  # cup of 15 mm
        ({"underbust": 870.0}, "underbust", "doubt"),  # cup of 50 mm
        ({"nape_waist": 318.0}, "nape_waist", "stop"),  # 0.189 of stature
        ({"nape_waist": 340.0}, "nape_waist", "doubt"),  # 0.202 of stature
        ({"upper_arm": 420.0}, "upper_arm", "stop"),  # 0.457 of bust: no armhole takes it
        ({"upper_arm": 340.0}, "upper_arm", "doubt"),  # 0.370
        ({"waist_hip": 245.0}, "waist_hip", "doubt"),  # 0.146 of stature
        ({"neck": 430.0}, "neck", "doubt"),  # 0.467 of bust
        ({"neck": 295.0}, "neck", "doubt"),  # 0.321
        ({"underbust": 560.0}, "underbust", "stop"),  # cup of 360 mm
        ({"underbust": 660.0}, "underbust", "doubt"),  # cup of 260 mm
        ({"waist": 925.0}, "waist", "doubt"),  # over the bust: the sides flare
        ({"upper_arm": 230.0}, "upper_arm", "doubt"),  # 0.25 of bust
        ({"shoulder_width": 290.0}, "shoulder_width", "doubt"),  # 0.315 of bust
        ({"shoulder_width": 455.0}, "shoulder_width", "doubt"),  # 0.495
        ({"across_back": 470.0}, "across_back", "doubt"),  # 1.205 of the shoulder
        ({"across_back": 310.0}, "across_back", "doubt"),  # 0.795
        ({"waist_hip": 130.0}, "waist_hip", "doubt"),  # 0.077 of stature
        ({"arm_length": 500.0}, "arm_length", "doubt"),  # 0.298
        ({"waist_knee": 640.0}, "waist_knee", "doubt"),  # 0.381
        ({"waist_floor": 960.0}, "waist_floor", "doubt"),  # 0.571
        ({"nape_waist": 485.0}, "nape_waist", "doubt"),  # 0.289
        ({"nape_waist": 525.0}, "nape_waist", "stop"),  # past the longest back
        ({"nape_waist": 455.0, "waist": 850.0}, "waist", "doubt"),  # long and large: the navel?
        ({"front_waist": 485.0}, "front_waist", "doubt"),  # bust dart by lengths and by cup 6 to 10 degrees apart
        ({"front_waist": 530.0}, "front_waist", "stop"),  # over 10 degrees
        ({"neck_bust": 215.0}, "neck_bust", "doubt"),  # bust point above the armhole line
        ({"shoulder_width": 195.0}, "shoulder_width", "stop"),  # one side only: doubled it fits
        ({"bust": 460.0}, "bust", "stop"),  # half round
    ],
)
def test_each_rule_speaks_at_its_limit(changed: dict[str, float], key: str, kind: str) -> None:
    body = complete_measures({**FULL, **changed}, "waist")
    said = body.stops if kind == "stop" else body.doubts
    assert key in keys(said), [str(each) for each in (*body.stops, *body.doubts)]
    assert kind == "stop" or not body.stops


@pytest.mark.parametrize(("key", "half"), [("shoulder_width", 190.5), ("across_back", 184.15), ("hip", 500.0), ("bust", 463.55)])
def test_a_half_taken_for_the_whole_is_proposed_doubled(key: str, half: float) -> None:
    """7 1/2 in of a shoulder is one side, never `19.05 cm: did you mean 19.05 in?`, which no tape reads."""
    stop = next(stop for stop in complete_measures({**FULL, key: half}, "waist", shown="in").stops if stop.key == key)
    assert f"Doubled, {length_text(2 * half, 'in')}, it would fit" in str(stop)
    assert "did you mean" not in str(stop)


@pytest.mark.parametrize(("shown", "told"), [("in", "0 in"), ("cm", "0.0 cm"), ("mm", "0 mm")])
def test_no_length_is_told_in_her_unit(shown: Unit, told: str) -> None:
    with pytest.raises(WrongInput) as wrong:
        complete_measures({**FULL, "bust": 0.0}, "waist", shown=shown)
    assert f"cannot be {told}. A measure is a length in {shown}, more than 0." in str(wrong.value)


def test_every_measure_says_how_it_is_taken() -> None:
    assert [kind.key for kind in KINDS if not 8 <= len(kind.how) <= 90 or not kind.trade] == []


def test_the_same_tape_twice_is_asked_again_beyond_a_careful_takers_error() -> None:
    """9 mm for girths, 5 mm for lengths: ISO 20685 allowable errors as in Anthropometry, Apparel Sizing and Design, p. 41."""
    assert not complete_measures(FULL, "waist", again_mm={"hip": 1008.9}).doubts
    assert "hip" in keys(complete_measures(FULL, "waist", again_mm={"hip": 1009.5}).doubts)
    assert complete_measures(FULL, "waist", again_mm={"hip": 1006.0}).mm("hip") == 1003.0
    assert "nape_waist" in keys(complete_measures(FULL, "waist", again_mm={"nape_waist": 410.5}).doubts)


@pytest.mark.parametrize("bad", [0.0, -5.0, float("nan"), float("inf"), True])
def test_what_is_no_length_is_wrong_input(bad: float) -> None:
    with pytest.raises(WrongInput):
        complete_measures({**FULL, "hip": bad})


def test_unknown_key_is_answered_with_the_nearest() -> None:
    with pytest.raises(WrongInput) as told:
        complete_measures({**FULL, "round_hips": 1000.0})
    assert told.value.next_step
    with pytest.raises(WrongInput) as told:
        complete_measures({**FULL, "waste": 740.0})
    assert "waist" in told.value.next_step
