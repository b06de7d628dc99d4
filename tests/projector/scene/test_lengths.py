"""Every length of what is thrown around and on the cloth, read back from the scene. mm on the table; ±1 mm is what she sees unless said."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import pytest

from calibration.units import Unit
from projector.scene.compose import Scenes
from projector.scene.primitives import Scene, Stroke
from projector.scene.view import PlainLight, lay_light, view_of
from projector.session.change import apply
from projector.session.commands import Command
from projector.session.snapshot import See, Snapshot, Work
from tests.projector.made_up import SPOTS, snapshot, table, work

WORK = work()
SCENES = Scenes.of(WORK)
INNER = view_of(table("ready"), 0.0, "bottom").inner


def scene_of(shown: Snapshot, state: str = "ready", of: Work = WORK) -> Scene:
    return Scenes.of(of).scene(shown, table(state)).laid()


def long(stroke: Stroke) -> float:
    return float(np.hypot(*(stroke.mm[-1] - stroke.mm[0])))


def near(strokes: Sequence[Stroke], at: tuple[float, float], far: float) -> list[Stroke]:
    return [one for one in strokes if (np.abs(one.mm - np.array(at)) <= far).all()]


def test_the_grid_is_of_fifty_millimetres() -> None:
    """As the contract says; exact to 0.01 mm, since she lays her tape on it."""
    lines = [one.mm for one in scene_of(replace(snapshot(), see=See(grid=True))).strokes if one.kind == "grid"]
    for axis in (0, 1):
        across = sorted({round(float(mm[0, axis]), 3) for mm in lines if np.ptp(mm[:, axis]) < 1e-6})
        assert len(across) > 10
        assert np.diff(across) == pytest.approx(50.0, abs=0.01)


def test_a_table_spot_s_cross_reaches_to_the_rim_of_its_label() -> None:
    """A label is 36 mm wide with its white rim: on it the cross is seen whole, beside it nothing is lit."""
    strokes = scene_of(snapshot()).strokes
    for spot in SPOTS:
        arms = [np.abs(one.mm - np.array(spot)).max() for one in near(strokes, spot, 25.0) if one.kind == "cross"]
        assert len(arms) == 4
        assert arms == pytest.approx([18.0] * 4, abs=0.5)


def test_the_step_s_number_keeps_its_own_height_from_the_light_s_edge() -> None:
    """24 mm high, 10 mm of dark above and 10 below what keeps 34 mm for the words: its foot 44 mm inside."""
    number = next(label for label in scene_of(snapshot()).labels if label.text == "1" and label.size_mm > 20.0)
    top = view_of(table("ready"), WORK.steps[0].height_mm, "bottom").inner[3]
    assert top - number.at[1] == pytest.approx(44.0, abs=1.0)


def test_help_is_written_as_high_as_the_step_s_words() -> None:
    """12 mm where there is room, never under the 10 mm of the contract."""
    helped = apply(snapshot(), WORK, Command("help"))
    sizes = [label.size_mm for label in SCENES.scene(helped, table("ready")).labels]
    assert min(sizes) >= 10.0
    assert np.median(sizes) == pytest.approx(12.0, abs=0.5)


def test_a_pin_mark_is_a_centimetre_across() -> None:
    """Two pins' heads (3 to 5 mm) wide: seen beside the pin once it sits."""
    bars = [one for one in scene_of(snapshot()).strokes if one.kind == "point" and len(one.mm) == 2]
    assert len(bars) == 2
    assert [long(one) for one in bars] == pytest.approx([10.0, 10.0], abs=0.5)


def test_a_cross_to_pin_is_four_centimetres_across() -> None:
    """The parts keep a pin and a thumb's width (40 mm) for it inside both lights."""
    bars = [one for one in scene_of(replace(snapshot(), step=1)).strokes if one.kind == "slide"]
    assert [long(one) for one in bars] == pytest.approx([40.0] * 4, abs=1.0)


