"""Placing the print: where a motif sits on one piece, where the same row of the print meets every partner, and keeping in step.

A row of the print runs square to the garment's length. Two pieces match when their rows meet on the sewing line (DRAFT R6).
Pure geometry in the piece frame; the search keeps a row in step with the repeat by taking only every so-manieth column.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import dist

import numpy as np

from calibration.errors import WrongInput
from projector.garment.pieces import Edge, Garment, Line, Point
from projector.lay.board import Board, Spot
from projector.lay.errors import ClothTooSmall
from projector.lay.shapes import lifted
from projector.lay.wanted import Job, Option

MATCHED_KINDS = frozenset({"side", "princess", "centre", "opening", "under", "waist"})
"""Seams at which a print is looked at; sleeves are set by eye at the front notch (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Motif:
    """Where the print is placed: a point of one piece (piece frame) and, when she has moved the light there, the place on the
    cloth (cloth frame of the first length) where that point lies."""

    piece: str
    point: Point
    at: Point | None = None


@dataclass(frozen=True, slots=True)
class Matched:
    """A print to be kept in step: its row's level on every piece it is carried to, and the motif it starts from."""

    levels: Mapping[str, float]
    motif: Motif


@dataclass(frozen=True, slots=True)
class Partner:
    """A place on a partner that has to get the same place of the print: piece, point (piece frame), and through which seam."""

    piece: str
    point: Point
    seam: str


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
    gone = 0.0
    for name, edge in zip(names, run_down, strict=True):
        arc = at_row(edge, y_mm) if name == piece else None
        if arc is not None:
            share = (gone + arc) / max(sum(length_of(each.points) for each in run_down), 1e-9)
            return _at_share(_downward(across, other), [each for each, _ in _downward_names(across, other)], share)
        gone += length_of(edge.points)
    return None


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


def rows(garment: Garment, piece: str, y_mm: float) -> dict[str, float]:
    """The level of the motif's row on every piece it is carried to, seam by seam from the piece the motif was placed on."""
    found, open_ends = {piece: y_mm}, [piece]
    while open_ends:
        here = open_ends.pop(0)
        for partner in partners(garment, here, found[here]):
            if partner.piece not in found:
                found[partner.piece] = partner.point[1]
                open_ends.append(partner.piece)
    return found


def spot_at(board: Board, job: Job, option: Option, point: Point, at: Point) -> Spot:
    """The job laid so that its point (piece frame) lies at a place of the cloth (the motif she sees in the light)."""
    shape = option.shape
    told = shape.turn.matrix @ np.asarray(point) - shape.corner
    return Spot(job, option, float(at[0] - told[0]), float(at[1] - told[1]))


def step_for(repeat_mm: float, wanted_mm: float) -> float:
    """A lattice step near the one wanted that divides the repeat."""
    return repeat_mm / max(1, round(repeat_mm / wanted_mm))


def in_step(job: Job, levels: Mapping[str, float], board: Board, keys: Iterator[int]) -> Job:
    """The job with its options moved within their boxes so that a lattice column puts its row on the print's. Along lays only."""
    if job.piece.name not in levels:
        return job
    level = levels[job.piece.name]
    options = tuple(_in_step(option, level, board, next(keys)) for option in job.options)
    return replace(job, options=options, apart=())


def _in_step(option: Option, level: float, board: Board, key: int) -> Option:
    shape, step = option.shape, board.step_mm
    row = float((shape.turn.matrix @ np.array([0.0, level]))[0] - shape.corner[0])
    lift = (board.phase_mm - board.bays[option.bay].origin[0] - row) % step
    return replace(option, shape=lifted(shape, lift, key), row_mm=row + lift)


def matched(garment: Garment, motif: Motif) -> Matched:
    """Rows of every piece that is cut from the motif's cloth. Raises WrongInput for a piece that is not there."""
    cloths = {each.name: each.cloth for each in garment.pieces}
    if motif.piece not in cloths:
        raise unknown_piece(motif.piece, list(cloths))
    levels = {name: level for name, level in rows(garment, motif.piece, motif.point[1]).items() if cloths[name] == cloths[motif.piece]}
    return Matched(levels, motif)


def where_printed(garment: Garment, motif: Motif) -> dict[str, Point]:
    """By piece of the motif's cloth (piece frame): the motif's own place first, then its row on every partner's centre line."""
    levels = matched(garment, motif).levels
    left = {name: min(x for x, _ in garment.piece(name).seam_line) for name in levels}
    return {motif.piece: motif.point, **{name: (left[name], level) for name, level in levels.items() if name != motif.piece}}


def unknown_piece(name: str, known: Sequence[str]) -> WrongInput:
    """The refusal of a piece that the garment does not have."""
    return WrongInput(f"There is no piece {name!r}.", f"There are {', '.join(known)}.", "Name one of them.")


def motif_spot(board: Board, jobs: Sequence[Job], motif: Motif) -> Spot | None:
    """The motif's piece laid where she put it, the right way round; None while no place is given."""
    if motif.at is None:
        return None
    for job in jobs:
        if job.piece.name != motif.piece:
            continue
        for option in job.options:
            spot = spot_at(board, job, option, motif.point, motif.at)
            if _lies_inside(board, spot):
                return spot
        raise ClothTooSmall(
            f"{motif.piece} does not lie on the cloth with its motif there.",
            f"The motif is at {motif.at[0]:.0f}, {motif.at[1]:.0f} mm, too near an end, a selvedge or off the fold.",
            "Take the next same motif.",
        )
    return None


def _lies_inside(board: Board, spot: Spot) -> bool:
    bay, option, (_, depth) = board.bays[spot.option.bay], spot.option, spot.option.shape.size
    low_x = bay.origin[0] + (0.0 if option.fold == "x0" else bay.inset[0])
    low_y = bay.origin[1] + (0.0 if option.fold == "y0" else bay.inset[1])
    on_fold = (option.fold != "y0" or abs(spot.y - low_y) < 0.01) and (option.fold != "x0" or abs(spot.x - low_x) < 0.01)
    return on_fold and spot.x >= low_x - 1e-6 and spot.y >= low_y - 1e-6 and spot.y + depth <= bay.top + 1e-6
