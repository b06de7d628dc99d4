"""`python -m projector show ORDER`: the order's steps on the table, keys and phone in hand."""

from pathlib import Path
from typing import Annotated

import typer


def show(
    order: Annotated[str, typer.Argument(help="an order's file, or its name in the book")],
    table: Annotated[Path | None, typer.Option("--table", help="table.yaml; left out: the book's own, else a demonstration")] = None,
    window: Annotated[bool, typer.Option("--window", help="a window is wanted: without a display this is an error")] = False,
    no_window: Annotated[bool, typer.Option("--no-window", help="no window, only the page")] = False,
    display: Annotated[int | None, typer.Option("--display", help="which display the projector is, 1 for the first", min=1)] = None,
    port: Annotated[int, typer.Option("--port", help="of the page; 0: any free one", min=0, max=65535)] = 0,
    lan: Annotated[bool, typer.Option("--lan", help="phones in the same network may open the page; its address holds a token")] = False,
    sheets: Annotated[Path | None, typer.Option("--sheets", help="sheets.json of the printed sheets; left out: sheets/sheets.json")] = None,
    photos: Annotated[Path | None, typer.Option("--photos", help="folder that new photographs of the frame come into")] = None,
    calibrate: Annotated[bool, typer.Option("--calibrate", help="throw the frame; the table goes to --table, else into the book")] = False,
    book: Annotated[Path | None, typer.Option("--book", help="the book's folder")] = None,
    as_json: Annotated[bool, typer.Option("--json", help="one JSON object on stdout when it answers")] = False,
) -> None:
    """Throw an order's steps onto the table and serve the page for the phone."""
    from calibration.command_line import print_json, print_note
    from calibration.errors import WrongInput
    from projector.desk.start import Showing, show_order

    if window and no_window:
        raise WrongInput("A window and no window.", "--window and --no-window were both given.", "Leave one out.")

    def answers(url: str, at_port: int) -> None:
        if as_json:
            print_json({"url": url, "port": at_port})
        print_note(f"The page is at {url}")

    wanted = True if window else False if no_window else None
    show_order(Showing(order, table, wanted, display, port, lan, sheets, book, photos, calibrate), answers, print_note)
