"""A power cut in mid-write: she stands where she stood, and what was cut stays cut."""

import json
from dataclasses import replace
from pathlib import Path

import pytest

from calibration.errors import WrongInput
from calibration.keep import Damaged, versions
from projector.desk.desk import Desk
from projector.desk.journal import Journal
from projector.session.change import apply
from projector.session.commands import Command
from projector.session.snapshot import Snapshot
from tests.projector.made_up import snapshot, table, work

WORK = work()


def _cut_some(path: Path) -> Snapshot:
    journal, held = Journal(path, WORK), snapshot()
    for command in (Command("move", {"dx_mm": 10.0}), Command("done"), Command("colour"), Command("done"), Command("back")):
        held = apply(held, WORK, command)
        journal.write(held, command.name)
    return held


def test_where_she_stood_comes_back(tmp_path: Path) -> None:
    held = _cut_some(tmp_path / "sample.jsonl")
    resumed = Journal(tmp_path / "sample.jsonl", WORK).resumed
    assert resumed.is_same
    stood = resumed.stood
    assert stood is not None
    assert (stood.step, stood.done, stood.colour, stood.cloth_at) == (held.step, (0, 1), held.colour, held.cloth_at)


def test_a_power_cut_loses_no_fact_that_was_on_the_disk(tmp_path: Path) -> None:
    """Prefixes of the file, as a power cut may leave it: at each line's end, just behind it, in mid-line and near its end. The facts
    of its whole lines, never an error."""
    path = tmp_path / "sample.jsonl"
    _cut_some(path)
    data = path.read_bytes()
    facts_after = [(data[: at + 1].count(b"\n"), at + 1) for at, byte in enumerate(data) if byte == 10]
    for lines, end in [(0, 0), *facts_after]:
        for cut in {end, end + 1, end + 60, min(len(data), end + 301)}:
            torn = tmp_path / f"{lines}-{cut}" / "torn.jsonl"  # a folder each: versions of another life would be told
            torn.parent.mkdir(exist_ok=True)
            torn.write_bytes(data[:cut])
            whole = data[:cut].count(b"\n")
            want = (0, 1) if whole >= 4 else (0,) if whole >= 2 else ()
            stood = Journal(torn, WORK).resumed.stood
            assert (stood.done if stood else ()) == want, (lines, cut)
            again, held = Journal(torn, WORK), apply(snapshot(), WORK, Command("done"))
            again.write(held, "done")
            after = Journal(torn, WORK).resumed.stood
            assert after is not None
            assert set(want) | {0} == set(after.done), "a torn tail swallows nothing written after it"


def _damaged(path: Path, data: bytes) -> Journal:
    path.write_bytes(data)
    return Journal(path, WORK)


def test_a_damaged_line_is_none_and_is_told(tmp_path: Path) -> None:
    """Steps that are none once ended the desk in an IndexError, a step less than 0 was taken for a cut, another digit for another cut."""
    path = tmp_path / "sample.jsonl"
    _cut_some(path)
    data = path.read_bytes()
    lines = data.splitlines(keepends=True)
    last, before = lines[-1], b"".join(lines[:-1])
    old = {key: value for key, value in json.loads(last).items() if key != "check"}
    beyond = [json.dumps({**old, "stood": {**old["stood"], "done": done}}).encode() + b"\n" for done in ([0, 1, 99], [-1], [10**30])]
    for bad in (last.replace(b"[0, 1]", b"[0, 2]"), last.replace(b'"see"', b'"sea"'), b"\0" * 300, *beyond):
        assert bad != last
        resumed = _damaged(path, before + bad).resumed
        assert resumed.stood is not None
        assert (resumed.stood.done, resumed.is_torn) == ((0, 1), True), bad
        path.write_bytes(before + bad)
        message = Desk(WORK, table("ready"), None, path).snapshot.message
        assert message is not None
        assert "cannot be read" in message.what
    assert not _damaged(path, data).resumed.is_torn


def test_a_journal_without_a_whole_line_is_never_taken_for_nothing_cut(tmp_path: Path) -> None:
    path = tmp_path / "sample.jsonl"
    _cut_some(path)
    data = path.read_bytes()
    with pytest.raises(WrongInput, match="what was cut is not known"):
        _damaged(path, b"\0" * len(data))
    _damaged(path, data)  # opened again: a version tells of the cuts
    for bad in (b"", b"\0" * 100, b'{"format": 1, "at', b"\xff" * len(data)):
        with pytest.raises(Damaged) as told:
            _damaged(path, bad)
        assert told.value.newest in versions(path)
        assert path.read_bytes() == bad


def test_resumed_with_cuts_the_light_is_put_on_the_cloth_first(tmp_path: Path) -> None:
    _cut_some(tmp_path / "sample.jsonl")
    desk = Desk(WORK, table("ready"), None, tmp_path / "sample.jsonl")
    assert desk.snapshot.done == (0, 1)
    assert not desk.snapshot.is_cloth_true
    assert versions(tmp_path / "sample.jsonl"), "the old journal is kept as a version"


def test_cuts_of_another_lay_are_not_taken_for_these(tmp_path: Path) -> None:
    _cut_some(tmp_path / "sample.jsonl")
    other = replace(WORK, steps=WORK.steps[:3])
    desk = Desk(other, table("ready"), None, tmp_path / "sample.jsonl")
    assert desk.snapshot.done == ()
    assert desk.snapshot.message is not None
    assert "not the lay that was cut" in desk.snapshot.message.what


def test_a_demonstration_keeps_nothing(tmp_path: Path) -> None:
    desk = Desk(WORK, table("demonstration"), None, tmp_path / "sample.jsonl")
    desk.apply(Command("done"))
    assert not list(tmp_path.iterdir())
