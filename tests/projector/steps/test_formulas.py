"""Numbers inside the steps' formulas: where numerals stand and how large they are, what is too short or too small to count. mm on
rectangles laid by hand. No source is known for these figures: they are ours, or common practice where it is said."""

from dataclasses import replace

import pytest
from shapely.geometry import LineString, Polygon, box

from projector.garment.pieces import Dart, Piece
from projector.steps.make import make_steps
from projector.steps.remains import Remains
from projector.steps.shown import as_line, body_of, count_label, level_run, pins_of, split
from projector.steps.stack import Kept, cut_edges, frames, kept_in, outer_line
from projector.steps.step import Step, StepLabel, StepLine
from projector.steps.tape import taped
from tests.projector.steps import by_hand
from tests.projector.steps.by_hand import garment, placed, rectangle

TOP, UNDER = "main-1.1", "main-1.2"
AT = (20.0, 20.0)


def kept_of(piece: Piece, at: tuple[float, float] = AT) -> Kept:
    """One piece alone on one layer."""
    (one,) = kept_in(garment([piece]), by_hand.lay([placed(piece, at, [TOP])]))
    return one


def set_up_of(long: float) -> tuple[Step, ...]:
    """The steps of a piece on a folded cloth, up to the first cut."""
    piece = rectangle("skirt front", 200, 400)
    steps = make_steps(garment([piece]), by_hand.lay([placed(piece, AT, [TOP, UNDER])], layers=2, long=long), "mm")
    return steps[: next(number for number, step in enumerate(steps) if step.op == "cut")]


# ---------------------------------------------------------------- numerals


def test_what_is_told_of_a_cloth_stands_where_she_lays_it_first() -> None:
    """In the middle of its first 800 mm, an arm's reach: a length of many metres has its middle off the table. 24 mm high for an
    amount, 40 mm for the number of layers, which is read from across the table."""
    labels = [label for step in set_up_of(1400.0) if step.op in ("prepare", "check", "fold") for label in step.labels]
    for text, size in (("1640", 24.0), ("1400", 24.0), ("2", 40.0)):
        assert [label for label in labels if label.text == text] == [StepLabel(text, (400.0, 400.0), size)], text


def test_a_short_cloth_s_numerals_stand_in_its_middle() -> None:
    labels = [label for step in set_up_of(500.0) if step.op == "fold" for label in step.labels]
    assert [label.at for label in labels] == [(250.0, 400.0)]


def test_depth_and_layers_stand_either_side_of_the_bar_she_tapes() -> None:
    """60 mm off it: half of a numeral of three figures and a tape's width (20 mm) fit between; amount 24 mm high, count 40 mm."""
    step = next(step for step in set_up_of(1400.0) if step.op == "check" and any(line.kind == "ruler" for line in step.lines))
    (bar,) = (line for line in step.lines if line.kind == "ruler")
    (x, _), _ = bar.mm
    assert step.labels == (StepLabel("800", (x + 60.0, 400.0), 24.0), StepLabel("×2", (x - 60.0, 400.0), 40.0))


def test_cloth_in_quarters_is_four_times_as_long_before_it_is_folded() -> None:
    piece = rectangle("skirt front", 200, 400)
    laid = by_hand.lay([placed(piece, AT, [TOP, UNDER])], layers=2, long=700.0)
    said = next(step.say for step in make_steps(garment([piece]), replace(laid, plan="quarters_across"), "mm") if step.op == "fold")
    assert "2800 mm" in said


def test_a_card_s_numerals_are_as_large_as_an_amount_read_while_standing() -> None:
    """Layers above and below the card: two pieces that part on two layers."""
    upper, lower = rectangle("a", 200, 300), rectangle("b", 200, 400)
    laid = by_hand.lay([placed(upper, AT, [TOP]), placed(lower, AT, [UNDER])], layers=2)
    (label,) = next(step for step in make_steps(garment([upper, lower]), laid, "mm") if step.op == "part").labels
    assert (label.text, label.size_mm) == ("1 | 1", 24.0)


