"""Every lay that is shown is valid, on every fold, for every print, by the independent checker."""

import pytest

from calibration.errors import Refused, WrongInput
from projector.lay.cloth import Budget, Cloth, Flaw, Light
from projector.lay.errors import ClothTooSmall, FoldRefused
from projector.lay.lay import PLANS, Plan, Ply, Region, Up
from projector.lay.parts import make_parts
from projector.lay.stage import Ask, lay_out
from projector.lay.task import Bench, make_task
from tests.lay_checker.check import faults
from tests.lay_checker.unfolded import flaws_on_plies, unfolded_faults
from tests.projector.lay.made_up import TOOLS, dress, garment, laid, piece, told

CROSSED: dict[Up, set[Plan]] = {
    "along": {"crosswise", "quarters_across", "crossed_four"},
    "across": {"lengthwise", "off_centre", "quarters_along", "crossed_four"},
}
"""DRAFT R6: a fold that crosses the print's up turns half of the layers."""
TOO_NARROW = {("quarters_along", 1150.0)}
"""DRAFT R1: 45-inch cloth is too narrow for a quarter with its allowances."""


@pytest.mark.parametrize("plan", PLANS)
@pytest.mark.parametrize(("up", "width"), [("none", 1150.0), ("along", 1700.0), ("across", 1700.0), ("either", 1150.0)])
def test_every_fold_is_valid_or_refused_in_words(plan: Plan, up: Up, width: float) -> None:
    pieces, cloth = dress(0.9), Cloth("main", width, up=up)
    if plan in CROSSED.get(up, set()):
        with pytest.raises(FoldRefused, match="upside down"):
            laid(pieces, cloth, plan, trials=4)
    elif (plan, width) in TOO_NARROW:
        with pytest.raises(ClothTooSmall, match="mm too narrow"):
            laid(pieces, cloth, plan, trials=4)
    else:
        lay = laid(pieces, cloth, plan, trials=12)
        assert lay.plan == plan
        assert faults(told(lay), told(garment(pieces))) == []
        assert unfolded_faults(told(lay)) == []


def test_the_same_input_gives_the_same_lay() -> None:
    cloth = Cloth("main", 1150.0)
    assert laid(dress(), cloth, "lengthwise", trials=40) == laid(dress(), cloth, "lengthwise", trials=40)


def test_more_trials_never_cost_cloth() -> None:
    few, many = (laid(dress(), Cloth("main", 1150.0), "lengthwise", trials=count).cloth_needed_mm for count in (5, 59))
    assert many <= few


def test_lengths_in_hand_are_never_crossed() -> None:
    pieces = dress(0.9)
    cloth = Cloth("main", 1150.0, lengths_mm=(1100.0, 1250.0))
    lay = laid(pieces, cloth, "lengthwise", trials=20)
    assert {region.bundle for region in lay.regions} == {0, 1}
    assert faults(told(lay), told(garment(pieces))) == []
    assert all(end <= (1100.0, 1250.0)[region.bundle] for region in lay.regions for end in region.x)


def test_too_little_cloth_says_how_much_is_missing() -> None:
    with pytest.raises(ClothTooSmall) as refused:
        laid(dress(), Cloth("main", 1150.0, lengths_mm=(1000.0,)), "lengthwise", trials=5)
    assert "in hand 1000 mm" in refused.value.why
    with pytest.raises(ClothTooSmall) as refused:
        laid(dress(), Cloth("main", 400.0), trials=5)
    assert "skirt front" in refused.value.what
    assert "too narrow" in refused.value.why


def test_a_refused_fold_names_the_one_that_goes_and_what_else_helps() -> None:
    """By how much, by its own arithmetic: four quarters, so four times what the widest piece lacks; the widest, not the first."""
    pieces = (
        piece("skirt", [(0, 0), (280, 0), (280, 600), (0, 600)], fold=True),
        piece("sleeve", [(0, 0), (400, 0), (400, 300), (0, 300)], count=2, mirrored=True),
    )
    with pytest.raises(ClothTooSmall) as refused:
        laid(pieces, Cloth("main", 1000.0), "quarters_along", trials=5)
    assert refused.value.what.startswith("sleeve is 400 mm")
    assert "It goes folded along" in refused.value.next_step
    wide = float(refused.value.next_step.split("take cloth ")[1].split(" mm")[0])
    with pytest.raises(ClothTooSmall):
        laid(pieces, Cloth("main", wide - 2.0), "quarters_along", trials=5)
    assert laid(pieces, Cloth("main", wide), "quarters_along", trials=5).plan == "quarters_along"
    with pytest.raises(FoldRefused, match="It goes folded across: "):
        laid(pieces, Cloth("main", 1000.0, up="across"), "lengthwise", trials=5)


