"""Cloth as typed: units, the least of three widths, shrinkage, natures; what it costs and what is left."""

import re
from dataclasses import replace

import pytest
from shapely.geometry import Polygon, box

from calibration.errors import WrongInput
from projector.lay.blocks import By
from projector.lay.choose import off_centre_depths
from projector.lay.cloth import Budget, Cloth, ClothCard, Flaw, FlawCard, cloth_from_card, length_from_text
from projector.lay.errors import ClothTooSmall
from projector.lay.fold_drawing import end_view, fold_steps
from projector.lay.lay import PLANS, Lay, Plan
from projector.lay.needs import largest_rest, need_of
from projector.lay.print_place import Motif
from projector.lay.stage import Ask, lay_out
from projector.lay.together import Saving, together
from projector.lay_group import by_from
from tests.lay_checker.check import faults, phase_faults
from tests.lay_checker.unfolded import flaws_on_plies
from tests.projector.lay.made_up import TOOLS, dress, garment, laid, told


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("45 in", 1143.0),
        ("114 cm", 1140.0),
        ("6 yd", 5486.4),
        ("2 3/8 yd", 2171.7),
        ("5.5 m", 5500.0),
        ("6yd", 5486.4),
        (45, 1143.0),
    ],
)
def test_lengths_of_cloth(text: str | int, mm: float) -> None:
    assert length_from_text(text, "in") == pytest.approx(mm)


def test_a_card_becomes_cloth() -> None:
    card = ClothCard(width=("59 in", "59 1/4 in", "58 7/8 in"), lengths=("6 yd",), washed=False, shrinks=(5.0, 2.0), nature="sheer",
                     flaws=(FlawCard("1 m", "20 cm", "3 cm", "3 cm", 1),))  # fmt: skip
    cloth = cloth_from_card("main", card, None)
    assert cloth.width_mm == pytest.approx(58.875 * 25.4 * 0.98)
    assert list(cloth.lengths_mm) == pytest.approx([5486.4 * 0.95])
    assert (cloth.gap_mm, cloth.is_one_layer_only, cloth.flaws[0].bundle, cloth.flaws[0].x_mm) == (8.0, True, 0, 1000.0)


@pytest.mark.parametrize(
    "card",
    [
        ClothCard(width="45"),
        ClothCard(width=()),
        ClothCard(width="5 mm"),
        ClothCard(width="45 in", nature=("stretch",)),
        ClothCard(width="45 in", lengths=("1 cm",)),
    ],
)
def test_cloth_that_cannot_be_is_refused(card: ClothCard) -> None:
    with pytest.raises(WrongInput):
        cloth_from_card("main", card, None)


def test_needed_cloth_is_rounded_up_and_paid() -> None:
    cloth = Cloth("main", 1500.0, price=10.0, price_per="yard", currency="GHS", shrinks_along=0.05)
    need = need_of(laid(dress(), cloth, "lengthwise", trials=4), cloth)
    assert need.buy_mm == pytest.approx(need.used_mm / 0.95)
    assert need.metres * 1000.0 >= need.buy_mm > need.metres * 1000.0 - 10.0
    assert need.cost / 10.0 * 914.4 >= need.buy_mm > (need.cost / 10.0 - 0.125) * 914.4
    assert (need.cost / 10.0 * 8) % 1 == 0


def test_the_largest_rest_is_free_of_pieces() -> None:
    lay = laid(dress(), Cloth("main", 1500.0), "open", trials=4)
    rest = largest_rest(lay)
    assert rest is not None
    assert rest.area_mm2 > 40_000
    free = box(rest.x0, rest.y0, rest.x1, rest.y1)
    assert all(free.intersection(Polygon(placed.outline)).area < 1e-3 for placed in lay.placed)


@pytest.mark.parametrize("plan", ["open", "lengthwise", "off_centre", "quarters_along"])
def test_no_piece_lies_on_a_flaw(plan: Plan) -> None:
    card = FlawCard("30 cm", "20 cm", "6 cm", "6 cm")
    cloth = cloth_from_card("main", ClothCard(width="170 cm", flaws=(card, FlawCard("80 cm", "120 cm", "20 cm", "3 cm"))), None)
    pieces = dress(0.9)
    lay, careless = (laid(pieces, each, plan, trials=6) for each in (cloth, replace(cloth, flaws=())))
    assert faults(told(lay), told(garment(pieces)), _on_layers(lay, cloth)) == []
    found = faults(told(careless), told(garment(pieces)), _on_layers(careless, cloth))
    assert found, "laid without a word of the flaws, nothing lies on them: nothing is tried here"
    assert all(each.endswith(" lies on a flaw") for each in found)


def _on_layers(lay: Lay, cloth: Cloth) -> list[dict[str, object]]:
    """The cloth's flaws where they show on every layer."""
    return [
        {"cloth": "main", "ply": ply.id, "outline": _seen(lay.plan, region.y[1], ply.face, cloth, flaw, ply.id)}
        for region in lay.regions
        for ply in region.ply
        for flaw in cloth.flaws
    ]


