"""`calibration check`: has the light moved since the table was made?"""

from pathlib import Path
from typing import Annotated

import typer


def check(
    photos: Annotated[list[Path], typer.Argument(help="Photographs of the light (frame-1.png) and the stuck spots.", metavar="PHOTO...")],
    table: Annotated[Path, typer.Option(help="The table.yaml with surveyed spots.")],
    as_json: Annotated[bool, typer.Option("--json", help="One JSON object on stdout.")] = False,
) -> int:
    """Say how far the light has moved and whether it matters. Exit 0: still true, 1: moved, 2: no spots surveyed or seen."""
    from calibration.command_line import print_json, print_note
    from calibration.errors import Refused, WrongInput
    from calibration.made import made_by
    from calibration.stuck import checked, looks_of
    from calibration.table import Table

    loaded = Table.read(table)
    if not loaded.spots:
        raise WrongInput("This table has no surveyed spots.", "There is nothing to check against.", "Survey them once: calibration survey.")
    try:
        found = checked(loaded, looks_of(photos, loaded.size), made_by("check"))
    except Refused as cause:  # exit 1 would say that the light has moved
        raise WrongInput(cause.what, cause.why, cause.next_step) from cause
    if as_json:
        print_json({"moved_mm": found.moved_mm, "limit_mm": found.limit_mm, "matters": found.matters})
    verdict = "It matters: make the table true again." if found.matters else "The table is still true."
    print_note(f"The light has moved {found.moved_mm:.2f} mm; {found.limit_mm:.2f} mm pass. {verdict}")
    return 1 if found.matters else 0
