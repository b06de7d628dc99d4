"""A card edited by hand while its order is on the table: noticed, told once, never overwritten; the lines do not move by themselves."""

import asyncio
from pathlib import Path

from projector.book import book as kept
from projector.book.orders import files_of
from projector.book.places import configs_folder
from projector.desk.desk import Desk
from projector.desk.on_table import OnTable
from tests.projector.made_up import table, work

SAMPLES = configs_folder()


def filled(tmp_path: Path) -> Path:
    for file in ("clients/marisol", "orders/sample", "styles/day_dress"):
        kept.add(tmp_path, SAMPLES / f"{file}.yaml")
    (tmp_path / "hers.yaml").write_text("client: Marisol Brandt\nstyle: day_dress\n")
    kept.add(tmp_path, tmp_path / "hers.yaml")
    return tmp_path


def test_an_order_is_read_from_its_own_card_her_clients_and_its_style(tmp_path: Path) -> None:
    book = filled(tmp_path)
    assert [file.relative_to(book).as_posix() for file in files_of("hers", book)] == [
        "orders/hers.yaml", "clients/Marisol Brandt.yaml", "styles/day_dress.yaml",
    ]  # fmt: skip
    assert files_of("nobody", book) == []
    (book / "orders" / "hers.yaml").write_text("client: [\n")
    assert [file.name for file in files_of("hers", book)] == ["hers.yaml"]


def test_an_edit_while_the_order_is_on_the_table_is_told_once(tmp_path: Path) -> None:
    book, real = filled(tmp_path), table("ready")
    desk = Desk(work(), real, None, None)
    on = OnTable(desk, "hers", book, lambda _: None)
    card = book / "clients" / "Marisol Brandt.yaml"

    async def whole() -> None:
        await on.edited.read("hers")
        before = desk.snapshot
        assert await on.edited.look() == []
        assert desk.snapshot is before
        hers = card.read_text().replace("waist: 29", "waist: 30")
        card.write_text(hers)
        assert await on.edited.look() == [card]
        message = desk.snapshot.message
        assert message is not None
        assert message.what == "clients/Marisol Brandt was edited."
        assert (desk.snapshot.step, desk.snapshot.cloth_at) == (before.step, before.cloth_at), "no line moves by itself"
        assert await on.edited.look() == []
        card.unlink()
        assert await on.edited.look() == [card]
        assert not card.exists()

    asyncio.run(whole())
