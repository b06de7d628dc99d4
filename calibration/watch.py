"""A fixed camera watches whether light and table spots still lie as they lay: for alarms while she works.

The mean of the first frames in which both are recognised is the reference; movement.py tells how far the light has moved since. When too
few saddles agree nothing is said.
"""

from collections import deque
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calibration.movement import Movement, Reference, movement, read_again, reference_of
from calibration.table import Table

ALARM_ONE_MM = 0.4
ALARM_TEN_MM = 0.2
TEN = 10
REFERENCE_TRIES = (1, 4, 10)  # after so many frames their mean is looked at; then it starts anew
SURE = 5.0  # standard deviations: with the noise measured, one false alarm in a million looks
LOST_LOOKS = 3  # looks without a comparison before the frame is read by its codes again


@dataclass(frozen=True, slots=True)
class WatchLook:
    """One look: movement in mm (None when nothing could be compared), the limit it was held against, saddles compared."""

    moved_mm: float | None
    limit_mm: float
    alarm: bool
    seen: int

    def as_json(self) -> dict[str, float | int | bool | None]:
        """One line of `watch --json`."""
        return {"moved_mm": self.moved_mm, "limit_mm": self.limit_mm, "alarm": self.alarm, "seen": self.seen}


def watch(frames: Iterable[NDArray[np.uint8]], table: Table) -> Iterator[WatchLook]:
    """One look for each frame. The alarm: above 0.4 mm in one frame, or 0.2 mm in the mean of the last ten; never within the noise."""
    reference: Reference | None = None
    first: list[NDArray[np.uint8]] = []
    last: deque[Movement] = deque(maxlen=TEN)
    lost = 0
    for picture in frames:
        if reference is None:
            first.append(picture)
            if len(first) in REFERENCE_TRIES:
                reference = reference_of(_mean(first), table)
            if len(first) == REFERENCE_TRIES[-1]:
                first.clear()
        if reference is None:
            yield WatchLook(None, ALARM_ONE_MM, False, 0)
            continue
        found = movement(picture, reference)
        lost = lost + 1 if isinstance(found, int) else 0
        if lost >= LOST_LOOKS:
            found = read_again(picture, reference, table)
        if isinstance(found, int):
            last.clear()
            yield WatchLook(None, ALARM_ONE_MM, False, found)
            continue
        last.append(found)
        yield _judged(last)


def _mean(pictures: Iterable[NDArray[np.uint8]]) -> NDArray[np.uint8]:
    return np.asarray(np.rint(np.mean(np.stack(list(pictures)), axis=0)), dtype=np.uint8)


def _judged(last: deque[Movement]) -> WatchLook:
    now = last[-1]
    one = float(np.linalg.norm(now.field, axis=1).max())
    limit = max(ALARM_ONE_MM, SURE * now.sd_mm)
    if one > limit or len(last) < TEN:
        return WatchLook(one, limit, one > limit, now.seen)
    ten = float(np.linalg.norm(np.mean([look.field for look in last], axis=0), axis=1).max())
    sd = float(np.mean([look.sd_mm for look in last])) * np.sqrt(0.5 + 0.5 / TEN)  # the reference's own noise does not average out
    limit = max(ALARM_TEN_MM, SURE * float(sd))
    return WatchLook(ten, limit, ten > limit, now.seen)
