"""Drawings of folding and lying: every piece, layer and fold of the lay stands in them; a PNG shows what the SVG says."""

from itertools import combinations

import cv2
import numpy as np
import pytest
from shapely.geometry import box

from projector.lay.cloth import Cloth
from projector.lay.lay import Plan
from projector.paper.figure import ACCENT, CLOTH, as_png, as_svg, fold_figure, lay_figure
from projector.paper.svg import lay_svg
from projector.scene.text import outlined
from tests.projector.lay.made_up import dress, laid, piece


@pytest.mark.parametrize(("plan", "folds"), [("open", 0), ("lengthwise", 1), ("quarters_along", 3)])
def test_a_drawing_holds_what_the_lay_holds(plan: Plan, folds: int) -> None:
    lay = laid(dress(0.9)[:6], Cloth("main", 1700.0), plan, trials=2)
    lies, how = lay_figure(lay), fold_figure(lay)
    assert {each.piece for each in lay.placed} <= {words.text for words in lies.words}
    heavy = [ink for ink in lies.inks if ink.colour == ACCENT and ink.width_mm == 6.0]
    assert len(heavy) == folds
    sides = [words.text for words in how.words if words.text.endswith("side up")]
    seen = ["right side up", *["wrong side up"] * (folds == 3)]  # the flat cloth, then what lies folded right side in
    assert sides == seen + [f"{ply.face} side up" for ply in lay.regions[0].ply] * (folds > 0)
    assert sum(words.text in ("selvedge", "2 selvedges") for words in how.words) == {0: 2, 1: 2, 3: 3}[folds]
    svg = as_svg(how, "a & b")
    assert svg.count("<path") == len(how.inks)
    assert "a &amp; b" in svg
    picture = cv2.imdecode(np.frombuffer(as_png(lies, 800), np.uint8), cv2.IMREAD_COLOR)
    assert picture is not None
    scale = 800 / lies.width_mm
    assert picture.shape[:2] == (round(lies.height_mm * scale), 800)
    region = lay.regions[0]
    x, y = region.x[1] - 5.0, region.y[0] + 90.0
    row = 70.0 + max(ply.y[1] for ply in region.ply) - y
    at = picture[round(row * scale), round((x - min(ply.x[0] for ply in region.ply) + 40.0) * scale)]
    assert np.abs(at[::-1].astype(int) - CLOTH).max() < 30  # bare cloth near the cut end


@pytest.mark.parametrize("plan", ["lengthwise", "quarters_along", "quarters_across"])
def test_no_words_stand_over_others(plan: Plan) -> None:
    """Every name and count of layers by itself, also where backs lie under fronts; as wide and high as the type makes them."""
    lay = laid(dress(0.9), Cloth("main", 1700.0), plan, trials=2)
    boxes = []
    for words in lay_figure(lay).words[1:]:
        wide = outlined(words.text, words.capital_mm).width_mm
        boxes.append(box(words.at[0] - wide / 2, words.at[1] - words.capital_mm, words.at[0] + wide / 2, words.at[1]))
    assert not [(a, b) for a, b in combinations(range(len(boxes)), 2) if boxes[a].intersection(boxes[b]).area > 0.0]


def test_words_above_a_narrow_lay_are_whole() -> None:
    lay = laid((piece("skirt", [(0, 0), (150, 0), (160, 500), (0, 500)], fold=True),), Cloth("main", 1200.0), "lengthwise", trials=1)
    figure = lay_figure(lay)
    assert all(each.at[0] + outlined(each.text, each.capital_mm).width_mm < figure.width_mm for each in figure.words if not each.is_middle)
    drawn = lay_svg(lay, "title")
    head = next(text for text in drawn.split(">") if text.startswith("main, length 1")).split("<")[0]
    assert 60.0 + outlined(head, 0.714 * 20.0).width_mm < float(drawn.split('width="')[1].split("mm")[0])


def test_folds_across_are_seen_from_the_selvedge() -> None:
    plans: dict[Plan, str] = {"crosswise": "the selvedge", "crossed_four": "the cut end"}
    for plan, side in plans.items():
        words = [each.text for each in fold_figure(laid(dress(0.9)[:6], Cloth("main", 1700.0), plan, trials=2)).words]
        assert f"seen from {side}" in words


@pytest.mark.parametrize("plan", ["lengthwise", "off_centre", "crosswise", "quarters_along", "crossed_four"])
def test_the_words_of_folding_stay_in_their_panel_and_apart(plan: Plan) -> None:
    figure = fold_figure(laid(dress(0.9)[:6], Cloth("main", 1700.0), plan, trials=2), "in")
    boxes = []
    for words in figure.words:
        wide = outlined(words.text, words.capital_mm).width_mm
        boxes.append(box(words.at[0], words.at[1] - words.capital_mm, words.at[0] + wide, words.at[1]))
        assert wide < 620.0, words.text
        assert words.at[0] + wide < figure.width_mm, words.text
        assert words.at[1] < figure.height_mm, words.text
        assert words.capital_mm >= 20.0, "a drawing as wide as a hand is read"
    assert not [(a, b) for a, b in combinations(range(len(boxes)), 2) if boxes[a].intersection(boxes[b]).area > 0.0]
