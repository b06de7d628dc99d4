"""A damaged book asked of the page: three sentences and the newest whole version, as on the command line; never a bare failure."""

import json
from pathlib import Path
from typing import Any

import pytest

from projector.desk.desk import Desk
from projector.desk.pages import Pages
from projector.web.app import make_app
from projector.web.guard import Guard
from tests.projector.made_up import table, work
from tests.projector.web.asking import OWN, ask

CARD = {"name": "Ottilie", "measures": {"waist": "29 in"}}


@pytest.fixture
def app(tmp_path: Path) -> Guard:
    desk = Desk(work(), table("ready"), tmp_path / "t.yaml", None)
    made = make_app(desk, None, pages=Pages(desk, tmp_path / "book"))
    assert asked(made, "/book/clients", {"data": CARD, "seen": ""})[0] == 200
    return made


def asked(app: Guard, path: str, data: dict[str, Any] | None = None) -> tuple[int, dict[str, Any]]:
    answer = ask(app, path, "GET" if data is None else "POST", OWN, b"" if data is None else json.dumps(data).encode())
    return answer.status, json.loads(answer.body)


@pytest.mark.parametrize("damage", [b"name: [", b"- a list\n", b"\xff\xfe"])
def test_a_damaged_card_names_its_newest_whole_version(app: Guard, tmp_path: Path, damage: bytes) -> None:
    card = tmp_path / "book" / "clients" / "Ottilie.yaml"
    card.write_bytes(damage)
    for path, data in (("/book/clients/Ottilie", None), ("/fitting/Ottilie", {"fitting": {"note": "taken in"}})):
        status, told = asked(app, path, data)
        assert status == 400
        assert "newest whole version" in told["error"]["next"]
        assert card.read_bytes() == damage


def test_a_folder_of_cards_that_cannot_be_opened_is_told(app: Guard, tmp_path: Path) -> None:
    (tmp_path / "book" / "orders").write_text("a file in the folder's place")
    status, told = asked(app, "/book")
    assert status == 400
    assert "orders cannot be opened" in told["error"]["what"]
