"""Dress and fitting on a phone 360 px wide: amounts as her tape reads them, the walking question, and what a fitting does to the
pieces already cut: whether the cloth covers it, and the lines to cut again on the opened pieces, left and right apart.
"""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.browser.phone import Phone, opened
from tests.projector.made_up import table
from tests.served import served

pytestmark = pytest.mark.browser
GOWN = "wren_gown"  # inches, to the floor
MOVE = "arguments[0].value = arguments[1]; arguments[0].dispatchEvent(new Event('input', {bubbles: true}))"


@pytest.fixture
def phone(tmp_path: Path) -> Iterator[Phone]:
    table("ready").write(tmp_path / "table.yaml")
    with opened(tmp_path / "profile") as made, served(GOWN, tmp_path / "book", "--table", str(tmp_path / "table.yaml")) as program:
        made.page.get(program.url)
        made.until("#state", "READY")
        yield made


def slide(phone: Phone, key: str, mm: float) -> str:
    """Move an amount, wait until the dress is drawn again; what the amount then says."""
    seen = phone.drawings()
    phone.page.execute_script(MOVE, phone.find(f"#s-{key}"), str(mm))
    phone.wait(lambda: phone.drawings() > seen)
    return str(phone.page.execute_script("return arguments[0].previousElementSibling.textContent", phone.find(f"#s-{key}")))


def look_at_fitting(phone: Phone, line: str, side: str, way: str, by: str) -> None:
    for name, value in (("where", line), ("side", side), ("which way", way)):
        phone.select(f".pinned select[aria-label='{name}']", value)
    phone.type(".pinned .by", by)
    phone.tap("#look-fitting")
    phone.wait(lambda: "seams checked" in phone.text("#fit-result"))


def trims(phone: Phone) -> dict[str, str]:
    """Cards of opened pieces: heading and what is cut off."""
    cards = phone.page.find_elements("css selector", "#fit-result .card")
    for card in cards:
        assert card.find_elements("css selector", "svg path.later"), "the piece as it was cut is not drawn"
        assert card.find_elements("css selector", "svg path.cut.now"), "no line to cut again is drawn"
    return {card.find_element("tag name", "b").text: card.find_element("tag name", "p").text for card in cards}


@pytest.mark.timeout(300)
def test_dress_and_fitting_speak_her_tape_and_draw_what_is_cut_again(phone: Phone) -> None:
    phone.go("dress")
    phone.select("#orders", GOWN)
    phone.until("#look", "they meet")
    phone.tap("input[data-choice='skirt tapered']")
    phone.until("#look", "how shall she walk")
    asked = phone.text("#look fieldset legend")
    assert re.search(r"A full step is \d+( \d/\d)? in; an opening \d+( \d/\d)? in up", asked), asked
    steps = [each.text for each in phone.page.find_elements("css selector", "#look fieldset small")]
    assert len(steps) == 3
    assert all(re.fullmatch(r"a step of \d+( \d/\d)? in", text) for text in steps), steps
    assert steps[0] == steps[1] != steps[2]  # vent and slit give the same step, neither less
    phone.page.execute_script("for (const each of document.querySelectorAll('details')) each.open = true")
    assert slide(phone, "neck_drop_mm", 25.4) == "1 in"
    assert slide(phone, "peplum_mm", 152.4) == "6 in"
    assert slide(phone, "peplum_mm", 0) == "none"
    assert "cm" not in phone.text("#look")
    assert not re.search(r"\d ?mm\b", phone.text("main")), re.findall(r".{30}\d ?mm\b", phone.text("main"))
    assert phone.is_narrow()

    phone.go("fitting")
    phone.select("#fit-client", "wren")
    phone.select("#fit-order", GOWN)
    look_at_fitting(phone, "side_waist", "left", "-", "1/4")
    taken_in = trims(phone)
    assert taken_in
    assert all(", left" in name for name in taken_in), taken_in  # her right side stays as it is cut
    assert any(name.startswith("back") and "side: " in told for name, told in taken_in.items()), taken_in
    look_at_fitting(phone, "hem", "changes", "-", "1")
    both = trims(phone)
    assert {name for name in both if name.startswith("skirt") and "lining" not in name} == {"skirt front", "skirt back"}
    assert all("1 in" in told for name, told in both.items() if name.startswith("skirt")), both
    look_at_fitting(phone, "side_waist", "changes", "+", "1/2")
    phone.until("#fit-result", "covers it")
    assert phone.is_narrow()
    assert phone.faults() == []
