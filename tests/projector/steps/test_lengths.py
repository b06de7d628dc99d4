"""Each length by which the steps decide, read back from them: a case just short of it and one just beyond. mm on rectangles laid by hand.

Where no source is named beside a figure it is common practice: a chalk line is 0.3 mm wide, her tape reads 1/16 in (1.6 mm), the
trade allows 1 mm at necklines and armholes, curves are flattened to 0.05 mm.
"""

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest
from shapely.geometry import LineString, Point, Polygon, box

from calibration.errors import Refused
from projector.garment.pieces import Dart, Notch, Piece
from projector.lay.lay import Part, Ply
from projector.steps.before import Bench
from projector.steps.changed import changed_in_cut
from projector.steps.copies import Copy
from projector.steps.cutting import Cutting
from projector.steps.damage import refuse_damage
from projector.steps.facts import missing_cloth
from projector.steps.make import make_steps
from projector.steps.place import places
from projector.steps.remains import Remains
from projector.steps.runs import left_to_cut, lit_by, to_folds, uncut
from projector.steps.shared import shared_snips
from projector.steps.stack import Kept, kept_in, outer_line, stacks
from projector.steps.step import Step, StepLine
from projector.steps.unit import Unit, marks_of, units_of
from projector.steps.words import EN
from tests.projector.steps import by_hand
from tests.projector.steps.by_hand import cuts, garment, placed, rectangle

TOP, UNDER = "main-1.1", "main-1.2"
AT = (20.0, 20.0)


def steps_of(piece: Piece, at: tuple[float, float] = AT) -> tuple[Step, ...]:
    """One piece alone on one layer."""
    return make_steps(garment([piece]), by_hand.lay([placed(piece, at, [TOP])]), "mm")


def kept_of(pieces: Sequence[tuple[Piece, tuple[float, float], Sequence[str]]], layers: int = 2) -> list[Kept]:
    """These pieces where they lie."""
    laid = by_hand.lay([placed(*one) for one in pieces], layers=layers)
    return kept_in(garment([piece for piece, _, _ in pieces]), laid)


def on_two_layers(upper: Piece, lower: Piece, at: tuple[float, float] = AT) -> tuple[Unit, Unit]:
    """Two pieces over one another, each on a layer of its own."""
    laid = by_hand.lay([placed(upper, AT, [TOP]), placed(lower, at, [UNDER])], layers=2)
    (stack,) = stacks(kept_in(garment([upper, lower]), laid), laid)
    one, other = units_of(stack)
    return one, other


# ---------------------------------------------------------------- what is thrown


def test_a_light_cross_has_arms_of_an_inch() -> None:
    """Longer than a fingertip laid on its middle (16 to 20 mm) reaches, so that she sees all four arms; 1 mm: as she sees it."""
    place = next(step for step in steps_of(rectangle("skirt front", 200, 400)) if step.op == "place")
    bars = [LineString(line.mm).length for line in place.lines if line.kind == "cross"]
    assert len(bars) == 4
    assert bars == pytest.approx([50.0] * 4, abs=1.0)


def test_a_double_notch_is_two_snips_a_finger_apart() -> None:
    """Nearer they would tear into one (snips are 4 mm deep), farther they would be read as two marks; 0.5 mm: a chalk line either side."""
    piece = rectangle("skirt back", 200, 400, notches=(Notch((200.0, 150.0), "side", 2, 4.0),))
    marks = next(step for step in steps_of(piece) if step.op == "mark")
    one, two = (Point(line.mm[0]) for line in marks.lines if line.kind == "notch")
    assert one.distance(two) == pytest.approx(10.0, abs=0.5)


def test_an_allowance_s_numeral_stands_inside_its_sewing_line() -> None:
    """Capitals 10 mm high: 16 mm from the line to their middle leaves the line free on the near side, and the corner beside clear."""
    piece = rectangle("skirt back", 200, 400)
    cut = next(step for step in steps_of(piece) if step.op == "cut")
    seam = box(AT[0] + 10, AT[1] + 10, AT[0] + 410, AT[1] + 210)
    away = [seam.exterior.distance(Point(label.at)) for label in cut.labels if label.text == "10"]
    assert len(away) == 4
    assert away == pytest.approx([16.0] * 4, abs=1.0)


