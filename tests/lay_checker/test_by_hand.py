"""Every rule of the checker turned red on lays written by hand, the folds of every plan among them; the right ones are clean."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.lay_checker.binding import binding_faults
from tests.lay_checker.check import faults
from tests.lay_checker.examples import bound, lay_of, ply, region, small, two_lights
from tests.lay_checker.parts import part_faults
from tests.lay_checker.plans import FOLD_SIDES, plan_faults
from tests.lay_checker.prints import print_faults
from tests.lay_checker.test_spoiled import SAID
from tests.lay_checker.unfolded import unfolded_faults
from tests.sentences import unsaid

Told = dict[str, Any]
Spoil = Callable[[Told], object]


def _regions(lay: Told) -> list[Told]:
    found: list[Told] = lay["fold"]["regions"]
    return found


def _plies(lay: Told) -> list[Told]:
    found: list[Told] = _regions(lay)[0]["ply"]
    return found


def _twisted(lay: Told) -> None:
    ring = lay["placed"][1]["outline"]
    ring[1], ring[2] = ring[2], ring[1]


def _off_the_fold(lay: Told) -> None:
    """All of the skirt but a strip of 100 mm cut away from the fold by a slanting side: the outline is another, and short on the fold."""
    lay["placed"][0]["outline"] = [[10.0, 0.0], [10.0, 100.0], [310.0, 100.0], [110.0, 0.0]]


WHOLE: list[tuple[str, Spoil]] = [
    ("format is ", lambda lay: lay.update(format=2)),
    (" times in lay.json", lambda lay: _plies(lay)[1].update(id="m.1")),
    ("two lays of the same cloth", lambda lay: lay["others"].update(lining=lay_of("open"))),
    ("no lay for cloth ", lambda lay: lay["cloth"].update(name="muslin")),
    (": no such piece or region", lambda lay: lay["placed"][1].update(region="n")),
    ("its outline crosses itself", _twisted),
    ("laid on a fold, but it is not a fold piece", lambda lay: lay["placed"][1].update(on_fold=True)),
    (" mm fold edge lie on the fold", _off_the_fold),
    ("`of` or `cloth` is not the piece's", lambda lay: lay["placed"][1].update(of="lining")),
    (" is not a choice of the region's plies", lambda lay: lay["placed"][1].update(on=["m.1", "m.9"])),
    (", the cloth's up is ", lambda lay: lay["cloth"].update(up="across")),
    (" in plan ", lambda lay: [placed.update(grain_deg=90.0) for placed in lay["placed"]]),
    (" mirror images are no pairs", lambda lay: [one.update(face="right") for one in _plies(lay)]),
    ("no parts", lambda lay: lay.update(parts=[])),
    (": its part lies on another length", lambda lay: lay["parts"][0].update(bundle=1)),
    ("comes from nowhere", lambda lay: lay["parts"].append({**lay["parts"][0], "spots": []})),
]


def test_the_small_lay_is_clean() -> None:
    lay, pieces = small()
    assert faults(lay, pieces) == []
    assert unfolded_faults(lay) == []
    assert part_faults(two_lights()) == []


@pytest.mark.parametrize(("says", "spoil"), WHOLE, ids=[row[0].strip() for row in WHOLE])
def test_a_small_lay_spoiled_is_found(says: str, spoil: Spoil) -> None:
    lay, pieces = small()
    spoil(lay)
    assert any(says in fault for fault in faults(lay, pieces)), faults(lay, pieces)


LIGHTS: list[tuple[str, Spoil]] = [
    (": some of it is in no part", lambda lay: [part["rect"].__setitem__(slice(None), [0.0, 0.0, 90.0, 490.0]) for part in lay["parts"]]),
    (": cannot slide from ", lambda lay: lay["parts"][1].update(slide_from=1)),
    (": two sliding marks are wanted", lambda lay: lay["parts"][1].update(spots=[[50.0, 50.0]])),
    (": a sliding mark is not in both lights", lambda lay: lay["parts"][1].update(spots=[[2.0, 50.0], [300.0, 450.0]])),
    (" too near each other to hold a turn", lambda lay: lay["parts"][1].update(spots=[[50.0, 50.0], [50.0, 140.0]])),
]


@pytest.mark.parametrize(("says", "spoil"), LIGHTS, ids=[row[0].strip() for row in LIGHTS])
def test_two_lights_spoiled_are_found(says: str, spoil: Spoil) -> None:
    lay = two_lights()
    spoil(lay)
    assert any(says in fault for fault in part_faults(lay)), part_faults(lay)


@pytest.mark.parametrize("plan", FOLD_SIDES)
def test_a_right_fold_of_every_plan_is_clean(plan: str) -> None:
    assert plan_faults(lay_of(plan)) == []
    assert unfolded_faults(lay_of(plan)) == []


FOLDS: list[tuple[str, str, Spoil]] = [
    ("two plies carry the same id", "crosswise", lambda lay: _plies(lay)[1].update(id="m.1")),
    (" layers, plan ", "lengthwise", lambda lay: lay["fold"].update(plan="quarters_along")),
    (": a fold that plan ", "lengthwise", lambda lay: _regions(lay)[0]["folds"][0].update(side="x1")),
    (": folds of plan ", "quarters_along", lambda lay: _regions(lay)[0]["folds"].pop(0)),
    (" is not in hand", "open", lambda lay: _regions(lay)[0].update(bundle=1)),
    (": a fold joins plies that are not there", "lengthwise", lambda lay: _regions(lay)[0]["folds"][0].update(joins=["m.1", "m.9"])),
    (" are turned wrongly", "crosswise", lambda lay: _plies(lay)[0].update(turned=0)),
    (" do not end at one line", "quarters_along", lambda lay: _plies(lay)[3].update(y=[-20.0, 230.0])),
    (" does not span its plies", "quarters_along", lambda lay: _regions(lay)[0].update(y=[0.0, 235.0])),
    (": a ply of no size", "open", lambda lay: _plies(lay)[0].update(x=[400.0, 400.0])),
    (": layers are not the usable width", "crosswise", lambda lay: [one.update(y=[0.0, 990.0]) for one in _plies(lay)]),
    (" across, cloth has ", "crossed_four", lambda lay: [one.update(y=[0.0, 500.0]) for one in _plies(lay)]),
    ("one doubled part and at most one single part", "off_centre", lambda lay: _regions(lay).append({**_regions(lay)[1], "id": "mt"})),
    (" doubled does not fit in ", "off_centre", lambda lay: _regions(lay)[0].update(y=[0.0, 500.0])),
    ("off-centre: the single layer lies under ", "off_centre", lambda lay: _regions(lay)[1].update(y=[290.0, 680.0])),
    (": its regions run into each other", "open", lambda lay: _regions(lay).append({**_regions(lay)[0], "id": "n", "x": [300.0, 700.0]})),
]


@pytest.mark.parametrize(("says", "plan", "spoil"), FOLDS, ids=[row[0].strip() for row in FOLDS])
def test_a_fold_spoiled_is_found(says: str, plan: str, spoil: Spoil) -> None:
    lay = lay_of(plan)
    spoil(lay)
    assert any(says in fault for fault in plan_faults(lay)), plan_faults(lay)


def _three_layers(lay: Told) -> None:
    """A third layer sewn on where the second lies: over its fold, right side up."""
    plies = [*_plies(lay), ply("m.3", (0.0, 400.0), (0.0, 490.0), "wrong")]
    _regions(lay)[0].update(region("m", plies, [("y0", 1, 2), ("y0", 2, 3)]))


def _wide_layer(lay: Told) -> None:
    _plies(lay)[1]["y"] = [0.0, 600.0]


def _contradicting(lay: Told) -> None:
    """The second fold of a crossed four lies 30 mm further out on one pair of layers."""
    for one in _plies(lay)[2:]:
        one["x"] = [30.0, 400.0]


def _beside(lay: Told) -> None:
    """A piece on the lower doubled layer, another on the single layer 2 mm from it: one cloth, 4 mm wanted."""
    square = {"piece": "sleeve", "on_fold": False, "outline": [[20.0, 200.0], [120.0, 200.0], [120.0, 309.0], [20.0, 309.0]]}
    other = [[20.0, 311.0], [120.0, 311.0], [120.0, 400.0], [20.0, 400.0]]
    lay["placed"] = [
        {**square, "region": "m", "on": ["m.2"]},
        {**square, "piece": "band", "region": "ms", "on": ["ms.1"], "outline": other},
    ]


FLAT: list[tuple[str, str, Spoil]] = [
    (": two layers are one piece of the flat cloth", "lengthwise", _three_layers),
    (": unfolds to ", "lengthwise", _wide_layer),
    (": its folds contradict each other at ", "crossed_four", _contradicting),
    (" do not lie as one fold leaves them", "lengthwise", lambda lay: _plies(lay)[0].update(face="right")),
    (": a layer is joined to nothing", "lengthwise", lambda lay: _regions(lay)[0].update(folds=[])),
    ("flat: in regions beside each other ", "off_centre", _beside),
    (", unfolded it is ", "open", lambda lay: lay.update(cloth_needed_mm=395.0)),
]


@pytest.mark.parametrize(("says", "plan", "spoil"), FLAT, ids=[row[0].strip() for row in FLAT])
def test_cloth_seen_flat_shows_what_is_wrong(says: str, plan: str, spoil: Spoil) -> None:
    lay = lay_of(plan)
    spoil(lay)
    assert any(says in fault for fault in unfolded_faults(lay)), unfolded_faults(lay)


COPIES: list[tuple[str, Spoil]] = [
    (" is cut ", lambda lay: lay["placed"][1].update(outline=[[x, y - 2.0] for x, y in lay["placed"][1]["outline"]])),
    (" lies too near a cut end", lambda lay: lay["placed"][1].update(outline=[[x - 3.0, y] for x, y in lay["placed"][1]["outline"]])),
]


@pytest.mark.parametrize(("says", "spoil"), COPIES, ids=[row[0].strip() for row in COPIES])
def test_copies_seen_flat_keep_their_room(says: str, spoil: Spoil) -> None:
    lay, _ = small()
    spoil(lay)
    assert any(says in fault for fault in unfolded_faults(lay)), unfolded_faults(lay)


def _moved_strip(lay: Told, number: int, dx: float, dy: float) -> None:
    lay["binding"]["strips"][number] = [[x + dx, y + dy] for x, y in lay["binding"]["strips"][number]]


def _piece_beside_a_strip(lay: Told) -> None:
    lay["placed"] = [{"region": "m", "outline": [[197.0, 21.0], [260.0, 21.0], [260.0, 81.0], [197.0, 81.0]]}]


BINDING: list[tuple[str, Spoil]] = [
    (" does not lie at 45 degrees", lambda lay: lay["binding"]["strips"][0][2].__setitem__(0, 380.0)),
    (" does not have the ", lambda lay: lay["binding"].update(width_mm=38.0)),
    ("joined it is ", lambda lay: lay["binding"].update(length_mm=800.0)),
    ("two strips overlap", lambda lay: _moved_strip(lay, 1, -20.0, 0.0)),
    (" layers lie there", lambda lay: _plies(lay).append(dict(_plies(lay)[0]))),
    ("a strip leaves the cloth of the lay", lambda lay: _moved_strip(lay, 0, 0.0, -30.0)),
    ("a strip leaves what is bought beyond the lay", lambda lay: lay["binding"].update(region="", extra_mm=300.0)),
    (" mm from a piece", _piece_beside_a_strip),
]


def test_a_right_binding_is_clean() -> None:
    assert binding_faults(bound(), 774.5) == []
    assert any("joined it is " in fault for fault in binding_faults(bound(), 774.7)), "0.1 mm too short for what is wanted"


@pytest.mark.parametrize(("says", "spoil"), BINDING, ids=[row[0].strip() for row in BINDING])
def test_a_binding_spoiled_is_found(says: str, spoil: Spoil) -> None:
    lay = bound()
    spoil(lay)
    assert any(says in fault for fault in binding_faults(lay, 700.0)), binding_faults(lay, 700.0)


def test_a_print_out_of_step_is_found() -> None:
    """A row every 160 mm: the sleeves' level 3 mm off the skirt's, the trade allows 2."""
    lay, pieces = small()
    for piece, level in zip(pieces["pieces"], (100.0, 100.0), strict=True):
        piece["levels"] = {"hip": level}
    assert print_faults(lay, pieces, (160.0, 0.0)) == []
    pieces["pieces"][1]["levels"]["hip"] = 103.0
    assert any(" mm out of step " in fault for fault in print_faults(lay, pieces, (160.0, 0.0)))


def test_a_bent_fold_edge_is_no_fold() -> None:
    lay, pieces = small()
    pieces["pieces"][0]["edges"][0]["points"][0] = [1.0, 300.0]
    with pytest.raises(ValueError, match="no straight fold edge"):
        faults(lay, pieces)


ELSEWHERE = {" mm out of step ", ": no straight fold edge", " mm out of phase", " lies on a flaw"}
"""Said in tests of their own."""


def test_every_sentence_of_the_checker_has_a_spoiled_lay() -> None:
    """A rule that nothing breaks may have been written so that nothing can."""
    said = {row[0] for table in (WHOLE, LIGHTS, FOLDS, FLAT, COPIES, BINDING) for row in table} | SAID | ELSEWHERE
    assert unsaid(Path(__file__).parent, {("", says) for says in said}) == []
