"""What stands beside the lines of a step: how large it is, and where. mm on the cloth, on rectangles laid by hand.

Sizes are ours: numbers of a cloth not yet on the table are read from its end (24), layers from across the room (40).
"""

import pytest

from projector.garment.pieces import Notch
from projector.steps.make import make_steps
from projector.steps.step import Step
from tests.projector.steps import by_hand


def folded(wide: float = 300.0, tall: float = 300.0, long: float = 1400.0) -> tuple[Step, ...]:
    """One piece on two layers of cloth 800 deep."""
    piece = by_hand.rectangle("front", wide, tall)
    return make_steps(
        by_hand.garment([piece]), by_hand.lay([by_hand.placed(piece, (20.0, 20.0), ["main-1.1", "main-1.2"])], layers=2, long=long)
    )


@pytest.mark.parametrize(("long", "middle"), [(1400.0, 400.0), (700.0, 350.0)])
def test_what_is_read_before_the_first_light(long: float, middle: float) -> None:
    """Length and width of the cloth and its layers stand in the middle of its first 800, which she sees from its end."""
    length, width, layers = (step.labels[0] for step in folded(long=long)[:3])
    assert [label.size_mm for label in (length, width, layers)] == [24.0, 24.0, 40.0]
    assert [label.at for label in (length, width, layers)] == [(middle, 400.0)] * 3


def test_depth_and_layers_stand_either_side_of_the_tape_s_line() -> None:
    """60 from it."""
    check = next(step for step in folded() if step.title.startswith("Check 2 layers"))
    bar = next(line.mm for line in check.lines if line.kind == "ruler")
    depth, layers = check.labels
    assert (depth.at[0] - bar[0][0], layers.at[0] - bar[0][0]) == (60.0, -60.0)
    assert (depth.size_mm, layers.size_mm) == (24.0, 40.0)


@pytest.mark.parametrize(("tall", "is_drawn"), [(18.5, False), (21.5, True), (300.0, True)])
def test_the_grain_line_is_three_fifths_of_the_piece(tall: float, is_drawn: bool) -> None:
    """In its middle, of what lies inside the cut line; none where that is under 40."""
    cut = next(step for step in folded(tall=tall) if step.op == "cut")
    found = [line.mm for line in cut.lines if line.kind == "grain"]
    whole = tall + 2 * by_hand.ALLOWANCE_MM
    assert bool(found) == is_drawn
    for (x0, _), (x1, _) in found:
        assert sorted((x0, x1)) == pytest.approx([20.0 + 0.2 * whole, 20.0 + 0.8 * whole])


@pytest.mark.parametrize(("wide", "is_taped"), [(39.0, False), (41.0, True)])
def test_an_edge_of_40_is_taped(wide: float, is_taped: bool) -> None:
    """A shorter one is seen to be right."""
    taped = [label.text for step in folded(wide=wide) if step.op == "check" for label in step.labels]
    assert any(text.startswith("waist") for text in taped) == is_taped


def test_how_many_layers_a_snip_goes_through_stands_beside_it() -> None:
    """10 high, 14 off its inner end."""
    piece = by_hand.rectangle("front", 300.0, 300.0, notches=(Notch((300.0, 150.0), "side", 1, 4.0),))
    laid = by_hand.lay([by_hand.placed(piece, (20.0, 20.0), ["main-1.1", "main-1.2"])], layers=2)
    mark = next(step for step in make_steps(by_hand.garment([piece]), laid) if step.op == "mark")
    snip = next(line.mm for line in mark.lines if line.kind == "notch")
    (label,) = mark.labels
    assert (label.text, label.size_mm) == ("×2", 10.0)
    assert label.at == pytest.approx((snip[-1][0] + 14.0, snip[-1][1] + 14.0))


def test_where_the_card_goes_is_read_from_the_side() -> None:
    """One piece over another: layers above and below the card, 24 high, in the upper one's middle."""
    pieces = (by_hand.rectangle("upper", 300.0, 300.0), by_hand.rectangle("lower", 400.0, 300.0))
    laid = by_hand.lay(
        [by_hand.placed(one, (20.0, 20.0), [ply]) for one, ply in zip(pieces, ("main-1.1", "main-1.2"), strict=True)], layers=2
    )
    part = next(step for step in make_steps(by_hand.garment(pieces), laid) if step.op == "part")
    (label,) = part.labels
    assert (label.text, label.size_mm, label.at) == ("1 | 1", 24.0, (180.0, 180.0))
