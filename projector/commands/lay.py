"""`python -m projector lay`: an order's pieces, or plain outlines, laid on cloth; writes lay.json."""

from pathlib import Path
from typing import Annotated

import typer


def lay(
    out: Annotated[Path, typer.Option("--out", help="lay.json to write; untouched when refused")],
    order: Annotated[str | None, typer.Argument(help="an order's file, or its name in the book")] = None,
    outlines: Annotated[Path | None, typer.Option("--outlines", help="JSON file of plain outlines, laid open")] = None,
    cloth_width: Annotated[float | None, typer.Option("--cloth-width", help="mm, with --outlines")] = None,
    fold: Annotated[str | None, typer.Option("--fold", help="how to fold; left out: the recommended fold")] = None,
    trials: Annotated[int | None, typer.Option("--trials", help="how many lays are tried", min=1)] = None,
    seconds: Annotated[float | None, typer.Option("--seconds", help="stop after so many seconds, however many were tried", min=0.1)] = None,
    seed: Annotated[int, typer.Option("--seed", help="another number: another run of chance")] = 1,
    book: Annotated[Path | None, typer.Option("--book", help="the book's folder")] = None,
) -> None:
    """Lay pieces on cloth: how to fold, where each piece lies, how much cloth it takes."""
    import json

    from calibration.command_line import print_note
    from calibration.errors import WrongInput
    from calibration.keep import keep
    from projector.book.orders import load_order
    from projector.lay.cloth import Budget
    from projector.lay_jobs import lay_outline_file, search_tools
    from projector.making import DEFAULT_TRIALS, garment_of, lay_of

    if (order is None) == (outlines is None):
        raise WrongInput("Nothing to lay, or two things.", "An order or --outlines is wanted, not both.", "Name one of them.")
    budget = Budget(trials if trials is not None else 10**9 if seconds is not None else DEFAULT_TRIALS, seed)
    tools = search_tools(seconds, print_note)
    if outlines is not None:
        if cloth_width is None or fold not in (None, "open"):
            raise WrongInput(
                "Outlines are laid open on cloth of a width.", "--cloth-width is missing, or --fold is not open.", "Give it in mm."
            )
        found = lay_outline_file(outlines, cloth_width, budget, tools)
    else:
        ordered = load_order(str(order), book)
        found = lay_of(ordered, garment_of(ordered), fold, budget, tools)
    keep(out, json.dumps(found.as_json(), ensure_ascii=False), versions_kept=0)
    print_note(f"{found.cloth_needed_mm:.0f} mm of {found.cloth.name}, {100 * found.utilisation:.1f} % used, {found.trials} trials: {out}")
