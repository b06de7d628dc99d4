"""Pieces as SVG in millimetres: a group per piece, line kinds as classes."""

from collections.abc import Iterable, Sequence
from html import escape

from calibration.units import Unit
from projector.garment.pieces import Garment, Piece
from projector.paper.drawing import KINDS, Stroke, bounds_of, labels_of, strokes_of
from projector.paper.titles import Label
from projector.scene.text import CAPITAL_PER_EM

GAP_MM = 30.0
SHEET_WIDTH_MM = 1500.0  # wide enough for two panels and their linings side by side

_STYLE = "\n".join(
    [".ground{fill:#fbfaf7}", "text{font-family:'Noto Sans',sans-serif;fill:#222}", ".line{fill:none;stroke:#1d1d1f;stroke-linejoin:round}"]
    + [
        f".{name}{{stroke-width:{kind.width_mm}" + (f";stroke-dasharray:{kind.dash_mm[0]} {kind.dash_mm[1]}" if kind.dash_mm else "") + "}"
        for name, kind in KINDS.items()
    ]
    + [".level{stroke:#8a8f98}", ".sew{stroke:#555b66}"]
)


def path_data(points: Iterable[tuple[float, float]], closed: bool = False) -> str:
    """SVG path data at 0.01 mm."""
    told = " ".join(f"{x:.2f},{y:.2f}" for x, y in points)
    return f"M{told}{'Z' if closed else ''}"


def _stroke(stroke: Stroke) -> str:
    return f'<path class="line {stroke.kind}" d="{path_data(stroke.points, stroke.closed)}"/>'


def _label(label: Label) -> str:
    x, y = label.at
    turn = f' transform="rotate({label.turn_deg:.2f} {x:.2f} {y:.2f})"' if label.turn_deg else ""
    size = label.size_mm / CAPITAL_PER_EM
    return f'<text x="{x:.2f}" y="{y:.2f}" font-size="{size:.2f}" text-anchor="middle"{turn}>{escape(label.text)}</text>'


def piece_group(piece: Piece, unit: Unit, client: str, shift: tuple[float, float] = (0.0, 0.0)) -> str:
    """One piece as a `<g>` whose id is the piece's name."""
    inside = [_stroke(stroke) for stroke in strokes_of(piece)] + [_label(label) for label in labels_of(piece, unit, client)]
    move = f' transform="translate({shift[0]:.2f} {shift[1]:.2f})"'
    return f'<g id="{escape(piece.name)}" data-cloth="{escape(piece.cloth)}"{move}>' + "".join(inside) + "</g>"


def document(body: str, width_mm: float, height_mm: float, title: str) -> str:
    """A whole SVG at true size."""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width_mm:.2f}mm" height="{height_mm:.2f}mm" '
        f'viewBox="0 0 {width_mm:.2f} {height_mm:.2f}">'
        f"<title>{escape(title)}</title><style>{_STYLE}</style>"
        f'<rect class="ground" width="100%" height="100%"/>{body}</svg>\n'
    )


def arranged(pieces: Sequence[Piece], width_mm: float = SHEET_WIDTH_MM) -> tuple[list[tuple[float, float]], float]:
    """Shifts that set the pieces in rows, in order, and the height taken (mm)."""
    shifts: list[tuple[float, float]] = []
    x, y, row = GAP_MM, GAP_MM, 0.0
    for piece in pieces:
        x0, y0, x1, y1 = bounds_of(piece)
        wide, tall = x1 - x0, y1 - y0
        if x + wide + GAP_MM > width_mm and x > GAP_MM:
            x, y, row = GAP_MM, y + row + GAP_MM, 0.0
        shifts.append((x - x0, y - y0))
        x, row = x + wide + GAP_MM, max(row, tall)
    return shifts, y + row + GAP_MM


def pieces_svg(garment: Garment, unit: Unit, client: str) -> str:
    """All pieces of the order on one drawing."""
    shifts, tall = arranged(garment.pieces)
    groups = [piece_group(piece, unit, client, shift) for piece, shift in zip(garment.pieces, shifts, strict=True)]
    return document("".join(groups), SHEET_WIDTH_MM, tall, f"Pieces for {client}")
