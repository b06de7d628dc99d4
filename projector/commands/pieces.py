"""`python -m projector pieces`: orders drafted, their pieces written as JSON."""

from pathlib import Path
from typing import Annotated

import typer


def pieces(
    orders: Annotated[list[str], typer.Argument(help="order files, or names in the book")],
    out: Annotated[Path, typer.Option("--out", help="FILE for one order, a folder for several; untouched when refused")],
    book: Annotated[Path | None, typer.Option("--book", help="the book's folder")] = None,
) -> None:
    """Draft one or several orders: pieces, allowances, seams, finished girths."""
    import json

    from calibration.command_line import print_note
    from calibration.keep import keep
    from projector.book.orders import load_order
    from projector.making import garment_of

    drafted = [garment_of(load_order(where, book)) for where in orders]
    is_folder = len(drafted) > 1 or out.is_dir() or out.suffix != ".json"
    for garment in drafted:
        file = out / f"{garment.order}.json" if is_folder else out
        keep(file, json.dumps(garment.as_json(), ensure_ascii=False), versions_kept=0)
        print_note(f"{garment.order}: {len(garment.pieces)} pieces, {len(garment.seams)} seams: {file}")
        for warning in garment.warnings:
            print_note(f"  note: {warning}")
