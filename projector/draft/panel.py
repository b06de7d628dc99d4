"""What a draft hands on: panels with named edges, marks and level lines. Still without allowances. Frozen, mm."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from calibration.errors import Refused
from projector.draft.curve import Curve, Points, flat

EdgeKind = Literal[
    "centre", "waist", "side", "shoulder", "armhole", "neck", "princess", "dart", "hem", "cap", "under", "opening", "facing", "gather",
    "band",
]  # fmt: skip


class DraftRefused(Refused):
    """This body and this style give no dress that can be sewn; says which measure or choice to look at."""


@dataclass(frozen=True, slots=True)
class PanelEdge:
    """A named stretch of the sewing outline, run clockwise as drawn."""

    name: str
    kind: EdgeKind
    curve: Curve
    fold: bool = False
    drawn: Points | None = None
    """Already flattened (parallel or trimmed lines); then `curve` is empty."""

    def flat(self) -> Points:
        """(N,) points."""
        return flat(self.curve) if self.drawn is None else self.drawn


@dataclass(frozen=True, slots=True)
class Mark:
    """A balance mark on an edge, `from_start_mm` along it (negative: from its end)."""

    edge: str
    from_start_mm: float
    count: int = 1


@dataclass(frozen=True, slots=True)
class Panel:
    """One part of the draft. `darts`: leg end, tip, leg end (mouth dart). `points`: pin marks such as the bust point."""

    name: str
    part: str
    edges: tuple[PanelEdge, ...]
    levels: Mapping[str, float | tuple[complex, ...]] = field(default_factory=dict)
    darts: tuple[tuple[complex, ...], ...] = ()
    marks: tuple[Mark, ...] = ()
    points: tuple[complex, ...] = ()
    grain_deg: float = 90.0
    count: int = 2
    mirrored: bool = True

    @property
    def on_fold(self) -> bool:
        """One edge lies on a fold: the panel is the half."""
        return any(edge.fold for edge in self.edges)
