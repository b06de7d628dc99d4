"""A flat sketch of the dress, front and back, drawn from its own pieces: true lengths, darts and seams sewn, widths as it lies flat.

Not a fashion drawing: neck, shoulders, armholes, seams, darts, waist, zip, vent and hem stand where the draft puts them. What
hangs in folds (circle, peplum, flutter, puff) is drawn as it hangs, an off-shoulder band as it lies on her arms.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from projector.garment.pieces import Edge, Garment, Line, Piece
from projector.paper.sketch_shapes import (
    Arm,
    Points,
    Take,
    dart_lines,
    drape,
    fitted_sleeve,
    flutter_cap,
    line_of,
    points_of,
    puff_sleeve,
    run_of,
    sewn,
    shoulder_band,
    takes_of,
)

ZIP_TICK_MM = 9.0
VENT_SHOWN_MM = 14.0


@dataclass(slots=True)
class _View:
    """Lines of one half (mirrored later) and lines that stand as they are."""

    half: list[Points] = field(default_factory=list)
    whole: list[Points] = field(default_factory=list)
    is_back: bool = False

    def lines(self) -> list[Line]:
        """All lines, the half on both sides."""
        mirrored = [-np.conj(points) for points in self.half]
        return [line_of(points) for points in (*self.half, *mirrored, *self.whole) if len(points) > 1]

    def zip_tick(self, piece: Piece, side: Points) -> None:
        """Where a side zip ends, across the wearer's left side. `side`: drawn from the waist on."""
        for edge in piece.edges:
            if edge.name == "side zip":
                run = np.concatenate([[0.0], np.cumsum(np.abs(np.diff(side)))])
                long_mm = float(np.abs(np.diff(points_of(edge.points))).sum())
                at = complex(np.interp(long_mm, run, side.real), np.interp(long_mm, run, side.imag))
                at = -at.conjugate() if self.is_back else at
                self.whole.append(np.array([at - ZIP_TICK_MM, at + ZIP_TICK_MM]))


@dataclass(frozen=True, slots=True)
class _Upper:
    """What skirt and sleeve hang from: sewn waist and neck from the centre outward, armhole from the tip to the underarm."""

    waist: Points
    armhole: Points
    neck: Points


def _kind(piece: Piece, *kinds: str) -> list[Edge]:
    return [edge for edge in piece.edges if edge.kind in kinds]


def _closed(armhole: Points, about: complex, turn: complex, shift: complex) -> Points:
    """A run turned about a point and moved."""
    moved: Points = (armhole - about) * turn + about + shift
    return moved


def _unit(vector: complex) -> complex:
    return vector / abs(vector)


def _joined(first: Points, second: Points) -> Points:
    """Two runs, the second from where the first ends."""
    joined: Points = np.concatenate([first, second[1:]])
    return joined


def _ended_at(run: Points, end: complex) -> Points:
    """The run eased over its length so that it ends there."""
    share = np.concatenate([[0.0], np.cumsum(np.abs(np.diff(run)))])
    share /= share[-1]
    eased: Points = run + (end - run[-1]) * share**2
    return eased


def _front_armhole(panels: Sequence[Piece]) -> tuple[complex, Points]:
    """Shoulder tip and armhole with the bust dart closed, one run from the tip down."""
    centre, side = panels[0], panels[1] if len(panels) > 1 else None
    shoulder = run_of(_kind(centre, "shoulder"))
    own = _kind(centre, "armhole")
    if side is None:
        return complex(shoulder[-1]), run_of(own)
    beyond = run_of(_kind(side, "armhole"))
    if own:  # from the armhole: the lower part turned back until it runs on
        upper = run_of(own)
        turn = _unit(complex(upper[-1] - upper[-2])) / _unit(complex(beyond[1] - beyond[0]))
        return complex(shoulder[-1]), _joined(upper, _closed(beyond, beyond[0], turn, complex(upper[-1] - beyond[0])))
    outer = run_of(_kind(side, "shoulder"))
    turn = _unit(complex(shoulder[-1] - shoulder[0])) / _unit(complex(outer[-1] - outer[0]))
    shift = complex(shoulder[-1] - outer[0])
    tip = _closed(outer, outer[0], turn, shift)[-1]
    return complex(tip), _closed(beyond, outer[0], turn, shift)


