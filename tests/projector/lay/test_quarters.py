"""In quarters fronts lie over backs, matched at the neck point (DRAFT R8): the back's line is cut first, through all four layers.

Judged from lay.json and pieces.json alone; the steps are cut on virtual cloth.
"""

import random
from typing import Any

import pytest
from shapely.affinity import affine_transform
from shapely.geometry import Point

from projector.lay.choose import try_plan
from projector.lay.cloth import Budget, Cloth
from projector.lay.lay import Plan
from projector.lay.stage import Ask
from projector.lay.task import Bench, Tools
from projector.making import lay_to_cut
from tests.cutting.product import Told, as_files, garment, lay
from tests.cutting.simulator import prove
from tests.lay_checker.check import faults
from tests.lay_checker.unfolded import unfolded_faults
from tests.projector.lay.made_up import TOOLS

PLAIN = {"lining": False, "facings": False}


def neck_point(piece: Told) -> tuple[float, float]:
    """Where the neck meets the shoulder, sewing line: the one place where an edge of either kind ends."""
    necks, shoulders = (
        {tuple(edge["points"][n]) for edge in piece["edges"] if edge["kind"] == kind for n in (0, -1)} for kind in ("neck", "shoulder")
    )
    ((x, y),) = necks & shoulders
    return float(x), float(y)


def on_cloth(placed: Told, piece: Told, at: tuple[float, float], is_across: bool) -> Point:
    """A point of an unturned, unflipped piece on the cloth (contract, section 4): along (y, x) + shift, across (x, -y) + shift."""
    assert (placed["turned"], placed["flipped"]) == (0, False)
    ring = [((x, -y) if is_across else (y, x)) for x, y in piece["cut_line"]]
    dx, dy = (min(p[n] for p in placed["outline"]) - min(p[n] for p in ring) for n in (0, 1))
    told = affine_transform(Point(at), [1, 0, 0, -1, dx, dy] if is_across else [0, 1, 1, 0, dx, dy])
    return Point(told.x, told.y)


@pytest.mark.parametrize(
    ("body", "style", "plan", "width"),
    [
        ("middle", {**PLAIN, "fitted": True}, "quarters_along", 1500.0),
        ("slim", {**PLAIN, "fitted": True, "princess": "none"}, "quarters_along", 1400.0),
        ("tall", {**PLAIN, "neck": "v", "neck_drop_mm": 60, "sleeve": "long"}, "quarters_along", 1900.0),
        ("short", {**PLAIN, "fitted": True}, "quarters_across", 1500.0),
    ],
)
def test_fronts_lie_over_backs_matched_at_the_neck_point(body: str, style: dict[str, Any], plan: Plan, width: float) -> None:
    made = garment(body, style)
    told, pieces, steps = as_files(made, lay(made, plan, width))
    assert faults(told, pieces) == []
    assert unfolded_faults(told) == []
    by_name = {piece["name"]: piece for piece in pieces["pieces"]}
    placed = {by_name[each["piece"]]["part"]: each for each in told["placed"]}
    is_across = plan == "quarters_across"
    front, back = (on_cloth(placed[part], by_name[placed[part]["piece"]], (0.0, 0.0), is_across) for part in ("front", "back"))
    necks = [
        on_cloth(placed[part], by_name[placed[part]["piece"]], neck_point(by_name[placed[part]["piece"]]), is_across)
        for part in ("front", "back")
    ]
    assert necks[0].distance(necks[1]) < 0.05, "one neck point"
    across = "x" if is_across else "y"
    assert getattr(front, across) == pytest.approx(getattr(back, across), abs=0.05), "centre front over centre back"
    skirts = [on_cloth(placed[part], by_name[placed[part]["piece"]], (0.0, 0.0), is_across) for part in ("skirt_front", "skirt_back")]
    assert skirts[0].distance(skirts[1]) < 0.05, "levels on levels"
    assert {ply[-1] for ply in placed["front"]["on"]} == {"1", "2"}
    assert {ply[-1] for ply in placed["back"]["on"]} == {"3", "4"}
    assert [str(fault) for fault in prove(told, pieces, steps)] == []
    cuts = [step for step in steps if step["op"] == "cut"]
    assert "fronts over backs" in lay_to_cut(made, {"main": Cloth("main", width)}, Ask(plan, Budget(1, 1)), TOOLS).why[0]
    assert len(cuts[0]["through"]) == 4, "one outer line first, through all layers"


def test_where_the_quarter_is_too_narrow_for_the_stack_pairs_are_laid_freely() -> None:
    """A princess front takes its quarter, two allowances and a gap more (DRAFT R1)."""
    made = garment("middle", {**PLAIN, "princess": "armhole"})
    free = as_files(made, lay(made, "quarters_along", 1440.0))
    assert faults(free[0], free[1]) == []
    by_name = {piece["name"]: piece for piece in free[1]["pieces"]}
    widest = max(
        max(x for x, _ in piece["cut_line"])
        for piece in by_name.values()
        if piece["part"] in ("front", "front_side", "back", "skirt_front")
    )
    z = -free[0]["fold"]["regions"][0]["ply"][2]["y"][0] + free[0]["cloth"]["selvedge_mm"]
    assert (1440.0 - 2 * z) / 4 < widest + 2 * 15.0, "the quarter holds no side front beyond the centre front"
    assert [str(fault) for fault in prove(*free)] == []


def test_every_piece_held_in_the_stack_leaves_nothing_to_search() -> None:
    """Front over back and skirt over skirt are all there is: the search has no piece to move, and says so by ending."""
    pieces = [piece for piece in garment("slim", {"facings": False, "fitted": True, "princess": "none"}).pieces if piece.cloth == "main"]
    cloth = Cloth("main", 2400.0)
    found = try_plan(Bench(cloth), cloth, "quarters_along", pieces, 60, 1, Tools(random.Random))
    assert found.refusal is None
    assert found.done is not None
