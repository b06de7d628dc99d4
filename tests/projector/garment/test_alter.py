"""Alterations: every line moves by what was pinned, seams still meet, the cloth that is left is judged. mm."""

from collections.abc import Callable
from typing import Any

import pytest

from calibration.errors import Refused, WrongInput
from projector.draft.adjust import LINES, adjust_from
from projector.draft.style import style_from_mapping
from projector.garment.alter import alter, covers, trims
from projector.garment.build import build
from projector.garment.finished import edges_mm, girth
from projector.garment.pieces import Garment
from projector.garment.seam_check import seam_report
from tests.garment_checker.check import faults
from tests.projector.garment.mean_body import measures

EASE_TOLD = "ease "
"""Ease over the body is meant to change by what was pinned; what finished girths say, and that skirt and bodice meet, still holds."""
TRUE_MM = 0.3
"""Flattening of a whole girth."""


def _main(garment: Garment, part: str) -> list[Any]:
    return [piece for piece in garment.pieces if piece.of == "main" and piece.part.startswith(part)]


def _waist(garment: Garment) -> float:
    return edges_mm([p for p in garment.pieces if p.of == "main" and p.part in ("front", "front_side", "back")], "waist") or 0.0


STYLES: list[dict[str, Any]] = [{}, {"sleeve": "long", "princess": "shoulder", "lining": False}, {"sleeve": "off_shoulder"}]


@pytest.mark.parametrize("line", sorted(LINES))
@pytest.mark.parametrize("style", STYLES, ids=["default", "long", "off shoulder"])
def test_seams_meet_whatever_line_moves(line: str, style: dict[str, Any]) -> None:
    if line == "shoulder_tip" and style.get("sleeve") == "off_shoulder":
        with pytest.raises(Refused, match="shoulder"):
            build(measures(), style_from_mapping(style), adjust_from({line: 7.0}))
        return
    for mm in (7.0, -7.0):
        garment = build(measures(), style_from_mapping(style), adjust_from({line: mm}))
        assert all(told.is_good for told in seam_report(garment))
        found = [fault for fault in faults(garment.as_json(), style) if not (fault.name in ("P08", "P09") and EASE_TOLD in fault.says)]
        assert [str(fault) for fault in found] == []


@pytest.mark.parametrize("mm", [25.0, -25.0])
def test_the_back_shoulder_keeps_its_ease_however_far_the_tip_moves(mm: float) -> None:
    """6.35 mm, Every Woman's Encyclopaedia; ours 6. Two unlike slopes once let it grow by 1.7 mm."""
    (seam,) = [
        seam for seam in build(measures(), style_from_mapping({}), adjust_from({"shoulder_tip": mm})).seams if seam.name == "shoulder"
    ]
    assert seam.a_mm - seam.b_mm == pytest.approx(6.0, abs=0.1)


@pytest.mark.parametrize(
    ("line", "of", "per_mm"),
    [("side_waist", "waist", 4), ("centre_back_waist", "waist", 2), ("side_hip", "hip", 4), ("side_hem", "hem", 4)],
)
def test_girths_change_by_what_was_pinned(line: str, of: str, per_mm: int) -> None:
    """Four quarters at the side seams, two halves at the centre back."""
    style = style_from_mapping({"lining": False})
    before, after = build(measures(), style), build(measures(), style, adjust_from({line: 6.0}))
    told: dict[str, Callable[[Garment], float]] = {
        "waist": _waist,
        "hip": lambda g: girth(_main(g, "skirt"), "hip") or 0.0,
        "hem": lambda g: edges_mm(_main(g, "skirt"), "hem") or 0.0,
    }
    assert told[of](after) - told[of](before) == pytest.approx(per_mm * 6.0, abs=TRUE_MM)


def test_left_and_right_apart_are_cut_by_the_wider() -> None:
    altered = alter(measures(), style_from_mapping({"lining": False}), {}, {"side_waist": 6.0}, {"hem": -10.0})
    assert not altered.is_even
    assert _waist(altered.cut) == pytest.approx(_waist(altered.left), abs=0.01)
    trimmed = {(trim.piece, trim.edge) for trim in trims(altered.cut, altered.right)}
    assert {("skirt front", "hem"), ("skirt back", "hem"), ("front side", "side"), ("back", "side")} <= trimmed
    assert not any(edge == "hem" for _, edge in {(t.piece, t.edge) for t in trims(altered.cut, altered.left)})


def test_what_is_left_on_the_cloth_decides() -> None:
    """A first dress has 50.8 at the side: 40 let out leave 10.8, 48 leave less than can be sewn."""
    style = style_from_mapping({"lining": False})
    before = build(measures(), style)
    for mm, is_covered in ((40.0, True), (48.0, False)):
        side = [c for c in covers(before, alter(measures(), style, {"side_hip": mm, "side_hem": mm}).cut) if c.edge == "side"]
        assert side
        assert all(c.is_covered == is_covered for c in side)
        assert min(c.left_mm for c in side) == pytest.approx(50.8 - mm, abs=1.0)
        assert ("short" in side[0].says("in")) != is_covered


def test_no_change_is_the_draft_itself() -> None:
    style = style_from_mapping({})
    assert alter(measures(), style, {}).cut == build(measures(), style)
    assert covers(build(measures(), style), build(measures(), style)) == ()


def test_unknown_lines_and_wild_amounts_are_refused() -> None:
    with pytest.raises(WrongInput, match="side_waist"):
        adjust_from({"side_waste": 5})
    with pytest.raises(WrongInput, match="60"):
        adjust_from({"hem": 80})
    with pytest.raises(Refused, match="is the most"):  # a blouse ends 30 mm under the hip line, its lining 25 mm higher
        alter(measures(), style_from_mapping({"skirt": "none"}), {"hem": -12})
    with pytest.raises(Refused, match="is the most"):  # the nape's hollow is 24 mm deep: raised by more the neck once crossed itself
        alter(measures(), style_from_mapping({}), {"neck_back": -30})
    with pytest.raises(Refused, match="is the most"):
        alter(measures(), style_from_mapping({"neck": "boat"}), {"neck_front": -40})
    with pytest.raises(Refused, match="centre-back"):
        alter(measures(), style_from_mapping({"zip": "side"}), {"centre_back_waist": 5})
