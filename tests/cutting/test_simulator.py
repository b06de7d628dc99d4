"""The simulator proves right lists and turns red, by the named rule, on every spoiled one."""

from collections.abc import Callable
from copy import deepcopy
from math import cos, pi, sin
from pathlib import Path

import pytest
from numpy import array
from shapely.geometry import Polygon

from tests.cutting.examples import (
    STRIPS,
    Told,
    again_lay,
    again_steps,
    bound_lay,
    bound_steps,
    changed,
    lay_of,
    line,
    open_lay,
    open_steps,
    quarters,
    quarters_steps,
    swapped,
    without,
)
from tests.cutting.simulator import RULES, Fault, prove
from tests.cutting.table import with_first_cuts
from tests.sentences import unsaid

Q, OPEN, AGAIN = quarters_steps(), open_steps(), again_steps()
BOUND, APART = bound_steps(), bound_steps(is_apart=True)
CUT = 8
"""The step of BOUND that cuts the strips; in APART it is the next."""
NEEDED = "a strip lies on cloth that "
FRONTS_AND_ONE = ["q.1", "q.2", "q.3"]


def test_right_lists_are_proved() -> None:
    assert prove(*quarters(), Q) == []
    assert prove(*open_lay(), OPEN) == []
    assert prove(*again_lay(), AGAIN) == []
    assert prove(*bound_lay(), BOUND) == []
    assert prove(*bound_lay(is_apart=True), APART) == []


def _moved_line(steps: list[Told], number: int, dy_mm: float) -> list[Told]:
    told = deepcopy(steps)
    for one in told[number]["lines"]:
        if one["kind"] == "cut" and one["when"] == "now":
            one["mm"] = [[x, y + dy_mm] for x, y in one["mm"]]
    return told


def at(piece: str, ply: str) -> Told:
    """As handles and frees name it."""
    return {"piece": piece, "ply": ply}


def _ring(piece: str, points: list[list[float]]) -> Told:
    return line("cut", "now", piece, [*points, points[0]])


HOLE = [[250.0, 100.0], [270.0, 100.0], [270.0, 120.0], [250.0, 120.0], [250.0, 100.0]]
WIDE_TRIM = [[48.0, 38.0], [252.0, 38.0], [252.0, 142.0], [48.0, 142.0]]
"""The facing's cut line with 2 mm left on all round."""


def _extra_cut(steps: list[Told], number: int, points: list[list[float]]) -> list[Told]:
    told = deepcopy(steps)
    told[number]["lines"].append(line("cut", "now", None, points))
    return told


