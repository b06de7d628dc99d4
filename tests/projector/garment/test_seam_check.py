"""The seam report reads a good dress as good and names what is wrong in a spoiled one."""

from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from projector.draft.style import style_from_mapping
from projector.garment.build import build
from projector.garment.pieces import Garment
from projector.garment.seam_check import seam_report
from tests.projector.garment.mean_body import measures
from tests.published.styles import MIXES


@cache
def dress(mix: str) -> Garment:
    style: dict[str, Any] = MIXES[mix]
    return build(measures(), style_from_mapping(style))


@pytest.mark.parametrize("mix", sorted(MIXES))
def test_every_seam_of_a_good_dress_meets(mix: str) -> None:
    assert [told.says for told in seam_report(dress(mix)) if not told.is_good] == []


def test_ease_is_told_in_her_unit() -> None:
    words = {told.name: told.says for told in seam_report(dress("default"), "in")}
    assert "1/4 in longer" in words["shoulder"]  # back shoulder over front: 1/4 in, Every Woman's Encyclopaedia


def test_an_edge_too_long_is_named() -> None:
    good = dress("default")
    side = good.piece("front side")
    longer = tuple(
        replace(edge, points=(*edge.points[:-1], (edge.points[-1][0], edge.points[-1][1] + 9))) if edge.name == "side" else edge
        for edge in side.edges
    )
    spoiled = replace(good, pieces=tuple(replace(p, edges=longer) if p is side else p for p in good.pieces))
    bad = [told for told in seam_report(spoiled) if not told.is_good]
    assert [told.name for told in bad] == ["side"]
    assert "9 mm longer" in bad[0].says


def test_nothing_passes_unsewn() -> None:
    good = dress("default")
    spoiled = replace(good, seams=tuple(seam for seam in good.seams if seam.name != "princess"))
    bad = [told.says for told in seam_report(spoiled) if not told.is_good]
    assert len(bad) == 2
    assert all("sewn to nothing" in says for says in bad)


@pytest.mark.parametrize(("off_mm", "is_good"), [(1.5, True), (1.75, False)])
def test_notches_meet_within_a_sixteenth(off_mm: float, is_good: bool) -> None:
    """1.6 mm along a seam: Threads 200."""
    good = dress("default")
    skirt = good.piece("skirt front")  # its side is straight at the hip
    moved = tuple(replace(notch, at=(notch.at[0], notch.at[1] + off_mm)) for notch in skirt.notches)
    spoiled = replace(good, pieces=tuple(replace(p, notches=moved) if p is skirt else p for p in good.pieces))
    assert all(told.is_good for told in seam_report(spoiled)) == is_good


def test_a_lost_notch_is_named() -> None:
    good = dress("default")
    front = good.piece("front centre")
    spoiled = replace(good, pieces=tuple(replace(p, notches=p.notches[1:]) if p is front else p for p in good.pieces))
    bad = [told.says for told in seam_report(spoiled) if not told.is_good]
    assert len(bad) == 1
    assert "no partner" in bad[0]
