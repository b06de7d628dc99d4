"""One cloth under one fold laid: a first lay, improved from several starts, squeezed and checked; or how much cloth is missing."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from projector.lay.board import HAIR_MM, Board, Spot
from projector.lay.cloth import USUAL_LIGHT, Light
from projector.lay.errors import ClothTooShort, ClothTooSmall
from projector.lay.held import start_with
from projector.lay.lay import Lay
from projector.lay.loosen import loosen
from projector.lay.realise import faults_of, lay_of
from projector.lay.refusals import too_long
from projector.lay.search import Chance, Found, first_lay, improve, shaken_lay
from projector.lay.sequence import Trial, used_mm
from projector.lay.squeeze import squeeze
from projector.lay.stacks import unstacked
from projector.lay.task import Task, Tools
from projector.lay.wanted import Job

MOST_STARTS, LEAST_ROUND = 4, 250
"""So many starts, each with at least so many trials: the start matters more than the time (LAY section 2)."""
START_SHARE = 0.4
"""Share of the trials that loosen each start's best lay; what is left loosens the shortest of them."""
SEQUENCE_SHARE = 0.2
"""Share of the trials that lay one order; the rest are passes over overlapping pieces."""
MOST_SEQUENCES, MOST_PASSES = 1500, 2400
"""More orders than this gain less than as many passes (measured); all starts together are loosened by no more than so many."""
NEARLY, MOST_SHAKEN = 1.35, 200
"""A first lay up to so much longer than the cloth in hand may still be brought into it (the search gains 10 to 25 %); orders tried
by chance for several lengths."""


@dataclass(frozen=True, slots=True, eq=False)
class Done:
    """A task's best lay as spots, squeezed. `pairs`: names of those opened out over each other."""

    spots: tuple[Spot, ...]
    used_mm: float
    trials: int
    found: Found
    pairs: tuple[str, ...] = ()


