"""The book: what goes in comes out, nothing replaces without a version, nothing of a zip is used as a path."""

import json
import zipfile
from pathlib import Path

import pytest

from calibration.command_line import run_app
from calibration.errors import WrongInput
from calibration.keep import ChangedByAnother, read_kept, versions
from projector.__main__ import app
from projector.book import book as kept
from projector.book.orders import load_order, read_client
from projector.book.places import configs_folder

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
    removed = kept.forget(book, "Marisol Brandt")
    assert {file.stem for file in removed if file.parent.name in ("clients", "orders")} == {"Marisol Brandt", "hers"}
    assert not any("Brandt" in str(file) for file in book.rglob("*") if file.suffix == ".yaml")
    assert load_order("second", book).name == "second"


def test_export_and_import_give_the_same_book(tmp_path: Path) -> None:
    book = filled(tmp_path)
    kept.export(book, tmp_path / "all.zip")
    other = tmp_path / "other"
    kept.import_from(other, tmp_path / "all.zip")
    assert {each.file.read_bytes() for each in kept.entries(other)} == {each.file.read_bytes() for each in kept.entries(book)}


@pytest.mark.parametrize("inside", ["../evil.yaml", "clients/../../evil.yaml", "/etc/x.yaml", "clients/a/b.yaml", "other/a.yaml"])
def test_names_in_a_zip_are_never_paths(tmp_path: Path, inside: str) -> None:
    with zipfile.ZipFile(tmp_path / "bad.zip", "w") as archive:
        archive.writestr("clients/ok.yaml", "name: ok\nmeasures: {}\n")
        archive.writestr(inside, "name: x\nmeasures: {}\n")
    with pytest.raises(WrongInput):
        kept.import_from(tmp_path / "book", tmp_path / "bad.zip")
    assert not (tmp_path / "book").exists()


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
    with zipfile.ZipFile(tmp_path / "bad.zip", "w") as archive:
        archive.writestr("clients/ok.yaml", "name: ok\nmeasures: {}\n")
        archive.writestr(inside, text)
    with pytest.raises(WrongInput):
        kept.import_from(tmp_path / "book", tmp_path / "bad.zip")
    assert not (tmp_path / "book").exists()


def test_every_kind_goes_out_in_a_zip_and_comes_back(tmp_path: Path) -> None:
    book = filled(tmp_path)
    for file in (SAMPLES / "styles" / "day_dress.yaml", SAMPLES / "cloths" / "cotton_150.yaml", SAMPLES / "groups" / "sisters.yaml"):
        kept.add(book, file)
    kept.put(book, "blocks", {"name": "old front", "outline": [[0, 0], [100, 0], [100, 200], [0, 200]], "fold": True})
    kept.export(book, tmp_path / "all.zip")
    back = kept.import_from(tmp_path / "other", tmp_path / "all.zip")
    assert {each.kind for each in back} == set(kept.KINDS)
    (book / "blocks" / "old front.yaml").write_text((book / "blocks" / "old front.yaml").read_text() + "count: 1\n")
    seen = read_kept(book / "blocks" / "old front.yaml").fingerprint
    kept.put(book, "blocks", {"name": "old front", "outline": [[0, 0], [90, 0], [90, 200], [0, 200]]}, seen)
    with pytest.raises(ChangedByAnother):  # a person's edit since it was read is left alone
        kept.put(book, "blocks", {"name": "old front", "outline": [[0, 0], [80, 0], [80, 200], [0, 200]]}, seen)
    assert kept.forget(book, "old front")[0].name == "old front.yaml"


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
