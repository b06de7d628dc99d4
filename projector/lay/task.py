"""One cloth under one fold, ready to be laid: the board, what each piece may do on it, and what is held. `run.py` lays it."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import count

from shapely.affinity import translate
from shapely.geometry import Polygon

from projector.garment.pieces import Piece
from projector.lay.bays import fold_cloth
from projector.lay.board import Board, Spot
from projector.lay.cloth import USUAL_LIGHT, Cloth, Light
from projector.lay.errors import ClothTooSmall
from projector.lay.held import start_with
from projector.lay.in_step import in_step, lattice_steps_mm, motif_spot
from projector.lay.lattice import Grids
from projector.lay.lay import Plan
from projector.lay.loosen import DepthMaps
from projector.lay.print_place import Matched
from projector.lay.refusals import too_deep, worst
from projector.lay.search import Chance, KeepGoing
from projector.lay.sequence import Start
from projector.lay.shapes import SIMPLIFY_MM, lifted
from projector.lay.squeeze import FineShapes
from projector.lay.stacks import over_each_other
from projector.lay.wanted import Job, Option, ShapeBook, is_fold_full, jobs_for, lies_across

STEPS = 280
"""Lattice columns over the usable width: 4 mm on 45-inch cloth."""
FINE_MM = 0.15
"""Outlines of the squeeze may lie this much further out than the gap asks."""
OFF_LATTICE = 0.75
"""A piece that lies between lattice points is at most 0.71 steps from one: it is looked at as so much fatter."""
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


NOTHING = Start()


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
