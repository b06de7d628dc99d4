"""Lines moved at a fitting: how far one goes before the draft refuses, read back from its words and the pieces. mm, ours, no source."""

import re

import pytest

from calibration.errors import TableError
from projector.draft.style import style_from_mapping
from projector.garment.alter import Cover, alter, covers
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


def test_a_hem_stays_4_under_the_hip() -> None:
    """A blouse ends 30 under it: 26 shorter at most."""
    blouse = style_from_mapping({"skirt": "none", "lining": False, "facings": False})
    assert alter(MIDDLE, blouse, {"hem": -25.9}).is_even
    with pytest.raises(TableError, match="The hem cannot be so short"):
        alter(MIDDLE, blouse, {"hem": -26.1})


def test_what_is_left_of_an_allowance() -> None:
    """6.4 (1/4 in, seam allowance pages) can still be sewn: of 25 at a fitted side 18.5 may be let out, 18.9 not (square to a slanting
    seam); what moved by half a millimetre is not told."""
    fitted = style_from_mapping({"fitted": True, "lining": False, "facings": False})
    before = alter(MIDDLE, fitted, {}).cut

    def side_of(mm: float) -> list[Cover]:
        lines = dict.fromkeys(("side_underarm", "side_waist", "side_hip", "side_hem"), mm)
        return [each for each in covers(before, alter(MIDDLE, fitted, lines).cut) if (each.piece, each.edge) == ("back", "side")]

    assert [each.is_covered for mm in (18.5, 18.9) for each in side_of(mm)] == [True, False]
    assert side_of(18.0)[0].left_mm == pytest.approx(7.0, abs=0.1)
    assert not side_of(0.45)
    assert side_of(0.55)


def test_one_line_moves_by_60_at_most() -> None:
    """More is another measure."""
    assert hollow_mm("front centre", neck_front=60.0) - hollow_mm("front centre") == pytest.approx(60.0, abs=0.1)
    with pytest.raises(TableError):
        alter(SHALLOW, PLAIN, {"neck_front": 60.5})
