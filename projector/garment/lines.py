"""Flattened lines cut and met: the small tools of facings, linings and cut lines. Complex points, mm."""

import numpy as np

from projector.draft.curve import Points, unit

ON_LINE_MM = 0.005
NO_STEP_MM = 0.02
EASED_OVER_MM = 80.0
"""A line that must begin or end elsewhere is bent over so much of its length."""


def thinned(line: Points, step_mm: float = NO_STEP_MM) -> Points:
    """The line without steps under `step_mm`, which have no direction worth the name; its ends stay."""
    steps = np.abs(np.diff(line))
    if len(line) < 3 or steps.min() >= step_mm:
        return line
    kept = [line[0]]
    for point in line[1:-1]:
        if abs(point - kept[-1]) >= step_mm:
            kept.append(point)
    if len(kept) > 1 and abs(line[-1] - kept[-1]) < step_mm:
        kept.pop()
    return np.array([*kept, line[-1]])


def meet(p: complex, u: complex, q: complex, v: complex) -> complex | None:
    """Where the lines p + s·u and q + t·v cross; None when parallel."""
    cross = (u.conjugate() * v).imag
    if abs(cross) < 1e-9:
        return None
    return p + u * (((q - p).conjugate() * v).imag / cross)


def reflected(points: Points, at: complex, along: complex) -> Points:
    """Mirror image about the line at + s·along (unit)."""
    return at + along * np.conj((points - at) / along)


def first_on_line(line: Points, at: complex, along: complex) -> tuple[int, complex] | None:
    """First segment of `line`, from its beginning, that crosses the endless line at + s·along; the place too."""
    side = np.imag(np.conj(along) * (line - at))
    for i in np.flatnonzero(side[:-1] * side[1:] <= 0):
        if side[i] != side[i + 1]:
            share = side[i] / (side[i] - side[i + 1])
            return int(i), complex(line[i] + (line[i + 1] - line[i]) * share)
    return None


def begin_on(line: Points, direction: complex, at: complex, along: complex) -> Points:
    """The line begun on the endless line at + s·along: cut there, or drawn on backwards to it."""
    away = abs(((line[0] - at) * np.conj(along * 1j)).real)
    if away < ON_LINE_MM:
        return np.concatenate([[at + along * ((line[0] - at) * np.conj(along)).real], line[1:]])
    found = first_on_line(line, at, along)
    if found is not None and abs(found[1] - line[0]) < 3 * away + 60:
        return np.concatenate([[found[1]], line[found[0] + 1 :]])
    reached = meet(complex(line[0]), direction, at, along)
    return line if reached is None else np.concatenate([[reached], line])


def end_on(line: Points, direction: complex, at: complex, along: complex) -> Points:
    """The line ended on the endless line at + s·along; `direction`: its heading at the end."""
    return begin_on(line[::-1], -direction, at, along)[::-1]


def crossing_of(line: Points, other: Points) -> tuple[int, int, complex] | None:
    """First place along `line` where `other` crosses it: (segment of line, segment of other, point)."""
    v = np.diff(other)
    for i in range(len(line) - 1):
        p, u = line[i], line[i + 1] - line[i]
        cross = (np.conj(u) * v).imag
        with np.errstate(divide="ignore", invalid="ignore"):
            s = (np.conj(other[:-1] - p) * v).imag / cross
            t = (np.conj(other[:-1] - p) * u).imag / cross
        hit = np.flatnonzero((s >= -1e-9) & (s <= 1 + 1e-9) & (t >= -1e-9) & (t <= 1 + 1e-9))
        if len(hit):
            j = int(hit[0])
            return i, j, complex(p + u * s[j])
    return None


def head(line: Points, segment: int, at: complex) -> Points:
    """From the beginning to a place on a segment."""
    kept = line[: segment + 1]
    return kept if abs(kept[-1] - at) < 1e-9 else np.append(kept, at)


def tail(line: Points, segment: int, at: complex) -> Points:
    """From a place on a segment to the end."""
    kept = line[segment + 1 :]
    return kept if len(kept) and abs(kept[0] - at) < 1e-9 else np.concatenate([[at], kept])


def bent_to(line: Points, start: complex) -> Points:
    """The line moved over its first EASED_OVER_MM so that it begins at `start`."""
    run = np.concatenate([[0.0], np.cumsum(np.abs(np.diff(line)))])
    left = np.clip(1 - run / min(EASED_OVER_MM, 0.8 * float(run[-1])), 0, 1)
    eased: Points = line + (start - line[0]) * left * left * (3 - 2 * left)
    return eased


def length_of(line: Points) -> float:
    """Length of a flattened line, mm."""
    return float(np.abs(np.diff(line)).sum())


def part_up_to(line: Points, arc: float) -> Points:
    """The first `arc` mm of a line."""
    run = np.concatenate([[0.0], np.cumsum(np.abs(np.diff(line)))])
    segment = min(int(np.searchsorted(run, arc, side="right")) - 1, len(line) - 2)
    at = line[segment] + (line[segment + 1] - line[segment]) * ((arc - run[segment]) / (run[segment + 1] - run[segment]))
    return head(line, segment, complex(at))


def heading_at_end(line: Points) -> complex:
    """Unit direction of the last segment."""
    return unit(complex(line[-1] - line[-2]))
