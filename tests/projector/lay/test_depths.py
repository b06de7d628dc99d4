"""How deep cloth is folded, which light shows a piece, and where two lights share their spots: the figures themselves. mm.

All are ours, no source, where none is named.
"""

import pytest

from projector.garment.pieces import Piece
from projector.lay.bays import _off_centre
from projector.lay.choose import off_centre_depths, overhang_of
from projector.lay.cloth import Cloth
from projector.lay.parts import _best_window, _spots
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


@pytest.mark.parametrize(("selvedge", "beyond"), [(5.0, 10.0), (15.0, 15.0)])
def test_backs_hang_over_the_fold_by_10_or_the_selvedge(selvedge: float, beyond: float) -> None:
    """And by their own allowance beyond the middle."""
    back = rectangle("back", 250.0, 400.0, grow=15.0, part="back", count=2)
    assert overhang_of([back], Cloth("main", 1500.0, selvedge_mm=selvedge)) == pytest.approx(15.0 + beyond)


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
