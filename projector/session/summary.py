"""A calibrated table in the few numbers that a snapshot carries."""

from calibration.table import Table
from projector.session.snapshot import TableSummary


def summary_of(table: Table, name: str = "") -> TableSummary:
    """What window and phone tell of a table. `shape_mm`: the greatest 95 % radius over the picture."""
    import numpy as np

    from calibration.homography import corner_pixels

    shape = float(np.nanmax(table.shape_error_mm(table.places_mm(9, 5))))
    lit = table.mm_from_px(corner_pixels(table.size))
    return TableSummary(
        name=name,
        size_px=table.size,
        state=table.state,
        day=table.made.day,
        shape_mm=shape,
        size_percent=table.size_percent,
        spots=tuple(spot.at_mm for spot in table.spots),
        lit=tuple((float(x), float(y)) for x, y in lit),
    )
