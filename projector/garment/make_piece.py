"""A panel of the draft made into a piece: flattened edges, allowances, cut line, snips. mm."""

from dataclasses import replace

import numpy as np

from projector.draft.curve import Points
from projector.draft.panel import Mark, Panel
from projector.garment.allowances import Allowances
from projector.garment.cut_line import Run, cut_ring
from projector.garment.lines import thinned
from projector.garment.pieces import SNIP_CLEAR_MM, SNIP_LEAST_MM, Dart, Edge, Line, Notch, Piece

SNIP_MM = 4.0
"""Snips are so deep (3 to 6 mm)."""
DECIMALS = 4


def as_line(points: Points) -> Line:
    """(N,) complex to the piece's own points, rounded to 0.1 micrometre."""
    xs, ys = np.round(points.real, DECIMALS) + 0.0, np.round(points.imag, DECIMALS) + 0.0
    return tuple(zip(xs.tolist(), ys.tolist(), strict=True))


def point_along(points: Points, arc: float) -> complex:
    """The place `arc` along a flattened line; negative: from its end."""
    run = np.concatenate([[0.0], np.cumsum(np.abs(np.diff(points)))])
    arc = arc if arc >= 0 else float(run[-1]) + arc
    return complex(np.interp(arc, run, points.real), np.interp(arc, run, points.imag))


def snip_mm(allowance: float) -> float:
    """Depth of a snip in an allowance."""
    return max(SNIP_LEAST_MM, min(SNIP_MM, allowance - SNIP_CLEAR_MM))


def _notch(mark: Mark, points: Points, allowance: float) -> Notch:
    at = point_along(points, mark.from_start_mm)
    return Notch((round(at.real, DECIMALS), round(at.imag, DECIMALS)), mark.edge, mark.count, snip_mm(allowance))


def _runs(panel: Panel, allowances: Allowances) -> tuple[Run, ...]:
    """Flattened edges with their allowances; none on a fold and along a dart."""
    lines = [edge.flat() if edge.drawn is None else thinned(edge.drawn) for edge in panel.edges]
    runs = []
    for edge, points in zip(panel.edges, lines, strict=True):
        allowance = 0.0 if edge.fold or edge.kind == "dart" else allowances.of(edge.kind, panel.part)
        runs.append(Run(points, allowance, edge.kind, edge.fold))
    return tuple(runs)


def _on_grain(runs: tuple[Run, ...], grain_deg: float) -> tuple[Run, ...]:
    """Bands and bias strips turned so that the grain runs down the piece: every piece lies on the cloth by one rule."""
    if grain_deg == 90.0:
        return runs
    turn = np.exp(1j * np.deg2rad(90.0 - grain_deg))
    return tuple(replace(run, points=run.points * turn) for run in runs)


def make_piece(panel: Panel, of: str, cloth: str, allowances: Allowances, block_mm: float = 0.0) -> Piece:
    """One piece of pieces.json. `block_mm`: how far a piece that is trimmed after fusing is cut outside its line."""
    runs = _on_grain(_runs(panel, allowances), panel.grain_deg)
    edges = tuple(
        Edge(edge.name, edge.kind, as_line(run.points), run.allowance, edge.fold) for edge, run in zip(panel.edges, runs, strict=True)
    )
    seam_line = as_line(np.concatenate([run.points[:-1] for run in runs]))
    by_name = {edge.name: run for edge, run in zip(panel.edges, runs, strict=True)}
    levels = {
        name: round(level, DECIMALS) if isinstance(level, float | int) else as_line(np.array(level)) for name, level in panel.levels.items()
    }
    return Piece(
        name=panel.name,
        part=panel.part,
        of=of,
        cloth=cloth,
        on_fold=panel.on_fold,
        count=panel.count,
        mirrored=panel.mirrored,
        grain_deg=90.0,
        edges=edges,
        seam_line=seam_line,
        cut_line=as_line(cut_ring(runs)),
        levels=levels,
        darts=tuple(Dart(as_line(np.array(legs))) for legs in panel.darts),
        notches=tuple(_notch(mark, by_name[mark.edge].points, by_name[mark.edge].allowance) for mark in panel.marks),
        block_mm=block_mm,
        points=as_line(np.array(panel.points)) if panel.points else (),
    )
