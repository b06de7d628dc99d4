"""What README.md promises: its messages are ours, its pictures are there, its commands are known."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

from calibration.__main__ import app as calibration_app
from calibration.command_line import run_app
from projector.__main__ import app as projector_app

ROOT = Path(__file__).resolve().parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
APPS = {"projector": projector_app, "calibration": calibration_app}
ASKED = r"python -m (projector|calibration) ([a-z]+)([^`\n]*)"
"""A command as the README writes it: program, command, the rest of the line."""


def messages() -> list[str]:
    """First column of the table of messages."""
    table = README[README.index("| message | do |") :].split("\n\n")[0].splitlines()[2:]
    return [line.split("|")[1].strip() for line in table]


@pytest.mark.parametrize("message", messages())
def test_each_message_of_the_table_is_one_of_ours(message: str) -> None:
    files = [*ROOT.glob("projector/**/*.py"), *ROOT.glob("calibration/**/*.py")]
    source = re.sub(r"[{][^{}]*[}]", "…", "\n".join(file.read_text(encoding="utf-8") for file in files)).casefold()
    for way in message.split(" / "):
        parts = [part for part in map(str.strip, way.casefold().split("…")) if len(part) >= 4]
        assert parts, f"{way}: nothing to look for"
        assert [part for part in parts if part not in source] == []


def test_pictures_and_files_it_names_are_there() -> None:
    pictures, files = re.findall(r"\]\((configs/[^)]+)\)", README), re.findall(r"`(configs/[\w./]+)`", README)
    assert pictures
    assert [name for name in (*pictures, *files) if not (ROOT / name).is_file()] == []


@pytest.mark.parametrize("name", sorted(set(re.findall(r"python -m (?:projector|calibration) [a-z]+", README))))
def test_its_commands_are_known(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    _, _, program, command = name.split()
    assert run_app(APPS[program], [command, "--help"]) == 0
    capsys.readouterr()


def test_options_it_names_are_known(capsys: pytest.CaptureFixture[str]) -> None:
    asked = [(*found[:2], re.findall(r"--[a-z]+", found[2])) for found in re.findall(ASKED, README)]
    assert sum(len(options) for *_, options in asked) > 10
    for program, command, options in asked:
        assert run_app(APPS[program], [command, "--help"]) == 0
        told = capsys.readouterr().out
        assert [option for option in options if option not in told] == [], command


def test_its_first_command_starts_without_a_display() -> None:
    told = subprocess.run([sys.executable, "-m", "projector", "--help"], cwd=ROOT, capture_output=True, text=True, check=True).stdout
    commands = re.findall(r"\| `projector ([a-z]+)", README)
    assert commands
    assert [command for command in commands if command not in told] == []
