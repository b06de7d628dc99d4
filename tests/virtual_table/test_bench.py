"""The virtual table itself against outside truth: OpenCV, scikit-image, ISO 216 and ISO/IEC 7810, and light where it must fall."""

import cv2
import numpy as np
import pytest
from skimage.transform import ProjectiveTransform

from tests.virtual_table import good
from tests.virtual_table.lens import Array, Lens, looking_at
from tests.virtual_table.paper import Bend, Page, Sheet, bent_paper, page_texture
from tests.virtual_table.render import photograph
from tests.virtual_table.scene import Ground, Phone, Room, Scene, Sensor
from tests.virtual_table.truth import grid_px, rigidly_fitted, truth_of

BLANK = np.full((64, 64, 3), 255, np.uint8)
WHITE_LIGHT = np.full((1080, 1920, 3), 255, np.uint8)


def _scene(sheets: tuple[Sheet, ...]) -> Scene:
    base = good(5, [], photographs=1)
    phone = base.phones[0]
    plain = Phone(
        phone.size, phone.lens, phone.pose, Sensor(exposure=0.08, noise=0.0005, vignetting=0.0, lateral_colour=0.0, sharpen=0.0, quality=97)
    )
    return Scene("check", base.lamp, sheets, (plain,), Ground((0.08, 0.08, 0.08), "even"), Room(0.1, uneven=0.0))


def _linear(jpeg: bytes) -> Array:
    """Brightness of a photograph, as light."""
    grey = cv2.imdecode(np.frombuffer(jpeg, np.uint8), cv2.IMREAD_GRAYSCALE | cv2.IMREAD_IGNORE_ORIENTATION)
    assert grey is not None
    return np.asarray(((grey.astype(np.float64) / 255 + 0.055) / 1.055) ** 2.4)


def _mm(phone: Phone, px: Array) -> Array:
    return phone.pose.met(phone.lens.normalised(px))


def test_lens_is_opencv_s_lens() -> None:
    """cv2.projectPoints documents the same model; agreement to rounding (1e-9 px), and the inverse to 1e-9 px."""
    lens = Lens(2900.0, (2010.0, 1500.0), 0.05, -0.03, 4e-4, -6e-4)
    pose = looking_at(np.array([120.0, -700.0, 1500.0]), np.array([30.0, 20.0, 0.0]), 17.0)
    world = np.column_stack([np.random.default_rng(1).uniform(-600, 600, (200, 2)), np.zeros(200)])
    seen = pose.seen(world)
    ours = lens.px(seen[:, :2] / seen[:, 2:])
    turn = pose.turn.T
    inside = np.array([[2900.0, 0, 2010.0], [0, 2900.0, 1500.0], [0, 0, 1.0]])
    theirs, _ = cv2.projectPoints(world, cv2.Rodrigues(turn)[0], -turn @ pose.at, inside, np.array([0.05, -0.03, 4e-4, -6e-4]))
    assert np.abs(ours - np.asarray(theirs).reshape(-1, 2)).max() < 1e-9
    assert np.abs(pose.met(lens.normalised(ours)) - world[:, :2]).max() < 1e-8


def test_lamp_without_distortion_is_a_projective_map() -> None:
    """scikit-image's ProjectiveTransform through the four corners gives the same places (1e-6 mm)."""
    scene = good(2, [])
    lamp = scene.lamp
    straight = truth_of(Scene("straight", type(lamp)(lamp.size, Lens(lamp.lens.focal_px, lamp.lens.centre_px), lamp.pose), (), ()))
    px = grid_px(lamp.size)
    corners = px[[0, 32, 33 * 19 - 1, 33 * 18]]
    theirs = ProjectiveTransform.from_estimate(corners, straight.mm_from_px(corners))  # type: ignore[no-untyped-call]
    assert np.abs(theirs(px) - straight.mm_from_px(px)).max() < 1e-6
    assert np.abs(straight.px_from_mm(straight.mm_from_px(px)) - px).max() < 1e-7


@pytest.mark.parametrize(
    ("name", "size_mm"),
    [("A4, ISO 216", (210.0, 297.0)), ("card ID-1, ISO/IEC 7810", (85.60, 53.98))],
)
def test_paper_measures_its_own_size_in_the_photograph(name: str, size_mm: tuple[float, float]) -> None:
    """A blank sheet's four edges, found in the JPEG and carried to the table by the exact phone, stand its size apart.

    Tolerance 0.05 mm: an eighth of the 0.4 mm that a pixel covers.
    """
    scene = _scene((Sheet(Page(BLANK, size_mm[0] / 64, size_mm), (40.0, -30.0), 23.0),))
    phone = scene.phones[0]
    light = _linear(photograph(scene, 0, [WHITE_LIGHT]))
    sheet = scene.sheets[0]
    inner, sides = np.array(size_mm) / 2, []
    for axis in (0, 1):
        for sign in (-1, 1):
            edge = []
            for share in np.linspace(-0.7, 0.7, 29):
                reach = np.linspace(inner[axis] - 6, inner[axis] + 6, 241)
                page = np.zeros((241, 2))
                page[:, axis], page[:, 1 - axis] = sign * reach, share * inner[1 - axis]
                seen = phone.pose.seen(np.column_stack([sheet.world_from_page(page), np.zeros(241)]))
                px = phone.lens.px(seen[:, :2] / seen[:, 2:]).astype(np.float32)
                values = cv2.remap(light.astype(np.float32), px[None, :, 0], px[None, :, 1], cv2.INTER_LINEAR)[0]
                middle = (np.median(values[:60]) + np.median(values[-60:])) / 2
                edge.append(np.interp(-middle, -values, reach))
            sides.append(float(np.mean(edge)))
    assert sides[0] + sides[1] == pytest.approx(size_mm[0], abs=0.05), name
    assert sides[2] + sides[3] == pytest.approx(size_mm[1], abs=0.05), name


