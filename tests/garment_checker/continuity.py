"""P22: nearly the same body gets nearly the same pieces."""

from collections.abc import Iterator, Mapping
from typing import Any

from shapely.geometry import LineString

from tests.garment_checker.fault import Fault
from tests.garment_checker.model import read

MOVES_MM = 20.0  # for 3 mm of bust or waist, 2 mm of back length


def moved(one: Mapping[str, Any], other: Mapping[str, Any]) -> Iterator[Fault]:
    """Edges of equal name lie within 20 mm of each other; no piece appears or goes."""
    a, b = read(one), read(other)
    if set(a.pieces) != set(b.pieces):
        yield Fault("P22", "garment", f"pieces {sorted(set(a.pieces) ^ set(b.pieces))} come and go")
    for name in set(a.pieces) & set(b.pieces):
        first, second = a.pieces[name], b.pieces[name]
        apart = LineString(first.seam).hausdorff_distance(LineString(second.seam))
        if apart > MOVES_MM:
            yield Fault("P22", name, f"the outline moves by {apart:.1f} mm")
