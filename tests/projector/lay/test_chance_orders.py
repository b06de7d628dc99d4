"""Orders made by chance: every lay is sound by both checkers, every refusal is in words, nothing else is raised.

`python -m tests.projector.lay.chance_orders FIRST LAST` runs any number of them; 0 to 300 were run.
"""

import pytest

from tests.projector.lay.chance_orders import judged

ORDERS = {
    6: ("refused", "quarters_along", "sleeve is 514 mm"),
    9: ("laid", "crosswise", ""),
    33: ("laid", "crossed_four", ""),
    41: ("laid", "off_centre", ""),  # with a flaw beyond all pieces
    66: ("refused", "quarters_along", "The back is on a fold"),
    70: ("laid", "open", ""),
    76: ("laid", "open", ""),  # cloth a hair too short for the first lay
    103: ("refused", "crosswise", "the flaws with it"),
}
"""By seed: what becomes of it, on which fold, words of the refusal. Prints and several lengths are among them."""


@pytest.mark.parametrize("seed", ORDERS)
def test_an_order_made_by_chance_is_laid_soundly_or_refused_in_words(seed: int) -> None:
    kind, plan, words = ORDERS[seed]
    verdict = judged(seed, trials=10)
    assert (verdict.kind, verdict.plan) == (kind, plan), verdict.words
    assert words in " ".join(verdict.words)
