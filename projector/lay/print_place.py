"""Placing the print: where a motif sits on one piece, where the same row of the print meets every partner, and keeping in step.

A row of the print runs square to the garment's length. Two pieces match when their rows meet on the sewing line (DRAFT R6).
Pure geometry in the piece frame; the search keeps the print in step with its repeat, along the cloth and across it, by taking only every
so-manieth place. On layers the same motifs lie on each other: then one phase holds for all of them.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise, product
from math import dist

import numpy as np

from calibration.errors import WrongInput
from projector.garment.pieces import Edge, Garment, Line, Piece, Point
from projector.lay.board import Board, Spot
from projector.lay.errors import ClothTooSmall
from projector.lay.shapes import lifted
from projector.lay.wanted import Job, Option

MATCHED_KINDS = frozenset({"side", "princess", "centre", "opening", "under", "waist"})
"""Seams at which a print is looked at; a sleeve is set level at the front notch (common practice, no source)."""
SIDE_LEVELS = ("bust", "waist", "hip")
SEWN_ON_MM = 0.5
"""Two edges of a seam further apart than this have a dart's mouth between them."""
LEVELS = ("bust", "hip", "biceps")
"""Where a print whose repeat was typed is kept in step, in this order, when no motif says it."""


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


def length_of(points: Line) -> float:
    """Arc length of a line."""
    return sum(dist(a, b) for a, b in pairwise(points))


def partners(garment: Garment, piece: str, y_mm: float) -> tuple[Partner, ...]:
    """Where the print's row at level y of a piece meets the pieces sewn to it: one place for each seam it crosses."""
    found = []
    for seam in garment.seams:
        for own, other in ((seam.a, seam.b), (seam.b, seam.a)):
            told = _across_seam(garment, own, other, piece, y_mm)
            if told is not None:
                found.append(Partner(told[0], told[1], seam.name))
    return tuple(found)


def _across_seam(
    garment: Garment, own: Sequence[tuple[str, str]], other: Sequence[tuple[str, str]], piece: str, y_mm: float
) -> tuple[str, Point] | None:
    """The place at the same share of the seam on the other side; both sides are run from their upper ends."""
    run = [_edge(garment, name, edge) for name, edge in own]
    across = [_edge(garment, name, edge) for name, edge in other]
    if not {edge.kind for edge in (*run, *across)} & (MATCHED_KINDS - {"waist"}):
        return None
    run_down, names = _downward(run, own), [name for name, _ in _downward_names(run, own)]
    if _is_darted(run_down) or _is_darted(_downward(across, other)):
        return _below_dart(run_down[-1], names[-1], _downward(across, other)[-1], _names_down(garment, other)[-1], piece, y_mm)
    gone = 0.0
    for name, edge in zip(names, run_down, strict=True):
        arc = at_row(edge, y_mm) if name == piece else None
        if arc is not None:
            share = (gone + arc) / max(sum(length_of(each.points) for each in run_down), 1e-9)
            return _at_share(_downward(across, other), [each for each, _ in _downward_names(across, other)], share)
        gone += length_of(edge.points)
    return None


def _is_darted(edges: Sequence[Edge]) -> bool:
    """A dart's mouth parts the seam."""
    return any(dist(one.points[-1], other.points[0]) > SEWN_ON_MM for one, other in pairwise(edges))


def _below_dart(low: Edge, name: str, across: Edge, other: str, piece: str, y_mm: float) -> tuple[str, Point] | None:
    """Of a seam parted by a side dart: the place on the other side that keeps the print in step below the dart, down to the lower
    ends. Above it the print stands off by the dart's mouth, whatever is done."""
    if name != piece:
        return None
    y = across.points[-1][1] + y_mm - low.points[-1][1]
    arc = at_row(across, y)
    return other, (across.points[-1][0], y) if arc is None else along_edge(across.points, arc)


def _edge(garment: Garment, piece: str, name: str) -> Edge:
    return next(edge for edge in garment.piece(piece).edges if edge.name == name)


