"""A reportlab page measured in millimetres with y down, and the type it is set in."""

from collections.abc import Iterable, Sequence
from importlib.resources import files
from io import BytesIO
from math import cos, radians, sin

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from calibration.names import unknown_name
from projector.paper.drawing import KINDS, Stroke
from projector.paper.titles import Label
from projector.scene.text import CAPITAL_PER_EM

PT_PER_MM = 72.0 / 25.4  # PDF 32000-1:2008, 8.3.2.3: one unit of default user space is 1/72 inch
SHEET_MM: dict[str, tuple[float, float]] = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}  # ISO 216; ANSI/ASME Y14.1 A
PLAIN, BOLD = "TablePlain", "TableBold"

Rgb = tuple[float, float, float]
INK: Rgb = (0.11, 0.11, 0.12)
SOFT: Rgb = (0.42, 0.44, 0.48)
ACCENT: Rgb = (0.69, 0.36, 0.18)


def refuse_sheet(name: str) -> None:
    """Raises WrongInput for a sheet of paper that is not known."""
    if name not in SHEET_MM:
        raise unknown_name(name, SHEET_MM, "--sheet", "the paper")


def _register_type() -> None:
    if PLAIN not in pdfmetrics.getRegisteredFontNames():
        fonts = files("projector.scene") / "fonts"
        for name, file in ((PLAIN, "NotoSans-Regular.ttf"), (BOLD, "NotoSans-Bold.ttf")):
            pdfmetrics.registerFont(TTFont(name, BytesIO((fonts / file).read_bytes())))


