"""One reader: line and column in every message, nothing read as something else than was typed."""

import pytest

from calibration.errors import WrongInput
from calibration.yaml_reader import document_from, typed_text
from calibration.yaml_writer import yaml_text


@pytest.mark.parametrize("typed", ["28:30", "007", "36.50", "1e3", "0x1F", "no", "2026-10-01", "36 1/4", "1_000"])
def test_scalars_keep_the_text_typed(typed: str) -> None:
    assert typed_text(document_from(f"x: {typed}", "f").data["x"]) == typed


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("a: 1\nb: 2\na: 3\n", "line 3, column 1"),  # the same key twice
        ("a: &x 1\nb: *x\n", "line 1, column 4"),
        ("a: !!python/object:os.system 1\n", "line 1, column 4"),
        ("a: [1, 2\n", "line 2"),
        ("a: 1\n b: 2\n", "line 2"),
        ("? [1]\n: 2\n", "line 1"),
    ],
)
def test_what_is_refused_is_refused_with_its_place(text: str, place: str) -> None:
    with pytest.raises(WrongInput) as told:
        document_from(text, "f.yaml")
    assert f"f.yaml, {place}" in told.value.what


def test_depth_is_limited() -> None:
    document_from("[" * 40 + "]" * 40, "f")
    with pytest.raises(WrongInput, match="At most 40 levels"):
        document_from("[" * 41 + "]" * 41, "f")


def test_what_is_no_text_is_told() -> None:
    with pytest.raises(WrongInput, match="not UTF-8"):
        document_from(b"\xff\xfe\x00", "f")


def test_written_and_read_back_alike() -> None:
    data = {"name": "Ọlá ẹ̀ ß", "measures": {"bust": "36 1/4", "waist": "28:30"}, "list": [1, 2.5, True, None], "empty": {}}
    assert document_from(yaml_text(data), "f").data == data