Made = Callable[[], list[Told]]
SPOILED: dict[str, tuple[str, str, Made]] = {
    "unknown layer": ("ids", "unknown layers in ", lambda: changed(Q, 1, through=["q.9"])),
    "the cloth moves in a cut": (
        "moved",
        " step moves the cloth",
        lambda: changed(Q, 3, cloth_at={"x_mm": 21.0, "y_mm": 30.0, "turn_deg": 0.0}),
    ),
    "a bold cut line in a tag step": ("now", " step shows a line to cut now", lambda: changed(Q, 5, lines=Q[1]["lines"])),
    "cut lines in a STOP picture": ("stop", "a STOP picture lists cut lines", lambda: changed(Q, 1, size=[1920, 1080])),
    "height of three layers": ("plies", " layers, should be ", lambda: changed(Q, 1, height_mm=1.5)),
    "a layer under the lines not told": (
        "plies",
        " lies under the lines and is not listed",
        lambda: changed(Q, 2, plies=FRONTS_AND_ONE, height_mm=1.5),
    ),
    "lifted layers still told": (
        "plies",
        " is listed and has no cloth under the lines",
        lambda: changed(Q, 7, plies=[*Q[1]["plies"]], height_mm=2.0),
    ),
    "the top layer left out": ("over", " lies above ", lambda: changed(Q, 1, through=["q.2", "q.3", "q.4"])),
    "fronts cut without a card": ("card", " without a card", lambda: without(Q, 2)),
    "backs left out of the first cut": ("card", " without a card", lambda: changed(Q, 1, through=["q.1", "q.2"])),
    "a card over nothing": ("card", "over the card lie ", lambda: changed(Q, 2, through=["q.1", "q.2", "q.3", "q.4"])),
    "a card under one front": ("card", " without a card", lambda: changed(Q, 2, through=["q.1"])),
    "cut where no cloth is": (
        "air",
        ": no cloth under the cut",
        lambda: changed(Q, 7, plies=[*Q[1]["plies"]], through=[*Q[1]["plies"]], height_mm=2.0),
    ),
    "a cut through nothing": ("air", "a cut that names neither layers nor pieces in hand", lambda: changed(Q, 7, through=[])),
    "front's neck through all four": ("damage", " mm inside it", lambda: changed(Q, 3, through=Q[1]["through"])),
    "one slit into the back": ("damage", " mm inside it", lambda: _extra_cut(Q, 7, [[250, 100], [250, 120]])),
    "a cut 1.5 mm off": ("damage", " mm inside it", lambda: _moved_line(Q, 7, -1.5)),
    "the fronts' fold cut open": ("slit", " mm cut along its fold", lambda: _extra_cut(Q, 1, [[150, 0.4], [420, 0.4]])),
    "freed a step early": ("frees", " too much, ", lambda: changed(Q, 1, frees=Q[3]["frees"])),
    "not told free": ("frees", " too much, ", lambda: changed(Q, 3, frees=Q[3]["frees"][:1])),
    "told free twice": ("frees", "named twice: ", lambda: changed(Q, 3, frees=[*Q[3]["frees"], *Q[3]["frees"]])),
    "freed but for one edge": (
        "frees",
        " too much, ",
        lambda: changed(Q, 3, lines=[line("cut", "now", "front", [[90, 0], [89, 62], [80, 80]])]),
    ),
    "lifted without a tag": ("tag", " has no tag", lambda: without(Q, 5)),
    "one front without a tag": ("tag", " has no tag", lambda: changed(Q, 5, handles=Q[5]["handles"][:1])),
    "lifted before it is loose": ("lift", " is not cut loose", lambda: swapped(Q, 3, 6)),
    "backs lifted from under the fronts": ("lift", " lies under ", lambda: [*without(Q, 6), deepcopy(Q[6])]),
    "snip not made": ("marks", " never marked", lambda: without(Q, 4)),
    "snip in one layer only": ("marks", " never marked", lambda: changed(Q, 4, through=["q.1"])),
    "snip of 12 mm": (
        "marks",
        " from the edge",
        lambda: changed(Q, 4, lines=[line("notch", "mark", "front", [[260, 244.84], [260, 232.84]])]),
    ),
    "a back never lifted": ("end", " was never lifted", lambda: changed(Q, 9, handles=Q[9]["handles"][:1])),
    "backs never cut": ("end", " was never lifted", lambda: Q[:7]),
    "block not trimmed": ("trim", " was never trimmed to its cut line", lambda: OPEN[:-1]),
    "trimmed before fused": ("trim", " is no fused block in hand", lambda: swapped(OPEN, 9, 10)),
    "trimmed 2 mm off": ("trim", " falls into ", lambda: _moved_line(OPEN, 10, 2.0)),
    "sleeve left on the cloth when it is pulled": ("slide", " left behind", lambda: without(OPEN, 3)),
    "not pulled along": ("slide", " lies in the light", lambda: without(OPEN, 4)),
    "cut outside its part": ("light", " leaves its part ", lambda: changed(OPEN, 5, part=0)),
    "a cut through one layer of a pair": ("over", " lies above ", lambda: changed(Q, 7, through=["q.4"])),
    "a card under no layers": ("card", "a card without layers or without a place", lambda: changed(Q, 2, through=[])),
    "a tag for nothing": ("ids", " step takes nothing", lambda: changed(Q, 5, handles=[])),
    "a mark in hand": ("ids", " step names pieces in hand", lambda: changed(Q, 4, handles=Q[5]["handles"])),
    "a tag on a layer that keeps nothing": ("ids", "no such piece on that layer: ", lambda: changed(Q, 5, handles=[at("front", "q.3")])),
    "lifted twice": ("lift", " is lifted twice", lambda: [*Q[:7], *deepcopy(Q[6:])]),
    "a hole cut into the back": ("end", " mm2", lambda: _extra_cut(Q, 7, HOLE)),
    "lifted without its last cut": ("end", " was not cut to its line", lambda: without(Q, 7)),
    "freed by a tag": ("frees", " step frees nothing", lambda: changed(Q, 5, frees=Q[3]["frees"])),
    "a cut without a line": ("now", "a cut step without a line to cut", lambda: changed(Q, 7, lines=[])),
    "cut where it lies not": ("plies", "cuts layers that it says do not lie there", lambda: changed(Q, 1, plies=["q.1", "q.2"])),
    "layers from below": ("plies", "not top first: ", lambda: changed(Q, 1, plies=[*reversed(Q[1]["plies"])])),
    "freed by a re-trim": ("frees", "a re-trim frees nothing new", lambda: changed(OPEN, 10, frees=[at("facing", "o.1")])),
    "trimmed 2 mm too wide": ("trim", " does not end at its cut line", lambda: changed(OPEN, 10, lines=[_ring("facing", WIDE_TRIM)])),
    "fused before it is lifted": ("lift", " is not in hand for ", lambda: [*deepcopy(OPEN[:2]), OPEN[9], *deepcopy(OPEN[2:])]),
    "pulled to where it lay": ("slide", " follows none", lambda: changed(OPEN, 4, part=0)),
    "pulled back and forth": ("slide", "the cloth is pulled back and forth", lambda: [*OPEN[:5], {**OPEN[4], "part": 0}, *OPEN[4:]]),
}


