"""The program itself killed at random moments while a phone presses on, again and again: what was answered is there at the next start."""

import http.client
import json
import random
import signal
from pathlib import Path
from typing import Any

import pytest

from tests.projector.made_up import table
from tests.served import Served, served

STARTS = 12


def press_until_killed(program: Served, chance: random.Random, state: dict[str, Any]) -> dict[str, Any]:
    """Commands over one line; the kill falls somewhere inside one of them. Returns the last state that was answered."""
    cookie, line, last = program.cookie(), program.connection(), chance.randrange(3, 40)
    for number in range(last + 40):
        name, args = chance.choice([("next", {}), ("back", {}), ("done", {}), ("move", {"dx_mm": 1.0}), ("grid", {}), ("done", {})])
        body = json.dumps({"name": name, "args": args, "from_step": state["step"]})
        if number == last:
            program.child.send_signal(signal.SIGKILL)
        try:
            line.request("POST", "/command", body, {"Cookie": cookie})
            answer = line.getresponse()
            told = json.loads(answer.read())
        except (OSError, http.client.HTTPException):
            return state
        if answer.status == 200:
            state = told
        elif answer.status == 409 and not told["error"]["why"].startswith("Nothing"):
            for each in ("leave", "align", "fix", "fix"):  # the light onto the cut edges, as after every power cut
                line.request("POST", "/command", json.dumps({"name": each}), {"Cookie": cookie})
                line.getresponse().read()
    raise AssertionError("it answers although it was killed")


@pytest.mark.long
@pytest.mark.timeout(900)
def test_what_was_answered_is_there_at_the_next_start(tmp_path: Path) -> None:
    chance, table_file = random.Random(3), tmp_path / "table.yaml"
    table("ready").write(table_file)
    before: dict[str, Any] | None = None
    for _ in range(STARTS):
        with served("tomasina_plain", tmp_path / "book", "--table", str(table_file)) as program:
            told = program.send("GET", "/state", None, {"Cookie": program.cookie()}).json
            if before is not None:
                assert set(before["done"]) <= set(told["done"]), "every cut that was answered"
                assert abs(told["step"] - before["step"]) <= 1, "the step, but for the one command that got no answer"
            before = press_until_killed(program, chance, told)
    assert before is not None
    assert len(before["done"]) > 5
