"""The lay in her hand on the page: made, moved, undone, locked, until it is put on the table. One order at a time."""

from collections.abc import Awaitable, Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from calibration.errors import Refused
from calibration.table import Table
from projector.lay.lay import Lay

MOST_UNDONE = 50
Run = Callable[[str, dict[str, Any]], Awaitable[Any]]


@dataclass(slots=True)
class HandLay:
    """`past`: the lays before, newest last; `locked`: pieces that stay where they lie."""

    book: Path
    run: Run
    order: dict[str, Any] = field(default_factory=dict)
    lay: Lay | None = None
    told: dict[str, Any] = field(default_factory=dict)
    past: list[tuple[Lay, dict[str, Any]]] = field(default_factory=list)
    locked: set[str] = field(default_factory=set)

    async def make(self, order: dict[str, Any], fold: str | None, motif: Mapping[str, Any] | None, table: Table | None) -> dict[str, Any]:
        """Laid anew; what was moved before is gone."""
        lay, told = await self.run("lay", {"order": order, "book": self.book, "fold": fold, "motif": motif, "table": table})
        self.order, self.lay, self.told, self.past, self.locked = order, lay, told, [], set()
        return self.shown()

    async def act(self, act: Mapping[str, Any], table: Table | None) -> dict[str, Any]:
        """One thing done by hand: move, turn, flip, stack, tidy, lock, undo. Raises what the lay refuses; then nothing changed."""
        if self.lay is None:
            raise Refused("Nothing is laid.", "The lay was not made on this page.", "Lay it first.")
        if act.get("do") == "undo":
            if self.past:
                self.lay, self.told = self.past.pop()
        elif act.get("do") == "lock":
            self.locked ^= {str(act.get("piece"))} & {each.piece for one in (self.lay, *self.lay.others.values()) for each in one.placed}
        else:
            before = (self.lay, self.told)
            arguments = {"order": self.order, "book": self.book, "lay": self.lay, "act": dict(act), "table": table}
            lay, told = await self.run("by_hand", {**arguments, "locked": frozenset(self.locked)})
            self.past = [*self.past[1 - MOST_UNDONE :], before]
            self.lay, self.told = lay, told
        return self.shown()

    def shown(self) -> dict[str, Any]:
        """For the page."""
        return {**self.told, "locked": sorted(self.locked), "can_undo": bool(self.past)}

    def for_table(self, order: Mapping[str, Any]) -> Lay | None:
        """The lay to put on the table for this order; None: not laid here, or the order is another by now.

        Raises Refused when it cannot be cut so.
        """
        if self.lay is None or {**self.order, "name": ""} != {**order, "name": ""}:
            return None
        if self.told["wrong"]:
            raise Refused("This lay cannot be cut.", self.told["wrong"][0], "Move the pieces apart, tidy, or lay it again.")
        return self.lay