SPOILED_AGAIN: dict[str, tuple[str, str, Made]] = {
    "never cut again": ("again", " does not end at its new line", lambda: AGAIN[:-4]),
    "cut again where it was not laid back": (
        "again",
        " was not laid back by two points of its cut edge",
        lambda: without(AGAIN, len(AGAIN) - 4),
    ),
    "one cross beside its edge": ("again", " was not laid back by two points of its cut edge", lambda: _moved_cross(AGAIN, len(AGAIN) - 4)),
    "cut again 2 mm too deep": ("again", " falls into ", lambda: _moved_line(AGAIN, len(AGAIN) - 3, 2.0)),
    "cut again 2.5 mm too wide": ("again", " does not end at its new line", lambda: _moved_line(AGAIN, len(AGAIN) - 3, -2.5)),
    "no snip after it was cut again": ("marks", " never marked", lambda: without(AGAIN, len(AGAIN) - 2)),
    "not tagged again": ("tag", " was not tagged again", lambda: AGAIN[:-1]),
    "cut again with a slit": ("again", " mm2 of its new outline", lambda: _slit(AGAIN, len(AGAIN) - 3)),
    "left with a slit": ("again", " lacks cloth for its new outline", lambda: _slit(AGAIN, len(AGAIN) - 3)),
}


def _slit(steps: list[Told], number: int) -> list[Told]:
    """20 mm cut into the middle of the piece besides."""
    told = deepcopy(steps)
    (x, _), (_, y) = told[number]["lines"][0]["mm"][0], told[number]["lines"][0]["mm"][1]
    told[number]["lines"].append({**told[number]["lines"][0], "mm": [[x + 100.0, y + 60.0], [x + 120.0, y + 60.0]]})
    return told


def _moved_cross(steps: list[Told], number: int) -> list[Told]:
    told = deepcopy(steps)
    for one in told[number]["lines"][:2]:
        one["mm"] = [[x + 3.0, y - 3.0] for x, y in one["mm"]]
    return told


def _strips(spoil: Callable[[float, float], list[float]], number: int = 0) -> list[Told]:
    """One strip cut amiss."""
    return bound_steps(strips=[[spoil(x, y) for x, y in strip] if n == number else strip for n, strip in enumerate(STRIPS)])


