"""Numbers inside formulas of the map and its solve, each at a case where it binds; worked out here apart from the product."""

from dataclasses import replace

import numpy as np
import pytest

from calibration.errors import WrongInput
from calibration.homography import plane_map
from calibration.labels import label_pages, stuck_pages
from calibration.lamp_lens import actual_from_ideal
from calibration.movement import _affine, _field, _similar
from calibration.photograph import _cut_short, reduction
from calibration.sheets import Paper, page_of
from calibration.table import Table


@pytest.mark.parametrize(("off", "belongs"), [(5.7, True), (6.3, False)])
def test_a_pair_within_six_pixels_belongs_to_a_plane_map(off: float, belongs: bool) -> None:
    """64 pairs, one beside its place: believed, it draws the map a little; left out, the map is the others', exact to rounding."""
    source = np.stack(np.meshgrid(np.arange(8.0), np.arange(8.0)), axis=2).reshape(-1, 2) * 100.0
    target = 1.5 * source + [30.0, 20.0]
    spoilt = target.copy()
    spoilt[27, 0] += off
    found = plane_map(source, spoilt)
    assert found is not None
    met = np.column_stack([source, np.ones(64)]) @ found.T
    left = float(np.linalg.norm(met[:, :2] / met[:, 2:] - target, axis=1).max())
    assert (left > 0.02) == belongs
    assert belongs or left < 1e-4


@pytest.mark.parametrize(("px", "is_one"), [(15, False), (16, True)])
def test_a_picture_has_sixteen_pixels_a_side(px: int, is_one: bool) -> None:
    """Fewer hold no spot of light."""
    table = Table.demonstration((1920, 1080))
    if is_one:
        assert replace(table, size=(1920, px)).size == (1920, px)
    else:
        with pytest.raises(WrongInput, match="pixels is none"):
            replace(table, size=(1920, px))


def test_what_the_demonstration_states_of_itself() -> None:
    """As a good solve does (no source, ours): corners to 0.03 mm, the middle of its bending to 5 px, k1 and k2 to 5e-5, 0.05 mm everywhere;
    the lens to 20 mm aside and 40 up. It bends by 0.4 % and back by 0.1 % at half its width."""
    table = Table.demonstration((1920, 1080))
    assert np.sqrt(np.diag(table.shape.covariance)) == pytest.approx([0.03] * 8 + [5.0] * 2 + [5e-5] * 2)
    assert table.shape.floor_mm == pytest.approx(0.05)
    assert table.lens_position is not None
    assert table.lens_position.sd_mm == pytest.approx((20.0, 20.0, 40.0))
    edge = actual_from_ideal(np.array([[959.5 + 960.0, 539.5]]), table.lens, 1920)[0, 0] - 959.5
    far = actual_from_ideal(np.array([[959.5 + 480.0, 539.5]]), table.lens, 1920)[0, 0] - 959.5
    assert edge == pytest.approx(960.0 * (1 + 0.004 - 0.001))
    assert far == pytest.approx(480.0 * (1 + 0.004 / 4 - 0.001 / 16))


# ---------------------------------------------------------------- labels on their page


@pytest.mark.parametrize(("paper", "wide", "tall"), [("a4", 210.0, 297.0), ("letter", 215.9, 279.4)])
def test_six_labels_share_a_page(paper: Paper, wide: float, tall: float) -> None:
    """88 mm each, 8 apart and in the middle; 6 free at top and bottom, the rest shared by three rows; a line of 2.6 mm at the foot."""
    page = label_pages(paper)[0]
    x, y = np.array(page.middles).reshape(3, 2, 2).transpose(2, 0, 1)
    assert x == pytest.approx(np.tile([wide / 2 - 48.0, wide / 2 + 48.0], (3, 1)))
    step = 88.0 + (tall - 12.0 - 3 * 88.0) / 3
    assert y[:, 0] == pytest.approx(tall - 6.0 - 44.0 - step * np.arange(3))
    foot = page.texts[-1]
    assert (foot.x, foot.y, foot.size) == pytest.approx((wide / 2 - 92.0, 6.0, 2.6))


