"""Every screen of the page, dark and light, as pictures to look at: `python -m tests.browser.screens --out DIR`.

Phone width (360 px, whole length) in both themes, the laptop's width once, French once; with an order of the samples on a READY table.
"""

import argparse
import base64
import tempfile
from pathlib import Path

from tests.browser.phone import Phone, opened
from tests.projector.made_up import table
from tests.served import served

ORDER = "tomasina_plain"
SCREENS = ("table", "client", "dress", "cloth", "cut", "fitting")


def shot(phone: Phone, file: Path, is_whole: bool = True) -> None:
    """The page from top to bottom, or what the glass shows."""
    asked = {"format": "png", "captureBeyondViewport": is_whole}
    if is_whole:
        size = phone.page.execute_cdp_cmd("Page.getLayoutMetrics", {})["cssContentSize"]
        asked["clip"] = {"x": 0, "y": 0, "width": size["width"], "height": min(size["height"], 4000), "scale": 1}
    file.write_bytes(base64.b64decode(phone.page.execute_cdp_cmd("Page.captureScreenshot", asked)["data"]))
    print(file)


def filled(phone: Phone, screen: str) -> None:
    """Go there and wait until what it asks for has come."""
    phone.go(screen)
    if screen == "dress":
        phone.select("#orders", ORDER)
        phone.until("#look", "they meet")
    elif screen == "cloth":
        phone.tap("#lay-it")
        phone.until("#lay", " yd)")
    elif screen == "cut":
        phone.wait(lambda: phone.find(".step svg"))
    elif screen == "fitting":
        phone.wait(lambda: phone.find("#fit-order option"))


def command(phone: Phone, name: str, **args: object) -> None:
    """Asked of the desk past the page, as a key at the table would."""
    script = "fetch('/command', {method: 'POST', body: JSON.stringify({name: arguments[0], args: arguments[1]})}).then(arguments[2])"
    phone.page.execute_async_script(script, name, args)


def walk(phone: Phone, url: str, out: Path, name: str, screens: tuple[str, ...] = SCREENS) -> None:
    """Every screen once."""
    for screen in screens:
        filled(phone, screen)
        shot(phone, out / f"{name}-{screen}.png")
        if not phone.is_narrow():
            print(f"{screen} sticks out sideways")


def themes(phone: Phone, url: str, out: Path) -> None:
    """Dark, light, the client's card, a step that cuts, French."""
    walk(phone, url, out, "dark")
    phone.page.get(url.partition("?")[0] + "#client/tomasina")
    phone.until("#verdict", "A dress can be drafted")
    shot(phone, out / "dark-card.png")
    phone.go("table")
    for name in ("set_up", "shadow"):
        command(phone, name)
        phone.wait(lambda: phone.find("#first").is_displayed())
        shot(phone, out / f"dark-{name}.png", is_whole=False)
    command(phone, "leave")
    phone.tap("#theme")
    walk(phone, url, out, "light")
    steps = phone.fetch("/steps")["steps"]
    cut = next(number for number, step in enumerate(steps) if step["is_fact"])
    command(phone, "go", step=cut)
    phone.go("cut")
    phone.until("#title", str(steps[cut]["title"]))
    shot(phone, out / "light-cut-now.png")
    shot(phone, out / "light-cut-glass.png", is_whole=False)
    phone.tap("#theme")
    shot(phone, out / "dark-cut-glass.png", is_whole=False)
    phone.go("table")
    phone.select("#tongue", "fr")
    phone.find("html[lang=fr]")
    for screen in SCREENS:
        phone.go(screen)
        shot(phone, out / f"french-{screen}.png")


def main() -> None:
    """Make the pictures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--out", type=Path, required=True)
    out = parser.parse_args().out
    out.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        table("ready").write(Path(folder) / "table.yaml")
        with served(ORDER, Path(folder) / "book", "--table", f"{folder}/table.yaml") as program:
            for width, use in ((360, themes), (1200, lambda phone, url, to: walk(phone, url, to, "wide"))):
                with opened(Path(folder) / f"profile-{width}", width) as phone:
                    phone.page.get(program.url)
                    phone.until("#state", "READY")
                    use(phone, program.url, out)


if __name__ == "__main__":
    main()
