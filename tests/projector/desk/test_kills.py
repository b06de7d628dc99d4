"""Losing power, disk and patience at random: what was told as done is done, where she stood is there, and she is told.

A kill leaves what the system holds; a power cut also takes that, so everything written must reach the disk itself within 0.5 s.
"""

import asyncio
import contextlib
import json
import os
import pickle
import random
import re
import resource
import signal
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calibration.errors import Refused, WrongInput
from calibration.keep import Damaged, NotKept
from projector.desk.desk import Desk
from projector.desk.jobs import CALLED, JobFailed
from projector.desk.journal import SYNC_S, Claim, Journal
from projector.desk.tasks import keep_lay
from projector.desk.worker import Worker
from projector.session.commands import Command
from projector.session.snapshot import ClothAt
from tests.other_user import not_kept_by_nobody, open_to_all
from tests.projector.desk.killed import STEPS, long_work
from tests.projector.made_up import table, work
from tests.projector.steps.by_hand import garment, lay, placed, rectangle

CHILD = """
from importlib import import_module
from types import SimpleNamespace
from projector.desk import jobs, {0} as child
child.import_module = lambda name: SimpleNamespace(ready=int, no_order=int) if "tasks" in name else import_module(name)
child._child()
"""
"""The child as it is started, its tasks put in place of the real ones, which take a second to import."""
WORK = work()
SKIRT = rectangle("skirt", 200.0, 300.0)
LAY = lay([placed(SKIRT, (20.0, 20.0), ["main-1.1"])])
ROOT = Path(__file__).resolve().parents[3]


