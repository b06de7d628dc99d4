"""Darts, notches and seams where a body is short or a neck must grow, on lines made up by hand: just short of each limit and just beyond.

All figures are ours or common practice, no source. EXACT 0.01 mm: straight lines, nothing is flattened.
"""

from cmath import phase
from math import degrees, dist
from types import SimpleNamespace
from typing import Any

import pytest

from projector.draft import neck_room
from projector.draft.bodice_darts import SideDart, kept_clear, side_darts, waist_darts
from projector.draft.bodice_front import Front, PrincessEdges
from projector.draft.bodice_panels import _armhole_marks, _princess_marks, side_edges
from projector.draft.curve import line, turned
from projector.draft.frame import _drop_to_bust
from projector.draft.neck import FrontNeck
from projector.draft.neck_room import NeckCut
from projector.draft.panel import DraftRefused
from projector.draft.style import style_from_mapping
from projector.draft.waistline import OpenDart, Waistline
from tests.published.pieces import apart_mm, bezier, drafted, edge, named
from tests.published.test_far_limits import BARE
from tests.published.test_lines_by_hand import FULL_DARTED, darted
from tests.published.test_shared_frame import MIDDLE

EXACT, NEAR = 0.01, 0.1
SIDE_ZIP = style_from_mapping({"zip": "side", **BARE})


def front(along: float, turn: float, bust_y: float = 230.0, darts: tuple[OpenDart, ...] = ()) -> Front:
    """A front whose opened side seam is `along` long, straight down from (240, 200); bust dart of `turn` radians."""
    underarm, bust = 240 + 200j, 95 + bust_y * 1j
    waist = Waistline((), darts, (), ())
    return Front(
        70 + 0j, 180 + 40j, (line(180 + 40j, turned(underarm, bust, -turn)),), underarm, underarm + along * 1j, 415j, waist, turn, bust
    )


@pytest.mark.parametrize(("along", "at"), [(140.0, 56.0), (160.0, 60.0)])
def test_a_side_dart_opens_60_below_the_underarm_or_at_two_fifths(along: float, at: float) -> None:
    (dart,) = side_darts(front(along, 0.2), 1000.0)
    assert dart.at_mm == pytest.approx(at, abs=EXACT)


@pytest.mark.parametrize(("along", "low"), [(180.0, 99.0), (190.0, 102.0)])
def test_the_lower_of_two_side_darts_opens_102_below_the_underarm_or_at_eleven_twentieths(along: float, low: float) -> None:
    upper, lower = side_darts(front(along, 0.42), 1000.0)
    assert lower.at_mm == pytest.approx(low, abs=EXACT)
    assert upper.at_mm == pytest.approx(low - 42.0, abs=EXACT)


def waist_dart(tip: complex, mouth_y: float = 400.0) -> OpenDart:
    return OpenDart(tip.real - 10 + mouth_y * 1j, tip, tip.real + 10 + mouth_y * 1j, 0.1)


@pytest.mark.parametrize(("height", "short"), [(30.0, 12.0), (45.0, 15.0)])
def test_a_waist_dart_ends_15_under_the_bust_point_or_two_fifths_of_the_way(height: float, short: float) -> None:
    at = 95 + (400.0 - height) * 1j
    (dart,) = waist_darts(front(200.0, 0.2, 400.0 - height, (waist_dart(at),)))
    assert dart.tip == pytest.approx(at + short * 1j, abs=EXACT)


def test_a_waist_dart_is_shortened_by_3_until_it_keeps_off_a_side_dart() -> None:
    """18.5 between them; and no shorter than 40 (within a step)."""
    side = SideDart(240 + 300j, 100 + 300j, 240 + 330j, 100.0, 0.0)
    (near,) = kept_clear((waist_dart(150 + 290j),), (side,))
    assert near.tip.imag - 290 == pytest.approx(3.0 * round((near.tip.imag - 290) / 3.0), abs=EXACT)
    assert near.tip.imag > 300
    assert near.tip.real == pytest.approx(150.0, abs=EXACT)
    (low,) = kept_clear((waist_dart(150 + 290j, mouth_y=345.0),), (side,))
    assert low.tip == pytest.approx(150 + 305j, abs=EXACT)  # five steps from 55 long, the next would start from 40


