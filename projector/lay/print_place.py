"""Placing the print: where a motif sits on one piece, and where the same row of the print meets every partner.

A row of the print runs square to the garment's length. Two pieces match when their rows meet on the sewing line (DRAFT R6).
Pure geometry of seams in the piece frame; how the search keeps a cloth in step with it stands in `in_step.py`.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise, product
from math import dist

from calibration.errors import WrongInput
from projector.garment.pieces import Edge, Garment, Line, Piece, Point, line_length

MATCHED_KINDS = frozenset({"side", "princess", "centre", "opening", "under"})
"""Seams at which a print is looked at; a sleeve is set level at the front notch (common practice, no source)."""
SIDE_LEVELS = ("bust", "waist", "hip")
SEWN_ON_MM = 0.5
"""Two edges of a seam further apart than this have a dart's mouth between them."""
LEVELS = ("bust", "hip", "biceps")
"""Where a print whose repeat was typed is kept in step, in this order, when no motif says it."""
Run = Sequence[tuple[str, str]]
"""One side of a seam as it is named: pieces and edges."""
Down = list[tuple[str, Edge]]
"""One side of a seam from its upper end down: each edge, run that way, with the name of its piece."""


@dataclass(frozen=True, slots=True)
class Motif:
    """Where the print is placed: a point of one piece (piece frame) and, when she has moved the light there, the place on the
    cloth (cloth frame of the first length) where that point lies."""

    piece: str
    point: Point
    at: Point | None = None


@dataclass(frozen=True, slots=True)
class Matched:
    """A print to be kept in step: by piece the place (piece frame) that gets the same place of the print, and the motif it starts
    from; None when only the repeat is known."""

    crosses: Mapping[str, Point]
    motif: Motif | None


@dataclass(frozen=True, slots=True)
class Partner:
    """A place on a partner that has to get the same place of the print: piece, point (piece frame), and through which seam."""

    piece: str
    point: Point
    seam: str


@dataclass(frozen=True, slots=True)
class SideCross:
    """One place of a side seam at which a print is looked at: bust, waist or hip, and where it lies on either side when sewn."""

    level: str
    sides: tuple[Partner, Partner]
    is_skirt: bool = False


def at_row(edge: Edge, y_mm: float) -> float | None:
    """Arc length from the edge's start to where it crosses level y; None when it does not."""
    gone = 0.0
    for (ax, ay), (bx, by) in pairwise(edge.points):
        length = dist((ax, ay), (bx, by))
        if min(ay, by) <= y_mm <= max(ay, by) and ay != by:
            return gone + length * (y_mm - ay) / (by - ay)
        gone += length
    return None


def along_edge(points: Line, arc_mm: float) -> Point:
    """The point so far along a line; its end when the line is shorter."""
    left = arc_mm
    for (ax, ay), (bx, by) in pairwise(points):
        length = dist((ax, ay), (bx, by))
        if left <= length and length > 0.0:
            share = left / length
            return (ax + share * (bx - ax), ay + share * (by - ay))
        left -= length
    return points[-1]


def partners(garment: Garment, piece: str, y_mm: float) -> tuple[Partner, ...]:
    """Where the print's row at level y of a piece meets the pieces sewn to it: one place for each seam it crosses."""
    found = []
    for seam in garment.seams:
        for own, other in ((seam.a, seam.b), (seam.b, seam.a)):
            told = _across_seam(garment, own, other, piece, y_mm)
            if told is not None:
                found.append(Partner(told[0], told[1], seam.name))
    return tuple(found)


def _across_seam(garment: Garment, own: Run, other: Run, piece: str, y_mm: float) -> tuple[str, Point] | None:
    """The place at the same share of the seam on the other side; both sides are run from their upper ends."""
    run, across = _run_down(garment, own), _run_down(garment, other)
    if not {edge.kind for _, edge in (*run, *across)} & MATCHED_KINDS:
        return None
    if _is_darted(run) or _is_darted(across):
        return _below_dart(run[-1], across[-1], piece, y_mm)
    gone = 0.0
    for name, edge in run:
        arc = at_row(edge, y_mm) if name == piece else None
        if arc is not None:
            return _at_share(across, (gone + arc) / max(_run_mm(run), 1e-9))
        gone += line_length(edge.points)
    return None


def _is_darted(run: Down) -> bool:
    """A dart's mouth parts the seam."""
    return any(dist(one.points[-1], other.points[0]) > SEWN_ON_MM for (_, one), (_, other) in pairwise(run))


