"""`python -m projector blocks`: paper blocks laid on the table, photographed, traced and kept in the book."""

from pathlib import Path
from typing import Annotated

import typer


def blocks(
    photo: Annotated[Path, typer.Argument(help="a photograph of the whole light (frame-1.png) with the blocks lying in it")],
    table: Annotated[Path | None, typer.Option("--table", help="table.yaml of this light; left out: the book's own")] = None,
    names: Annotated[str, typer.Option("--names", help="a name for each block, from left to right; left out: only look")] = "",
    down: Annotated[
        float, typer.Option("--down", help="which way the body's length points on the table, degrees: 0 right, 270 to her")
    ] = 0.0,
    fold: Annotated[
        str, typer.Option("--fold", help="side on a fold, looking along the body's length: left, right or none; one, or one a name")
    ] = "none",
    allowance: Annotated[str, typer.Option("--allowance", help="what the outline holds beyond the sewing line: 5/8 in, 15 mm")] = "0 mm",
    count: Annotated[int | None, typer.Option("--count", help="how many are cut; left out: one on a fold, else a pair", min=1)] = None,
    cloth: Annotated[str, typer.Option("--cloth", help="what they are cut from")] = "main",
    picture: Annotated[Path | None, typer.Option("--picture", help="PNG of what was traced")] = None,
    book: Annotated[Path | None, typer.Option("--book", help="the book's folder")] = None,
    json: Annotated[bool, typer.Option("--json", help="one JSON object on stdout")] = False,
) -> None:
    """Trace paper blocks on the calibrated table and keep them; an order cuts them by `blocks: [NAME, …]`."""
    from calibration.command_line import print_json, print_note
    from calibration.keep import keep
    from calibration.table import Table
    from calibration.units import mm_from_text
    from projector import block_jobs
    from projector.book import book as kept
    from projector.book.places import book_folder, table_file

    folds = block_jobs.sides_from(fold)
    wanted = [name.strip() for name in names.split(",") if name.strip()]
    lit = table or table_file(book)
    flat, found = block_jobs.trace(photo, Table.read(lit))
    if picture:
        keep(picture, block_jobs.picture_png(flat, found), versions_kept=0)
    if wanted:
        made = block_jobs.made_words(photo, flat, lit)
        extra_mm = mm_from_text(allowance, None)
        clean = [kept.checked_name(name) for name in wanted]
        traced = block_jobs.blocks_of(found, clean, folds, down_deg=down, allowance_mm=extra_mm, count=count, cloth=cloth, made=made)
        for block in traced:
            kept.put(book_folder(book), "blocks", block_jobs.told(block))
    rows = [{"name": name, "size": block_jobs.size_words(one)} for name, one in zip(wanted or [""] * len(found), found, strict=True)]
    if json:
        print_json({"blocks": rows})
    for number, row in enumerate(rows, start=1):
        print_note(f"{number}. {row['name'] or 'not named'}: {row['size']}{', kept' if wanted else ''}")
