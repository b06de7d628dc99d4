"""The page in a real browser: taps become commands, every page follows the same snapshot. Waits for the snapshot's number."""

import asyncio
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from projector.desk.desk import Desk
from projector.session.change import NotNow
from projector.session.commands import Command
from tests.browser.phone import opened
from tests.projector.desk.answering import PATIENCE_S, answering
from tests.projector.made_up import table, work

pytestmark = pytest.mark.browser


@pytest.fixture
def served(tmp_path: Path) -> Iterator[tuple[Desk, str, asyncio.AbstractEventLoop]]:
    """A desk on its own loop in a thread; its address."""
    desk = Desk(work(), table("ready"), tmp_path / "table.yaml", None)
    told: list[str] = []
    is_up = threading.Event()
    loop = asyncio.new_event_loop()

    async def whole() -> None:
        async with answering(desk) as url:
            told.append(url)
            is_up.set()
            await desk.ended.wait()

    thread = threading.Thread(target=lambda: loop.run_until_complete(whole()))
    thread.start()
    assert is_up.wait(PATIENCE_S)
    yield desk, told[0], loop
    loop.call_soon_threadsafe(desk.ended.set)
    thread.join(PATIENCE_S)
    assert not thread.is_alive()
    loop.close()


def test_taps_and_pages_follow_one_snapshot(tmp_path: Path, served: tuple[Desk, str, asyncio.AbstractEventLoop]) -> None:
    desk, url, loop = served
    with opened(tmp_path / "profile") as phone:

        def shows(number: int) -> None:
            phone.wait(lambda: int(phone.find("body").get_attribute("data-number") or 0) >= number)

        phone.page.get(url)
        shows(desk.snapshot.number)
        assert phone.text("#state") == "READY"
        phone.tap("#next")
        shows(3)
        assert desk.snapshot.step == 1
        assert "Cut the skirt" in phone.text("#title")
        loop.call_soon_threadsafe(desk.apply, Command("back"))
        shows(4)
        assert "Cut the front" in phone.text("#title")
        loop.call_soon_threadsafe(desk.refuse, NotNow("The lay stays as it lies.", "Something is already cut.", "Move it instead."))
        phone.until("#message", "already cut")
        assert phone.faults() == []