def _seen(plan: Plan, top: float, face: str, cloth: Cloth, flaw: object, ply: str) -> list[list[float]]:
    """Folding paper: where a spot of the cloth's face comes to lie. The bottom layer is seen as it is, one fold mirrors it."""
    x, y, along, across = (getattr(flaw, name) for name in ("x_mm", "y_mm", "along_mm", "across_mm"))
    width = cloth.width_mm
    if plan == "lengthwise":
        low, high = (y - width / 2, y + across - width / 2) if face == "right" else (width / 2 - y - across, width / 2 - y)
    elif plan == "off_centre":
        # the doubled part ends at the upper selvedge, the single layer at the far one
        fold = width - cloth.selvedge_mm - top if "s." in ply else top + cloth.selvedge_mm
        low, high = (y - fold, y + across - fold) if face == "right" else (fold - y - across, fold - y)
    elif plan == "quarters_along":
        quarter = top
        z = (width - 4 * quarter) / 2
        starts = {"1": (2 * quarter + z, -1), "2": (-2 * quarter - z, 1), "3": (4 * quarter + z, -1), "4": (-z, 1)}
        start, sign = starts[ply[-1]]
        low, high = sorted((start + sign * y, start + sign * (y + across)))
    else:
        low, high = y, y + across
    return [[x, low], [x + along, low], [x + along, high], [x, high]]


def test_a_motif_is_kept_and_partners_keep_step() -> None:
    pieces, repeat = dress(0.9), 160.0
    cloth = Cloth("main", 1500.0, up="along", repeat_along_mm=repeat)
    motif = Motif("centre front", (0.0, 200.0), (600.0, 700.0))
    lay = lay_out(garment(pieces), {"main": cloth}, Ask("open", Budget(30, 1), motif=motif), TOOLS)
    assert faults(told(lay), told(garment(pieces))) == []
    placed = next(each for each in lay.placed if each.piece == "centre front")
    assert [placed.shift[0] + 200.0, placed.shift[1]] == pytest.approx([600.0, 700.0])
    assert phase_faults(repeat, {"centre front": placed.shift[0] + 200.0}) == []


def test_two_dresses_lie_together() -> None:
    both = together({"Ama": garment(dress(0.9)), "Efua": garment(dress(0.8))})
    lay = lay_out(both, {"main": Cloth("main", 1500.0)}, Ask("lengthwise", Budget(20, 1)), TOOLS)
    assert faults(told(lay), told(both)) == []
    apart = sum(laid(dress(scale), Cloth("main", 1500.0), "lengthwise").cloth_needed_mm for scale in (0.9, 0.8))
    assert "saves" in Saving(lay.cloth_needed_mm, apart).words
    with pytest.raises(WrongInput):
        together({"a:b": both})


@pytest.mark.parametrize("by", ["person", "part"])
@pytest.mark.parametrize("plan", ["open", "lengthwise"])
def test_dresses_lie_person_after_person_or_part_after_part(by: By, plan: Plan) -> None:
    """One after the other: the second dress lies further on in the mean and ends the lay; the first part of both begins it."""
    both = together({"Ama": garment(dress(0.9)), "Efua": garment(dress(0.8))})
    lay = lay_out(both, {"main": Cloth("main", 1500.0)}, Ask(plan, Budget(60, 1), by=by), TOOLS)
    assert faults(told(lay), told(both)) == []
    shapes = [(placed.piece, Polygon(placed.outline)) for placed in lay.placed]
    if by == "part":
        part = both.pieces[0].part
        first = {piece.name for piece in both.pieces if piece.part == part}
        assert len(first) == 2
        assert max(shape.bounds[2] for name, shape in shapes if name in first) < lay.cloth_needed_mm / 3.0
        return
    own = {person: [shape for name, shape in shapes if name.startswith(person)] for person in ("Ama", "Efua")}
    ends = [max(shape.bounds[2] for shape in some) for some in own.values()]
    middles = [sum(shape.centroid.x * shape.area for shape in some) / sum(shape.area for shape in some) for some in own.values()]
    assert ends[1] > ends[0]
    assert middles[1] > middles[0] + 200.0


def test_the_second_dress_that_finds_no_room_counts_the_first() -> None:
    both = together({"Ama": garment(dress(0.9)), "Efua": garment(dress(0.8))})
    with pytest.raises(ClothTooSmall) as refused:
        lay_out(both, {"main": Cloth("main", 1500.0, lengths_mm=(1500.0,))}, Ask("lengthwise", Budget(20, 1), by="person"), TOOLS)
    need = re.search(r"needs about (\d+) mm", refused.value.why)
    assert need is not None
    assert float(need[1]) > 2000.0


def test_how_several_dresses_lie_is_one_of_two_words() -> None:
    assert [by_from(None), by_from("person"), by_from("part")] == [None, "person", "part"]
    with pytest.raises(WrongInput, match="person and part"):
        by_from("colour")