@pytest.mark.parametrize(("allowance", "deep"), [(20.0, 4.0), (6.5, 3.5), (5.0, 3.0)])
def test_a_snip_is_three_to_four_millimetres_and_three_clear_of_the_sewing_line(allowance: float, deep: float) -> None:
    """Snips of 3 to 6 mm, 1/8 in (3.2 mm) from the stitches at the least where the allowance leaves so much; 0.1 mm: curves' flattening."""
    piece = rectangle("skirt back", 200, 400, grow=allowance, notches=(Notch((200.0, 150.0), "side", 1, 4.0),))
    marks = next(step for step in steps_of(piece) if step.op == "mark")
    (snip,) = (LineString(line.mm) for line in marks.lines if line.kind == "notch")
    assert snip.length == pytest.approx(deep, abs=0.1)


def test_names_are_read_across_the_table_and_amounts_from_where_she_stands() -> None:
    """Capitals of 10 mm at the least for whatever is read; a piece's name half as large again. 1 mm as she sees it."""
    cut = next(step for step in steps_of(rectangle("skirt back", 200, 400)) if step.op == "cut")
    sizes = {label.text: label.size_mm for label in cut.labels}
    assert sizes["10"] == pytest.approx(10.5, abs=0.6)
    assert sizes["1  skirt back"] == pytest.approx(16.0, abs=1.0)


@pytest.mark.parametrize(("apart", "count"), [(23.0, 1), (27.0, 2)])
def test_two_widths_an_inch_apart_are_one_tape_check(apart: float, count: int) -> None:
    """Within the width of a tape (15 to 20 mm) and the seam she holds it by nothing else is read."""
    piece = rectangle("back", 200, 400, part="back", levels={"bust": 180.0, "underbust": 180.0 + apart})
    check = next(step for step in steps_of(piece) if step.tapes)
    assert len({read.where for read in check.tapes} & {"bust", "underbust"}) == count


def arc_hem(over: float) -> Piece:
    """A skirt piece whose hem is an arc `over` times as long as its chord of 400 mm."""
    low, high = 1e-3, math.pi
    for _ in range(60):
        half = (low + high) / 2
        low, high = (half, high) if half / math.sin(half) < over else (low, half)
    radius = 200.0 / math.sin(half)
    sweep = [half - 2 * half * n / 60 for n in range(61)]
    hem = tuple((200.0 + radius * math.sin(t), 400.0 + radius * (math.cos(t) - math.cos(half))) for t in sweep)
    plain = rectangle("skirt front", 400, 400)
    edges = tuple(replace(edge, points=hem) if edge.kind == "hem" else edge for edge in plain.edges)
    seam = ((0.0, 0.0), (400.0, 0.0), *hem[:-1], hem[-1])
    cut = ((-10.0, -10.0), (410.0, -10.0), (410.0, 400.0), *((x, y + 10.0) for x, y in hem), (-10.0, 400.0))
    return replace(plain, edges=edges, seam_line=seam, cut_line=cut)


@pytest.mark.parametrize(("over", "is_taped"), [(1.02, True), (1.045, False)])
def test_a_ring_s_hem_is_not_taped_straight(over: float, is_taped: bool) -> None:
    """3 % longer than its chord a hem bows by a tenth of it: she cannot chalk it from a straight line."""
    check = next(step for step in steps_of(arc_hem(over)) if step.tapes)
    assert ("hem" in {read.where for read in check.tapes}) == is_taped


def test_the_title_s_strip_is_left_free_along_the_far_edge() -> None:
    """Two lines of capitals of 10 mm and their spaces: 50 mm more beyond the cloth than on her side; 1 mm as she sees it."""
    piece = rectangle("skirt front", 200, 400)
    laid = by_hand.lay([placed(piece, AT, [TOP])])
    steps = make_steps(garment([piece]), laid, "mm")
    light = (0.0, 0.0, 1500.0, 1000.0)
    near = places(steps, laid, light)[0].y_mm
    assert (light[3] - 800.0 - near) - near == pytest.approx(50.0, abs=1.0)


