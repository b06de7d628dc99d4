"""What is thrown in each state, for each toggle, from each side; and where words lie."""

from dataclasses import replace
from importlib.resources import files
from itertools import pairwise, product

import numpy as np
import pytest
import uharfbuzz as hb

from projector.scene.around import next_piece
from projector.scene.compose import Scenes
from projector.scene.lines import KINDS
from projector.scene.primitives import Scene
from projector.scene.text import outlined
from projector.scene.view import PlainLight, view_of
from projector.session.change import apply, with_stop
from projector.session.commands import Command
from projector.session.snapshot import COLOURS, SIDES, Message, See, Snapshot
from projector.session.words import WORDS
from projector.session.work import work_of
from projector.steps.make import make_steps
from tests.cutting.product import garment, lay
from tests.projector.made_up import snapshot, table, work

WORK = work()
SCENES = Scenes.of(WORK)
STATES = ("stop", "check", "ready", "demonstration")
MODES = ("steps", "setup", "frame", "proof", "align", "spots", "shadow", "error")


def _scene(shown: Snapshot, state: str = "ready") -> Scene:
    return SCENES.scene(shown, table(state)).laid()


def _kinds(scene: Scene) -> set[str]:
    return {stroke.kind for stroke in scene.strokes}


def test_no_cut_line_but_in_check_ready_or_demonstration() -> None:
    """Every state, mode, light and toggle; also STOP for a reason of the display while the table itself is ready."""
    for state, mode, allowances, light in product(STATES, MODES, (True, False), ("lines", "off", "plain")):
        see = See(allowances=allowances, light=light, long_line=True, grid=True)  # type: ignore[arg-type]
        shown = replace(snapshot(state), mode=mode, see=see, step=1, done=(0,))  # type: ignore[arg-type]
        for held in (shown, with_stop(shown, "a display was pulled")):
            if held.state == "stop":
                assert "cut" not in _kinds(_scene(held, state)), (state, mode)
    for state in STATES[1:]:
        assert "cut" in _kinds(_scene(snapshot(state), state))
    assert "cut" not in _kinds(_scene(replace(snapshot(), see=See(allowances=False))))
    assert "cut" not in _kinds(SCENES.scene(Snapshot(), PlainLight((640, 360))))


def test_each_state_has_its_own_shape() -> None:
    """Told apart without reading a word: bars, a broken border, four corners, one word across half the light."""
    stop, check, ready, shown = (_scene(snapshot(state), state) for state in STATES)
    assert len(stop.areas) > 20
    border = [stroke for stroke in check.strokes if stroke.look.dash_mm == (40.0, 25.0)]
    assert len(border) == 1
    assert not [stroke for stroke in ready.strokes if stroke.look.dash_mm == (40.0, 25.0)]
    corners = [stroke for stroke in ready.strokes if stroke.kind == "ruler"]
    assert len(corners) == 4
    across = max(shown.labels, key=lambda label: label.size_mm)
    assert np.ptp(across.corners_mm()[:, 0]) > 700
    assert max(label.size_mm for label in ready.labels) < 40


def test_after_a_bump_the_cut_outline_is_thin_and_nothing_invites_a_cut() -> None:
    cut = apply(snapshot(), WORK, Command("done"))
    bumped = apply(cut, WORK, Command("bumped"))
    lines = [stroke for stroke in _scene(bumped).strokes if stroke.kind == "cut"]
    assert lines
    assert all(stroke.look.weight == 1 and stroke.when != "now" for stroke in lines)
    assert "cut" not in _kinds(_scene(apply(bumped, WORK, Command("leave"))))


@pytest.mark.parametrize("side", SIDES)
@pytest.mark.parametrize("turn", [0.0, 37.0, 180.0])
@pytest.mark.parametrize("mirrored", [False, True])
def test_words_lie_flat_for_her_and_are_never_mirrored(side: str, turn: float, mirrored: bool) -> None:
    held = replace(snapshot(), worker_side=side, cloth_at=replace(snapshot().cloth_at, turn_deg=turn, mirrored=mirrored))  # type: ignore[arg-type]
    want = {"bottom": 0.0, "right": 90.0, "top": 180.0, "left": -90.0}[side]
    labels = _scene(held).labels
    assert labels
    for label in labels:
        a, b, _, d = label.corners_mm()
        along = np.degrees(np.arctan2(*(b - a)[::-1]))
        assert abs((along - want + 180) % 360 - 180) < 1e-6
        assert np.linalg.det(np.array([b - a, d - a])) > 0
        assert label.size_mm >= 10.0


