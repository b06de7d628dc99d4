"""`python -m projector paper`: what goes on paper and to other programs."""

from pathlib import Path
from typing import Annotated

import typer


def paper(
    order: Annotated[str, typer.Argument(help="an order's file, or its name in the book")],
    out: Annotated[Path, typer.Option("--out", help="folder; files in it are replaced")],
    ticket: Annotated[bool, typer.Option("--ticket", help="ticket.pdf: sketch, measures, cloth, fold, cut list, order of work")] = False,
    card: Annotated[bool, typer.Option("--card", help="card.pdf and card.html: the chalk card")] = False,
    pdf: Annotated[bool, typer.Option("--pdf", help="pieces.pdf whole, pieces-a4.pdf and pieces-letter.pdf tiled, true size")] = False,
    svg: Annotated[bool, typer.Option("--svg", help="pieces.svg, mm")] = False,
    dxf: Annotated[bool, typer.Option("--dxf", help="pieces.dxf, mm")] = False,
    lay: Annotated[bool, typer.Option("--lay", help="lay.svg, lay.pdf, lay.png: how the pieces lie; fold.svg, fold.png")] = False,
    sheet: Annotated[str, typer.Option("--sheet", help="a4 or letter: ticket and card")] = "a4",
    trials: Annotated[int | None, typer.Option("--trials", help="how many lays are tried", min=1)] = None,
    fold: Annotated[str | None, typer.Option("--fold", help="how to fold; left out: the recommended fold")] = None,
    book: Annotated[Path | None, typer.Option("--book", help="the book's folder")] = None,
) -> None:
    """Print an order, as it lies on the table where it does; with none of --ticket --card --pdf --svg --dxf --lay, all of them."""
    from calibration.command_line import print_note
    from calibration.keep import keep
    from projector.book.orders import load_order
    from projector.book.places import journal_file
    from projector.desk.lies import Lies, as_it_lies
    from projector.paper.page import refuse_sheet
    from projector.paper_jobs import KINDS, NEEDS_LAY, paper_files, papers_of

    refuse_sheet(sheet)
    asked = {"ticket": ticket, "card": card, "pdf": pdf, "svg": svg, "dxf": dxf, "lay": lay}
    wanted = [kind for kind, is_asked in asked.items() if is_asked] or list(KINDS)
    read = load_order(order, book)
    lies = Lies() if trials or fold or not NEEDS_LAY & set(wanted) else as_it_lies(read, journal_file(order, book))
    if lies.made is not None:
        made = papers_of(read, lies.made.garment, lies.made, wanted, sheet, lies.reached)
    else:
        made = paper_files(read, wanted, sheet, trials, fold)
    files = list(made)  # all made before the first is written
    if lies.note:
        print_note(lies.note)
    for name, data in files:
        keep(out / name, data, versions_kept=0)
        print_note(f"{out / name}")
