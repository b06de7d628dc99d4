"""Cards as typed: client, fitting, order. Lengths stay the text the tape was read as; `orders.py` turns them into mm."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, ClassVar, Literal

from calibration.records import AsTyped
from calibration.units import Unit
from projector.lay.cloth import ClothCard

LengthsFrom = Literal["shoulder", "waist"]
FittingKind = Literal["body", "figure", "dress"]
"""The body changed; this figure always; this dress only."""

Taken = AsTyped | tuple[AsTyped, AsTyped]
"""One reading, or the same tape twice."""


@dataclass(frozen=True, slots=True)
class Fitting:
    """What was pinned at a fitting: named lines and amounts, left and right apart where they differ."""

    __pydantic_config__: ClassVar[dict[str, Any]] = {"extra": "forbid"}
    day: AsTyped = ""
    kind: FittingKind = "dress"
    changes: Mapping[str, AsTyped] = field(default_factory=dict)
    left: Mapping[str, AsTyped] = field(default_factory=dict)
    right: Mapping[str, AsTyped] = field(default_factory=dict)
    note: str = ""
    order: AsTyped = ""


@dataclass(frozen=True, slots=True)
class Earlier:
    """Measures as they were taken before: day, by whom, in which unit and from where (the card's own where it is not said)."""

    __pydantic_config__: ClassVar[dict[str, Any]] = {"extra": "forbid"}
    day: AsTyped
    measures: Mapping[str, Taken]
    who: str = ""
    unit: Unit | None = None
    lengths_from: LengthsFrom | None = None


@dataclass(frozen=True, slots=True)
class ClientCard:
    """One client as typed."""

    __pydantic_config__: ClassVar[dict[str, Any]] = {"extra": "forbid"}
    name: AsTyped
    measures: Mapping[str, Taken]
    unit: Unit | None = None
    lengths_from: LengthsFrom = "shoulder"
    fittings: tuple[Fitting, ...] = ()
    history: tuple[Earlier, ...] = ()
    day: AsTyped = ""
    who: str = ""
    note: str = ""
    sample: bool = False


@dataclass(frozen=True, slots=True)
class MotifCard:
    """Where the print's motif shall sit: a level of one piece on its centre line, `lower` by so much; `at`: where that motif lies
    on the first length of cloth, from the cut end and from the fold or selvedge, once the light was moved onto it."""

    __pydantic_config__: ClassVar[dict[str, Any]] = {"extra": "forbid"}
    piece: AsTyped
    level: AsTyped
    lower: AsTyped = "0"
    at: tuple[AsTyped, AsTyped] | None = None


@dataclass(frozen=True, slots=True)
class OrderCard:
    """One dress for one client in named cloths. `client`: a name, a file, or the card itself; `style`: a name or choices."""

    __pydantic_config__: ClassVar[dict[str, Any]] = {"extra": "forbid"}
    client: AsTyped | Mapping[str, Any]
    style: AsTyped | Mapping[str, Any] = field(default_factory=dict)
    cloth: Mapping[str, ClothCard] = field(default_factory=dict)
    unit: Unit | None = None
    name: AsTyped = ""
    note: str = ""
    day: AsTyped = ""
    changes: Mapping[str, AsTyped] = field(default_factory=dict)
    """Lines of the draft moved for this dress at its tape checks, amounts as typed."""
    blocks: tuple[AsTyped, ...] = ()
    """Her own paper blocks by name: cut instead of a draft."""
    motif: MotifCard | None = None
    binding: AsTyped = ""
    """Bias strips cut beside the pieces: length when joined and width, `3 m, 35 mm`."""
    first: AsTyped = ""
    """A cloth (the lining) that is cut, tacked and fitted before the others."""
    sample: bool = False
