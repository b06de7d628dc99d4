"""A person edits a card while its order is on the table: noticed within seconds and told; the lines stay as they were read.

What is cut must not move by itself under the shears, so nothing is drafted anew until she opens the order again.
"""

import asyncio
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from calibration.errors import WrongInput
from calibration.keep import ABSENT, read_kept
from projector.book.orders import files_of

LOOK_S = 2.0


def marks_of(files: list[Path]) -> dict[Path, str]:
    """The fingerprint of each file; of one that cannot be read ABSENT."""
    marks = {}
    for file in files:
        try:
            marks[file] = read_kept(file).fingerprint
        except WrongInput:
            marks[file] = ABSENT
    return marks


@dataclass(slots=True)
class Edited:
    """Looks after the cards that the order on the table was read from. Files are read off the loop."""

    book: Path | None
    tell: Callable[[list[Path]], None]
    marks: dict[Path, str] = field(default_factory=dict)

    async def read(self, order: str) -> None:
        """This order is read now: what stands in its cards is what the lines are made by."""
        self.marks = await asyncio.to_thread(lambda: marks_of(files_of(order, self.book)))

    async def look(self) -> list[Path]:
        """Which cards were edited since the last look. Tells them once."""
        before = self.marks
        now = await asyncio.to_thread(marks_of, list(before))
        changed = [file for file, mark in now.items() if mark != before[file]]
        if before is not self.marks:
            return []  # another order was read meanwhile
        self.marks = now
        if changed:
            self.tell(changed)
        return changed

    async def keep_looking(self) -> None:
        """Until cancelled."""
        while True:
            await asyncio.sleep(LOOK_S)
            await self.look()
