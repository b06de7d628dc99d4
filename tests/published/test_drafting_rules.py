"""The drafting rules' own figures, read back from finished pieces: where a rule binds, the piece shows its number.

Sources per test: rows of the drafting specification, themselves from published drafts (named there), own derivation, or common practice
without source. 0.1 mm: pieces are rounded to 1e-4 and curves flattened to 0.05. Limits between two constructions are found by a sweep; its
tolerance is what one of its steps moves a dart.
"""

from functools import lru_cache
from math import dist, pi
from typing import Any

import pytest

from projector.api import pieces_for
from tests.published.bodies import scattered
from tests.published.pieces import Piece, drafted, line_mm, named

NEAR = 0.1


def _dart_widths(piece: Piece) -> list[float]:
    return [dist(dart["legs"][0], dart["legs"][-1]) for dart in piece["darts"]]


@lru_cache(maxsize=1)
def _woman() -> dict[str, float]:
    return dict(scattered()[0])


FULL = {"bust": 1000.0, "underbust": 800.0, "waist": 650.0, "hip": 1000.0, "stature": 1680.0}


def _swept(measures: dict[str, float], key: str, values: range, part: str, **style: Any) -> list[Piece]:
    """One piece of one body whose one measure changes."""
    return [drafted({**measures, key: float(value)}, lining=False, facings=False, **style)[part] for value in values]


def test_widened_neck_keeps_a_strap_of_30() -> None:
    """Style table, neck row: widen 0 to 90, strap left 30 or more (common practice, no source)."""
    front = drafted({**_woman(), "shoulder_width": 330.0}, neck_widen_mm=90)["front"]
    assert line_mm(named(front, "shoulder")) == pytest.approx(30.0, abs=NEAR)


def test_dropped_neck_stays_20_above_the_bust_line() -> None:
    """Style table, neck row (common practice, no source)."""
    front = drafted({**_woman(), "neck_bust": 240.0}, neck_drop_mm=160)["front"]
    assert front["levels"]["bust"] - named(front, "neck")[0][1] == pytest.approx(20.0, abs=NEAR)


def test_deep_back_stays_25_above_the_bust_line() -> None:
    """The zip needs something to hang on: common practice, no source."""
    back = drafted(_woman(), back_neck_mm=200)["back"]
    assert back["levels"]["bust"] - named(back, "neck")[0][1] == pytest.approx(25.0, abs=NEAR)


def test_with_a_side_zip_the_neck_just_passes_the_head() -> None:
    """Style table, zip row: 580 mm round (common practice). It opens in steps of 2 mm a shoulder and 3 in front: 20 mm at most beyond."""
    pieces = drafted(_woman(), zip="side")
    around = 2 * (line_mm(named(pieces["front"], "neck")) + line_mm(named(pieces["back"], "neck")))
    assert around + NEAR >= 580
    assert around <= 600


def test_back_shoulder_is_6_longer() -> None:
    """Shared frame: 1/4 in eased (published, trade row 3.3: 6.35; ours 6.0)."""
    pieces = drafted(_woman())
    assert line_mm(named(pieces["back"], "shoulder")) - line_mm(named(pieces["front"], "shoulder")) == pytest.approx(6.0, abs=NEAR)


def test_back_darts_are_none_one_or_two() -> None:
    """Rule 3.2: under 6 mm none, over 38 two (3: measured across the curved waist), the second tip 15 lower."""
    fuller = _swept(FULL, "waist", range(640, 664, 4), "back")
    two = [piece for piece in fuller if len(piece["darts"]) == 2]
    one = [piece for piece in fuller if len(piece["darts"]) == 1]
    assert two
    assert min(sum(_dart_widths(piece)) for piece in two) == pytest.approx(38.0, abs=3)
    assert max(_dart_widths(piece)[0] for piece in one) == pytest.approx(38.0, abs=3)
    first, second = (dart["legs"][1] for dart in two[0]["darts"])
    assert second[1] - first[1] == pytest.approx(15.0, abs=NEAR)
    small = [_dart_widths(piece) for piece in _swept(_woman(), "waist", range(750, 764, 2), "back")]
    assert [] in small
    assert min(width for found in small for width in found) == pytest.approx(6.0, abs=0.8)


def test_centre_back_takes_a_quarter_and_at_most_14() -> None:
    """Rule 3.2; what the back takes in altogether is its quarter at the bust less the one at the waist, the same rule's."""
    centre_in = [piece["edges"][-1]["points"][0][0] for piece in _swept(FULL, "waist", range(570, 640, 10), "back")]
    assert max(centre_in) == pytest.approx(14.0, abs=NEAR)
    assert min(centre_in) < 13.5


def test_skirt_darts_are_at_least_4_and_step_down_by_14() -> None:
    """Rule 3.7: a rest under 4 mm goes elsewhere, three darts at most, the next 14 shorter, the last 25 or more from the side."""
    small = [sum(_dart_widths(piece)) for piece in _swept(_woman(), "hip", range(700, 718, 2), "skirt_front", bodice=False)]
    assert min(total for total in small if total) == pytest.approx(4.0, abs=0.3)
    for front in _swept(FULL, "waist", range(560, 600, 20), "skirt_front"):
        first, second = (dart["legs"] for dart in front["darts"][:2])
        assert first[1][1] - second[1][1] == pytest.approx(14.0, abs=NEAR)
        assert len(front["darts"]) <= 3
        last = [edge for edge in front["edges"] if edge["kind"] == "waist"][-1]
        assert line_mm([tuple(point) for point in last["points"]]) >= 25.0 - NEAR