def test_words_keep_off_bold_lines_and_each_other() -> None:
    scene = _scene(snapshot())
    boxes = [label.corners_mm() for label in scene.labels]
    assert len(boxes) > 2
    bold = np.vstack([stroke.mm for stroke in scene.strokes if stroke.kind == "cut" and stroke.when == "now"])
    for index, box in enumerate(boxes):
        low, high = box.min(axis=0), box.max(axis=0)
        assert not ((bold > low) & (bold < high)).all(axis=1).any()
        for other in boxes[index + 1 :]:
            assert not ((other.min(axis=0) < high).all() and (other.max(axis=0) > low).all())


def test_everything_around_the_work_lies_in_the_light() -> None:
    for state, side in product(STATES, SIDES):
        held = replace(snapshot(state), worker_side=side)
        light, labels = table(state), _scene(held, state).labels
        assert labels
        for label in labels:
            px = light.px_from_mm(label.corners_mm(), 3.2)
            assert (px > -1).all() and (px < np.array(light.size)).all(), (state, side, label.text)  # noqa: PT018
        inner = view_of(light, 0.0, side).inner
        assert inner[2] > inner[0] and inner[3] > inner[1]  # noqa: PT018


def test_kinds_tell_apart_by_dash_and_weight_alone() -> None:
    """What is bright together on one picture differs without colour (grid and cloth lines are quiet and may share)."""
    bright = [
        (kind.weight, kind.dash_mm) for name, kind in KINDS.items() if name in ("cut", "sew", "fold", "dart", "level", "slide", "cloth")
    ]
    assert len(set(bright)) == len(bright)


def test_colour_goes_round() -> None:
    held, seen = snapshot(), []
    for _ in COLOURS:
        seen.append(_scene(held).colour)
        held = apply(held, WORK, Command("colour"))
    assert tuple(seen) == COLOURS
    assert held.colour == COLOURS[0]


def _has_every_sign(text: str) -> bool:
    """False when some sign is not in the bundled font: it would be thrown as an empty box."""
    buffer = hb.Buffer()
    buffer.add_str(text)
    buffer.guess_segment_properties()
    hb.shape(hb.Font(hb.Face((files("projector.scene") / "fonts" / "NotoSans-Regular.ttf").read_bytes())), buffer)
    return all(info.codepoint != 0 for info in buffer.glyph_infos)


def test_words_are_shaped() -> None:
    """Marks sit on their letters: ẹ̀ is no wider than e; every word has its signs."""
    assert outlined("ẹ̀", 12.0).width_mm == pytest.approx(outlined("e", 12.0).width_mm, rel=0.02)
    assert outlined("ọ́", 12.0).width_mm == pytest.approx(outlined("o", 12.0).width_mm, rel=0.02)
    high = max(ring[:, 1].max() for ring in outlined("H", 12.0).fills)
    assert high == pytest.approx(12.0, abs=0.05)
    for text in ("ẹ̀ ọ́ ŋ ç ß Ɛ ɔ Ṣ à ñ", *WORDS.values()):
        assert _has_every_sign(text), text
    assert not _has_every_sign("漢")


def test_words_at_the_edge_of_the_light_are_moved_in_and_nothing_else_is() -> None:
    """A nudge that would cut a label off moves it aside, and only it; the state's word and the step's words keep apart."""
    inner = view_of(table("ready"), WORK.steps[0].height_mm, "bottom").inner
    whole = _scene(snapshot())
    nudged = apply(snapshot(), WORK, Command("move", {"dx_mm": -270.0, "dy_mm": 0.0}))
    moved = _scene(nudged)
    own = {label.text: label.corners_mm() for label in whole.labels}
    aside = 0
    for label in moved.labels:
        box = label.corners_mm()
        if box[:, 0].max() > inner[0] and box[:, 0].min() < inner[2]:
            assert box[:, 0].min() >= inner[0] - 1e-6, label.text
        if label.text == "1  front":
            aside += not np.allclose(box, own[label.text] + (-270.0, 0.0), atol=1e-6)
    assert aside == 1
    first = [stroke for stroke in whole.strokes if stroke.kind == "cut"]
    after = [stroke for stroke in moved.strokes if stroke.kind == "cut"]
    for before, now in zip(first, after, strict=True):
        assert np.abs(now.mm - before.mm - (-270.0, 0.0)).max() < 1e-9


def test_words_a_little_outside_the_light_are_moved_in_too() -> None:
    """Nudged until the title lies just beyond the light's edge: what it names is still lit."""
    inner = view_of(table("ready"), WORK.steps[0].height_mm, "bottom").inner
    own = next(label.corners_mm() for label in _scene(snapshot()).labels if label.text == "1  front")
    for beyond in (1.0, 10.0):
        dx = float(inner[0] - beyond - own[:, 0].max())
        moved = _scene(apply(snapshot(), WORK, Command("move", {"dx_mm": dx, "dy_mm": 0.0})))
        box = next(label.corners_mm() for label in moved.labels if label.text == "1  front")
        assert box[:, 0].min() >= inner[0], beyond


