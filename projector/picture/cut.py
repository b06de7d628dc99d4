"""Lines cut in mm before anything is mapped: to the lit part of the table, into dashes, into pieces short enough for the lens.

All lines at once: `points` (n, 2) mm one after another, `starts` (m + 1,) where each begins. Places along a line are its
length from its own start, in mm.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from projector.scene.shapes import LONGEST_PIECE_MM

Array = NDArray[np.float64]
Index = NDArray[np.int64]
FARTHEST_MM = 1e12
"""Coordinates beyond this (a thousand million metres) are taken as unknown: the line stops before them."""


@dataclass(frozen=True, slots=True, eq=False)
class Lines:
    """Open lines one after another. `of` (m,): which stroke each came from."""

    points: Array
    starts: Index
    of: Index

    @property
    def counts(self) -> Index:
        """(m,) points of each line."""
        return np.diff(self.starts)


def joined(parts: list[Array]) -> Lines:
    """Lines from a list of (n, 2) arrays; unknown or gigantic coordinates part a line there."""
    counts = np.array([len(part) for part in parts], dtype=np.int64)
    points = np.vstack(parts) if parts else np.zeros((0, 2))
    starts = np.concatenate([[0], np.cumsum(counts)]).astype(np.int64)
    lines = Lines(points, starts, np.arange(len(parts), dtype=np.int64))
    with np.errstate(invalid="ignore"):
        known = np.asarray((np.abs(points) <= FARTHEST_MM).all(axis=1))
    return lines if known.all() else parted(lines, known)


def parted(lines: Lines, known: NDArray[np.bool_]) -> Lines:
    """Only runs of known points, each its own line."""
    owner = np.repeat(np.arange(len(lines.of)), lines.counts)
    kept = np.flatnonzero(known)
    if not len(kept):
        return Lines(np.zeros((0, 2)), np.zeros(1, dtype=np.int64), np.zeros(0, dtype=np.int64))
    is_new = np.ones(len(kept), dtype=bool)
    is_new[1:] = (np.diff(kept) != 1) | (np.diff(owner[kept]) != 0)
    first = np.flatnonzero(is_new)
    return Lines(lines.points[kept], np.concatenate([first, [len(kept)]]).astype(np.int64), lines.of[owner[kept[first]]])


def lengths(lines: Lines) -> Array:
    """(n,) length from the start of its own line at every point, mm."""
    if not len(lines.points):
        return np.zeros(0)
    steps = np.diff(lines.points, axis=0, prepend=lines.points[:1])
    along = np.hypot(steps[:, 0], steps[:, 1])
    first = lines.starts[:-1][lines.counts > 0]
    along[first] = 0.0
    total = np.cumsum(along)
    return np.asarray(total - np.repeat(total[first], lines.counts[lines.counts > 0]))


def clipped(lines: Lines, along: Array, planes: Array) -> tuple[Lines, Array]:
    """Only what lies inside a convex region. `planes` (k, 3): a x + b y + c >= 0 inside.

    Returns the lines left and (m,) how far along its own line each begins, mm, so that dashes keep their places.
    """
    if len(lines.points) < 2:
        return Lines(np.zeros((0, 2)), np.zeros(1, dtype=np.int64), np.zeros(0, dtype=np.int64)), np.zeros(0)
    signed = lines.points @ planes[:, :2].T + planes[:, 2]
    if signed.min() >= 0.0 and lines.counts.min() > 1:
        return lines, np.zeros(len(lines.of))
    owner = np.repeat(np.arange(len(lines.of)), lines.counts)
    d0, d1 = signed[:-1], signed[1:]
    with np.errstate(divide="ignore", invalid="ignore"):
        t = d0 / (d0 - d1)
    enter = np.where(d0 >= 0, 0.0, np.where(d1 >= 0, t, 2.0)).max(axis=1)
    leave = np.where(d1 >= 0, 1.0, np.where(d0 >= 0, t, -1.0)).min(axis=1)
    hit = np.flatnonzero((owner[1:] == owner[:-1]) & (enter < leave))
    enter, leave = enter[hit], leave[hit]
    goes_on = (np.diff(hit) == 1) & (enter[1:] <= 0.0) & (leave[:-1] >= 1.0) & (np.diff(owner[hit]) == 0)
    is_first = np.ones(len(hit), dtype=bool)
    is_first[1:] = ~goes_on
    is_last = np.ones(len(hit), dtype=bool)
    is_last[:-1] = ~goes_on
    step = lines.points[hit + 1] - lines.points[hit]
    begins = lines.points[hit] + step * enter[:, None]
    ends = np.where((leave >= 1.0)[:, None], lines.points[hit + 1], lines.points[hit] + step * leave[:, None])
    slot = np.arange(len(hit)) + np.cumsum(is_last) - is_last  # each run has one point more than pieces
    points = np.empty((len(hit) + int(is_last.sum()), 2))
    points[slot] = begins
    points[slot[is_last] + 1] = ends[is_last]
    starts = np.concatenate([slot[is_first], [len(points)]]).astype(np.int64)
    phase = along[hit] + (along[hit + 1] - along[hit]) * enter
    return Lines(points, starts, lines.of[owner[hit[is_first]]]), phase[is_first]


def dashed(lines: Lines, phase: Array, on: Array, off: Array) -> Lines:
    """Lines cut into dashes. `on`, `off` (strokes,) mm, off 0: whole; `phase` (m,) where each line begins, mm."""
    if not len(lines.of):
        return lines
    along = lengths(lines)
    total = along[lines.starts[1:] - 1]
    line_on, line_off = on[lines.of], off[lines.of]
    is_dashed = line_off > 0
    period = np.where(is_dashed, line_on + line_off, 1.0)
    first = np.where(is_dashed, np.floor(phase / period), 0.0)
    counts = np.where(is_dashed, np.ceil((phase + total) / period) - first, 1.0).astype(np.int64)
    which = np.repeat(np.arange(len(counts)), counts)
    number = np.arange(counts.sum()) - np.repeat(np.cumsum(counts) - counts, counts)
    begin = np.where(is_dashed[which], (number + first[which]) * period[which] - phase[which], 0.0)
    end = np.where(is_dashed[which], begin + line_on[which], total[which])
    begin, end = np.maximum(begin, 0.0), np.minimum(end, total[which])
    kept = end > begin
    return _taken(lines, along, total, which[kept], begin[kept], end[kept])


def _taken(lines: Lines, along: Array, total: Array, line: Index, start: Array, stop: Array) -> Lines:
    """Stretches of lines: their two ends and the line's own points between them."""
    shift = np.concatenate([[0.0], np.cumsum(total + 1.0)])[:-1]  # one long axis, 1 mm between lines
    axis = along + np.repeat(shift, lines.counts)
    a, b = start + shift[line], stop + shift[line]
    low = np.searchsorted(axis, a, side="right")
    high = np.searchsorted(axis, b, side="left")
    inner = np.maximum(0, high - low)
    counts = inner + 2
    starts = np.concatenate([[0], np.cumsum(counts)]).astype(np.int64)
    points = np.empty((int(starts[-1]), 2))
    for column in (0, 1):
        points[starts[:-1], column] = np.interp(a, axis, lines.points[:, column])
        points[starts[1:] - 1, column] = np.interp(b, axis, lines.points[:, column])
    place = np.arange(inner.sum()) - np.repeat(np.cumsum(inner) - inner, inner)
    points[np.repeat(starts[:-1] + 1, inner) + place] = lines.points[np.repeat(low, inner) + place]
    return Lines(points, starts, lines.of[line])


def finely(lines: Lines) -> Lines:
    """No piece longer than LONGEST_PIECE_MM, so that mapped straight pieces follow the lens."""
    if len(lines.points) < 2:
        return lines
    steps = np.diff(lines.points, axis=0)
    size = np.hypot(steps[:, 0], steps[:, 1])
    size[lines.starts[1:-1] - 1] = 0.0  # from one line to the next
    pieces = np.maximum(1, np.ceil(size / LONGEST_PIECE_MM)).astype(np.int64)
    if pieces.max() == 1:
        return lines
    counts = np.concatenate([pieces, [1]])
    which = np.repeat(np.arange(len(counts)), counts)
    before = np.cumsum(counts) - counts
    share = (np.arange(counts.sum()) - before[which]) / counts[which]
    points = lines.points[which] + np.vstack([steps, np.zeros((1, 2))])[which] * share[:, None]
    starts = np.concatenate([before[lines.starts[:-1]], [counts.sum()]]).astype(np.int64)
    return Lines(points, starts, lines.of)