@pytest.mark.parametrize(("wider", "hangs"), [(150.0, False), (170.0, True)])
def test_a_skirt_much_wider_at_its_hem_hangs_before_it_is_levelled(wider: float, hangs: bool) -> None:
    """A hand and a half of flare a piece; between the flare of an A-line (80 mm a quarter) and a circle."""
    steps = steps_of(rectangle("skirt front", 200, 400, hem=200 + wider))
    assert any(step.op == "hang" for step in steps) == hangs


# ---------------------------------------------------------------- what counts as cut


@pytest.mark.parametrize(("off", "is_same"), [(0.045, True), (0.055, False)])
def test_an_edge_on_the_fold_within_the_flattening_is_not_cut(off: float, is_same: bool) -> None:
    (one,) = kept_of([(rectangle("skirt front", 200, 400, fold=True), (20.0, off), [TOP, UNDER])])
    assert one.folds.is_empty != is_same


@pytest.mark.parametrize(("off", "is_cut"), [(0.47, True), (0.54, False)])
def test_half_of_the_trade_s_millimetre_beside_an_earlier_cut_is_that_cut(off: float, is_cut: bool) -> None:
    """No shears take off a strip so thin; 1 mm: Industrial Cutting of Textile Materials, table 13.1."""
    assert (uncut(LineString([(0, 0), (200, off)]), LineString([(0, 0), (200, 0)])) == []) == is_cut


@pytest.mark.parametrize(("beyond", "is_lit"), [(0.45, True), (0.55, False)])
def test_a_corner_under_the_light_s_own_line_is_lit(beyond: float, is_lit: bool) -> None:
    """A line of light is 0.7 mm wide: half of it and the map's 0.2 mm beyond the rim still show."""
    assert lit_by(Part(0, (0.0, 0.0, 400.0, 300.0), None)).covers(Point(400.0 + beyond, 150.0)) == is_lit


@pytest.mark.parametrize(("beside", "is_left"), [(1.9, True), (2.2, False)])
def test_an_outer_line_beside_a_front_s_fold_is_left_to_the_backs(beside: float, is_left: bool) -> None:
    """The contract's 2 mm: nearer, the shears would open the fold."""
    front = (rectangle("skirt front", 200, 400, fold=True), (20.0, 0.0), [TOP, UNDER])
    back = (rectangle("skirt back", 180, 380), (30.0, beside), [TOP])
    fronts, backs = kept_of([front, back])
    _, line = outer_line([replace(fronts, first=fronts.first.difference(box(0, -1, 2000, 5))), backs])
    along = line.intersection(box(60, beside - 0.01, 400, beside + 0.01)).length
    assert (along < 1.0) == is_left


def test_a_later_cut_starts_three_millimetres_inside_the_earlier_one() -> None:
    """So that nothing hangs by a thread, and no deeper than a snip is short; 0.1: the steps in which it is tried."""
    ring = box(0, 0, 200, 100)
    done = LineString([(0, 0), (200, 0), (200, 100)])
    (run,) = left_to_cut([ring], ring.exterior, done)
    assert run.length == pytest.approx(300.0 + 2 * 3.0, abs=0.2)


@pytest.mark.parametrize(("short", "reaches"), [(0.95, True), (1.1, False)])
def test_an_end_that_stops_short_of_the_fold_is_drawn_to_it(short: float, reaches: bool) -> None:
    """A line that leaves the fold at 3 degrees is within 0.05 mm of it for 1 mm."""
    (one,) = kept_of([(rectangle("skirt front", 200, 400, fold=True), (20.0, 0.0), [TOP, UNDER])])
    (told,) = to_folds([LineString([(20.0, 100.0), (20.0, short)])], [one])
    assert (told.coords[-1] == (20.0, 0.0)) == reaches


@pytest.mark.parametrize(("gap", "is_filled"), [(6.8, True), (7.3, False)])
def test_shears_do_not_run_into_a_slit_between_neighbours(gap: float, is_filled: bool) -> None:
    """7 mm: the blades' own width at the hinge side; narrower slits are waste that is cut with the upper layer alone."""
    every = kept_of([(rectangle("a", 100, 300), (20, 20), [TOP]), (rectangle("b", 100, 300), (20, 140 + gap), [TOP])], layers=1)
    shapes, _ = outer_line(every)
    assert (len(shapes) == 1) == is_filled