def test_skirt_lengths_and_levels() -> None:
    """Rule 3.7 and the length row: floor less 30, 60 below the hip at least, centre back dips 8, zip to 0.75 of it, blouse hip + 30."""
    full = {**_woman(), "waist_floor": 1010.0, "waist_hip": 200.0}
    assert named(drafted(full, length="full")["skirt_front"], "hem")[-1][1] == pytest.approx(980.0, abs=NEAR)
    back = drafted(full)["skirt_back"]
    assert named(back, "zip")[0][1] == pytest.approx(150.0, abs=NEAR)
    assert named(back, "zip")[-1][1] == pytest.approx(8.0, abs=NEAR)
    deep = {**_woman(), "waist_hip": 260.0}
    assert named(drafted(deep, length=300)["skirt_front"], "hem")[-1][1] == pytest.approx(320.0, abs=NEAR)
    assert named(drafted(full, skirt="none", lining=False)["skirt_front"], "hem")[-1][1] == pytest.approx(230.0, abs=NEAR)


def test_tapered_skirt_holds_the_hip_for_two_inches() -> None:
    """Trade rule: the hip is held 50.8 below the hip line (two curves meet there), then begins to taper."""
    front = drafted(_woman(), skirt="tapered", taper_mm=40)["skirt_front"]
    side, held_y = named(front, "side"), front["levels"]["hip"] + 50.8
    assert min(abs(y - held_y) for _, y in side) < 0.05
    hip_x = max(x for x, _ in side)
    assert all(x == pytest.approx(hip_x, abs=0.01) for x, y in side if held_y - 50.8 <= y <= held_y)
    assert all(x < hip_x - 0.1 for x, y in side if y > held_y + 20)


def test_darts_only_front() -> None:
    """Rule 3.4, darts only: side dart 60 below the underarm, its tip 22 short of the bust point."""
    woman = _woman()
    front = drafted(woman, princess="none")["front"]
    side = front["darts"][0]["legs"]
    at_bust = (woman["bust_span"] / 2, next(y for x, y in front["levels"]["bust"] if abs(x - woman["bust_span"] / 2) < 0.01))
    assert dist(side[1], at_bust) == pytest.approx(22.0, abs=NEAR)
    assert line_mm(named(front, "side 1")) == pytest.approx(60.0, abs=NEAR)


def test_sleeve_ends() -> None:
    """Rule 3.8: the wrist's 45 or a hand's 1.28 and 5 at a long hem; a puff's band 20 over the arm (25 high, cut double)."""
    woman = {**_woman(), "wrist": 150.0}
    assert line_mm(named(drafted(woman, sleeve="long")["sleeve"], "hem")) == pytest.approx(max(150 + 45, 1.28 * 150 + 5), abs=NEAR)
    band = drafted(woman, sleeve="puff", lining=False)["sleeve_band"]
    assert line_mm(named(band, "sleeve")) == pytest.approx(woman["upper_arm"] + 20.0, abs=NEAR)
    assert line_mm(named(band, "front under")) == pytest.approx(50.0, abs=NEAR)


def test_flounces_and_bands() -> None:
    """Peplum three quarters of a ring, waistband 35 high cut double with 30 of overlap (common practice, no source)."""
    pieces = drafted(_woman(), skirt="none", peplum_mm=150, lining=False)
    depth = 150.0
    turn = 0.0
    for part in ("peplum_front", "peplum_back"):
        turn += 2 * (line_mm(named(pieces[part], "hem")) - line_mm(named(pieces[part], "waist"))) / depth
    assert turn / (2 * pi) == pytest.approx(0.75, abs=0.002)
    band = drafted(_woman(), bodice=False)["waistband"]
    assert line_mm(named(band, "end")) == pytest.approx(70.0, abs=NEAR)
    assert line_mm(named(band, "lap")) == pytest.approx(30.0, abs=NEAR)


def test_facings_lining_and_allowances() -> None:
    """Rule 3.10: facing 60 at the neck and 50 at the armhole; lining hem 25 shorter; allowances of a first dress and of a fitted one."""
    found = {(piece["of"], piece["part"]): piece for piece in pieces_for(_woman(), {})["pieces"]}
    centre = named(found["facing", "front_facing"], "centre")
    assert abs(centre[0][1] - centre[-1][1]) == pytest.approx(60.0, abs=NEAR)
    assert line_mm(named(found["facing", "front_facing"], "side")) == pytest.approx(50.0, abs=NEAR)
    longer = named(found["main", "skirt_front"], "hem")[-1][1] - named(found["lining", "skirt_front"], "hem")[-1][1]
    assert longer == pytest.approx(25.0, abs=NEAR)
    wanted = {"first": (50.8, 50.8, 38.0), "fitted": (25.0, 50.8, 38.0)}
    for name, (side, hem, sleeve_hem) in wanted.items():
        main = [piece for piece in drafted(_woman(), sleeve="long", fitted=name == "fitted")["all"] if piece["of"] == "main"]
        kinds = {(piece["part"], edge["kind"]): edge["allowance_mm"] for piece in main for edge in piece["edges"]}
        assert kinds["front_side", "side"] == side
        assert kinds["skirt_front", "hem"] == hem
        assert kinds["sleeve", "hem"] == sleeve_hem
