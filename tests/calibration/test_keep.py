"""Nothing kept is lost: kills at random moments, full disk, read-only folder, two programs, a person's own edit."""

import errno
import os
import random
import signal
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from calibration.errors import WrongInput
from calibration.keep import (
    ABSENT,
    ChangedByAnother,
    Damaged,
    NotKept,
    append_line,
    fingerprint_of,
    forget_kept,
    keep,
    load_kept,
    read_kept,
    versions,
)
from calibration.yaml_reader import document_from
from tests.other_user import not_kept_by_nobody, open_to_all

KILLS = 200
SAVERS = """
import os, sys
from pathlib import Path
from calibration.keep import keep
path = Path(sys.argv[1])
for line in sys.stdin:
    child = os.fork()  # a fresh saver each time; this process has no threads and no lock
    if child == 0:
        place = int(line)
        print("pid", os.getpid(), flush=True)
        while True:
            place += 1
            keep(path, f"{place}:" + chr(97 + place % 26) * 20000)
            print(place, flush=True)
    os.waitpid(child, 0)
    print("gone", flush=True)
"""
"""A program that starts a saver for each line (the number to count from) and says when it is gone."""


def is_whole(text: str) -> bool:
    number, _, rest = text.partition(":")
    return rest == chr(97 + int(number) % 26) * 20000


