"""The cross for the print stands where the motif was placed, on the cloth as it lies."""

from functools import lru_cache

import pytest
from shapely.geometry import Point, Polygon

from projector.garment.pieces import Garment
from projector.lay.cloth import Budget, Cloth
from projector.lay.lay import Lay
from projector.lay.print_place import where_printed
from projector.lay.stage import Ask, lay_out
from projector.lay_jobs import motif_on, search_tools
from projector.steps.before import Printed
from projector.steps.make import make_steps
from tests.cutting.product import garment

REPEAT_MM = 304.8
UP = Cloth("main", 1524.0, up="along", repeat_along_mm=REPEAT_MM)


@lru_cache
def laid() -> tuple[Garment, Lay]:
    dress = garment("middle", {"lining": False})
    return dress, lay_out(dress, {"main": UP}, Ask("lengthwise", Budget(60, 1)), search_tools())


def cross_of(piece: str | None, level: str = "bust", lower: str = "0") -> tuple[float, float]:
    """Middle of the cross in the print's step of the main cloth, cloth mm; `piece` None: nothing was placed."""
    dress, lay = laid()
    printed = Printed(where_printed(dress, "main", motif_on(dress, piece, level, lower, "cm")), REPEAT_MM) if piece else None
    step = next(step for step in make_steps(dress, lay, printed=printed) if step.cloth == "main" and "print" in step.title.lower())
    bars = [line.mm for line in step.lines if line.kind == "cross" and line.piece is None]
    assert len(bars) == 2, "one cross of the motif; those of its partners name their piece"
    ends = [point for bar in bars for point in bar]
    x0, y0, x1, y1 = lay.parts[step.part].rect
    x, y = sum(x for x, _ in ends) / 4, sum(y for _, y in ends) / 4
    assert x0 <= x <= x1
    assert y0 <= y <= y1, "it stands in the light"
    return x, y


def outlines_of(piece: str) -> list[Polygon]:
    return [Polygon(placed.outline) for placed in laid()[1].placed if placed.piece == piece]


def test_lower_moves_the_cross_down_the_piece_by_as_much() -> None:
    """The print repeats every 304.8 mm: where the place 5 cm lower is beyond the light the same motif stands one repeat nearer."""
    (x0, y0), (x1, y1) = cross_of("front centre"), cross_of("front centre", lower="5 cm")
    moved = abs(x1 - x0) % REPEAT_MM
    assert min(moved, REPEAT_MM - moved) == pytest.approx(50.0, abs=0.001), "the garment's length runs along the cloth"
    assert y1 == pytest.approx(y0, abs=0.001), "it stays on the centre line"


@pytest.mark.parametrize(("piece", "level"), [("front centre", "bust"), ("skirt front", "hip"), ("back", "bust")])
def test_the_cross_is_on_its_piece_whole_repeats_away_at_most(piece: str, level: str) -> None:
    x, y = cross_of(piece, level)
    shown = [Point(x + count * REPEAT_MM, y) for count in range(-8, 9)]
    assert min(outline.distance(point) for outline in outlines_of(piece) for point in shown) < 0.01


def test_a_piece_in_the_first_light_has_the_cross_on_itself() -> None:
    dress, lay = laid()
    lit, level = next(
        (placed.piece, level)
        for placed in lay.placed
        for level in ("hip", "bust")
        if placed.part == 0 and level in dress.piece(placed.piece).levels
    )
    assert min(outline.distance(Point(cross_of(lit, level))) for outline in outlines_of(lit)) < 0.01


def test_nothing_placed_is_a_cross_in_the_light() -> None:
    cross_of(None)


def test_the_motif_comes_before_the_rows_of_its_partners() -> None:
    dress, _ = laid()
    motif = motif_on(dress, "front centre", "bust", "4 cm", "cm")
    places = where_printed(dress, "main", motif)
    assert next(iter(places.items())) == ("front centre", motif.point)
    assert "front side" in places, "the princess seam carries the row"
