"""A flat sketch of the dress, front and back, drawn from its own pieces: true lengths, widths as it lies flat.

Not a fashion drawing: neck, shoulders, seams, darts, waist and hem stand where the draft puts them.
"""

from collections.abc import Iterable

import numpy as np

from projector.garment.pieces import Edge, Garment, Line, Piece, Point

SLEEVE_DEG = 62.0  # below the horizontal: an arm hanging a little away, so that sleeve and side are told apart


def _edges(pieces: Iterable[Piece], kind: str) -> list[Edge]:
    return [edge for piece in pieces for edge in piece.edges if edge.kind == kind]


def _curve(points: list[Point], bend: Point) -> Line:
    """A quadratic curve between two points pulled towards `bend`."""
    (a, b), t = points, np.linspace(0.0, 1.0, 16)[:, None]
    line = (1 - t) ** 2 * np.array(a) + 2 * t * (1 - t) * np.array(bend) + t**2 * np.array(b)
    return tuple((float(x), float(y)) for x, y in line)


def _level_y(pieces: Iterable[Piece], level: str) -> float | None:
    for piece in pieces:
        if (value := piece.levels.get(level)) is not None:
            return float(value) if isinstance(value, (int, float)) else float(np.mean([point[1] for point in value]))
    return None


def _quarter(garment: Garment, key: str) -> float | None:
    value = garment.finished.get(key)
    return None if value is None else value / 4


def _bodice(garment: Garment, panels: list[Piece], waist_y: float) -> list[Line]:
    lines: list[Line] = [edge.points for edge in _edges(panels, "neck")]
    shoulders = _edges(panels, "shoulder")
    tip = max((point for edge in shoulders for point in edge.points), key=lambda point: point[0])
    lines += [edge.points for edge in shoulders]
    bust, waist = _quarter(garment, "bust_mm"), _quarter(garment, "waist_mm")
    underarm = (bust or tip[0] + 30.0, _level_y(panels, "underarm") or waist_y / 2)
    side_waist = (waist or underarm[0], waist_y)
    lines.append(_curve([tip, underarm], (tip[0] - 8.0, underarm[1] - 6.0)))
    lines.append((underarm, side_waist))
    for edge in _edges(panels[:1], "princess"):
        lines.append(_within(edge.points, tip, underarm))
    lines += [((0.0, waist_y), side_waist)]
    lines += [dart.legs for dart in panels[0].darts if len(dart.legs) == 3] if not _edges(panels[:1], "princess") else []
    return lines


def _within(points: Line, tip: Point, underarm: Point) -> Line:
    """A seam of the panel, pulled inside the armhole drawn."""
    x = np.array(points)[:, 0]
    widest = max(tip[0] - 10.0, underarm[0] * 0.72)
    scale = min(1.0, widest / float(x.max()))
    return tuple((px * scale, py) for px, py in points)


def _skirt(garment: Garment, panel: Piece, waist_y: float) -> list[Line]:
    waist, hip, hem = (_quarter(garment, key) for key in ("waist_mm", "hip_mm", "hem_mm"))
    foot = max(y for _, y in panel.seam_line) + waist_y
    wide = hem or hip or max(x for x, _ in panel.seam_line)
    hip_y = (_level_y([panel], "hip") or 0.0) + waist_y
    start = (waist or wide * 0.7, waist_y)
    if hip is None or hip_y <= waist_y:
        sides: list[Line] = [_curve([start, (wide, foot)], (start[0] * 1.1, waist_y + 0.3 * (foot - waist_y)))]
    else:
        sides = [_curve([start, (hip, hip_y)], (hip, waist_y + 0.55 * (hip_y - waist_y))), ((hip, hip_y), (wide, foot))]
    darts: list[Line] = [tuple((x, y + waist_y) for x, y in dart.legs) for dart in panel.darts if len(dart.legs) == 3]
    return [*sides, *darts, ((0.0, foot), (wide, foot)), ((0.0, waist_y), start)]


def _sleeve(piece: Piece, tip: Point, underarm: Point, garment: Garment) -> list[Line]:
    long = max(y for _, y in piece.seam_line) - min(y for _, y in piece.seam_line)
    turn = np.radians(SLEEVE_DEG)
    along = np.array([np.cos(turn), np.sin(turn)])
    hem = _edges([piece], "hem")
    half = sum(float(np.hypot(*np.diff(np.array(edge.points), axis=0).T).sum()) for edge in hem) / 2 or 120.0
    outer = np.array(tip) + along * long
    inner = outer + np.array([-along[1], along[0]]) * half
    return [(tip, tuple(outer)), (tuple(outer), tuple(inner)), (tuple(inner), underarm)]


def _view(garment: Garment, bodice_parts: tuple[str, ...], skirt_part: str, is_back: bool) -> list[Line]:
    main = [piece for piece in garment.pieces if piece.of == "main"]
    panels = [piece for part in bodice_parts for piece in main if piece.part == part]
    skirts = [piece for piece in main if piece.part == skirt_part]
    waist_y = max((y for piece in panels[:1] for _, y in piece.seam_line), default=0.0)
    lines = _bodice(garment, panels, waist_y) if panels else []
    for skirt in skirts[:1]:
        lines += _skirt(garment, skirt, waist_y)
    if sleeves := [piece for piece in main if piece.part == "sleeve"]:
        tip = max((point for edge in _edges(panels, "shoulder") for point in edge.points), key=lambda point: point[0])
        underarm = (_quarter(garment, "bust_mm") or tip[0], _level_y(panels, "underarm") or 200.0)
        lines += _sleeve(sleeves[0], tip, underarm, garment)
    whole = [*lines, *(tuple((-x, y) for x, y in line) for line in lines)]
    openings = [edge for piece in (*panels[:1], *skirts[:1]) for edge in piece.edges if edge.kind == "opening"]
    if is_back and openings:
        top = min(y for piece in panels[:1] for x, y in piece.seam_line if abs(x) < 25.0) if panels else waist_y
        whole.append(
            (
                (0.0, top),
                (0.0, waist_y + max((y for s in skirts[:1] for e in s.edges if e.kind == "opening" for _, y in e.points), default=0.0)),
            )
        )
    return whole


def sketch_of(garment: Garment) -> dict[str, list[Line]]:
    """Lines of both views, mm, y down, the centre line at x = 0."""
    return {
        "front": _view(garment, ("front", "front_side"), "skirt_front", is_back=False),
        "back": _view(garment, ("back", "back_side"), "skirt_back", is_back=True),
    }
