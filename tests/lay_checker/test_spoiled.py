"""The checker bites: each spoiled lay turns a named fault red, and the lay it was made from is clean."""

import json
from collections.abc import Callable
from functools import cache
from typing import Any

import pytest

from projector.lay.cloth import Cloth, Light
from projector.lay.lay import Plan
from tests.lay_checker.check import faults, phase_faults
from tests.lay_checker.parts import part_faults
from tests.lay_checker.unfolded import unfolded_faults
from tests.projector.lay.made_up import dress, garment, laid, told

Told = dict[str, Any]


@cache
def _sound(plan: Plan) -> str:
    return json.dumps(told(laid(dress(), Cloth("main", 1500.0, up="along"), plan, trials=5, light=Light(900.0, 600.0))))


def sound(plan: Plan = "lengthwise") -> Told:
    """A fresh copy of a sound lay."""
    copy: Told = json.loads(_sound(plan))
    return copy


def the(lay: Told, piece: str) -> Told:
    found: Told = next(placed for placed in lay["placed"] if placed["piece"] == piece)
    return found


def move(placed: Told, dx: float, dy: float) -> None:
    placed["outline"] = [[x + dx, y + dy] for x, y in placed["outline"]]


def onto_neighbour(lay: Told) -> None:
    other = the(lay, "sleeve")["outline"]
    own = the(lay, "back")
    move(own, min(x for x, _ in other) - min(x for x, _ in own["outline"]), 0.0)


def closer(lay: Told) -> None:
    for placed in lay["placed"]:
        move(placed, placed["outline"][0][0] * -0.002, 0.0)


def mirror(lay: Told) -> None:
    placed = the(lay, "side front")
    top = max(y for _, y in placed["outline"]) + min(y for _, y in placed["outline"])
    placed["outline"] = [[x, top - y] for x, y in placed["outline"]]


def turn(lay: Told) -> None:
    placed = the(lay, "sleeve")
    xs, ys = [x for x, _ in placed["outline"]], [y for _, y in placed["outline"]]
    placed["outline"] = [[max(xs) + min(xs) - x, max(ys) + min(ys) - y] for x, y in placed["outline"]]
    placed["turned"] = 180 - placed["turned"]


def stretch(lay: Told) -> None:
    placed = the(lay, "sleeve")
    placed["outline"] = [[x * 1.001, y] for x, y in placed["outline"]]


def other_face(lay: Told) -> None:
    for ply in lay["fold"]["regions"][0]["ply"]:
        ply["face"] = "right"


def wrong_hand(lay: Told) -> None:
    placed = the(lay, "bow")
    region = lay["fold"]["regions"][0]
    placed["on"] = [ply["id"] for ply in region["ply"] if ply["id"] not in placed["on"]]


SPOILED: list[tuple[str, Callable[[Told], object], str, str]] = [
    ("overlap", onto_neighbour, " lie over each other", "sleeve"),
    ("too near", closer, " mm apart, ", ""),
    ("off the end", lambda lay: move(min(lay["placed"], key=lambda p: min(x for x, _ in p["outline"])), -1.0, 0.0), " mm from side ", "x0"),
    ("over the selvedge", lambda lay: move(the(lay, "skirt back"), 0.0, 900.0), " mm from side ", "y1"),
    ("off the fold by a tenth", lambda lay: move(the(lay, "skirt front"), 0.0, 0.1), "its fold edge does not lie on the fold", "skirt"),
    ("across the fold", lambda lay: move(the(lay, "sleeve"), 0.0, -600.0), " mm from side ", "y0"),
    ("mirrored unsaid", mirror, "its outline is not the cut line moved", "side front"),
    ("stretched by a thousandth", stretch, "its outline is not the cut line moved", "sleeve"),
    ("turned against the print", turn, "not all pieces lie the same way round", ""),
    ("grain", lambda lay: the(lay, "sleeve").update(grain_deg=3.0), "grain_deg says ", "sleeve"),
    ("one copy lost", lambda lay: lay["placed"].remove(the(lay, "back")), " laid, ", "0 laid, 2 wanted"),
    ("half a pair", lambda lay: the(lay, "back").update(on=the(lay, "back")["on"][:1]), " laid, ", "1 laid, 2 wanted"),
    ("single of the wrong hand", wrong_hand, " laid as mirror images", "bow"),
    ("both plies right side up", other_face, ": a fold joins two plies of the same face", ""),
    (
        "fold piece on one ply", lambda lay: the(lay, "skirt front").update(on=the(lay, "skirt front")["on"][:1]),
        "a fold piece must be on both joined plies", "skirt front",
    ),
    ("layers miscounted", lambda lay: the(lay, "back").update(plies=1), "plies says ", "back"),
    ("cloth needed", lambda lay: lay.update(cloth_needed_mm=lay["cloth_needed_mm"] - 5), ", the regions use ", "cloth_needed_mm"),
    ("utilisation", lambda lay: lay.update(utilisation=lay["utilisation"] + 0.01), "utilisation says ", ""),
    (
        "wider than the cloth", lambda lay: [p.update(y=[0, 900]) for r in lay["fold"]["regions"] for p in r["ply"]],
        ": the two layers do not make the usable width", "",
    ),
    ("more than in hand", lambda lay: lay["cloth"].update(lengths_mm=[500.0]), " used, ", "500.0 in hand"),
    ("part", lambda lay: the(lay, "sleeve").update(part=9), " does not exist", "part 9"),
    ("part cuts the piece", lambda lay: lay["parts"][the(lay, "sleeve")["part"]].update(rect=[0, 0, 900, 20]), ", its part cuts it", ""),
    ("slide back", lambda lay: lay["parts"][-1].update(rect=[-50.0, 0.0, 850.0, 600.0]), ": slides the cloth back", ""),
    ("mark beside the cloth", lambda lay: lay["parts"][-1]["spots"][0].__setitem__(1, -30.0), " is on no cloth", ""),
    ("another cloth", lambda lay: the(lay, "sleeve").update(cloth="lining"), "laid on another cloth", "sleeve"),
    ("ply ids", lambda lay: lay["fold"]["regions"][0]["ply"][0].update(id="x.7"), ": ply ids are not ", "from the top"),
]  # fmt: skip
"""What is spoiled, words of the fault without a figure between them, and a figure or a name that has to stand in it too."""
PULLED_BACK = " of a later part; the cloth is pulled back for it"
SAID = {says for _, _, says, _ in SPOILED} | {PULLED_BACK}


