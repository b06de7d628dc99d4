"""Lines moved at a fitting: how far one goes before the draft refuses, read back from its words and the pieces. mm, ours, no source."""

import re

import pytest

from calibration.errors import TableError
from projector.draft.style import style_from_mapping
from projector.garment.alter import alter
from projector.garment.pieces import Piece
from tests.published.test_shared_frame import MIDDLE

PLAIN = style_from_mapping({"lining": False, "facings": False})


SHALLOW = {**MIDDLE, "neck_depth": 64.0}


def piece(name: str, **lines: float) -> Piece:
    """One main piece of the middle body's dress with lines moved."""
    return next(each for each in alter(SHALLOW, PLAIN, lines).cut.pieces if each.name == name and each.of == "main")


def hollow_mm(name: str, **lines: float) -> float:
    """How far its neck's centre lies under its neck point."""
    neck = next(edge for edge in piece(name, **lines).edges if edge.kind == "neck")
    return neck.points[0][1] - neck.points[-1][1]


@pytest.mark.parametrize(("name", "line"), [("front centre", "neck_front"), ("back", "neck_back")])
def test_a_raised_neck_stays_8_hollow(name: str, line: str) -> None:
    """What is told as the most (in whole mm) leaves 8 to 8.5; a mm more is refused."""
    with pytest.raises(TableError) as told:
        alter(SHALLOW, PLAIN, {line: -59.0} if line == "neck_front" else {line: -30.0})
    found = re.search(r"(\d+) mm is the most", str(told.value))
    assert found
    most = float(found[1])
    assert hollow_mm(name, **{line: -most + 0.5}) == pytest.approx(8.5, abs=0.6)
    with pytest.raises(TableError):
        alter(SHALLOW, PLAIN, {line: -most - 1.0})


def test_one_line_moves_by_60_at_most() -> None:
    """More is another measure."""
    assert hollow_mm("front centre", neck_front=60.0) - hollow_mm("front centre") == pytest.approx(60.0, abs=0.1)
    with pytest.raises(TableError):
        alter(SHALLOW, PLAIN, {"neck_front": 60.5})
