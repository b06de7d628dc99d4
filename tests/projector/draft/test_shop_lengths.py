"""Neck depth, neck width and round sleeve as a shop tapes them stand in the draft as taped. mm."""

import pytest

from projector.body.complete import complete_measures
from projector.draft.bodice import draw_bodice
from projector.draft.curve import length
from projector.draft.sleeve import draw_sleeve
from projector.draft.style import style_from_mapping
from projector.garment.figure import draft_measures

CARD = {"bust": 947.0, "waist": 780.0, "hip": 1021.0, "nape_waist": 395.0, "upper_arm": 290.0, "wrist": 155.0}


def _measures(**more: float) -> dict[str, float]:
    return draft_measures(complete_measures({**CARD, **more}, needs_sleeve=True))


def test_neck_depth_and_width_as_taped() -> None:
    bodice = draw_bodice(_measures(neck_depth=150.0, neck_width=100.0), style_from_mapping({}))
    centre, point = bodice.front_neck.edges[0][1][0].a, bodice.front.point
    assert centre.imag - bodice.frame.front_neck_point.imag == pytest.approx(150.0)
    assert point.real == pytest.approx(100.0)
    assert bodice.back.neck[-1].d.real == pytest.approx(100.0, abs=2.0)  # both necks move alike along their own slopes


def test_style_comes_on_top_of_the_tape() -> None:
    bodice = draw_bodice(_measures(neck_depth=110.0), style_from_mapping({"neck_drop_mm": 20}))
    assert bodice.front_neck.edges[0][1][0].a.imag - bodice.frame.front_neck_point.imag == pytest.approx(130.0)


def test_round_sleeve_is_where_the_sleeve_ends() -> None:
    measures, style = _measures(round_sleeve=300.0), style_from_mapping({"sleeve": "elbow"})
    sleeve = draw_sleeve(measures, style, draw_bodice(measures, style).armhole_mm)
    assert length(sleeve.hem) == pytest.approx(300.0 + 20.0)  # two fingers: common practice, no source


def test_the_hand_passes_however_narrow_the_tape_reads() -> None:
    measures, style = _measures(round_sleeve=150.0), style_from_mapping({"sleeve": "long"})
    sleeve = draw_sleeve(measures, style, draw_bodice(measures, style).armhole_mm)
    assert length(sleeve.hem) >= 1.28 * measures["wrist"]
