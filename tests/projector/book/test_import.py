"""Two books that went apart and one zip: the newer file stays whichever side it is on, it is said by name, and nothing is lost."""

import os
import time
import zipfile
from pathlib import Path

import pytest

import projector.book.packed
from calibration.command_line import run_app
from calibration.keep import NotKept, keep, versions
from projector.book import book as kept
from projector.book.packed import export, import_from
from projector.commands.app import app

DAY_S = 86_400.0


def card(waist: str) -> str:
    return f"name: Ada\nunit: in\nday: 2026-10-01\nmeasures: {{bust: 36, waist: {waist}, hip: 39}}\n"


def written(file: Path, text: str | bytes, days_ago: float) -> None:
    keep(file, text)
    moment = time.time() - days_ago * DAY_S
    os.utime(file, (moment, moment))


def zipped(tmp_path: Path, files: dict[str, str | bytes], days_ago: float) -> Path:
    """A zip from another book whose files were written so long ago; the zip itself is of today."""
    for place, text in files.items():
        written(tmp_path / "there" / place, text, days_ago)
    export(tmp_path / "there", tmp_path / "all.zip")
    return tmp_path / "all.zip"


def test_an_older_zip_leaves_newer_cards_and_says_which(tmp_path: Path) -> None:
    book, ada = tmp_path / "here", tmp_path / "here" / "clients" / "Ada.yaml"
    written(ada, card("29"), 1)
    told = import_from(book, zipped(tmp_path, {"clients/Ada.yaml": card("31"), "styles/plain.yaml": "neck: v\n"}, 30))
    assert ada.read_text() == card("29")
    assert [each.name for each in told.entries] == ["plain"], "what is not here comes in"
    (note,) = told.notes
    assert note.startswith("clients/Ada was left as it is here")
    assert "--replace" in note


def test_replace_takes_the_zips_and_keeps_what_was_here(tmp_path: Path) -> None:
    book, ada = tmp_path / "here", tmp_path / "here" / "clients" / "Ada.yaml"
    written(ada, card("29"), 1)
    told = import_from(book, zipped(tmp_path, {"clients/Ada.yaml": card("31")}, 30), replace=True)
    assert "waist: 31" in ada.read_text()
    assert card("29") in [version.read_text() for version in versions(ada)]
    assert ["replaced" in note and "clients/Ada" in note for note in told.notes] == [True]


def test_a_newer_zip_comes_in_and_measures_taken_here_stay_as_history(tmp_path: Path) -> None:
    book, ada = tmp_path / "here", tmp_path / "here" / "clients" / "Ada.yaml"
    written(ada, card("29"), 30)
    import_from(book, zipped(tmp_path, {"clients/Ada.yaml": card("31")}, 1))
    text = ada.read_text()
    assert "waist: 31" in text.partition("history")[0]
    assert "waist: 29" in text.partition("history")[2]


def test_the_moment_of_writing_goes_along(tmp_path: Path) -> None:
    """Taken in today, a card of last month stays one of last month: the next zip from there is not taken for older."""
    book = tmp_path / "here"
    import_from(book, zipped(tmp_path, {"styles/plain.yaml": "neck: v\n"}, 30))
    assert abs(time.time() - 30 * DAY_S - (book / "styles" / "plain.yaml").stat().st_mtime) < 5.0
    import_from(book, zipped(tmp_path, {"styles/plain.yaml": "neck: boat\n"}, 20))
    assert (book / "styles" / "plain.yaml").read_text() == "neck: boat\n"


def test_a_refusal_half_way_tells_what_had_come_in_and_the_rest_comes_later(tmp_path: Path) -> None:
    book, packed = tmp_path / "here", zipped(tmp_path, {"clients/Ada.yaml": card("29"), "voice/cut.bin": b"OggS sound"}, 3)
    book.mkdir()
    (book / "voice").write_text("a file where a folder should be")  # as on a full disk, the second cannot be kept
    with pytest.raises(NotKept) as told:
        import_from(book, packed)
    assert "Taken in before that: clients/Ada." in told.value.why
    (book / "voice").unlink()
    assert import_from(book, packed).places == ["voice/cut.bin"]