def test_the_second_waist_dart_of_a_low_bust_lies_two_fifths_lower() -> None:
    """Less than 100 above the waist: 31 here, not 40."""
    front_piece, bust, _, waist = darted({**FULL_DARTED, "neck_bust": 400.0, "shoulder_underbust": 470.0, "waist": 760.0})
    height = edge(front_piece, "centre")[0][1] - bust[1]
    assert 75.0 < height < 90.0
    steps = (waist[1][1][1] - bust[1] - 0.4 * height) / 3  # on by 3 while too near a side dart
    assert steps == pytest.approx(round(steps), abs=0.05)


@pytest.mark.parametrize(("at", "edge_of", "from_end"), [(91.5, "side", 91.5), (92.5, "", 0), (107.5, "", 0), (108.5, "centre", 8.5)])
def test_a_notch_within_8_of_the_princess_seam_is_the_seam(at: float, edge_of: str, from_end: float) -> None:
    """Armhole edges of 100 and 80 from the underarm up."""
    found = _armhole_marks({"side": 100.0, "centre": 80.0}, at, 1)
    assert {name: mark.from_start_mm for name, mark in found.items()} == ({edge_of: -from_end} if edge_of else {})


@pytest.mark.parametrize(("upper", "places"), [(64.5, [64.5, 104.5, 134.5]), (65.5, [15.5, 65.5, 105.5, 135.5])])
def test_princess_notches_of_a_short_seam(upper: float, places: list[float]) -> None:
    """None within 15 of its beginning; below the bust 50, or two fifths of a lower part of 100."""
    run = (line(0, upper * 1j), line(upper * 1j, (upper + 100) * 1j))
    assert [mark.from_start_mm for mark in _princess_marks(PrincessEdges(run, run, 0.5), False)] == pytest.approx(places)


@pytest.mark.parametrize(("long", "sewn"), [(160.0, 56.0), (180.0, 60.0)])
def test_a_side_zip_leaves_a_third_of_a_short_side_sewn(long: float, sewn: float) -> None:
    """60, or 0.35 of it."""
    first, opening = side_edges((line(0, long * 1j),), SIDE_ZIP, 60.0)
    assert (first.kind, opening.kind) == ("side", "opening")
    assert abs(first.curve[0].d) == pytest.approx(sewn, abs=EXACT)


def larger(monkeypatch: pytest.MonkeyPatch, room: float, shoulder: float, back: float = 20.0, bust_y: float = 260.0) -> NeckCut | None:
    """The next larger neck of a side zip: `room` in front above the bust line's 20, a shoulder so long, the back neck so deep."""
    monkeypatch.setattr(neck_room, "_neck_too_near", lambda *_: False)
    monkeypatch.setattr(neck_room, "_back_too_near", lambda *_: False)
    neck = FrontNeck((("neck", (line((bust_y - 20 - room) * 1j, 70),)),), 1j)
    made: Any = SimpleNamespace(frame=SimpleNamespace(bust_y=bust_y, front_shoulder_length=shoulder), front_neck=neck)
    found = neck_room._larger_neck(made, lambda _: made, SIDE_ZIP, NeckCut(0.0, 0.0, back))
    return found[1] if found else None


