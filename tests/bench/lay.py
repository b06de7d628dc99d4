"""`python -m tests.bench.lay [--seed N] [--dresses N] [--trials N] [--extra SECONDS]`: what laying takes of cloth, time and memory.

Dresses by chance, two folds each: the first lay that may be shown, length over the bound (area / U + 2e), trials per second, memory;
for dresses folded along that take much, what hangs on the fold and cannot be opened out. Times are of the processor unless told otherwise.
"""

import argparse
import random
import resource
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from statistics import median
from time import perf_counter, process_time

from calibration.errors import TableError
from projector.api import pieces_for
from projector.garment.pieces import Piece
from projector.lay.choose import try_plans
from projector.lay.cloth import Budget, Cloth, Light
from projector.lay.lay import Plan
from projector.lay.run import lay_from, run_task, run_with_closer
from projector.lay.stage import Ask, lay_cloth
from projector.lay.task import Bench, Task, Tools, make_task
from projector.lay_extra import has_extra
from projector.lay_jobs import search_tools
from projector.steps.given import garment_from_json
from tests.bench.children import children_s
from tests.bench.fold_bound import least_mm
from tests.published.bodies import scattered
from tests.published.test_style_mixes import mixed

TOOLS = Tools(random.Random)
PLANS: tuple[Plan, ...] = ("open", "lengthwise")
FRESH, FRESH_TRIALS, FRESH_SEED = 12, 800, 7000
MOST_RATIO = 1.45
"""No lay folded along should be longer than so many times the bound."""
LOOK_TRIALS = 125
"""Trials of each fold, as the page asks for all folds of one width."""


@dataclass(frozen=True, slots=True)
class Dress:
    """The main cloth's pieces of one dress by chance, its seed, and the cloth's width, mm."""

    seed: int
    pieces: tuple[Piece, ...]
    width: float

    @property
    def copies(self) -> int:
        """Whole pieces to cut."""
        return sum(piece.count for piece in self.pieces)

    def task(self, plan: Plan) -> Task:
        """Its pieces on plain cloth, nothing shared with another fold."""
        cloth = Cloth("main", self.width)
        return make_task(Bench(cloth), cloth, self.pieces, plan)


def main() -> None:
    """One line a figure."""
    asked = argparse.ArgumentParser(description=__doc__)
    for name, usual in (("seed", FRESH_SEED), ("dresses", FRESH), ("trials", FRESH_TRIALS), ("extra", 0)):
        asked.add_argument(f"--{name}", type=int, default=usual)
    told = asked.parse_args()
    dresses = [dress for dress, _ in zip(fresh_dresses(told.seed), range(told.dresses), strict=False)]
    print(f"{len(dresses)} dresses of {min(d.copies for d in dresses)} to {max(d.copies for d in dresses)} pieces, from seed {told.seed}")
    first_lays(dresses)
    for plan in PLANS:
        lengths(dresses, plan, told.trials)
    recommended(dresses, told.trials)
    if told.extra and has_extra():
        with_extra(dresses, float(told.extra))
    all_folds(dresses[0])
    print(f"resident memory at most {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MiB")


def fresh_dresses(seed: int) -> Iterator[Dress]:
    """Bodies, styles and widths by chance, without end: 10 to 25 pieces of main cloth, no circle parts."""
    while True:
        seed += 1
        chance = random.Random(seed)
        style = mixed(chance)
        if style.get("skirt") in ("circle", "none") or style.get("sleeve") in ("flutter", "flared"):
            continue
        try:
            garment = garment_from_json(pieces_for(chance.choice(scattered()), style))
        except TableError:
            continue  # a style that this body cannot have
        pieces = tuple(piece for piece in garment.pieces if piece.cloth == "main")
        if 10 <= sum(piece.count for piece in pieces) <= 25:
            yield Dress(seed, pieces, float(chance.choice([1150, 1400, 1500])))


