"""The simulator proves right lists and turns red, by the named rule, on every spoiled one."""

from collections.abc import Callable
from copy import deepcopy
from math import cos, pi, sin

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
    line,
    open_lay,
    open_steps,
    quarters,
    quarters_steps,
    swapped,
    without,
)
from tests.cutting.simulator import RULES, prove
from tests.cutting.table import with_first_cuts

Q, OPEN, AGAIN = quarters_steps(), open_steps(), again_steps()
BOUND, APART = bound_steps(), bound_steps(is_apart=True)
CUT = 8
"""The step of BOUND that cuts the strips; in APART it is the next."""
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


def _extra_cut(steps: list[Told], number: int, points: list[list[float]]) -> list[Told]:
    told = deepcopy(steps)
    told[number]["lines"].append(line("cut", "now", None, points))
    return told


SPOILED: dict[str, tuple[str, Callable[[], list[Told]]]] = {
    "unknown layer": ("ids", lambda: changed(Q, 1, through=["q.9"])),
    "the cloth moves in a cut": ("moved", lambda: changed(Q, 3, cloth_at={"x_mm": 21.0, "y_mm": 30.0, "turn_deg": 0.0})),
    "a bold cut line in a tag step": ("now", lambda: changed(Q, 5, lines=Q[1]["lines"])),
    "cut lines in a STOP picture": ("stop", lambda: changed(Q, 1, size=[1920, 1080])),
    "height of three layers": ("plies", lambda: changed(Q, 1, height_mm=1.5)),
    "a layer under the lines not told": ("plies", lambda: changed(Q, 2, plies=FRONTS_AND_ONE, height_mm=1.5)),
    "lifted layers still told": ("plies", lambda: changed(Q, 7, plies=[*Q[1]["plies"]], height_mm=2.0)),
    "the top layer left out": ("over", lambda: changed(Q, 1, through=["q.2", "q.3", "q.4"])),
    "fronts cut without a card": ("card", lambda: without(Q, 2)),
    "backs left out of the first cut": ("card", lambda: changed(Q, 1, through=["q.1", "q.2"])),
    "a card over nothing": ("card", lambda: changed(Q, 2, through=["q.1", "q.2", "q.3", "q.4"])),
    "a card under one front": ("card", lambda: changed(Q, 2, through=["q.1"])),
    "cut where no cloth is": ("air", lambda: changed(Q, 7, plies=[*Q[1]["plies"]], through=[*Q[1]["plies"]], height_mm=2.0)),
    "a cut through nothing": ("air", lambda: changed(Q, 7, through=[])),
    "front's neck through all four": ("damage", lambda: changed(Q, 3, through=Q[1]["through"])),
    "one slit into the back": ("damage", lambda: _extra_cut(Q, 7, [[250, 100], [250, 120]])),
    "a cut 1.5 mm off": ("damage", lambda: _moved_line(Q, 7, -1.5)),
    "the fronts' fold cut open": ("slit", lambda: _extra_cut(Q, 1, [[150, 0.4], [420, 0.4]])),
    "freed a step early": ("frees", lambda: changed(Q, 1, frees=Q[3]["frees"])),
    "not told free": ("frees", lambda: changed(Q, 3, frees=Q[3]["frees"][:1])),
    "told free twice": ("frees", lambda: changed(Q, 3, frees=[*Q[3]["frees"], *Q[3]["frees"]])),
    "freed but for one edge": ("frees", lambda: changed(Q, 3, lines=[line("cut", "now", "front", [[90, 0], [89, 62], [80, 80]])])),
    "lifted without a tag": ("tag", lambda: without(Q, 5)),
    "one front without a tag": ("tag", lambda: changed(Q, 5, handles=Q[5]["handles"][:1])),
    "lifted before it is loose": ("lift", lambda: swapped(Q, 3, 6)),
    "backs lifted from under the fronts": ("lift", lambda: [*without(Q, 6), deepcopy(Q[6])]),
    "snip not made": ("marks", lambda: without(Q, 4)),
    "snip in one layer only": ("marks", lambda: changed(Q, 4, through=["q.1"])),
    "snip of 12 mm": ("marks", lambda: changed(Q, 4, lines=[line("notch", "mark", "front", [[260, 244.84], [260, 232.84]])])),
    "a back never lifted": ("end", lambda: changed(Q, 9, handles=Q[9]["handles"][:1])),
    "backs never cut": ("end", lambda: Q[:7]),
    "block not trimmed": ("trim", lambda: OPEN[:-1]),
    "trimmed before fused": ("trim", lambda: swapped(OPEN, 9, 10)),
    "trimmed 2 mm off": ("trim", lambda: _moved_line(OPEN, 10, 2.0)),
    "sleeve left on the cloth when it is pulled": ("slide", lambda: without(OPEN, 3)),
    "not pulled along": ("slide", lambda: without(OPEN, 4)),
    "cut outside its part": ("light", lambda: changed(OPEN, 5, part=0)),
    "a cut through one layer of a pair": ("over", lambda: changed(Q, 7, through=["q.4"])),
}


