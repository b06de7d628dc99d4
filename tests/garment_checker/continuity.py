"""P22: nearly the same body gets nearly the same pieces."""

from collections.abc import Iterator, Mapping
from typing import Any

from shapely.geometry import MultiLineString

from tests.garment_checker.fault import Fault
from tests.garment_checker.model import Piece, read

MOVES_MM = 20.0  # for 3 mm of bust or waist, 2 mm of back length


def _without_darts(piece: Piece) -> MultiLineString:
    """The outline's edges but for dart legs: one dart may become two, whose tips are new."""
    return MultiLineString([edge.line for edge in piece.edges if edge.kind != "dart"])


def moved(one: Mapping[str, Any], other: Mapping[str, Any]) -> Iterator[Fault]:
    """Outlines (dart legs left out) lie within 20 mm of each other; no piece appears or goes."""
    a, b = read(one), read(other)
    if set(a.pieces) != set(b.pieces):
        yield Fault("P22", "garment", f"pieces {sorted(set(a.pieces) ^ set(b.pieces))} come and go")
    for name in set(a.pieces) & set(b.pieces):
        first, second = a.pieces[name], b.pieces[name]
        apart = _without_darts(first).hausdorff_distance(_without_darts(second))
        if apart > MOVES_MM:
            yield Fault("P22", name, f"the outline moves by {apart:.1f} mm")
