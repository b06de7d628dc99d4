"""`calibration sheet`: the pages to print."""

from pathlib import Path
from typing import Annotated

import typer


def sheet(
    out: Annotated[Path, typer.Option(help="Folder for sheets.pdf, sheet-N.png and sheets.json.")],
    paper: Annotated[str, typer.Option(help="a4 or letter.")] = "a4",
    pages: Annotated[int, typer.Option(help="How many different pages, 1 to 6.")] = 4,
    spots: Annotated[bool, typer.Option("--spots", help="Also write spots.pdf: labels to stick to the table.")] = False,
    png_dpi: Annotated[float, typer.Option(help="Fineness of the pictures, dots per inch.")] = 300.0,
) -> None:
    """Write the sheets to print at actual size, on matt paper."""
    from calibration.command_line import print_note
    from calibration.sheets_files import write_sheets

    write_sheets(out, paper, pages, png_dpi, spots)
    print_note(f"{out / 'sheets.pdf'}: {pages} pages. Print at actual size (100 %) on matt paper, then tape both bars.")
    if spots:
        print_note(f"{out / 'spots.pdf'}: labels. Print them likewise, cut out six and stick them flat inside the light, near its edge.")
