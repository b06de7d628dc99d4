"""Fold pieces opened out over each other where the fold is too short for every half. Judged by the lay's checkers and on virtual cloth."""

import random
from itertools import combinations
from typing import Any

import pytest
from shapely.geometry import Polygon

from projector.lay.cloth import Cloth, Flaw, Light
from projector.lay.run import run_task
from projector.lay.task import Bench, Task, Tools, make_task
from tests.cutting.product import as_files, garment, lay
from tests.cutting.simulator import prove
from tests.lay_checker.check import faults
from tests.lay_checker.unfolded import flaws_on_plies, unfolded_faults
from tests.projector.lay.made_up import dress, laid, piece, told
from tests.projector.lay.made_up import garment as made_up

SIDE_ZIP = {"zip": "side", "lining": False, "facings": False}


def over(told_lay: dict[str, Any]) -> set[frozenset[str]]:
    """Pairs of placed pieces whose outlines overlap: the contract allows it on different layers only."""
    shapes = [(each["piece"], Polygon(each["outline"])) for each in told_lay["placed"]]
    return {frozenset((a, b)) for (a, one), (b, other) in combinations(shapes, 2) if one.intersection(other).area > 1.0}


def halves(count: int, long: float = 600.0, wide: float = 150.0) -> list[Any]:
    """Straight halves alike, to be cut on the fold; the parts are fronts and backs of one kind."""
    sides = ("skirt_front", "skirt_back")
    return [piece(f"half {n}", [(0, 0), (wide, 0), (wide, long), (0, long)], fold=True, part=sides[n % 2]) for n in range(count)]


def test_two_halves_opened_out_lose_no_cloth() -> None:
    """On the fold they take 1204 mm and leave the rest of the cloth bare; over each other 600 mm of both layers."""
    lay_made = laid(halves(2), Cloth("main", 650.0), "lengthwise", trials=4)
    assert lay_made.cloth_needed_mm == pytest.approx(620.0, abs=0.2)
    assert {each.on[0][-1] for each in lay_made.placed} == {"1", "2"}
    assert faults(told(lay_made), told(made_up(halves(2)))) == []
    assert unfolded_faults(told(lay_made)) == []
    assert any("opened out" in line for line in lay_made.why)


def test_pieces_that_are_not_alike_never_lie_over_each_other() -> None:
    pieces = [piece(f"half {n}", [(0, 0), (150, 0), (150, 600), (0, 600)], fold=True) for n in range(4)]
    assert not any(job.layers for job in _task(pieces).jobs)


def test_a_pair_deeper_than_the_folded_cloth_hangs_on_the_fold() -> None:
    pieces = halves(2, wide=330.0)
    lay_made = laid(pieces, Cloth("main", 1000.0), "lengthwise", trials=4)
    assert all(each.on_fold for each in lay_made.placed)


@pytest.mark.parametrize("light", [Light(590.0, 800.0), Light(1400.0, 290.0)])
def test_a_pair_larger_than_the_light_hangs_on_the_fold(light: Light) -> None:
    lay_made = laid(halves(2), Cloth("main", 650.0), "lengthwise", trials=4, light=light)
    assert all(each.on_fold for each in lay_made.placed)


def test_flaws_and_prints_with_an_up() -> None:
    """A flaw keeps clear of both layers; where the print has an up the pair lies one way round."""
    flaw, pieces = Flaw(0, 200.0, 100.0, 30.0, 30.0), halves(4)
    lay_made = laid(pieces, Cloth("main", 1000.0, flaws=(flaw,)), "lengthwise", trials=4)
    spots = [{"x": 200.0, "y": 100.0, "along": 30.0, "across": 30.0, "bundle": 0}]
    assert faults(told(lay_made), told(made_up(pieces)), flaws_on_plies(told(lay_made), spots)) == []
    lay_made = laid(pieces, Cloth("main", 1000.0, up="along"), "lengthwise", trials=40)
    assert {each.turned for each in lay_made.placed} == {0}
    assert faults(told(lay_made), told(made_up(pieces))) == []


def test_the_same_trials_and_seed_give_the_same_pairs() -> None:
    cloth = Cloth("main", 1000.0)
    assert laid(halves(4), cloth, "lengthwise", trials=60) == laid(halves(4), cloth, "lengthwise", trials=60)


def test_a_dress_with_a_zip_in_the_back_has_no_pairs() -> None:
    assert not any(job.layers for job in _task(dress()).jobs)


@pytest.mark.parametrize(
    ("body", "style", "width"),
    [
        ("middle", SIDE_ZIP, 1400.0),
        ("slim", {**SIDE_ZIP, "princess": "none", "sleeve": "long"}, 1500.0),
        ("full", {"zip": "side", "skirt": "tapered", "length": "full"}, 1700.0),
        ("short", {**SIDE_ZIP, "fitted": True}, 1150.0),
    ],
)
def test_pairs_are_cut_on_virtual_cloth(body: str, style: dict[str, Any], width: float) -> None:
    made = garment(body, style)
    lay_told, pieces, steps = as_files(made, lay(made, "lengthwise", width))
    assert over(lay_told), "no pair lies over each other: nothing is tried here"
    assert faults(lay_told, pieces) == []
    assert unfolded_faults(lay_told) == []
    assert [str(fault) for fault in prove(lay_told, pieces, steps)] == []


def _task(pieces: Any) -> Task:
    cloth = Cloth("main", 1000.0)
    return make_task(Bench(cloth), cloth, pieces, "lengthwise")


def test_a_search_from_every_choice_takes_the_shortest() -> None:
    """Four halves: two pairs over each other take half of what two on the fold and two opened out alone took."""
    done = run_task(_task(halves(4)), 20, 1, Tools(random.Random))
    assert done.used_mm == pytest.approx(2 * 600.0 + 4.0 + 20.0, abs=0.3)