def cutting_of(wide: float, lights: Sequence[tuple[float, float]]) -> tuple[Cutting, Unit]:
    """A piece larger than its lights (x from, x to), nothing cut yet."""
    piece = rectangle("a", 100, wide)
    parts = [Part(0, (x0, 0.0, x1, 800.0), n - 1 if n else None) for n, (x0, x1) in enumerate(lights)]
    laid = by_hand.lay([placed(piece, AT, [TOP])], parts=parts)
    kept = kept_in(garment([piece]), laid)
    cutting = Cutting(Bench(laid, 0, Remains(laid.regions, kept), EN, "mm"), garment([piece]), stacks(kept, laid))
    return cutting, cutting.open[0]


@pytest.mark.parametrize(("shown", "is_cut"), [(2.3, False), (2.7, True)])
def test_a_stub_at_the_light_s_edge_waits_for_the_light_that_shows_it_going_on(shown: float, is_cut: bool) -> None:
    """2.5 mm is no cut for shears; what goes on in the next light is cut there."""
    late, unit = cutting_of(900.0, [(0.0, 300.0), (200.0, 700.0), (600.0, 1000.0)])
    unit = replace(unit, kept=replace(unit.kept, placed=replace(unit.kept.placed, part=1)))
    late.open = [unit]
    late.cuts[id(unit.stack), TOP] = unit.kept.own_line().difference(LineString([(300.0 - shown, 20.0), (400.0, 20.0)]).buffer(0.05))
    assert late.has_work(0) == is_cut


@pytest.mark.parametrize(("long", "is_cut"), [(1.9, False), (2.2, True)])
def test_a_run_that_one_light_shows_whole_is_cut_from_two_millimetres_on(long: float, is_cut: bool) -> None:
    """The trade allows 2 mm at sides; shorter runs are left as they are."""
    cutting, unit = cutting_of(900.0, [(0.0, 300.0), (200.0, 700.0), (600.0, 1000.0)])
    unit = replace(unit, kept=replace(unit.kept, placed=replace(unit.kept.placed, part=1)))
    cutting.open = [unit]
    cutting.cuts[id(unit.stack), TOP] = unit.kept.own_line().difference(LineString([(100.0, 20.0), (100.0 + long, 20.0)]).buffer(0.05))
    assert cutting.has_work(0) == is_cut


def crossing(along: float) -> float:
    """How much of an outer line is cut that enters the strip beside a front's fold and runs in it for `along` mm."""
    front = (rectangle("skirt front", 200, 400, fold=True), (20.0, 0.0), [TOP, UNDER])
    back = (rectangle("skirt back", 180, 380), (30.0, 10.0), [TOP])
    fronts, backs = kept_of([front, back])
    slanting = Polygon([(100.0, 0.5), (100.0 + along, 2.5), (300.0, 100.0), (100.0, 100.0)])
    _, line = outer_line([replace(fronts, first=fronts.first.difference(box(-1, -1, 2000, 5))), replace(backs, first=slanting)])
    return float(line.intersection(box(0.0, 0.51, 1400.0, 1.9)).length)


@pytest.mark.parametrize(("along", "is_cut"), [(3.6, True), (4.3, False)])
def test_what_only_crosses_the_strip_beside_a_fold_is_cut_like_any_other(along: float, is_cut: bool) -> None:
    """Steeper than 3 mm along for the strip's 2 mm across it crosses: between 0.5 and 2 mm from the fold that is `along` times 3/4."""
    assert (crossing(along) > 2.0) == is_cut


# ---------------------------------------------------------------- other pieces and layers


def damage(inside: float, long: float, unit: Unit) -> None:
    """Cut beside or into this piece: `inside` its edge (y = 20), for `long` mm."""
    laid = by_hand.lay([unit.kept.placed])
    bench = Bench(laid, 0, Remains(laid.regions, [unit.kept]), EN, "mm")
    refuse_damage(bench, [unit], ["other"], LineString([(100.0, 20.0 + inside), (100.0 + long, 20.0 + inside)]), [TOP])


