"""Drawings of folding and lying: every piece, layer and fold of the lay stands in them; a PNG shows what the SVG says."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations

import cv2
import numpy as np
import pytest
from shapely import LineString, Polygon, affinity, box

from projector.lay.cloth import Cloth
from projector.lay.lay import Part, Plan
from projector.paper.figure import ACCENT, CLOTH, Words, as_png, as_svg
from projector.paper.fold_figure import fold_figure
from projector.paper.lay_figure import lay_figure, lengths_of, named
from projector.scene.text import outlined
from tests.projector.lay.made_up import dress, laid, piece
from tests.projector.steps import by_hand


@pytest.mark.parametrize(("plan", "folds"), [("open", 0), ("lengthwise", 1), ("quarters_along", 3)])
def test_a_drawing_holds_what_the_lay_holds(plan: Plan, folds: int) -> None:
    lay = laid(dress(0.9)[:6], Cloth("main", 1700.0), plan, trials=2)
    lies, how = lay_figure(lay), fold_figure(lay)
    assert {each.piece for each in lay.placed} <= {words.text for words in lies.words}
    heavy = [ink for ink in lies.inks if ink.colour == ACCENT and ink.width_mm == pytest.approx(6.0)]
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


DESCENT = 0.3
"""Of the capitals' height: how far g and p reach below the line in Noto Sans (descent of its letters 240 of 714)."""


def covered(words: Words) -> Polygon:
    """What one line of words covers, from its capitals' tops to the feet of g and p; as wide as the type makes it."""
    wide = outlined(words.text, words.capital_mm).width_mm
    (x, y), tall = words.at, words.capital_mm
    left = x - wide / 2 if words.is_middle else x
    return affinity.rotate(box(left, y - tall, left + wide, y + DESCENT * tall), words.turn_deg, origin=words.at)


def over_one_another(every: Sequence[Words]) -> list[tuple[str, str]]:
    return [(a.text, b.text) for a, b in combinations(every, 2) if covered(a).intersects(covered(b))]


@pytest.mark.parametrize("plan", ["lengthwise", "quarters_along", "quarters_across"])
def test_no_words_stand_over_others(plan: Plan) -> None:
    """Every name and count of layers by itself, also where backs lie under fronts."""
    assert not over_one_another(lay_figure(laid(dress(0.9), Cloth("main", 1700.0), plan, trials=2)).words)


def test_a_thin_slanting_strip_has_its_name_along_itself() -> None:
    """Level words would lie over its neighbours: 35 mm at 45 degrees, as bias strips are cut."""
    corners = ((0.0, 0.0), (49.5, 0.0), (449.5, 400.0), (400.0, 400.0))
    strip = by_hand.placed(by_hand.rectangle("strip", 200, 300), (0, 0), ["main-1.1"])
    (name,) = named(replace(strip, outline=corners, plies=1), False, [], (26.0, 20.0, 15.0, 11.0))
    assert name.turn_deg == pytest.approx(-45.0)  # y runs down where it is drawn
    up = replace(name, at=(name.at[0], -name.at[1]))
    assert Polygon([(x, -y) for x, y in corners]).contains(covered(up))


def test_lights_that_lie_over_one_another_are_told_by_each_end_once() -> None:
    """Two lights that share 400 mm of 1400: two ends inside the cloth, none along its edge."""
    lay = by_hand.lay([by_hand.placed(by_hand.rectangle("front", 200, 300), (20, 20), ["main-1.1"])])
    ply = lay.regions[0].ply[0]
    (y0, y1), long = ply.y, ply.x[1]
    parts = (Part(0, (-10.0, y0 - 10.0, 0.6 * long, y1 + 10.0), None), Part(0, (0.4 * long, y0 - 10.0, long + 10.0, y1 + 10.0), 0))
    (length,) = lengths_of(replace(lay, parts=parts))
    assert sorted({round(x / long, 3) for line in length.light_ends for x, _ in line}) == [0.4, 0.6]
    assert sum(LineString(line).length for line in length.light_ends) == pytest.approx(2 * (y1 - y0), abs=3.0)


def test_words_above_a_narrow_lay_are_whole() -> None:
    lay = laid((piece("skirt", [(0, 0), (150, 0), (160, 500), (0, 500)], fold=True),), Cloth("main", 1200.0), "lengthwise", trials=1)
    figure = lay_figure(lay)
    assert all(covered(each).bounds[2] < figure.width_mm for each in figure.words)


def test_folds_across_are_seen_from_the_selvedge() -> None:
    plans: dict[Plan, str] = {"crosswise": "the selvedge", "crossed_four": "the cut end"}
    for plan, side in plans.items():
        words = [each.text for each in fold_figure(laid(dress(0.9)[:6], Cloth("main", 1700.0), plan, trials=2)).words]
        assert f"seen from {side}" in words


@pytest.mark.parametrize("width_mm", [600.0, 915.0, 1700.0])
@pytest.mark.parametrize("plan", ["open", "lengthwise", "off_centre", "crosswise", "quarters_along", "crossed_four"])
def test_the_words_of_folding_stay_in_their_panel_apart_and_off_every_line(plan: Plan, width_mm: float) -> None:
    """Narrow cloth too, where the arrow takes most of it."""
    skirt = piece("skirt", [(0, 0), (110, 0), (120, 500), (0, 500)], fold=plan in ("lengthwise", "off_centre", "crossed_four"))
    figure = fold_figure(laid((skirt,), Cloth("main", width_mm), plan, trials=1), "in")
    head, *others = figure.words
    assert covered(head).bounds[2] < figure.width_mm
    for words in others:
        left, _, right, below = covered(words).bounds
        assert left // 620.0 == right // 620.0, words.text
        assert below < figure.height_mm, words.text
    assert min(words.capital_mm for words in figure.words) >= 20.0, "a drawing as wide as a hand is read"
    assert not over_one_another(figure.words)
    lines = [LineString([*ink.points, *ink.points[:1]] if ink.is_closed else ink.points).buffer(ink.width_mm / 2) for ink in figure.inks]
    assert not [words.text for words in figure.words for line in lines if covered(words).intersects(line)]