@pytest.mark.parametrize("scale", [(1.0, 1.0), (0.98, 0.995)])
def test_printed_steps_lie_where_they_were_printed(scale: tuple[float, float]) -> None:
    """Bars at every phase of the texels, measured in the sheet's texture by the area under its steps: 0.002 mm (0.005 px of a photograph).

    A tenth of what a good solve leaves as the noise of one printed spot; a texture on another grid than the print's misses it tenfold.
    """
    picture = np.full((600, 840, 3), 255, np.uint8)
    starts = 60 + 61 * np.arange(12)
    for start in starts:
        picture[:, start : start + 30] = 0
    page = Page(picture, 0.25, (210.0, 150.0))
    texture, texel_from_page = page_texture(Sheet(page, (0.0, 0.0), 0.0, scale), 0.219, 0.15)
    line = texture[texture.shape[0] // 2, :, 0].astype(np.float64)
    for start in starts:
        true = ((start - 0.5) - 839 / 2) * 0.25 * scale[0]
        middle = round(true * texel_from_page[0, 0] + texel_from_page[0, 2])
        part = line[middle - 12 : middle + 13]
        bright = (part - part.min()).sum() / np.ptp(part)
        found = (middle - 12 + bright - 0.5 - texel_from_page[0, 2]) / texel_from_page[0, 0]
        assert found == pytest.approx(true, abs=0.002)


def test_light_falls_where_the_truth_says() -> None:
    """Discs of light, their middles found as centres of brightness, lie where truth puts their pixels (0.05 mm).

    The middle of a disc in perspective is not quite the disc's own middle: under 0.01 mm for 12 px discs at these tilts.
    """
    scene = _scene(())
    centres = grid_px((1920, 1080), 5, 3) * 0.9 + np.array([96.0, 54.0])
    y, x = np.mgrid[:1080, :1920]
    picture = np.zeros((1080, 1920, 3), np.uint8)
    for cx, cy in centres:
        picture[np.hypot(x - cx, y - cy) < 12] = 255
    light = _linear(photograph(scene, 0, [picture]))
    phone, truth = scene.phones[0], truth_of(scene)
    places = truth.mm_from_px(np.round(centres))
    seen = phone.pose.seen(np.column_stack([truth.world_from_table(places), np.zeros(len(places))]))
    found = []
    for u, v in phone.lens.px(seen[:, :2] / seen[:, 2:]):
        left, top = round(u) - 45, round(v) - 45
        patch = light[top : top + 91, left : left + 91]
        weight = np.clip(patch - np.median(patch[:8]), 0.02 * patch.max(), None) - 0.02 * patch.max()
        ys, xs = np.mgrid[top : top + 91, left : left + 91]
        found.append([(xs * weight).sum() / weight.sum(), (ys * weight).sum() / weight.sum()])
    lit = truth.table_from_world(_mm(phone, np.array(found)))
    discs = np.array([[x[np.hypot(x - cx, y - cy) < 12].mean(), y[np.hypot(x - cx, y - cy) < 12].mean()] for cx, cy in centres])
    assert np.linalg.norm(lit - truth.mm_from_px(discs), axis=1).max() < 0.05


def test_bent_paper_keeps_its_length() -> None:
    """A page curled 25 mm over 90 mm covers less table than it is long; along the paper nothing stretches (0.01 mm)."""
    page = Page(BLANK, 210.0 / 64, (210.0, 297.0))
    bent = bent_paper(Sheet(page, (0.0, 0.0), 0.0, bend=Bend(25.0, 90.0, 45.0)))
    assert bent is not None
    steps = np.hypot(np.diff(bent.level), np.diff(bent.height))
    assert steps.sum() == pytest.approx(float(bent.along[-1] - bent.along[0]), abs=0.01)
    assert bent.level[-1] - bent.level[0] < bent.along[-1] - bent.along[0] - 2.0
    flat = np.array([[-60.0, -60.0], [10.0, 0.0]])
    same, height = bent.lifted(flat)
    assert np.abs(same - flat).max() < 1e-9
    assert height.max() == 0.0


def test_rigid_fit_keeps_scale() -> None:
    """A turned and shifted copy fits exactly; a copy 1 % too large keeps its 1 %."""
    places = np.random.default_rng(3).uniform(0, 1000, (50, 2))
    turn = np.array([[np.cos(2.0), -np.sin(2.0)], [np.sin(2.0), np.cos(2.0)]])
    assert np.abs(rigidly_fitted(places @ turn.T + 40.0, places) - places).max() < 1e-9
    left = np.linalg.norm(rigidly_fitted(1.01 * places, places) - places, axis=1)
    assert left == pytest.approx(0.01 * np.linalg.norm(places - places.mean(axis=0), axis=1), abs=1e-9)
