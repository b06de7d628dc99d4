"""One trial: lay the jobs in a given order, each where its right edge comes least far, and say what the lay costs."""

from collections.abc import Sequence
from dataclasses import dataclass

from projector.lay.board import Board, Spot, Taste
from projector.lay.wanted import Job, Option

Cell = tuple[Option, int, int]
MEAN_WEIGHT = 0.03
"""Of the mean right edge beside the length: tells two lays of one length apart, the fuller start is better."""


@dataclass(frozen=True, slots=True, eq=False)
class Trial:
    """A lay found: its places, the cloth it uses, and the number by which trials are compared (mm)."""

    spots: tuple[Spot, ...]
    used_mm: float
    score: float


@dataclass(frozen=True, slots=True, eq=False)
class Start:
    """What lies already: locked pieces, flaws. Never moved."""

    spots: tuple[Spot, ...] = ()
    cells: tuple[tuple[int, Cell], ...] = ()


def reaches(board: Board, spots: Sequence[Spot]) -> list[float]:
    """Furthest right edge per length; 0 where nothing lies."""
    found = [0.0] * len(board.folded)
    for spot in spots:
        length = board.length_of_bay[spot.option.bay]
        if spot.job.is_flaw:
            continue
        found[length] = max(found[length], spot.right)
    return found


def used_mm(board: Board, spots: Sequence[Spot]) -> float:
    """Cloth used over all lengths."""
    return sum(folded.used_mm(reach) for folded, reach in zip(board.folded, reaches(board, spots), strict=True) if reach > 0.0)


def score_of(board: Board, spots: Sequence[Spot]) -> float:
    """Cloth used, and a little of the area-weighted mean right edge."""
    area = sum(spot.option.shape.area for spot in spots if not spot.job.is_flaw)
    mean = sum(spot.right * spot.option.shape.area for spot in spots if not spot.job.is_flaw) / max(area, 1.0)
    return used_mm(board, spots) + MEAN_WEIGHT * mean


def lay_in_order(
    board: Board, jobs: Sequence[Job], tastes: Sequence[Taste], limits: Sequence[float], start: Start
) -> tuple[Trial | None, int]:
    """Lay the jobs in order. limits: furthest reach allowed per length.

    Returns the trial, or None and the number of the job that found no place.
    """
    cells: list[list[Cell]] = [[] for _ in board.bays]
    for bay, cell in start.cells:
        cells[bay].append(cell)
    spots = list(start.spots)
    for number, (job, taste) in enumerate(zip(jobs, tastes, strict=True)):
        for one in job.apart if taste.is_apart else (job,):
            found = _best_place(board, one, taste, cells, limits)
            if found is None:
                return None, number
            option, column, row = found
            cells[option.bay].append(found)
            spots.append(board.spot(one, option, column, row))
    return Trial(tuple(spots), used_mm(board, spots), score_of(board, spots)), len(jobs)


def _best_place(board: Board, job: Job, taste: Taste, cells: list[list[Cell]], limits: Sequence[float]) -> Cell | None:
    """The option and place with the least right edge, in the first length that has one."""
    options = job.options
    if taste.option is not None and not taste.is_apart:
        chosen = options[taste.option % len(options)] if options else None
        options = (chosen,) if chosen is not None else ()
    best: tuple[int, float, Cell] | None = None
    for option in options:
        length = board.length_of_bay[option.bay]
        if best is not None and length > best[0]:
            continue
        reach = limits[length] if best is None or length < best[0] else min(limits[length], best[1])
        found = board.place(option, taste.pull, cells[option.bay], reach)
        if found is None:
            continue
        right = board.bays[option.bay].origin[0] + found[0] * board.steps_mm[0] + option.shape.size[0]
        if best is None or (length, right) < (best[0], best[1] - 1e-9):
            best = (length, right, (option, *found))
    return best[2] if best else None
