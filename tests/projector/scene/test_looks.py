"""How every kind of line is thrown. She knows the lines by dash and weight: another dash is another line to her.

Dashes in mm on the cloth and shares of light, typed from the description of the light (ours, judged on drawn pictures; that the kinds
stay apart is measured in test_kinds_apart.py).
"""

from dataclasses import replace

import pytest

from projector.scene.lines import KINDS, bolder
from projector.scene.primitives import Stroke
from projector.session.change import apply
from projector.session.commands import Command
from projector.session.snapshot import Align, See, Snapshot
from projector.steps.step import LineKind, When
from tests.projector.made_up import snapshot, work
from tests.projector.scene.test_lengths import scene_of

WHOLE = None
NOW: dict[LineKind, tuple[int, tuple[float, float] | None, str]] = {
    "cut": (3, WHOLE, "cut"), "sew": (1, (6, 3), "sew"), "fold": (2, (18, 6), "quiet"), "grain": (1, WHOLE, "quiet"),
    "notch": (2, WHOLE, "sew"), "point": (2, WHOLE, "sew"), "dart": (1, (3, 2), "sew"), "level": (1, (2, 6), "quiet"),
    "grid": (1, WHOLE, "quiet"), "ruler": (1, WHOLE, "words"), "cloth": (1, (30, 8), "quiet"), "slide": (2, (12, 3), "sew"),
    "cross": (1, WHOLE, "words"),
}  # fmt: skip
PERCENT: dict[LineKind, tuple[int, int, int]] = {
    "cut": (100, 45, 16), "sew": (60, 45, 10), "fold": (70, 50, 30), "grain": (55, 40, 12), "notch": (100, 70, 16),
    "point": (100, 80, 16), "dart": (100, 70, 14), "level": (55, 40, 16), "grid": (6, 6, 6), "ruler": (80, 60, 30),
    "cloth": (40, 30, 20), "slide": (100, 60, 25), "cross": (90, 60, 40),
}  # fmt: skip
"""Of the light, to be done now, as a mark, and for later."""
TIMES: tuple[When, ...] = ("now", "mark", "later")


def test_every_kind_has_its_row() -> None:
    assert set(KINDS) == set(NOW) == set(PERCENT)


@pytest.mark.parametrize("kind", sorted(NOW))
def test_a_kind_of_line(kind: LineKind) -> None:
    """Bold only while it is to be done; the cut line of a later step is dotted, 1.5 in 6 mm."""
    weight, dash, role = NOW[kind]
    for when, percent in zip(TIMES, PERCENT[kind], strict=True):
        look = KINDS[kind].look(when)
        assert look.weight == (weight if when == "now" else 1)
        assert look.dash_mm == ((1.5, 4.5) if (kind, when) == ("cut", "later") else dash)
        assert look.role == role
        assert 100 * look.light == pytest.approx(percent)
        assert bolder(look).weight == look.weight + 1


def strokes(shown: Snapshot) -> list[Stroke]:
    return list(scene_of(shown).strokes)


def test_what_is_live_stands_out_of_what_is_calm() -> None:
    """White, two weights and full light against one at half: the cross being placed, the frame of the tape's line, the circles of error."""
    at_spots = {one.look.light: one.look.weight for one in strokes(replace(snapshot(), mode="spots"))}
    assert at_spots == {0.5: 1, 1.0: 2}
    assert {(one.look.weight, one.look.light) for one in strokes(replace(snapshot(), mode="error"))} == {(1, 0.5)}
    assert {(one.look.weight, one.look.light) for one in strokes(replace(snapshot(), mode="proof"))} == {(1, 0.8), (2, 1.0)}


def test_a_cut_made_before_is_thin_beside_the_crosses() -> None:
    """While the cloth is laid back: one weight, 0.45 of the light, whole."""
    cut = apply(snapshot(), work(), Command("done"))
    shown = replace(cut, mode="align", align=Align("recover", ((0.0, 0.0), (400.0, 0.0)), ((60.0, 60.0), (460.0, 60.0)), 0))
    made = [one for one in strokes(shown) if one.kind == "cut"]
    assert made
    assert {(one.look.weight, one.look.dash_mm, one.look.light) for one in made} == {(1, None, 0.45)}


def test_without_allowances_the_sewing_line_is_the_one_to_see() -> None:
    """Its own dash, as heavy as a fold, at full light."""
    made = work()
    steps = tuple(
        replace(step, lines=tuple(replace(one, when="now") if one.kind == "sew" else one for one in step.lines)) for step in made.steps
    )
    shown = replace(snapshot(), see=See(allowances=False))
    sewn = [one for one in scene_of(shown, of=replace(made, steps=steps)).strokes if one.kind == "sew"]
    assert {(one.look.weight, one.look.dash_mm, one.look.role, one.look.light) for one in sewn} == {(2, (6.0, 3.0), "sew", 1.0)}
