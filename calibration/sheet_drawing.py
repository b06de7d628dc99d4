"""The same page twice: as a vector PDF and as a picture with true partial coverage at every edge."""

from collections.abc import Sequence
from pathlib import Path
from typing import Protocol

import numpy as np
from PIL import Image, ImageDraw, ImageFont

from calibration.arrays import Array
from calibration.sheets import Paper, Rectangle, Text, page_px
from calibration.units import MM_PER_INCH

POINTS_PER_MM = 72.0 / MM_PER_INCH
DOT_FINE = 8  # subdivisions of a pixel along each side where a dot's rim runs


class Dotted(Protocol):
    """Whatever has dots."""

    def dots(self) -> list[tuple[float, float, float, bool]]:
        """(x, y, radius, dark) of every dot, mm."""


class Drawn(Protocol):
    """One printed page, mm from its lower-left corner: a sheet or a page of labels."""

    @property
    def paper(self) -> Paper: ...
    @property
    def size_mm(self) -> tuple[float, float]: ...
    @property
    def board(self) -> Dotted: ...
    @property
    def bars(self) -> tuple[Rectangle, ...]: ...
    @property
    def texts(self) -> tuple[Text, ...]: ...
    def squares(self) -> list[Rectangle]:
        """Dark rectangles (x0, y0, x1, y1), mm."""


def font_file() -> str:
    """Bitstream Vera Sans, free, comes with reportlab."""
    import reportlab

    return str(Path(reportlab.__file__).parent / "fonts" / "Vera.ttf")


def pdf_of(pages: Sequence[Drawn], title: str = "Sheets for the cutting table") -> bytes:
    """The pages as a vector PDF at true size."""
    from io import BytesIO

    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont
    from reportlab.pdfgen.canvas import Canvas

    pdfmetrics.registerFont(TTFont("Vera", font_file()))
    out = BytesIO()
    width, height = pages[0].size_mm
    canvas = Canvas(out, pagesize=(width * POINTS_PER_MM, height * POINTS_PER_MM), invariant=1)
    canvas.setTitle(title)
    canvas.setViewerPreference("PrintScaling", "None")
    for page in pages:
        canvas.scale(POINTS_PER_MM, POINTS_PER_MM)
        ink = canvas.beginPath()  # one path: single rectangles are snapped to whole dots by some renderers
        for x0, y0, x1, y1 in [*page.squares(), *page.bars]:
            ink.rect(x0, y0, x1 - x0, y1 - y0)
        canvas.drawPath(ink, stroke=0, fill=1)
        for x, y, radius, dark in page.board.dots():
            canvas.setFillGray(0.0 if dark else 1.0)
            canvas.circle(x, y, radius, stroke=0, fill=1)
        canvas.setFillGray(0.0)
        for text in page.texts:
            canvas.setFont("Vera", text.size)
            canvas.drawString(text.x, text.y, text.text)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def picture_of(page: Drawn, dpi: float) -> np.ndarray[tuple[int, int], np.dtype[np.uint8]]:
    """(H, W) grey picture of the whole page, edge on edge, as fine as `dpi` or finer."""
    width_px, height_px = page_px(page.paper, dpi)
    per_mm = width_px / page.size_mm[0]

    def in_px(box: Rectangle) -> Rectangle:
        return box[0] * per_mm, height_px - box[3] * per_mm, box[2] * per_mm, height_px - box[1] * per_mm

    ink = np.zeros((height_px, width_px))
    for box in [*page.squares(), *page.bars]:
        _add_box(ink, in_px(box))
    for x, y, radius, dark in page.board.dots():
        _add_dot(ink, x * per_mm, height_px - y * per_mm, radius * per_mm, dark)
    picture = Image.fromarray(np.rint(255.0 * (1.0 - np.clip(ink, 0.0, 1.0))).astype(np.uint8))
    pen = ImageDraw.Draw(picture)
    for text in page.texts:
        font = ImageFont.truetype(font_file(), text.size * per_mm)
        pen.text((text.x * per_mm, height_px - text.y * per_mm), text.text, font=font, fill=0, anchor="ls")
    return np.asarray(picture)


def write_picture(page: Drawn, dpi: float, file: Path) -> None:
    """The picture as PNG, its own dots per inch in it (they are a little finer than `dpi`), so that it prints at true size."""
    picture = picture_of(page, dpi)
    exact = picture.shape[1] / page.size_mm[0] * MM_PER_INCH
    Image.fromarray(picture).save(file, dpi=(exact, exact))


def _covered(low: float, high: float, count: int) -> tuple[slice, Array]:
    """Pixels touched by [low, high] and the share of each that is covered."""
    first, last = max(int(np.floor(low)), 0), min(int(np.ceil(high)), count)
    edges = np.arange(first, last + 1, dtype=np.float64)
    return slice(first, last), np.clip(np.minimum(edges[1:], high) - np.maximum(edges[:-1], low), 0.0, 1.0)


def _add_box(ink: Array, box: Rectangle) -> None:
    across, share_x = _covered(box[0], box[2], ink.shape[1])
    down, share_y = _covered(box[1], box[3], ink.shape[0])
    ink[down, across] += share_y[:, None] * share_x[None, :]


def _add_dot(ink: Array, x: float, y: float, radius: float, dark: bool) -> None:
    across, down = slice(int(x - radius) - 1, int(x + radius) + 3), slice(int(y - radius) - 1, int(y + radius) + 3)
    fine = (np.arange(DOT_FINE) + 0.5) / DOT_FINE
    xs = (np.arange(across.start, across.stop)[:, None] + fine).ravel() - x
    ys = (np.arange(down.start, down.stop)[:, None] + fine).ravel() - y
    inside = (ys[:, None] ** 2 + xs[None, :] ** 2 <= radius**2).astype(np.float64)
    share = inside.reshape(len(ys) // DOT_FINE, DOT_FINE, len(xs) // DOT_FINE, DOT_FINE).mean(axis=(1, 3))
    ink[down, across] += share if dark else -share