SPOILED_STRIPS: dict[str, tuple[str, Made]] = {
    "never cut": (" were never cut loose", lambda: without(BOUND, CUT)),
    "one of two cut": ("joined the strips are ", lambda: changed(BOUND, CUT, lines=BOUND[CUT]["lines"][:1])),
    "off the bias by 0.8 degrees": (" degrees off the bias", lambda: _strips(lambda x, y: [x + (y - 205.0) * 0.0281, y], 0)),
    "1.2 mm too narrow": (" mm wide, ", lambda: _strips(lambda x, y: [x + (0.85 if x - y < 1060 else -0.85), y])),
    "3 mm too wide": (" were never cut loose", lambda: _strips(lambda x, y: [x - (4.2 if x - y < 1060 else 0.0), y])),
    "20 mm too short": ("joined the strips are ", lambda: _strips(lambda x, y: [x - 20.0, y - 20.0] if y > 200.0 else [x, y], 1)),
    "a sleeve still lies there": ("strips are cut while ", lambda: [*BOUND[:5], BOUND[CUT], *BOUND[5:CUT], *BOUND[CUT + 1 :]]),
    "named as a piece freed": (
        "a strip is no piece: nothing is freed or handled",
        lambda: changed(BOUND, CUT, frees=[{"piece": "sleeve", "ply": "o.1"}]),
    ),
    "cut on into the waste": ("a line of this cut runs along no strip", lambda: _extra_cut(BOUND, CUT, [[600.0, 300.0], [640.0, 300.0]])),
    "cloth beyond the lay not opened": ("the cloth beyond the lay was not opened first", lambda: without(APART, CUT)),
}


def _is_told(rule: str, says: str, faults: list[Fault]) -> bool:
    """Among these faults is this sentence of this rule."""
    assert any(fault.rule == rule and says in fault.text for fault in faults), [str(fault) for fault in faults]
    return True


@pytest.mark.parametrize("name", SPOILED_STRIPS)
def test_strips_cut_amiss_turn_red(name: str) -> None:
    says, make = SPOILED_STRIPS[name]
    assert _is_told("strips", says, prove(*bound_lay(is_apart="beyond" in name), make()))


@pytest.mark.parametrize(
    ("says", "change"),
    [
        (NEEDED, {"strips": [[[x - 330.0, y] for x, y in strip] for strip in STRIPS]}),
        ("joined the strips are ", {"wanted_mm": 1000.0}),
        (" mm wide, ", {"width_mm": 42.0}),
    ],
)
def test_a_plan_of_strips_amiss_turns_red(says: str, change: dict[str, object]) -> None:
    lay, pieces = bound_lay()
    lay["binding"].update(change)
    strips = change.get("strips")
    assert _is_told("strips", says, prove(lay, pieces, bound_steps(strips=strips) if isinstance(strips, list) else BOUND))


@pytest.mark.parametrize("name", SPOILED_AGAIN)
def test_pieces_cut_again_amiss_turn_red(name: str) -> None:
    rule, says, make = SPOILED_AGAIN[name]
    assert _is_told(rule, says, prove(*again_lay(), make()))


@pytest.mark.parametrize("name", SPOILED)
def test_spoiled_lists_turn_red(name: str) -> None:
    rule, says, make = SPOILED[name]
    lay, pieces = open_lay() if make()[0]["plies"] == ["o.1"] else quarters()
    assert _is_told(rule, says, prove(lay, pieces, make()))


Files = tuple[Told, Told, list[Told]]


def _sleeves_over_each_other() -> Files:
    lay, pieces = open_lay()
    lay["placed"].append(deepcopy(lay["placed"][0]))
    return lay, pieces, OPEN


def _four_sleeves_wanted() -> Files:
    lay, pieces = open_lay()
    return lay, {**pieces, "pieces": [{**one, "cut": {**one["cut"], "count": 4}} for one in pieces["pieces"]]}, OPEN


def _hardly_an_allowance() -> Files:
    """The changed sleeve's seam 1 mm inside its new edge."""
    lay, pieces = again_lay()
    seam = {"name": "under", "kind": "under", "fold": False, "allowance_mm": 5.0, "points": [[189, 50], [189, 150], [189, 250]]}
    return lay, {**pieces, "pieces": [{**one, "edges": [seam]} if one["name"] == "sleeve" else one for one in pieces["pieces"]]}, AGAIN


def _deep_snip() -> Files:
    """8 mm of allowance, a snip of 6: 2 are left."""
    lay, pieces = quarters()
    front = pieces["pieces"][0]
    seam = [list(point) for point in Polygon(front["cut_line"]).buffer(-8.0, join_style="mitre").exterior.coords][:-1]
    steps = changed(Q, 4, lines=[line("notch", "mark", "front", [[260, 244.84], [260, 238.84]])])
    return lay, {**pieces, "pieces": [{**front, "seam_line": seam}, *pieces["pieces"][1:]]}, steps