SPOILED_AGAIN: dict[str, tuple[str, Callable[[], list[Told]]]] = {
    "never cut again": ("again", lambda: AGAIN[:-4]),
    "cut again where it was not laid back": ("again", lambda: without(AGAIN, len(AGAIN) - 4)),
    "one cross beside its edge": ("again", lambda: _moved_cross(AGAIN, len(AGAIN) - 4)),
    "cut again 2 mm too deep": ("again", lambda: _moved_line(AGAIN, len(AGAIN) - 3, 2.0)),
    "cut again 2.5 mm too wide": ("again", lambda: _moved_line(AGAIN, len(AGAIN) - 3, -2.5)),
    "no snip after it was cut again": ("marks", lambda: without(AGAIN, len(AGAIN) - 2)),
    "not tagged again": ("tag", lambda: AGAIN[:-1]),
}


def _moved_cross(steps: list[Told], number: int) -> list[Told]:
    told = deepcopy(steps)
    for one in told[number]["lines"][:2]:
        one["mm"] = [[x + 3.0, y - 3.0] for x, y in one["mm"]]
    return told


def _strips(spoil: Callable[[float, float], list[float]], number: int = 0) -> list[Told]:
    """One strip cut amiss."""
    return bound_steps(strips=[[spoil(x, y) for x, y in strip] if n == number else strip for n, strip in enumerate(STRIPS)])


SPOILED_STRIPS: dict[str, Callable[[], list[Told]]] = {
    "never cut": lambda: without(BOUND, CUT),
    "one of two cut": lambda: changed(BOUND, CUT, lines=BOUND[CUT]["lines"][:1]),
    "off the bias by 0.8 degrees": lambda: _strips(lambda x, y: [x + (y - 205.0) * 0.0281, y], 0),
    "1.2 mm too narrow": lambda: _strips(lambda x, y: [x + (0.85 if x - y < 1060 else -0.85), y]),
    "3 mm too wide": lambda: _strips(lambda x, y: [x - (4.2 if x - y < 1060 else 0.0), y]),
    "20 mm too short": lambda: _strips(lambda x, y: [x - 20.0, y - 20.0] if y > 200.0 else [x, y], 1),
    "a sleeve still lies there": lambda: [*BOUND[:5], BOUND[CUT], *BOUND[5:CUT], *BOUND[CUT + 1 :]],
    "named as a piece freed": lambda: changed(BOUND, CUT, frees=[{"piece": "sleeve", "ply": "o.1"}]),
    "cut on into the waste": lambda: _extra_cut(BOUND, CUT, [[600.0, 300.0], [640.0, 300.0]]),
    "cloth beyond the lay not opened": lambda: without(APART, CUT),
}


@pytest.mark.parametrize("name", SPOILED_STRIPS)
def test_strips_cut_amiss_turn_red(name: str) -> None:
    steps = SPOILED_STRIPS[name]()
    faults = prove(*bound_lay(is_apart="beyond" in name), steps)
    assert "strips" in {fault.rule for fault in faults}, [str(fault) for fault in faults]


@pytest.mark.parametrize(
    ("what", "change"),
    [
        ("needs", {"strips": [[[x - 330.0, y] for x, y in strip] for strip in STRIPS]}),
        ("wanted", {"wanted_mm": 1000.0}),
        ("wide", {"width_mm": 42.0}),
    ],
)
def test_a_plan_of_strips_amiss_turns_red(what: str, change: dict[str, object]) -> None:
    lay, pieces = bound_lay()
    lay["binding"].update(change)
    strips = change.get("strips")
    faults = prove(lay, pieces, bound_steps(strips=strips) if isinstance(strips, list) else BOUND)
    assert any(fault.rule == "strips" and what in fault.text for fault in faults), [str(fault) for fault in faults]


@pytest.mark.parametrize("name", SPOILED_AGAIN)
def test_pieces_cut_again_amiss_turn_red(name: str) -> None:
    rule, make = SPOILED_AGAIN[name]
    faults = prove(*again_lay(), make())
    assert rule in {fault.rule for fault in faults}, [str(fault) for fault in faults]


@pytest.mark.parametrize("name", SPOILED)
def test_spoiled_lists_turn_red(name: str) -> None:
    rule, make = SPOILED[name]
    lay, pieces = open_lay() if make()[0]["plies"] == ["o.1"] else quarters()
    faults = prove(lay, pieces, make())
    assert rule in {fault.rule for fault in faults}, [str(fault) for fault in faults]


def test_every_rule_has_a_spoiled_list() -> None:
    assert {rule for rule, _ in (*SPOILED.values(), *SPOILED_AGAIN.values())} | {"strips"} == set(RULES)


def test_an_outline_of_another_piece_is_refused() -> None:
    lay, pieces = quarters()
    lay["placed"][0]["outline"] = [[0, 0], [90, 0], [90, 90]]
    with pytest.raises(ValueError, match="front"):
        prove(lay, pieces, Q)


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
