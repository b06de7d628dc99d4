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


def mask_of(points: Array, counts: list[int], fills: int, size: tuple[int, int]) -> Mask | None:
    """Coverage of rings in px; None when nothing of them lies in the picture, or their places are unknown.

    `points` (n, 2): all rings one after another, `counts` points each; the first `fills` are filled, the rest cut out of
    them. `fills` 0: no rings overlap but holes in their fills, so one even-odd filling does.
    """
    if not np.isfinite(points).all() or np.abs(points).max() > LARGEST_PX * 4:
        return None
    x0, y0 = np.maximum(np.floor(points.min(axis=0)).astype(int) - 1, 0)
    x1, y1 = np.minimum(np.ceil(points.max(axis=0)).astype(int) + 2, size)
    if x1 <= x0 or y1 <= y0:
        return None
    fine = np.zeros(((y1 - y0) * FINER, (x1 - x0) * FINER), dtype=np.uint8)
    # the middle of fine pixel i lies at (i + 0.5) / FINER - 0.5 of a picture pixel
    whole = np.rint(((points - (x0, y0) + 0.5) * FINER - 0.5) * (1 << _SHIFT)).astype(np.int32)
    ends = np.cumsum(counts).tolist()
    rings = [whole[end - count : end] for end, count in zip(ends, counts, strict=True)]
    if fills == 0:
        cv2.fillPoly(fine, rings, 255, cv2.LINE_8, _SHIFT)
    for number, ring in enumerate(rings if fills else ()):
        cv2.fillPoly(fine, [ring], 255 if number < fills else 0, cv2.LINE_8, _SHIFT)
    cover = cv2.resize(fine, (int(x1 - x0), int(y1 - y0)), interpolation=cv2.INTER_AREA)
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
