"""What the phone is told of a dress as typed: in the client's own unit, the walking question with what each answer lets her step."""

from pathlib import Path

import pytest

from calibration.units import mm_from_text
from projector.desk.page_tasks import look

CLIENT = {
    "name": "Ada", "unit": "in", "lengths_from": "waist",
    "measures": {"bust": 36.5, "underbust": 31.25, "waist": 29, "hip": 40, "nape_waist": 16, "stature": 65},
}  # fmt: skip


@pytest.mark.parametrize("zip_at", ["back", "side"])
def test_a_narrow_skirt_asks_how_she_walks(tmp_path: Path, zip_at: str) -> None:
    told = look({"name": "gown", "client": CLIENT, "style": {"skirt": "tapered", "length": "full", "zip": zip_at}}, tmp_path)["walking"]
    assert told is not None
    steps = {name: mm_from_text(text, None) for name, text in told.items()}
    assert all(text.endswith(" in") for text in told.values())
    assert steps["without"] < steps["with"] <= steps["full"]
    assert 250 < steps["height"] < 600  # a narrow floor-length skirt opens at about the knee


def test_a_wide_skirt_asks_nothing(tmp_path: Path) -> None:
    assert look({"name": "day", "client": CLIENT, "style": {"skirt": "circle"}}, tmp_path)["walking"] is None


@pytest.mark.parametrize("hip_mm", [150, 250, 300])
def test_a_blouse_is_drawn_however_low_the_hip_lies(tmp_path: Path, hip_mm: int) -> None:
    """A waist to hip of 250 mm once left a side seam without length."""
    client = {**CLIENT, "measures": {**CLIENT["measures"], "waist_hip": f"{hip_mm} mm"}}  # type: ignore[dict-item]
    told = look({"name": "blouse", "client": client, "style": {"skirt": "none"}}, tmp_path)
    assert not told["seams"]["apart"]
