"""Reads a PDF back by PDFium, which shares no code with what wrote it: paths, clips and words of a page, mm."""

import ctypes
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
import pypdfium2 as pdfium
import pypdfium2.raw as raw

MM_PER_PT = 25.4 / 72.0  # PDF 32000-1:2008, 8.3.2.3


@dataclass(frozen=True, slots=True)
class Page:
    """One page. `paths`: (N, 2) mm from the upper left corner, y down; `clip`: x0, y0, x1, y1 of the narrowest clip, or None."""

    size: tuple[float, float]
    paths: list[np.ndarray]
    clip: tuple[float, float, float, float] | None
    words: str

    @property
    def points(self) -> np.ndarray:
        """Every corner of every path."""
        return np.vstack(self.paths)

    def bars(self) -> list[tuple[float, float]]:
        """(width, height) of every straight line of two points."""
        return [(float(w), float(h)) for w, h in (np.ptp(path, axis=0) for path in self.paths if len(path) == 2)]

    def crosses(self) -> np.ndarray:
        """(N, 2) middles at which a level and an upright line of equal length meet."""
        lines = [path for path in self.paths if len(path) == 2]
        level = [path for path in lines if abs(np.ptp(path, axis=0)[0] - 10.0) < 0.05 and np.ptp(path, axis=0)[1] < 0.05]
        upright = [path for path in lines if abs(np.ptp(path, axis=0)[1] - 10.0) < 0.05 and np.ptp(path, axis=0)[0] < 0.05]
        middles = [a.mean(axis=0) for a in level if any(np.hypot(*(a.mean(axis=0) - b.mean(axis=0))) < 0.05 for b in upright)]
        return np.array(middles).reshape(-1, 2)


def _corners(count: int, segment_of: Callable[..., Any], item: object, *which: int) -> np.ndarray:
    points = []
    for place in range(count):
        x, y = ctypes.c_float(), ctypes.c_float()
        raw.FPDFPathSegment_GetPoint(segment_of(item, *which, place), x, y)
        points.append((x.value, y.value))
    return np.array(points).reshape(-1, 2)


def _clip_of(item: object, tall: float) -> tuple[float, float, float, float] | None:
    clip = raw.FPDFPageObj_GetClipPath(item)
    for path in range(max(raw.FPDFClipPath_CountPaths(clip), 0)):
        points = _corners(raw.FPDFClipPath_CountPathSegments(clip, path), raw.FPDFClipPath_GetPathSegment, clip, path) * MM_PER_PT
        (x0, y0), (x1, y1) = points.min(axis=0), points.max(axis=0)
        return float(x0), tall - float(y1), float(x1), tall - float(y0)
    return None


def pages(pdf: bytes) -> list[Page]:
    """Every page of a PDF."""
    document = pdfium.PdfDocument(pdf)
    found = []
    for page in document:
        wide, tall = (side * MM_PER_PT for side in page.get_size())
        paths, clips = [], []
        for item in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]):
            corners = _corners(raw.FPDFPath_CountSegments(item.raw), raw.FPDFPath_GetPathSegment, item.raw)
            a, b, c, d, e, f = item.get_matrix().get()
            placed = (corners @ np.array([[a, b], [c, d]]) + np.array([e, f])) * MM_PER_PT
            paths.append(np.column_stack([placed[:, 0], tall - placed[:, 1]]))
            clips.append(_clip_of(item.raw, tall))
        inside = [clip for clip in clips if clip is not None and clip[2] - clip[0] < wide - 1.0]
        found.append(Page((wide, tall), paths, inside[0] if inside else None, page.get_textpage().get_text_range()))
    document.close()
    return found
