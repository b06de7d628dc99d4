"""What the body stage hands on: measures with their origin, what to ask again, what stops the draft. Frozen, mm."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from calibration.errors import WrongInput

Origin = Literal["given", "stand_in"]


class BodyRefused(WrongInput):
    """No draft from these measures: one is missing, impossible or in the wrong unit."""


@dataclass(frozen=True, slots=True)
class Measure:
    """One measure. `stand_in`: worked out, not measured. `doubt`: why to ask again, in words, or None."""

    mm: float
    origin: Origin = "given"
    doubt: str | None = None


@dataclass(frozen=True, slots=True)
class Finding:
    """Something to ask again (a doubt) or that stops the draft."""

    key: str
    what: str
    why: str
    next_step: str

    def __str__(self) -> str:
        return f"{self.what} {self.why} {self.next_step}"


@dataclass(frozen=True, slots=True)
class Body:
    """One woman's complete measures by key, all in mm; `measures` holds stand-ins for what was not taken."""

    measures: Mapping[str, Measure]
    stops: tuple[Finding, ...] = ()
    doubts: tuple[Finding, ...] = ()

    def mm(self, key: str) -> float:
        """A measure in mm, taken or worked out; KeyError when there is neither."""
        return self.measures[key].mm

    def given_mm(self, key: str) -> float | None:
        """A measure in mm only when it was taken, else None."""
        measure = self.measures.get(key)
        return measure.mm if measure is not None and measure.origin == "given" else None

    def in_mm(self) -> dict[str, float]:
        """Every measure, plain."""
        return {key: measure.mm for key, measure in self.measures.items()}

    def refuse_stops(self) -> None:
        """Raise BodyRefused with the first stop, when there is one; further ones are counted."""
        if self.stops:
            first, more = self.stops[0], len(self.stops) - 1
            why = f"{first.why} ({more} more to settle.)" if more else first.why
            raise BodyRefused(first.what, why, first.next_step)
