"""Numbers inside the formulas of finished pieces, on shapes drawn by hand: just short of each and just beyond. mm.

All are ours or common practice, no source. EXACT 0.01 mm: nothing is flattened.
"""

from dataclasses import replace

import numpy as np
import pytest
import shapely

from calibration.errors import Refused, WrongInput
from projector.draft.panel import Panel
from projector.draft.style import style_from_mapping
from projector.garment.allowances import allowances_for
from projector.garment.alter import allowance_left_mm
from projector.garment.cut_line import Run, cut_ring
from projector.garment.lines import begin_on, bent_to, thinned
from projector.garment.lining import _facing_edges, _lowered_darts, below_one_facing, to_the_edge
from projector.garment.make_piece import make_piece
from projector.garment.own import Block, outline_of
from projector.garment.pieces import Seam
from projector.garment.seam_check import seam_report
from projector.garment.seams import smooth_join
from projector.garment.sew_extras import _inset
from projector.garment.sewing_table import SewingTable
from tests.projector.garment.test_facing_limits import apex, panel, turned
from tests.projector.steps.by_hand import garment, rectangle

EXACT = 0.01

# ---------------------------------------------------------------- lines


def test_three_points_are_thinned_too() -> None:
    assert thinned(np.array([0, 0.001, 10 + 0j])).tolist() == [0, 10]


@pytest.mark.parametrize(("far", "is_cut"), [(89.0, True), (91.0, False)])
def test_a_line_is_begun_where_it_first_crosses_if_that_is_near(far: float, is_cut: bool) -> None:
    """Of a line that begins 10 off its axis and crosses it later: within 3 times that and 60; else it is drawn on backwards."""
    high = np.sqrt(far**2 - 10**2)
    begun = begin_on(np.array([10, 20 + high * 1j / 2, high * 1j, -50 + high * 1j]), 1j, 0j, 1j)
    assert (abs(begun[0] - high * 1j) < EXACT) == is_cut


def test_a_short_line_is_bent_over_four_fifths_of_it() -> None:
    """Of 50: from its new beginning over 40, half as far in the middle of them, its direction kept at both ends of the bend."""
    bent = bent_to(np.arange(0.0, 51.0).astype(complex), 2j)
    assert bent[[0, 20, 41]] == pytest.approx(np.array([2j, 20 + 1j, 41]), abs=1e-9)
    assert bent[39] != 39


# ---------------------------------------------------------------- linings and facings


@pytest.mark.parametrize(("degrees", "edges"), [(22.0, 1), (24.0, 2)])
def test_a_facing_s_edge_is_parted_at_a_corner(degrees: float, edges: int) -> None:
    """Of 0.4 (23 degrees): a square neck's, no flattened curve's."""
    assert len(_facing_edges(np.array([0, 50, 50 + 50 * turned(degrees)]))) == edges


def test_what_is_marked_close_under_a_lining_s_edge_is_left_out() -> None:
    """Levels from 5 under its upper edges on, pin marks from 15 on: nearer ones fall into the seam. The neck lies 2 lower, rolled in."""
    upper = panel(("neck", [0]), ("side", [100]), ("hem", [100 + 100j]), ("centre", [100j]))
    upper = replace(upper, levels={"near": 6.9, "level": 7.6}, points=(50 + 16.5j, 50 + 17.5j))
    lined = to_the_edge(upper, ("neck",))
    assert set(lined.levels) == {"level"}
    assert lined.points == (50 + 17.5j,)


def test_a_lining_s_dart_keeps_three_centimetres_at_the_least() -> None:
    """Of 97, under a facing that reaches over it all: its tip goes down in steps of 3 while more than 30 are left, to 28."""
    dart = (40 + 200j, 50 + 103j, 60 + 200j)
    ((_, tip, _),) = _lowered_darts(Panel("made", "made", (), darts=(dart,)), np.array([300j, 100 + 300j])).darts
    assert abs(50 + 200j - tip) == pytest.approx(28.0, abs=EXACT)


def test_a_side_panel_s_lining_without_a_partner_keeps_three_fifths_of_its_seam() -> None:
    """Under a facing in one whose edge misses the partner's princess seam: 60 of 100, counted from the waist up."""
    side = panel(("armhole", [0]), ("side", [80]), ("waist", [80 + 100j]), ("princess", [100j]))
    _, kept_mm = below_one_facing(side, np.array([-10 + 30j, 90 + 30j]), 1 + 0j, 0j, None)
    assert kept_mm == pytest.approx(60.0, abs=EXACT)


# ---------------------------------------------------------------- cut lines and pieces