def _runs_up(edges: Sequence[Edge]) -> bool:
    return edges[0].points[0][1] > edges[-1].points[-1][1]


def _downward(edges: Sequence[Edge], named: Sequence[tuple[str, str]]) -> list[Edge]:
    """A run of edges from its upper end down."""
    each = [replace(edge, points=edge.points[::-1]) if edge.points[0][1] > edge.points[-1][1] else edge for edge in edges]
    return each[::-1] if _runs_up(edges) else each


def _downward_names(edges: Sequence[Edge], named: Sequence[tuple[str, str]]) -> list[tuple[str, str]]:
    return list(named)[::-1] if _runs_up(edges) else list(named)


def _at_share(edges: Sequence[Edge], names: Sequence[str], share: float) -> tuple[str, Point]:
    left = share * sum(length_of(edge.points) for edge in edges)
    for name, edge in zip(names, edges, strict=True):
        length = length_of(edge.points)
        if left <= length + 1e-9:
            return name, along_edge(edge.points, left)
        left -= length
    return names[-1], edges[-1].points[-1]


def side_crosses(garment: Garment, cloth: str) -> tuple[SideCross, ...]:
    """Every side seam of that cloth's own pieces at bust, waist and hip: the same place of the print belongs on both sides of it."""
    mine = {piece.name for piece in garment.pieces if piece.cloth == cloth and piece.of == cloth}
    found = []
    for seam in garment.seams:
        runs = (seam.a, seam.b)
        is_side = any(_edge(garment, *each).kind == "side" for run in runs for each in run)
        if not is_side or not {name for run in runs for name, _ in run} <= mine:
            continue
        for level, share in _side_shares(garment, runs).items():
            sides = [_at_share(_downward([_edge(garment, *each) for each in run], run), _names_down(garment, run), share) for run in runs]
            is_skirt = all("skirt" in garment.piece(name).part for name, _ in sides)
            found.append(SideCross(level, (Partner(*sides[0], seam.name), Partner(*sides[1], seam.name)), is_skirt))
    return tuple(found)


def _names_down(garment: Garment, run: Sequence[tuple[str, str]]) -> list[str]:
    return [name for name, _ in _downward_names([_edge(garment, *each) for each in run], run)]


def _side_shares(garment: Garment, runs: Sequence[Sequence[tuple[str, str]]]) -> dict[str, float]:
    """How far down the seam each level crosses it; the waist also where the seam ends at a waistline. Below a side dart only."""
    found: dict[str, float] = {}
    least = max(_dart_share([_edge(garment, *each) for each in run], run) for run in runs)
    for run in runs:
        edges, names = _downward([_edge(garment, *each) for each in run], run), _names_down(garment, run)
        whole, gone = sum(length_of(edge.points) for edge in edges), 0.0
        for name, edge in zip(names, edges, strict=True):
            levels = {key: told if isinstance(told, int | float) else told[-1][1] for key, told in garment.piece(name).levels.items()}
            for level in (each for each in SIDE_LEVELS if each in levels):
                arc = at_row(edge, float(levels[level]))
                if arc is not None:
                    found.setdefault(level, (gone + arc) / whole)
            gone += length_of(edge.points)
        for share, name, end in ((0.0, names[0], edges[0].points[0]), (1.0, names[-1], edges[-1].points[-1])):
            ends = [at for edge in garment.piece(name).edges if edge.kind == "waist" for at in (edge.points[0], edge.points[-1])]
            if any(dist(end, at) < 0.5 for at in ends):
                found.setdefault("waist", share)
    return dict(sorted(((level, share) for level, share in found.items() if share >= least), key=lambda told: told[1]))


def _dart_share(edges: Sequence[Edge], run: Sequence[tuple[str, str]]) -> float:
    """How far down the seam its lowest edge begins below a dart; 0 where none parts it."""
    down = _downward(edges, run)
    lengths = [length_of(edge.points) for edge in down]
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


