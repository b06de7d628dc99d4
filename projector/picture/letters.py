"""Words and filled shapes: outlines mapped to px, filled at four times the size and averaged, laid on by the brighter light."""

from collections import OrderedDict
from collections.abc import Hashable
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
FINER = 4
_SHIFT = 4
LARGEST_PX = 8192.0


@dataclass(frozen=True, slots=True, eq=False)
class Mask:
    """Coverage 0 to 255 on a box of the picture whose top-left pixel is (x, y)."""

    x: int
    y: int
    cover: NDArray[np.uint8]


def mask_of(fills: list[Array], holes: list[Array], size: tuple[int, int]) -> Mask | None:
    """Coverage of rings given in px; None when nothing of them lies in the picture. Unknown places: None."""
    if not fills:
        return None
    whole = np.vstack(fills)
    if not np.isfinite(whole).all() or np.abs(whole).max() > LARGEST_PX * 4:
        return None
    x0, y0 = np.maximum(np.floor(whole.min(axis=0)).astype(int) - 1, 0)
    x1, y1 = np.minimum(np.ceil(whole.max(axis=0)).astype(int) + 2, size)
    if x1 <= x0 or y1 <= y0:
        return None
    fine = np.zeros(((y1 - y0) * FINER, (x1 - x0) * FINER), dtype=np.uint8)
    # the middle of fine pixel i lies at (i + 0.5) / FINER - 0.5 of a picture pixel
    corner = np.array([x0, y0], dtype=np.float64)

    def whole_numbers(ring: Array) -> NDArray[np.int32]:
        return np.rint((((ring - corner) + 0.5) * FINER - 0.5) * (1 << _SHIFT)).astype(np.int32)

    for ring in fills:
        cv2.fillPoly(fine, [whole_numbers(ring)], 255, cv2.LINE_8, _SHIFT)
    for ring in holes:
        cv2.fillPoly(fine, [whole_numbers(ring)], 0, cv2.LINE_8, _SHIFT)
    cover = cv2.resize(fine, (x1 - x0, y1 - y0), interpolation=cv2.INTER_AREA)
    return Mask(int(x0), int(y0), np.asarray(cover, dtype=np.uint8))


def lay_on(light: NDArray[np.uint8], mask: Mask, colour: tuple[int, ...]) -> None:
    """The brighter of what is there and the covered colour: words never darken a line."""
    h, w = mask.cover.shape
    box = light[mask.y : mask.y + h, mask.x : mask.x + w]
    for channel, full in enumerate(colour[:3]):
        if full:
            part = cv2.convertScaleAbs(mask.cover, alpha=full / 255.0)
            cv2.max(box[:, :, channel], part, dst=part)
            box[:, :, channel] = part


class MaskStore:
    """The last masks by what they were made from."""

    def __init__(self, kept: int = 512) -> None:
        self._kept = kept
        self._masks: OrderedDict[Hashable, Mask | None] = OrderedDict()

    def __contains__(self, key: Hashable) -> bool:
        return key in self._masks

    def get(self, key: Hashable) -> Mask | None:
        """The mask of a known key; None: it lies outside the picture."""
        self._masks.move_to_end(key)
        return self._masks[key]

    def put(self, key: Hashable, mask: Mask | None) -> None:
        """Keep one, drop the oldest."""
        self._masks[key] = mask
        while len(self._masks) > self._kept:
            self._masks.popitem(last=False)
