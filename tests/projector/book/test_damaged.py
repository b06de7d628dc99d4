"""Cards broken by hand, by a disk or by chance: told in three sentences, the newest whole version offered, the file left as it is."""

import os
import random
import shlex
from collections.abc import Callable
from pathlib import Path

import pytest

from calibration.command_line import run_app
from calibration.errors import WrongInput
from calibration.keep import Damaged, versions
from projector.__main__ import app
from projector.book import book as kept
from projector.book.orders import load_order, read_client
from projector.book.packed import export, import_from
from projector.book.places import configs_folder

SAMPLES = configs_folder()
ORDER = "client: Marisol Brandt\nstyle: {neck: v}\ncloth:\n  main: {width: 150 cm}\n"


def filled(tmp_path: Path) -> Path:
    book = tmp_path / "book"
    kept.add(book, SAMPLES / "clients" / "marisol.yaml")
    (tmp_path / "hers.yaml").write_text(ORDER)
    kept.add(book, tmp_path / "hers.yaml")
    kept.add(book, SAMPLES / "cloths" / "cotton_150.yaml")
    return book


BROKEN: dict[str, Callable[[str], str]] = {
    "tab": lambda text: text.replace("  bust:", "\tbust:"),
    "twice": lambda text: text.replace("  waist:", "  bust:"),
    "unit": lambda text: text.replace("bust: 36 1/2", "bust: 36 furlongs"),
    "quote": lambda text: text.replace("waist: 29", 'waist: "29'),
    "blanks": lambda text: text.replace("  waist:", " waist:"),
    "no colon": lambda text: text.replace("waist: 29", "waist"),
    "misspelt": lambda text: text.replace("waist:", "wiast:"),
    "nothing": lambda _: "",
}


@pytest.mark.parametrize("slip", BROKEN)
def test_a_card_broken_by_hand_offers_the_newest_whole_version(tmp_path: Path, slip: str) -> None:
    book = filled(tmp_path)
    card = book / "clients" / "Marisol Brandt.yaml"
    whole = card.read_text()
    broken = BROKEN[slip](whole)
    assert broken != whole
    card.write_text(broken)
    with pytest.raises(Damaged) as told:
        load_order("hers", book)
    assert told.value.newest is not None
    assert told.value.newest.read_text() == whole
    assert "Marisol Brandt.yaml" in told.value.what
    assert card.read_text() == broken
    typed = shlex.split(told.value.next_step.partition("newest whole version: ")[2])  # the name has a blank in it
    assert run_app(app, ["book", "add", *typed, "--book", str(book)]) == 0, "what she is offered is taken back by one command"
    assert card.read_text() == whole
    assert broken.encode() in [version.read_bytes() for version in versions(card)], "her own try is kept too"


def test_an_orders_older_version_comes_back_under_its_own_name(tmp_path: Path) -> None:
    book = filled(tmp_path)
    order = book / "orders" / "hers.yaml"
    order.write_text("client: [\n")
    with pytest.raises(Damaged) as told:
        load_order("hers", book)
    assert told.value.newest is not None
    assert kept.add(book, told.value.newest).name == "hers"
    assert order.read_text() == ORDER


def test_new_measures_over_a_damaged_card_keep_what_was_known(tmp_path: Path) -> None:
    book = filled(tmp_path)
    (book / "clients" / "Marisol Brandt.yaml").write_bytes(b"\0\xff")
    (tmp_path / "new.yaml").write_text((SAMPLES / "clients" / "marisol.yaml").read_text().replace("waist: 29", "waist: 31"))
    card = read_client(kept.add(book, tmp_path / "new.yaml").file).card
    assert card.measures["waist"] == "31"
    assert [each.measures["waist"] for each in card.history] == ["29"]


