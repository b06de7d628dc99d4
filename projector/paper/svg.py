"""Pieces and lays as SVG in millimetres: a group per piece, line kinds as classes."""

from collections.abc import Iterable, Sequence
from html import escape

import numpy as np
from shapely.geometry import Polygon

from calibration.units import Unit
from projector.garment.pieces import Garment, Line, Piece
from projector.lay.bias import drawn_lays
from projector.lay.lay import Lay, Part, Placed, Region
from projector.lay.refusals import PLAN_WORDS
from projector.paper.drawing import KINDS, Stroke, labels_of, strokes_of
from projector.paper.figure import fold_ends, named
from projector.paper.titles import Label

GAP_MM = 30.0
SHEET_WIDTH_MM = 1500.0  # wide enough for two panels and their linings side by side

_STYLE = "\n".join(
    [".ground{fill:#fbfaf7}", "text{font-family:'Noto Sans',sans-serif;fill:#222}", ".line{fill:none;stroke:#1d1d1f;stroke-linejoin:round}"]
    + [
        f".{name}{{stroke-width:{kind.width_mm}" + (f";stroke-dasharray:{kind.dash_mm[0]} {kind.dash_mm[1]}" if kind.dash_mm else "") + "}"
        for name, kind in KINDS.items()
    ]
    + [".level{stroke:#8a8f98}", ".sew{stroke:#555b66}", ".cloth{fill:#f0ead9;stroke:#8a7f63;stroke-width:1.5}"]
    + [
        ".placed{fill:#fff;fill-opacity:.75;stroke:#1d1d1f;stroke-width:1.2}",
        ".part{fill:none;stroke:#b05c2e;stroke-width:1;stroke-dasharray:14 8}",
        ".lay-fold{fill:none;stroke:#b05c2e;stroke-width:6}",
    ]
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
    return f'<text x="{x:.2f}" y="{y:.2f}" font-size="{label.size_mm / 0.714:.2f}" text-anchor="middle"{turn}>{escape(label.text)}</text>'


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
        low, high = np.array(piece.cut_line).min(axis=0), np.array(piece.cut_line).max(axis=0)
        wide, tall = high - low
        if x + wide + GAP_MM > width_mm and x > GAP_MM:
            x, y, row = GAP_MM, y + row + GAP_MM, 0.0
        shifts.append((float(x - low[0]), float(y - low[1])))
        x, row = x + float(wide) + GAP_MM, max(row, float(tall))
    return shifts, y + row + GAP_MM


def pieces_svg(garment: Garment, unit: Unit, client: str) -> str:
    """All pieces of the order on one drawing."""
    shifts, tall = arranged(garment.pieces)
    groups = [piece_group(piece, unit, client, shift) for piece, shift in zip(garment.pieces, shifts, strict=True)]
    return document("".join(groups), SHEET_WIDTH_MM, tall, f"Pieces for {client}")


def _placed(placed: Placed, taken: list[Polygon]) -> str:
    words = (_label(Label(one.text, (one.at[0], -one.at[1]), one.capital_mm)) for one in named(placed, "", taken))
    return f'<g id="{escape(placed.piece)}"><path class="placed" d="{path_data(_up(placed.outline), True)}"/>{"".join(words)}</g>'


def _up(points: Line) -> list[tuple[float, float]]:
    return [(x, -y) for x, y in points]  # cloth y runs up the picture, SVG's runs down


Span = tuple[float, float, float, float]


def _rect(span: Span, kind: str) -> str:
    x0, y0, x1, y1 = span
    return f'<rect class="{kind}" x="{x0:.2f}" y="{-y1:.2f}" width="{x1 - x0:.2f}" height="{y1 - y0:.2f}"/>'


def _region(region: Region) -> str:
    spans = [(ply.x[0], ply.y[0], ply.x[1], ply.y[1]) for ply in region.ply]
    x0, y0 = min(span[0] for span in spans), min(span[1] for span in spans)
    x1, y1 = max(span[2] for span in spans), max(span[3] for span in spans)
    return _rect((x0, y0, x1, y1), "cloth")


def _bundle(lay: Lay, bundle: int) -> tuple[str, Span]:
    regions = [region for region in lay.regions if region.bundle == bundle]
    names = {region.id for region in regions}
    parts: list[Part] = [part for part in lay.parts if part.bundle == bundle]
    body = "".join(_region(region) for region in regions)
    taken: list[Polygon] = []
    body += "".join(_placed(placed, taken) for placed in lay.placed if placed.region in names)
    plies = [ply for region in regions for ply in region.ply]
    corner = (min(p.x[0] for p in plies), min(p.y[0] for p in plies), max(p.x[1] for p in plies), max(p.y[1] for p in plies))
    body += "".join(_rect(_within(part.rect, corner), "part") for part in parts)
    folds = [fold_ends(region, fold) for region in regions for fold in region.folds]
    body += "".join(f'<path class="lay-fold" d="{path_data(_up(ends))}"/>' for ends in folds)
    return body, corner


def _within(span: Span, corner: Span) -> Span:
    """What the light covers of the cloth itself."""
    return max(span[0], corner[0]), max(span[1], corner[1]), min(span[2], corner[2]), min(span[3], corner[3])


LETTER_MM = 11.5
"""A letter of the words above a lay is no wider on the average."""


def lay_svg(lay: Lay, title: str) -> str:
    """Every cloth of the lay, one below the other, at true size; folds as heavy lines."""
    body, y, wide = "", GAP_MM, 0.0
    for one in drawn_lays(lay):
        for bundle in sorted({region.bundle for region in one.regions}):
            drawn, (x0, y0, x1, y1) = _bundle(one, bundle)
            words = f"{one.cloth.name}, length {bundle + 1}: {PLAN_WORDS[one.plan]}"
            body += f'<g transform="translate({GAP_MM - x0:.2f} {y + 30 + y1:.2f})">{drawn}</g>'
            body += f'<text x="{GAP_MM}" y="{y + 14:.2f}" font-size="20">{escape(words)}</text>'
            y, wide = y + 30 + (y1 - y0) + GAP_MM, max(wide, x1 - x0, LETTER_MM * len(words))
    return document(body, wide + 2 * GAP_MM, y, title)
