"""`python -m tests.bench.lay`: first lay, trials per second, all folds of one width, length over the bound; medians. Memory at the end."""

import random
import resource
from statistics import median
from time import perf_counter

from projector.api import pieces_for
from projector.lay.choose import try_plans
from projector.lay.cloth import Cloth
from projector.lay.lay import Plan
from projector.lay.search import first_lay, improve
from projector.lay.task import Bench, Tools, make_task, run_task
from projector.steps.given import garment_from_json

BODY = {"bust": 920.0, "waist": 740.0, "hip": 990.0, "nape_waist": 400.0, "stature": 1650.0, "upper_arm": 290.0, "wrist": 165.0}
STYLES = ({"sleeve": "long"}, {"skirt": "a_line", "sleeve": "short"}, {"skirt": "tapered", "length": "full"})
TRIALS = 600


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
    begun = perf_counter()
    cloth = Cloth("main", 1500.0)
    try_plans(Bench(cloth), cloth, pieces, 125, 1, tools)
    print(f"all folds of one width: {perf_counter() - begun:.1f} s (goal: 30 s)")
    print(f"resident memory at most {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MiB")


if __name__ == "__main__":
    main()
