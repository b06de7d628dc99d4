"""`show` as a program of its own: one JSON line when it answers, nothing else on stdout, a signal ends it with 0."""

import json
import os
import signal
import subprocess
import sys
from pathlib import Path

import httpx2
import pytest

ROOT = Path(__file__).resolve().parents[3]
SHOW = [sys.executable, "-m", "projector", "show"]
BARE = {name: value for name, value in os.environ.items() if name not in ("DISPLAY", "WAYLAND_DISPLAY", "SDL_VIDEODRIVER")}


def test_show_answers_in_one_line_and_ends_with_0_on_both_signals(tmp_path: Path) -> None:
    """The second start is ended while it is still drafting."""
    command = [*SHOW, "configs/orders/sample.yaml", "--no-window", "--json"]
    for name, is_answered in ((signal.SIGTERM, True), (signal.SIGINT, False)):
        child = subprocess.Popen(command, cwd=ROOT, env=BARE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        assert child.stdout is not None
        assert child.stderr is not None
        assert "Drafting" in child.stderr.readline()
        if is_answered:
            told = json.loads(child.stdout.readline())
            assert set(told) == {"format", "url", "port"}
            assert str(told["port"]) in told["url"]
            state = httpx2.get(f"http://127.0.0.1:{told['port']}/state").json()
            assert (state["state"], state["of"] > 10) == ("demonstration", True)
        child.send_signal(name)
        rest, noise = child.communicate(timeout=60)
        assert (child.returncode, rest) == (0, ""), noise


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        (["no-such-order.yaml", "--no-window"], 2),
        (["configs/orders/sample.yaml", "--table", "no-such-table.yaml"], 2),
        (["configs/orders/sample.yaml", "--window"], 1),
        (["configs/orders/sample.yaml", "--window", "--no-window"], 2),
    ],
)
def test_what_cannot_be_shown_is_told_in_three_sentences(arguments: list[str], code: int) -> None:
    done = subprocess.run([*SHOW, *arguments, "--json"], cwd=ROOT, env=BARE, capture_output=True, text=True, check=False)
    assert done.returncode == code, done.stderr
    assert set(json.loads(done.stdout)["error"]) == {"what", "why", "next"}
