"""What commands do, and what they must never do."""

from dataclasses import replace
from math import cos, hypot, radians, sin

import pytest

from calibration.errors import Refused, WrongInput
from projector.session.change import CHANGES, apply, with_stop, with_table
from projector.session.commands import DESKS, OFFERS, Command
from projector.session.snapshot import ClothAt, Snapshot
from tests.projector.made_up import snapshot, work

WORK = work()


def _after(start: Snapshot, *commands: Command | str) -> Snapshot:
    for command in commands:
        start = apply(start, WORK, command if isinstance(command, Command) else Command(command))
    return start


def test_a_bouncing_pedal_never_skips_a_cut() -> None:
    pressed = Command("done", {}, from_step=0)
    after = _after(snapshot(), pressed, pressed, pressed)
    assert (after.step, after.done) == (1, (0,))
    assert _after(after, Command("back", {}, 1), Command("back", {}, 1)).step == 0


def test_what_was_cut_is_a_fact() -> None:
    cut = _after(snapshot(), "done")
    seen_again = _after(cut, "back", "done", "back", "next", "back")
    assert seen_again.done == (0,)
    assert all(_after(cut, Command("go", {"step": index})).done == (0,) for index in range(4))


@pytest.mark.parametrize(
    "hidden",
    [
        lambda s: with_stop(s, "a display was pulled"),
        lambda s: replace(s, is_cloth_true=False),
        lambda s: _after(s, "allowances"),
    ],
)
def test_a_cut_is_not_marked_done_by_a_line_that_was_not_thrown(hidden: object) -> None:
    dark = hidden(snapshot())  # type: ignore[operator]
    with pytest.raises(Refused):
        apply(dark, WORK, Command("done"))
    assert _after(dark, "next").done == ()


def test_next_without_done_says_so() -> None:
    after = _after(snapshot(), "next")
    assert after.step == 1
    assert after.message is not None
    assert "not marked done" in after.message.what


@pytest.mark.parametrize("side", ["bottom", "right", "top", "left"])
def test_a_move_to_her_right_is_to_her_right(side: str) -> None:
    turn = {"bottom": 0, "right": 90, "top": 180, "left": 270}[side]
    start = _after(snapshot(), Command("worker_side", {"to": side}))
    after = _after(start, Command("move", {"dx_mm": 10.0, "dy_mm": 0.0}))
    assert after.cloth_at.x_mm - start.cloth_at.x_mm == pytest.approx(10 * cos(radians(turn)), abs=1e-9)
    assert after.cloth_at.y_mm - start.cloth_at.y_mm == pytest.approx(10 * sin(radians(turn)), abs=1e-9)


def test_turning_keeps_the_middle_of_the_light_on_its_cloth() -> None:
    start = snapshot()
    lit = start.table.lit if start.table else ()
    middle = (sum(x for x, _ in lit) / 4, sum(y for _, y in lit) / 4)
    assert start.cloth_at.turn_deg == 0.0
    under = (middle[0] - start.cloth_at.x_mm, middle[1] - start.cloth_at.y_mm)
    after = _after(start, Command("turn", {"deg": 90.0}), Command("turn", {"deg": 0.1}))
    assert after.cloth_at.table_from_cloth(under) == pytest.approx(middle, abs=1e-9)
    assert after.cloth_at.turn_deg == pytest.approx(90.1)


def test_two_points_put_the_lay_on_the_real_cloth() -> None:
    """The cloth really lies turned by 2 degrees and shifted; she moves both crosses onto it by keys, to the millimetre."""
    real = ClothAt(91.0, 48.0, 2.0)
    moving = _after(_after(snapshot(), "done"), "bumped")
    assert moving.align is not None
    assert moving.align.purpose == "recover"
    assert not moving.is_cloth_true
    for index in (0, 1):
        align = moving.align
        assert align is not None
        want, have = real.table_from_cloth(align.cloth[index]), align.table[index]
        moving = _after(moving, Command("move", {"dx_mm": want[0] - have[0], "dy_mm": want[1] - have[1]}), "fix")
    assert moving.is_cloth_true
    assert moving.mode == "steps"
    for point in ((95.0, 0.0), (445.0, 250.0), (1140.0, 0.0)):
        a, b = moving.cloth_at.table_from_cloth(point), real.table_from_cloth(point)
        assert hypot(a[0] - b[0], a[1] - b[1]) < 1e-6
    assert moving.message is None


def test_points_that_do_not_fit_the_lay_are_told() -> None:
    moving = _after(_after(snapshot(), "done"), "bumped", "fix", Command("move", {"dx_mm": 6.0, "dy_mm": -5.0}), "fix")
    assert moving.message is not None
    assert "mm" in moving.message.what


