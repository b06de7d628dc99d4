"""The terms of the joint solve and of the drawings it goes by: what is believed before any spot is seen, which spots are refused.

One photograph at spot level, exact but for what is said. Beliefs are read where no spot says anything of them: what is left of them
after the solve is what was believed.
"""

from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import pytest
from PIL import Image

from calibration.fitted import fitted_picture
from calibration.joint import Solved
from calibration.labels import label_pages
from calibration.lateral import Lateral
from calibration.least_squares import Prior, fit
from calibration.photograph import Photograph, read_photograph
from calibration.refine import refine
from calibration.rough import placed_maps, start, with_lateral
from calibration.sheets import PAGE_MM
from calibration.spot_find import _fitted
from calibration.table import SheetPlace, Table
from calibration.unknowns import LIGHT, seen_at
from tests.calibration.points import ONE, PAGES, SD_PX, SIZE, jointly, spots_of

Array = Any


@lru_cache(maxsize=1)
def believed() -> Solved:
    """One sheet, spots thought to be placed to 5 px only: what is told in the end is what was believed."""
    told = spots_of()
    told = replace(told, sd=np.full(len(told), 5.0))
    return jointly(ONE, told.chosen((told.drawing == 0) | (told.drawing == LIGHT)))


@lru_cache(maxsize=1)
def noisy() -> Solved:
    """Noise of 0.05 px in spots thought to be placed to 0.05 px."""
    return jointly(ONE, spots_of(SD_PX))


def left_sd(found: Solved, at: int) -> float:
    return float(np.sqrt(found.covariance[at, at]))


# ---------------------------------------------------------------- what is believed


def test_a_print_s_stretch_is_believed_to_a_thousandth() -> None:
    """A printer's feed is true to some 0.2 % (rectangular: sd 0.1 %, from memory): one sheet alone hardly says more."""
    assert left_sd(believed(), believed().setting.stretch_at) == pytest.approx(0.001, rel=0.05)


def test_paper_is_believed_to_lie_flat_to_two_tenths() -> None:
    """Seen from one side its bend is a matter of belief: 0.2 mm, twice its own thickness (80 g/m²: 0.1 mm)."""
    at = believed().setting.bend_at(0)
    told = [left_sd(believed(), number) for number in range(at.start + 1, at.stop)]
    assert max(told) == pytest.approx(0.2, rel=0.05)


def test_lateral_colour_is_believed_to_half_a_pixel_at_the_edge() -> None:
    """Spots of no colour say nothing of it: 3e-4 of some 2000 px from the middle is 0.6 px."""
    at = believed().setting.phone_at(0)
    assert [left_sd(believed(), number) for number in (at.stop - 2, at.stop - 1)] == pytest.approx([3e-4] * 2, rel=0.05)


def test_lateral_colour_as_measured_is_believed_to_no_better_than_all_spots_together_say_it() -> None:
    """2e-5 (0.04 px at 2000 from the middle), and twice what the spots themselves state."""
    setting, prior = believed().setting, Prior(np.zeros(believed().setting.count), np.full(believed().setting.count, 3e-4))
    at = setting.phone_at(0)
    for stated, told in ((0.0, 2e-5), (1e-5, 2e-5 * 2**0.5), (1e-2, 3e-4)):
        found = with_lateral(setting, prior, {0: Lateral(np.array([1e-4, -1e-4]), np.full(2, stated))})
        assert found.sd[at.stop - 2 : at.stop] == pytest.approx([told] * 2, rel=0.05)
        assert found.mean[at.stop - 2 : at.stop] == pytest.approx([1e-4, -1e-4])


def test_a_lamp_s_lens_is_believed_to_bend_little() -> None:
    """Its middle within a tenth of the width aside and 0.4 of the height up or down (lamps on a stand throw upwards), 3 % of bending by
    k1 and 2 % by k2 at half the width (ours, no source); nothing is believed of where the light falls."""
    photograph = Photograph("0.jpg", "0" * 64, "phone", None, np.zeros((3000, 4000), np.uint8), np.zeros((1, 1, 3), np.uint8), 2)
    planes = placed_maps(spots_of())
    setting = believed().setting
    _, prior = start(setting, [photograph], [planes.pictures[0]], [planes.sheets[0]], [planes.lights[0]])
    assert prior.sd[setting.lamp_at(0)] == pytest.approx([np.inf] * 8 + [0.1 * SIZE[0], 0.4 * SIZE[1], 0.03, 0.02])


