"""The book: what goes in comes out, nothing replaces without a version, nothing of a zip is used as a path."""

import json
import unicodedata
import zipfile
from pathlib import Path

import pytest

from calibration.command_line import run_app
from calibration.errors import WrongInput
from calibration.keep import ChangedByAnother, keep, read_kept, versions
from calibration.table import Table
from calibration.table_file import table_text
from calibration.yaml_reader import document_from, plain
from projector.__main__ import app
from projector.book import book as kept
from projector.book.forget import forget, still_named
from projector.book.orders import load_order, read_client
from projector.book.packed import export, import_from
from projector.book.places import configs_folder
from projector.making import garment_of

SAMPLES = configs_folder()


def filled(tmp_path: Path) -> Path:
    book = tmp_path / "book"
    kept.add(book, SAMPLES / "clients" / "marisol.yaml")
    kept.add(book, SAMPLES / "orders" / "sample.yaml")
    return book


def test_adding_stores_by_the_name_on_the_card(tmp_path: Path) -> None:
    book = filled(tmp_path)
    assert (book / "clients" / "Marisol Brandt.yaml").is_file()
    assert (book / "orders" / "sample.yaml").is_file()
    assert read_client(book / "clients" / "Marisol Brandt.yaml").given_mm == read_client(SAMPLES / "clients" / "marisol.yaml").given_mm
    assert (book / "clients").stat().st_mode & 0o777 == 0o700
    assert (book / "clients" / "Marisol Brandt.yaml").stat().st_mode & 0o777 == 0o600


def test_new_measures_keep_the_old_ones_as_history(tmp_path: Path) -> None:
    book = filled(tmp_path)
    changed = tmp_path / "m.yaml"
    changed.write_text((SAMPLES / "clients" / "marisol.yaml").read_text().replace("waist: 29", "waist: 30 1/2").replace("09-14", "11-20"))
    place = kept.add(book, changed).file
    card = read_client(place).card
    assert card.measures["waist"] == "30 1/2"
    assert [(each.day, each.measures["waist"]) for each in card.history] == [("2026-09-14", "29")]
    kept.add(book, changed)
    assert len(read_client(place).card.history) == 1  # the same measures again are no change
    assert any(b"waist: 29" in version.read_bytes() for version in versions(place))


def test_an_order_that_names_a_client_file_holds_her_card(tmp_path: Path) -> None:
    book = tmp_path / "book"
    (tmp_path / "c.yaml").write_text((SAMPLES / "clients" / "ilse.yaml").read_text())
    (tmp_path / "hers.yaml").write_text("client: c.yaml\nstyle: {neck: v}\n")
    kept.add(book, tmp_path / "hers.yaml")
    (tmp_path / "c.yaml").unlink()
    assert load_order("hers", book).client.name == "Ilse Kovač"


def test_copy_find_forget(tmp_path: Path) -> None:
    book = filled(tmp_path)
    kept.copy(book, "sample", "second")
    with pytest.raises(kept.NameTaken):
        kept.copy(book, "sample", "second")
    assert [each.name for each in kept.find(book, "BRANDT")] == ["Marisol Brandt"]
    (tmp_path / "hers.yaml").write_text("client: Marisol Brandt\n")
    kept.add(book, tmp_path / "hers.yaml")
    removed = forget(book, "Marisol Brandt")
    assert {file.stem for file in removed if file.parent.name in ("clients", "orders")} == {"Marisol Brandt", "hers"}
    assert not any("Brandt" in str(file) for file in book.rglob("*") if file.suffix == ".yaml")
    assert load_order("second", book).name == "second"


def test_export_and_import_give_the_same_book(tmp_path: Path) -> None:
    book = filled(tmp_path)
    export(book, tmp_path / "all.zip")
    other = tmp_path / "other"
    import_from(other, tmp_path / "all.zip")
    assert {each.file.read_bytes() for each in kept.entries(other)} == {each.file.read_bytes() for each in kept.entries(book)}


def nothing_of_it_comes_in(tmp_path: Path, inside: str, data: str | bytes) -> None:
    """A zip that holds this beside a card that is right is refused as a whole."""
    with zipfile.ZipFile(tmp_path / "bad.zip", "w") as archive:
        archive.writestr("clients/ok.yaml", "name: ok\nmeasures: {}\n")
        archive.writestr(inside, data)
    with pytest.raises(WrongInput):
        import_from(tmp_path / "book", tmp_path / "bad.zip")
    assert not (tmp_path / "book").exists()


