"""Numbers inside the formulas of lays: how folded cloth lies, where its flaws show, which way a turned piece lies. mm.

Geometry of folding paper throughout.
"""

from dataclasses import replace

import numpy as np
import pytest

from calibration.errors import WrongInput
from projector.garment.pieces import FirstCut, Piece
from projector.lay.again import carried
from projector.lay.bays import fold_cloth, regions_of
from projector.lay.bias import _lines_cut, _strips_placed, with_binding
from projector.lay.by_hand import turned
from projector.lay.cloth import Cloth, Flaw
from projector.lay.fold_drawing import end_view, fold_steps
from projector.lay.held import flaw_on_plies
from projector.lay.lay import Lay, Plan
from projector.lay.loosen import _depths
from projector.lay.outlines import OutlineCard, piece_of
from projector.lay.shapes import Turn, has_no_hand
from tests.projector.steps import by_hand

CLOTH = Cloth("main", 1700.0)
OVERHANG = 60.0
QUARTER = (1700.0 - 2 * OVERHANG) / 4


def lay_of(plan: Plan, reach: float = 600.0) -> Lay:
    """Nothing on cloth folded so."""
    plain, folded = by_hand.lay([]), fold_cloth(CLOTH, plan, 0, 400.0, OVERHANG)
    return replace(plain, plan=plan, regions=regions_of(folded, reach), cloth=replace(plain.cloth, width_mm=CLOTH.width_mm))


@pytest.mark.parametrize(
    ("plan", "turns"), [("crosswise", (180, 0)), ("quarters_along", (0, 0, 0, 0)), ("quarters_across", (180, 0, 180, 0)),
                        ("crossed_four", (0, 180, 180, 0))],
)  # fmt: skip
def test_a_fold_across_turns_the_cloth_s_length_round(plan: Plan, turns: tuple[int, ...]) -> None:
    """The layer folded back lies the other way; layers are counted from the top."""
    (region,) = lay_of(plan).regions
    assert tuple(ply.turned for ply in region.ply) == turns
    assert [ply.id for ply in region.ply] == [f"main-1.{n + 1}" for n in range(len(turns))]


def test_quarters_take_the_cloth_four_times_and_what_hangs_over_twice() -> None:
    """Along: a quarter of the width less both overhangs. Across: the same of the length."""
    assert lay_of("quarters_along").regions[0].ply[0].y == pytest.approx((0.0, QUARTER))
    assert fold_cloth(CLOTH, "quarters_along", 0, 0.0, OVERHANG).bays[0].top == pytest.approx(QUARTER - CLOTH.gap_mm / 2)
    folded = fold_cloth(CLOTH, "quarters_across", 0, 0.0, OVERHANG)
    assert folded.used_mm(600.0) == pytest.approx(4 * (600.0 + CLOTH.gap_mm / 2) + 2 * OVERHANG)
    assert folded.bays[0].top == pytest.approx(1700.0 - CLOTH.selvedge_mm)


def test_a_quarter_s_second_fold_halves_the_way_its_first_one_goes() -> None:
    """The fold at half the width comes to lie one overhang short: the crease is in the middle of that way."""
    _, second = fold_steps(lay_of("quarters_along"))
    assert [y for _, y in second.fold] == pytest.approx([(850.0 + OVERHANG) / 2] * 2)


def test_a_fold_s_arrow_stands_in_the_middle_of_the_half() -> None:
    _, second = fold_steps(lay_of("crossed_four"))
    half = max(x for x, _ in second.outline)
    assert [x for x, _ in second.arrow] == pytest.approx([half / 2] * 2)


def test_a_fold_is_drawn_as_an_arc_round_its_layers() -> None:
    """From layer to layer, its two inner points a quarter of the way from either."""
    (arc,) = end_view(lay_of("lengthwise")).bends
    (_, a), (_, b), (_, c), (_, d) = arc
    assert (b - a, d - c) == pytest.approx(((d - a) / 4, (d - a) / 4))


@pytest.mark.parametrize(
    ("across", "seen"),
    [
        (100.0, [None, None, None, (100.0 - OVERHANG, 160.0 - OVERHANG)]),  # from the left selvedge, which lies one overhang out
        (700.0, [(90.0, 150.0), None, None, None]),  # back from the fold in the middle, which is the fronts'
        (1500.0, [None, None, (80.0, 140.0), None]),  # near the right selvedge
    ],
)
def test_where_a_flaw_shows_in_quarters(across: float, seen: list[tuple[float, float] | None]) -> None:
    """A spot of 60 on cloth 1700 wide, 60 overhanging: layer by layer from the top, y from the fronts' fold."""
    folded = fold_cloth(CLOTH, "quarters_along", 0, 0.0, OVERHANG)
    found = [box for bay in folded.bays for box in flaw_on_plies(folded, bay, Flaw(0, 300.0, across, 20.0, 60.0))]
    assert [None if box is None else (box[1], box[3]) for box in found] == [None if each is None else pytest.approx(each) for each in seen]