# ---------------------------------------------------------------- which spots are refused


def test_a_spot_four_standard_deviations_off_is_refused() -> None:
    """Of exact spots thought to be placed to 0.05 px no noise under 0.35 of that is believed: 4 × 0.0175 px = 0.07 px.

    0.35: a spot's own estimate is two to three times too large. Four: of 3,000 good spots one is that far off.
    """
    told, at = spots_of(), spots_of().at.copy()
    near, far = (int(np.flatnonzero(told.drawing == LIGHT)[place]) for place in (150, 260))
    at[near] += [0.068, 0.0]
    at[far] += [0.073, 0.0]
    used = jointly(ONE, replace(told, at=at)).used
    assert used[near]
    assert not used[far]


def test_noise_is_learnt_from_what_is_left() -> None:
    """1, within 6 % (300 spots: a median is true to 5 %)."""
    assert noisy().scale[0, True] == pytest.approx(1.0, abs=0.06)
    assert noisy().scale[0, False] == pytest.approx(1.0, abs=0.06)


def test_a_joint_solve_states_what_the_weights_of_three_standard_deviations_leave() -> None:
    """Covariance = (Σ w Jᵀ J / sd² + beliefs)⁻¹ with Cauchy's w = 1 / (1 + (r/3)²), 1e-9 added in the unknowns' own scale; the corners of
    the light to 0.1 %, for the noise learnt after the last fit is a little another. A scale of 3.45 would state them 2.5 % smaller."""
    found = noisy()
    w, h = ONE.phones[0].size
    photograph = Photograph("0.jpg", "0" * 64, "phone", None, np.zeros((h, w), np.uint8), np.zeros((1, 1, 3), np.uint8), 2)
    planes = placed_maps(spots_of(SD_PX))
    sheets = [planes.sheets[number] for number in range(PAGES)]
    _, beliefs = start(found.setting, [photograph], [planes.pictures[0]], sheets, [planes.lights[0]])
    spots = found.spots
    slopes = seen_at(found.setting, found.x, spots.photo, spots.drawing, spots.on, spots.tint)[1] / spots.sd[:, None, None]
    weights = found.used / (1.0 + (np.linalg.norm(found.residual, axis=1) / spots.sd / 3.0) ** 2)
    normal = np.einsum("n,nia,nib->ab", weights, slopes, slopes, optimize=True) + np.diag(beliefs.sd**-2.0)
    scale = 1.0 / np.sqrt(np.diag(normal))
    stated = np.diag(np.linalg.inv(normal * np.outer(scale, scale) + 1e-9 * np.eye(len(scale)))) * scale**2
    corners = found.setting.lamp_at(0)[:8]
    assert np.diag(found.covariance)[corners] / stated[corners] == pytest.approx(np.ones(8), rel=0.001)


def test_a_sheet_half_of_whose_spots_fit_nothing_is_refused_as_one() -> None:
    """A robust fit would drop them one by one and keep a story that half a sheet tells. 47 % of one sheet spoilt, 54 % of another."""
    told, at, random = spots_of(), spots_of().at.copy(), np.random.default_rng(1)
    for sheet, share in ((PAGES - 2, 0.47), (PAGES - 1, 0.54)):
        mine = np.flatnonzero(told.drawing == sheet)
        spoilt = random.permutation(mine)[: round(share * len(mine))]
        turn = random.uniform(0.0, 2 * np.pi, len(spoilt))
        at[spoilt] += 4.0 * np.column_stack([np.cos(turn), np.sin(turn)])
    assert jointly(ONE, replace(told, at=at)).refused == ((0, PAGES - 1),)


def test_what_lies_beyond_three_standard_deviations_pulls_less_and_less() -> None:
    """Cauchy's loss of scale 3: twelve places at 0 and one at 30 sd meet where the weights 1 / (1 + (r/3)²) say, worked out apart."""
    places = np.zeros((13, 2))
    places[-1, 0] = 30.0

    def model(x: Array) -> tuple[Array, Array]:
        return x - places, np.tile(np.eye(2), (13, 1, 1))

    found = fit(model, np.zeros(2), Prior(np.zeros(2), np.full(2, np.inf)), steps=200).x[0]
    rest = np.linspace(0.0, 1.0, 100_001)
    pull = 12 * rest / (1 + (rest / 3) ** 2) - (30 - rest) / (1 + ((30 - rest) / 3) ** 2)
    assert found == pytest.approx(rest[np.abs(pull).argmin()], abs=0.002)


