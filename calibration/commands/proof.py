"""`python -m calibration proof`: the long line of light as her tape reads it corrects the size and proves it."""

from pathlib import Path
from typing import Annotated

import typer


def proof(
    table: Annotated[Path, typer.Argument(help="table.yaml as solve wrote it; it is corrected in place, the old version is kept")],
    shown: Annotated[float, typer.Option("--shown", help="length of the line as it was drawn, mm")],
    taped: Annotated[float, typer.Option("--taped", help="what the tape reads for it, mm")],
    as_json: Annotated[bool, typer.Option("--json", help="one object on stdout")] = False,
) -> None:
    """Type what the tape reads for the long line of light: from then on the table is ready."""
    from calibration.command_line import print_json, print_note
    from calibration.made import made_by
    from calibration.size import proved
    from calibration.table import Table

    done = proved(Table.read(table), shown, taped, made_by("proof"))
    done.table.write(table)
    percent = done.table.size_percent or 0.0
    if as_json:
        print_json({"factor": done.factor, "size_percent": percent, "state": done.table.state, "mirrored": done.table.mirrored})
    print_note(
        f"Size corrected by {100 * (done.factor - 1):+.3f} %; true within {percent:.3f} % ({percent * 14:.1f} mm on 1400 mm). Ready."
    )
