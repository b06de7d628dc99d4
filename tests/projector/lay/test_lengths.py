"""Each length by which a lay is made or judged, read back from lay.json or the lay itself: just short of it and just beyond. mm."""

from dataclasses import replace
from types import SimpleNamespace

import pytest
from shapely.geometry import LineString, Polygon, box

from projector.garment.pieces import Edge, FirstCut, Piece
from projector.lay import print_place
from projector.lay.again import laid_again
from projector.lay.choose import Candidate, _is_worth, recommend
from projector.lay.cloth import Budget, Cloth, ClothCard, Light, cloth_from_card
from projector.lay.first_cut import first_outline, let_out, meeting
from projector.lay.lay import Lay, Part, Placed, Plan
from projector.lay.parts import make_parts
from projector.lay.realise import faults_of
from projector.lay.stage import Ask, lay_out
from tests.projector.lay.made_up import TOOLS, garment, laid, piece, told
from tests.projector.steps import by_hand


def sheet(name: str = "panel", wide: float = 300.0, tall: float = 400.0, **more: object) -> Piece:
    """A rectangle whose cut line is its sewing line."""
    return piece(name, [(0, 0), (wide, 0), (wide, tall), (0, tall)], **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("nature", "key", "mm"),
    [
        ((), "gap_mm", 4.0),  # the contract; one pass of the shears without nicking the neighbour
        (("sheer",), "gap_mm", 8.0),  # twice that where cloth creeps; common practice, no source
        (("slippery",), "gap_mm", 8.0),
        ((), "end_mm", 10.0),  # Industrial Cutting of Textile Materials, p. 31: 1 cm each end
        ((), "selvedge_mm", 10.0),  # the contract
        ((), "ply_mm", 0.4),  # printed cotton, about: common practice, no source
    ],
)
def test_what_nobody_typed_is_as_the_trade_has_it(nature: tuple[str, ...], key: str, mm: float) -> None:
    cloth = cloth_from_card("main", ClothCard(width="150 cm", nature=nature), None)  # type: ignore[arg-type]
    lay = told(laid([sheet()], cloth, "open", trials=2))
    assert lay["cloth"][key] == pytest.approx(mm, abs=1e-9)
    assert lay["cloth_needed_mm"] == pytest.approx(400.0 + 20.0, abs=0.1), "the garment's length along the cloth, both ends kept"


def by_itself(one: Placed, two: Placed | None = None, parts: tuple[Part, ...] = (Part(0, by_hand.LIGHT, None),)) -> Lay:
    return by_hand.lay([one] if two is None else [one, two], parts=parts)


@pytest.mark.parametrize(("short", "is_wrong"), [(0.028, False), (0.033, True)])
def test_a_gap_is_kept_to_within_what_a_lay_may_be_off(short: float, is_wrong: bool) -> None:
    """Independent checks of a lay allow 0.05 mm; ours keeps below that, above what rounding to 0.01 mm at both outlines takes."""
    a, b = by_hand.rectangle("a", 100, 300), by_hand.rectangle("b", 100, 300)
    lay = by_itself(by_hand.placed(a, (20, 20), ["main-1.1"]), by_hand.placed(b, (20, 140 + 4.0 - short), ["main-1.1"]))
    assert bool(faults_of(lay)) == is_wrong


@pytest.mark.parametrize(("beyond", "is_anew"), [(0.9, False), (1.1, True)])
def test_parts_stay_while_a_piece_reaches_no_further_than_the_trade_allows_out_of_its_light(beyond: float, is_anew: bool) -> None:
    """1 mm at the light's rim: a line is 0.7 mm wide, and necks and armholes are true to 1 mm."""
    one = by_hand.rectangle("a", 100, 300)
    light = Light(340.0, 400.0)
    parts = (Part(0, (0.0, 0.0, 340.0, 400.0), None), Part(0, (220.0, 0.0, 560.0, 400.0), 0))
    lay = by_itself(by_hand.placed(one, (20, 20), ["main-1.1"]), parts=parts)
    grown = by_hand.rectangle("a", 100, 300 + beyond)
    cloth = Cloth("main", 820.0, (1400.0,))
    lay = replace(lay, cloth=replace(lay.cloth, lengths_mm=(1400.0,)))
    again, _ = laid_again(lay, by_hand.garment([grown]), cloth, light)
    assert (again.parts != parts) == is_anew


