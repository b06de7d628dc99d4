"""The lay on the phone once a motif is placed: crosses of its row, and apart from them those of the side seams."""

import re
from collections import Counter
from pathlib import Path
from typing import Any

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
SIDE_ALLOWANCE_MM = 51.0
"""Sides of a first dress are cut 2 in wide (50.8 mm), so that they can be let out."""


Drawing = dict[str, Any]


@pytest.fixture(scope="module")
def laid(tmp_path_factory: pytest.TempPathFactory) -> Drawing:
    """The lay as the page searches it, the motif at the bust of the front."""
    return drawn(tmp_path_factory.mktemp("book"), "lengthwise", {"piece": "front centre", "level": "bust", "lower": "0"})


@pytest.fixture
def _few_trials(monkeypatch: pytest.MonkeyPatch) -> None:
    """For what stands the same however well the pieces lie."""
    monkeypatch.setattr(lay_tasks, "PAGE_TRIALS", 1)


def drawn(folder: Path, fold: str, motif: dict[str, Any] | None, more: dict[str, Any] | None = None) -> Drawing:
    """The drawing of the main cloth."""
    _, told = lay(ORDER | (more or {}), folder, fold, motif, None)
    (drawing,) = [each for each in told["drawings"] if each["cloth"] == "main"]
    return dict(drawing)


def test_side_seams_show_their_own_crosses_at_bust_waist_and_hip(laid: Drawing) -> None:
    """One on each layer's outline of either side of a seam, inside the cut line and no further in than the side's allowance."""
    assert Counter(level for _, _, level in laid["sides"]) == {"bust": 2, "waist": 4, "hip": 2}
    assert laid["crosses"], "the motif's row stands beside them"
    outlines = {
        each["piece"]: Polygon([[float(n) for n in point.split(",")] for point in re.findall(r"-?\d+,-?\d+", each["d"])])
        for each in laid["placed"]
    }
    sewn = {"bust": {"front side", "back"}, "hip": {"skirt front", "skirt back"}}
    sewn["waist"] = sewn["bust"] | sewn["hip"]
    for x, y, level in laid["sides"]:
        inside = [name for name, shape in outlines.items() if shape.buffer(ROUNDED_MM).contains(Point(x, y))]
        assert inside, (x, y, level)
        assert min(outlines[name].exterior.distance(Point(x, y)) for name in inside) <= SIDE_ALLOWANCE_MM + ROUNDED_MM
        assert set(inside) & sewn[level]


def test_crosses_carry_the_letters_of_the_light(laid: Drawing) -> None:
    """A: the motif and its row on every middle (front, back, sleeves none, skirts); then each place of a side seam, both sides alike."""
    letters = Counter(letter for _, _, letter in laid["letters"])
    assert letters == {"A": 5, "B": 2, "C": 2, "D": 2, "E": 2}
    assert sorted([x, y] for x, y, letter in laid["letters"] if letter == "A") == sorted(laid["crosses"])


@pytest.mark.usefixtures("_few_trials")
def test_a_motif_taped_on_the_cloth_is_laid_there(tmp_path: Path) -> None:
    motif = {"piece": "front centre", "level": "bust", "lower": "0", "at": ["45 cm", "50 cm"]}
    assert [450, -500] in drawn(tmp_path, "open", motif)["crosses"]
    with pytest.raises(WrongInput, match="two lengths"):
        drawn(tmp_path, "open", {**motif, "at": ["45 cm"]})


@pytest.mark.usefixtures("_few_trials")
def test_without_a_motif_there_are_none(tmp_path: Path) -> None:
    drawing = drawn(tmp_path, "lengthwise", None)
    assert (drawing["sides"], drawing["crosses"]) == ([], [])


@pytest.mark.usefixtures("_few_trials")
def test_a_bare_number_of_the_motif_is_read_in_the_orders_own_unit(tmp_path: Path) -> None:
    """As the cuts read it later from the card that is kept: inches on the order, though its client is shown in centimetres."""
    bare, inches, metric = (
        drawn(tmp_path, "lengthwise", {"piece": "front centre", "level": "bust", "lower": lower}, {"unit": "in"})["crosses"]
        for lower in ("2", "2 in", "2 cm")
    )
    assert bare == inches != metric


def test_a_piece_s_name_stands_where_its_letters_have_room() -> None:
    """Not in the 40 mm tongue along the lower edge, however long that is, for letters of 60 mm."""
    outline = ((0.0, 0.0), (900.0, 0.0), (900.0, 40.0), (500.0, 40.0), (500.0, 400.0), (0.0, 400.0))
    (x, y), wide = lay_tasks._room(outline, 30.0)
    assert 30.0 <= x <= 470.0
    assert 30.0 <= -y <= 370.0
    assert wide == 500
