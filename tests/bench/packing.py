"""`python -m tests.bench.packing [seconds [set]]`: public sets laid open, utilisation over the best published (goals 0.92 own, 0.95 extra).

Own search is given seconds of its own processor time; the extra seconds by the clock, as it is used, and told is how much of them it ran.
"""

import random
import sys
from time import process_time

from calibration.records import record_from
from projector.lay.cloth import Budget, Light
from projector.lay.outlines import OutlinesCard, lay_outlines
from projector.lay.task import Tools
from projector.lay_extra import has_extra
from projector.lay_jobs import search_tools
from tests.bench.children import children_s
from tests.bench.packing_sets import SETS, PackingSet

ENDLESS = Budget(10**9, 1)


def share(one: PackingSet, tools: Tools) -> tuple[float, int]:
    """Utilisation over the best published, and the trials made."""
    card = record_from(OutlinesCard, one.card(), one.name)
    lay = lay_outlines(card, one.strip * one.scale, ENDLESS, Light(), tools)
    return lay.utilisation / one.best, lay.trials


def main() -> None:
    """One line a set."""
    seconds = float(sys.argv[1]) if len(sys.argv) > 1 else 20.0
    wanted = sys.argv[2:]
    for one in SETS:
        if wanted and one.name not in wanted:
            continue
        end = process_time() + seconds
        own, trials = share(one, Tools(random.Random, lambda end=end: process_time() < end))  # type: ignore[misc]
        line = f"{one.name}: own search {own:.3f} of the best published ({trials} trials)"
        if has_extra():
            before = children_s()
            line += f", with the extra {share(one, search_tools(seconds))[0]:.3f} ({children_s() - before:.1f} s of processor)"
        print(line, flush=True)


if __name__ == "__main__":
    main()