class Paper:
    """Pages in mm, (0, 0) top left, y down. `finish()` gives the bytes."""

    def __init__(self, size_mm: tuple[float, float], title: str) -> None:
        _register_type()
        self._bytes = BytesIO()
        self.size_mm = size_mm
        self._canvas = Canvas(
            self._bytes, pagesize=self._points(size_mm), pageCompression=1,
            initialFontName=PLAIN,  # type: ignore[arg-type]  # a name, whatever the stubs say; else a font that no file holds is named
        )  # fmt: skip
        self._canvas.setTitle(title)
        self._canvas.setCreator("cutting table projector")
        self._pages = 0
        self._is_open = False

    @staticmethod
    def _points(size_mm: tuple[float, float]) -> tuple[float, float]:
        return (size_mm[0] * PT_PER_MM, size_mm[1] * PT_PER_MM)

    def page(self, size_mm: tuple[float, float] | None = None) -> None:
        """Begin a page; the first one too."""
        if self._is_open:
            self._canvas.showPage()
        self.size_mm = size_mm or self.size_mm
        self._canvas.setPageSize(self._points(self.size_mm))
        self._is_open = True
        self._pages += 1
        self._canvas.setLineJoin(1)
        self._canvas.setLineCap(0)

    def _at(self, x_mm: float, y_mm: float) -> tuple[float, float]:
        return (x_mm * PT_PER_MM, (self.size_mm[1] - y_mm) * PT_PER_MM)

    def line(
        self,
        points: Iterable[tuple[float, float]],
        width_mm: float = 0.3,
        *,
        closed: bool = False,
        dash_mm: tuple[float, float] | None = None,
        colour: Rgb = INK,
        fill: Rgb | None = None,
    ) -> None:
        """A polyline through points in page mm."""
        path = self._canvas.beginPath()
        for place, (x, y) in enumerate(points):
            (path.lineTo if place else path.moveTo)(*self._at(x, y))
        if closed:
            path.close()
        self._canvas.setStrokeColorRGB(*colour)
        self._canvas.setLineWidth(width_mm * PT_PER_MM)
        self._canvas.setDash([length * PT_PER_MM for length in dash_mm] if dash_mm else [])
        if fill is not None:
            self._canvas.setFillColorRGB(*fill)
        self._canvas.drawPath(path, stroke=1 if width_mm else 0, fill=0 if fill is None else 1)

    def text(
        self,
        text: str,
        x_mm: float,
        y_mm: float,
        capital_mm: float = 2.4,
        *,
        bold: bool = False,
        align: str = "left",
        turn_deg: float = 0.0,
        colour: Rgb = INK,
    ) -> None:
        """One line of words, base line at (x, y), capitals `capital_mm` high; `turn_deg` from +x towards +y (down)."""
        size = capital_mm / CAPITAL_PER_EM * PT_PER_MM
        self._canvas.saveState()
        self._canvas.translate(*self._at(x_mm, y_mm))
        self._canvas.rotate(-turn_deg)
        self._canvas.setFillColorRGB(*colour)
        self._canvas.setFont(BOLD if bold else PLAIN, size)
        draw = {"left": self._canvas.drawString, "right": self._canvas.drawRightString, "middle": self._canvas.drawCentredString}[align]
        draw(0, 0, text)
        self._canvas.restoreState()

    def wrapped(
        self, text: str, x_mm: float, y_mm: float, wide_mm: float, capital_mm: float = 2.4, *, bold: bool = False, colour: Rgb = INK
    ) -> float:
        """Words in lines no wider than `wide_mm`; returns the y below the last line."""
        line, y = "", y_mm
        step = capital_mm * 1.9
        for word in text.split():
            longer = f"{line} {word}".strip()
            if line and self.width_mm(longer, capital_mm, bold=bold) > wide_mm:
                self.text(line, x_mm, y, capital_mm, bold=bold, colour=colour)
                line, y = word, y + step
            else:
                line = longer
        if line:
            self.text(line, x_mm, y, capital_mm, bold=bold, colour=colour)
            y += step
        return y

    def fitted(
        self, text: str, x_mm: float, y_mm: float, wide_mm: float, capital_mm: float, *, bold: bool = False, colour: Rgb = INK
    ) -> None:
        """One line of words, made smaller where it would be wider than `wide_mm`: a long name stays whole and on the paper."""
        share = wide_mm / max(self.width_mm(text, capital_mm, bold=bold), wide_mm)
        self.text(text, x_mm, y_mm, capital_mm * share, bold=bold, colour=colour)

    @property
    def pages(self) -> int:
        """How many were begun."""
        return self._pages

    @staticmethod
    def width_mm(text: str, capital_mm: float, *, bold: bool = False) -> float:
        """How wide the words come out."""
        size = capital_mm / CAPITAL_PER_EM * PT_PER_MM
        return float(pdfmetrics.stringWidth(text, BOLD if bold else PLAIN, size)) / PT_PER_MM

    def clipped(self, x0: float, y0: float, x1: float, y1: float) -> "_Clip":
        """A context in which nothing outside the rectangle (page mm) is drawn."""
        return _Clip(self._canvas, self._at(x0, y1), ((x1 - x0) * PT_PER_MM, (y1 - y0) * PT_PER_MM))

    def strokes(self, strokes: Sequence[Stroke], shift: tuple[float, float], scale: float = 1.0) -> None:
        """A piece's lines: page = scale × piece + shift; widths and dashes are not scaled below a hairline."""
        for stroke in strokes:
            kind = KINDS[stroke.kind]
            points = [(x * scale + shift[0], y * scale + shift[1]) for x, y in stroke.points]
            width = kind.width_mm if scale == 1.0 else max(kind.width_mm * 0.5, 0.12)
            dash = kind.dash_mm if scale == 1.0 or kind.dash_mm is None else (1.2, 0.8)
            self.line(points, width, closed=stroke.closed, dash_mm=dash)

    def labels(self, labels: Sequence[Label], shift: tuple[float, float], *, is_whole: bool = False) -> None:
        """A piece's words at true size; `is_whole`: the piece is on this page, and its words are made smaller to stay on it."""
        for label in labels:
            x, y = label.at[0] + shift[0], label.at[1] + shift[1]
            size = label.size_mm * (self._share_on_page(label, x, y) if is_whole else 1.0)
            self.text(label.text, x, y, size, align="middle", turn_deg=label.turn_deg)

    def _share_on_page(self, label: Label, x: float, y: float) -> float:
        """By what words round (x, y) are multiplied to end before the page's edge."""
        half = self.width_mm(label.text, label.size_mm) / 2 + 1.0
        turn = radians(label.turn_deg)
        reach = ((abs(cos(turn)) * half, min(x, self.size_mm[0] - x)), (abs(sin(turn)) * half, min(y, self.size_mm[1] - y)))
        return min([1.0, *(room / wanted for wanted, room in reach if wanted > room)])

    def finish(self) -> bytes:
        """The whole file."""
        self._canvas.save()
        return self._bytes.getvalue()


class _Clip:
    def __init__(self, canvas: Canvas, corner: tuple[float, float], size: tuple[float, float]) -> None:
        self._canvas, self._corner, self._size = canvas, corner, size

    def __enter__(self) -> None:
        self._canvas.saveState()
        path = self._canvas.beginPath()
        path.rect(*self._corner, *self._size)
        self._canvas.clipPath(path, stroke=0, fill=0)

    def __exit__(self, *_: object) -> None:
        self._canvas.restoreState()