def _front_top(panels: Sequence[Piece]) -> tuple[Points, Points]:
    """Top line and armhole of a bodice without shoulders, the bust dart closed: from the centre outward, then down."""
    centre, side = panels[0], panels[-1]
    top, armhole = run_of(_kind(centre, "neck")), run_of(_kind(side, "armhole"))
    if side is centre:
        return top, armhole
    beyond = run_of(_kind(side, "neck"))
    turn = _unit(complex(top[-1] - top[-2])) / _unit(complex(beyond[1] - beyond[0]))
    shift = complex(top[-1] - beyond[0])
    return _joined(top, _closed(beyond, beyond[0], turn, shift)), _closed(armhole, beyond[0], turn, shift)


def _band(main: Sequence[Piece], side: str, top: Points, view: _View) -> float:
    """The off-shoulder band over `top`, if there is one; its height."""
    band = next((piece for piece in main if piece.part == f"shoulder_band_{side}"), None)
    if band is None:
        return 0.0
    high = max(y for _, y in band.seam_line) / 2
    arm = points_of(next(edge for edge in band.edges if edge.name == "arm").points)
    view.half += shoulder_band(top, float(abs(arm[-1] - arm[0])), high)
    return high


def _side_line(piece: Piece, underarm_y: float) -> Points:
    """The straight side drawn on up to the underarm's level, from there down."""
    edges = [edge for edge in piece.edges if edge.kind == "side" or edge.name == "side zip"]
    low = points_of(edges[-1].points)
    heading = _unit(complex(low[-1] - low[0]))
    start = complex(low[-1]) + heading * ((underarm_y - low[-1].imag) / heading.imag)
    line: Points = np.linspace(0.0, 1.0, 12).astype(np.complex128) * (complex(low[-1]) - start) + start
    return line


def _outward(piece: Piece, kind: str) -> Points:
    """The edges of a kind from the centre outward."""
    run = run_of(_kind(piece, kind))
    ordered: Points = run[np.argsort(run.real, kind="stable")]
    return ordered


def _front_upper(panels: Sequence[Piece], underarm_y: float, view: _View) -> _Upper:
    centre, outer = panels[0], panels[-1]
    takes = takes_of(centre)
    princess = run_of(_kind(centre, "princess")) if len(panels) > 1 else None
    if princess is not None and centre.points:
        foot, start = complex(princess[-1]), complex(points_of(_kind(outer, "waist")[-1].points)[-1])
        takes = [Take(complex(*centre.points[0]), foot.imag, abs(start - foot))]
        view.half.append(princess)
    side = sewn(_side_line(outer, underarm_y), takes)
    if _kind(centre, "shoulder"):
        tip, armhole = _front_armhole(panels)
        neck = run_of(_kind(centre, "neck"))
        view.half.append(np.array([neck[-1], tip]))
    else:
        neck, armhole = _front_top(panels)
    armhole = _ended_at(armhole, complex(side[0]))
    waist = sewn(np.concatenate([_outward(panel, "waist") for panel in panels]), takes)
    view.half += [neck, armhole, side, waist, *dart_lines(centre, takes)]
    view.half += _side_darts(centre, side)
    view.zip_tick(outer, side[::-1])
    return _Upper(waist, armhole, neck)


def _side_darts(piece: Piece, side: Points) -> list[Points]:
    """Sewn bust darts: lines from the side seam in."""
    lines, along = [], 0.0
    heading = _unit(complex(side[-1] - side[0]))
    mouths = [points_of(dart.legs) for dart in piece.darts]
    for edge in piece.edges:
        if edge.kind == "side":
            along += float(np.abs(np.diff(points_of(edge.points))).sum())
            end = complex(*edge.points[-1])
            lines += [np.array([side[0] + heading * along, legs[1]]) for legs in mouths if np.abs(legs - end).min() < 0.1]
    return lines


def _back_upper(back: Piece, view: _View) -> _Upper:
    takes = takes_of(back)
    centre = run_of(_kind(back, "centre", "opening")[-1:])
    order = np.argsort(centre.imag)

    def straightened(points: Points) -> Points:
        moved: Points = sewn(points, takes) - np.interp(points.imag, centre.imag[order], centre.real[order])
        return moved

    neck, armhole = (run_of(_kind(back, kind)) for kind in ("neck", "armhole"))
    if _kind(back, "shoulder"):
        view.half.append(run_of(_kind(back, "shoulder")))
    else:  # drawn from the centre's own line, which leans in above the waist
        neck, armhole = straightened(neck), straightened(armhole)
    side = run_of([edge for edge in back.edges if edge.kind == "side" or edge.name == "side zip"])
    waist = straightened(_outward(back, "waist"))
    drawn = straightened(np.linspace(side[0], side[-1], 12))
    view.half += [neck, armhole, drawn, waist]
    view.zip_tick(back, drawn[::-1])
    view.half += [straightened(dart) + take for dart, take in zip(_bare_darts(back), _takes_at(back, takes), strict=True)]
    return _Upper(waist, armhole, neck)


