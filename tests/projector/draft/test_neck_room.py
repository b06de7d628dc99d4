"""Necks on real bodies: what stays clear of what, and how little gives way. Distances are measured on the finished outlines, mm."""

from typing import Any

import pytest
from shapely.geometry import LineString

from projector.api import pieces_for
from tests.garment_checker.check import faults
from tests.published.size_rows import Card, size_rows

MISSES = size_rows()["misses 12"] | {"underbust": 740.0}
NARROW: Card = {
    "bust": 792.0, "waist": 732.0, "hip": 910.0, "stature": 1565.0, "nape_waist": 417.0, "shoulder_width": 314.0, "across_back": 301.0,
    "upper_arm": 285.0, "wrist": 151.0,
}  # fmt: skip
CLEAR_MM = 29.0  # 30 and what flattening and walking in steps may take
BESIDE_MM = 75.0  # a shoulder princess runs beside the neck for so long


def _lines(told: dict[str, Any], piece: str, kind: str) -> list[LineString]:
    found = next(each for each in told["pieces"] if each["name"] == piece)
    return [LineString(edge["points"]) for edge in found["edges"] if edge["kind"] == kind]


def _depth_mm(told: dict[str, Any]) -> float:
    """Front neck at the centre below its own neck point."""
    (first, *_, last) = [point for line in _lines(told, "front centre", "neck") for point in line.coords]
    return float(first[1] - last[1])


def test_a_deep_square_neck_moves_a_shoulder_princess_out_before_it_is_raised() -> None:
    """At the middle of the strap the seam left some 30 mm of 160."""
    style = {"princess": "shoulder", "neck": "square", "neck_drop_mm": 160}
    told, plain = pieces_for(MISSES, style), pieces_for(MISSES, {**style, "neck_drop_mm": 0})
    assert _depth_mm(told) - _depth_mm(plain) > 70
    seam = _lines(told, "front centre", "princess")[0]
    below = LineString([seam.interpolate(mm) for mm in range(int(BESIDE_MM), int(seam.length), 5)])
    assert min(line.distance(below) for line in _lines(told, "front centre", "neck")) > CLEAR_MM
    assert "The princess seam starts further out" in " ".join(told["warnings"])
    assert not faults(told, style)


def test_a_neck_enlarged_for_the_head_stays_off_the_princess_seam() -> None:
    """A square neck under a side zip once ran into the seam that it had just been taken clear of."""
    style = {
        "neck": "square",
        "neck_widen_mm": 25,
        "neck_drop_mm": 40,
        "princess": "shoulder",
        "sleeve": "short",
        "zip": "side",
        "lining": False,
    }
    told = pieces_for(NARROW, style)
    seam = _lines(told, "front centre", "princess")[0]
    below = LineString([seam.interpolate(mm) for mm in range(int(BESIDE_MM), int(seam.length), 5)])
    assert min(line.distance(below) for line in _lines(told, "front centre", "neck")) > CLEAR_MM
    assert not faults(told, style)


@pytest.mark.parametrize("sleeve", ["none", "long"])
def test_a_deep_wide_back_neck_keeps_clear_of_the_armhole(sleeve: str) -> None:
    """Once a bridge of 4 mm was left between them."""
    style = {"neck": "v", "neck_widen_mm": 90, "neck_drop_mm": 15, "back_neck_mm": 200, "sleeve": sleeve, "ease": "roomy", "facings": False}
    told = pieces_for(MISSES, style)
    assert _lines(told, "back", "neck")[0].distance(_lines(told, "back", "armhole")[0]) > CLEAR_MM
    assert not faults(told, style)


@pytest.mark.parametrize(("widen", "drop", "deep"), [(90, 80, 70), (0, 160, 160), (25, 60, 260)])
def test_an_inset_never_dips_to_its_v(widen: int, drop: int, deep: int) -> None:
    style = {"neck": "v", "neck_widen_mm": widen, "neck_drop_mm": drop, "inset": deep}
    told = pieces_for(MISSES, style)
    neck, behind = (LineString(next(e["points"] for e in told["pieces"][-1]["edges"] if e["name"] == name)) for name in ("neck", "behind"))
    assert told["pieces"][-1]["name"] == "inset"
    middle = LineString([neck.interpolate(mm) for mm in range(0, int(neck.length * 0.8), 4)])
    assert middle.distance(behind) > 10.0  # what lies behind the V
    assert not faults(told, style)
    assert (deep > 120) == any("The inset's neckline lies" in words for words in told["warnings"])
