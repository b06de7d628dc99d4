"""Words as shaped outlines: one way for picture, SVG and PDF. mm, baseline at y = 0, x to the right, y up.

Shaping (marks on their letters: ẹ̀, ọ́, ŋ̀) by HarfBuzz from a bundled subset of Noto Sans (fonts/OFL.txt).
"""

from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import ceil, sqrt
from pathlib import Path

import numpy as np
import uharfbuzz as hb
from numpy.typing import NDArray

FONTS = Path(__file__).parent / "fonts"
CAP_HEIGHT = 714.0  # font units of 1000 per em; OS/2.sCapHeight of both files
CAPITAL_PER_EM = CAP_HEIGHT / 1000.0  # what a type's size is multiplied by for the height of its capitals
_FLAT_UNITS = 1.0  # a curve leaves no chord by more: 0.02 mm at 12 mm capitals, 0.2 mm on the largest word


@dataclass(frozen=True, slots=True, eq=False)
class Outlined:
    """One line of words. `fills` and `holes`: rings (n, 2) mm, holes drawn after all fills; `width_mm`: advance."""

    fills: tuple[NDArray[np.float64], ...]
    holes: tuple[NDArray[np.float64], ...]
    width_mm: float
    size_mm: float


class _Pen:
    """Gathers one glyph's rings, font units, quadratic and cubic curves flattened."""

    def __init__(self) -> None:
        self.rings: list[list[tuple[float, float]]] = []

    def move(self, x: float, y: float) -> None:
        self.rings.append([(x, y)])

    def line(self, x: float, y: float) -> None:
        self.rings[-1].append((x, y))

    def curve(self, *controls: tuple[float, float]) -> None:
        points = [self.rings[-1][-1], *controls]
        bends = zip(points, points[1:], points[2:], strict=False)
        bend = sum(abs(a[0] - 2 * b[0] + c[0]) + abs(a[1] - 2 * b[1] + c[1]) for a, b, c in bends)
        count = max(2, ceil(sqrt(bend / (4 * _FLAT_UNITS))))
        for number in range(1, count + 1):
            t, level = number / count, points
            while len(level) > 1:  # de Casteljau; a handful of numbers: arrays would take ten times as long
                level = [(a[0] * (1 - t) + b[0] * t, a[1] * (1 - t) + b[1] * t) for a, b in pairwise(level)]
            self.rings[-1].append(level[0])


@lru_cache(maxsize=1)
def _draw_funcs() -> hb.DrawFuncs:
    funcs = hb.DrawFuncs()
    funcs.set_move_to_func(lambda x, y, pen: pen.move(x, y))
    funcs.set_line_to_func(lambda x, y, pen: pen.line(x, y))
    funcs.set_quadratic_to_func(lambda cx, cy, x, y, pen: pen.curve((cx, cy), (x, y)))
    funcs.set_cubic_to_func(lambda ax, ay, bx, by, x, y, pen: pen.curve((ax, ay), (bx, by), (x, y)))
    funcs.set_close_path_func(lambda pen: None)
    return funcs


@lru_cache(maxsize=2)
def _font(is_bold: bool) -> hb.Font:
    face = hb.Face(hb.Blob.from_file_path(str(FONTS / ("NotoSans-Bold.ttf" if is_bold else "NotoSans-Regular.ttf"))))
    return hb.Font(face)


@lru_cache(maxsize=2048)
def _glyph(is_bold: bool, glyph: int) -> tuple[tuple[bool, NDArray[np.float64]], ...]:
    """Each ring with whether it is filled (else cut out), font units."""
    pen = _Pen()
    _font(is_bold).draw_glyph(glyph, _draw_funcs(), pen)
    return tuple((_area2(ring) < 0, np.array(ring, dtype=np.float64)) for ring in pen.rings if len(ring) > 2)


def _area2(ring: list[tuple[float, float]]) -> float:
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, [*ring[1:], ring[0]], strict=True))


@lru_cache(maxsize=512)
def outlined(text: str, size_mm: float, is_bold: bool = False) -> Outlined:
    """Shape one line of words. `size_mm`: height of capitals.

    TrueType: outer rings run clockwise (negative area in y-up), holes counter-clockwise.
    """
    buffer = hb.Buffer()
    buffer.add_str(text)
    buffer.guess_segment_properties()
    font = _font(is_bold)
    hb.shape(font, buffer)
    scale = size_mm / CAP_HEIGHT
    fills: list[NDArray[np.float64]] = []
    holes: list[NDArray[np.float64]] = []
    along = 0.0
    for info, place in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True):
        shift = np.array([along + place.x_offset, place.y_offset], dtype=np.float64)
        for is_fill, ring in _glyph(is_bold, info.codepoint):
            (fills if is_fill else holes).append((ring + shift) * scale)
        along += place.x_advance
    return Outlined(tuple(fills), tuple(holes), along * scale, size_mm)
