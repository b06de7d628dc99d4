"""Bias strips on cloth beyond the lay: what she is told while she lays it open."""

from math import hypot

import pytest

from projector.lay.bias import with_binding
from projector.lay.cloth import Cloth
from projector.steps.make import make_steps
from tests.projector.steps import by_hand


def test_one_layer_is_read_across_the_table() -> None:
    """24 mm high, half again as high as a piece's name (16), in the middle of the cloth that is laid open."""
    piece = by_hand.rectangle("front", 300.0, 300.0)
    plain = by_hand.lay([by_hand.placed(piece, (20.0, 20.0), ["main-1.1", "main-1.2"])], layers=2, long=400.0)
    made = with_binding(plain, Cloth("main", 1640.0), 1500.0, 40.0)
    assert made.binding is not None
    opened = next(step for step in make_steps(by_hand.garment([piece]), made) if step.op == "fold" and step.cloth != "main")
    (label,) = opened.labels
    assert label.text == "×1"
    assert label.size_mm == pytest.approx(24.0)
    x, y = zip(*opened.lines[0].mm, strict=True)
    assert label.at == pytest.approx(((min(x) + max(x)) / 2, (min(y) + max(y)) / 2))


def test_a_strip_is_taped_square_across() -> None:
    """Her ruler of light lies from edge to edge of a strip cut at 45 degrees, as long as the strip is wide; 0.01 mm: nothing is curved."""
    piece = by_hand.rectangle("front", 300.0, 300.0)
    plain = by_hand.lay([by_hand.placed(piece, (20.0, 20.0), ["main-1.1", "main-1.2"])], layers=2, long=400.0)
    made = with_binding(plain, Cloth("main", 1640.0), 1500.0, 40.0)
    bars = [line.mm for step in make_steps(by_hand.garment([piece]), made) for line in step.lines if line.kind == "ruler"]
    ((x0, y0), (x1, y1)) = bars[-1]
    assert hypot(x1 - x0, y1 - y0) == pytest.approx(40.0, abs=0.01)
    assert abs(x1 - x0) == pytest.approx(abs(y1 - y0), abs=0.01)
