"""`calibration survey`: learns the spots stuck to the table."""

from pathlib import Path
from typing import Annotated

import typer


def survey(
    photos: Annotated[list[Path], typer.Argument(help="Photographs of the light (frame-1.png) and the stuck spots.", metavar="PHOTO...")],
    table: Annotated[Path, typer.Option(help="The table.yaml of this light.")],
    out: Annotated[Path, typer.Option(help="The table.yaml to write, with the spots.")],
    as_json: Annotated[bool, typer.Option("--json", help="One JSON object on stdout.")] = False,
) -> None:
    """Learn once where the spots stuck to the table lie; from then on the table frame hangs on them."""
    from calibration.command_line import print_json, print_note
    from calibration.made import made_by
    from calibration.shape_error import ROUND_95
    from calibration.stuck import looks_of, surveyed
    from calibration.table import Table

    before = Table.read(table)
    after = surveyed(before, looks_of(photos, before.size), made_by("survey"))
    after.write(out)
    told = [{"id": spot.id, "at_mm": list(spot.at_mm), "sd_mm": [spot.covariance_mm2[k][k] ** 0.5 for k in (0, 1)]} for spot in after.spots]
    if as_json:
        print_json({"spots": told})
    worst = max(max(spot.covariance_mm2[0][0], spot.covariance_mm2[1][1]) for spot in after.spots) ** 0.5
    print_note(f"{len(after.spots)} table spots surveyed, each within {ROUND_95 * worst:.2f} mm.")