def test_no_line_runs_further_than_a_chalk_line_inside_another_piece() -> None:
    _, unit = cutting_of(900.0, [(0.0, 1400.0)])
    damage(0.28, 50.0, unit)
    with pytest.raises(Refused):
        damage(0.33, 50.0, unit)


def test_no_line_runs_into_another_piece_for_more_than_the_blade_s_width() -> None:
    """1 mm: the trade's tolerance at necklines and armholes."""
    _, unit = cutting_of(900.0, [(0.0, 1400.0)])
    damage(20.0, 0.95, unit)
    with pytest.raises(Refused):
        damage(20.0, 1.05, unit)


def two_layers(step_mm: float) -> Remains:
    """The lower layer's end lies `step_mm` beyond x = 500, the upper one's far off."""
    laid = by_hand.lay([placed(rectangle("a", 100, 300), AT, [TOP, UNDER])], layers=2)
    upper, lower = laid.regions[0].ply
    short = replace(laid.regions[0], ply=(upper, replace(lower, x=(0.0, 500.0 + step_mm))), folds=())
    return Remains([short], kept_in(garment([rectangle("a", 100, 300)]), laid))


@pytest.mark.parametrize(("step_mm", "lies"), [(0.37, False), (0.43, True)])
def test_a_line_along_a_cut_edge_does_not_lie_on_that_cloth(step_mm: float, lies: bool) -> None:
    """A chalk line and what the blade strays; the step's height and its layers are told without it."""
    line = LineString([(500.0, 100.0), (500.0, 700.0)])
    assert (UNDER in two_layers(step_mm).under(line)) == lies


@pytest.mark.parametrize(("step_mm", "is_cut"), [(0.23, False), (0.27, True)])
def test_a_strip_thinner_than_a_chalk_line_is_no_layer_to_cut(step_mm: float, is_cut: bool) -> None:
    """Told as cut, she would look for a layer that no shears catch."""
    piece = rectangle("a", 100, 460)
    upper, lower = Ply(TOP, (0.0, 1400.0), (0.0, 800.0), 0, "wrong"), Ply(UNDER, (0.0, 20.0 + step_mm), (0.0, 800.0), 0, "right")
    laid = by_hand.lay([placed(piece, AT, [TOP])], layers=2)
    laid = replace(laid, regions=(replace(laid.regions[0], ply=(upper, lower), folds=()),))
    cut = next(step for step in make_steps(garment([piece]), laid, "mm") if step.op == "cut")
    assert (UNDER in cut.through) == is_cut


@pytest.mark.parametrize(("apart", "steps"), [(0.27, 1), (0.33, 0)])
def test_snips_a_chalk_line_apart_are_one(apart: float, steps: int) -> None:
    """Made once through both layers; farther apart each layer gets its own."""
    notched = [
        rectangle(name, 200, 400, notches=(Notch((200.0, at), "side", 1, 4.0),)) for name, at in (("a", 150.0), ("b", 150.0 + apart))
    ]
    units = on_two_layers(notched[0], notched[1])
    snips = [(unit, *marks_of(unit, "snip", True)[0]) for unit in units]
    assert len(shared_snips(snips, lambda unit: unit.kept.own_line())) == steps


def test_a_dart_in_runs_is_whole_in_one_of_two_lights_that_share_120_mm() -> None:
    """A run of half of what they share lies in one of them wherever it stands; much shorter ones are more to chalk."""
    darted = rectangle("skirt back", 200, 400, darts=(Dart(((90.0, 0.0), (100.0, 130.0), (110.0, 0.0))),))
    unit, _ = on_two_layers(darted, rectangle("b", 200, 400))
    runs = [LineString(line.mm).length for _, line in marks_of(unit, "pin", False) if line.kind == "dart"]
    assert len(runs) == 6
    assert max(runs) <= 60.0


# ---------------------------------------------------------------- a dress changed in mid-cut


def changed(old: Piece, new: Piece) -> tuple[Step, ...]:
    """The last steps of a piece that was cut by its old line and is wanted by its new one."""
    told = make_steps(garment([replace(new, was=old)]), by_hand.lay([placed(old, AT, [TOP])]), "mm")
    return tuple(step for step in told if step.is_again)