@pytest.mark.parametrize(("share", "is_capped"), [(0.97, True), (1.05, False)])
def test_a_blunt_dart_s_mouth_is_cut_straight(share: float, is_capped: bool) -> None:
    """Where what lies under it would reach further than three mouths and three allowances: no cap, its middle. Mouth 30, allowance 15."""
    allowance, ends, most = 15.0, (100 + 135j, 100 + 165j), 3 * 30.0 + 3 * 15.0

    def drawn(deep: float) -> tuple[complex, complex]:
        """Tip, and the cap's apex pressed down: the dart's two halves are alike."""
        tip = 100 - deep + 150j
        leg = (ends[1] - tip) / abs(ends[1] - tip)
        return tip, apex(100 + allowance, ends[1], leg, tip, 1 + 0j)

    every = [drawn(float(deep)) for deep in np.linspace(15.2, 60.0, 4000)]
    tip, top = min(every, key=lambda one: abs(abs(one[1] - ends[1]) - share * most))
    ring = cut_ring(
        (
            Run(np.array([0, 100 + 0j]), allowance, "armhole", False), Run(np.array([100, ends[0]]), allowance, "side", False),
            Run(np.array([ends[0], tip]), 0.0, "dart", False), Run(np.array([tip, ends[1]]), 0.0, "dart", False),
            Run(np.array([ends[1], 100 + 300j]), allowance, "side", False), Run(np.array([100 + 300j, 300j]), allowance, "waist", False),
            Run(np.array([300j, 0]), 0.0, "centre", True),
        )
    )  # fmt: skip
    assert abs(top - ends[1]) == pytest.approx(share * most, abs=1.0)
    assert (np.abs(ring - top).min() < EXACT) == is_capped


def test_a_band_is_turned_onto_the_grain() -> None:
    """Drawn along x with its grain that way: its length runs down the piece, as every piece's grain does."""
    band = replace(panel(("band", [0]), ("side", [100]), ("band", [100 + 20j]), ("centre", [20j])), grain_deg=0.0)
    piece = make_piece(band, "main", "main", allowances_for(style_from_mapping({}), "main"))
    assert np.ptp(np.array(piece.seam_line), axis=0) == pytest.approx([20.0, 100.0], abs=EXACT)
    assert piece.grain_deg == 90.0


def test_an_allowance_left_is_not_asked_at_the_line_s_ends() -> None:
    """From 10 on, looked at every 5; a shorter edge is asked there too. Here both ends lie on the cut edge."""
    for long, left in ((12.0, 4.0), (9.0, 0.0)):
        cloth = shapely.box(0.0, -10.0, long, 10.0)
        assert allowance_left_mm(((0.0, 0.0), (long, 0.0)), cloth, cloth.exterior) == pytest.approx(left, abs=EXACT)


# ---------------------------------------------------------------- her own blocks


def test_a_triangle_is_a_block() -> None:
    """Two points are none."""
    with pytest.raises(WrongInput, match="three points"):
        Block("seam", ((0.0, 0.0), (100.0, 200.0)))
    assert len(Block("godet", ((0.0, 0.0), (100.0, 200.0), (-100.0, 200.0))).outline) == 3


@pytest.mark.parametrize(("inside", "told"), [(24.0, "bows out"), (26.0, "no straight run")])
def test_a_fold_edge_lies_in_the_left_quarter(inside: float, told: str) -> None:
    """Of a block 100 wide whose longest upright run is `inside` its left end, the rest there slanting by more than 10 degrees."""
    ring = np.array([[inside, 0.0], [100.0, 0.0], [100.0, 300.0], [0.0, 300.0], [inside, 200.0]])
    with pytest.raises(Refused, match=told):
        outline_of(ring * (1.0, -1.0), -90.0, "left")


@pytest.mark.parametrize(("run", "is_fold"), [(9.8, False), (10.5, True)])
def test_a_fold_edge_s_runs_are_a_centimetre_long(run: float, is_fold: bool) -> None:
    """Its left side zigzags by 0.02 in runs of that length: shorter ones have no direction worth the name."""
    side = [[0.02 * (place % 2), place * run] for place in range(20, -1, -1)]
    ring = np.array([*side, [80.0, 0.0], [80.0, 20 * run]])
    if is_fold:
        assert sum(abs(x) < 1e-6 for x, _ in outline_of(ring * (1.0, -1.0), -90.0, "left")) == 2
    else:
        with pytest.raises(Refused, match="no straight run"):
            outline_of(ring * (1.0, -1.0), -90.0, "left")


# ---------------------------------------------------------------- seams


@pytest.mark.parametrize(("over", "is_good"), [(0.048, True), (0.053, False)])
@pytest.mark.parametrize("way", [1.0, -1.0])
def test_a_seam_meets_within_its_ease_and_the_flattening(over: float, is_good: bool, way: float) -> None:
    """0.05 mm, to which curves are flattened; 0.5 of ease either way here."""
    one, two = rectangle("a", 100.0 + way * (0.5 + over), 50.0), rectangle("b", 100.0, 50.0)
    seam = Seam("made", (("a", "waist"),), (("b", "waist"),), 0.0, 0.0, (-0.5, 0.5))
    told = next(each for each in seam_report(replace(garment([one, two]), seams=(seam,))) if each.name == "made")
    assert told.is_good == is_good


def test_corners_that_run_on() -> None:
    """180 degrees over a seam; a V's inset lies square to its centre, within 3."""
    assert smooth_join("made", ()).sum_deg == 180.0
    table = SewingTable([rectangle("inset", 50.0, 50.0)])
    _inset(table)
    (join,) = table.joins
    assert (join.sum_deg, join.tol_deg) == (90.0, 3.0)