@pytest.mark.parametrize(
    ("room", "shoulder", "wanted"),
    [
        (3.5, 120.0, NeckCut(2.0, 3.0, 21.0)),  # 2 wider on the shoulder, 3 deeper in front, 1 behind
        (2.5, 120.0, NeckCut(2.0, 0.0, 21.0)),  # no 3 are left above the bust line
        (3.5, 31.0, NeckCut(0.0, 3.0, 21.0)),  # a strap of 30 has no 2 to give
        (2.5, 31.0, NeckCut(0.0, 0.0, 24.0)),  # deeper behind alone, by 4
    ],
)
def test_a_neck_grows_for_the_head(monkeypatch: pytest.MonkeyPatch, room: float, shoulder: float, wanted: NeckCut) -> None:
    assert larger(monkeypatch, room, shoulder) == wanted


@pytest.mark.parametrize(("back", "grows"), [(194.5 - 30, True), (195.5 + 1, False)])
def test_a_back_neck_grows_while_4_are_left(monkeypatch: pytest.MonkeyPatch, back: float, grows: bool) -> None:
    """Up to 200, or 25 above the bust line."""
    assert (larger(monkeypatch, 2.5, 31.0, back=back) is not None) == grows
    assert (larger(monkeypatch, 2.5, 31.0, back=70.5, bust_y=100.0) is not None) is True
    assert (larger(monkeypatch, 2.5, 31.0, back=71.5, bust_y=100.0) is not None) is False


def test_an_armhole_princess_leaves_between_square_and_straight() -> None:
    """0.55 of the way level in, 0.45 straight to the bust point. 0.7 degrees: two chords tell the direction at their beginning."""
    piece = drafted(MIDDLE, **BARE)["front"]
    seam = [complex(*point) for point in named(piece, "princess")]
    bust = complex(MIDDLE["bust_span"] / 2, piece["levels"]["bust"])
    first, second = seam[1] - seam[0], seam[2] - seam[1]
    begun = degrees(phase(first) - phase(second / first) * abs(first) / (abs(first) + abs(second)))
    assert begun == pytest.approx(degrees(phase(-0.55 + 0.45 * (bust - seam[0]) / abs(bust - seam[0]))), abs=0.7)


def test_an_inset_s_neckline_by_hand() -> None:
    """Level at the centre, its handle there some tenths of 0.8 of the half width; at the neck point 0.24 of the chord, leaving between the
    V and the chord, or square to the shoulder where that is nearer the chord."""
    pieces = drafted(MIDDLE, neck="v", neck_drop_mm=150, inset=110, **BARE)
    front_piece = pieces["front"]
    neck = named(next(piece for piece in pieces["all"] if piece["part"] == "inset"), "neck")
    top, point = complex(*neck[0]), complex(*neck[-1])
    foot = complex(*edge(front_piece, "neck")[0])
    shoulder = [complex(*each) for each in edge(front_piece, "shoulder")]
    unit = (shoulder[-1] - shoulder[0]) / abs(shoulder[-1] - shoulder[0])
    down, across = (foot - point) / abs(foot - point), (top - point) / abs(top - point)
    ways = [unit * 1j, (down + across) / abs(down + across)]
    leaving = max(ways, key=lambda way: (way.conjugate() * across).real)
    chord = dist(neck[0], neck[-1])
    firsts = [share * min(0.55 * chord, 0.8 * point.real) / chord for share in (0.9, 0.8, 0.7, 0.6, 0.5, 0.4)]
    fits = [apart_mm(neck, bezier(neck[0], (1.0, 0.0), neck[-1], (-leaving.real, -leaving.imag), first, 0.24)) for first in firsts]
    assert min(fits) < NEAR


@pytest.mark.parametrize("across", [-100.0, 100.0])
def test_a_bust_point_hardly_under_the_neck_is_refused(across: float) -> None:
    """Shoulder to nipple 60 longer at least than the nipple lies to the side (the measures' own limits keep any card from it)."""
    assert _drop_to_bust(161.0, across) == pytest.approx((161.0**2 - 100.0**2) ** 0.5)
    with pytest.raises(DraftRefused, match="cannot be placed"):
        _drop_to_bust(159.0, across)