def _bare_darts(piece: Piece) -> list[Points]:
    """Dart lines with no other dart sewn."""
    return dart_lines(piece, [])


def _takes_at(piece: Piece, takes: Sequence[Take]) -> list[Points]:
    """What `sewn` takes too much from a dart's own line: its own share, which lies on its axis."""
    bare = _bare_darts(piece)
    return [take.at(line) for take, line in zip(takes, bare, strict=True)]


def _level_at(line: Points, x: Points) -> Points:
    order = np.argsort(line.real)
    return np.interp(x.real, line.real[order], line.imag[order]).astype(np.complex128)


def _skirt(skirt: Piece, waist: Points | None, turn: float | None, hidden_mm: float, view: _View) -> float:
    """Sides, hem, darts hung on the waist drawn; returns how far the skirt's own y lies below the view's.

    `hidden_mm`: so much from the waist down lies under a peplum.
    """
    takes = takes_of(skirt)
    own_waist = sewn(_outward(skirt, "waist"), takes)
    top = _own_waist(skirt, turn) if waist is None else waist
    down = float((top[0] - own_waist[0]).imag)
    if turn is not None:
        hanging = drape(top, _long(skirt), turn)
        view.half += hanging
        view.zip_tick(skirt, hanging[0])
        if waist is None:
            view.half.append(top)
        return down

    def hung(points: Points) -> Points:
        at = sewn(points, takes)
        extra = (_level_at(top, at) - _level_at(own_waist, at)).real - down
        shift = down + extra * np.clip(1 - points.imag / 150.0, 0.0, 1.0)
        moved: Points = at + 1j * shift
        return moved

    side = hung(run_of([edge for edge in skirt.edges if edge.kind == "side" or edge.name in ("side zip", "slit")]))
    hem = run_of(_kind(skirt, "hem"))
    view.half += [_from_level(side, top[-1].imag + hidden_mm), hung(hem[hem.real >= -0.01])]
    if not hidden_mm:
        view.zip_tick(skirt, side)
        view.half += [hung(line + take) for line, take in zip(_bare_darts(skirt), _takes_at(skirt, takes), strict=True)]
    if waist is None:
        view.half.append(own_waist)
    for edge in skirt.edges:
        if edge.name == "slit":
            start = complex(hung(points_of(edge.points))[0])
            view.half.append(np.array([start, start - ZIP_TICK_MM]))
    return down


def _own_waist(skirt: Piece, turn: float | None) -> Points:
    """The waist a skirt alone hangs from: its darts sewn; a ring's, which lies round the body, as wide as a quarter is."""
    waist = sewn(_outward(skirt, "waist"), takes_of(skirt))
    if turn is None:
        return waist
    straight: Points = np.linspace(0.0, float(np.abs(np.diff(waist)).sum()), 12) + 1j * waist[0].imag
    return straight


def _from_level(line: Points, y: float) -> Points:
    """A line run downwards, from level y on; nothing where it ends above."""
    if line[-1].imag <= y:
        return line[:0]
    start = complex(np.interp(y, line.imag, line.real), max(y, line[0].imag))
    kept: Points = np.concatenate([[start], line[line.imag > start.imag + 0.01]])
    return kept


def _long(piece: Piece) -> float:
    """Depth of a ring between waist and hem."""
    side = points_of(_kind(piece, "side")[0].points)
    opened = [points_of(edge.points) for edge in piece.edges if edge.name in ("side zip", "slit")]
    return float(np.abs(np.diff(side)).sum() + sum(np.abs(np.diff(run)).sum() for run in opened))