# ---------------------------------------------------------------- pieces


def wedge() -> Piece:
    """Wider at its hem: it is seen which way it lies."""
    plain = by_hand.rectangle("a", 200.0, 400.0, grow=0.0)
    return replace(plain, cut_line=((0.0, 0.0), (200.0, 0.0), (260.0, 400.0), (0.0, 400.0)))


def test_a_turned_piece_is_carried_turned() -> None:
    """By hand it is turned by half a turn and back; another draft of it comes to lie the same way, and so does a first dress's line."""
    laid = by_hand.lay([by_hand.placed(wedge(), (20.0, 20.0), ["main-1.1"])])
    once = turned(laid, 0)
    assert [lay.placed[0].turned for lay in (laid, once, turned(once, 0))] == [0, 180, 0]
    assert sorted(carried(once.placed[0], wedge()).outline) == [pytest.approx(at) for at in sorted(once.placed[0].outline)]
    first = replace(wedge(), first_cut=(FirstCut("hem", ((260.0, 420.0), (0.0, 420.0))),))
    _, ring = _lines_cut(once, {"a": first})["main-1"]
    low = min(x for x, _ in once.placed[0].outline)
    assert min(x for x, _ in ring) == pytest.approx(low - 20.0, abs=0.1)


@pytest.mark.parametrize(("out", "is_same"), [(0.09, True), (0.11, False)])
def test_a_piece_like_its_mirror_image_has_no_hand(out: float, is_same: bool) -> None:
    """Within 0.1, twice what curves are flattened to: both halves are drawn."""
    plain = by_hand.rectangle("a", 200.0, 400.0, grow=0.0)
    assert has_no_hand(replace(plain, cut_line=((0.0, 0.0), (200.0, 0.0), (200.0, 400.0), (100.0, 420.0), (0.0, 400.0 + out)))) == is_same


@pytest.mark.parametrize("turn", [Turn(a, t, f) for a in (False, True) for t in (False, True) for f in (False, True)])
def test_the_grain_s_direction_has_no_beginning(turn: Turn) -> None:
    """From 0 up to 180, never 180 itself: along the piece it is the cloth's length, or square to it where it lies across."""
    assert turn.grain_deg(90.0) == (90.0 if turn.is_across else 0.0)
    assert turn.grain_deg(45.0) in (45.0, 135.0)
    assert turn.grain_deg(100.0) in (10.0, 80.0, 100.0, 170.0)


def test_outlines_lie_along_the_cloth() -> None:
    """Their grain is the cloth's length; one that may lie turned alone is turned from the beginning."""
    ring = ((0.0, 0.0), (200.0, 0.0), (150.0, 90.0))
    plain, back = (piece_of(OutlineCard("a", ring, turns=turns)) for turns in ((0, 180), (180,)))
    assert plain.grain_deg == 90.0
    assert back.cut_line == tuple((-x, -y) for x, y in plain.cut_line)


@pytest.mark.parametrize(("ring", "told"), [(((0.0, 0.0), (100.0, 0.0)), "2 corners"), (((0.0, 0.0), (100.0, 0.0), (50.0, 0.0)), "area")])
def test_an_outline_without_an_area_says_what_it_lacks(ring: tuple[tuple[float, float], ...], told: str) -> None:
    """Three corners are enough; here they lie on one line."""
    with pytest.raises(WrongInput) as refused:
        piece_of(OutlineCard("a", ring))
    assert told in str(refused.value)
    assert "3 corners" not in str(refused.value)


def test_a_way_out_of_a_shape_is_told_up_to_255_steps() -> None:
    """One byte a place: further in it counts as that far."""
    depths = _depths(np.ones((600, 530), dtype=np.bool_))
    assert (depths[0, 0], depths[99, 300], depths[300, 260]) == (1, 100, 255)


def test_bias_strips_lie_at_45_degrees() -> None:
    piece = by_hand.rectangle("front", 300.0, 300.0)
    plain = by_hand.lay([by_hand.placed(piece, (20.0, 20.0), ["main-1.1", "main-1.2"])], layers=2, long=400.0)
    binding = with_binding(plain, Cloth("main", 1640.0), 1500.0, 40.0).binding
    assert binding is not None
    assert {strip.grain_deg for strip in _strips_placed(plain, binding, "main-1")} == {45.0}
