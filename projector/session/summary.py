"""A calibrated table in the few numbers that a snapshot carries."""

from calibration.table import Table
from projector.session.snapshot import TableSummary


def summary_of(table: Table, name: str = "") -> TableSummary:
    """What window and phone tell of a table. `shape_mm`: the greatest 95 % radius over the picture."""
    import numpy as np

    shape = float(np.nanmax(table.shape_error_mm(table.places_mm(9, 5))))
    return TableSummary(name, table.size, table.state, table.made.day, shape, table.size_percent, tuple(spot.at_mm for spot in table.spots))