@pytest.mark.parametrize(
    ("saved_mm", "words"),
    [
        (114.0, "saves 11 cm"),  # under an eighth of a yard (114.3 mm): no eighth is promised
        (114.3, "saves 1/8 yd (11 cm)"),
        (239.0, "saves 1/4 yd (23 cm)"),  # 23.9 cm are not 24
        (1200.0, "saves 1 1/4 yd (120 cm)"),
        (9.9, "saves nothing"),
        (-50.0, "saves nothing"),
    ],
)
def test_a_saving_is_rounded_down(saved_mm: float, words: str) -> None:
    assert Saving(3000.0, 3000.0 + saved_mm).words == words


@pytest.mark.parametrize("plan", PLANS)
def test_folding_is_drawn(plan: Plan) -> None:
    lay = laid(dress(0.9)[:6], Cloth("main", 1700.0), plan, trials=2)
    steps, region = fold_steps(lay), lay.regions[0]
    assert len(steps) == {"crossed_four": 2, "quarters_along": 2, "quarters_across": 2}.get(plan, 1)
    view = end_view(lay)
    assert len(view.plies) == len(region.ply)
    assert view.right == tuple(ply.face == "right" for ply in region.ply)


@pytest.mark.parametrize(("plan", "said"), [("off_centre", "over, right side in."), ("quarters_along", "short of the free edges.")])
def test_folding_is_told_as_her_tape_reads(plan: Plan, said: str) -> None:
    lay = laid(dress(0.9)[:6], Cloth("main", 1700.0), plan, trials=2)
    inches, centimetres = (" ".join(step.words for step in fold_steps(lay, unit=unit)) for unit in ("in", "cm"))
    assert re.search(rf"\d( \d/\d)? in {said}", inches)
    assert re.search(rf"\d\.\d cm {said}", centimetres)
    assert "mm" not in inches + centimetres


def test_off_centre_depths_hold_the_widest_fold_piece() -> None:
    depths = off_centre_depths(Cloth("main", 1500.0), dress())
    assert any(depth >= 275.0 for depth in depths)
    assert all(2 * depth <= 1480.0 for depth in depths)


@pytest.mark.parametrize("plan", ["lengthwise", "crosswise", "crossed_four", "quarters_along", "quarters_across"])
def test_the_first_fold_ends_up_where_the_lay_has_it(plan: Plan) -> None:
    """What the arrow of a step moves comes to lie on the half that stays: that half's free edges and fold are where the lay has them."""
    lay = laid(dress(0.9)[:6], Cloth("main", 1700.0), plan, trials=2)
    first, *then = fold_steps(lay)
    axis = 0 if plan in ("crosswise", "crossed_four", "quarters_across") else 1
    came, went = (point[axis] for point in first.arrow)
    is_low_kept = went < came  # the half at low y (or x) stays, its free edges low, its fold high
    assert is_low_kept == plan.startswith("quarters"), "in quarters the free edges lie at -z, else the fold at 0"
    for step in then:
        assert step.made, "the fold that lies there already is shown"
        box_high = max(point[axis] for point in step.outline)
        assert {point[axis] for point in step.made} == ({box_high} if plan.startswith("quarters") else {0.0})


def test_off_the_middle_the_end_shows_one_layer_beyond_the_two() -> None:
    lay = laid(dress(0.9), Cloth("main", 1500.0), "off_centre", trials=2)
    (_, top), (_, bottom) = end_view(lay).plies
    assert top[0] == pytest.approx(lay.regions[0].y[1])
    assert bottom[0] == pytest.approx(lay.regions[1].y[1])
    assert bottom[0] > top[0] + 50.0


def test_the_fold_of_a_lay_on_the_second_length_alone_is_drawn() -> None:
    """The longest length is laid on first, whichever place it has on the card; no fold was found once where the first was not used."""
    lay = laid(dress(0.6)[:4], Cloth("main", 1500.0, lengths_mm=(900.0, 4000.0)), "lengthwise", trials=2)
    assert {region.bundle for region in lay.regions} == {1}
    assert len(fold_steps(lay)) == 1
    assert len(end_view(lay).plies) == 2


def test_a_motifs_piece_is_not_put_on_a_flaw() -> None:
    """Without a place for the motif its piece comes first, at the cut end; a flaw there sends it elsewhere."""
    cloth = Cloth("main", 1500.0, flaws=(Flaw(0, 200.0, 60.0, 40.0, 40.0),))
    pieces = dress(0.9)[:6]
    lay = lay_out(garment(pieces), {"main": cloth}, Ask("open", Budget(2, 1), motif=Motif("skirt front", (0.0, 300.0))), TOOLS)
    flaws = [{"x": 200.0, "y": 60.0, "along": 40.0, "across": 40.0, "bundle": 0}]
    assert faults(told(lay), told(garment(pieces)), flaws_on_plies(told(lay), flaws)) == []