def test_no_table_spot_is_placed_better_than_paper_and_lens_allow() -> None:
    """0.03 px, exact saddles or not."""
    grid = np.stack(np.meshgrid(np.arange(-3.0, 4.0) * 13, np.arange(-3.0, 4.0) * 13), axis=2).reshape(-1, 2)
    found = _fitted(grid, 5.0 * grid + 700.0, np.full(len(grid), 1e-3), np.zeros(2))
    assert found is not None
    assert np.sqrt(np.diag(found[1])) == pytest.approx([0.03, 0.03], rel=0.03)


@pytest.mark.parametrize(("contrast", "is_seen"), [(0.0, False), (1.0, False), (3.0, True), (100.0, True)])
def test_burnt_out_white_holds_no_saddle(contrast: float, is_seen: bool) -> None:
    """Glare is 255 everywhere and without noise: whatever is looked for there was once found, at the place where it was looked for.

    In whole grey levels a saddle shows from some 1.2 on (four times their rounding of 0.29).
    """
    board = np.kron(np.indices((10, 10)).sum(axis=0) % 2, np.ones((20, 20))) * contrast
    grey = np.asarray(np.rint(cv2.GaussianBlur(255.0 - board, (0, 0), 1.2)), np.uint8)
    at = np.stack(np.meshgrid(np.arange(2, 9), np.arange(2, 9)), axis=2).reshape(-1, 2).astype(np.float64) * 20.0 - 0.5
    found = refine(grey, at, np.tile(np.eye(2), (len(at), 1, 1)), np.full(len(at), 8.0), 1.2)
    assert found.good.mean() == (1.0 if is_seen else 0.0)


# ---------------------------------------------------------------- drawings and photographs


def test_a_label_is_as_large_as_two_thumbs() -> None:
    """Squares of 13 mm, six of them and rims of 5: 88 mm; its number in letters 3 mm high."""
    page = label_pages("a4")[0]
    x, y = page.middles[0]
    mine = np.array(
        [square for square in page.squares() if abs((square[0] + square[2]) / 2 - x) < 50 and abs((square[1] + square[3]) / 2 - y) < 50]
    )
    assert (mine[:, 0].min() - x, mine[:, 2].max() - x) == pytest.approx((-44.0, 44.0), abs=0.01)
    assert {round(float(side), 3) for side in (mine[:, 2] - mine[:, 0])} == {13.0, 5.0}
    assert {round(text.size, 2) for text in page.texts[:-1]} == {3.0}


def test_plain_light_reaches_a_centimetre_beyond_a_sheet() -> None:
    """A sheet pushed by a few millimetres meanwhile still lies in it; a pixel is 0.73 mm and the outline is filled in whole ones."""
    sheet = SheetPlace(1, (500.0, 250.0), 0.0, PAGE_MM["a4"])
    table = replace(Table.demonstration(SIZE), sheets=(sheet,), is_demonstration=False)
    green = fitted_picture(table, SIZE)[:, :, 1]
    along = np.linspace(0.0, 297.0, 200)

    def plain(beyond: float) -> bool:
        sides = [
            np.column_stack([np.full(200, 500.0 - beyond), 250.0 + along]),
            np.column_stack([np.full(200, 710.0 + beyond), 250.0 + along]),
        ]
        px = np.rint(table.px_from_mm(np.concatenate(sides))).astype(int)
        return bool((green[px[:, 1], px[:, 0]] == 255).all())

    assert plain(9.3)
    assert not plain(10.9)


def test_a_focal_length_is_told_as_if_on_film(tmp_path: Path) -> None:
    """Exif 2.32, FocalLengthIn35mmFilm: of a picture 36 mm long; 26 mm over 640 px are 462 px."""
    exif = Image.Exif()
    exif.get_ifd(0x8769)[0xA405] = 26
    Image.fromarray(np.zeros((480, 640, 3), np.uint8)).save(tmp_path / "a.jpg", exif=exif)
    assert read_photograph(tmp_path / "a.jpg").focal_px == pytest.approx(26.0 / 36.0 * 640, abs=1.0)