def lights(shapes: list[tuple[float, float]], light: Light, long: float = 2000.0) -> tuple[Part, ...]:
    """Parts of an open cloth with rectangles from x to x."""
    every = [by_hand.placed(by_hand.rectangle(f"p{n}", 100, b - a - 20), (a, 20), ["main-1.1"]) for n, (a, b) in enumerate(shapes)]
    return make_parts(every, by_hand.lay(every, long=long).regions, light)[1]


def test_two_lights_share_what_a_hand_s_breadth_of_cloth_needs() -> None:
    """120 mm: room for two pins a thumb from either rim (40 mm) and for the dart's runs; no more, or the cloth is pulled more often."""
    first, second, *_ = lights([(10.0, 200.0)], Light(900.0, 800.0))
    assert first.rect[2] - second.rect[0] == pytest.approx(120.0, abs=1.0)


def test_pins_stand_a_thumb_s_width_inside_both_lights() -> None:
    """40 mm: the pin mark is as wide, and her thumb (20 to 25 mm) holds the cloth beside it."""
    first, second, *_ = lights([(10.0, 200.0)], Light(900.0, 400.0), long=900.0)
    assert second.spots
    (ax, ay), (bx, by) = second.spots
    x0, y0 = max(first.rect[0], second.rect[0]), max(first.rect[1], second.rect[1])
    x1, y1 = min(first.rect[2], second.rect[2], 900.0), min(first.rect[3], second.rect[3], 800.0)
    assert (ax - x0, x1 - bx) == pytest.approx((40.0, 40.0), abs=0.5)
    assert (ay - y0, y1 - by) == pytest.approx(((y1 - y0) / 4, (y1 - y0) / 4) if y1 - y0 < 160 else (40.0, 40.0), abs=0.5)


@pytest.mark.parametrize(("shared", "is_under"), [(0.95, False), (1.1, True)])
def test_pieces_that_share_less_than_a_square_millimetre_lie_beside_each_other(shared: float, is_under: bool) -> None:
    """A corner over a corner: nothing of one is cut through the other. The lower of two that lie over one another is lit no earlier."""
    light = Light(400.0, 400.0)
    lower = by_hand.placed(by_hand.rectangle("lower", 100, 20), (281.0, 130.0), ["main-1.2"])  # lit by the first light or the second
    upper = by_hand.placed(by_hand.rectangle("upper", 100, 260), (321.0 - shared / 10.0, 20.0), ["main-1.1"])  # by the second alone
    lay = by_hand.lay([upper, lower], layers=2, long=900.0)
    placed, _ = make_parts([upper, lower], [replace(lay.regions[0], folds=())], light)
    assert Polygon(upper.outline).intersection(Polygon(lower.outline)).area == pytest.approx(shared, abs=1e-6)
    assert (placed[1].part >= placed[0].part) == is_under


# ---------------------------------------------------------------- the line of a first dress


@pytest.mark.parametrize(("apart", "lines"), [(0.09, 1), (0.11, 2)])
def test_two_halves_of_a_first_line_are_one_within_twice_the_flattening(apart: float, lines: int) -> None:
    """Curves are flattened to 0.05 mm: the halves of one line may end that far on either side of the middle."""
    assert len(meeting([((100.0, 0.0), (0.0, 0.0)), ((-100.0, 0.0), (-apart, 0.0))])) == lines