def test_no_damage_is_a_defect_of_ours(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Any file of a book cut short, emptied, overwritten: every command answers in words, and the file stays."""
    book, chance = filled(tmp_path), random.Random(7)
    files = [each.file for each in kept.entries(book)]
    for _ in range(24):
        file = chance.choice(files)
        good = file.read_bytes()
        cut = good[: chance.randrange(len(good))]
        bad = chance.choice([cut, b"", b"\0" * len(good), chance.randbytes(300), good[:20] + bytes([chance.randrange(256)]) + good[21:]])
        file.write_bytes(bad)
        name = f"{file.parent.name}/{file.stem}"
        for words in (["list"], ["show", name], ["find", "a"], ["copy", name, "second"], ["export", str(tmp_path / "all.zip")]):
            assert run_app(app, ["book", *words, "--book", str(book)]) in (0, 1, 2), (bad, words)
        assert run_app(app, ["pieces", "hers", "--out", str(tmp_path / "p.json"), "--book", str(book)]) in (0, 1, 2), bad
        assert file.read_bytes() == bad
        file.write_bytes(good)
        if (file.parent / "second.yaml").exists():
            (file.parent / "second.yaml").unlink()
    capsys.readouterr()


def test_a_zip_holds_the_newest_whole_version_of_a_damaged_card_and_says_so(tmp_path: Path) -> None:
    book = filled(tmp_path)
    card = book / "clients" / "Marisol Brandt.yaml"
    whole = card.read_text()
    card.write_bytes(b"\xff\xfe")
    told = export(book, tmp_path / "all.zip")
    assert ["clients/Marisol Brandt" in note for note in told.notes] == [True]
    import_from(tmp_path / "other", tmp_path / "all.zip")
    assert (tmp_path / "other" / "clients" / "Marisol Brandt.yaml").read_text() == whole


def test_a_folder_in_a_cards_place_offers_the_version_and_hides_no_other_card(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """What cannot be opened at all (as a card of another account cannot) is told as a damaged one is."""
    monkeypatch.setenv("PROJECTOR_BOOK", str(book := filled(tmp_path)))
    card = book / "clients" / "Marisol Brandt.yaml"
    whole = card.read_text()
    card.unlink()
    card.mkdir()
    assert run_app(app, ["book", "show", "Marisol Brandt"]) == 2
    assert "go back to the newest whole version" in capsys.readouterr().err
    assert run_app(app, ["book", "find", "furlong"]) == run_app(app, ["book", "find", "150 cm"]) == 0
    told = capsys.readouterr()
    assert "orders/hers" in told.out.splitlines()
    assert told.err.count("cannot be opened: clients/Marisol Brandt") == 2
    assert run_app(app, ["book", "export", str(tmp_path / "all.zip")]) == 0
    import_from(tmp_path / "other", tmp_path / "all.zip")
    assert (tmp_path / "other" / "clients" / "Marisol Brandt.yaml").read_text() == whole


def test_a_zip_that_lacks_a_card_is_no_success(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book = filled(tmp_path)
    (book / "clients" / "Zora.yaml").write_text("name: [")
    assert run_app(app, ["book", "export", str(tmp_path / "all.zip"), "--book", str(book)]) == 1
    told = capsys.readouterr()
    assert "1 of its cards: clients/Zora" in told.err
    assert "clients/Zora" not in told.out
    assert len(import_from(tmp_path / "other", tmp_path / "all.zip").entries) == 3, "the others are"


@pytest.mark.parametrize("shut", ["clients", "journal", "tables"])
def test_a_folder_that_may_not_be_opened_is_never_taken_for_an_empty_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], shut: str
) -> None:
    """A zip without her clients would look like a backup. The system's answer is put in its place: root may open everything."""
    book, scandir = filled(tmp_path), os.scandir
    (book / shut).mkdir(exist_ok=True)

    def refused(place: str) -> object:
        if Path(place).name == shut:
            raise PermissionError(13, "Permission denied", place)
        return scandir(place)

    monkeypatch.setattr(os, "scandir", refused)
    commands = [["export", str(tmp_path / "all.zip")], *([["list"], ["find", "in"], ["show", "hers"]] if shut == "clients" else [])]
    for words in commands:
        assert run_app(app, ["book", *words, "--book", str(book)]) == 2, words
        assert "Permission denied" in capsys.readouterr().err
    assert not (tmp_path / "all.zip").exists()


def test_a_card_that_never_ends_is_not_read(tmp_path: Path) -> None:
    book = filled(tmp_path)
    (book / "clients" / "Zora.yaml").symlink_to("/dev/zero")
    with pytest.raises(WrongInput, match="never end"):
        read_client(book / "clients" / "Zora.yaml")


@pytest.mark.parametrize("there", ["folder", "pipe", "loop", "nowhere", "elsewhere"])
def test_what_is_no_file_in_a_cards_place_is_never_written_removed_or_waited_for(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], there: str
) -> None:
    """Forgetting once removed the device that a card's link led to; a folder there was a defect of ours."""
    book = filled(tmp_path)
    card, target = book / "clients" / "Marisol Brandt.yaml", tmp_path / "target"
    card.rename(tmp_path / "hers.yaml")
    if there == "folder":
        card.mkdir()
    elif there == "loop":
        card.symlink_to(card.name)
    else:
        if there == "pipe":
            os.mkfifo(target)  # as a device, which only root can make
        elif there == "elsewhere":
            target.write_bytes((tmp_path / "hers.yaml").read_bytes())
        card.symlink_to(target)
    is_added, is_forgotten = there in ("nowhere", "elsewhere"), there not in ("folder", "pipe")
    assert run_app(app, ["book", "add", str(tmp_path / "hers.yaml"), "--book", str(book)]) == (0 if is_added else 1)
    assert run_app(app, ["book", "forget", "Marisol Brandt", "--book", str(book)]) == (0 if is_forgotten else 1)
    assert "efect of ours" not in capsys.readouterr().err
    assert target.exists() == (there == "pipe")
    assert card.is_symlink() == (there == "pipe")


def test_a_book_behind_a_link_forgets_and_says_what_went(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    filled(tmp_path)
    (tmp_path / "link").symlink_to("book")
    assert run_app(app, ["book", "forget", "Marisol Brandt", "--book", str(tmp_path / "link")]) == 0
    assert "removed: clients/Marisol Brandt.yaml, " in capsys.readouterr().out
