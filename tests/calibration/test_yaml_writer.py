"""What is written is what a person would write: a line a name, nothing quoted without need, her comments where she put them."""

import pytest

from calibration.yaml_reader import document_from
from calibration.yaml_writer import with_comments, yaml_text

HERS = """# her card
name: "Ann # not a comment"   # her name
measures:
  # from the top
  bust: 36 1/2   # tight
  waist: 28
  gone: 3 # measured by Ada
cloth:
  main: {width: 150 cm,   # wide
         up: none} # in the cupboard
note: |
  text # inside
list: [1,
  # in the middle
  2]
# the end
"""


def test_comments_stay_at_their_names_and_none_is_lost() -> None:
    data = document_from(HERS, "f").data
    data["measures"]["waist"] = "30 1/4"
    del data["measures"]["gone"]
    text = with_comments(yaml_text(data), HERS)
    assert document_from(text, "f").data == data
    lines = text.splitlines()
    assert lines[0] == "# her card"
    assert lines[1].endswith("'  # her name")
    assert lines[3:5] == ["  # from the top", "  bust: 36 1/2  # tight"]
    assert "  waist: 30 1/4" in lines
    assert [each for each in ("# wide", "# in the cupboard", "# in the middle", "# measured by Ada", "# the end") if each not in text] == []


def test_written_twice_nothing_changes() -> None:
    once = with_comments(yaml_text(document_from(HERS, "f").data), HERS)
    assert with_comments(yaml_text(document_from(once, "f").data), once) == once


@pytest.mark.parametrize("typed", ["007", "36.50", "36 1/4", "28:30", "2026-11-30", "no", "1_000", "1e3", "0x1F", "-.5"])
def test_a_line_comes_back_as_it_was_typed(typed: str) -> None:
    assert yaml_text(document_from(f"x: {typed}\n", "f").data) == f"x: {typed}\n"


TEXTS = ["36", "1.5", "true", "null", "~", "", " a", "a: b", "# a", "- a", "[a", "&a", "*a", "!a", "a\nb\n", "a #b", "'", '"']


@pytest.mark.parametrize("text", TEXTS)
def test_a_text_comes_back_as_a_text(text: str) -> None:
    assert document_from(yaml_text({"x": text, "list": [text]}), "f").data == {"x": text, "list": [text]}


def test_one_thing_named_twice_is_written_out_twice() -> None:
    both = {"day": "today"}
    assert document_from(yaml_text([both, both]), "f").data == [both, both]
