"""Plain drawings of cloth: lines, filled areas and words in mm, y down, written as SVG or PNG (figure_pdf.py: on a page of paper)."""

from dataclasses import dataclass, field
from html import escape

import numpy as np
from numpy.typing import NDArray

from projector.garment.pieces import Line, Point
from projector.scene.text import CAPITAL_PER_EM, outlined

Rgb = tuple[int, int, int]
INK, SOFT, CLOTH, WRONG, WHITE, ACCENT = (29, 29, 31), (118, 113, 100), (240, 234, 217), (205, 198, 178), (255, 255, 255), (176, 92, 46)
GROUND: Rgb = (251, 250, 247)
FINER = 2
"""A PNG is drawn so many times larger and made smaller: small letters come out even."""


@dataclass(frozen=True, slots=True)
class Ink:
    """One line or area. `width_mm` 0: no edge; `dash_mm`: on and off."""

    points: Line
    width_mm: float
    colour: Rgb = INK
    fill: Rgb | None = None
    is_closed: bool = False
    dash_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Words:
    """One line of words, capitals `capital_mm` high, base line at `at`, turned from +x towards +y (down)."""

    text: str
    at: Point
    capital_mm: float
    is_middle: bool = False
    turn_deg: float = 0.0


@dataclass(slots=True)
class Figure:
    """What is drawn, later over earlier; `width_mm` and `height_mm` grow as figures are put below each other."""

    width_mm: float = 0.0
    height_mm: float = 0.0
    inks: list[Ink] = field(default_factory=list)
    words: list[Words] = field(default_factory=list)


def as_svg(figure: Figure, title: str) -> str:
    """The figure as an SVG at true size."""
    size = f'width="{figure.width_mm:.1f}mm" height="{figure.height_mm:.1f}mm" viewBox="0 0 {figure.width_mm:.1f} {figure.height_mm:.1f}"'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} font-family="Noto Sans, sans-serif" fill="rgb(29,29,31)">'
        f"<title>{escape(title)}</title>"
        f'<rect width="100%" height="100%" fill="rgb({GROUND[0]},{GROUND[1]},{GROUND[2]})"/>'
        f"{''.join([*map(_ink_svg, figure.inks), *map(_words_svg, figure.words)])}</svg>\n"
    )


def _ink_svg(ink: Ink) -> str:
    told = " ".join(f"{x:.1f},{y:.1f}" for x, y in ink.points)
    fill = "none" if ink.fill is None else "rgb({},{},{})".format(*ink.fill)
    dash = f' stroke-dasharray="{ink.dash_mm:g}"' if ink.dash_mm else ""
    edge = 'stroke="none"' if not ink.width_mm else 'stroke="rgb({},{},{})" stroke-width="{:g}"'.format(*ink.colour, ink.width_mm)
    return f'<path d="M{told}{"Z" if ink.is_closed else ""}" fill="{fill}" {edge}{dash}/>'


def _words_svg(words: Words) -> str:
    x, y = words.at
    anchor = ' text-anchor="middle"' if words.is_middle else ""
    turn = f' transform="rotate({words.turn_deg:.1f} {x:.1f} {y:.1f})"' if words.turn_deg else ""
    return f'<text x="{x:.1f}" y="{y:.1f}" font-size="{words.capital_mm / CAPITAL_PER_EM:.1f}"{anchor}{turn}>{escape(words.text)}</text>'


def as_png(figure: Figure, wide_px: int = 1600) -> bytes:
    """The figure as a PNG so many pixels wide, words as outlines of the bundled type."""
    import cv2

    scale, shift = FINER * wide_px / figure.width_mm, 4
    tall_px = round(figure.height_mm * wide_px / figure.width_mm)
    image = np.full((FINER * tall_px, FINER * wide_px, 3), GROUND, dtype=np.uint8)

    def px(points: object) -> NDArray[np.int32]:
        told: NDArray[np.int32] = np.round(np.asarray(points, dtype=np.float64) * scale * 2**shift).astype(np.int32)
        return told

    for ink in figure.inks:
        if ink.fill is not None:
            cv2.fillPoly(image, [px(ink.points)], ink.fill, cv2.LINE_AA, shift)
        for line in _dashes(ink) if ink.width_mm else ():
            wide = max(1, round(ink.width_mm * scale))
            cv2.polylines(image, [px(line)], ink.is_closed and not ink.dash_mm, ink.colour, wide, cv2.LINE_AA, shift)
    for words in figure.words:
        if rings := [px(ring) for ring in _letters(words)]:
            cv2.fillPoly(image, rings, INK, cv2.LINE_AA, shift)
    good, data = cv2.imencode(".png", cv2.resize(image, (wide_px, tall_px), interpolation=cv2.INTER_AREA)[:, :, ::-1])
    if not good:
        raise OSError("the picture could not be written as PNG")
    return bytes(data)


def _letters(words: Words) -> list[NDArray[np.float64]]:
    """Rings of the words where they stand, mm."""
    told, turn = outlined(words.text, words.capital_mm), np.radians(words.turn_deg)
    start = (told.width_mm / 2.0 if words.is_middle else 0.0, 0.0)
    turned = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    return [(ring * (1.0, -1.0) - start) @ turned + words.at for ring in (*told.fills, *told.holes)]


def _dashes(ink: Ink) -> list[np.ndarray]:
    """The line, or its dashes one by one."""
    line = np.asarray(ink.points, dtype=np.float64)
    if not ink.dash_mm:
        return [line]
    if ink.is_closed:
        line = np.vstack([line, line[:1]])
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))])
    made = []
    for start in np.arange(0.0, along[-1], 2.0 * ink.dash_mm):
        stop = min(start + ink.dash_mm, along[-1])
        at = np.concatenate([[start], along[(along > start) & (along < stop)], [stop]])
        made.append(np.column_stack([np.interp(at, along, line[:, axis]) for axis in (0, 1)]))
    return made