def _below_dart(low: tuple[str, Edge], across: tuple[str, Edge], piece: str, y_mm: float) -> tuple[str, Point] | None:
    """Of a seam parted by a side dart: the place on the other side that keeps the print in step below the dart, down to the lower
    ends. Above it the print stands off by the dart's mouth, whatever is done."""
    (name, own), (partner, other) = low, across
    if name != piece:
        return None
    end, low_y = other.points[-1], own.points[-1][1]
    y = end[1] + y_mm - low_y
    arc = at_row(other, y)
    return partner, (end[0], y) if arc is None else along_edge(other.points, arc)


def _edge(garment: Garment, piece: str, name: str) -> Edge:
    return next(edge for edge in garment.piece(piece).edges if edge.name == name)


def _run_down(garment: Garment, run: Run) -> Down:
    """One side of a seam from its upper end down."""
    edges = [(piece, _edge(garment, piece, name)) for piece, name in run]
    down = [(piece, replace(edge, points=edge.points[::-1]) if edge.points[0][1] > edge.points[-1][1] else edge) for piece, edge in edges]
    is_upward = edges[0][1].points[0][1] > edges[-1][1].points[-1][1]
    return down[::-1] if is_upward else down


def _run_mm(run: Down) -> float:
    return sum(line_length(edge.points) for _, edge in run)


def _at_share(run: Down, share: float) -> tuple[str, Point]:
    """Piece and place so far down one side of a seam."""
    left = share * _run_mm(run)
    for name, edge in run:
        length = line_length(edge.points)
        if left <= length + 1e-9:
            return name, along_edge(edge.points, left)
        left -= length
    return run[-1][0], run[-1][1].points[-1]


def side_crosses(garment: Garment, cloth: str) -> tuple[SideCross, ...]:
    """Every side seam of that cloth's own pieces at bust, waist and hip: the same place of the print belongs on both sides of it."""
    mine = {piece.name for piece in garment.pieces if piece.cloth == cloth and piece.of == cloth}
    found = []
    for seam in garment.seams:
        runs = (seam.a, seam.b)
        is_side = any(_edge(garment, *each).kind == "side" for run in runs for each in run)
        if not is_side or not {name for run in runs for name, _ in run} <= mine:
            continue
        downs = [_run_down(garment, run) for run in runs]
        for level, share in _side_shares(garment, downs).items():
            one, other = (_at_share(down, share) for down in downs)
            is_skirt = all("skirt" in garment.piece(name).part for name, _ in (one, other))
            found.append(SideCross(level, (Partner(*one, seam.name), Partner(*other, seam.name)), is_skirt))
    return tuple(found)


def _side_shares(garment: Garment, downs: Sequence[Down]) -> dict[str, float]:
    """How far down the seam each level crosses it; the waist also where the seam ends at a waistline. Below a side dart only."""
    found: dict[str, float] = {}
    for down in downs:
        whole, gone = _run_mm(down), 0.0
        for name, edge in down:
            levels = {key: told if isinstance(told, int | float) else told[-1][1] for key, told in garment.piece(name).levels.items()}
            for level in (each for each in SIDE_LEVELS if each in levels):
                arc = at_row(edge, float(levels[level]))
                if arc is not None:
                    found.setdefault(level, (gone + arc) / whole)
            gone += line_length(edge.points)
        (top, first), (bottom, last) = down[0], down[-1]
        for share, name, end in ((0.0, top, first.points[0]), (1.0, bottom, last.points[-1])):
            ends = [at for edge in garment.piece(name).edges if edge.kind == "waist" for at in (edge.points[0], edge.points[-1])]
            if any(dist(end, at) < 0.5 for at in ends):
                found.setdefault("waist", share)
    least = max(_dart_share(down) for down in downs)
    return dict(sorted(((level, share) for level, share in found.items() if share >= least), key=lambda told: told[1]))


def _dart_share(down: Down) -> float:
    """How far down the seam its lowest edge begins below a dart; 0 where none parts it."""
    lengths = [line_length(edge.points) for _, edge in down]
    return sum(lengths[:-1]) / sum(lengths) if _is_darted(down) else 0.0


def rows(garment: Garment, piece: str, y_mm: float) -> dict[str, float]:
    """The level of the motif's row on every piece it is carried to, seam by seam from the piece the motif was placed on."""
    found, open_ends = {piece: y_mm}, [piece]
    while open_ends:
        here = open_ends.pop(0)
        for partner in partners(garment, here, found[here]):
            if partner.piece not in found:
                found[partner.piece] = partner.point[1]
                open_ends.append(partner.piece)
    return {**found, **_sleeve_rows(garment, found)}


