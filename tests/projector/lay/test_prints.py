"""A print kept in step on a drafted dress: along the cloth, across it, both; sleeves by their front notch; only the repeat typed."""

from math import dist

import numpy as np
import pytest

from projector.api import pieces_for
from projector.garment.pieces import Garment
from projector.lay.bays import fold_cloth
from projector.lay.cloth import Budget, Cloth, Flaw
from projector.lay.errors import ClothTooSmall
from projector.lay.held import flaw_on_plies
from projector.lay.lay import Plan, Up
from projector.lay.print_place import Motif, along_edge, at_row, matched, side_crosses, where_printed
from projector.lay.stage import Ask, lay_out
from projector.steps.given import garment_from_json
from tests.lay_checker.check import faults
from tests.lay_checker.prints import crosses, print_faults
from tests.lay_checker.unfolded import flaws_on_plies, unfolded_faults
from tests.projector.lay.made_up import TOOLS, told

BODY = {"bust": 920.0, "waist": 740.0, "hip": 990.0, "nape_waist": 400.0, "stature": 1650.0, "upper_arm": 290.0, "wrist": 165.0}


@pytest.fixture(name="dress", scope="module")
def _dress() -> Garment:
    return garment_from_json(pieces_for(BODY, {"sleeve": "short", "lining": False, "facings": False}))


@pytest.mark.parametrize(
    ("plan", "up", "repeats"),
    [
        ("lengthwise", "along", (160.0, 0.0)),
        ("open", "along", (160.0, 50.0)),
        ("open", "across", (64.0, 160.0)),
        ("crosswise", "none", (0.0, 160.0)),
        ("off_centre", "either", (64.0, 64.0)),
    ],
)
@pytest.mark.parametrize("is_placed", [False, True])
def test_the_repeat_is_kept_on_every_partner(dress: Garment, plan: Plan, up: Up, repeats: tuple[float, float], is_placed: bool) -> None:
    cloth = Cloth("main", 1500.0, up=up, repeat_along_mm=repeats[0], repeat_across_mm=repeats[1])
    motif = Motif("front centre", (0.0, 180.0)) if is_placed else None
    lay = lay_out(dress, {"main": cloth}, Ask(plan, Budget(12, 1), motif=motif), TOOLS)
    assert faults(told(lay), told(dress)) == []
    assert print_faults(told(lay), told(dress), repeats) == []
    assert {name for level in ("bust", "hip") for name in crosses(told(lay), told(dress), level)} >= {"back", "front side", "skirt back"}


def test_a_piece_out_of_step_is_found(dress: Garment) -> None:
    cloth = Cloth("main", 1500.0, up="along", repeat_along_mm=160.0)
    lay = told(lay_out(dress, {"main": cloth}, Ask("lengthwise", Budget(2, 1)), TOOLS))
    back = next(placed for placed in lay["placed"] if placed["piece"] == "back")
    back["outline"] = [[x + 3.0, y] for x, y in back["outline"]]
    assert any("3.0 mm out of step along" in fault for fault in print_faults(lay, told(dress), (160.0, 0.0)))


def test_a_sleeve_is_level_with_the_bodice_at_the_front_notch(dress: Garment) -> None:
    """The row lies as far below the notch on the sleeve as on the armhole (common practice, no source)."""
    row = matched(dress, Motif("front centre", (0.0, 180.0))).crosses
    on_cap, on_armhole = (
        max(notch.at[1] for notch in dress.piece(piece).notches if notch.edge == edge and notch.count == 1)
        for piece, edge in (("sleeve", "cap front"), ("front side", "armhole"))
    )
    assert row["sleeve"][0] == 0.0
    assert row["sleeve"][1] - on_cap == pytest.approx(row["front side"][1] - on_armhole)
    assert next(iter(where_printed(dress, "main", Motif("front centre", (0.0, 180.0))))) == "front centre"


def test_no_place_for_a_whole_repeat_is_said(dress: Garment) -> None:
    cloth = Cloth("main", 1000.0, up="along", repeat_across_mm=450.0)
    with pytest.raises(ClothTooSmall, match="keeps step") as refused:
        lay_out(dress, {"main": cloth}, Ask("lengthwise", Budget(2, 1)), TOOLS)
    assert "no whole repeat" in refused.value.why


def test_side_seams_have_crosses_of_their_own_at_bust_waist_and_hip(dress: Garment) -> None:
    """Both places of a cross are sewn together: as far down the seam on either side, counted from the same end."""
    found = side_crosses(dress, "main")
    assert [each.level for each in found] == ["bust", "waist", "waist", "hip"]
    assert {frozenset(side.piece for side in each.sides) for each in found} == {
        frozenset({"front side", "back"}),
        frozenset({"skirt front", "skirt back"}),
    }
    for each in found:
        down = []
        for side in each.sides:
            edge = next(edge for edge in dress.piece(side.piece).edges if edge.kind == "side")
            points = edge.points if edge.points[0][1] < edge.points[-1][1] else edge.points[::-1]
            arc = next(arc for arc in np.arange(0.0, 800.0, 0.25) if dist(along_edge(points, arc), side.point) < 0.2)
            down.append(float(arc))
            if each.level != "waist" and side is each.sides[0]:
                assert side.point[1] == pytest.approx(dress.piece(side.piece).levels[each.level]), "at its level"
                assert at_row(edge, side.point[1]) is not None
        assert down[0] == pytest.approx(down[1], abs=0.6)


@pytest.mark.parametrize("plan", ["lengthwise", "off_centre"])
@pytest.mark.parametrize("y_mm", [80.0, 1000.0, 1350.0])
def test_a_flaw_of_a_matched_print_is_found_on_the_layer_that_shows_it(dress: Garment, plan: Plan, y_mm: float) -> None:
    """Right side out the upper layer runs as the lower one does right side in: judged on the unfolded cloth."""
    flaw = Flaw(bundle=0, x_mm=500.0, y_mm=y_mm, along_mm=60.0, across_mm=60.0)
    cloth = Cloth("main", 1500.0, up="along", repeat_along_mm=160.0, flaws=(flaw,))
    lay = told(lay_out(dress, {"main": cloth}, Ask(plan, Budget(2, 1)), TOOLS))
    on_plies = flaws_on_plies(lay, [{"bundle": 0, "x": 500.0, "y": y_mm, "along": 60.0, "across": 60.0}])
    assert faults(lay, told(dress), on_plies) == []
    assert unfolded_faults(lay) == []
    depth = lay["fold"]["regions"][0]["y"][1]
    ours: dict[str, list[float]] = {}
    for bay in fold_cloth(cloth, plan, 0, depth, is_print_out=True).bays:
        shown = flaw_on_plies(fold_cloth(cloth, plan, 0, depth, is_print_out=True), bay, flaw)
        ours |= {ply: [round(n, 3) for n in (box[1], box[3])] for ply, box in zip(bay.plies, shown, strict=True) if box is not None}
    theirs = {one["ply"]: sorted({round(y, 3) for _, y in one["outline"]}) for one in on_plies}
    assert ours == theirs
    assert len(ours) == 1
