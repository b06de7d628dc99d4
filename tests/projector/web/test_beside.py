"""What the page keeps beside orders, asked of the app itself: notes, style picture, voice, tape numbers, orders put aside."""

import json
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from calibration.errors import WrongInput
from projector.book import beside
from projector.desk.desk import Desk
from projector.desk.pages import Pages
from projector.desk.parked import parked
from projector.desk.tasks import PICTURE_PX, small_picture
from projector.session.commands import Command
from projector.web.app import make_app
from projector.web.guard import Guard
from tests.projector.made_up import table, work
from tests.projector.web.asking import OWN, Answer, ask, form

WAV = b"RIFF\x24\x00\x00\x00WAVEfmt "


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return Desk(work(), table("ready"), tmp_path / "t.yaml", None)


@pytest.fixture
def app(desk: Desk, tmp_path: Path) -> Guard:
    """The page of this machine alone, as it is without --lan."""
    return make_app(desk, None, pages=Pages(desk, tmp_path / "book"))


def post(app: Guard, path: str, data: dict[str, Any]) -> Answer:
    return ask(app, path, "POST", OWN, json.dumps(data).encode())


def send(app: Guard, path: str, field: str, data: bytes) -> Answer:
    """One file as a form sends it; its name is of no use to anyone."""
    body, kind = form(field, ("../../etc/passwd", data))
    return ask(app, path, "POST", {**OWN, "content-type": kind}, body)


def jpeg(width: int, height: int) -> bytes:
    out = BytesIO()
    picture = Image.new("RGB", (width, height), "#804020")
    exif = Image.Exif()
    exif[0x0112], exif[0x010F] = 6, "a maker that nobody needs to know"  # lying on its side
    picture.save(out, "JPEG", exif=exif)
    return out.getvalue()


def test_a_note_stands_at_its_step_and_is_there_again(app: Guard, desk: Desk) -> None:
    desk.apply(Command("next"))
    assert post(app, "/notes", {"text": "  press the   hem "}).status == 200
    (note,) = json.loads(ask(app, "/notes", headers=OWN).body)["notes"]
    assert (note["step"], note["title"], note["text"]) == (1, "Cut the skirt", "press the hem")
    assert post(app, "/notes", {"text": "x" * 500}).status == 400
    assert post(app, "/notes", {"text": 5}).status == 400


@pytest.mark.parametrize("data", [b"", b"<script>", b"MZ\x90\x00" * 8, b"\x89PNG\r\n\x1a\n" + b"0" * 64])
def test_only_a_recording_is_kept_as_a_voice(app: Guard, data: bytes, tmp_path: Path) -> None:
    assert send(app, "/voice/cut", "sound", data).status == 400
    assert not (tmp_path / "book" / "voice").exists()


def test_a_recording_is_played_as_what_it_is_and_taken_away(app: Guard) -> None:
    assert send(app, "/voice/cut", "sound", WAV + b"0" * 200).status == 200
    told = ask(app, "/voice/cut", headers=OWN)
    assert (told.headers["content-type"], told.headers["x-content-type-options"]) == ("audio/wav", "nosniff")
    assert told.body.startswith(WAV)
    assert send(app, "/voice/../../cut", "sound", WAV).status == 404
    assert send(app, "/voice/steal", "sound", WAV).status == 400
    assert send(app, "/voice/cut", "sound", WAV + b"0" * 3_000_000).status == 413
    assert json.loads(post(app, "/voice/cut/forget", {}).body)["recorded"] == []


