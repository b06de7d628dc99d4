"""Each spoiled draft turns the property that it breaks red; the good ones it was made from are clean.

A check that cannot fail proves nothing: every property of the checker is broken here at least once.
"""

import json
from functools import lru_cache
from typing import Any

import pytest

from projector.api import pieces_for
from tests.garment_checker.check import faults
from tests.garment_checker.continuity import moved
from tests.projector.garment import spoils_band as spoils_band
from tests.projector.garment import spoils_shape as spoils_shape
from tests.projector.garment.spoil import Told, fresh
from tests.projector.garment.spoils import GOWN, LONG, SPOILS, Spoil
from tests.published.size_rows import size_rows

BODY = size_rows()["misses 12"] | {"underbust": 740.0}


@lru_cache(maxsize=4)
def _good(style: tuple[tuple[str, Any], ...]) -> Told:
    return pieces_for(dict(BODY), dict(style))


def good(style: dict[str, Any]) -> Told:
    """A fresh copy of a good draft, as a reader of the file gets it."""
    return fresh(json.loads(json.dumps(_good(tuple(sorted(style.items()))))))


@pytest.mark.parametrize("style", [LONG, GOWN, {}, spoils_band.OFF], ids=["long", "gown", "default", "off shoulder"])
def test_the_good_drafts_are_clean(style: dict[str, Any]) -> None:
    assert not [str(fault) for fault in faults(good(style), style)]


@pytest.mark.parametrize(("property_name", "style", "spoil"), [pytest.param(p, s, f, id=n) for p, n, s, f in SPOILS])
def test_spoiled_draft_turns_its_property_red(property_name: str, style: dict[str, Any], spoil: Spoil) -> None:
    told = good(style)
    spoil(told)
    found = faults(told, style)
    assert property_name in {fault.name for fault in found}, [str(fault) for fault in found]


def test_pieces_that_jump_between_bodies_are_seen() -> None:
    other = pieces_for(BODY | {"bust": BODY["bust"] + 130.0}, LONG)
    assert {fault.name for fault in moved(good(LONG), other)} == {"P22"}


def test_the_checker_shares_no_code_with_the_product() -> None:
    import ast
    from pathlib import Path

    for file in (Path(__file__).parents[2] / "garment_checker").glob("*.py"):
        names = {
            name.split(".")[0]
            for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
            if isinstance(node, ast.Import | ast.ImportFrom)
            for name in ([node.module or ""] if isinstance(node, ast.ImportFrom) else [alias.name for alias in node.names])
        }
        assert not names & {"projector", "calibration"}, file
