"""What the page looks like, measured without a browser: contrast of every pair of colours used, in both themes."""

import re
from pathlib import Path

import pytest

CSS = (Path(__file__).resolve().parents[3] / "projector" / "web" / "static" / "page.css").read_text("utf-8")
TEXT, PARTS = 4.5, 3.0
"""WCAG 2.2, success criteria 1.4.3 (text) and 1.4.11 (edges of what is pressed, lines of drawings)."""
WORDS = [
    ("text", "ground"), ("text", "card"), ("dim", "ground"), ("dim", "card"), ("accent", "ground"), ("accent", "card"),
    ("on-accent", "accent"), ("stop", "ground"), ("stop", "card"), ("good", "ground"), ("good", "card"), ("ground", "stop"),
]  # fmt: skip
EDGES = [("edge", "ground"), ("edge", "card"), ("accent", "ground"), ("accent", "card")]
NIGHT, PAPER, CLOTH = "#0b0a08", "#fbfaf7", "#f0ead9"
DRAWN = {
    ".step .cut.now": NIGHT, ".step .later": NIGHT, ".step .mark": NIGHT, ".step .fold": NIGHT, ".drawing .cloth": PAPER,
    ".drawing .part": CLOTH, ".drawing .motif": "#ffffff", ".drawing .chosen .placed": CLOTH,
}  # fmt: skip
"""Lines that say something, on the ground they are drawn on; the grey of what lies there anyway may be fainter."""
NOT_PRESSED = {"#message", "label.button input", ".tick input", ".choice input"}
"""What may be of any height: a sentence, and the boxes that lie in a label of their own, which is what a thumb meets."""


def theme(name: str) -> dict[str, str]:
    """The colour variables of one theme; the light one overrides the dark one."""
    blocks = {"dark": r":root \{(.*?)\}", "light": r':root\[data-theme="light"\] \{(.*?)\}'}
    found = re.search(blocks[name], CSS, re.DOTALL)
    assert found is not None
    return dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6})", found[1]))


def luminance(colour: str) -> float:
    """Relative luminance, WCAG 2.2 definition."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def test_the_formula_gives_the_known_ends() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)  # the grey just under 4.5 in W3C's own examples


@pytest.mark.parametrize("name", ["dark", "light"])
def test_every_pair_of_colours_is_read_in_dim_light_and_sun(name: str) -> None:
    colours = theme(name)
    weak = {f"{a} on {b}": contrast(colours[a], colours[b]) for a, b in WORDS if contrast(colours[a], colours[b]) < TEXT}
    weak |= {f"edge {a} on {b}": contrast(colours[a], colours[b]) for a, b in EDGES if contrast(colours[a], colours[b]) < PARTS}
    assert weak == {}


@pytest.mark.parametrize("selector", DRAWN)
def test_lines_of_drawings_stand_out(selector: str) -> None:
    found = re.search(rf"{re.escape(selector)} {{[^}}]*stroke: (#[0-9a-f]{{6}})", CSS)
    assert found is not None
    assert contrast(found[1], DRAWN[selector]) >= PARTS, selector


def test_what_is_pressed_is_large_enough() -> None:
    """48 px aimed at (24 asked for by WCAG 2.2, 2.5.8): the one rule for buttons and fields, and no rule that undercuts it."""
    size = int(re.search(r"font: (\d+)px", CSS)[1])  # type: ignore[index]
    base = re.search(r"button, input, select, textarea \{[^}]*min-height: ([\d.]+)rem", CSS)
    assert base is not None
    assert float(base[1]) * size >= 48
    heights = re.findall(r"([^{}]+)\{[^{}]*min-height: ([^;}]+)", CSS)
    small = [(rule.strip(), tall) for rule, tall in heights if not tall.endswith("rem") or float(tall.removesuffix("rem")) * size < 48]
    assert {rule for rule, _ in small} == NOT_PRESSED, small
