"""From a command line to a running desk: order and table read, display chosen, page served."""

import asyncio
import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from calibration.errors import Refused, WrongInput
from calibration.table import Table
from projector.book import places
from projector.book.places import journal_file
from projector.desk.desk import FRAMED_PX, Desk
from projector.desk.keys_file import read_keys
from projector.desk.on_table import OnTable
from projector.desk.serve import Serving, addresses_in_network, serve
from projector.session.commands import Command
from projector.session.snapshot import Work
from projector.window.displays import Displays, displays

SHEETS = Path("sheets") / "sheets.json"


@dataclass(frozen=True, slots=True)
class Showing:
    """What `show` was asked. `window` None: one where there is a display; `display` counts from 1."""

    order: str
    table: Path | None = None
    window: bool | None = None
    display: int | None = None
    port: int = 0
    is_lan: bool = False
    sheets: Path | None = None
    book: Path | None = None
    photos: Path | None = None
    is_calibrating: bool = False
    """No table yet: the frame is thrown first, the table goes to `table`."""
    is_kept: bool = True
    """False: no journal and no lay is kept (the sample order)."""


def display_for(table: Table | None, showing: Showing, plugged: Displays) -> int | None:
    """Which display to fill, from 0; None: a framed window (demonstration). The page can move it to another.

    Chosen: the one named; else one of the table's own size, the last of several, since the first is where she types.
    Raises Refused when a window is wanted and nothing can show it.
    """
    if table is not None and table.is_demonstration:
        return None
    if showing.display is not None:
        return showing.display - 1
    fits = [index for index, (_, _, w, h) in enumerate(plugged.rects) if table is not None and (w, h) == table.size]
    if fits:
        return fits[-1]
    return len(plugged.rects) - 1


def show_order(showing: Showing, answers: Callable[[str, int], None], say: Callable[[str], None]) -> None:
    """Run until a signal ends it. Raises WrongInput for an order or table that cannot be read, Refused without a wanted display."""
    table = table_for(showing)
    plugged = displays() if showing.window is not False else Displays((), False)
    if showing.window and not plugged.rects:
        raise Refused("There is no display.", "None answered.", "Plug the projector in, or leave --window out.")
    if showing.display is not None and showing.display > len(plugged.rects):
        raise WrongInput(f"Display {showing.display} is not there.", f"{len(plugged.rects)} answered.", "Plug it in, or name another.")
    asyncio.run(_whole(showing, table, plugged, answers, say))


def table_file(showing: Showing) -> Path:
    """Where the table is read from and kept: as named, else in the book."""
    return showing.table or places.table_file(showing.book)


def table_for(showing: Showing) -> Table | None:
    """The table named, none yet when calibrating, else the one kept in the book, else the demonstration. Raises WrongInput, Damaged:
    whatever stands in the table's place and cannot be read is never taken for no table."""
    if showing.is_calibrating:
        return None
    file = table_file(showing)
    is_there = showing.table is not None or (showing.is_kept and os.path.lexists(file))
    return Table.read(file) if is_there else Table.demonstration(FRAMED_PX)


def sheets_file(showing: Showing) -> Path | None:
    """The printed sheets: as named, else where `calibration sheet --out sheets` wrote them in this folder; None: not known."""
    return showing.sheets or (SHEETS if SHEETS.is_file() else None)


def _journal_of(order: str, showing: Showing, table: Table | None) -> Path | None:
    """Nothing is kept of a demonstration."""
    return journal_file(order, showing.book) if showing.is_kept and not (table is not None and table.is_demonstration) else None


def _say_networks(say: Callable[[str], None]) -> None:
    """Plainly, when phones have none or more than one network to find the page in."""
    found = addresses_in_network()
    if not found:
        say("There is no network: no phone can open the page. Turn on the phone's hotspot, mobile data off, join it, start again.")
    elif len(found) > 1:
        say(f"This machine is in {len(found)} networks ({', '.join(found)}); the page shows a code for each.")


async def _whole(
    showing: Showing, table: Table | None, plugged: Displays, answers: Callable[[str, int], None], say: Callable[[str], None]
) -> None:
    desk, sheets = Desk(Work("", ()), table, table_file(showing), None), sheets_file(showing)
    desk.sheets, desk.photos, desk.keys = sheets, showing.photos, read_keys(showing.book)
    is_window = bool(plugged.rects) and showing.window is not False
    on_table = OnTable(desk, showing.order, showing.book, lambda name: _journal_of(name, showing, desk.table))

    def open_window() -> None:
        if is_window:
            desk.open_window(display_for(table, showing, plugged))

    async def prepare() -> None:
        if showing.is_lan:
            _say_networks(say)
        say("Drafting and laying.")
        await on_table.put(showing.order)
        desk.lay_again = on_table.again
        if showing.is_calibrating and desk.snapshot.mode == "code":
            desk.after_code = Command("set_up")
        elif showing.is_calibrating:
            desk.apply(Command("set_up"))

        looking.append(asyncio.ensure_future(on_table.edited.keep_looking()))

    looking: list[asyncio.Future[None]] = []
    serving = Serving(showing.port, showing.is_lan, sheets, showing.book, on_table)
    try:
        await serve(desk, serving, open_window, prepare, answers)
    finally:
        for each in looking:
            each.cancel()
        on_table.close()