def run_task(task: Task, trials: int, seed: int, tools: Tools) -> Done:
    """Orders are laid one after the other from several starts; each best one is loosened and shortened, the shortest most.

    Raises ClothTooSmall.
    """
    search = _Search(task, seed, tools, [], 0)
    begun = _begin(task, tools.make_chance(seed), trials)
    search.keep(search.squeezed(begun[0].trial.spots), begun[0])
    if len(task.board.folded) > 1:
        search.orders(begun, trials, 0)
        return search.ended()
    rounds = max(1, min(MOST_STARTS, trials // LEAST_ROUND))
    orders = min(round(trials * SEQUENCE_SHARE), MOST_SEQUENCES) // rounds
    passes = min(round(trials * START_SHARE), MOST_PASSES) // rounds
    ends = []
    for number in range(rounds):
        spots = search.orders(begun[number % len(begun) :] + begun[: number % len(begun)], max(1, orders), number)
        ends.append(search.loosened(spots, passes, number) if passes and trials > 1 else spots)
    best = min(ends, key=lambda spots: used_mm(task.board, spots))
    search.loosened(best, trials - search.spent, rounds)
    return search.ended()


@dataclass(slots=True)
class _Search:
    """One task's search so far: the best lay, and how many trials were spent."""

    task: Task
    seed: int
    tools: Tools
    best: list[Done]
    spent: int

    def ended(self) -> Done:
        """The best lay. Raises ClothTooSmall when it is longer than the cloth in hand."""
        best, have = self.best[0], in_hand_mm(self.task)
        if have is not None and best.used_mm > have + HAIR_MM:
            told = _too_long(self.task, best.used_mm, have)
            raise ClothTooShort(told.what, told.why, told.next_step, told.helps, best.used_mm - have)
        pairs = tuple(sorted(spot.job.name for spot in best.spots if spot.job.layers))
        return replace(best, spots=unstacked(best.spots, self.task.book), trials=self.spent, pairs=pairs)

    def squeezed(self, spots: tuple[Spot, ...]) -> tuple[Spot, ...]:
        """Slid together exactly; what is held stays."""
        return squeeze(self.task.board, spots, frozenset(spot.job.name for spot in self.task.start.spots), self.task.fine)

    def keep(self, spots: tuple[Spot, ...], found: Found) -> None:
        """Remember and tell of a lay that takes less cloth."""
        used = used_mm(self.task.board, spots)
        if not self.best or used < self.best[0].used_mm - 1e-9:
            self.best[:] = [Done(spots, used, self.spent, found)]
            self.tools.tell(self.task.cloth.name, used, max(1, self.spent))

    def orders(self, begun: Sequence[Found], trials: int, number: int) -> tuple[Spot, ...]:
        """The best of a count of orders, squeezed."""
        chance = self.tools.make_chance(self.seed * 1009 + 2 * number)
        found = improve(self.task.board, begun, self.task.start, trials, chance, self.tools.keep_going, _quiet)
        self.spent += found.trials
        spots = self.squeezed(found.trial.spots)
        self.keep(spots, found)
        return spots

    def loosened(self, spots: tuple[Spot, ...], passes: int, number: int) -> tuple[Spot, ...]:
        """A lay shortened for a count of passes."""
        if passes < 1:
            return spots
        chance, found = self.tools.make_chance(self.seed * 1009 + 2 * number + 1), self.best[0].found

        def tighter(told: tuple[Spot, ...]) -> tuple[Spot, ...]:
            told = self.squeezed(told)
            self.keep(told, found)
            return told

        best, spent = loosen(self.task.board, self.task.maps, spots, self.task.start, passes, chance, self.tools.keep_going, tighter)
        self.spent += spent
        return best


def run_with_closer(task: Task, trials: int, seed: int, tools: Tools) -> Done:
    """Our lay, or the one from outside when it is shorter, squeezed, and overlaps nothing. Raises ClothTooSmall."""
    collect = tools.ask_closer(task)
    done = run_task(task, trials, seed, tools)
    spots = collect()
    if spots is None:
        return done
    told = squeeze(task.board, spots, frozenset(), task.fine)
    used = used_mm(task.board, told)
    if used >= done.used_mm or faults_of(lay_of(task.board, told, task.cloth.name, USUAL_LIGHT, 0, 0, (), {})):
        return done
    tools.tell(task.cloth.name, used, done.trials)
    return replace(done, spots=told, used_mm=used)


def _quiet(trial: Trial, spent: int) -> None:
    """Between squeezes nobody is told: a lattice lay is not shown."""


def in_hand_mm(task: Task) -> float | None:
    """All lengths together; None when the cloth is still to be bought."""
    return sum(task.cloth.lengths_mm[folded.bundle] for folded in task.board.folded) if task.cloth.lengths_mm else None


def _begin(task: Task, chance: Chance, trials: int) -> list[Found]:
    """First lays within the cloth in hand, else within ever longer cloth.

    One length in hand, nearly long enough: lays that are too long are where the search begins. Several: orders by chance. Raises
    ClothTooSmall when the cloth in hand does not do.
    """
    have, most = in_hand_mm(task), max(folded.used_mm(_furthest_mm(task)) for folded in task.board.folded)
    room = 1.7 * task.bound_mm + 300.0
    while True:
        allowed = min(room, most) if have is None else min(room, have)
        begun = first_lay(task.board, task.jobs, task.start, allowed)
        if begun:
            return begun
        if allowed >= (most if have is None else have):
            break
        room *= 1.6
    if have is not None and have >= task.bound_mm and len(task.board.folded) == 1:
        begun = first_lay(task.board, task.jobs, task.start, NEARLY * have, is_endless=True)
    elif have is not None and have >= task.bound_mm:
        begun = shaken_lay(task.board, task.jobs, task.start, have, chance, min(trials, MOST_SHAKEN))
    if begun:
        return begun
    raise _too_short(task, have if have is not None else most, most)


def _furthest_mm(task: Task) -> float:
    """No first lay reaches further: beyond all that lies already (flaws, a motif's piece) every job, one after the other and in step."""
    held = max((spot.right for spot in task.start.spots), default=0.0)
    sizes = (max((option.shape.size[0] for option in one.options), default=0.0) for job in task.jobs for one in (job, *job.apart))
    return held + sum(size + task.board.repeats_mm[0] for size in sizes) + 50.0


def _too_short(task: Task, have: float, most: float) -> ClothTooSmall:
    """How much is missing: the same lay on cloth without end."""
    free = replace(task.cloth, lengths_mm=())
    endless = [replace(folded, cloth=free) for folded in task.board.folded[:1]]
    board = Board(endless, endless[0].bays, task.board.masks.grids, task.board.tallest)
    bays = len(endless[0].bays)
    held = [spot for spot in task.start.spots if not spot.job.is_flaw and spot.option.bay < bays]
    begun = first_lay(board, _only_bays(task.jobs, bays), start_with(board, task.fat_book, held), most)
    return _too_long(task, begun[0].trial.used_mm if begun else None, have)


def _too_long(task: Task, used_mm: float | None, have_mm: float) -> ClothTooSmall:
    jobs = [job for job in (*task.jobs, *(spot.job for spot in task.start.spots)) if not job.is_flaw]
    pieces = [one.piece for job in jobs for one in ([layer.job for layer in job.layers] or [job])]
    return too_long(task.cloth, task.plan, pieces, task.bound_mm, used_mm, have_mm)


def _only_bays(jobs: Sequence[Job], bays: int) -> list[Job]:
    def kept(job: Job) -> Job:
        return replace(job, options=tuple(o for o in job.options if o.bay < bays), apart=tuple(kept(one) for one in job.apart))

    return [kept(job) for job in jobs]


def lay_from(task: Task, done: Done, light: Light, seed: int, why: Sequence[str]) -> Lay:
    """The lay as shown. Raises a plain error (a defect of ours) when it does not pass the last check."""
    lay = lay_of(task.board, done.spots, task.cloth.name, light, done.trials, seed, why, {})
    wrong = faults_of(lay)
    if wrong:
        raise AssertionError(f"lay of {task.cloth.name}: {'; '.join(wrong)}")
    return lay
