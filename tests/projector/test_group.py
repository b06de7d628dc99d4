"""A group order: who is ready, what all together take and save, numbered tags, the first dress's motif on the others."""

import json
from math import ceil
from pathlib import Path

import pytest

from calibration.command_line import run_app
from calibration.errors import WrongInput
from projector.__main__ import app
from projector.book import book as kept
from projector.book.groups import load_group
from projector.book.places import configs_folder
from projector.group_jobs import cloth_words, motif_as_on, work_out
from projector.lay.print_place import Motif
from projector.making import garment_of
from tests.projector.paper.reading import pages

GROUP = """name: two skirts
style: {bodice: false, skirt: straight, lining: false, facings: false}
cloth: {main: {width: 150 cm, price: 10, currency: €}}
people:
- client: marisol
- client: noor
- {client: ilse, style: {skirt: a_line}}
"""


@pytest.fixture
def book(tmp_path: Path) -> Path:
    (tmp_path / "skirts.yaml").write_text(GROUP)
    kept.add(tmp_path / "book", tmp_path / "skirts.yaml")
    return tmp_path / "book"


def test_doubtful_measures_are_never_laid_and_the_rest_is_told(book: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Noor's waist is larger than her hip: she waits. Cost is 10 € a metre, sold by the centimetre."""
    out = tmp_path / "out"
    assert run_app(app, ["group", "skirts", "--book", str(book), "--out", str(out), "--trials", "5", "--cut", "3", "--json"]) == 0
    said = capsys.readouterr()
    assert "`sure: true`" in said.err, "she is told how to go on with a measure that is odd and right"
    told = json.loads(said.out)
    first, second, third = told["people"]
    assert (first["measured"], second["measured"], third["measured"]) == (True, False, True)
    assert second["cloth_mm"] == {}
    assert "waist is larger" in second["doubts"][0]
    assert (first["cut"], third["cut"][:2]) == ("", "20")
    assert told["apart_mm"]["main"] == pytest.approx(first["cloth_mm"]["main"] + third["cloth_mm"]["main"])
    page = pages((out / "group.pdf").read_bytes())[0].words
    assert "again" in page
    bought = min(told["together_mm"]["main"], told["apart_mm"]["main"])
    assert f"{ceil(bought / 10) / 10:.2f} €" in page
    tags = "".join(page.words for page in pages((out / "tags.pdf").read_bytes()))
    parts = sum(piece.count for tag in (1, 3) for piece in garment_of(load_group("skirts", book).people[tag - 1].order).pieces)
    assert tags.count("Marisol Brandt") + tags.count("Ilse Kovač") == parts
    assert "Noor" not in tags
    assert (out / "lay.pdf").read_bytes().startswith(b"%PDF")


def test_one_who_is_sure_of_odd_measures_is_laid(book: Path) -> None:
    file = book / "groups" / "skirts.yaml"
    file.write_text(file.read_text().replace("client: noor", "client: noor\n  sure: true"))
    group = load_group("skirts", book)
    assert [bool(person.doubts) for person in group.people] == [False, False, False]


def test_the_first_dress_s_motif_lies_as_far_from_the_same_level_on_every_body(book: Path) -> None:
    file = book / "groups" / "skirts.yaml"
    file.write_text(file.read_text() + "motif: {piece: skirt front, point: [40, 300]}\n")
    group = load_group("skirts", book)
    work = work_out(group, 3)
    assert work.whole is None
    assert "dress by dress" in work.why_not
    gaps = []
    for each in work.ready:
        assert each.motif is not None
        assert each.motif.point[0] == 40.0
        hip = each.garment.piece("skirt front").levels["hip"]
        assert isinstance(hip, float)
        gaps.append(each.motif.point[1] - hip)
    assert gaps[0] == pytest.approx(gaps[1])
    assert motif_as_on(work.ready[0].garment, Motif("sleeve", (0.0, 0.0)), work.ready[1].garment) is None


def test_a_print_on_a_dress_that_is_not_settled_lays_nobody(book: Path) -> None:
    file = book / "groups" / "skirts.yaml"
    told = file.read_text().replace("- client: marisol\n", "").replace("- client: noor\n", "- client: noor\n- client: marisol\n")
    file.write_text(told + "motif: {piece: skirt front, point: [40, 300]}\n")
    work = work_out(load_group("skirts", book), 3)
    assert [person.tag for person in work.waiting] == [1]
    assert work.ready == ()
    assert "Noor" in work.why_not
    assert cloth_words(work) == [work.why_not]


def test_what_is_wrong_in_a_group_is_told_with_its_place(book: Path) -> None:
    file = book / "groups" / "skirts.yaml"
    for old, new, told in (
        ("client: ilse", "client: ilsee", "ilse"),
        ("skirt: a_line", "skirt: balloon", "skirt"),
        ("price: 10", "prize: 10", "price"),
    ):
        wrong = book / "groups" / "wrong.yaml"
        wrong.write_text(file.read_text().replace(old, new))
        with pytest.raises(WrongInput) as cause:
            load_group("wrong", book)
        assert told in str(cause.value)
    assert run_app(app, ["group", "skirts", "--book", str(book), "--cut", "9"]) == 2
    sample = (configs_folder() / "groups" / "sisters.yaml").read_text()
    assert run_app(app, ["group", "sisters", "--book", str(book), "--cut", "1"]) == 2
    assert (configs_folder() / "groups" / "sisters.yaml").read_text() == sample