def _two_cloths() -> Files:
    """A step that cuts the main cloth and a layer of lining."""
    lay, pieces = quarters()
    (lining,) = open_lay()[0]["fold"]["regions"]
    lay["others"] = {"lining": lay_of([lining], [], [(0, 0, 640, 400)], name="lining")}
    return lay, pieces, changed(Q, 1, plies=[*Q[1]["plies"], "o.1"])


def _part_of_another_length() -> Files:
    lay, pieces = quarters()
    lay["parts"][0]["bundle"] = 1
    return lay, pieces, Q


def _strips_from_two_layers() -> Files:
    lay, pieces = bound_lay()
    (region,) = lay["fold"]["regions"]
    region["ply"].append({**region["ply"][0], "id": "o.2", "face": "wrong"})
    return lay, pieces, BOUND


SPOILED_FILES: list[tuple[str, str, Callable[[], Files]]] = [
    ("lift", " is gone", _sleeves_over_each_other),
    ("end", " cut, ", _four_sleeves_wanted),
    ("again", " mm of allowance left at ", _hardly_an_allowance),
    ("marks", ": a snip ends ", _deep_snip),
    ("ids", "layers of two cloths or lengths in one step: ", _two_cloths),
    ("ids", " is not on length ", _part_of_another_length),
    ("strips", " lie: bias strips are cut from one layer", _strips_from_two_layers),
]


@pytest.mark.parametrize(("rule", "says", "make"), SPOILED_FILES, ids=[make.__name__ for _, _, make in SPOILED_FILES])
def test_lays_and_pieces_amiss_turn_red(rule: str, says: str, make: Callable[[], Files]) -> None:
    assert _is_told(rule, says, prove(*make()))


REFUSED = (" is not that piece's cut line (off by ", " is used twice", " is another layer's")


def test_files_that_no_table_can_be_laid_by_are_refused() -> None:
    lay, pieces = quarters()
    lay["placed"][0]["outline"] = [[0, 0], [90, 0], [90, 90]]
    with pytest.raises(ValueError, match="front is not that piece's cut line"):
        prove(lay, pieces, Q)
    lay, pieces = quarters()
    lay["fold"]["regions"][0]["ply"][1]["id"] = "q.1"
    with pytest.raises(ValueError, match=r"q\.1 is used twice"):
        prove(lay, pieces, Q)
    lay, pieces = bound_lay(is_apart=True)
    lay["binding"]["ply"] = "o.1"
    with pytest.raises(ValueError, match=r"o\.1 is another layer's"):
        prove(lay, pieces, APART)


def test_every_sentence_of_the_simulator_has_a_spoiled_list() -> None:
    """A rule that nothing breaks may have been written so that nothing can."""
    said = {(rule, says) for rule, says, _ in (*SPOILED.values(), *SPOILED_AGAIN.values(), *SPOILED_FILES)}
    said |= {("strips", says) for says, _ in SPOILED_STRIPS.values()} | {("strips", NEEDED)} | {("", says) for says in REFUSED}
    assert {rule for rule, _ in said} - {""} == set(RULES)
    assert unsaid(Path(__file__).parent, said, apart=("product",)) == []


@pytest.mark.parametrize("turn", [0.25, 0.375, 0.5])
@pytest.mark.parametrize("waist_mm", [60.0, 70.0, 120.0])
def test_a_circles_waist_is_let_out_by_its_ring_alone(waist_mm: float, turn: float) -> None:
    """An opened half circle: both ends of its waist on one straight line. The area between two arcs is known."""
    arcs = [
        array([(radius * cos(2 * pi * turn * n / 90), radius * sin(2 * pi * turn * n / 90)) for n in range(91)])
        for radius in (waist_mm - 10.0, waist_mm, 700.0)
    ]
    first, waist, hem = arcs
    let_out = with_first_cuts(Polygon([*hem, *waist[::-1]]), [first])
    assert let_out.area == pytest.approx(Polygon([*hem, *first[::-1]]).area, abs=5.0)  # a join of 0.01 mm round some 500 mm of line
