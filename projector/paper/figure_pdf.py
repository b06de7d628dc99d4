"""A drawing of cloth on a page of paper, made smaller."""

from projector.garment.pieces import Point
from projector.paper.figure import Figure, Rgb
from projector.paper.page import Paper

HAIR_MM = 0.12
"""No line on paper is thinner."""


def draw(paper: Paper, figure: Figure, corner: Point, scale: float) -> None:
    """The figure with its top left at `corner` (page mm); page mm = scale × figure mm."""

    def at(point: Point) -> Point:
        return (corner[0] + point[0] * scale, corner[1] + point[1] * scale)

    def colour(rgb: Rgb) -> tuple[float, float, float]:
        red, green, blue = (part / 255.0 for part in rgb)
        return red, green, blue

    for ink in figure.inks:
        width = max(ink.width_mm * scale, HAIR_MM) if ink.width_mm else 0.0
        dash = (ink.dash_mm * scale, ink.dash_mm * scale) if ink.dash_mm else None
        fill = colour(ink.fill) if ink.fill is not None else None
        paper.line([at(point) for point in ink.points], width, closed=ink.is_closed, dash_mm=dash, colour=colour(ink.colour), fill=fill)
    for words in figure.words:
        align = "middle" if words.is_middle else "left"
        paper.text(words.text, *at(words.at), words.capital_mm * scale, align=align, turn_deg=words.turn_deg)
