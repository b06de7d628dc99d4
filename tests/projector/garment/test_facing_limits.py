"""What a facing, its lining and a dart's mouth may look like at the least: shapes drawn by hand just short of each limit and just beyond.

All limits are ours or common practice, no source, but 38 mm: shaped facing of 1 1/2 in (Complete Course in Dressmaking).
"""

from collections.abc import Sequence
from dataclasses import replace
from math import cos, radians, sin

import numpy as np
import pytest

from projector.draft.curve import line
from projector.draft.panel import EdgeKind, Mark, Panel, PanelEdge
from projector.garment.cut_line import Run, cut_ring
from projector.garment.facing import Facing, _lower_edge, is_wide, runs_over_shoulder
from projector.garment.lining import is_sewable, to_the_edge
from projector.garment.sew import _facing_seams
from projector.garment.sewing_table import SewingTable
from tests.projector.steps.by_hand import rectangle


def turned(degrees: float) -> complex:
    """A direction so far clockwise as drawn from the right."""
    return complex(cos(radians(degrees)), sin(radians(degrees)))


def panel(*edges: tuple[EdgeKind, Sequence[complex]], marks: tuple[Mark, ...] = ()) -> Panel:
    """Edges by kind, clockwise as drawn, each from its first point to the beginning of the next."""
    starts = [points[0] for _, points in edges]
    drawn = [np.array([*points, following]) for (_, points), following in zip(edges, [*starts[1:], starts[0]], strict=True)]
    return Panel(
        "made", "made", tuple(PanelEdge(kind, kind, (), drawn=each) for (kind, _), each in zip(edges, drawn, strict=True)), marks=marks
    )


@pytest.mark.parametrize(("narrow", "goes"), [(7.9, False), (8.1, True)])
def test_a_strap_of_lining_keeps_eight_millimetres(narrow: float, goes: bool) -> None:
    """Narrower ones fray."""
    strap = panel(("facing", [0]), ("side", [100]), ("hem", [100 + narrow * 1j]), ("centre", [narrow * 1j]))
    assert is_sewable(strap) == goes


@pytest.mark.parametrize(("short", "goes"), [(5.9, False), (6.1, True)])
def test_an_edge_of_lining_is_six_millimetres_long(short: float, goes: bool) -> None:
    """Shorter ones cannot be sewn to a line."""
    beside = panel(("facing", [0]), ("side", [100]), ("waist", [100 + 100j]), ("hem", [100 - short + 100j]), ("centre", [100j]))
    assert is_sewable(beside) == goes


@pytest.mark.parametrize(("short", "goes"), [(14.9, False), (15.1, True)])
def test_an_edge_beside_a_facing_is_fifteen_millimetres_long(short: float, goes: bool) -> None:
    assert is_sewable(panel(("facing", [0]), ("side", [short]), ("hem", [100 + 100j]), ("centre", [100j]))) == goes


@pytest.mark.parametrize(("turn", "goes"), [(39.0, False), (41.0, True), (139.0, True), (141.0, False)])
@pytest.mark.parametrize("is_last", [False, True])
def test_a_princess_seam_meets_the_facing_by_forty_degrees(turn: float, goes: bool, is_last: bool) -> None:
    """Neither sharper, nor blunter on its partner's side; before the facing's edge as after it."""
    foot = 100 + 100 * turned(turn)
    corners = [0, 100, foot, 1j * foot.imag]
    if is_last:  # seen in a mirror
        corners = [100 - corner.conjugate() for corner in (corners[1], corners[0], corners[3], corners[2])]
    kinds: tuple[EdgeKind, ...] = ("facing", "centre", "hem", "princess") if is_last else ("facing", "princess", "hem", "centre")
    assert is_sewable(panel(*((kind, [corner]) for kind, corner in zip(kinds, corners, strict=True)))) == goes


@pytest.mark.parametrize(("bend", "goes"), [(10.8, True), (11.2, False)])
def test_a_facing_s_edge_has_no_corner_of_eleven_degrees(bend: float, goes: bool) -> None:
    """Flattened curves turn less between two chords; a parallel inside a narrow bend comes out with a corner."""
    end = 50 + 50 * turned(bend)
    assert is_sewable(panel(("facing", [0, 50]), ("side", [end]), ("hem", [end.real + 100j]), ("centre", [100j]))) == goes


def facing(wide: float, bent: float = 0.0) -> Facing:
    """A straight neck of 200, the inner edge `wide` inside; it meets the shoulder square, or bent towards the neck by `bent` degrees."""
    inner = np.array([wide * 1j, 200 - 50 * turned(bent) + wide * 1j, 200 + wide * 1j])
    edges = (
        PanelEdge("neck", "neck", (line(0, 200),)),
        PanelEdge("shoulder", "shoulder", (line(200, 200 + wide * 1j),)),
        PanelEdge("facing", "facing", (), drawn=inner[::-1]),
    )
    return Facing(Panel("facing", "facing", edges), inner)


