"""Search over orders: swaps, moves and changed tastes, late acceptance, a fixed count of trials.

Late acceptance hill climbing: Burke and Bykov, EJOR 258 (2017). The same input, trials and seed give the same lay.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Protocol

from projector.lay.board import Board, Taste
from projector.lay.sequence import Start, Trial, lay_in_order
from projector.lay.wanted import Job

KeepGoing = Callable[[], bool]
HISTORY = 24
SLACK = 1.04
"""A trial longer than the best by this is dropped on the way."""
RESTART_AFTER = 260
"""Trials without a better lay before starting again from the best, shaken."""

MOST_PAIRS = 4
"""Of so many pairs every choice that lies over each other is begun with: dresses have two or three."""


class Chance(Protocol):
    """What the search asks of random.Random, handed in from outside."""

    def random(self) -> float: ...
    def randrange(self, stop: int, /) -> int: ...


@dataclass(frozen=True, slots=True, eq=False)
class Order:
    """Jobs in order, each with its taste."""

    jobs: tuple[Job, ...]
    tastes: tuple[Taste, ...]

    @property
    def pairs_over(self) -> frozenset[str]:
        """Names of the pairs that lie over each other."""
        return frozenset(job.name for job, taste in zip(self.jobs, self.tastes, strict=True) if job.layers and not taste.is_apart)


@dataclass(frozen=True, slots=True, eq=False)
class Found:
    """The best trial, its order, and how many trials were made."""

    trial: Trial
    order: Order
    trials: int


def starts(jobs: Sequence[Job]) -> list[Order]:
    """Orders to begin with: by area, by length, by depth, fold pieces first."""

    def size(job: Job, axis: int) -> float:
        return max((option.shape.size[axis] for option in job.options), default=0.0)

    def held(job: Job) -> bool:
        return bool(job.options) and all(option.fold is not None for option in job.options)

    keys: list[Callable[[Job], tuple[float, ...]]] = [
        lambda job: (-job.area,),
        lambda job: (-size(job, 0),),
        lambda job: (-(size(job, 0) * size(job, 1)),),
        lambda job: (not held(job), -size(job, 0)),
        lambda job: (-size(job, 1),),
    ]
    pairs = [job.name for job in jobs if job.layers][:MOST_PAIRS]
    choices = [set(some) for size in range(len(pairs), -1, -1) for some in combinations(pairs, size)]
    made = []
    for key in keys:
        ordered = sorted(jobs, key=lambda job, key=key: (*key(job), job.name))  # type: ignore[misc]
        for over in choices:
            apart = tuple(not job.options or (bool(job.layers) and job.name not in over) for job in ordered)
            made.append(Order(tuple(ordered), tuple(Taste(is_apart=is_apart) for is_apart in apart)))
    return made


def _changed(order: Order, chance: Chance) -> Order:
    """A neighbour: one swap, insert, block move, or a changed taste."""
    jobs, tastes = list(order.jobs), list(order.tastes)
    count, dice = len(jobs), chance.random()
    if count > 1 and dice < 0.68:
        a, b = chance.randrange(count), chance.randrange(count)
        if dice < 0.34:
            jobs[a], jobs[b], tastes[a], tastes[b] = jobs[b], jobs[a], tastes[b], tastes[a]
        else:
            job, taste = jobs.pop(a), tastes.pop(a)
            jobs.insert(b, job)
            tastes.insert(b, taste)
        return Order(tuple(jobs), tuple(tastes))
    a = chance.randrange(count)
    job, taste = jobs[a], tastes[a]
    if dice > 0.93 and job.apart and job.options:
        tastes[a] = Taste(None, taste.pull, not taste.is_apart)
    elif dice < 0.80:
        tastes[a] = replace(taste, pull=1 - taste.pull)
    elif len(job.options) > 1:
        tastes[a] = replace(
            taste, option=None if taste.option is not None and chance.random() < 0.3 else chance.randrange(len(job.options))
        )
    return Order(tuple(jobs), tuple(tastes))


def limits_for(board: Board, total_mm: float) -> list[float]:
    """How far each length may be filled when all together may cost `total_mm`: none beyond what it has in hand."""
    have = [folded.cloth.lengths_mm[folded.bundle] if folded.cloth.lengths_mm else total_mm for folded in board.folded]
    return [folded.reach_for(min(own, total_mm)) for folded, own in zip(board.folded, have, strict=True)]


def _endless(board: Board, total_mm: float) -> list[float]:
    """The same whatever is in hand."""
    return [folded.reach_for(total_mm) for folded in board.folded]


def _limits(board: Board, best_mm: float) -> list[float]:
    """Trials may be a little longer than the best; while that is longer than the cloth in hand, so may they."""
    have = [folded.cloth.lengths_mm[folded.bundle] for folded in board.folded if folded.cloth.lengths_mm]
    is_beyond = bool(have) and best_mm > sum(have)
    return _endless(board, best_mm * SLACK) if is_beyond else limits_for(board, best_mm * SLACK)


def first_lay(board: Board, jobs: Sequence[Job], start: Start, longest_mm: float, is_endless: bool = False) -> list[Found]:
    """The starting orders that can be laid within `longest_mm`; [] when none can. is_endless: whatever is in hand.

    Best first; where pairs may lie over each other, the best of each choice before the second best of any.
    """
    found = []
    limits = _endless(board, longest_mm) if is_endless else limits_for(board, longest_mm)
    for order in starts(jobs):
        trial, _ = lay_in_order(board, order.jobs, order.tastes, limits, start)
        if trial is not None:
            found.append(Found(trial, order, 1))
    found.sort(key=lambda each: each.trial.score)
    behind: dict[frozenset[str], int] = {}
    place = []
    for each in found:
        choice = each.order.pairs_over
        place.append(behind.get(choice, 0))
        behind[choice] = place[-1] + 1
    return [found[n] for n in sorted(range(len(found)), key=lambda n: place[n])]


def shaken_lay(board: Board, jobs: Sequence[Job], start: Start, longest_mm: float, chance: Chance, tries: int) -> list[Found]:
    """Starting orders shaken by chance until one can be laid within `longest_mm`; [] when none of so many can."""
    begun = starts(jobs)
    for number in range(tries):
        order = begun[number % len(begun)]
        for _ in range(3 + number % 4):
            order = _changed(order, chance)
        trial, _ = lay_in_order(board, order.jobs, order.tastes, limits_for(board, longest_mm), start)
        if trial is not None:
            return [Found(trial, order, 1)]
    return []


def improve(
    board: Board,
    begun: Sequence[Found],
    start: Start,
    trials: int,
    chance: Chance,
    keep_going: KeepGoing,
    tell: Callable[[Trial, int], None],
) -> Found:
    """Improve the best of `begun` for a count of trials; `tell` hears of every better lay with the trials so far."""
    best = now = begun[0]
    history = [now.trial.score] * HISTORY
    since, spent, other = 0, 0, 0
    while spent < trials and best.order.jobs and keep_going():  # all may lie on their folds already: nothing to change
        order = _changed(now.order, chance)
        if since and since % 7 == 0:
            order = _changed(order, chance)
        limits = _limits(board, best.trial.used_mm)
        trial, _ = lay_in_order(board, order.jobs, order.tastes, limits, start)
        spent += 1
        since += 1
        place = spent % HISTORY
        if trial is not None and (trial.score <= history[place] or trial.score <= now.trial.score):
            now = Found(trial, order, spent)
        history[place] = now.trial.score
        if trial is not None and trial.score < best.trial.score - 1e-6:
            best, since = now, 0
            tell(trial, spent)
        if since > RESTART_AFTER:
            other += 1
            now = begun[other % len(begun)] if other % 3 else best
            for _ in range(3):
                shaken = _changed(now.order, chance)
                now = Found(now.trial, shaken, spent)
            history, since = [best.trial.score * 1.02] * HISTORY, 0
    return Found(best.trial, best.order, spent)