def spot_at(board: Board, job: Job, option: Option, point: Point, at: Point) -> Spot:
    """The job laid so that its point (piece frame) lies at a place of the cloth (the motif she sees in the light)."""
    shape = option.shape
    told = shape.turn.matrix @ np.asarray(point) - shape.corner
    return Spot(job, option, float(at[0] - told[0]), float(at[1] - told[1]))


def steps_for(repeats_mm: tuple[float, float], wanted_mm: float) -> tuple[float, float]:
    """Lattice steps near the one wanted, along x and y, each dividing the print's repeat that way (0: there is none)."""
    along, across = (repeat / max(1, round(repeat / wanted_mm)) if repeat else wanted_mm for repeat in repeats_mm)
    return along, across


def in_step(job: Job, crosses: Mapping[str, Point], board: Board, keys: Iterator[int]) -> Job:
    """The job with its options moved within their boxes so that a lattice place puts its cross on the print's."""
    if job.piece.name not in crosses:
        return job
    options = tuple(_in_step(option, crosses[job.piece.name], board, next(keys)) for option in job.options)
    return replace(job, options=options, apart=tuple(in_step(one, crosses, board, keys) for one in job.apart))


def _in_step(option: Option, cross: Point, board: Board, key: int) -> Option:
    """An option hung on a fold lies at 0 that way: the print's phase is reckoned from there."""
    shape, origin = option.shape, board.bays[option.bay].origin
    at = shape.turn.matrix @ np.asarray(cross) - shape.corner
    is_held = (option.fold == "x0", option.fold == "y0")
    is_free = [held or not repeat for held, repeat in zip(is_held, board.repeats_mm, strict=True)]
    x, y = (
        0.0 if free else float((board.phase_mm[n] - origin[n] - at[n]) % board.steps_mm[n])
        for n, free in enumerate(is_free)
    )  # fmt: skip
    print_at = (None if is_free[0] else float(at[0]) + x, None if is_free[1] else float(at[1]) + y)
    return replace(option, shape=lifted(shape, (x, y), key) if x or y else shape, print_at=print_at)


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
            told = piece.levels[level]
            found = rows(garment, piece.name, float(told) if isinstance(told, int | float) else float(told[0][1]))
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


def motif_spot(board: Board, jobs: Sequence[Job], motif: Motif) -> Spot | None:
    """The motif's piece laid where she put it, the right way round. While no place is given: at the cut end, so that it lies in the
    first light; None where a repeat shows the same motif there anyway."""
    if motif.at is None and any(board.repeats_mm):
        return None
    for job in (each for each in jobs if each.piece.name == motif.piece):
        for option in job.options:
            spot = spot_at(board, job, option, motif.point, motif.at) if motif.at else Spot(job, option, *_least(board, option))
            if _lies_inside(board, spot):
                return spot
        if motif.at is not None:
            raise ClothTooSmall(
                f"{motif.piece} does not lie on the cloth with its motif there.",
                f"The motif is at {motif.at[0]:.0f}, {motif.at[1]:.0f} mm, too near an end, a selvedge or off the fold.",
                "Take the next same motif.",
            )
    return None


def _least(board: Board, option: Option) -> Point:
    """The least place that this option may have: on its fold, else clear of end, selvedge or fold."""
    bay = board.bays[option.bay]
    x, y = bay.origin
    return x + (0.0 if option.fold == "x0" else bay.inset[0]), y + (0.0 if option.fold == "y0" else bay.inset[1])


def _lies_inside(board: Board, spot: Spot) -> bool:
    bay, option, (_, depth) = board.bays[spot.option.bay], spot.option, spot.option.shape.size
    low_x, low_y = _least(board, option)
    on_fold = (option.fold != "y0" or abs(spot.y - low_y) < 0.01) and (option.fold != "x0" or abs(spot.x - low_x) < 0.01)
    return on_fold and spot.x >= low_x - 1e-6 and spot.y >= low_y - 1e-6 and spot.y + depth <= bay.top + 1e-6
