"""`python -m tests.bench.lay [SEED]`: first lay, trials per second, all folds of one width, length over the bound; medians; memory.

SEED: where the dresses by chance begin.
"""

import random
import resource
import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from statistics import median
from time import perf_counter

from calibration.errors import TableError
from projector.api import pieces_for
from projector.garment.pieces import Piece
from projector.lay.choose import try_plans
from projector.lay.cloth import Budget, Cloth
from projector.lay.lay import Plan
from projector.lay.search import first_lay, improve
from projector.lay.stage import Ask, lay_cloth
from projector.lay.task import Bench, Tools, make_task, run_task
from projector.steps.given import garment_from_json
from tests.published.bodies import scattered
from tests.published.test_style_mixes import mixed

BODY = {"bust": 920.0, "waist": 740.0, "hip": 990.0, "nape_waist": 400.0, "stature": 1650.0, "upper_arm": 290.0, "wrist": 165.0}
STYLES = ({"sleeve": "long"}, {"skirt": "a_line", "sleeve": "short"}, {"skirt": "tapered", "length": "full"})
TRIALS = 600
FRESH, FRESH_TRIALS, FRESH_SEED = 12, 800, 7000


def main() -> None:
    """Print one line per figure."""
    firsts: list[float] = []
    rates: dict[str, list[float]] = {"open": [], "lengthwise": []}
    ratios: dict[str, list[float]] = {"open": [], "lengthwise": []}
    tools = Tools(random.Random)
    plans: tuple[Plan, ...] = ("open", "lengthwise")
    for style in STYLES:
        pieces = [piece for piece in garment_from_json(pieces_for(BODY, style)).pieces if piece.cloth == "main"]
        for plan in plans:
            cloth = Cloth("main", 1500.0)
            begun = perf_counter()
            task = make_task(Bench(cloth), cloth, pieces, plan)
            found = first_lay(task.board, task.jobs, task.start, 3.0 * task.bound_mm)
            firsts.append(perf_counter() - begun)
            begun = perf_counter()
            improve(task.board, found, task.start, TRIALS, random.Random(1), lambda: True, lambda trial, spent: None)
            rates[plan].append(TRIALS / (perf_counter() - begun))
            ratios[plan].append(run_task(task, 1500, 1, tools).used_mm / task.bound_mm)
    print(f"first lay, median of {len(firsts)}: {median(firsts):.2f} s, worst {max(firsts):.2f} s (goal: within 3 s)")
    for plan in plans:
        print(f"{plan}: {median(rates[plan]):.0f} orders laid per second; length over the bound {median(ratios[plan]):.3f}")
    for plan in plans:
        against = [_ratios(pieces, width, plan) for pieces, width in fresh_dresses()]
        plain, held = [ratio for ratio, _ in against], [ratio for _, ratio in against]
        each = ", ".join(f"{ratio:.2f}" for ratio in sorted(plain))
        print(f"{plan}, {len(against)} dresses by chance: {each}; median {median(plain):.3f}")
        print(f"    over the bound or what hangs on the fold, whichever is longer: median {median(held):.3f}, worst {max(held):.3f}")
    told = [_recommended(pieces, width) for pieces, width in fresh_dresses()]
    counts = ", ".join(f"{plan} {count}" for plan, count in Counter(plan for plan, _ in told).items())
    ratios_told = [ratio for _, ratio in told]
    print(f"the fold recommended for the same: median {median(ratios_told):.3f}, worst {max(ratios_told):.3f} ({counts})")
    begun = perf_counter()
    cloth = Cloth("main", 1500.0)
    try_plans(Bench(cloth), cloth, pieces, 125, 1, tools)
    print(f"all folds of one width: {perf_counter() - begun:.1f} s (goal: 30 s)")
    print(f"resident memory at most {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MiB")


def fresh_dresses() -> Iterator[tuple[list[Piece], float]]:
    """Bodies, styles and widths by chance: 10 to 25 pieces of main cloth, no circle parts; and the cloth's width, mm."""
    made, seed = 0, int(sys.argv[1]) if len(sys.argv) > 1 else FRESH_SEED
    while made < FRESH:
        seed += 1
        chance = random.Random(seed)
        style = mixed(chance)
        if style.get("skirt") in ("circle", "none") or style.get("sleeve") in ("flutter", "flared"):
            continue
        try:
            garment = garment_from_json(pieces_for(chance.choice(scattered()), style))
        except TableError:
            continue  # a style that this body cannot have
        pieces = [piece for piece in garment.pieces if piece.cloth == "main"]
        if 10 <= sum(piece.count for piece in pieces) <= 25:
            made += 1
            yield pieces, float(chance.choice([1150, 1400, 1500]))


def _ratios(pieces: Sequence[Piece], width: float, plan: Plan) -> tuple[float, float]:
    """Length over area / U + 2e, and over that or the sum of all edges that lie on the one fold, whichever is more."""
    cloth = Cloth("main", width)
    task = make_task(Bench(cloth), cloth, pieces, plan)
    used = run_task(task, FRESH_TRIALS, 1, Tools(random.Random)).used_mm
    on_fold = [_fold_mm(piece) for piece in pieces if piece.on_fold]
    held = sum(on_fold) + cloth.gap_mm * (len(on_fold) - 1) + 2.0 * cloth.end_mm if plan == "lengthwise" else 0.0
    return used / task.bound_mm, used / max(task.bound_mm, held)


def _recommended(pieces: Sequence[Piece], width: float) -> tuple[str, float]:
    """The plan that is recommended without a print, and its length over area / U + 2e."""
    cloth = Cloth("main", width)
    lay = lay_cloth(cloth, pieces, Ask(None, Budget(FRESH_TRIALS, 1)), Tools(random.Random))
    bound = lay.utilisation * width * lay.cloth_needed_mm / cloth.usable_mm + 2.0 * cloth.end_mm
    return lay.plan, lay.cloth_needed_mm / bound


def _fold_mm(piece: Piece) -> float:
    """How much of the fold its cut line takes."""
    axis = next(edge.points[0][0] for edge in piece.edges if edge.fold)
    ys = [y for x, y in piece.cut_line if abs(x - axis) < 0.05]
    return max(ys) - min(ys)


if __name__ == "__main__":
    main()