def test_pulling_along_and_back_leaves_the_cloth_where_it_was() -> None:
    start = _after(snapshot(), Command("turn", {"deg": 30.0}))
    pulled = _after(start, "next", "next")
    way = (pulled.cloth_at.x_mm - start.cloth_at.x_mm, pulled.cloth_at.y_mm - start.cloth_at.y_mm)
    assert way == pytest.approx((-600 * cos(radians(30)), -600 * sin(radians(30))))
    back = _after(pulled, "back").cloth_at
    assert (back.x_mm, back.y_mm) == pytest.approx((start.cloth_at.x_mm, start.cloth_at.y_mm))
    assert pulled.cloth_at == _after(start, Command("go", {"step": 3})).cloth_at


def test_stop_keeps_the_step_and_a_new_table_does_not_lift_it() -> None:
    stopped = with_stop(_after(snapshot(), "next"), "a display was pulled or changed")
    assert (stopped.state, stopped.step) == ("stop", 1)
    assert with_table(stopped, stopped.table).state == "stop"
    assert with_stop(stopped, "").state == "ready"


@pytest.mark.parametrize(
    ("name", "args"),
    [
        ("hop", {}), ("move", {"dx_mm": "far"}), ("move", {"dx_mm": float("nan")}), ("move", {"dx_mm": 1e9}), ("turn", {}),
        ("colour", {"to": "red"}), ("go", {"step": 99}), ("go", {"step": -1}), ("worker_side", {"to": "up"}), ("grid", {"on": 3}),
    ],
)  # fmt: skip
def test_nonsense_is_refused_and_changes_nothing(name: str, args: dict[str, float | str | bool]) -> None:
    with pytest.raises(WrongInput):
        apply(snapshot(), WORK, Command(name, args))


def test_every_offer_is_done_by_session_or_desk_and_numbers_grow_only_with_change() -> None:
    assert {offer.name for offer in OFFERS} == set(CHANGES) | set(DESKS)
    start = snapshot()
    once = _after(start, "grid")
    assert once.number == start.number + 1
    assert _after(once, Command("grid", {"on": True})).number == once.number


def test_other_cloth_has_its_own_place_and_cuts_of_one_are_not_cuts_of_the_other() -> None:
    """Steps 0 to 2 on one cloth (pulled along at 2), step 3 where another comes under the light."""
    two = replace(WORK, arrivals={0: ClothAt(60.0, 60.0), 3: ClothAt(200.0, 10.0, 90.0)})
    start = apply(snapshot(), two, Command("move", {"dx_mm": 7.0}))
    other = apply(start, two, Command("go", {"step": 3}))
    assert other.cloth_at == ClothAt(200.0, 10.0, 90.0)
    moved = apply(other, two, Command("move", {"dy_mm": 5.0}))
    back = apply(moved, two, Command("go", {"step": 2}))
    assert (back.cloth_at.x_mm, back.cloth_at.y_mm) == pytest.approx((67.0 - 600.0, 60.0))
    assert apply(back, two, Command("next")).cloth_at.y_mm == pytest.approx(15.0)
    cut = apply(start, two, Command("done"))
    assert apply(cut, two, Command("go", {"step": 3})).is_cloth_true
    returned = apply(apply(cut, two, Command("go", {"step": 3})), two, Command("back"))
    assert not returned.is_cloth_true, "cloth with cuts that comes back under the light is put right first"


def test_in_the_shadow_test_arrows_point_to_the_lamp_and_turning_chooses_the_hand() -> None:
    """From each side she may stand at; the cloth stays where it is."""
    arrows = {"top": (0.0, 1.0), "right": (1.0, 0.0), "bottom": (0.0, -1.0), "left": (-1.0, 0.0)}
    order = ("top", "right", "bottom", "left")  # clockwise, seen from the bottom
    for turns, stands in enumerate(("bottom", "left", "top", "right")):  # stepping clockwise round the table
        shown = apply(replace(snapshot(), worker_side=stands), WORK, Command("shadow"))  # type: ignore[arg-type]
        for name, (dx, dy) in arrows.items():
            found = apply(shown, WORK, Command("move", {"dx_mm": dx, "dy_mm": dy}))
            assert found.lens_side == order[(order.index(name) + turns) % 4], (stands, name)
            assert found.cloth_at == snapshot().cloth_at
        assert apply(shown, WORK, Command("turn", {"deg": 0.1})).cutting_hand == "left"
        assert apply(shown, WORK, Command("turn", {"deg": -0.1})).cutting_hand == "right"


@pytest.mark.parametrize("pressed", ["next", "done"])
@pytest.mark.parametrize(("shown", "after"), [("set_up", "frame"), ("shadow", "steps")])
def test_a_foot_switch_goes_on_from_what_is_shown_once_and_passes_no_step(pressed: str, shown: str, after: str) -> None:
    there = apply(snapshot(), WORK, Command(shown))
    left = apply(there, WORK, Command(pressed, from_step=there.step))
    assert (left.mode, left.step, left.done) == (after, there.step, there.done)
