"""Before the cloth is pulled along: where the two pins go once something is cut away; where cloth lies that no table is known for."""

from dataclasses import replace

import pytest
from shapely.geometry import LineString

from projector.steps.make import make_steps
from projector.steps.place import places
from projector.steps.remains import Remains
from projector.steps.stack import kept_in
from tests.projector.steps import by_hand
from tests.projector.steps.by_hand import garment, placed, rectangle

PLY = "main-1.1"


def cut_at(x_mm: float) -> Remains:
    """800 mm of depth, cut straight across at x; what lies beyond holds no piece and is gone."""
    piece = rectangle("a", 100, 300)
    laid = by_hand.lay([placed(piece, (20.0, 20.0), [PLY])])
    told = Remains(laid.regions, kept_in(garment([piece]), laid))
    told.cut([LineString([(x_mm, -1.0), (x_mm, 801.0)])], [PLY])
    return told


def test_a_pin_has_cloth_all_round_it() -> None:
    """8 mm: a pin takes two threads' breadths twice, a hem's raw edge frays by 5 (common practice, no source). 0.1: the cut itself."""
    near, far = cut_at(500.0).spots_on_cloth([(498.0, 40.0), (498.0, 760.0)], (300.0, 0.0, 700.0, 800.0))
    assert near == pytest.approx((492.0, 40.0), abs=0.1)
    assert far == pytest.approx((492.0, 760.0), abs=0.1)


@pytest.mark.parametrize(("apart", "is_moved"), [(95.0, False), (105.0, True)])
def test_pins_nearer_than_a_hand_turn_the_cloth_too_much(apart: float, is_moved: bool) -> None:
    """Two marks 100 mm apart, each laid within 1 mm, turn it by 1 degree: 14 mm over 800. Then they stay where they were."""
    spots = [(520.0, 400.0 - apart / 2), (520.0, 400.0 + apart / 2)]
    told = cut_at(500.0).spots_on_cloth(spots, (300.0, 0.0, 700.0, 800.0))
    assert (told != spots) == is_moved


def test_without_a_table_the_light_is_thought_of_as_lamps_throw_it() -> None:
    """1.4 m wide and 0.8 deep (16:9, but for what words and margins take): cloth of 600 by 500 lies in its middle, clear of the title."""
    piece = rectangle("a", 100, 300)
    laid = by_hand.lay([placed(piece, (20.0, 20.0), [PLY])], long=600.0)
    lies = places(make_steps(garment([piece]), laid, "mm"), laid)[0]
    assert lies.x_mm + 300.0 == pytest.approx(700.0, abs=1.0)
    assert lies.y_mm + 400.0 == pytest.approx(400.0, abs=1.0)


def test_no_piece_is_taped_at_more_than_four_levels() -> None:
    """More is not read before a cut: four widths and the length."""
    piece = rectangle(
        "back", 300, 900, part="back", levels={name: 100.0 * (n + 1) for n, name in enumerate(("bust", "underbust", "hip", "knee"))}
    )
    laid = by_hand.lay([placed(piece, (20.0, 20.0), [PLY])])
    (check,) = (step for step in make_steps(garment([piece]), laid, "mm") if step.tapes)
    assert len([read for read in check.tapes if read.where]) == 4
    assert len(check.tapes) == 5


def test_the_print_s_way_is_an_arrow_as_long_as_a_hand() -> None:
    """12 cm either side of the cross in all, along the cloth where the print stands so: 5 mm, as she sees it."""
    piece = rectangle("skirt front", 200, 400)
    laid = by_hand.lay([placed(piece, (20.0, 20.0), [PLY])])
    laid = replace(laid, cloth=replace(laid.cloth, up="along"))
    (way,) = [
        LineString(line.mm)
        for step in make_steps(garment([piece]), laid, "mm")
        for line in step.lines
        if step.op == "place" and line.kind == "grain" and line.when == "now"
    ]
    assert way.length == pytest.approx(120.0, abs=5.0)
    assert way.bounds[1] == way.bounds[3]