@pytest.mark.parametrize(("less", "is_cut"), [(1.5, False), (1.7, True)])
def test_less_than_a_sixteenth_of_an_inch_is_not_trimmed(less: float, is_cut: bool) -> None:
    """1/16 in, 1.6 mm: what her tape reads."""
    told = changed(rectangle("a", 200, 400), rectangle("a", 200 - less, 400))
    assert any(step.op == "cut" for step in told) == is_cut


@pytest.mark.parametrize(("moved", "is_marked"), [(0.95, False), (1.05, True)])
def test_a_mark_that_moved_by_less_than_the_trade_allows_is_not_made_again(moved: float, is_marked: bool) -> None:
    one, two = (rectangle("a", 200, 400, notches=(Notch((200.0, at), "side", 1, 4.0),)) for at in (150.0, 150.0 + moved))
    assert any(step.op == "mark" for step in changed(one, two)) == is_marked


def cut_so_far(old: Piece, share: float) -> tuple[Any, tuple[Step, ...], list[int]]:
    """Its lay, its steps and those done: all of them, or (`share` below 1) with so much of the cut line alone."""
    laid = by_hand.lay([placed(old, AT, [TOP])])
    steps = make_steps(garment([old]), laid, "mm")
    at = next(number for number, step in enumerate(steps) if step.op == "cut")
    if share < 1.0:
        (line,) = cuts(steps)[0]
        part = line.interpolate(0.0), line.interpolate(share, normalized=True)
        run = StepLine("cut", old.name, "now", tuple((p.x, p.y) for p in part))
        steps = (*steps[:at], replace(steps[at], lines=(run,), frees=()), *steps[at + 1 :])
    return laid, steps, list(range(at + 1))


@pytest.mark.parametrize(("more", "goes_on"), [(0.27, False), (0.33, True)])
def test_a_line_begun_is_the_new_one_within_a_chalk_line(more: float, goes_on: bool) -> None:
    """Its waist is begun (120 mm of it) and wanted `more` higher."""
    old = rectangle("a", 200, 400)
    new = replace(old, cut_line=tuple((x, y - more if y < 0 else y) for x, y in old.cut_line))
    laid, steps, done = cut_so_far(old, 0.1)
    told, _ = changed_in_cut(garment([old]), laid, steps, done, garment([new]))
    assert (told.pieces[0].was is not None) == goes_on


@pytest.mark.parametrize(("more", "is_again"), [(0.045, False), (0.055, True)])
def test_a_piece_in_hand_stays_as_it_is_cut_beyond_the_flattening(more: float, is_again: bool) -> None:
    old = rectangle("a", 200, 400)
    new = replace(old, cut_line=tuple((x, y - more if y < 0 else y) for x, y in old.cut_line))
    laid, steps, done = cut_so_far(old, 1.0)
    told, _ = changed_in_cut(garment([old]), laid, steps, done, garment([new]))
    assert (told.pieces[0].was is not None) == is_again


@pytest.mark.parametrize(("begun", "is_begun"), [(0.95, False), (1.1, True)])
def test_a_nick_of_a_millimetre_is_no_beginning(begun: float, is_begun: bool) -> None:
    (one,) = kept_of([(rectangle("a", 100, 300), AT, [TOP])], layers=1)
    assert Copy(one, TOP, one.keep, LineString([(20, 20), (20 + begun, 20)]), False).is_begun == is_begun


@pytest.mark.parametrize(("wider", "lacks"), [(10.2, False), (10.7, True)])
def test_an_allowance_may_fall_short_by_a_sixteenth_of_an_inch(wider: float, lacks: bool) -> None:
    """Of 10 mm on either side (half of `wider` each) 6.4 mm can still be sewn, less 1.6 mm that no shears trim: 5.2 mm a side."""
    old, new = rectangle("a", 200, 400), rectangle("a", 200 + wider, 400)
    laid, steps, done = cut_so_far(old, 1.0)
    assert bool(missing_cloth(garment([old]), laid, steps, done, garment([new]))) == lacks
