"""One cloth under one fold: build the board, find a first lay, improve it, squeeze it, check it."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import count

from shapely.affinity import translate
from shapely.geometry import Polygon

from projector.garment.pieces import Piece
from projector.lay.bays import fold_cloth
from projector.lay.board import HAIR_MM, Board, Spot
from projector.lay.cloth import Cloth, Light
from projector.lay.errors import ClothTooShort, ClothTooSmall
from projector.lay.held import start_with
from projector.lay.in_step import in_step, lattice_steps_mm, motif_spot
from projector.lay.lattice import Grids
from projector.lay.lay import Lay, Plan
from projector.lay.loosen import DepthMaps, loosen
from projector.lay.print_place import Matched
from projector.lay.realise import faults_of, lay_of
from projector.lay.refusals import too_deep, too_long, worst
from projector.lay.search import Chance, Found, KeepGoing, first_lay, improve, shaken_lay
from projector.lay.sequence import Start, Trial, used_mm
from projector.lay.shapes import SIMPLIFY_MM, lifted
from projector.lay.squeeze import FineShapes, squeeze
from projector.lay.stacks import over_each_other, unstacked
from projector.lay.wanted import Job, Option, ShapeBook, is_fold_full, jobs_for, lies_across

STEPS = 280
"""Lattice columns over the usable width: 4 mm on 45-inch cloth."""
FINE_MM = 0.15
"""Outlines of the squeeze may lie this much further out than the gap asks."""
OFF_LATTICE = 0.75
"""A piece that lies between lattice points is at most 0.71 steps from one: it is looked at as so much fatter."""
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
Tell = Callable[[str, float, int], None]
"""Hears (cloth name, mm of cloth used, trials so far) of every better lay."""


@dataclass(frozen=True, slots=True)
class Tools:
    """What the search gets from outside: chance by seed, whether to go on, and whom to tell."""

    make_chance: Callable[[int], Chance]
    keep_going: KeepGoing = lambda: True
    tell: Tell = lambda name, used, trials: None
    ask_closer: Callable[["Task"], Callable[[], tuple[Spot, ...] | None]] = lambda task: lambda: None
    """Another way to lay one open layer, begun now and collected after our own search; it has to pass the same checks."""
    keep_going_beside: KeepGoing | None = None
    """The same for linings and interfacings, laid before the main cloth: they leave it most of the time."""


NOTHING, USUAL_LIGHT = Start(), Light()


class Bench:
    """What all folds of one cloth share: outlines, convex parts, no-fit areas."""

    def __init__(
        self,
        cloth: Cloth,
        one_way: frozenset[str] = frozenset(),
        step_mm: float | None = None,
        printed: Matched | None = None,
        light: Light = USUAL_LIGHT,
        blocks: tuple[frozenset[str], ...] = (),
    ) -> None:
        """one_way: pieces that may not be turned though the cloth allows it; step_mm: of the lattice; printed: a print to be placed;
        light: what is lit at one time; blocks: names of pieces laid one block after the other."""
        self.one_way, self.printed, self.light, self.blocks = one_way, printed, light, blocks
        keys, step = count(), step_mm or cloth.usable_mm / STEPS
        self.repeats_mm = (cloth.repeat_along_mm, cloth.repeat_across_mm) if printed else (0.0, 0.0)
        steps = lattice_steps_mm(self.repeats_mm, step)
        self.keys = keys
        coarse = min(SIMPLIFY_MM, cloth.usable_mm / 1000.0)
        self.book = ShapeBook(cloth.gap_mm, coarse, keys)
        self.fat_book = ShapeBook(cloth.gap_mm + 2.0 * OFF_LATTICE * max(steps), coarse, keys)
        self.fine = FineShapes(ShapeBook(cloth.gap_mm, min(FINE_MM, cloth.usable_mm / 7000.0), keys))
        self.grids = Grids(steps)
        self.maps = DepthMaps(self.grids)


@dataclass(frozen=True, slots=True, eq=False)
class Task:
    """Pieces of one cloth on one fold, ready to be laid."""

    cloth: Cloth
    plan: Plan
    board: Board
    jobs: tuple[Job, ...]
    fine: FineShapes
    maps: DepthMaps
    book: ShapeBook
    fat_book: ShapeBook
    start: Start = NOTHING
    blocks: tuple[frozenset[str], ...] = ()
    """Names of pieces that are laid before the next ones; () for all at once."""

    @property
    def area_mm2(self) -> float:
        """Single-layer area of all copies wanted."""
        return sum(job.area for job in self.jobs)

    @property
    def bound_mm(self) -> float:
        """No lay is shorter: the area over the usable width, and two ends (LAY section 2)."""
        return self.area_mm2 / self.cloth.usable_mm + 2.0 * self.cloth.end_mm


@dataclass(frozen=True, slots=True, eq=False)
class Done:
    """A task's best lay as spots, squeezed. `pairs`: names of those opened out over each other."""

    spots: tuple[Spot, ...]
    used_mm: float
    trials: int
    found: Found
    pairs: tuple[str, ...] = ()