def test_a_mark_s_layers_are_told_beside_it() -> None:
    """Capitals of 10 mm, 14 mm off along the cloth and across: 9 mm clear of a snip of 4 mm."""
    assert count_label(StepLine("notch", "a", "mark", ((5.0, 6.0), (7.0, 8.0))), 3) == StepLabel("×3", (21.0, 22.0), 10.0)


@pytest.mark.parametrize("share", [0.5, 0.35, 0.65, 0.2, 0.8])
def test_an_allowance_is_told_where_the_light_shows_its_edge(share: float) -> None:
    """In the middle, else a third (0.35) or two thirds along, else a fifth from either end: 8 mm of the edge are enough there."""
    one = kept_of(rectangle("a", 200, 400))
    side = next(edge for edge in one.piece.edges if edge.name == "side")
    (x, y) = LineString(one.at(side.points)).interpolate(share, normalized=True).coords[0]
    shown = LineString([(x - 4.0, y + by_hand.ALLOWANCE_MM), (x + 4.0, y + by_hand.ALLOWANCE_MM)])
    ((edge, middle, out),) = cut_edges(one, shown)
    assert edge.name == "side"
    assert middle == pytest.approx((x, y), abs=1e-6)
    assert out == pytest.approx((0.0, 1.0), abs=1e-6)


# ---------------------------------------------------------------- lines


def test_a_triangle_closes() -> None:
    """A godet's, a gusset's: its last point would else be drawn twice."""
    assert as_line(LineString([(0, 0), (10, 0), (0, 10), (0, 0)])) == (((0.0, 0.0), (10.0, 0.0), (0.0, 10.0)), True)
    assert as_line(LineString([(0, 0)] * 3))[1] is False, "a single place, however often it is given"


def grain_of(tall: float) -> list[LineString]:
    """The grain's line on a piece `tall` along it, its allowances within."""
    told = body_of(kept_of(rectangle("a", 200, tall - 2 * by_hand.ALLOWANCE_MM)))
    return [LineString(line.mm) for line in told if line.kind == "grain"]


@pytest.mark.parametrize(("tall", "is_drawn"), [(38.0, False), (42.0, True)])
def test_no_grain_is_drawn_on_a_piece_too_short_for_it(tall: float, is_drawn: bool) -> None:
    """40 mm: three fifths of it are 24 mm, shorter ones are taken for a mark."""
    assert bool(grain_of(tall)) == is_drawn


def test_the_grain_s_line_leaves_a_fifth_free_at_both_ends() -> None:
    """So that it is not read as reaching an edge, where a fold's line would; 0.1 mm: curves' flattening."""
    (line,) = grain_of(400.0)
    assert sorted(x for x, _ in line.coords) == pytest.approx([20.0 + 80.0, 20.0 + 320.0], abs=0.1)


@pytest.mark.parametrize(("wide", "is_drawn"), [(4.7, False), (5.3, True)])
def test_a_level_shorter_than_a_chalk_dash_is_not_drawn(wide: float, is_drawn: bool) -> None:
    piece = rectangle("a", wide, 400, levels={"hip": 200.0})
    assert (level_run(kept_of(piece), "hip") is not None) == is_drawn


def test_a_contour_dart_closes_and_is_pinned_at_its_four_ends() -> None:
    """One from an edge is open and is pinned at its tip alone."""
    contour, plain = ((90.0, 100.0), (100.0, 50.0), (110.0, 100.0), (100.0, 180.0)), ((40.0, 0.0), (50.0, 80.0), (60.0, 0.0))
    told = pins_of(kept_of(rectangle("a", 200, 400, darts=(Dart(contour), Dart(plain)))), "mark")
    assert [line.closed for line in told if line.kind == "dart"] == [True, False]
    assert sum(line.kind == "point" for line in told) == 4 + 1