@pytest.mark.parametrize(("wide", "room", "goes"), [(37.9, 60.0, False), (38.1, 60.0, True), (28.9, 30.0, False), (29.1, 30.0, True)])
def test_a_shaped_facing_is_an_inch_and_a_half_wide(wide: float, room: float, goes: bool) -> None:
    """Or what a narrow strap leaves, less one."""
    assert is_wide(facing(wide), room) == goes


@pytest.mark.parametrize(("bent", "goes"), [(-20.2, False), (-19.8, True), (19.8, True), (20.2, False)])
def test_inner_edges_run_on_over_the_shoulder_within_twenty_degrees(bent: float, goes: bool) -> None:
    assert runs_over_shoulder(facing(60.0), facing(60.0, bent)) == goes


@pytest.mark.parametrize(("apart", "goes"), [(7.9, False), (8.1, True)])
def test_a_facing_in_one_keeps_eight_millimetres_off_the_lining_s_dart(apart: float, goes: bool) -> None:
    """Its inner edge here a straight line from side to centre, neck and armhole far above; the dart under its end."""
    dart = np.array([(100 + apart) * 1j, 130j])
    assert (_lower_edge(100 + 100j, -1, 100j, np.arange(0.0, 100.0).astype(complex), dart) is not None) == goes


@pytest.mark.parametrize(("from_end", "stays"), [(11.9, False), (12.1, True), (87.9 - 2, True), (88.1 - 2, False)])
def test_a_notch_near_the_end_of_a_lining_s_edge_is_left_out(from_end: float, stays: bool) -> None:
    """12 mm: the width of a seam and a little. The side of 100 begins 2 lower, on the neck rolled under."""
    upper = panel(("neck", [0]), ("side", [100]), ("hem", [100 + 100j]), ("centre", [100j]), marks=(Mark("side", -from_end),))
    assert bool(to_the_edge(upper, ("neck",)).marks) == stays


@pytest.mark.parametrize(("long", "slack"), [(399.0, 11.0), (401.0, 12.0)])
def test_a_facing_turned_in_over_a_bust(long: float, slack: float) -> None:
    """Lining and facing may differ by 11, by 12 where their edge is longer than 400."""
    pieces = []
    for name in ("front lining", "front facing"):
        plain = rectangle(name, long, 100.0)
        pieces.append(replace(plain, edges=(replace(plain.edges[0], name="facing", kind="facing"), *plain.edges[1:])))
    table = SewingTable(pieces)
    _facing_seams(table)
    (seam,) = (each for each in table.seams if each.name == "front facing to lining")
    assert seam.ease_mm == pytest.approx((-slack, slack))


def apex(cut_x: float, end: complex, leg: complex, tip: complex, axis: complex) -> complex:
    """Where the cut line x = cut_x, turned over about a leg, crosses the dart's axis: the line of both is solved as it is written."""
    along = leg * leg * np.conj(1j)  # the cut line's direction in the leg's mirror
    start = end + leg * leg * np.conj(cut_x + 1j * end.imag - end)
    s, _ = np.linalg.solve([[axis.real, -along.real], [axis.imag, -along.imag]], [(start - tip).real, (start - tip).imag])
    return complex(tip + s * axis)


@pytest.mark.parametrize("stands_out", [2.35, 2.45])
def test_a_dart_s_mouth_that_would_stand_out_like_a_tongue_is_pressed_up(stands_out: float) -> None:
    """Over 2.4 allowances. A side of 300 downwards, allowance 15; mouth of 30 in its middle, the tip 120 inside and ever higher."""
    allowance, ends = 15.0, (100 + 135j, 100 + 165j)

    def drawn(rise: float) -> tuple[complex, complex, complex]:
        """Tip and both apexes, pressed up and down."""
        tip = -20 + (150 - rise) * 1j
        legs = [(end - tip) / abs(end - tip) for end in ends]
        axis = sum(legs) / abs(sum(legs))
        up, down = (apex(100 + allowance, end, leg, tip, axis) for end, leg in zip(ends, legs, strict=True))
        return tip, up, down

    rises = np.linspace(0.0, 200.0, 801)
    far = np.array([abs(drawn(rise)[2] - ends[1]) / allowance for rise in rises])
    tip, up, down = drawn(float(rises[np.abs(far - stands_out).argmin()]))
    runs = (
        Run(np.array([0, 100 + 0j]), allowance, "armhole", False), Run(np.array([100, ends[0]]), allowance, "side", False),
        Run(np.array([ends[0], tip]), 0.0, "dart", False), Run(np.array([tip, ends[1]]), 0.0, "dart", False),
        Run(np.array([ends[1], 100 + 300j]), allowance, "side", False), Run(np.array([100 + 300j, 300j]), allowance, "waist", False),
        Run(np.array([300j, 0]), 0.0, "centre", True),
    )  # fmt: skip
    ring = cut_ring(runs)
    away = [float(np.abs(ring - at).min()) for at in (up, down)]
    assert min(away) < 0.01
    assert (away[1] < 0.01) == (stands_out < 2.4)