def test_a_page_stuck_down_has_its_own_hundred() -> None:
    """Four spot ids each: a page's hundred, on letter paper a thousand further."""
    assert set(stuck_pages()) == {base + 100 * page for base in (0, 1000) for page in range(1, 1 + len(stuck_pages()) // 2)}


# ---------------------------------------------------------------- a light that moves


def test_a_camera_that_shakes_turns_and_grows_its_picture() -> None:
    """A small turn goes across the way from the middle, growth along it, both as far as that is long."""
    places = np.array([[300.0, -200.0], [1200.0, 500.0], [-40.0, 900.0]])
    design = _similar(places)
    assert (design.shape, _affine(places).shape) == ((3, 2, 4), (3, 2, 6))
    turn, growth = design[:, :, 2], design[:, :, 3]
    assert np.sum(turn * places, axis=1) == pytest.approx(np.zeros(3))
    assert growth[:, 0] * places[:, 1] == pytest.approx(growth[:, 1] * places[:, 0])
    assert np.linalg.norm(turn, axis=1) == pytest.approx(np.linalg.norm(growth, axis=1))


@pytest.mark.parametrize(("around", "off", "agrees"), [(0.0, 0.145, True), (0.0, 0.156, False), (0.1, 0.38, True), (0.1, 0.42, False)])
def test_a_saddle_four_medians_off_does_not_agree(around: float, off: float, agrees: bool) -> None:
    """0.15 px at least; of 400 saddles one moves the field by a hundredth of what it is off."""
    places = np.stack(np.meshgrid(np.arange(20.0), np.arange(20.0)), axis=2).reshape(-1, 2) * 50.0
    turn = np.random.default_rng(3).uniform(0.0, 2 * np.pi, 400)
    shift = around * np.column_stack([np.cos(turn), np.sin(turn)]) + [2.0, -1.0]
    shift[210] = [2.0 + off, -1.0]
    assert _field(_affine(places), shift)[1] == (400 if agrees else 399)


@pytest.mark.parametrize(("count", "told"), [(5, 0), (6, 6)])
def test_six_saddles_say_how_a_light_moved(count: int, told: int) -> None:
    """Fewer are none: three would fit any shear."""
    places = np.random.default_rng(4).uniform(0.0, 1000.0, (count, 2))
    assert _field(_affine(places), np.tile([1.0, 0.5], (count, 1)))[1] == told


# ---------------------------------------------------------------- a sheet's page, a photograph's file


@pytest.mark.parametrize(("paper", "left", "up", "tall"), [("a4", 15.0, 27.5, 250.0), ("letter", 17.95, 28.7, 230.0)])
def test_bars_and_words_keep_off_each_other(paper: Paper, left: float, up: float, tall: float) -> None:
    """One bar 22 mm up and in the middle, the other 4 mm over the middle; three lines of words under the first, 4.2 mm apart."""
    page = page_of(paper, 1)
    assert page.bars[0] == pytest.approx((left, 22.0, left + 180.0, 25.0))
    assert (page.bars[1][1], page.bars[1][3]) == pytest.approx((up, up + tall))
    *lines, wide, high, number = page.texts
    assert [(line.x, line.y) for line in lines] == [pytest.approx((left, 16.5 - 4.2 * row)) for row in range(len(lines))]
    assert (wide.x, wide.y, high.x, high.y) == pytest.approx((left, 26.5, left + 92.0, 26.5))
    assert (number.x, number.y, number.size) == pytest.approx((left + 150.0, 26.2, 4.5))


@pytest.mark.parametrize(("long_px", "by"), [(2999, 1), (3000, 2), (5999, 2), (6000, 4), (11999, 4), (12000, 8), (90000, 8)])
def test_a_photograph_is_looked_over_at_1500_px_or_more(long_px: int, by: int) -> None:
    """Reduced by what a JPEG reader reduces by."""
    assert reduction(long_px) == by


@pytest.mark.parametrize(
    ("data", "is_cut"),
    [(b"\xff\xd8\xff\xda\x00\x02", True), (b"\xff\xd8\xff\xda\x00\x02\xff\xd9", False), (b"\xff\xd8abcd", False), (b"\xff\xd8abc", True)],
)
def test_a_jpeg_s_segments_begin_with_four_bytes(data: bytes, is_cut: bool) -> None:
    """ITU-T T.81, annex B: a marker of two, a length of two; what begins otherwise is broken, not cut short."""
    assert _cut_short(data) == is_cut