def _centre_back(upper: Piece | None, skirt: Piece | None, down: float, view: _View, band_mm: float) -> None:
    """The centre-back seam: zip with a tick at its end, seam, vent lapped over. `band_mm`: what a band adds above."""
    pieces = [piece for piece in (upper, skirt) if piece is not None and any(edge.name == "zip" for edge in piece.edges)]
    if not pieces:
        return
    first = pieces[0]
    shift = 0.0 if first is upper else down
    top = min(y for edge in _kind(first, "opening", "centre") for _, y in edge.points) + shift - band_mm
    zip_end = max(y for edge in pieces[-1].edges if edge.name == "zip" for _, y in edge.points) + (down if pieces[-1] is skirt else 0.0)
    low = zip_end
    if skirt is not None and pieces[-1] is skirt:
        low = max([zip_end, *(y + down for edge in _kind(skirt, "centre") for _, y in edge.points)])
        view.whole += _vent(skirt, down)
    view.whole += [np.array([1j * top, 1j * low]), np.array([1j * zip_end - ZIP_TICK_MM, 1j * zip_end + ZIP_TICK_MM])]


def _vent(skirt: Piece, down: float) -> list[Points]:
    edges = [edge for edge in skirt.edges if edge.name in ("vent", "vent top")]
    if not edges:
        return []
    ys = [y + down for edge in edges for _, y in edge.points]
    top, low = complex(0, min(ys)), complex(0, max(ys))
    return [np.array([top, top + VENT_SHOWN_MM * (1 + 1j), low + VENT_SHOWN_MM]), np.array([top, low])]


def _sleeve(main: Sequence[Piece], upper: _Upper, view: _View) -> None:
    arm = Arm(complex(upper.armhole[0]), complex(upper.armhole[-1]))
    for piece in main:
        if piece.part == "flutter":
            view.half += flutter_cap(upper.armhole)
        if piece.part == "sleeve":
            band = next((each for each in main if each.part == "sleeve_band"), None)
            view.half += puff_sleeve(piece, band, arm) if band is not None else fitted_sleeve(piece, arm)


def _waistband(main: Sequence[Piece], waist: Points, view: _View) -> None:
    for piece in main:
        if piece.part == "waistband" and "back" not in piece.name:
            high = max(y for _, y in piece.seam_line) / 2
            top = waist - 1j * high
            view.half += [top, np.array([waist[-1], top[-1]])]


def _turn_of(piece: Piece) -> float | None:
    """Of a circle skirt or peplum: how much of a full circle all its quarters are; None for other skirts."""
    side, waist = points_of(_kind(piece, "side")[-1].points), points_of(_kind(piece, "waist")[0].points)
    angle = float(np.angle(_unit(complex(side[-1] - side[0])) / 1j))
    leaves = float(np.angle(_unit(complex(waist[-1] - waist[-2]))))
    is_ring = not piece.darts and angle < -0.3 and abs(leaves - angle) < 0.05
    return -angle * 4 / (2 * np.pi) if is_ring else None


def _view(garment: Garment, side: str) -> list[Line]:
    main = [piece for piece in garment.pieces if piece.of == "main"]
    view = _View(is_back=side == "back")
    back = next((piece for piece in main if piece.part == "back"), None)
    skirt = next((piece for piece in main if piece.part == f"skirt_{side}"), None)
    flounce = next((piece for piece in main if piece.part == f"peplum_{side}"), None)
    upper: _Upper | None = None
    band_mm = 0.0
    if back is not None:
        underarm_y = _kind(back, "side")[0].points[0][1]
        panels = [piece for part in ("front", "front_side") for piece in main if piece.part == part]
        upper = _front_upper(panels, underarm_y, view) if side == "front" else _back_upper(back, view)
        _sleeve(main, upper, view)
        band_mm = _band(main, side, upper.neck, view)
    waist = upper.waist if upper is not None else None
    down = 0.0
    if skirt is not None:
        down = _skirt(skirt, waist, _turn_of(skirt), 0.9 * _long(flounce) if flounce is not None else 0.0, view)
    if flounce is not None and waist is not None:
        hip = max((x for x, _ in skirt.seam_line), default=0.0) if skirt is not None and _turn_of(skirt) is None else 0.0
        view.half += drape(waist, _long(flounce), _turn_of(flounce) or 0.75, hip)
    if waist is None and skirt is not None:
        _waistband(main, _own_waist(skirt, _turn_of(skirt)), view)
    if side == "back":
        _centre_back(back, skirt, down, view, band_mm)
    else:
        view.half += [points_of(_kind(piece, "neck")[0].points) for piece in garment.pieces if piece.of == "inset"]
    return view.lines()


def sketch_of(garment: Garment) -> dict[str, list[Line]]:
    """Lines of both views, mm, y down, the centre line at x = 0."""
    return {side: _view(garment, side) for side in ("front", "back")}
