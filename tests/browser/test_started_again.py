"""The table started again while a page stays open on this machine: the page shows how it stands now, not what it last heard."""

import asyncio
from pathlib import Path
from urllib.parse import urlsplit

import pytest

from projector.desk.desk import Desk
from projector.desk.serve import Serving
from projector.session.commands import Command
from tests.browser.phone import Phone
from tests.projector.desk.answering import answering
from tests.projector.made_up import table, work

pytestmark = pytest.mark.browser


def test_a_page_follows_a_desk_that_counts_from_the_beginning_again(tmp_path: Path) -> None:
    """It once waited until the new desk had made as many changes as the old one, and showed the old step until then."""
    phone = Phone(tmp_path / "profile")

    async def shows(desk: Desk) -> None:
        await asyncio.to_thread(phone.wait, lambda: phone.find("body").get_attribute("data-number") == str(desk.snapshot.number))

    async def whole() -> None:
        desk = Desk(work(), table("ready"), tmp_path / "table.yaml", None)
        async with answering(desk) as url:
            await asyncio.to_thread(phone.page.get, url)
            for name in ("next", "grid", "grid", "grid"):
                desk.apply(Command(name))
            await shows(desk)
            before = desk.snapshot.number
        again = Desk(work(), table("ready"), tmp_path / "table.yaml", None)
        async with answering(again, Serving(urlsplit(url).port or 0)):
            assert again.snapshot.number < before
            await shows(again)

    try:
        asyncio.run(whole())
    finally:
        phone.page.quit()