def test_after_a_kill_at_any_moment_the_file_is_old_or_new_and_whole(tmp_path: Path) -> None:
    path, rng, last = tmp_path / "o.yaml", random.Random(11), 0
    keep(path, "0:" + "a" * 20000)
    with subprocess.Popen([sys.executable, "-c", SAVERS, str(path)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as savers:
        assert savers.stdin is not None
        assert savers.stdout is not None
        for _ in range(KILLS):
            print(last, file=savers.stdin, flush=True)
            saver = int(savers.stdout.readline().removeprefix("pid "))
            said = [int(savers.stdout.readline()) for _ in range(rng.randrange(1, 3))]
            for _ in range(rng.randrange(0, 30000)):  # somewhere inside the next save
                pass
            os.kill(saver, signal.SIGKILL)
            while (line := savers.stdout.readline()) != "gone\n":
                said.append(int(line))
            text = path.read_text()
            assert is_whole(text)
            last = int(text.split(":")[0])
            assert last >= max(said)  # what was told as saved is saved
        savers.stdin.close()
    assert len(versions(path)) <= 20
    assert all(is_whole(version.read_text()) for version in versions(path))


def test_twenty_versions_newest_first_private_to_the_owner(tmp_path: Path) -> None:
    path = tmp_path / "book" / "c.yaml"
    for place in range(30):
        keep(path, f"name: {place}\n")
    kept = versions(path)
    assert len(kept) == 20
    assert kept[0].read_text() == "name: 29\n"
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700
    assert {stat.S_IMODE(lock.stat().st_mode) for lock in path.parent.rglob(".lock")} == {0o600}


def test_a_line_added_is_the_owner_s_and_whole_or_not_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A full disk takes a part of a line: the part is taken away again, and the reason is the disk's."""
    path = tmp_path / "book" / "journal"
    append_line(path, b"cut 1\n")
    assert (stat.S_IMODE(path.stat().st_mode), stat.S_IMODE(path.parent.stat().st_mode)) == (0o600, 0o700)
    write = os.write
    monkeypatch.setattr(os, "write", lambda handle, line: write(handle, line[:3]))
    with pytest.raises(OSError, match="No space left") as told:
        append_line(path, b"cut 2\n")
    assert told.value.errno == errno.ENOSPC
    assert path.read_bytes() == b"cut 1\n"


def test_an_output_leaves_nothing_beside_itself(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """No version, no lock, no hidden folder; a failed save leaves the old file alone; half of one goes with the file."""
    path = tmp_path / "papers" / "ticket.pdf"
    keep(path, b"old", versions_kept=0)
    keep(path, b"new", versions_kept=0)
    assert [file.name for file in path.parent.iterdir()] == ["ticket.pdf"]
    assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700

    def full(handle: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patched:
        patched.setattr(os, "fsync", full)
        with pytest.raises(NotKept):
            keep(path, b"newer", versions_kept=0)
    assert path.read_bytes() == b"new"
    assert [file.name for file in path.parent.iterdir()] == ["ticket.pdf"]
    (path.parent / ".ticket.pdf.0a1b2c3d.new").write_bytes(b"new")  # as a power cut leaves it
    assert len(forget_kept(path)) == 2


def test_a_persons_edit_is_noticed_and_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "c.yaml"
    seen = keep(path, "waist: 29\n", seen=ABSENT)
    path.write_text("waist: 30\n")
    with pytest.raises(ChangedByAnother):
        keep(path, "waist: 31\n", seen=seen)
    assert path.read_text() == "waist: 30\n"
    keep(path, "waist: 31\n", seen=fingerprint_of(path.read_bytes()))
    assert any(version.read_text() == "waist: 30\n" for version in versions(path))  # her edit stays as a version


def test_a_damaged_file_names_its_newest_whole_version(tmp_path: Path) -> None:
    path = tmp_path / "c.yaml"
    keep(path, "waist: 29\n")
    path.write_bytes(b"waist: [29\x00")
    with pytest.raises(Damaged) as told:
        load_kept(path, lambda data: document_from(data, "c.yaml"))
    assert told.value.newest is not None
    assert told.value.newest.read_text() == "waist: 29\n"
    assert path.read_bytes() == b"waist: [29\x00"  # nothing is repaired behind her back


def half_saved(folder: Path) -> list[Path]:
    """What a save that failed left lying: files that were never moved into their place."""
    return [file for file in folder.rglob("*") if file.name.endswith(".new")]


def test_a_full_disk_leaves_the_old_file(tmp_path: Path) -> None:
    path = tmp_path / "c.yaml"
    keep(path, "old\n")
    code = (
        "import resource, sys; from pathlib import Path; from calibration.keep import keep, NotKept\n"
        "import signal; signal.signal(signal.SIGXFSZ, signal.SIG_IGN); resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))\n"
        "try:\n    keep(Path(sys.argv[1]), 'x' * 100000)\n"
        "except NotKept as told:\n    print(told.what); sys.exit(7)\n"
    )
    done = subprocess.run([sys.executable, "-c", code, str(path)], capture_output=True, text=True, check=False)
    assert done.returncode == 7, done.stderr
    assert path.read_text() == "old\n"
    assert half_saved(tmp_path) == []


def test_a_read_only_folder_is_told(tmp_path: Path) -> None:
    folder = tmp_path / "ro"
    folder.mkdir()
    path = folder / "c.yaml"
    keep(path, "old\n")
    for place in (folder, *folder.rglob("*")):
        place.chmod(0o555 if place.is_dir() else 0o444)
    open_to_all(tmp_path)
    assert not_kept_by_nobody(lambda: keep(path, "new\n")) == 1
    assert path.read_text() == "old\n"


def test_forgetting_takes_the_versions_too(tmp_path: Path) -> None:
    path = tmp_path / "c.yaml"
    keep(path, "a\n")
    keep(path, "b\n")
    assert len(forget_kept(path)) == 3
    assert not [file for file in tmp_path.rglob("*") if file.is_file() and "lock" not in file.name]
    with pytest.raises(WrongInput):
        read_kept(path)


def test_a_failed_save_leaves_nothing_that_stands_in_the_way_of_forgetting(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "o.yaml"
    keep(path, "old")

    def full(handle: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patched:
        patched.setattr(os, "fsync", full)
        with pytest.raises(NotKept, match="the old one is whole"):
            keep(path, "new")
        with pytest.raises(NotKept, match="nothing was written"):
            keep(tmp_path / "another.yaml", "new")
    assert half_saved(tmp_path) == []
    (tmp_path / ".versions" / "o.yaml" / ".00000009-ab.yaml.new").write_text("half")  # by a power cut
    assert path in forget_kept(path)
    assert [file.name for file in tmp_path.rglob("*") if "o.yaml" in file.name] == []
