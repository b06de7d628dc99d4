"""`python -m calibration map`: pairs of millimetres to pixels or back, through the saved table."""

from pathlib import Path
from typing import Annotated

import typer


def map(  # named as the command
    table: Annotated[Path, typer.Argument(help="table.yaml as solve wrote it")],
    to: Annotated[str, typer.Option("--to", help="mm or px: what comes out")],
    height: Annotated[float, typer.Option("--height", help="height of the cloth's upper side above the table, mm")] = 0.0,
    error: Annotated[bool, typer.Option("--error", help="third column: 95 % radius of the shape error there, mm")] = False,
) -> None:
    """Pairs "x,y" on stdin to pairs on stdout, one line out for each line in; nan,nan beyond the horizon."""
    import sys

    import numpy as np

    from calibration.errors import WrongInput
    from calibration.pairs import pairs_from_text, text_from_pairs
    from calibration.table import Table

    if to not in {"mm", "px"}:
        raise WrongInput(f"--to {to} is not known.", "It says what comes out.", "Write --to mm or --to px.")
    if not np.isfinite(height) or height < 0.0:
        raise WrongInput(f"--height {height:g} is no height of cloth.", "It is counted up from the table.", "Give 0 or more, in mm.")
    loaded = Table.read(table)
    if height:
        loaded.px_from_mm(np.zeros((1, 2)), height)  # a height that cannot be lit is told before anything is read
    given = pairs_from_text(sys.stdin.read())
    found = loaded.mm_from_px(given, height) if to == "mm" else loaded.px_from_mm(given, height)
    radius = None
    if error:
        radius = loaded.shape_error_mm(found if to == "mm" else given)
    sys.stdout.write(text_from_pairs(found, radius))
