"""The projector of the virtual table, and the exact truth about where its pixels fall."""

import zlib
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from tests.virtual_table.lens import Array, Lens, Pose

Picture = NDArray[np.uint8]
Light = NDArray[np.float32]

CAMERA_FROM_LAMP = np.array([[0.92, 0.07, 0.01], [0.10, 0.82, 0.08], [0.01, 0.10, 0.89]], dtype=np.float32)
"""How much of the lamp's red, green, blue the phone's red, green, blue see (its filters overlap; figures invented)."""


@dataclass(frozen=True, slots=True)
class Lamp:
    """A projector. `size` is the picture's size in px, `lens` is in px of that picture.

    keystone: 3 x 3 map, panel px from picture px (digital keystone); None: pixel for pixel.
    mirrored: the light comes out as a mirror image. panel_width: real pixels across (0: as the picture); fewer softens it.
    """

    size: tuple[int, int]
    lens: Lens
    pose: Pose
    blur_px: float = 0.5
    keystone: Array | None = None
    mirrored: bool = False
    panel_width: int = 0
    black: float = 0.002
    falloff: float = 0.25

    def panel_from_picture(self) -> Array:
        """3 x 3: keystone and mirror."""
        whole = np.eye(3) if self.keystone is None else self.keystone
        flip = np.array([[-1.0, 0.0, self.size[0] - 1.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]) if self.mirrored else np.eye(3)
        return flip @ whole

    def px_from_world(self, world: Array) -> Array:
        """(..., 3) world mm to (..., 2) picture px; nan behind the lens."""
        seen = self.pose.seen(world)
        ahead = seen[..., 2] > 1e-9
        flat = seen[..., :2] / np.where(ahead, seen[..., 2], np.nan)[..., None]
        return _through(np.asarray(np.linalg.inv(self.panel_from_picture())), self.lens.px(flat))

    def world_from_px(self, px: Array, height_mm: float = 0.0) -> Array:
        """(..., 2) picture px to (..., 2) world mm on the level plane at `height_mm`."""
        return self.pose.met(self.lens.normalised(_through(self.panel_from_picture(), px)), height_mm)


def _through(matrix: Array, points: Array) -> Array:
    moved = np.concatenate([points, np.ones((*points.shape[:-1], 1))], axis=-1) @ matrix.T
    return np.asarray(moved[..., :2] / moved[..., 2:3])


_KEPT: dict[object, tuple[Light, int]] = {}


def light_texture(picture: Picture, lamp: Lamp) -> tuple[Light, int]:
    """(light of the picture in the camera's colours, enlarged k times, RGB float32, linear, 0 to 1; k)."""
    key = (zlib.crc32(picture.tobytes()), lamp.size, lamp.blur_px, lamp.panel_width, lamp.black, lamp.falloff)
    if key not in _KEPT:
        while len(_KEPT) > 3:
            del _KEPT[next(iter(_KEPT))]
        _KEPT[key] = _light_texture(picture, lamp)
    return _KEPT[key]


def _light_texture(picture: Picture, lamp: Lamp) -> tuple[Light, int]:
    """Square pixels, softened by the lamp's lens, weaker towards the edges."""
    coded = picture if picture.ndim == 3 else np.repeat(picture[..., None], 3, axis=2)
    if (coded.shape[1], coded.shape[0]) != lamp.size:  # a desktop stretches a picture of another size over the panel
        coded = np.asarray(cv2.resize(coded, lamp.size, interpolation=cv2.INTER_LINEAR), dtype=np.uint8)
    curve = np.where(np.arange(256) <= 10, np.arange(256) / 255 / 12.92, ((np.arange(256) / 255 + 0.055) / 1.055) ** 2.4)
    linear = curve.astype(np.float32)[coded]
    if lamp.panel_width and lamp.panel_width != lamp.size[0]:
        panel = (lamp.panel_width, round(lamp.size[1] * lamp.panel_width / lamp.size[0]))
        few = cv2.resize(linear, panel, interpolation=cv2.INTER_AREA)
        linear = np.asarray(cv2.resize(few, lamp.size, interpolation=cv2.INTER_LINEAR), dtype=np.float32)
    w, h = lamp.size
    x, y = (np.arange(w) - (w - 1) / 2) / (w / 2), (np.arange(h) - (h - 1) / 2) / (w / 2)
    fall = 1.0 - lamp.falloff * np.minimum(y[:, None] ** 2 + x[None] ** 2, 1.5)
    linear = (linear * (1.0 - lamp.black) + lamp.black) * fall[..., None].astype(np.float32)
    times = 2 if w > 2000 else 3
    large = cv2.resize(cv2.transform(linear, CAMERA_FROM_LAMP), None, fx=times, fy=times, interpolation=cv2.INTER_NEAREST)
    return np.asarray(cv2.GaussianBlur(large, (0, 0), lamp.blur_px * times), dtype=np.float32), times