@pytest.mark.parametrize(("beside", "corner"), [(0.24, True), (0.27, False)])
def test_a_first_line_may_end_straight_beyond_a_corner(beside: float, corner: bool) -> None:
    """On a neighbouring edge run on straight, within a chalk line's width: let out, the edge itself goes on to that end."""
    tower = Polygon(
        [(0, 0), (300, 0), (300, 200), (220, 200), (220, 50), (200, 50), (200, 100), (0, 100)]
    )  # 20 mm beside: nearer than the corner
    out = let_out(tower, LineString([(200.0 + beside, 140.0), (100.0, 140.0), (0.0, 140.0)]))
    assert out.covers(box(0.0, 101.0, 199.0, 139.0))
    assert out.covers(box(201.0, 51.0, 219.0, 139.0)) != corner


def test_a_first_line_s_half_keeps_to_its_own_side_of_the_fold() -> None:
    """However long the piece: a circle's half is metres across."""
    ring = [(0.0, 0.0), (3000.0, 0.0), (3000.0, 2000.0), (0.0, 2000.0)]
    line = FirstCut("waist", ((3000.0, -5.0), (0.0, -5.0)))
    half = replace(piece("skirt", ring, fold=True), first_cut=(line,))
    assert first_outline(half, True).bounds == pytest.approx((0.0, -5.0, 3000.0, 2000.0), abs=0.01)


@pytest.mark.parametrize(("more", "is_taken"), [(1.13, True), (1.17, False)])
def test_fronts_over_backs_may_take_a_seventh_more_cloth(more: float, is_taken: bool) -> None:
    """15 %: one line then serves four layers; our judgement, and no more of her cloth than that."""
    over, free = (Candidate("quarters_along", done=SimpleNamespace(used_mm=used)) for used in (2000.0 * more, 2000.0))  # type: ignore[arg-type]
    assert _is_worth(over, free) == is_taken


@pytest.mark.parametrize(
    ("plan", "saves", "is_chosen"),
    [
        ("off_centre", 225.0, False),
        ("off_centre", 232.0, True),
        ("crosswise", 225.0, False),
        ("crosswise", 232.0, True),
        ("open", 450.0, False),
        ("open", 465.0, True),
    ],
)
def test_a_less_convenient_fold_must_save_cloth_that_is_sold(plan: Plan, saves: float, is_chosen: bool) -> None:
    """Cloth is sold by the eighth of a yard (114.3 mm): two of them for another fold, four for opening out; how many is our judgement."""
    usual, other = (Candidate(name, done=SimpleNamespace(used_mm=used)) for name, used in (("lengthwise", 2000.0), (plan, 2000.0 - saves)))  # type: ignore[arg-type]
    assert (recommend([usual, other])[0].plan == plan) == is_chosen


def test_cloths_the_order_does_not_name_are_as_wide_as_they_are_sold() -> None:
    """Linings 140 cm, fusible interfacing 90 cm (common practice, no source): never too narrow a guess for what is bought."""
    pieces = [sheet("panel"), sheet("panel lining", cloth="lining"), sheet("panel fusible", cloth="interfacing")]
    lay = lay_out(garment(pieces), {"main": Cloth("main", 1500.0)}, Ask("open", Budget(2, 1)), TOOLS)
    assert {name: one.cloth.width_mm for name, one in lay.others.items()} == {"lining": 1400.0, "interfacing": 900.0}


@pytest.mark.parametrize(("mouth", "is_parted"), [(0.45, False), (0.55, True)])
def test_edges_half_a_millimetre_apart_are_parted_by_a_dart(mouth: float, is_parted: bool) -> None:
    """Sewn on, they end and begin at one point but for the flattening (0.05) and rounding; no dart's mouth is under 3 mm."""
    upper = Edge("side 1", "side", ((0.0, 0.0), (0.0, 100.0)), 15.0)
    lower = Edge("side 2", "side", ((0.0, 100.0 + mouth), (10.0, 300.0)), 15.0)
    assert print_place._is_darted([("front", upper), ("front", lower)]) == is_parted