def own_box(shown: Snapshot) -> np.ndarray:
    return next(label.corners_mm() for label in scene_of(shown).labels if label.text == "1  front")


def nudged(right_end: float) -> np.ndarray:
    """The piece's name after a nudge that would bring its right end `right_end` beyond the light's left edge."""
    dx = float(view_of(table("ready"), WORK.steps[0].height_mm, "bottom").inner[0] + right_end - own_box(snapshot())[:, 0].max())
    return own_box(apply(snapshot(), WORK, Command("move", {"dx_mm": dx, "dy_mm": 0.0})))


def test_words_brought_into_the_light_keep_six_millimetres_from_its_edge() -> None:
    """Half of their own height: nearer, the edge's glow runs into the letters. 0.5 mm: a chalk line either side."""
    edge = view_of(table("ready"), WORK.steps[0].height_mm, "bottom").inner[0]
    assert min(nudged(inside)[:, 0].min() - edge for inside in range(5, 80, 5)) == pytest.approx(6.0, abs=0.5)


@pytest.mark.parametrize(("beyond", "is_seen"), [(13.0, True), (15.5, False)])
def test_words_are_brought_in_from_a_capital_s_height_beyond_the_light(beyond: float, is_seen: bool) -> None:
    """14 mm: what they name, half a word's width away, is still lit."""
    edge = view_of(table("ready"), WORK.steps[0].height_mm, "bottom").inner[0]
    assert (nudged(-beyond)[:, 0].min() > edge) == is_seen


@dataclass(frozen=True)
class EvenLight(PlainLight):
    """A light that is everywhere as true as said."""

    error_mm: float = 0.2

    def shape_error_mm(self, points: Any) -> np.ndarray:
        return np.full(len(points), self.error_mm)


@pytest.mark.parametrize(("error_mm", "is_thin"), [(0.28, True), (0.33, False)])
def test_thinner_than_a_chalk_line_is_said_of_less_than_a_third_of_a_millimetre(error_mm: float, is_thin: bool) -> None:
    """0.3 mm, as the sentence itself says."""
    shown = SCENES.scene(replace(snapshot(), mode="error"), EvenLight((1280, 720), error_mm))
    (told,) = (label.text for label in shown.labels if "chalk line" in label.text)
    assert told.startswith("everywhere thinner") == is_thin
    assert "0.3 mm" in told


def test_how_true_it_is_is_drawn_a_hundred_times_as_large() -> None:
    """0.2 mm, the budget of the map, is a circle of 2 cm: read without a magnifier."""
    shown = SCENES.scene(replace(snapshot(), mode="error"), EvenLight((1280, 720), 0.2))
    rings = [np.ptp(one.mm[:, 0]) / 2 for one in shown.strokes if len(one.mm) > 10]
    assert len(rings) == 15
    assert rings == pytest.approx([20.0] * 15, abs=0.1)
    assert any("100" in label.text for label in shown.labels)


def test_no_straight_piece_is_longer_than_the_lens_leaves_straight() -> None:
    """100 mm: 0.004 px of bend at 1080 rows (measured), 150 mm 0.01, 1500 mm 0.85; shorter pieces only cost time."""
    whole = apply(snapshot(), WORK, Command("bumped"))
    pieces = np.concatenate(
        [np.hypot(*np.diff(one.mm, axis=0).T) for shown in (snapshot(), whole) for one in scene_of(shown).strokes if len(one.mm) > 1]
    )
    assert 90.0 < pieces.max() <= 100.0 + 1e-6


def test_circles_are_flattened_like_every_curve() -> None:
    """Chords stray 0.05 mm at the most, and not for nothing by less than half of that."""
    shown = SCENES.scene(replace(snapshot(), mode="error"), EvenLight((1280, 720), 1.0))
    ring = next(one.mm for one in shown.strokes if len(one.mm) > 10)
    middle = (ring.min(axis=0) + ring.max(axis=0)) / 2
    stray = 100.0 - np.hypot(*((ring[1:] + ring[:-1]) / 2 - middle).T)
    assert 0.025 < stray.max() <= 0.05


