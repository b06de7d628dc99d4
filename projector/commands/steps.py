"""`python -m projector steps`: an order's steps as pictures and records, one after another."""

from pathlib import Path
from typing import Annotated

import typer


def steps(
    order: Annotated[str, typer.Argument(help="an order's file, or its name in the book")],
    out: Annotated[Path, typer.Option("--out", help="folder: NN.json, NN.png, lay.json, pieces.json; untouched when refused")],
    table: Annotated[Path | None, typer.Option("--table", help="table.yaml of a calibrated table")] = None,
    demonstration: Annotated[
        bool, typer.Option("--demonstration", help="pictures on a computed table; nothing may be cut by them")
    ] = False,
    at: Annotated[str | None, typer.Option("--at", help="X,Y,TURN: where the cloth's origin lies on the table, mm and degrees")] = None,
    lay: Annotated[Path | None, typer.Option("--lay", help="a lay.json of this order; left out: it is laid now")] = None,
    fold: Annotated[str | None, typer.Option("--fold", help="how to fold; left out: the recommended fold")] = None,
    trials: Annotated[int | None, typer.Option("--trials", help="how many lays are tried", min=1)] = None,
    first: Annotated[str | None, typer.Option("--first", help="a cloth that is cut, tacked and fitted before the others: lining")] = None,
    after: Annotated[Path | None, typer.Option("--after", help="the folder of steps this order was cut by before it was changed")] = None,
    done: Annotated[int, typer.Option("--done", help="with --after: the number of the last step done", min=0)] = 0,
    book: Annotated[Path | None, typer.Option("--book", help="the book's folder")] = None,
) -> None:
    """Work out the order of cuts and write every step."""
    from calibration.command_line import print_note
    from calibration.errors import WrongInput
    from calibration.table import Table
    from calibration.table_file import read_table
    from projector.book.orders import load_order
    from projector.lay.cloth import Budget
    from projector.lay_jobs import search_tools
    from projector.making import DEFAULT_TRIALS, garment_of, lay_of
    from projector.scene.view import lay_light
    from projector.step_jobs import DEMONSTRATION_PX, carried, cut_of, read_at, read_lay, with_first_cloth, write_steps

    if table is not None and demonstration:
        raise WrongInput("Two tables.", "--table and --demonstration were both given.", "Leave one out.")
    if (lay or after) is not None and (fold is not None or trials is not None):
        raise WrongInput("The lay is given.", "--fold and --trials belong to laying.", "Leave them out, or leave the lay out.")
    if lay is not None and after is not None:
        raise WrongInput("Two lays.", "--lay and --after were both given.", "Leave one out.")
    lit = read_table(table) if table is not None else Table.demonstration(DEMONSTRATION_PX) if demonstration else None
    lies = read_at(at) if at is not None else None
    ordered = with_first_cloth(load_order(order, book), first)
    garment = garment_of(ordered)
    if lay is not None:
        laid = read_lay(lay)
    elif after is not None:
        garment, laid = carried(after, done, ordered, garment)
    else:
        budget = Budget(trials if trials is not None else DEFAULT_TRIALS, 1)
        laid = lay_of(ordered, garment, fold, budget, search_tools(None, print_note), lay_light(lit) if lit else None)
    count = write_steps(cut_of(ordered, garment, laid), lit, lies, out)
    print_note(f"{count} steps, lay.json and pieces.json in {out}")