@pytest.mark.parametrize("inside", ["../evil.yaml", "clients/../../evil.yaml", "/etc/x.yaml", "clients/a/b.yaml", "other/a.yaml"])
def test_names_in_a_zip_are_never_paths(tmp_path: Path, inside: str) -> None:
    nothing_of_it_comes_in(tmp_path, inside, "name: x\nmeasures: {}\n")


@pytest.mark.parametrize(
    ("inside", "text"),
    [
        ("clients/bad.yaml", "name: bad\nunit: in\nmeasures: {wiast: 29}\n"),
        ("orders/bad.yaml", "client: someone\ncloht: {}\n"),
        ("styles/bad.yaml", "neck: balloon\n"),
        ("cloths/bad.yaml", "width: 150 cm\nup: sideways\n"),
        ("blocks/bad.yaml", "name: bad\noutline: [[0, 0], [10, 10], [10, 0], [0, 10]]\n"),
        ("groups/bad.yaml", "people: [{klient: x}]\n"),
    ],
)
def test_one_wrong_entry_of_a_zip_keeps_all_of_it_out(tmp_path: Path, inside: str, text: str) -> None:
    nothing_of_it_comes_in(tmp_path, inside, text)


def test_every_kind_goes_out_in_a_zip_and_comes_back(tmp_path: Path) -> None:
    book = filled(tmp_path)
    for file in (SAMPLES / "styles" / "day_dress.yaml", SAMPLES / "cloths" / "cotton_150.yaml", SAMPLES / "groups" / "sisters.yaml"):
        kept.add(book, file)
    kept.put(book, "blocks", {"name": "old front", "outline": [[0, 0], [100, 0], [100, 200], [0, 200]], "fold": True})
    export(book, tmp_path / "all.zip")
    back = import_from(tmp_path / "other", tmp_path / "all.zip").entries
    assert {each.kind for each in back} == set(kept.KINDS)
    (book / "blocks" / "old front.yaml").write_text((book / "blocks" / "old front.yaml").read_text() + "count: 1\n")
    seen = read_kept(book / "blocks" / "old front.yaml").fingerprint
    kept.put(book, "blocks", {"name": "old front", "outline": [[0, 0], [90, 0], [90, 200], [0, 200]]}, seen)
    with pytest.raises(ChangedByAnother):  # a person's edit since it was read is left alone
        kept.put(book, "blocks", {"name": "old front", "outline": [[0, 0], [80, 0], [80, 200], [0, 200]]}, seen)
    assert forget(book, "old front")[0].name == "old front.yaml"


@pytest.mark.parametrize("name", ["", "a/b", "..", ".hidden", "a\\b", "x" * 81, "a\0b", "con:"])
def test_names_that_are_no_file_names_are_refused(name: str) -> None:
    with pytest.raises(WrongInput):
        kept.checked_name(name)