def test_stop_is_barred_along_both_long_edges() -> None:
    """Bars as high as a hand is thick (34 mm): told apart from cloth and shears at once, and words stay clear of them."""
    shown = scene_of(snapshot("stop"), "stop")
    tall = [np.ptp(area.mm[:, 1]) for area in shown.areas]
    assert len(tall) > 20
    assert tall == pytest.approx([34.0] * len(tall), abs=1.0)


def test_ready_s_corners_are_a_hand_s_width_long() -> None:
    """42 mm: seen at each end of a table she does not look along, and inside the margin the lay leaves free."""
    arms = [np.ptp(one.mm, axis=0) for one in scene_of(snapshot()).strokes if one.kind == "ruler"]
    assert len(arms) == 4
    assert np.array(arms) == pytest.approx(42.0, abs=1.0)


def test_the_lay_leaves_room_to_nudge_all_round_the_light() -> None:
    """16 mm: a large nudge (10 mm) and half a hair more."""
    light = lay_light(table("ready"))
    assert INNER[2] - INNER[0] - light.width_mm == pytest.approx(32.0, abs=0.5)
    assert INNER[3] - INNER[1] - light.height_mm == pytest.approx(32.0, abs=0.5)


@pytest.mark.parametrize(("unit", "apart"), [("cm", 10.0), ("in", 25.4)])
def test_the_long_line_s_ticks_are_her_tape_s(unit: Unit, apart: float) -> None:
    """One a centimetre or an inch, to 0.01 mm: the whole size of everything is proved by this line."""
    shown = scene_of(replace(snapshot("check"), mode="proof", unit=unit), "check")
    rulers = [one.mm for one in shown.strokes if one.kind == "ruler"]
    ticks = sorted({round(float(mm[0, 0]), 3) for mm in rulers if np.ptp(mm[:, 0]) < 1e-6})
    assert len(ticks) > 40
    assert np.diff(ticks) == pytest.approx(apart, abs=0.01)


def test_the_code_that_opens_the_page_has_its_quiet_zone() -> None:
    """Four modules of plain light all round (ISO/IEC 18004, 6.3.8), and is no larger than a phone at arm's length takes in (0.36 m)."""
    areas = [area.mm for area in scene_of(replace(snapshot(), mode="code", code="http://127.0.0.1:8000/?t=0123456789")).areas]
    wide = max(np.ptp(mm[:, 0]) for mm in areas)
    assert wide <= 360.0 + 1e-6
    whole = sorted({round(float(mm[:, 1].max()), 2) for mm in areas if np.ptp(mm[:, 0]) > wide - 0.01}, reverse=True)
    module = whole[0] - whole[1]
    rows = 1 + next(n for n, gap in enumerate(np.diff(whole)) if abs(gap) > 1.5 * module)
    assert rows == 4
    assert wide == pytest.approx(360.0)


def test_the_code_leaves_room_for_words_in_a_shallow_light() -> None:
    """0.62 of its depth: a heading above, how to join the network below."""
    low = PlainLight((1400, 400))
    areas = SCENES.scene(replace(snapshot(), mode="code", code="http://127.0.0.1:8000/"), low).laid().areas
    _, y0, _, y1 = view_of(low, 0.0, "bottom").inner
    assert max(np.ptp(area.mm[:, 0]) for area in areas) == pytest.approx(0.62 * (y1 - y0), abs=0.1)


def test_an_arrow_s_head_is_a_finger_s_width_long() -> None:
    """9 mm, as long as words are high: seen at the end of a line of 1 mm."""
    heads = [area.mm for area in scene_of(snapshot()).areas if len(area.mm) == 3]
    assert heads
    long = [float(np.hypot(*(mm[0] - (mm[1] + mm[2]) / 2))) for mm in heads]
    assert long == pytest.approx([9.0] * len(long), abs=0.5)
