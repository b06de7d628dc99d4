"""The lay in her hand on the page: made, moved, undone, locked, until it is put on the table. One order at a time.

What the page asks becomes a session command (session/by_hand.py), is obeyed, written down and only then shown.
"""

from collections.abc import Awaitable, Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from calibration.errors import Refused, TableError
from calibration.table import Table
from projector.book.places import by_hand_file
from projector.desk.hand_journal import HandJournal, MadeLay
from projector.lay.lay import Lay
from projector.session.by_hand import LOCAL, MOST_UNDONE, InHand, apply_by_hand
from projector.session.commands import Command

Run = Callable[[str, dict[str, Any]], Awaitable[Any]]


@dataclass(slots=True)
class HandLay:
    """`run`: the warm worker's, which has all that computes."""

    book: Path
    run: Run
    order: dict[str, Any] = field(default_factory=dict)
    motif: dict[str, Any] | None = None
    in_hand: InHand | None = None
    told: dict[str, Any] = field(default_factory=dict)

    @property
    def journal(self) -> HandJournal:
        """Where it is written down."""
        return HandJournal(by_hand_file(self.book))

    async def make(self, order: dict[str, Any], fold: str | None, motif: Mapping[str, Any] | None, table: Table | None) -> dict[str, Any]:
        """Laid anew; what was moved before is gone."""
        in_hand, told = await self.run("lay", {"order": order, "book": self.book, "fold": fold, "motif": motif, "table": table})
        kept = dict(motif) if motif else None
        self.journal.begin(MadeLay(order, kept, in_hand.now.lay))
        self.order, self.motif, self.in_hand, self.told = order, kept, in_hand, told
        return self.shown()

    async def act(self, act: Mapping[str, Any], table: Table | None) -> dict[str, Any]:
        """One thing done by hand: move, turn, flip, stack, tidy, lock, undo. Raises what the session refuses; then nothing changed."""
        if self.in_hand is None:
            await self._taken_up(table)
        if self.in_hand is None:
            raise Refused("Nothing is laid.", "The lay was not made on this page.", "Lay it first.")
        before, command = self.in_hand, command_of(act)
        if command.name in LOCAL:
            after = apply_by_hand(before, None, command)
            lay_changed = after.now.lay is not before.now.lay
            _, told = await self._done(after, (), table) if lay_changed else (after, self.told)
        else:
            after, told = await self._done(before, (command,), table)
        if after != before:
            self.journal.add(command)
        self.in_hand, self.told = after, told
        return self.shown()

    async def _done(self, in_hand: InHand, commands: Sequence[Command], table: Table | None) -> tuple[InHand, dict[str, Any]]:
        """These commands obeyed by the worker, which is not sent what was before."""
        arguments = {"order": self.order, "book": self.book, "motif": self.motif, "table": table, "commands": commands}
        told: tuple[InHand, dict[str, Any]] = await self.run("by_hand", {**arguments, "in_hand": replace(in_hand, past=())})
        after, shown = told
        return replace(after, past=(*in_hand.past, *after.past)[-MOST_UNDONE:]), shown

    async def _taken_up(self, table: Table | None) -> None:
        """The lay as it was in hand before the program ended, if one was."""
        read = self.journal.read()
        if read is None:
            return
        made, commands = read
        try:
            self.order, self.motif = made.order, made.motif
            arguments = {"order": made.order, "book": self.book, "motif": made.motif, "table": table, "lay": made.lay}
            self.in_hand, self.told = await self.run("by_hand_again", {**arguments, "commands": commands})
        except TableError:
            self.order, self.motif = {}, None  # the book has changed since: it is laid again

    def shown(self) -> dict[str, Any]:
        """For the page."""
        locked, past = (self.in_hand.now.locked, self.in_hand.past) if self.in_hand else (frozenset(), ())
        return {**self.told, "locked": sorted(locked), "can_undo": bool(past)}

    async def for_table(self, order: Mapping[str, Any], table: Table | None) -> Lay | None:
        """The lay to put on the table for this order; None: not laid here, or the order is another by now.

        Raises Refused when it cannot be cut so.
        """
        if self.in_hand is None:
            await self._taken_up(table)
        if self.in_hand is None or {**self.order, "name": ""} != {**order, "name": ""}:
            return None
        if self.in_hand.now.wrong:
            raise Refused("This lay cannot be cut.", self.in_hand.now.wrong[0], "Move the pieces apart, tidy, or lay it again.")
        return self.in_hand.now.lay


def command_of(act: Mapping[str, Any]) -> Command:
    """What the page asks, `{do, …}`, as a session command."""
    return Command(f"lay_{act.get('do')}", {str(key): value for key, value in act.items() if key != "do"})