@pytest.mark.parametrize("nudge", [(-280.0, 0.0), (-300.0, 0.0), (-320.0, 0.0), (-240.0, -120.0)])
def test_words_moved_into_the_light_lie_on_no_others(nudge: tuple[float, float]) -> None:
    """A tape check whose four numbers stand across the light's edge."""
    numbers = tuple(replace(WORK.steps[0].labels[0], text=f"level {n} 12 3/8", at=(200.0 + 4 * n, 40.0 + 6 * n)) for n in range(4))
    work = replace(WORK, steps=(replace(WORK.steps[0], labels=numbers), *WORK.steps[1:]))
    moved = apply(snapshot(), work, Command("move", {"dx_mm": nudge[0], "dy_mm": nudge[1]}))
    inner = np.array(view_of(table("ready"), work.steps[0].height_mm, "bottom").inner)
    scene = Scenes.of(work).scene(moved, table("ready"))
    assert scene.lying is not None
    assert scene.lying.label_moves_mm is not None
    assert (np.abs(scene.lying.label_moves_mm).max(axis=1) > 0).sum() >= 2
    boxes = [label.corners_mm() for label in scene.laid().labels if label.text.startswith("level")]
    seen = [box for box in boxes if (box.max(axis=0) > inner[:2]).all() and (box.min(axis=0) < inner[2:]).all()]
    assert len(seen) > 1
    for n, box in enumerate(seen):
        assert (box.min(axis=0) >= inner[:2] - 1e-6).all()
        for other in seen[n + 1 :]:
            assert (box.min(axis=0) > other.max(axis=0)).any() or (box.max(axis=0) < other.min(axis=0)).any()


@pytest.mark.parametrize("nudge", [(550.0, 370.0), (560.0, 395.0), (-640.0, 0.0)])
def test_the_words_around_keep_clear_of_pins(nudge: tuple[float, float]) -> None:
    """Before the cloth is pulled along, wherever a nudge brings the crosses to pin."""
    moved = apply(replace(snapshot(), step=1), WORK, Command("move", {"dx_mm": nudge[0], "dy_mm": nudge[1]}))
    scene = SCENES.scene(moved, table("ready"))
    inner = view_of(table("ready"), WORK.steps[1].height_mm, "bottom").inner
    assert scene.lying is not None
    shift = np.array(scene.lying.shift_mm)
    crosses = [line.mm + shift for line in scene.lying.strokes if line.kind == "slide"]
    seen = [cross for cross in crosses if (cross.max(axis=0) > inner[:2]).all() and (cross.min(axis=0) < inner[2:]).all()]
    assert seen, "the case shows no pin"
    for cross in seen:
        for label in scene.labels:
            box = label.corners_mm()
            assert (box.min(axis=0) > cross.max(axis=0)).any() or (box.max(axis=0) < cross.min(axis=0)).any(), label.text


def test_numbers_of_a_cloth_not_yet_on_the_table_stand_in_the_middle_of_the_light() -> None:
    """The cloth before it lay far off: where that was says nothing of the one she presses now."""
    inner = view_of(table("ready"), 0.0, "bottom").inner
    bare = replace(WORK.steps[0], op="prepare", lines=(), plies=(), through=(), height_mm=0.0)
    work = replace(WORK, steps=(bare, *WORK.steps[1:]))
    far = replace(snapshot(), cloth_at=replace(snapshot().cloth_at, y_mm=-900.0))
    scene = Scenes.of(work).scene(far, table("ready")).laid()
    boxes = np.vstack([label.corners_mm() for label in scene.labels if label.text in {label.text for label in bare.labels}])
    middle = (boxes.min(axis=0) + boxes.max(axis=0)) / 2
    assert middle == pytest.approx([(inner[0] + inner[2]) / 2, (inner[1] + inner[3]) / 2], abs=1.0)


@pytest.mark.parametrize("turn", [0.0, 90.0, 180.0])
def test_words_lie_on_the_stack_not_on_the_bare_table_beyond_its_fold(turn: float) -> None:
    step = WORK.steps[0]
    fold = next(line for line in step.lines if line.kind == "fold")
    middle = (fold.mm[0][0] + fold.mm[1][0]) / 2
    named = replace(step.labels[0], text="underbust 4 3/8", at=(middle, fold.mm[0][1]))
    work = replace(WORK, steps=(replace(step, labels=(named,)), *WORK.steps[1:]))
    shown = replace(snapshot(), cloth_at=replace(snapshot().cloth_at, turn_deg=turn))
    lying = Scenes.of(work).scene(shown, table("ready")).lying
    assert lying is not None
    label = next(label for label in lying.labels if label.text == named.text)
    box = np.array([label.at, (label.at[0] + label.outline().width_mm, label.at[1] + label.size_mm)])
    inward = {0.0: box[:, 1], 90.0: -box[:, 0], 180.0: -box[:, 1]}[turn]
    assert inward.min() >= fold.mm[0][1] - 1e-6


