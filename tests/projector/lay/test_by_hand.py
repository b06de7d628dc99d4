"""Moves by hand: the lay stays a lay, what is wrong is told at once, hands and prints are kept."""

from dataclasses import replace

import pytest

from calibration.errors import WrongInput
from projector.lay.by_hand import NotByHand, flipped, into_region, moved, place_of, renewed, turned
from projector.lay.cloth import Cloth, Light
from projector.lay.lay import Lay
from projector.lay.realise import faults_of
from tests.lay_checker.check import faults
from tests.projector.lay.made_up import dress, garment, laid, told

CLOTH = Cloth("main", 1500.0)


def _number(lay: Lay, piece: str) -> int:
    return next(n for n, placed in enumerate(lay.placed) if placed.piece == piece)


def _free(lay: Lay, number: int) -> Lay:
    """The piece moved clear of everything, beyond the end."""
    far = max(x for placed in lay.placed for x, _ in placed.outline) + 50.0
    return moved(lay, number, far - min(x for x, _ in place_of(lay, number).outline), 0.0)


@pytest.mark.parametrize("piece", ["sleeve", "bow", "skirt front", "back"])
def test_a_piece_moved_turned_and_flipped_stays_itself(piece: str) -> None:
    lay = laid(dress(), CLOTH, "lengthwise", trials=4)
    number, pieces = _number(lay, piece), dress()
    away = _free(lay, number)
    drafted = next(each for each in pieces if each.name == piece)
    changed = [away, turned(away, number)]
    if not drafted.on_fold:
        changed += [flipped(each, number, drafted) for each in changed]
    for each in changed:
        whole = renewed(each, CLOTH, Light())
        assert faults_of(whole) == []
        assert faults(told(whole), told(garment(pieces))) == []


def test_an_overlap_is_told_at_once() -> None:
    lay = laid(dress(), CLOTH, "lengthwise", trials=4)
    sleeve, back = (place_of(lay, _number(lay, piece)).outline[0] for piece in ("sleeve", "back"))
    onto = moved(lay, _number(lay, "sleeve"), back[0] - sleeve[0], back[1] - sleeve[1])
    assert any("sleeve" in each and "back" in each for each in faults_of(onto))


def test_what_may_not_be_done_is_refused() -> None:
    printed = laid(dress(), Cloth("main", 1500.0, up="along"), "lengthwise", trials=4)
    with pytest.raises(NotByHand, match="way round"):
        turned(printed, 0)
    with pytest.raises(NotByHand, match="fold"):
        flipped(printed, _number(printed, "skirt front"), dress()[3])
    opened = laid(dress(), CLOTH, "open", trials=4)
    with pytest.raises(NotByHand, match="wrong hand"):
        flipped(opened, _number(opened, "sleeve"), dress()[5])
    with pytest.raises(WrongInput):
        moved(printed, 99, 1.0, 0.0)


def test_a_piece_lifted_into_another_length() -> None:
    cloth = Cloth("main", 1150.0, lengths_mm=(1100.0, 1300.0))
    lay = laid(dress(0.9), cloth, "lengthwise", trials=4)
    number = _number(lay, "bow")
    other = next(region for region in lay.regions if region.id != lay.placed[number].region)
    free_at = other.x[1] + 10.0
    lifted = renewed(into_region(lay, number, other, (free_at, 10.0)), replace(cloth, lengths_mm=(2000.0, 2000.0)), Light())
    assert lifted.placed[number].region == other.id
    assert faults(told(lifted), told(garment(dress(0.9)))) == []
