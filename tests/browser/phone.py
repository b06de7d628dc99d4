"""A phone 360 px wide in a real browser, with the few things a thumb does. Waits for what the page shows, never for a time."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from selenium import webdriver
from selenium.common.exceptions import NoSuchElementException, StaleElementReferenceException
from selenium.webdriver.common.by import By
from selenium.webdriver.remote.webelement import WebElement
from selenium.webdriver.support.ui import Select, WebDriverWait

PATIENCE_S = 120.0
FLAGS = (
    "--headless=new", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--disable-dev-shm-usage", "--window-size=500,900",
)  # fmt: skip


class Phone:
    """The browser at a phone's size."""

    def __init__(self, profile: Path, width: int = 360, height: int = 740) -> None:
        options = webdriver.ChromeOptions()
        for flag in (*FLAGS, f"--user-data-dir={profile}"):
            options.add_argument(flag)
        options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
        self.page = webdriver.Chrome(options, webdriver.ChromeService("/usr/bin/chromedriver"))
        self.page.set_script_timeout(PATIENCE_S)
        self.width = width
        size = {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": True}
        self.page.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", size)

    def wait(self, is_so: Callable[[], Any]) -> Any:
        """Until it is so."""
        gone = (NoSuchElementException, StaleElementReferenceException)
        return WebDriverWait(self.page, PATIENCE_S, 0.1, ignored_exceptions=gone).until(lambda _: is_so())

    def find(self, css: str) -> WebElement:
        """The element, once it is there."""
        found: WebElement = self.wait(lambda: self.page.find_element(By.CSS_SELECTOR, css))
        return found

    def drawings(self) -> int:
        """How often the dress was drawn on its screen so far."""
        return int(self.find("#look").get_attribute("data-seen") or 0)

    def text(self, css: str) -> str:
        """What the element says."""
        return str(self.page.execute_script("return document.querySelector(arguments[0])?.textContent ?? ''", css))

    def until(self, css: str, words: str) -> None:
        """Wait until the element says this."""
        try:
            self.wait(lambda: words in self.text(css))
        except Exception as late:
            raise AssertionError(f"{css} says {self.text(css)!r}, not {words!r}; message: {self.text('#message')!r}") from late

    def tap(self, css: str) -> None:
        """In the middle of the screen, where nothing lies over it."""

        def tapped() -> bool:
            element = self.page.find_element(By.CSS_SELECTOR, css)
            self.page.execute_script("arguments[0].scrollIntoView({block: 'center'})", element)
            if not element.is_enabled():
                return False
            element.click()
            return True

        self.wait(tapped)

    def type(self, css: str, text: str) -> None:
        """Instead of what stood there."""
        element = self.find(css)
        element.clear()
        element.send_keys(text)

    def go(self, screen: str) -> None:
        """By the bar at the foot."""
        self.tap(f"nav a[data-name={screen}]")
        self.find(f"main[data-screen={screen}]")

    def select(self, css: str, value: str) -> None:
        """One of a list, once it is filled."""
        self.find(f"{css} option[value='{value}']")
        Select(self.find(css)).select_by_value(value)

    def fetch(self, path: str) -> Any:
        """What one of the page's own doors tells."""
        return self.page.execute_async_script("fetch(arguments[0]).then(r => r.json()).then(arguments[1])", path)

    def state(self) -> Any:
        """The snapshot as the page's own door tells it."""
        return self.fetch("/state")

    def is_narrow(self) -> bool:
        """Nothing sticks out sideways."""
        return bool(self.page.execute_script("return document.documentElement.scrollWidth <= arguments[0]", self.width))

    def faults(self) -> list[str]:
        """What the browser complained of: a defect of the page's script, or something its own strict rules forbid."""
        told: list[dict[str, str]] = self.page.get_log("browser")  # type: ignore[no-untyped-call]
        return [line["message"] for line in told if line["level"] == "SEVERE" and "Failed to load resource" not in line["message"]]


@contextmanager
def opened(profile: Path, width: int = 360) -> Iterator[Phone]:
    """A browser of its own while the block runs."""
    phone = Phone(profile, width)
    try:
        yield phone
    finally:
        phone.page.quit()
