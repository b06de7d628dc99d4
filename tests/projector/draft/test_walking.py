"""Walking room: the own rule of walking.py, checked against its own figures and its logic."""

import numpy as np
import pytest

from projector.draft.walking import VentPlan, need_mm, step_mm, vent_plan

BODY = {"stature": 1628.0, "hip": 1021.0, "waist_floor": 1010.0}


def test_step_is_the_need_solved_for_the_step() -> None:
    for z in (100.0, 300.0, 500.0):
        step = step_mm(z, need_mm(z, BODY["stature"], BODY["hip"]), BODY["stature"], BODY["hip"])
        assert step == pytest.approx(0.8 * 0.41 * BODY["stature"])


def test_need_falls_with_height_to_the_thighs_alone() -> None:
    """At the hip joint no stride is left, only the legs: 0.62 hip."""
    needs = [need_mm(z, 1628, 1021) for z in (50, 200, 400, 600, 800)]
    assert needs == sorted(needs, reverse=True)
    assert need_mm(0.53 * 1628, 1628, 1021) == pytest.approx(0.62 * 1021)


def plan_of(girth: float, hip_y: float, hem_y: float) -> VentPlan:
    """Vent of a straight skirt of that girth."""
    return vent_plan(BODY, lambda ys: np.full_like(ys, girth), hip_y, hem_y, girth / 2)


@pytest.mark.parametrize(("share", "legs"), [(0.07, 0.24), (0.285, 0.31), (0.5, 0.38), (0.95, 0.62)])
def test_need_by_hand(share: float, legs: float) -> None:
    """Rule 3.9: twice 0.8 of a step of 0.41 stature, less with height up to the hip joint at 0.53 stature, and the legs."""
    stride = 2 * 0.8 * 0.41 * 1628 * (1 - share)
    assert need_mm(share * 0.53 * 1628, 1628, 1021) == pytest.approx(stride + legs * 1021, abs=0.01)


def test_a_vent_is_at_least_100_and_10_higher_than_what_binds() -> None:
    """A shorter one cannot be sewn neatly (common practice, no source); 5 mm is the step in which the skirt is looked at."""
    hem_y, hip_y = 700.0, 200.0
    wanted = need_mm(BODY["waist_floor"] - hem_y, BODY["stature"], BODY["hip"])
    assert plan_of(wanted - 25, hip_y, hem_y).from_hem_mm == 100.0
    assert plan_of(wanted - 2, hip_y, hem_y).from_hem_mm == 110.0  # it binds at the hem alone
    at_200 = need_mm(BODY["waist_floor"] - (hem_y - 200), BODY["stature"], BODY["hip"])
    for girth in (at_200 - 20, at_200):
        binds = next(y for y in np.arange(hip_y, hem_y, 5.0) if need_mm(BODY["waist_floor"] - y, BODY["stature"], BODY["hip"]) > girth)
        assert plan_of(girth, hip_y, hem_y).from_hem_mm == pytest.approx(hem_y - binds + 10, abs=0.01)


def test_vent_reaches_above_the_last_place_that_binds() -> None:
    hem_y, hip_y, girth = 980.0, 180.0, 1000.0
    plan = vent_plan(BODY, lambda ys: np.full_like(ys, girth), hip_y, hem_y, girth / 2)
    top = hem_y - plan.from_hem_mm
    assert need_mm(BODY["waist_floor"] - top, BODY["stature"], BODY["hip"]) <= girth
    assert need_mm(BODY["waist_floor"] - (top + 20), BODY["stature"], BODY["hip"]) > girth
    assert plan.step_without_mm < plan.step_wanted_mm
    assert plan.step_with_mm == plan.step_wanted_mm


def test_a_vent_held_under_the_hip_says_what_it_lets_her_step() -> None:
    """A girth that binds up to the hip itself: the vent ends 20 mm under it and lets less than a full step."""
    plan = vent_plan(BODY, lambda ys: np.full_like(ys, 640.0), 180.0, 980.0, 320.0)
    assert plan.from_hem_mm == 980 - 180 - 20
    assert plan.step_without_mm <= plan.step_with_mm < plan.step_wanted_mm


def test_a_wide_skirt_has_no_vent() -> None:
    plan = vent_plan(BODY, lambda ys: np.full_like(ys, 2000.0), 180.0, 980.0, 1000.0)
    assert plan.from_hem_mm == 0