def test_command_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book = str(tmp_path / "book")
    assert run_app(app, ["book", "--book", book, "add", str(SAMPLES / "clients" / "wren.yaml")]) == 0
    capsys.readouterr()
    assert run_app(app, ["book", "list", "--book", book, "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == {"format": 1, "entries": [{"kind": "clients", "name": "Wren Halloran"}]}
    assert run_app(app, ["book", "show", "Wren Haloran", "--book", book, "--json"]) == 2
    assert "Wren Halloran" in json.loads(capsys.readouterr().out)["error"]["next"]
    assert run_app(app, ["book", "borrow", "--book", book]) == 2


def test_a_card_is_kept_as_she_wrote_it(tmp_path: Path) -> None:
    """Comments and order of lines are hers; what the page keeps later leaves the comments where they stand."""
    book = filled(tmp_path)
    card = book / "clients" / "Marisol Brandt.yaml"
    assert card.read_text() == (SAMPLES / "clients" / "marisol.yaml").read_text()
    card.write_text(card.read_text().replace("  waist: 29\n", "  waist: 29  # over the shirt\n"))
    was = read_kept(card)
    data = document_from(was.data, "card").data
    kept.put(book, "clients", {**plain(data), "note": "likes pockets"}, was.fingerprint)
    assert "# A shop's card: inches, lengths from the shoulder at the neck.\n" in card.read_text()
    assert "  waist: 29  # over the shirt\n" in card.read_text()
    assert "note: likes pockets\n" in card.read_text()


def test_history_is_in_the_unit_it_was_taken_in(tmp_path: Path) -> None:
    """The card goes over to centimetres: what was 36 1/2 in then is no fraction of a centimetre now."""
    book = filled(tmp_path)
    new = "name: Marisol Brandt\nunit: cm\nlengths_from: waist\nday: 2026-11-20\n"
    new += "measures: {bust: 95, waist: 76, hip: 103, nape_waist: 40}\n"
    (tmp_path / "m.yaml").write_text(new + "fittings: [{kind: body, day: 2026-11-20}]\n")
    card = read_client(kept.add(book, tmp_path / "m.yaml").file).card
    assert [(each.unit, each.lengths_from, each.measures["bust"]) for each in card.history] == [("in", "shoulder", "36 1/2")]
    (tmp_path / "hers.yaml").write_text("client: Marisol Brandt\nstyle: {sleeve: none}\n")
    kept.add(book, tmp_path / "hers.yaml")
    told = " ".join(garment_of(load_order("hers", book)).warnings)
    assert "Cut from the measures of 2026-09-14" in told
    assert "cannot be compared" not in told


def test_a_name_with_an_accent_is_one_name_however_it_is_written(tmp_path: Path) -> None:
    book = tmp_path / "book"
    kept.add(book, SAMPLES / "clients" / "ilse.yaml")
    apart = unicodedata.normalize("NFD", "Ilse Kovač")
    assert apart != "Ilse Kovač"
    assert kept.named(book, apart).name == "Ilse Kovač"
    assert [each.name for each in kept.find(book, unicodedata.normalize("NFD", "kovač"))] == ["Ilse Kovač"]
    (tmp_path / "o.yaml").write_text(f"client: {apart}\n", encoding="utf-8")
    assert kept.add(book, tmp_path / "o.yaml").name == "o"
    assert {file.name for file in forget(book, apart) if file.parent.name == "orders"} == {"o.yaml"}


def test_forgetting_takes_what_was_hers_and_names_what_is_left(tmp_path: Path) -> None:
    book = filled(tmp_path)
    (tmp_path / "wrap.yaml").write_text("client: Marisol Brandt\n")
    kept.add(book, tmp_path / "wrap.yaml")
    (tmp_path / "wrap.yaml").write_text((SAMPLES / "orders" / "tomasina_plain.yaml").read_text())
    kept.add(book, tmp_path / "wrap.yaml")  # another's now; an older version was hers
    (tmp_path / "two.yaml").write_text("people:\n  - client: Marisol Brandt\n  - client: ilse\n")
    kept.add(book, tmp_path / "two.yaml")
    (book / "orders" / "torn.yaml").write_bytes(b"client: Marisol Brandt\n\xff")
    (book / "clients" / ".Marisol Brandt.yaml.new").write_text("half a save")
    removed = forget(book, "Marisol Brandt")
    assert all(not file.exists() for file in removed)
    assert any(file.parent.name == "wrap.yaml" for file in removed)
    left = still_named(book, "Marisol Brandt")
    assert [each for each in left if ".versions" not in each] == ["groups/two.yaml", "orders/torn.yaml"]
    assert not (book / "clients" / ".Marisol Brandt.yaml.new").exists()
    assert load_order("wrap", book).client.name == "Tomasina Reyes"


def test_everything_beside_the_cards_goes_out_and_comes_back(tmp_path: Path) -> None:
    book = filled(tmp_path)
    others = {
        "pictures/Marisol Brandt.jpg": b"\xff\xd8\xff picture", "beside/sample/picture.jpg": b"\xff\xd8\xff dress",
        "beside/sample/notes.jsonl": b'{"day": "2026-11-01", "step": 0, "title": "t", "text": "hem later"}\n',
        "voice/cut.bin": b"OggS sound", "keys.yaml": b"next: n\n",
        "tables/table.yaml": table_text(Table.demonstration((1280, 720))).encode(),
        "journal/sample.jsonl": b'{"format": 1}\n', "journal/sample.lay.json": b"{}",
    }  # fmt: skip
    for place, data in others.items():
        keep(book / place, data)
    assert set(export(book, tmp_path / "all.zip").others) == set(others)
    other = tmp_path / "other"
    keep(other / "journal" / "sample.jsonl", b'{"format": 1, "cut": true}\n')
    told = import_from(other, tmp_path / "all.zip")
    stands = {"journal/sample.jsonl", "journal/sample.lay.json"}  # the zip's lay under the journal here would tell of another cloth
    assert set(told.others) == set(others) - stands, "what was cut on this table is a fact"
    assert [place for place in sorted(stands) if any(place in note for note in told.notes)] == sorted(stands)
    assert all((other / place).read_bytes() == others[place] for place in told.others)


@pytest.mark.parametrize(
    ("inside", "data"),
    [
        ("pictures/x.jpg", b"<svg onload=alert(1)>"), ("voice/cut.bin", b"MZ"), ("beside/o/notes.jsonl", b"{"),
        ("journal/o.jsonl", b"x\ny\n"), ("journal/o.lay.json", b"{"), ("tables/t.yaml", b"format: 9\n"),
        ("beside/../picture.jpg", b"\xff\xd8\xff"), ("voice/con.bin", b"OggS"), ("../keys.yaml", b"a: b\n"), ("keys.yaml/x", b"a: b\n"),
    ],
)  # fmt: skip
def test_what_is_no_picture_voice_or_table_is_not_taken_in(tmp_path: Path, inside: str, data: bytes) -> None:
    nothing_of_it_comes_in(tmp_path, inside, data)


def test_a_folder_packed_by_hand_comes_in(tmp_path: Path) -> None:
    """One folder round it, and what other systems add."""
    with zipfile.ZipFile(tmp_path / "hand.zip", "w") as archive:
        for name in ("__MACOSX/book/clients/._ok.yaml", "book/.DS_Store", "book/clients/.versions/ok.yaml/00000001-aa.yaml"):
            archive.writestr(name, b"\0")
        archive.writestr("book/clients/ok.yaml", "name: ok\nmeasures: {}\n")
    assert [each.name for each in import_from(tmp_path / "book", tmp_path / "hand.zip").entries] == ["ok"]


def test_samples_come_on_request_and_are_marked(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book = ["--book", str(tmp_path / "book")]
    assert run_app(app, ["book", "list", *book]) == 0
    assert capsys.readouterr().out == ""
    assert run_app(app, ["book", "add", "sample", "marisol", *book]) == 0
    assert run_app(app, ["book", "copy", "sample", "mine", *book]) == 0
    capsys.readouterr()
    assert run_app(app, ["book", "list", *book]) == 0
    assert capsys.readouterr().out.splitlines() == ["clients/Marisol Brandt  (sample)", "orders/mine", "orders/sample  (sample)"]
    assert run_app(app, ["book", "add", "smaple", *book]) == 2
    assert "Did you mean `sample`?" in capsys.readouterr().err


@pytest.mark.parametrize("name", ["CON", "nul.x", "lpt1", "𝒜" * 60])
def test_names_that_some_system_cannot_hold_are_refused(name: str) -> None:
    with pytest.raises(WrongInput):
        kept.checked_name(name)


def test_a_file_is_no_book(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "clients.yaml").write_text("")
    assert run_app(app, ["book", "list", "--book", str(tmp_path / "clients.yaml")]) == 2
    assert "is no book" in capsys.readouterr().err
    assert run_app(app, ["book", "export", str(tmp_path / "all.zip"), "--book", str(tmp_path / "none")]) == 0
    assert "empty" in capsys.readouterr().err


@pytest.mark.parametrize("others", [1, 3])
def test_measures_of_several_programs_at_once_all_stay_in_her_history(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, others: int) -> None:
    """Others write the card between this program's reading and its keeping: their measures were once lost from the history."""

    def file(waist: int) -> Path:
        made = tmp_path / f"{waist}.yaml"
        made.write_text(f"name: Ada\nunit: in\nday: 2026-10-01\nmeasures: {{bust: 36, waist: {waist}, hip: 39}}\n")
        return made

    kept.add(tmp_path / "book", file(28))
    newest, waiting = kept._newest_client, list(range(30, 30 + others))

    def read_while_another_writes(place: Path) -> object:
        found = newest(place)
        if waiting:
            other = waiting.pop()
            monkeypatch.setattr(kept, "_newest_client", newest)
            kept.add(tmp_path / "book", file(other))
            monkeypatch.setattr(kept, "_newest_client", read_while_another_writes)
        return found

    monkeypatch.setattr(kept, "_newest_client", read_while_another_writes)
    card = read_client(kept.add(tmp_path / "book", file(29)).file).card
    assert card.measures["waist"] == "29"
    assert sorted(each.measures["waist"] for each in card.history) == ["28", *(str(30 + each) for each in range(others))]
