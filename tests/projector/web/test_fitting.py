"""A fitting kept from the page: once however often the thumb taps, and never an empty one, which alone narrows the next allowances."""

from pathlib import Path
from typing import Any

import pytest

from projector.book.orders import read_client
from projector.desk.desk import Desk
from projector.desk.pages import Pages
from projector.web.app import make_app
from projector.web.guard import Guard
from tests.projector.made_up import table, work
from tests.projector.web.test_damaged_book import CARD, asked

PINNED: dict[str, Any] = {
    "day": "2026-11-30", "kind": "figure", "order": "blue", "note": "",
    "changes": {"side_hip": "+1/2 in"}, "left": {"hem": "-1"}, "right": {},
}  # fmt: skip


@pytest.fixture
def app(tmp_path: Path) -> Guard:
    desk = Desk(work(), table("ready"), tmp_path / "t.yaml", None)
    made = make_app(desk, None, pages=Pages(desk, tmp_path / "book"))
    assert asked(made, "/book/clients", {"data": {**CARD, "unit": "in"}, "seen": ""})[0] == 200
    return made


def kept(tmp_path: Path) -> int:
    return len(read_client(tmp_path / "book" / "clients" / "Ottilie.yaml").card.fittings)


def test_the_same_fitting_tapped_twice_is_kept_once(app: Guard, tmp_path: Path) -> None:
    """Twice kept, the seam of the next dress would be let out twice."""
    for _ in range(3):
        status, told = asked(app, "/fitting/Ottilie", {"fitting": PINNED})
        assert (status, told["name"], told["fittings"]) == (200, "Ottilie", 1)
    assert kept(tmp_path) == 1
    assert asked(app, "/fitting/Ottilie", {"fitting": {**PINNED, "changes": {"side_hip": "+5/8 in"}}})[1]["fittings"] == 2


@pytest.mark.parametrize("note", ["", "  "])
def test_a_fitting_without_a_pin_is_refused(app: Guard, tmp_path: Path, note: str) -> None:
    status, told = asked(app, "/fitting/Ottilie", {"fitting": {**PINNED, "changes": {}, "left": {}, "note": note}})
    assert (status, told["error"]["what"]) == (400, "Nothing was pinned.")
    assert kept(tmp_path) == 0