def test_the_next_piece_is_hinted() -> None:
    texts = [label.text for label in _scene(snapshot()).labels]
    assert "next piece: skirt front" in texts
    last = replace(snapshot(), step=3)
    assert not [label for label in _scene(last).labels if label.text.startswith("next piece")]


def test_before_an_outer_line_the_piece_that_comes_off_first_is_hinted() -> None:
    """In quarters the outer line, partly the back's alone, gives none into her hand: before and at it the front comes next."""
    dress = garment("middle", {"lining": False})
    laid = lay(dress, "quarters_along")
    steps = make_steps(dress, laid)
    told = work_of("quarters", steps, laid, "in", (0.0, 0.0, 1400.0, 800.0))
    outer = next(number for number, step in enumerate(steps) if step.op == "cut")
    loose = next(number for number, step in enumerate(steps) if step.frees)
    first = steps[loose].frees[0].piece
    assert not steps[outer].frees
    assert [next_piece(told, number) for number in range(outer - 3, loose)] == [first] * (loose - outer + 3)
    assert next_piece(told, loose) not in {"", *(one.piece for one in steps[loose].frees)}


def test_the_shadow_falls_away_from_the_lamp() -> None:
    """One line is broken: the one that runs from the middle away from the lamp, whichever side she stands at."""
    away = {"bottom": (0.0, 1.0), "right": (-1.0, 0.0), "top": (0.0, -1.0), "left": (1.0, 0.0)}
    for stands, lamp in product(SIDES, SIDES):
        scene = _scene(replace(snapshot(), mode="shadow", worker_side=stands, lens_side=lamp))
        broken = [stroke for stroke in scene.strokes if stroke.look.dash_mm]
        assert len(broken) == 1
        way = broken[0].mm[-1] - broken[0].mm[0]
        assert way / np.hypot(*way) == pytest.approx(away[lamp], abs=1e-6)


def test_how_true_is_told_in_chalk_lines() -> None:
    texts = [label.text for label in _scene(replace(snapshot(), mode="error")).labels]
    assert "everywhere thinner than a chalk line (0.3 mm)" in texts
    shape = table("ready").shape
    coarse = tuple(tuple(number * 100.0 for number in row) for row in shape.covariance)  # ten times the error
    texts = [
        label.text
        for label in SCENES.scene(
            replace(snapshot(), mode="error"), replace(table("ready"), shape=replace(shape, covariance=coarse))
        ).labels
    ]
    assert "wider than a chalk line (0.3 mm) in places" in texts


def test_a_refusal_is_told_on_the_table_in_its_three_sentences() -> None:
    """In steps, in STOP and at the tape; flat, not over each other's lines; a note is its one sentence."""
    refusal = Message("refusal", "This cut is not marked done.", "Allowances are off.", "Switch allowances on.")
    for state, mode in (("ready", "steps"), ("stop", "steps"), ("check", "proof")):
        scene = _scene(replace(snapshot(state), mode=mode, message=refusal), state)  # type: ignore[arg-type]
        boxes = [label.corners_mm() for label in scene.labels if label.text in (refusal.what, refusal.why, refusal.next_step)]
        assert len(boxes) == 3
        for upper, lower in pairwise(boxes):
            assert upper[:, 1].min() > lower[:, 1].max()
    noted = _scene(replace(snapshot(), message=Message("note", "This is the last step.")))
    assert "This is the last step." in [label.text for label in noted.labels]


def test_on_dark_cloth_every_line_is_wider_and_no_dim_one_passes_a_bright_one() -> None:
    """Near-black cloth gives back little light: width and light of each kind grow, their order stays."""
    plain, bold = (_scene(replace(snapshot("ready"), see=replace(snapshot().see, bold=on))).laid().strokes for on in (False, True))
    pairs = [(a.look, b.look) for a, b in zip(plain, bold, strict=True) if a.kind in ("cut", "sew", "notch", "level") and a.piece]
    assert pairs
    assert all(after.weight == before.weight + 1 and after.light >= before.light for before, after in pairs)
    assert sorted(pairs, key=lambda pair: pair[0].light) == sorted(pairs, key=lambda pair: (pair[1].light, pair[0].light))
    assert min(after.light for _, after in pairs) < 0.6 * max(after.light for _, after in pairs), "later is still dim"
