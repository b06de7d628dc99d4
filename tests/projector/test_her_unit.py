"""Every warning and refusal of a draft tells lengths as her own tape reads them; none tells mm to a client who measures in inches."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

import projector
from calibration.errors import TableError
from projector.body.said import said_in, warnings_in
from projector.book.orders import order_from
from projector.making import garment_of

ROOT = Path(projector.__file__).parent
BODY = {
    "bust": "36 1/2 in", "underbust": "31 1/4 in", "waist": "29 in", "hip": "40 in", "nape_waist": "16 in", "stature": "65 in",
    "upper_arm": "11 1/2 in", "wrist": "6 1/4 in",
}  # fmt: skip
CASES: dict[str, tuple[dict[str, str], dict[str, Any], str]] = {
    # name: measures that differ, style, words that must come
    "strap": ({}, {"neck_widen_mm": 90, "princess": "shoulder"}, "keeps a strap"),
    "deep neck": ({"neck_bust": "9 1/2 in"}, {"neck_drop_mm": 160}, "above the bust line"),
    "deep back": ({"nape_waist": "14 1/2 in"}, {"back_neck_mm": 200, "zip": "back"}, "The back neck is"),
    "head": ({}, {"zip": "side"}, "the head must pass"),
    "neck beside the seam": ({}, {"neck": "square", "neck_drop_mm": 160, "princess": "shoulder", "sleeve": "short"}, "keeps clear of"),
    "walking": ({}, {"skirt": "tapered", "length": "full"}, "Neither lets her step"),
    "short skirt": ({"waist_hip": "10 in"}, {"length": 300, "skirt": "straight"}, "below the hip line"),
    "thick arm": ({"upper_arm": "15 in"}, {"sleeve": "long"}, "Bust ease is"),
    "arm and ease": ({"upper_arm": "14 1/4 in"}, {"sleeve": "long"}, "ease is"),
    "full bust, darts only": (
        {
            "bust": "1400 mm",
            "underbust": "1071 mm",
            "waist": "1059 mm",
            "hip": "1500 mm",
            "bust_span": "223 mm",
            "nape_waist": "436 mm",
            "stature": "1757 mm",
            "upper_arm": "480 mm",
        },
        {"princess": "none"},
        "lies flat",
    ),
    "no armhole": (
        {
            "bust": "1191 mm",
            "underbust": "925 mm",
            "waist": "1126 mm",
            "hip": "1164 mm",
            "nape_waist": "376 mm",
            "stature": "1608 mm",
            "upper_arm": "477 mm",
            "front_waist": "513 mm",
        },
        {"sleeve": "long", "ease": "roomy"},
        "round an upper arm of",
    ),
    "inset hidden": ({}, {"neck": "v", "inset": 150}, "The inset's neckline lies"),
    "hip too large": ({"hip": "64 in"}, {}, "a quarter for darts"),
    "bust high": ({"neck_bust": "8 1/2 in", "bust_span": "12 1/2 in"}, {}, "houlder to nipple"),
    "cup": ({"underbust": "26 in"}, {}, "usual is"),
    "front and back": ({"front_waist": "20 in"}, {}, "disagree"),
    "height": ({"nape_waist": "18 3/4 in"}, {}, "does not go with a height"),
}


def _words(measures: dict[str, str], style: dict[str, Any], unit: str, tmp: Path) -> str:
    card = {"name": "Ada", "unit": unit, "lengths_from": "waist", "measures": {**BODY, **measures}}
    order = order_from({"client": card, "style": style}, "dress", None, tmp, tmp)
    try:
        return "\n".join(garment_of(order).warnings)
    except TableError as told:
        return str(told)


@pytest.mark.parametrize("case", sorted(CASES))
def test_her_tape_speaks(case: str, tmp_path: Path) -> None:
    measures, style, words = CASES[case]
    inches, metric = (_words(measures, style, unit, tmp_path) for unit in ("in", "cm"))
    for told, own, other in ((inches, " in", r"\d (cm|mm)\b"), (metric, " cm", r"\d (in|mm)\b")):
        assert words in told
        line = next(each for each in told.split("\n") if words in each)
        assert own in line
        assert not re.search(other, line), line


def test_a_length_too_small_for_her_tape_is_not_shown_as_nothing() -> None:
    assert said_in("off by 1 mm, wide 25.4 mm, at 0 mm", "in") == "off by under 1/8 in, wide 1 in, at 0 in"
    assert said_in("style: neck_drop_mm 20; 12 mm", "cm") == "style: neck_drop_mm 20; 1.2 cm"


def test_what_her_tape_does_not_show_is_no_warning() -> None:
    texts = (
        "The back neck is 66 mm deep, not 67 mm: so it keeps clear.", "The back neck is 66 mm deep, not 80 mm: so it keeps clear.",
        "The neck is widened by 20 mm, not 21 mm, and dropped by 30 mm, not 60 mm: so it keeps clear.",
        "The neck is widened by 12 1/2 mm.",
    )  # fmt: skip
    assert len(warnings_in(texts, "in")) == 3
    assert len(warnings_in(texts, "cm")) == 4


def _joined() -> Iterator[tuple[str, str]]:
    """Every f-string of draft and garment with its place, figures as `{}`."""
    for file in sorted([*(ROOT / "draft").glob("*.py"), *(ROOT / "garment").glob("*.py")]):
        if file.name in ("style.py", "own.py", "curve.py"):  # keys as an order holds them; her blocks, typed in mm; never shown
            continue
        tree = ast.parse(file.read_text("utf-8"))
        for node in ast.walk(tree):
            if isinstance(node, ast.JoinedStr):
                parts = [str(part.value) if isinstance(part, ast.Constant) else _figure(part) for part in node.values]
                yield f"{file.name}:{node.lineno}", "".join(parts)


def _figure(part: ast.expr) -> str:
    return "{}" if isinstance(part, ast.FormattedValue) and part.format_spec is not None else ""


def test_each_length_in_a_sentence_carries_its_own_mm() -> None:
    """`widened by 40, not 60 mm` would be told as `widened by 40, not 2 3/8 in`."""
    sentences = list(_joined())
    assert len(sentences) > 100
    bare = [(place, text) for place, text in sentences if re.search(r"\{\}(?! mm\b| degrees| %)", text)]
    assert bare == []
