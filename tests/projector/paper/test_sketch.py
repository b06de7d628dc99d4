"""The flat sketch stands on the draft's own figures: read back from its lines."""

from typing import Any

import numpy as np
import pytest

from projector.body.complete import complete_measures
from projector.draft.style import style_from_mapping
from projector.garment.build import build
from projector.garment.figure import draft_measures
from projector.garment.pieces import Garment
from projector.paper.sketch import sketch_of
from tests.published.bodies import EXTREMES
from tests.published.styles import MIXES

MEET_MM = 0.1  # lines are told to 0.01 mm


def _garment(body: str, style: dict[str, Any]) -> Garment:
    chosen = style_from_mapping(style)
    card = complete_measures(dict(EXTREMES[body]), "waist", needs_sleeve=chosen.is_sleeved, needs_bodice=chosen.bodice)
    return build(draft_measures(card), chosen)


@pytest.mark.parametrize("style", sorted(MIXES))
def test_both_views_are_mirrored_halves_and_stay_on_a_figure(style: str) -> None:
    for side, lines in sketch_of(_garment("tall", MIXES[style])).items():
        points = np.vstack([np.asarray(line) for line in lines])
        halves = {tuple(sorted(line)) for line in lines}
        mirrored = [line for line in lines if tuple(sorted((-x + 0.0, y) for x, y in line)) in halves]
        assert len(mirrored) >= len(lines) - 4, side  # centre back, zip's end and vent stand alone
        assert np.ptp(points, axis=0).max() < 1900


def test_widths_and_lengths_are_the_drafts_own() -> None:
    """Sewn waists front and back make the finished waist; the hem lies as deep as waist and skirt together."""
    garment = _garment("hourglass", {})
    widths = {}
    for side, lines in sketch_of(garment).items():
        waist_y = max(y for piece in garment.pieces if piece.name in ("front centre", "back") and side in piece.part
                      for edge in piece.edges if edge.kind == "waist" for _, y in edge.points)  # fmt: skip
        ends = [x for line in lines for x, y in line if x > 0 and abs(y - waist_y) < 4.0]
        widths[side] = max(ends)
    assert 2 * sum(widths.values()) == pytest.approx(garment.finished["waist_mm"], abs=6.0)  # the waist curves: chord under arc
    hip = garment.finished["hip_mm"]
    for lines in sketch_of(garment).values():
        points = np.vstack([np.asarray(line) for line in lines])
        assert points[:, 0].max() * 4 == pytest.approx(hip, abs=40.0)  # front and back hip differ by up to 32


@pytest.mark.parametrize("princess", ["armhole", "shoulder", "none"])
def test_the_armhole_runs_from_shoulder_to_side(princess: str) -> None:
    """Nothing hangs in the air: the armhole begins where the shoulder ends and ends where the side begins."""
    lines = [np.asarray(line) for line in sketch_of(_garment("big cup", {"princess": princess}))["front"]]
    tip = max((line for line in lines if len(line) == 2), key=lambda line: -line[:, 1].min())[-1]
    starts = [line for line in lines if len(line) > 2 and np.hypot(*(line[0] - tip)) < MEET_MM]
    assert starts, "no line starts at the shoulder tip"
    end = starts[0][-1]
    assert any(np.hypot(*(line[0] - end)) < MEET_MM for line in lines if line is not starts[0])


def test_a_side_zip_ends_in_a_tick_on_her_left() -> None:
    """Right of the centre line seen from in front, left of it from behind: one at the bodice's end, one at the skirt's."""
    for side, sign in (("front", 1), ("back", -1)):
        lines = sketch_of(_garment("tall", {"zip": "side"}))[side]
        level = [line for line in lines if len(line) == 2 and line[0][1] == line[1][1] and abs(abs(line[0][0] - line[1][0]) - 18.0) < 0.1]
        assert len(level) == 2
        assert all(sign * x > 0 for line in level for x, _ in line)


@pytest.mark.parametrize("body", ["hourglass", "thick arm"])
def test_a_short_sleeve_does_not_lie_across_the_bodice(body: str) -> None:
    """Its under seam begins at the underarm and runs outward, never in."""
    with_sleeve = sketch_of(_garment(body, {"sleeve": "short"}))["front"]
    under = with_sleeve[[len(line) for line in with_sleeve].index(40) + 1]  # the hem is drawn in 40 points, then the under seam
    assert abs(under[-1][0]) > abs(under[0][0])


@pytest.mark.parametrize("body", ["tall", "big cup"])
def test_a_skirt_under_a_peplum_has_its_sides_in_both_views(body: str) -> None:
    """From the flounce's hem down to the skirt's: two straight ends left out the whole side once."""
    for side, lines in sketch_of(_garment(body, {"peplum_mm": 180})).items():
        hem_y = max(y for line in lines for _, y in line)
        down = [line for line in lines if max(y for _, y in line) > hem_y - 2 and np.ptp([y for _, y in line]) > 150]
        assert {np.sign(round(line[-1][0])) for line in down} >= {1, -1}, side


def test_a_circle_skirt_alone_hangs_from_its_band() -> None:
    """The band's two long lines are as wide as the sewn waist, 35 mm apart; the side zip ends in a tick."""
    garment = _garment("tall", {"bodice": False, "skirt": "circle", "zip": "side"})
    views = sketch_of(garment)
    level = [line for lines in views.values() for line in lines if len(line) > 2 and np.ptp([y for _, y in line]) < 1 and line[-1][0] > 0]
    assert sorted({round(line[0][1] - level[0][0][1]) for line in level}) in ([-35, 0], [0, 35])
    assert sum(abs(line[-1][0]) for line in level) == pytest.approx(garment.finished["waist_mm"], abs=1.0)
    for side, sign in (("front", 1), ("back", -1)):
        ticks = [line for line in views[side] if len(line) == 2 and line[0][1] == line[1][1] and sign * line[0][0] > 0]
        assert len(ticks) == 1