@pytest.mark.parametrize(("spoil", "says", "which"), [pytest.param(*row[1:], id=row[0]) for row in SPOILED])
def test_a_spoiled_lay_is_found(spoil: Callable[[Told], object], says: str, which: str) -> None:
    pieces = told(garment(dress()))
    lay = sound()
    assert faults(lay, pieces) == []
    spoil(lay)
    assert any(says in each and which in each for each in faults(lay, pieces)), faults(lay, pieces)


def _stack_of_two(under: tuple[float, float], part: int) -> Told:
    """Four layers and two lights: a front on the upper two, from x 700 to 1100, a back `under` it in that part."""

    def placed(piece: str, on: list[str], x: tuple[float, float], part: int) -> Told:
        outline = [[x[0], 20.0], [x[1], 20.0], [x[1], 300.0], [x[0], 300.0]]
        return {"piece": piece, "region": "main-1", "on": on, "part": part, "outline": outline}

    ids = [f"main-1.{number}" for number in range(1, 5)]
    rects = [[0.0, 0.0, 900.0, 500.0], [400.0, 0.0, 1300.0, 500.0]]
    return {
        "fold": {"regions": [{"id": "main-1", "bundle": 0, "ply": [{"id": one, "x": [0.0, 1300.0], "y": [0.0, 500.0]} for one in ids]}]},
        "placed": [placed("front", ids[:2], (700.0, 1100.0), 1), placed("back", ids[2:], under, part)],
        "parts": [
            {"bundle": 0, "rect": rects[0], "slide_from": None, "spots": []},
            {"bundle": 0, "rect": rects[1], "slide_from": 0, "spots": [[450.0, 50.0], [850.0, 450.0]]},
        ],
    }


def test_cloth_pulled_back_for_what_lies_below_is_seen() -> None:
    assert part_faults(_stack_of_two((450.0, 800.0), 1)) == []
    assert part_faults(_stack_of_two((450.0, 690.0), 0)) == []  # beside it, not below
    assert part_faults(_stack_of_two((350.0, 800.0), 0)) == []  # only the first light holds it whole, and that one not the front
    assert any(PULLED_BACK in fault for fault in part_faults(_stack_of_two((450.0, 800.0), 0)))


def test_flaws_and_phase_are_seen() -> None:
    lay, pieces = sound("open"), told(garment(dress()))
    placed = lay["placed"][0]
    x, y = (sum(point[n] for point in placed["outline"]) / len(placed["outline"]) for n in (0, 1))
    spot = {"cloth": "main", "ply": placed["on"][0], "outline": [[x, y], [x + 9, y], [x + 9, y + 9], [x, y + 9]]}
    assert any(" lies on a flaw" in each for each in faults(lay, pieces, [spot]))
    assert phase_faults(160.0, {"front": 100.0, "back": 420.2}) == []
    assert len(phase_faults(160.0, {"front": 100.0, "back": 425.0})) == 1


@pytest.mark.parametrize("spoil", ["face", "turned", "fold", "nearer", "end"])
def test_the_flat_cloth_shows_what_is_wrong(spoil: str) -> None:
    """A layer the wrong side up, turned, a fold left out, a copy 3 mm nearer its neighbour's side of the fold, a piece at the cut end."""
    lay = json.loads(_sound("lengthwise"))
    region = lay["fold"]["regions"][0]
    assert unfolded_faults(lay) == []
    if spoil in ("face", "turned"):
        region["ply"][0][spoil] = {"wrong": "right", 0: 180}[region["ply"][0][spoil]]
    elif spoil == "fold":
        region["folds"] = []
    else:
        free = next(placed for placed in lay["placed"] if not placed["on_fold"] and len(placed["on"]) == 2)
        axis = 1 if spoil == "nearer" else 0
        least = min(point[axis] for point in free["outline"]) - 1.0
        free["outline"] = [[x - (0.0 if axis else least), y - (least if axis else 0.0)] for x, y in free["outline"]]
    assert unfolded_faults(lay) != []