def test_where_no_fold_goes_the_least_that_helps_is_told() -> None:
    """600 mm opened out: 620 with the selvedges, and on a fold no less."""
    pieces = (piece("skirt back", [(0, 0), (300, 0), (300, 600), (0, 600)], fold=True),)
    with pytest.raises(ClothTooSmall, match=r"620 mm \(24 1/2 in\) wide or more, or put a centre-back seam in skirt back") as refused:
        laid(pieces, Cloth("main", 500.0, up="along"), trials=5)
    assert "No other fold goes" in refused.value.next_step


def test_creeping_cloth_lies_in_one_layer_with_a_larger_gap() -> None:
    from projector.lay.cloth import ClothCard, cloth_from_card

    cloth = cloth_from_card("main", ClothCard(width="45 in", nature=("slippery",)), "in")
    lay = laid(dress(), cloth, trials=5)
    assert lay.plan == "open"
    assert lay.cloth.gap_mm == 8.0
    assert faults(told(lay), told(garment(dress()))) == []
    with pytest.raises(FoldRefused):
        laid(dress(), cloth, "lengthwise", trials=5)


def test_every_cloth_has_its_own_lay() -> None:
    block = piece("front interfacing", [(0, 90), (75, 0), (110, 15), (0, 155)], fold=True, cloth="interfacing", block_mm=20.0)
    pieces = (*dress(), piece("lining skirt", [(0, 0), (250, 0), (260, 600), (0, 600)], fold=True, cloth="lining"), block)
    cloths = {name: Cloth(name, width) for name, width in (("main", 1150.0), ("lining", 1400.0), ("interfacing", 900.0))}
    lay = lay_out(garment(pieces), cloths, Ask(None, Budget(10, 1)), TOOLS)
    assert set(lay.others) == {"lining", "interfacing"}
    assert faults(told(lay), told(garment(pieces))) == []
    del cloths["lining"]
    told_lay = lay_out(garment(pieces), cloths, Ask(None, Budget(10, 1)), TOOLS)
    assert told_lay.others["lining"].cloth.width_mm == 1400.0
    assert any("does not name lining" in line for line in told_lay.others["lining"].why)
    del cloths["main"]
    with pytest.raises(WrongInput, match="main"):
        lay_out(garment(pieces), cloths, Ask(None, Budget(10, 1)), TOOLS)


@pytest.mark.parametrize("light", [Light(1100.0, 600.0), Light(1600.0, 900.0), Light(500.0, 300.0)])
@pytest.mark.parametrize("plan", ["open", "lengthwise"])
def test_parts_hold_the_pieces_and_slide_one_way(light: Light, plan: Plan) -> None:
    lay = laid(dress(), Cloth("main", 1500.0), plan, trials=5, light=light)
    assert faults(told(lay), told(garment(dress()))) == []


def test_sliding_marks_lie_on_cloth_off_the_trimmed_selvedge() -> None:
    """Folded off the middle: the upper layer's selvedge lies between the two regions, where the second mark would come."""
    doubled, single = ((0.0, 543.7), (553.7, 586.3))
    regions = tuple(
        Region(
            f"main-1{name}", 0, (0.0, 1960.0), y, tuple(Ply(f"main-1{name}.{n + 1}", (0.0, 1960.0), y, 0, "right") for n in range(layers))
        )
        for name, y, layers in (("", doubled, 2), ("s", single, 1))
    )
    _, parts = make_parts((), regions, Light(1100.0, 620.0))
    marks = [y for part in parts for _, y in part.spots]
    assert marks
    assert all(any(low <= y <= high for low, high in (doubled, single)) for y in marks), marks


def test_off_the_middle_the_gap_is_kept_where_the_two_regions_meet() -> None:
    """No selvedge to trim and a wide gap: what lies on the lower layer and what lies beside it are cut from one cloth."""
    pieces = (
        piece("skirt front", [(0, 0), (300, 0), (300, 600), (0, 600)], fold=True),
        piece("band", [(0, 0), (390, 0), (390, 600), (0, 600)]),
    )
    lay = laid(pieces, Cloth("main", 1000.0, selvedge_mm=0.0, gap_mm=10.0), "off_centre", trials=3)
    assert len(lay.regions) == 2
    assert unfolded_faults(told(lay)) == []


def test_an_error_is_of_the_family() -> None:
    assert issubclass(ClothTooSmall, Refused)
    assert issubclass(FoldRefused, Refused)