def test_a_style_picture_is_made_small_upright_and_clean(tmp_path: Path) -> None:
    file = tmp_path / "sent.jpg"
    file.write_bytes(jpeg(2400, 1200))
    kept = small_picture(file)
    with Image.open(BytesIO(kept)) as picture:
        assert picture.size == (PICTURE_PX // 2, PICTURE_PX)
        assert not picture.getexif()
    assert b"nobody needs" not in kept
    file.write_bytes(jpeg(400, 200)[:300])
    with pytest.raises(WrongInput, match="cannot be read"):
        small_picture(file)


def pictures_in(folder: Path) -> int:
    """How many files hold a JPEG, whatever they are called."""
    return sum(b"JFIF" in file.read_bytes() for file in folder.rglob("*") if file.is_file())


def test_a_clients_picture_is_hers_and_goes_with_her(app: Guard, tmp_path: Path) -> None:
    book_folder = tmp_path / "book"
    card = {"name": "Ottilie", "unit": "in", "measures": {"bust": "36"}}
    assert post(app, "/book/clients", {"data": card, "seen": ""}).status == 200
    assert ask(app, "/picture/clients/Ottilie", headers=OWN).status == 404
    assert send(app, "/picture/clients/Ottilie", "photo", jpeg(640, 480)).status == 200
    shown = ask(app, "/picture/clients/Ottilie", headers=OWN)
    assert (shown.status, shown.headers["content-type"]) == (200, "image/jpeg")
    assert ask(app, "/picture/orders/Ottilie", headers=OWN).status == 404, "a dress of that name has none"
    assert pictures_in(book_folder) == 1
    assert send(app, "/picture/tables/Ottilie", "photo", jpeg(640, 480)).status == 400
    assert post(app, "/book/clients/Ottilie/forget", {}).status == 200
    assert ask(app, "/picture/clients/Ottilie", headers=OWN).status == 404
    assert pictures_in(book_folder) == 0


def test_spots_are_not_learned_from_anything_but_photographs(app: Guard, desk: Desk) -> None:
    assert send(app, "/survey", "photo", b"<svg/>").status == 400
    told = send(app, "/survey", "photo", jpeg(640, 480))  # a picture of nothing
    assert told.status in (400, 409)
    assert json.loads(told.body)["error"]["next"]
    assert desk.table is not None
    assert len(desk.table.spots) == 4  # those it had


def test_a_forgotten_order_leaves_nothing_beside(tmp_path: Path) -> None:
    note = beside.Note("2026-11-25", 3, "Cut", "later")
    beside.add_note(tmp_path, "green silk", note)
    beside.keep_picture(tmp_path, "orders", "green silk", b"jpeg")
    (tmp_path / "journal").mkdir()
    (tmp_path / "journal" / "green_silk.jsonl").write_text("{}\n", "utf-8")
    assert len(beside.forget_beside(tmp_path, "green silk")) >= 3
    assert beside.notes_of(tmp_path, "green silk") == []
    assert not [file for file in tmp_path.rglob("*") if file.is_file() and not file.name.endswith(".lock")]


def test_orders_put_aside_each_at_its_step(tmp_path: Path) -> None:
    for name in ("green silk", "grey wool"):
        (tmp_path / "orders").mkdir(exist_ok=True)
        (tmp_path / "orders" / f"{name}.yaml").write_text("client: ilse\n", "utf-8")
    desk = Desk(work(), table("ready"), tmp_path / "t.yaml", tmp_path / "journal" / "green_silk.jsonl")
    desk.apply(Command("done"))
    desk.apply(Command("next"))
    assert parked(tmp_path) == [{"name": "green silk", "step": 3, "done": 1}]
    with (tmp_path / "journal" / "green_silk.jsonl").open("ab") as file:
        file.write(b'{"format": 1, "torn')
    assert parked(tmp_path) == [{"name": "green silk", "step": 3, "done": 1}]


def test_a_number_cannot_be_changed_where_no_order_was_drafted(app: Guard, desk: Desk) -> None:
    before = desk.snapshot
    assert post(app, "/tape", {"place": 0, "reads": "10"}).status == 409
    assert post(app, "/tape", {"place": "0", "reads": "10"}).status == 400
    assert post(app, "/hand", {"act": {"do": "move"}}).status == 409
    assert desk.snapshot == before