def bundle_order(cloth: Cloth) -> list[int]:
    """The lengths in hand, longest first; [0] when the cloth is still to be bought."""
    if not cloth.lengths_mm:
        return [0]
    return sorted(range(len(cloth.lengths_mm)), key=lambda bundle: (-cloth.lengths_mm[bundle], bundle))


def make_task(
    bench: Bench,
    cloth: Cloth,
    pieces: Sequence[Piece],
    plan: Plan,
    depth: float = 0.0,
    overhang: float = 0.0,
    prefer_across: bool = False,
) -> Task:
    """Fold every length that way and work out how each piece can lie; a print on the bench is placed and kept in step.

    Raises ClothTooSmall naming the piece that fits in no bay, what it needs and what there is.
    """
    is_out = bench.printed is not None
    folded = [fold_cloth(cloth, plan, bundle, depth, overhang, is_print_out=is_out) for bundle in bundle_order(cloth)]
    bays = [bay for each in folded for bay in each.bays]
    is_across = lies_across(plan, cloth.up, prefer_across)
    one_way = frozenset(piece.name for piece in pieces) if cloth.up in ("along", "across") else bench.one_way
    if bench.printed:  # turned round, only the cross itself would keep step, and a motif would stand on its head
        one_way |= frozenset(bench.printed.crosses)
    jobs = jobs_for(pieces, bays, bench.book, is_across, one_way)
    if not (is_across or bench.printed or bench.blocks) and is_fold_full(pieces, bays, bench.book):
        jobs = over_each_other(jobs, bays[0], bench.book, one_way, bench.light)
    every = [option for job in jobs for one in (job, *job.apart) for option in one.options]
    tallest = max((option.shape.size[1] for option in every), default=0.0)
    printed, motif = bench.printed, bench.printed.motif if bench.printed else None
    board = Board(folded, bays, bench.grids, min(tallest, max(bay.top - bay.origin[1] for bay in bays)), bench.repeats_mm)
    if printed and any(bench.repeats_mm):
        board.phase_mm = (motif.at if motif else None) or (0.0, 0.0)
        jobs = [in_step(job, printed.crosses, board, bench.keys) for job in jobs]
    fitting = _all_fitting(board, jobs, plan, cloth, bench.keys)
    start = start_with(board, bench.fat_book, ())
    task = Task(cloth, plan, board, fitting, bench.fine, bench.maps, bench.book, bench.fat_book, start, bench.blocks)
    spot = motif_spot(board, fitting, motif) if motif else None
    if spot is None or (motif and motif.at is None and _is_on_flaw(task, spot)):  # then it lies wherever it is whole
        return task
    return hold(task, [spot])


def _is_on_flaw(task: Task, spot: Spot) -> bool:
    """Whether a piece held at the cut end would lie on what already lies there: flaws."""
    own, *flaws = (
        translate(Polygon(each.option.shape.ring), each.x, each.y)
        for each in (spot, *(each for each in task.start.spots if each.option.bay == spot.option.bay))
    )
    return any(own.intersects(flaw) for flaw in flaws)


def hold(task: Task, spots: Sequence[Spot]) -> Task:
    """The task with these spots fixed and their jobs taken off the list."""
    names = {spot.job.name for spot in spots}
    rest = tuple(job for job in task.jobs if job.name not in names and not any(one.name in names for one in job.apart))
    return replace(task, jobs=rest, start=start_with(task.board, task.fat_book, spots))


def _all_fitting(board: Board, jobs: Sequence[Job], plan: Plan, cloth: Cloth, keys: Iterator[int]) -> tuple[Job, ...]:
    """Every job with the options that fit. Raises ClothTooSmall for the piece that lacks most."""
    fitting, refusals = [], []
    for job in jobs:
        try:
            fitting.append(_fitting(board, job, plan, cloth, keys))
        except ClothTooSmall as small:
            refusals.append(small)
    if refusals:
        raise worst(refusals)
    return tuple(fitting)


def _fitting(board: Board, job: Job, plan: Plan, cloth: Cloth, keys: Iterator[int]) -> Job:
    """The job with only the options that fit across their bay. Raises ClothTooSmall when neither it nor its copies do."""

    def kept(one: Job) -> tuple[Option, ...]:
        return tuple(exact for option in one.options if (exact := _exact(board, option, keys)) is not None)

    options = kept(job)
    apart = tuple(replace(one, options=kept(one)) for one in job.apart)
    if not all(one.options for one in apart):
        apart = ()
    if not options and not apart:
        raise too_deep(job, board.bays, plan, cloth)
    return replace(job, options=options, apart=apart)


def _exact(board: Board, option: Option, keys: Iterator[int]) -> Option | None:
    """The option if it fits across its bay. One that fills it to less than a lattice step gets the way from the fold into its box."""
    if board.way(option) is not None:
        return option
    bay = board.bays[option.bay]
    inset, room = bay.inset[1], bay.top - bay.origin[1] - option.shape.size[1]
    if option.fold is not None or not inset or room < inset or option.print_at[1] is not None:
        return None
    return replace(option, shape=lifted(option.shape, (0.0, inset), next(keys)), is_inset=True)


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
    if used >= done.used_mm or faults_of(lay_of(task.board, told, task.cloth.name, Light(), 0, 0, (), {})):
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
