"""Orders made by chance: every lay is sound by both checkers, every refusal is in words, nothing else is raised.

`python -m tests.projector.lay.chance_orders FIRST LAST` runs any number of them; 0 to 300 were run.
"""

import pytest

from tests.projector.lay.chance_orders import judged

SEEDS = (6, 9, 33, 41, 66, 70, 76, 103)
"""Folds along, across and in quarters, prints, several lengths, flaws; a flaw beyond all pieces (41), cloth a hair too short (76)."""


@pytest.mark.parametrize("seed", SEEDS)
def test_an_order_made_by_chance_is_sound_or_refused_in_words(seed: int) -> None:
    verdict = judged(seed, trials=10)
    assert verdict.kind != "faulty", verdict.words
