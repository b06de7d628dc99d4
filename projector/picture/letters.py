"""Words and filled shapes: outlines mapped to px, filled at four times the size and averaged, laid on by the brighter light."""

from collections import OrderedDict
from collections.abc import Hashable
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from projector.scene.primitives import Label

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


def mask_of(points: Array, counts: list[int], fills: int, size: tuple[int, int] | None) -> Mask | None:
    """Coverage of rings in px; None when nothing of them lies in the picture, or their places are unknown.

    `size`: of the picture; None: not cut to any picture, x and y may be negative.
    `points` (n, 2): all rings one after another, `counts` points each; the first `fills` are filled, the rest cut out of
    them. `fills` 0: no rings overlap but holes in their fills, so one even-odd filling does.
    """
    if not np.isfinite(points).all() or np.abs(points).max() > LARGEST_PX * 4:
        return None
    x0, y0 = np.floor(points.min(axis=0)).astype(int) - 1
    x1, y1 = np.ceil(points.max(axis=0)).astype(int) + 2
    if size is not None:
        x0, y0, x1, y1 = max(x0, 0), max(y0, 0), min(x1, size[0]), min(y1, size[1])
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


def fills_apart(label: Label) -> int:
    """`fills` of a label for `mask_of`: only composed letters overlap their marks."""
    return 0 if label.text.isascii() else len(label.outline().fills)


def coloured(mask: Mask, colour: tuple[int, ...]) -> NDArray[np.uint8]:
    """(h, w, 4) the mask in one colour."""
    levels = np.arange(256, dtype=np.uint16)[:, None] * np.array(colour, dtype=np.uint16)
    return np.asarray(((levels + 127) // 255).astype(np.uint8)[mask.cover])


def lay_on(light: NDArray[np.uint8], part: NDArray[np.uint8], x: int, y: int) -> None:
    """The brighter of what is there and `part`, whose top-left pixel lies on (x, y): words never darken a line."""
    h, w = part.shape[:2]
    x0, y0, x1, y1 = max(x, 0), max(y, 0), min(x + w, light.shape[1]), min(y + h, light.shape[0])
    if x1 > x0 and y1 > y0:
        box = light[y0:y1, x0:x1]
        cv2.max(box, part[y0 - y : y1 - y, x0 - x : x1 - x], dst=box)


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