# ---------------------------------------------------------------- too short, too small


@pytest.mark.parametrize(("long", "is_taped"), [(38.0, False), (42.0, True)])
def test_a_waist_is_taped_from_two_fingers_width_on(long: float, is_taped: bool) -> None:
    """40 mm: shorter ones are read off the sewing line beside."""
    assert ("hem" in {one.where for one in taped(kept_of(rectangle("a", 200, 400, hem=long)))}) == is_taped


@pytest.mark.parametrize(("area", "covers"), [(19.0, False), (21.5, True)])
def test_a_layer_covers_more_than_a_thumbnail(area: float, covers: bool) -> None:
    """20 mm2: less cloth over a piece hides nothing of its line."""
    piece = rectangle("a", 200, 300)
    laid = by_hand.lay([placed(piece, AT, [TOP])])
    assert Remains(laid.regions, kept_in(garment([piece]), laid)).covers(TOP, box(-50.0, 100.0, 1.0, 100.0 + area)) == covers


@pytest.mark.parametrize(("along", "is_filled"), [(2.8, False), (3.2, True)])
def test_a_gap_of_a_few_threads_between_neighbours_is_left(along: float, is_filled: bool) -> None:
    """15 mm2; here 5 mm from piece to piece, which face one another for `along`."""
    one = rectangle("a", 100, 300)
    _, _, x1, y1 = kept_of(one).first.bounds
    laid = by_hand.lay([placed(one, AT, [TOP]), placed(rectangle("b", 100, 300), (x1 - along, y1 + 5.0), [TOP])])
    every = kept_in(garment([one, rectangle("b", 100, 300)]), laid)
    shapes, _ = outer_line(every)
    assert (len(shapes) == 1) == is_filled


@pytest.mark.parametrize(
    ("block", "bite", "is_its"), [(0.0, 255.0, True), (0.0, 267.0, False), (20.0, 1880.0, True), (20.0, 1895.0, False)]
)
def test_an_outline_laid_is_the_piece_s_within_a_fifth_of_a_millimetre_all_round(block: float, bite: float, is_its: bool) -> None:
    """Of 220 by 420 mm, 1,300 mm round where 10 mm deep are bitten off: 260 mm2 and 1 more. With a block 1,426 mm round: 285 and 1, and
    its corners, square or round, four squares of it (1,600 mm2) more. A lay of another dress is off by a hundred times as much."""
    piece = rectangle("a", 200, 400, block_mm=block)
    whole = placed(piece, AT, [TOP])
    outline = Polygon(whole.outline).buffer(block, quad_segs=32)
    x0, y0, _, _ = outline.bounds
    left = outline.difference(box(x0 + 200.0, y0, x0 + 200.0 + bite / 10.0, y0 + 10.0))
    bitten = replace(whole, outline=tuple((float(x), float(y)) for x, y in left.exterior.coords[:-1]))
    if is_its:
        assert len(frames(piece, bitten)) == 1
    else:
        with pytest.raises(ValueError, match=f"off by {bite:.0f} mm2"):
            frames(piece, bitten)


# ---------------------------------------------------------------- the tape


def test_a_length_by_the_inch_adds_up_in_eighths() -> None:
    """100.4 eighths, 50.45 of them between the sewing lines: each as her tape reads it, and their sum as well."""
    eighth = 25.4 / 8
    assert split(100.4 * eighth, 50.45 * eighth, "in") == ("12 1/2", "6 1/4", "6 1/4")


def test_a_width_is_told_beside_a_quarter_of_her_own_measure() -> None:
    piece = rectangle("skirt front", 200, 400, levels={"hip": 200.0})
    laid = by_hand.lay([placed(piece, AT, [TOP])])
    check = next(step for step in make_steps(garment([piece], {"hip": 1000.0}), laid, "mm") if step.tapes)
    assert "(1/4: 250)" in next(label.text for label in check.labels if label.text.startswith("hip"))
