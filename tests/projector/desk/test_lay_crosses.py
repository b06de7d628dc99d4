"""The lay on the phone once a motif is placed: crosses of its row, and apart from them those of the side seams."""

import re
from collections import Counter
from pathlib import Path

import pytest
from shapely.geometry import Point, Polygon

from calibration.errors import WrongInput
from projector.desk import lay_tasks
from projector.desk.lay_tasks import lay

MEASURES = {"bust": 92, "waist": 74, "hip": 99, "nape_waist": 40, "stature": 165}
ORDER = {
    "client": {"name": "Ann", "unit": "cm", "lengths_from": "waist", "measures": MEASURES},
    "style": {"lining": False, "facings": False},
    "cloth": {"main": {"width": "150 cm", "up": "along"}},
}
ROUNDED_MM = 2.0
"""Drawings are whole millimetres of an outline simplified by one."""


def test_side_seams_show_their_own_crosses_at_bust_waist_and_hip(tmp_path: Path) -> None:
    """One on each layer's outline of either side of a seam, inside the cut line and no further in than the side's allowance."""
    _, told = lay(ORDER, tmp_path, "lengthwise", {"piece": "front centre", "level": "bust", "lower": "0"}, None)
    (drawing,) = [each for each in told["drawings"] if each["cloth"] == "main"]
    assert Counter(level for _, _, level in drawing["sides"]) == {"bust": 2, "waist": 4, "hip": 2}
    assert drawing["crosses"], "the motif's row stands beside them"
    outlines = {
        each["piece"]: Polygon([[float(n) for n in point.split(",")] for point in re.findall(r"-?\d+,-?\d+", each["d"])])
        for each in drawing["placed"]
    }
    sewn = {"bust": ("front side", "back"), "hip": ("skirt front", "skirt back")}
    for x, y, level in drawing["sides"]:
        inside = [name for name, shape in outlines.items() if shape.buffer(ROUNDED_MM).contains(Point(x, y))]
        assert inside, (x, y, level)
        assert min(outlines[name].exterior.distance(Point(x, y)) for name in inside) <= 51.0 + ROUNDED_MM
        assert level == "waist" or set(inside) & set(sewn[level])


def test_crosses_carry_the_letters_of_the_light(tmp_path: Path) -> None:
    """A: the motif and its row on every middle (front, back, sleeves none, skirts); then each place of a side seam, both sides alike."""
    _, told = lay(ORDER, tmp_path, "lengthwise", {"piece": "front centre", "level": "bust", "lower": "0"}, None)
    (drawing,) = [each for each in told["drawings"] if each["cloth"] == "main"]
    letters = Counter(letter for _, _, letter in drawing["letters"])
    assert letters == {"A": 5, "B": 2, "C": 2, "D": 2, "E": 2}
    assert sorted([x, y] for x, y, letter in drawing["letters"] if letter == "A") == sorted(drawing["crosses"])


def test_a_motif_taped_on_the_cloth_is_laid_there(tmp_path: Path) -> None:
    motif = {"piece": "front centre", "level": "bust", "lower": "0", "at": ["45 cm", "50 cm"]}
    _, told = lay(ORDER, tmp_path, "open", motif, None)
    (drawing,) = [each for each in told["drawings"] if each["cloth"] == "main"]
    assert [450, -500] in drawing["crosses"]
    with pytest.raises(WrongInput, match="two lengths"):
        lay(ORDER, tmp_path, "open", {**motif, "at": ["45 cm"]}, None)


def test_without_a_motif_there_are_none(tmp_path: Path) -> None:
    _, told = lay(ORDER, tmp_path, "lengthwise", None, None)
    assert all(each["sides"] == [] and each["crosses"] == [] for each in told["drawings"])


def test_a_bare_number_of_the_motif_is_read_in_the_orders_own_unit(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """As the cuts read it later from the card that is kept: inches on the order, though its client is shown in centimetres."""
    monkeypatch.setattr(lay_tasks, "PAGE_TRIALS", 1)
    crosses = []
    for lower in ("2", "2 in", "2 cm"):
        motif = {"piece": "front centre", "level": "bust", "lower": lower}
        _, told = lay(ORDER | {"unit": "in"}, tmp_path, "lengthwise", motif, None)
        crosses.append([each["crosses"] for each in told["drawings"]])
    assert crosses[0] == crosses[1] != crosses[2]
