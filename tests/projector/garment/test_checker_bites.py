"""Each spoiled draft turns the property that it breaks red; the good ones it was made from are clean.

A check that cannot fail proves nothing: every sentence that the checker can say is brought out here at least once.
"""

import json
from functools import lru_cache
from pathlib import Path
from typing import Any

import pytest

from projector.api import pieces_for
from tests.garment_checker.check import faults
from tests.garment_checker.continuity import moved
from tests.projector.garment import spoils_band as spoils_band
from tests.projector.garment import spoils_contract as spoils_contract
from tests.projector.garment import spoils_finish as spoils_finish
from tests.projector.garment import spoils_shape as spoils_shape
from tests.projector.garment.spoil import Told, fresh
from tests.projector.garment.spoils import GOWN, LONG, SPOILS, Spoilt
from tests.published.size_rows import size_rows
from tests.sentences import unsaid

BODY = size_rows()["misses 12"] | {"underbust": 740.0}
CHECKER = Path(__file__).parents[2] / "garment_checker"


@lru_cache(maxsize=4)
def _good(style: tuple[tuple[str, Any], ...]) -> Told:
    return pieces_for(dict(BODY), dict(style))


def good(style: dict[str, Any]) -> Told:
    """A fresh copy of a good draft, as a reader of the file gets it."""
    return fresh(json.loads(json.dumps(_good(tuple(sorted(style.items()))))))


@pytest.mark.parametrize("style", [LONG, GOWN, {}, spoils_band.OFF], ids=["long", "gown", "default", "off shoulder"])
def test_the_good_drafts_are_clean(style: dict[str, Any]) -> None:
    assert not [str(fault) for fault in faults(good(style), style)]


@pytest.mark.parametrize("spoilt", [pytest.param(each, id=each.spoil.__name__) for each in SPOILS])
def test_spoiled_draft_turns_its_property_red(spoilt: Spoilt) -> None:
    told = good(spoilt.style)
    spoilt.spoil(told)
    found = faults(told, spoilt.style)
    assert any(fault.name == spoilt.rule and spoilt.says in fault.says for fault in found), [str(fault) for fault in found]


MOVED = {
    " come and go": (dict(BODY), {"sleeve": "none"}),
    "the outline moves by ": (BODY | {"bust": BODY["bust"] + 130.0}, LONG),
}


@pytest.mark.parametrize("says", MOVED)
def test_pieces_that_jump_between_bodies_are_seen(says: str) -> None:
    found = list(moved(good(LONG), pieces_for(*MOVED[says])))
    assert any(fault.name == "P22" and says in fault.says for fault in found)


def test_every_sentence_of_the_checker_has_a_spoiled_draft() -> None:
    """A rule that nothing breaks may have been written so that nothing can."""
    said = {(each.rule, each.says) for each in SPOILS} | {("P22", says) for says in MOVED}
    assert unsaid(CHECKER, said) == []
