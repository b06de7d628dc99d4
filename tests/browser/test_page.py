"""The page in a real browser: taps become commands, every page follows the same snapshot. Waits for the snapshot's number."""

import asyncio
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from selenium import webdriver
from selenium.webdriver.common.by import By
from selenium.webdriver.support.ui import WebDriverWait

from projector.desk.desk import Desk
from projector.desk.serve import Serving, serve
from projector.session.change import NotNow
from projector.session.commands import Command
from tests.projector.made_up import table, work

pytestmark = pytest.mark.browser
PATIENCE_S = 60


@pytest.fixture
def browser() -> Iterator[webdriver.Chrome]:
    options = webdriver.ChromeOptions()
    for argument in ("--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--window-size=430,1400"):
        options.add_argument(argument)
    driver = webdriver.Chrome(options, webdriver.ChromeService("/usr/bin/chromedriver"))
    try:
        yield driver
    finally:
        driver.quit()


@pytest.fixture
def served(tmp_path: Path) -> Iterator[tuple[Desk, str, asyncio.AbstractEventLoop]]:
    """A desk on its own loop in a thread; its address."""
    desk = Desk(work(), table("ready"), tmp_path / "table.yaml", None)
    told: list[str] = []
    is_up = threading.Event()
    loop = asyncio.new_event_loop()

    async def nothing() -> None:
        return None

    def answers(url: str, port: int) -> None:
        told.append(url)
        is_up.set()

    async def whole() -> None:
        await serve(desk, Serving(), lambda: None, nothing, answers)

    def run() -> None:
        loop.run_until_complete(whole())
        loop.close()

    thread = threading.Thread(target=run)
    thread.start()
    assert is_up.wait(PATIENCE_S)
    yield desk, told[0], loop
    loop.call_soon_threadsafe(desk.ended.set)
    thread.join(PATIENCE_S)


def test_taps_and_pages_follow_one_snapshot(browser: webdriver.Chrome, served: tuple[Desk, str, asyncio.AbstractEventLoop]) -> None:
    desk, url, loop = served

    def shows(number: int) -> None:
        WebDriverWait(browser, PATIENCE_S).until(
            lambda page: int(page.find_element(By.TAG_NAME, "body").get_attribute("data-number") or 0) >= number
        )

    browser.get(url)
    shows(desk.snapshot.number)
    assert browser.find_element(By.ID, "state").text == "READY"
    browser.find_element(By.ID, "next").click()
    shows(3)
    assert desk.snapshot.step == 1
    assert "Cut the skirt" in browser.find_element(By.ID, "title").text
    loop.call_soon_threadsafe(desk.apply, Command("back"))
    shows(4)
    assert "Cut the front" in browser.find_element(By.ID, "title").text
    loop.call_soon_threadsafe(desk.refuse, NotNow("The lay stays as it lies.", "Something is already cut.", "Move it instead."))
    shows(5)
    message = browser.find_element(By.ID, "message")
    WebDriverWait(browser, PATIENCE_S).until(lambda _: "already cut" in message.text)