def first_lays(dresses: Sequence[Dress]) -> None:
    """From pieces to the first lay that passes the last check."""
    cpu, wall = [], []
    for dress in dresses:
        for plan in PLANS:
            begun, clock = process_time(), perf_counter()
            task = dress.task(plan)
            lay_from(task, run_task(task, 1, 1, TOOLS), Light(), 1, ())
            cpu.append(process_time() - begun)
            wall.append(perf_counter() - clock)
    print(
        f"first lay of {len(cpu)}: processor median {median(cpu):.2f}, worst {max(cpu):.2f} s;"
        f" clock median {median(wall):.2f}, worst {max(wall):.2f} s (goal: 3 s)"
    )


def lengths(dresses: Sequence[Dress], plan: Plan, trials: int) -> None:
    """Length over the bound of every dress; those over the most that should be, one by one."""
    ratios, seconds, spent, over = [], 0.0, 0, []
    for dress in dresses:
        task, begun = dress.task(plan), process_time()
        done = run_task(task, trials, 1, TOOLS)
        seconds += process_time() - begun
        spent += done.trials
        ratios.append(done.used_mm / task.bound_mm)
        if plan == "lengthwise" and ratios[-1] > MOST_RATIO:
            hang, least = (length / task.bound_mm for length in least_mm(dress.pieces, task.cloth))
            over.append(
                f"    dress {dress.seed}, {dress.width:.0f} mm: {ratios[-1]:.3f}; too wide to be opened out hang {hang:.3f},"
                f" with what finds no room beside them {least:.3f}"
            )
    each = ", ".join(f"{ratio:.3f}" for ratio in sorted(ratios))
    print(f"{plan}, {trials} trials: median {median(ratios):.3f}, worst {max(ratios):.3f} of the bound; {each}")
    print(f"    {spent / seconds:.0f} trials per second of processor, {seconds / len(dresses):.1f} s a dress")
    for line in over:
        print(line)


def recommended(dresses: Sequence[Dress], trials: int) -> None:
    """The plan that is recommended without a print, and its length over the bound."""
    told = []
    for dress in dresses:
        cloth = Cloth("main", dress.width)
        lay = lay_cloth(cloth, dress.pieces, Ask(None, Budget(trials, 1)), TOOLS)
        bound = lay.utilisation * dress.width * lay.cloth_needed_mm / cloth.usable_mm + 2.0 * cloth.end_mm
        told.append((lay.plan, lay.cloth_needed_mm / bound))
    ratios = [ratio for _, ratio in told]
    counts = ", ".join(f"{plan} {count}" for plan, count in Counter(plan for plan, _ in told).items())
    print(f"the fold recommended for the same: median {median(ratios):.3f}, worst {max(ratios):.3f} ({counts})")


def with_extra(dresses: Sequence[Dress], seconds: float) -> None:
    """Open, our own search and the extra side by side for so many seconds by the clock. Own processor time tells how starved they were."""
    ratios = []
    mine, children = process_time(), children_s()
    for dress in dresses:
        task = dress.task("open")
        done = run_with_closer(task, 10**9, 1, search_tools(seconds))
        ratios.append(done.used_mm / task.bound_mm)
    own, beside = (process_time() - mine) / len(dresses), (children_s() - children) / len(dresses)
    print(
        f"open with the extra, {seconds:.0f} s: median {median(ratios):.3f}, worst {max(ratios):.3f};"
        f" processor {own:.1f} s our own, {beside:.1f} s the extra"
    )


def all_folds(dress: Dress) -> None:
    """Every fold of one width, as the page looks at them."""
    begun, clock = process_time(), perf_counter()
    cloth = Cloth("main", 1500.0)
    try_plans(Bench(cloth), cloth, dress.pieces, LOOK_TRIALS, 1, TOOLS)
    print(f"all folds of one width: processor {process_time() - begun:.1f} s, clock {perf_counter() - clock:.1f} s (goal: 30 s)")


if __name__ == "__main__":
    main()
