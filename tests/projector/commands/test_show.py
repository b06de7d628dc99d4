"""`show` as a program of its own: one JSON line when it answers, nothing else on stdout, a signal ends it with 0."""

import json
import os
import signal
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import httpx2
import pytest

from calibration.errors import WrongInput
from calibration.keep import Damaged
from calibration.table import Table
from projector.book.places import BOOK_VARIABLE
from projector.desk.keys_file import read_keys
from projector.desk.start import Showing, sheets_file, table_file, table_for

ROOT = Path(__file__).resolve().parents[3]
SHOW = [sys.executable, "-m", "projector", "show"]
BARE = {name: value for name, value in os.environ.items() if name not in ("DISPLAY", "WAYLAND_DISPLAY", "SDL_VIDEODRIVER")}


def test_show_answers_in_one_line_and_ends_with_0_on_both_signals(tmp_path: Path) -> None:
    """The second start is ended while it is still drafting."""
    command = [*SHOW, "configs/orders/sample.yaml", "--no-window", "--json"]
    apart = {**BARE, BOOK_VARIABLE: str(tmp_path)}  # the tester's own book may hold a calibrated table
    for name, is_answered in ((signal.SIGTERM, True), (signal.SIGINT, False)):
        child = subprocess.Popen(command, cwd=ROOT, env=apart, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
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


def test_the_table_kept_in_the_book_is_the_one_she_works_at(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Calibrated once, it is there at the next start without a word; the sample order stays a demonstration."""
    showing = Showing("sample", book=tmp_path)
    first = table_for(showing)
    assert first is not None
    assert first.is_demonstration
    real = replace(Table.demonstration((1920, 1080)), is_demonstration=False)
    real.write(table_file(showing))
    kept = table_for(showing)
    assert kept is not None
    assert (kept.is_demonstration, kept.size) == (False, (1920, 1080))
    sample = table_for(replace(showing, is_kept=False))
    assert sample is not None
    assert sample.is_demonstration
    assert table_for(replace(showing, is_calibrating=True)) is None
    with pytest.raises(WrongInput):
        table_for(replace(showing, table=tmp_path / "elsewhere.yaml"))
    table_file(showing).write_bytes(b"\xff")
    with pytest.raises(Damaged):
        table_for(showing)
    monkeypatch.chdir(tmp_path)
    assert sheets_file(showing) is None
    (tmp_path / "sheets").mkdir()
    (tmp_path / "sheets" / "sheets.json").write_text("{}")
    assert sheets_file(showing) == Path("sheets/sheets.json")


def test_a_folder_in_the_place_of_table_or_keys_is_told(tmp_path: Path) -> None:
    """Passed over, the table would have become a demonstration and her keys the program's own, without a word."""
    showing = Showing("sample", book=tmp_path)
    table_file(showing).mkdir(parents=True)
    with pytest.raises(WrongInput):
        table_for(showing)
    (tmp_path / "keys.yaml").mkdir()
    with pytest.raises(WrongInput):
        read_keys(tmp_path)
