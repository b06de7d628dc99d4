"""The bare table's surface: reflectance at world places."""

from functools import lru_cache

import cv2
import numpy as np

from tests.virtual_table.lamp import Light
from tests.virtual_table.scene import Ground

SPAN_MM, TEXEL_MM = 4096, 2.0


@lru_cache(maxsize=4)
def _grain(kind: str, seed: int) -> Light:
    """A square of surface that repeats, about 1 in the mean."""
    random = np.random.default_rng(seed)
    side = int(SPAN_MM / TEXEL_MM)
    if kind == "even":
        return np.ones((side, side), np.float32)
    reach = 160  # beyond the broadest blur, so that the square repeats without a seam
    noise = np.pad(random.standard_normal((side, side)).astype(np.float32), reach, mode="wrap")
    fine = cv2.GaussianBlur(noise, (0, 0), 1.0) * 0.06
    if kind == "wood":
        fine = fine + cv2.GaussianBlur(noise, (0, 0), sigmaX=40, sigmaY=1.5) * 1.2
    broad = cv2.GaussianBlur(noise, (0, 0), 30) * 2.0
    return np.asarray(1.0 + np.clip(fine + broad, -0.4, 0.4)[reach:-reach, reach:-reach], dtype=np.float32)


def reflectance_of(ground: Ground, places: Light, pixel_mm: float) -> Light:
    """(h, w, 3) reflectance at (h, w, 2) world places; `pixel_mm`: size of a pixel there, for soft edges."""
    texel = places * np.float32(1.0 / TEXEL_MM)
    grain = cv2.remap(_grain(ground.kind, ground.seed), texel[..., 0], texel[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_WRAP)
    if ground.kind == "mat":  # a light line every 10 mm, 0.4 mm wide
        away = np.minimum(np.abs(np.mod(places[..., 0], 10.0) - 5.0), np.abs(np.mod(places[..., 1], 10.0) - 5.0))
        grain = grain * (1.0 + 0.5 * np.clip((0.2 + pixel_mm / 2 - away) / pixel_mm, 0.0, 1.0) * min(1.0, 0.4 / pixel_mm))
    if ground.kind == "checks":  # dark and light squares of 20 mm with soft, woven edges
        wave = np.sin(places[..., 0] * np.float32(np.pi / 20)) * np.sin(places[..., 1] * np.float32(np.pi / 20))
        grain = grain * (1.0 + 0.7 * np.clip(wave * 20.0, -1.0, 1.0))
    bounded = np.clip(grain, 0.05, 1.8, dtype=np.float32)
    return np.asarray(cv2.merge([bounded * np.float32(colour) for colour in ground.colour]), dtype=np.float32)