@pytest.mark.parametrize("plan", ["open", None])
def test_cloth_too_short_for_the_first_lay_is_searched_before_it_is_refused(plan: Plan | None) -> None:
    """What a search on endless cloth reaches does, in hand, for the same dress; far less is refused at once."""
    pieces = dress(0.9)[1:7]
    searched = laid(pieces, Cloth("main", 1150.0), plan, trials=59).cloth_needed_mm
    lay = laid(pieces, Cloth("main", 1150.0, lengths_mm=(searched + 1.0,)), plan, trials=59)
    assert lay.cloth_needed_mm <= searched + 1.0
    assert faults(told(lay), told(garment(pieces))) == []
    with pytest.raises(ClothTooSmall, match="No other fold goes with less"):
        laid(pieces, Cloth("main", 1150.0, lengths_mm=(searched * 0.5,)), plan, trials=5)


def test_cloth_to_buy_has_no_end() -> None:
    """Flaws that together reach further than the pieces laid one after the other were once taken for too little cloth."""
    cloth = Cloth("main", 900.0, flaws=tuple(Flaw(0, 500.0 * n, 0.0, 440.0, 900.0) for n in range(1, 9)))
    lay = laid(dress(0.5)[6:7], cloth, "lengthwise", trials=3)
    assert faults(told(lay), told(garment(dress(0.5)[6:7]))) == []


@pytest.mark.parametrize("spare", [0.0, 1.0, 3.9, 5.0])
def test_a_pair_that_fills_the_fold_to_a_hair_is_laid(spare: float) -> None:
    """Half the gap from the fold and the selvedge's trim: the true limit, not the next step of the search."""
    pieces = (piece("panel", [(0, 0), (400, 0), (400, 300), (0, 290)], count=2, mirrored=True),)
    lay = laid(pieces, Cloth("main", 2.0 * (400.0 + 2.0 + 10.0 + spare)), "lengthwise", trials=3)
    assert faults(told(lay), told(garment(pieces))) == []
    with pytest.raises(ClothTooSmall, match="It is 1 mm too narrow"):
        laid(pieces, Cloth("main", 2.0 * (400.0 + 2.0 + 10.0) - 1.0), "lengthwise", trials=3)


def test_where_the_fold_is_full_the_rest_lies_opened_out_beside_it() -> None:
    """Four halves of 600 mm hang on one fold; two of them opened out lie beside the other two, though a layer under them is lost."""
    pieces = [piece(f"half {number}", [(0, 0), (150, 0), (150, 600), (0, 600)], fold=True) for number in range(4)]
    lay = laid(pieces, Cloth("main", 1000.0), "lengthwise", trials=20)
    assert faults(told(lay), told(garment(pieces))) == []
    assert lay.cloth_needed_mm < 1300.0, "on the fold alone they take 2440 mm"
    assert sorted(len(each.on) for each in lay.placed) == [1, 1, 2, 2]


@pytest.mark.parametrize("plan", ["open", "lengthwise", "off_centre"])
def test_a_flaw_from_edge_to_edge_of_cloth_with_wide_selvedges(plan: Plan) -> None:
    """It reaches 60 mm beyond what can be laid on and was once deeper than the lattice: a crash."""
    cloth = Cloth("main", 1000.0, selvedge_mm=60.0, flaws=(Flaw(0, 400.0, 0.0, 30.0, 1000.0),))
    lay = laid(dress(0.5), cloth, plan, trials=3)
    spots = [{"x": 400.0, "y": 0.0, "along": 30.0, "across": 1000.0, "bundle": 0}]
    assert faults(told(lay), told(garment(dress(0.5))), flaws_on_plies(told(lay), spots)) == []


def test_each_fold_keeps_its_own_part_of_a_flaw() -> None:
    """A flaw over the fold shows less on either layer than on open cloth; off the middle it differs with the fold's depth."""
    flaw = Flaw(0, 30.0, 380.0, 400.0, 240.0)
    bench, cloth = Bench(Cloth("main", 1000.0)), Cloth("main", 1000.0, flaws=(flaw,))
    left: tuple[tuple[Plan, float, list[float]], ...]
    left = (("lengthwise", 0.0, [120.0, 120.0]), ("off_centre", 420.0, [50.0, 190.0]), ("open", 0.0, [240.0]))
    for plan, depth, sizes in left:
        task = make_task(bench, cloth, dress(0.5), plan, depth)
        deep = [spot.option.shape.size[1] for spot in task.start.spots]
        assert sorted(deep) == pytest.approx(sorted(sizes)), plan