def _sleeve_rows(garment: Garment, levels: Mapping[str, float]) -> dict[str, float]:
    """The row on each sleeve: as far below its front notch as on the bodice, so that both stand level beside each other."""
    found: dict[str, float] = {}
    for seam in garment.seams:
        for cap, armhole in ((seam.a, seam.b), (seam.b, seam.a)):
            if any(_edge(garment, *each).kind != "cap" for each in cap):
                continue
            notches = [(name, at) for name, edge in cap if name not in levels for at in _single_notches(garment, name, edge)]
            beside = [(name, at) for name, edge in armhole if name in levels for at in _single_notches(garment, name, edge)]
            for (sleeve, on_cap), (body, on_armhole) in product(notches, beside):
                found.setdefault(sleeve, on_cap[1] + levels[body] - on_armhole[1])
    return found


def _single_notches(garment: Garment, piece: str, edge: str) -> list[Point]:
    """Front notches of an edge (one snip; the back has two), the lowest first."""
    found = [notch.at for notch in garment.piece(piece).notches if notch.edge == edge and notch.count == 1]
    return sorted(found, key=lambda at: -at[1])


def matched(garment: Garment, motif: Motif) -> Matched:
    """Crosses of every piece that is cut from the motif's cloth. Raises WrongInput for a piece that is not there."""
    cloths = {each.name: each.cloth for each in garment.pieces}
    if motif.piece not in cloths:
        raise unknown_piece(motif.piece, list(cloths))
    levels = {name: level for name, level in rows(garment, motif.piece, motif.point[1]).items() if cloths[name] == cloths[motif.piece]}
    return Matched({**_crosses(garment, levels), motif.piece: motif.point}, motif)


def with_the_rest(garment: Garment, cloth: str, placed: Matched | None) -> Matched | None:
    """A print whose repeat was typed: also pieces that the motif's row does not reach keep step among themselves.

    Bodice pieces by their bust, skirts by their hip (LEVELS in turn); where they are sewn to one that the motif's row reaches, by
    its print. None when no piece of the cloth has such a level.
    """
    levels: dict[str, float] = {}
    done = set(placed.crosses) if placed else set()
    mine = [each for each in garment.pieces if each.cloth == cloth and each.of == cloth]
    for level in LEVELS:
        for piece in sorted(mine, key=lambda each: (not each.on_fold, "front" not in each.part)):
            if piece.name in done or level not in piece.levels:
                continue
            found = rows(garment, piece.name, piece.level_y(level))
            reached = placed.crosses if placed else {}  # of those the one it is sewn to first: the seams between agree best at one level
            lower = next((reached[name][1] - row for name, row in found.items() if name in reached), 0.0)
            new = {name: row + lower for name, row in found.items() if name not in done and garment.piece(name).cloth == cloth}
            levels |= new
            done |= set(new)
    if not levels:
        return placed
    return Matched({**_crosses(garment, levels), **(placed.crosses if placed else {})}, placed.motif if placed else None)


def _crosses(garment: Garment, levels: Mapping[str, float]) -> dict[str, Point]:
    """The row on each piece's middle: its centre line, a sleeve's grain line."""
    return {name: (_middle_x(garment.piece(name)), level) for name, level in levels.items()}


def _middle_x(piece: Piece) -> float:
    low = min(x for x, _ in piece.seam_line)
    return 0.0 if piece.part.startswith("sleeve") and low < 0.0 else low


def where_printed(garment: Garment, cloth: str, motif: Motif | None) -> dict[str, Point]:
    """By piece of that cloth (piece frame): the motif's own place first, then its row on every partner's middle; without a motif what
    keeps step by the repeat alone. A motif of another cloth is none here."""
    placed = matched(garment, motif) if motif and garment.piece(motif.piece).cloth == cloth else None
    every = with_the_rest(garment, cloth, placed)
    crosses = dict(every.crosses) if every else {}
    first = {placed.motif.piece: placed.motif.point} if placed and placed.motif else {}
    return {**first, **{name: at for name, at in crosses.items() if name not in first}}


def unknown_piece(name: str, known: Sequence[str]) -> WrongInput:
    """The refusal of a piece that the garment does not have."""
    return WrongInput(f"There is no piece {name!r}.", f"There are {', '.join(known)}.", "Name one of them.")
