"""`calibration solve`: photographs to a table."""

from pathlib import Path
from typing import Annotated

import typer


def solve(
    photos: Annotated[
        list[Path], typer.Argument(help="One to six photographs of the whole light with the sheets in it.", metavar="PHOTO...")
    ],
    sheets: Annotated[Path, typer.Option(help="The sheets.json of the printed sheets.")],
    size: Annotated[str, typer.Option(help="The lamp's own pixels, WIDTHxHEIGHT.")],
    out: Annotated[Path, typer.Option(help="The table.yaml to write.")],
    bar_x: Annotated[float | None, typer.Option(help="The bar along the page's width as taped, mm.")] = None,
    bar_y: Annotated[float | None, typer.Option(help="The bar along the page's height as taped, mm.")] = None,
    keep: Annotated[Path | None, typer.Option(help="An older table of this light: its table spots and frame are kept.")] = None,
    report: Annotated[
        Path | None, typer.Option(help="Folder for pictures: each photograph with its spots, and the predicted error.")
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="One JSON object on stdout.")] = False,
) -> int:
    """Work out where every millimetre of the table lies in the light's picture."""
    from calibration.calibrate import Calibrated, calibrate
    from calibration.command_line import print_json, print_note
    from calibration.frame import read_size
    from calibration.old_frame import InOldFrame, calibrate_in_old_frame

    if keep is None:
        result: Calibrated | InOldFrame = calibrate(photos, sheets, read_size(size), bar_x, bar_y)
    else:
        result = calibrate_in_old_frame(photos, sheets, read_size(size), keep, bar_x, bar_y)
    if report is not None:
        from calibration.report import write_report

        write_report(result, report)
    message = result.verdict.message
    if result.verdict.solved and result.table is not None:
        result.table.write(out)
    print_note(f"{message.what}\n{message.why}\n{message.next}")
    if as_json:
        print_json(result.as_json())
    return 0 if result.verdict.solved else 1