def test_where_an_order_stands_comes_in_whole_after_a_refusal_half_way(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Its journal had come in and its lay had not: the second import brings the lay, though the order stands here by then."""
    packed = zipped(tmp_path, {"journal/red.jsonl": "{}\n", "journal/red.lay.json": "{}"}, 3)

    def full(path: Path, data: bytes) -> None:
        if path.name == "red.lay.json":
            raise NotKept("red.lay.json could not be saved.", "No space left on device.", "Make room on the disk.")
        keep(path, data)

    with monkeypatch.context() as patched:
        patched.setattr(projector.book.packed, "keep", full)
        with pytest.raises(NotKept):
            import_from(tmp_path / "here", packed)
    assert import_from(tmp_path / "here", packed).places == ["journal/red.lay.json"]


def test_a_card_whose_own_name_no_file_may_have_keeps_its_files_name(tmp_path: Path) -> None:
    """It was checked like every other card before the first was kept, so nothing is left half-way."""
    odd = card("29").replace("name: Ada", "name: Ada/Bea")
    told = import_from(tmp_path / "here", zipped(tmp_path, {"clients/Ada.yaml": odd, "styles/plain.yaml": "neck: v\n"}, 3))
    assert told.places == ["clients/Ada", "styles/plain"]


def test_the_same_zip_twice_changes_nothing(tmp_path: Path) -> None:
    book, packed = tmp_path / "here", zipped(tmp_path, {"styles/plain.yaml": "neck: v\n", "voice/cut.bin": b"OggS sound"}, 3)
    import_from(book, packed)
    before = {file: file.read_bytes() for file in book.rglob("*") if file.is_file()}
    told = import_from(book, packed)
    assert (told.entries, told.others, told.notes) == ([], [], ["2 are the same here."])
    assert {file: file.read_bytes() for file in book.rglob("*") if file.is_file()} == before


def test_a_damaged_card_here_gives_way(tmp_path: Path) -> None:
    """She brings the old zip because the card is damaged."""
    book, ada = tmp_path / "here", tmp_path / "here" / "clients" / "Ada.yaml"
    written(ada, "name: Ada\nmeasures: {bust", 0)
    import_from(book, zipped(tmp_path, {"clients/Ada.yaml": card("31")}, 30))
    assert kept.mark_of(kept.entry(book, "Ada")) == ""
    assert "waist: 31" in ada.read_text()


def test_tables_and_pictures_are_treated_alike_and_stay_as_versions(tmp_path: Path) -> None:
    book = tmp_path / "here"
    for place in ("pictures/Ada.jpg", "voice/cut.bin", "keys.yaml"):
        written(book / place, {"p": b"\xff\xd8\xff new", "v": b"OggS new", "k": b"next: n\n"}[place[0]], 1)
    old: dict[str, str | bytes] = {"pictures/Ada.jpg": b"\xff\xd8\xff old", "voice/cut.bin": b"OggS old", "keys.yaml": b"next: m\n"}
    packed = zipped(tmp_path, old, 9)
    assert import_from(book, packed).others == []
    assert (book / "pictures" / "Ada.jpg").read_bytes() == b"\xff\xd8\xff new"
    assert set(import_from(book, packed, replace=True).others) == set(old)
    assert versions(book / "pictures" / "Ada.jpg")[-1].read_bytes() == b"\xff\xd8\xff new"


def test_notes_of_both_are_put_together(tmp_path: Path) -> None:
    book, place = tmp_path / "here", "beside/wrap/notes.jsonl"
    lines = [f'{{"day": "2026-11-0{n}", "step": 0, "title": "t", "text": "n{n}"}}\n' for n in (1, 2, 3)]
    written(book / place, lines[0] + lines[2], 1)
    import_from(book, zipped(tmp_path, {place: lines[0] + lines[1]}, 9))
    assert (book / place).read_text() == lines[0] + lines[2] + lines[1]


def test_where_an_order_stands_comes_whole_or_not_at_all(tmp_path: Path) -> None:
    """A lay from the zip under a journal from here would tell of cuts in another cloth."""
    book = tmp_path / "here"
    written(book / "journal" / "wrap.lay.json", b'{"here": 1}', 30)
    told = import_from(book, zipped(tmp_path, {"journal/wrap.lay.json": b"{}", "journal/wrap.jsonl": b'{"format": 1}\n'}, 1), replace=True)
    assert told.others == []
    assert not (book / "journal" / "wrap.jsonl").exists()


def test_a_zip_without_the_utc_moment_is_read_by_its_clock(tmp_path: Path) -> None:
    """As other programs pack a folder."""
    book, ada = tmp_path / "here", tmp_path / "here" / "clients" / "Ada.yaml"
    written(ada, card("29"), 30)
    with zipfile.ZipFile(tmp_path / "hand.zip", "w") as archive:
        archive.writestr(zipfile.ZipInfo("clients/Ada.yaml", time.localtime()[:6]), card("31"))
        archive.writestr(zipfile.ZipInfo("styles/plain.yaml"), "neck: v\n")  # 1980, as some write it
    import_from(book, tmp_path / "hand.zip")
    assert "waist: 31" in ada.read_text()
    assert (book / "styles" / "plain.yaml").exists()


def test_command_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book, packed = tmp_path / "here", zipped(tmp_path, {"clients/Ada.yaml": card("31")}, 30)
    written(book / "clients" / "Ada.yaml", card("29"), 1)
    assert run_app(app, ["book", "import", str(packed), "--book", str(book)]) == 0
    assert "clients/Ada was left as it is here" in capsys.readouterr().err
    assert run_app(app, ["book", "import", str(packed), "--replace", "--book", str(book)]) == 0
    assert capsys.readouterr().out == "clients/Ada\n"
    assert run_app(app, ["book", "list", "--replace", "--book", str(book)]) == 2


@pytest.mark.parametrize("days_ago", [30_000.0, -100_000.0])
def test_a_clock_that_ran_wild_keeps_no_card_out_of_the_zip(tmp_path: Path, days_ago: float) -> None:
    """Before 1980 and after 2106, where the zip's own clocks end."""
    told = import_from(tmp_path / "here", zipped(tmp_path, {"clients/Ada.yaml": card("31")}, days_ago))
    assert [each.name for each in told.entries] == ["Ada"]
