"""`python -m projector lay`: an order's pieces, or plain outlines, laid on cloth; writes lay.json and says how much cloth it takes."""

from pathlib import Path
from typing import Annotated

import typer


def lay(
    out: Annotated[Path, typer.Option("--out", help="lay.json to write; untouched when refused")],
    order: Annotated[list[str] | None, typer.Argument(help="an order's file or name in the book; several lie together")] = None,
    outlines: Annotated[Path | None, typer.Option("--outlines", help="JSON file of plain outlines, laid open")] = None,
    cloth_width: Annotated[float | None, typer.Option("--cloth-width", help="mm, with --outlines")] = None,
    fold: Annotated[str | None, typer.Option("--fold", help="how to fold; left out: the recommended fold")] = None,
    motif: Annotated[str | None, typer.Option("--motif", help="'PIECE, LEVEL, LOWER': where the print's motif sits")] = None,
    binding: Annotated[str | None, typer.Option("--binding", help="'LENGTH, WIDTH': bias strips beside the lay")] = None,
    trials: Annotated[int | None, typer.Option("--trials", help="how many lays are tried", min=1)] = None,
    seconds: Annotated[float | None, typer.Option("--seconds", help="stop after so many seconds, however many were tried", min=0.1)] = None,
    seed: Annotated[int, typer.Option("--seed", help="another number: another run of chance")] = 1,
    by: Annotated[str | None, typer.Option("--by", help="several orders: person after person, or part after part; left out: mixed")] = None,
    book: Annotated[Path | None, typer.Option("--book", help="the book's folder")] = None,
) -> None:
    """Lay pieces on cloth: how to fold, where each piece lies, how much cloth it takes."""
    import json

    from calibration.command_line import print_note
    from calibration.errors import WrongInput
    from calibration.keep import keep
    from projector.book.orders import load_order
    from projector.lay.cloth import Budget
    from projector.lay_group import as_asked, binding_told, by_from, lay_together, needs_told
    from projector.lay_jobs import lay_outline_file, search_tools
    from projector.making import LAY_TRIALS, garment_of, lay_of

    if bool(order) == bool(outlines):
        raise WrongInput("Nothing to lay, or two things.", "An order or --outlines is wanted, not both.", "Name one of them.")
    budget = Budget(trials if trials is not None else 10**9 if seconds is not None else LAY_TRIALS, seed)
    tools, told = search_tools(seconds, print_note), []
    if outlines is not None:
        if cloth_width is None or fold not in (None, "open"):
            raise WrongInput("Outlines are laid open on cloth of a width.", "--cloth-width missing, or --fold not open.", "Give it in mm.")
        found = lay_outline_file(outlines, cloth_width, budget, tools)
    else:
        orders = [load_order(each, book) for each in order or ()]
        first = as_asked(orders[0], motif, binding)
        if len(orders) > 1:
            found, first, saving = lay_together([first, *orders[1:]], fold, budget, tools, by_from(by))
            told.append(saving)
        else:
            found = lay_of(first, garment_of(first), fold, budget, tools)
        told = [*needs_told(found, first), *told, *binding_told(found, first)]
    keep(out, json.dumps(found.as_json(), ensure_ascii=False), versions_kept=0)
    print_note(f"{found.cloth_needed_mm:.0f} mm of {found.cloth.name}, {100 * found.utilisation:.1f} % used, {found.trials} trials: {out}")
    for line in told:
        print_note(line)
