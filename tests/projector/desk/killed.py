"""A desk without window that nudges and cuts as fast as it can and says each thing once it is done; to be killed at any moment.

`python -m tests.projector.desk.killed JOURNAL`: for each line on stdin a fresh desk in a forked child, resumed from the journal; prints
"pid N", then "x STEPS" after every nudge (how far the cloth was moved, mm) and "done N" after every fact, "gone" when it is gone.
"""

import asyncio
import os
import sys
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

from calibration.errors import Refused
from projector.desk.desk import Desk
from projector.desk.journal import fingerprint
from projector.session.commands import Command
from projector.session.snapshot import Work
from tests.projector.made_up import table, work

STEPS = 150


def say(line: str) -> None:
    """One line in one call: print writes the line's end apart, and a kill between the two tears it."""
    os.write(1, f"{line}\n".encode())


@lru_cache
def long_work() -> Work:
    """Hundreds of cuts on one cloth."""
    made = work()
    square = tuple(replace(line, mm=line.mm[:4]) for line in made.steps[0].lines if line.kind in ("cut", "fold"))
    small = replace(made.steps[0], lines=square, labels=())
    whole = Work("long", (small,) * STEPS, "cm", "", {}, {("main", 0): ((0.0, 0.0), (1300.0, 0.0))}, made.arrivals)
    return replace(whole, mark=fingerprint(whole.steps))  # worked out once, not at every start


def onto_the_cloth(desk: Desk) -> None:
    """Two crosses on the cut edges, where they are."""
    if not desk.snapshot.is_cloth_true:
        for name in ("align", "fix", "fix"):
            desk.apply(Command(name))


async def press(journal: Path) -> None:
    """Until killed, or until all is cut."""
    desk = Desk(long_work(), replace(table("ready"), spots=()), None, journal)
    onto_the_cloth(desk)
    while len(desk.snapshot.done) < STEPS:
        for _ in range(3):
            desk.apply(Command("move", {"dx_mm": 1.0}))
            say(f"x {desk.snapshot.cloth_at.x_mm:.0f}")
        step = desk.snapshot.step
        desk.apply(Command("done", {}, step))
        say(f"done {step}")


def main(journal: Path) -> None:
    """One child a line."""
    long_work(), table("ready")  # once for all children
    for _ in sys.stdin:
        child = os.fork()  # this process has no threads and no loop
        if child == 0:
            say(f"pid {os.getpid()}")
            try:
                asyncio.run(press(journal))
            except Refused as told:
                say(f"refused {told.what}")
            os._exit(0)
        os.waitpid(child, 0)
        say("gone")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
