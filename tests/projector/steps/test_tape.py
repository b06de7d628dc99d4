"""The tape checks of a whole dress: three to five lengths a piece, sums that are true as read, her plain quarter beside."""

import re
from fractions import Fraction

import pytest

from projector.book.orders import load_order
from projector.lay.cloth import Budget
from projector.making import Made, make
from projector.steps.step import Step

MM = 25.4
SUM = re.compile(
    r"^(?:(?P<where>[a-z ]+) )?(?P<whole>[\d /]+) = (?P<sewn>[\d /]+) \+ (?P<rest>[\d /]+?)(?: \(1/4: (?P<quarter>[\d /]+)\))?$"
)


@pytest.fixture(scope="module")
def made() -> Made:
    return make(load_order("sample"), budget=Budget(20, 1))


def _inches(text: str) -> Fraction:
    return sum((Fraction(part) for part in text.split()), Fraction(0))


def _tapes(made: Made) -> dict[str, Step]:
    return {step.tapes[0].piece: step for step in made.steps if step.tapes}


def test_every_panel_has_three_to_five_lengths(made: Made) -> None:
    panels = {piece.name for piece in made.garment.pieces if piece.of in ("main", "lining") and any(e.kind == "waist" for e in piece.edges)}
    counts = {name: len(step.tapes) for name, step in _tapes(made).items()}
    assert panels <= counts.keys()
    assert {name: counts[name] for name in panels if not 3 <= counts[name] <= 5} == {}
    assert all(len(step.labels) == len(step.tapes) for step in _tapes(made).values())  # the keys choose a number by its place


def test_sums_are_true_as_read_and_quarters_are_hers(made: Made) -> None:
    for name, step in _tapes(made).items():
        part = made.garment.piece(name).part
        for label, read in zip(step.labels, step.tapes, strict=True):
            found = SUM.match(label.text)
            assert found, label.text
            assert _inches(found["whole"]) == _inches(found["sewn"]) + _inches(found["rest"])
            assert abs(_inches(found["whole"]) * MM - read.mm) <= MM / 16 + 1e-6
            if found["quarter"]:
                assert abs(_inches(found["quarter"]) * MM - made.garment.measures[read.where] / 4) <= MM / 16 + 1e-6
            is_quarter = part in ("back", "skirt_front", "skirt_back") and read.where in ("bust", "underbust", "waist", "hip")
            assert bool(found["quarter"]) == is_quarter, (name, label.text)


def test_waist_and_hem_are_taped_from_end_to_end(made: Made) -> None:
    """Against the pieces themselves: the sewing line's ends, straight, as her tape lies."""
    seen = set()
    for name, step in _tapes(made).items():
        piece = made.garment.piece(name)
        for read in step.tapes:
            if read.where in ("waist", "hem"):
                ends = [point for edge in piece.edges if edge.kind == read.where for point in edge.points]
                (x0, y0), (x1, y1) = ends[0], ends[-1]
                seen.add(read.where)
                assert read.sewn_mm == pytest.approx(((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5, abs=0.1)
    assert seen == {"waist", "hem"}
