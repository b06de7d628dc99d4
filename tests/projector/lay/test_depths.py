"""How deep cloth is folded, which light shows a piece, where two lights share their spots, what cloth is: the figures themselves. mm.

All are ours, no source, where none is named.
"""

from contextlib import nullcontext

import pytest

from calibration.errors import WrongInput
from projector.garment.pieces import Piece
from projector.lay.bays import _off_centre
from projector.lay.choose import off_centre_depths, overhang_of
from projector.lay.cloth import Cloth, ClothCard, cloth_from_card
from projector.lay.needs import cost_of
from projector.lay.parts import _best_window, _spots
from projector.lay.together import Saving
from tests.projector.steps.by_hand import rectangle

CLOTH = Cloth("main", 1500.0)


def sheet(name: str, wide: float, **more: object) -> Piece:
    """A rectangle 400 long whose cut line is its sewing line."""
    return rectangle(name, wide, 400.0, grow=0.0, **more)  # type: ignore[arg-type]


def test_depths_worth_trying_off_the_middle() -> None:
    """The widest piece on the fold and 2; 80 more; the widest pair, half a gap (2) and 4; the fold and the narrowest pair together."""
    pieces = [sheet("front", 300.0, fold=True), sheet("back", 250.0, count=2), sheet("sleeve", 200.0, count=2)]
    assert off_centre_depths(CLOTH, pieces) == pytest.approx([302.0, 382.0, 256.0, 302.0 + 206.0])


@pytest.mark.parametrize(("wide", "depths"), [(57.0, 1), (59.0, 2)])
def test_a_fold_under_60_is_none(wide: float, depths: int) -> None:
    """59 and 139 for a piece of 57; 61 and 141."""
    assert len(off_centre_depths(CLOTH, [sheet("front", wide, fold=True)])) == depths


@pytest.mark.parametrize(("pair", "depths"), [(307.0, 2), (309.0, 3)])
def test_depths_within_12_of_one_another_are_one(pair: float, depths: int) -> None:
    """A fold of 302, 382 and a pair of 313 or 315; both together are too deep for this cloth."""
    pieces = [sheet("front", 300.0, fold=True), sheet("back", pair, count=2)]
    assert len(off_centre_depths(Cloth("main", 1000.0), pieces)) == depths


@pytest.mark.parametrize(("selvedge", "end", "beyond"), [(5.0, 5.0, 10.0), (15.0, 10.0, 15.0), (5.0, 12.0, 12.0)])
def test_backs_hang_over_the_fold_by_10_or_the_selvedge_or_the_end(selvedge: float, end: float, beyond: float) -> None:
    """And by their own allowance beyond the middle."""
    back = rectangle("back", 250.0, 400.0, grow=15.0, part="back", count=2)
    assert overhang_of([back], Cloth("main", 1500.0, selvedge_mm=selvedge, end_mm=end)) == pytest.approx(15.0 + beyond)


@pytest.mark.parametrize(("left", "count"), [(19.0, 1), (21.0, 2)])
def test_what_is_left_single_is_used_from_20_on(left: float, count: int) -> None:
    """Off the middle, from the upper selvedge on to the far one."""
    depth = (CLOTH.usable_mm - CLOTH.selvedge_mm - left) / 2
    folded = _off_centre(CLOTH, "main-1", 1, depth)
    assert len(folded.bays) == count


@pytest.mark.parametrize(("off", "window"), [(49.0, 0), (51.0, 1)])
def test_the_light_nearest_a_piece_s_middle_shows_it(off: float, window: int) -> None:
    """The earliest of those within one step of 50, added up of both edges; the second light is off by 30."""
    rects = [(0.0, 0.0, 1000.0 + off, 800.0), (0.0, 0.0, 1030.0, 800.0)]
    assert _best_window(rects, (400.0, 300.0, 600.0, 500.0)) == window


def test_two_lights_share_spots_a_quarter_in_where_they_share_little() -> None:
    """40 wide: 10 inside both edges."""
    one, other = _spots((0.0, 0.0, 500.0, 40.0), (460.0, 0.0, 900.0, 40.0), (0.0, 0.0, 900.0, 40.0), ((0.0, 40.0),))
    assert one == pytest.approx((470.0, 10.0))
    assert other == pytest.approx((490.0, 30.0))


@pytest.mark.parametrize(("wide", "goes"), [(99.0, False), (101.0, True), (3999.0, True), (4001.0, False)])
def test_cloth_is_between_a_ribbon_and_a_loom_wide(wide: float, goes: bool) -> None:
    """100 to 4000: what is narrower or wider lacks its unit."""
    with nullcontext() if goes else pytest.raises(WrongInput):
        cloth_from_card("main", ClothCard(width=f"{wide:.0f} mm"), "mm")


@pytest.mark.parametrize(("share", "goes"), [(0.29, True), (0.31, False)])
def test_no_cloth_shrinks_by_a_third(share: float, goes: bool) -> None:
    """Under 30 percent."""
    with nullcontext() if goes else pytest.raises(WrongInput):
        Cloth("main", 1500.0, shrinks_along=share)


def test_shrinkage_is_typed_in_percent() -> None:
    cloth = cloth_from_card("main", ClothCard(width="150 cm", washed=False, shrinks=(5.0, 2.0)), "cm")
    assert (cloth.shrinks_along, cloth.shrinks_across) == (0.05, 0.02)


def test_cloth_is_sold_by_the_centimetre() -> None:
    """A hair of 0.01 mm over one buys no other."""
    cost = [cost_of(Cloth("main", 1500.0, price=100.0), mm) for mm in (1230.0, 1230.009, 1230.02)]
    assert cost == pytest.approx([123.0, 123.0, 124.0])


def test_laid_together_saves_whole_centimetres() -> None:
    """Rounded down."""
    assert [Saving(1000.0, 1000.0 + saved).words for saved in (9.9, 10.1, 19.9)] == ["saves nothing", "saves 1 cm", "saves 1 cm"]