def kill_desks(journal: Path, kills: int, seed: int = 5) -> None:
    """Start, kill at a random moment, look what the next start finds."""
    chance, facts, moved = random.Random(seed), 0, long_work().arrivals.get(0, ClothAt()).x_mm
    start = [sys.executable, "-m", "tests.projector.desk.killed", str(journal)]
    with subprocess.Popen(start, cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as desks:
        assert desks.stdin is not None
        assert desks.stdout is not None
        for _ in range(kills):
            print("again", file=desks.stdin, flush=True)
            child = int(desks.stdout.readline().split()[1])
            said = [desks.stdout.readline().split() for _ in range(chance.randrange(0, 6))]
            for _ in range(chance.randrange(0, 40_000)):  # somewhere inside the next command
                pass
            os.kill(child, signal.SIGKILL)
            while (line := desks.stdout.readline()) != "gone\n":
                assert line, "all was cut before it could be killed"
                said.append(line.split())
            facts = max([facts, *(int(told[1]) + 1 for told in said if told[0] == "done")])
            moved = max([moved, *(float(told[1]) for told in said if told[0] == "x")])
            stood = Journal(journal, long_work()).resumed.stood
            if facts == 0 and stood is None:
                continue
            assert stood is not None
            assert len(stood.done) in (facts, facts + 1), "every cut that was told is there; one more may not have been told"
            assert stood.done == tuple(range(len(stood.done)))
            assert stood.cloth_at.x_mm in (moved, moved + 1.0), "no nudge that was told is lost"
            facts, moved = len(stood.done), stood.cloth_at.x_mm
        desks.stdin.close()
    assert 0 < facts < STEPS


def test_a_desk_killed_at_sixty_moments_loses_nothing_it_told(tmp_path: Path) -> None:
    kill_desks(tmp_path / "journal" / "long.jsonl", 60)


@pytest.mark.long
@pytest.mark.timeout(900)
def test_a_desk_killed_at_four_hundred_moments(tmp_path: Path) -> None:
    for seed in range(10, 20):  # on ten journals: one would be cut to its end before the last kill
        kill_desks(tmp_path / "journal" / f"{seed}.jsonl", 40, seed)


def test_a_nudge_reaches_the_disk_itself_within_half_a_second(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    synced = threading.Event()
    desk = Desk(WORK, table("ready"), None, tmp_path / "o.jsonl")
    desk.apply(Command("done"))
    monkeypatch.setattr(os, "fsync", lambda handle: synced.set())
    desk.apply(Command("move", {"dx_mm": 1.0}))
    assert not synced.is_set(), "off the loop, a moment later"
    assert synced.wait(30)
    assert SYNC_S <= 0.5


@contextmanager
def full_disk(path: Path, room: int) -> Iterator[None]:
    """No file may grow by more than `room` bytes over this one: as a disk that is full (the signal is not raised)."""
    before, ignored = resource.getrlimit(resource.RLIMIT_FSIZE), signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (path.stat().st_size + room, before[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
        signal.signal(signal.SIGXFSZ, ignored)


@pytest.mark.parametrize("room", [0, 1, 100])
def test_a_full_disk_takes_no_cut_for_done_and_says_so(tmp_path: Path, room: int) -> None:
    """A nudge goes on and is told as not written; a cut is refused; with room again both are written, and no half line is left."""
    path = tmp_path / "o.jsonl"
    desk = Desk(WORK, replace(table("ready"), spots=()), None, path)
    desk.apply(Command("done"))
    with full_disk(path, room):
        nudged = desk.apply(Command("move", {"dx_mm": 1.0}))
        assert nudged.message is not None
        assert "not written down" in nudged.message.what
        with pytest.raises(NotKept, match="not written down"):
            desk.apply(Command("done"))
        assert desk.snapshot == nudged
    assert all(json.loads(line) for line in path.read_bytes().splitlines())
    desk.apply(Command("done"))
    stood = Journal(path, WORK).resumed.stood
    assert stood is not None
    assert (stood.done, stood.cloth_at) == ((0, 1), desk.snapshot.cloth_at)


def test_a_read_only_folder_is_told(tmp_path: Path) -> None:
    """Neither is the order held nor a cut taken for done."""
    folder = tmp_path / "journal"
    folder.mkdir()
    folder.chmod(0o555)
    open_to_all(tmp_path)
    path = folder / "o.jsonl"

    def held() -> None:
        with Claim().taking(path):
            pass

    assert not_kept_by_nobody(held, lambda: Desk(WORK, table("ready"), None, path).apply(Command("done"))) == 2
    assert list(folder.iterdir()) == []


HOLDER = """
import sys
from pathlib import Path
from projector.desk.journal import Claim
with Claim().taking(Path(sys.argv[1])):
    print("held", flush=True)
    sys.stdin.read()
"""


def test_two_programs_do_not_cut_one_order_and_a_killed_one_lets_go(tmp_path: Path) -> None:
    journal = tmp_path / "journal" / "o.jsonl"
    with subprocess.Popen(
        [sys.executable, "-c", HOLDER, str(journal)], cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as other:
        assert other.stdout is not None
        assert other.stdout.readline() == "held\n"
        claim = Claim()
        with claim.taking(tmp_path / "journal" / "mine.jsonl"):
            pass
        with pytest.raises(Refused, match="on a table already"), claim.taking(journal):
            pass
        with pytest.raises(Refused, match="on a table already"), Claim().taking(tmp_path / "journal" / "mine.jsonl"):
            pass  # what was refused another has not lost its own
        other.kill()
    with claim.taking(journal):
        pass
    with Claim().taking(tmp_path / "journal" / "mine.jsonl"):
        pass  # let go by taking another
    claim.release()


@pytest.fixture(scope="module")
def cut_twice(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A journal of two cuts, made once."""
    path = tmp_path_factory.mktemp("journal") / "o.jsonl"
    desk = Desk(WORK, table("ready"), None, path)
    for name in ("done", "grid", "done"):
        desk.apply(Command(name))
    return path


@settings(max_examples=60, deadline=None, derandomize=True)
@given(at=st.integers(0, 5000), put=st.binary(max_size=30), cut=st.integers(0, 40))
def test_a_damaged_journal_is_resumed_or_refused_in_words(cut_twice: Path, at: int, put: bytes, cut: int) -> None:
    """What is resumed holds no cut that was not made."""
    data, path = cut_twice.read_bytes(), cut_twice.with_name("damaged.jsonl")
    where = at % len(data)
    path.write_bytes(data[:where] + put + data[where + cut :])
    with contextlib.suppress(WrongInput):  # three sentences; anything else is a defect
        resumed = Journal(path, WORK).resumed
        assert resumed.stood is None or set(resumed.stood.done) <= {0, 1}


@pytest.mark.parametrize("data", [b"", b"{", b"[]", b'{"made_for": "x"}', b'{"made_for": "x", "lay": {"fold": 3}}', b"\xff\0"])
def test_a_damaged_lay_names_its_newest_whole_version(tmp_path: Path, data: bytes) -> None:
    """The lay she cuts by is read again by its version, never laid another way in mid-cut."""
    file, dress = tmp_path / "o.lay.json", garment([SKIRT])
    keep_lay(file, LAY, dress, {})
    whole = file.read_bytes()
    file.write_bytes(data)
    with pytest.raises(Damaged) as told:
        keep_lay(file, LAY, dress, {})
    assert told.value.newest is not None
    assert told.value.newest.read_bytes() == whole
    assert file.read_bytes() == data


def test_a_killed_or_hung_worker_is_told_and_the_next_one_answers() -> None:
    async def whole() -> None:
        worker = Worker(2.0)
        for name in (signal.SIGKILL, signal.SIGSTOP):
            asked = asyncio.ensure_future(worker.run("look", {"order": {}, "book": Path()}))
            while worker.pid is None:
                await asyncio.sleep(0)
            os.kill(worker.pid, name)
            with pytest.raises(JobFailed, match="Drawing the dress did not finish") as told:
                await asked
            assert "Error" not in str(told.value)
            assert ("stopped after 2 s" in told.value.why) == (name is signal.SIGSTOP)
            assert worker.pid is None
        await worker.close()

    asyncio.run(whole())


def test_a_child_whose_desk_was_killed_ends_without_a_word() -> None:
    """It once wrote a traceback over the lines of whoever started the table again."""
    asked = pickle.dumps(("ready", {}))
    for module, sent in (("worker", len(asked).to_bytes(8, "big") + asked), ("jobs", pickle.dumps(("no_order", {})))):
        start = [sys.executable, "-c", CHILD.format(module)]
        with subprocess.Popen(start, cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as child:
            assert child.stdout is not None
            child.stdout.close()  # the desk's end, gone before the answer
            child.stdout = None
            assert child.communicate(sent, 100)[1] == b""
            assert child.returncode == 0


def test_every_task_the_desk_asks_for_has_a_name_for_her() -> None:
    source = "\n".join(file.read_text() for file in (ROOT / "projector" / "desk").glob("*.py"))
    asked = set(re.findall(r'\.run\("(\w+)"', source))
    assert len(asked) >= 12
    assert asked <= set(CALLED)


def test_more_drawings_than_can_wait_are_refused() -> None:
    async def whole() -> None:
        worker = Worker()
        asked = [asyncio.ensure_future(worker.run("look", {"order": {}, "book": Path()})) for _ in range(40)]
        told = await asyncio.gather(*asked, return_exceptions=True)
        await worker.close()
        kinds = [type(each) for each in told]
        assert kinds.count(Refused) >= 30, "refused at once"
        assert kinds.count(WrongInput) == 40 - kinds.count(Refused), "the others are answered (no order is named)"

    asyncio.run(whole())
