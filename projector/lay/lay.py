"""What laying hands on: regions, plies, placed pieces, parts. Frozen data, mm, cloth frame.

Cloth frame seen from above: x along the length, y from the fold (or one selvedge) across, counter-clockwise from x.
Each length in hand (bundle) has its own x from 0. `as_json` gives lay.json; DEVELOPERS.md, "Frames", says how a piece
frame turns into the cloth frame.
"""

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, replace
from typing import Any, Literal, get_args

from projector.garment.pieces import Line, Point

Plan = Literal["open", "lengthwise", "off_centre", "crosswise", "quarters_along", "quarters_across", "crossed_four"]
PLANS: tuple[Plan, ...] = get_args(Plan)
QUARTERS: tuple[Plan, ...] = ("quarters_along", "quarters_across")
Up = Literal["along", "across", "either", "none"]
Span = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Ply:
    """One layer. `turned` 180: its own length runs against x. Its y is without selvedges, its x runs to the cut end."""

    id: str
    x: Span
    y: Span
    turned: Literal[0, 180]
    face: Literal["right", "wrong"]


@dataclass(frozen=True, slots=True)
class Fold:
    """Two plies joined at one side of the region."""

    side: Literal["x0", "x1", "y0", "y1"]
    joins: tuple[str, str]


@dataclass(frozen=True, slots=True)
class Region:
    """A stack of plies, top first; `bundle` indexes the cloth's lengths."""

    id: str
    bundle: int
    x: Span
    y: Span
    ply: tuple[Ply, ...]
    folds: tuple[Fold, ...] = ()


@dataclass(frozen=True, slots=True)
class Placed:
    """One outline on the cloth. `outline`: the cut line (grown by the piece's block_mm), the half for `on_fold`.

    `on`: ids of the plies that keep it; `plies`: layers of its region; `flipped`: drawn as the mirror image.
    """

    piece: str
    of: str
    cloth: str
    region: str
    plies: int
    on: tuple[str, ...]
    part: int
    outline: Line
    grain_deg: float
    turned: Literal[0, 180]
    flipped: bool
    on_fold: bool
    shift: Point = (0.0, 0.0)
    across: bool = False
    """Garment's length across the cloth. With turned, flipped and shift it carries any point of the piece over."""

    def moved(self, dx_mm: float, dy_mm: float) -> "Placed":
        """The same slid along and across the cloth."""
        outline = tuple((x + dx_mm, y + dy_mm) for x, y in self.outline)
        return replace(self, outline=outline, shift=(self.shift[0] + dx_mm, self.shift[1] + dy_mm))


@dataclass(frozen=True, slots=True)
class Part:
    """What fits in the light at one time. `slide_from`: the part lit before it on this bundle, or None."""

    bundle: int
    rect: tuple[float, float, float, float]
    slide_from: int | None
    spots: tuple[Point, Point] | tuple[()] = ()


@dataclass(frozen=True, slots=True)
class Binding:
    """Bias strips on one open layer. `region`: whose rest they lie in; empty: on cloth beyond the lay, laid open, x from its cut
    end and y from its selvedge. `length_mm`: when joined; `extra_mm`: cloth beyond the lay; `wanted_mm`: as asked for.

    `ply`: the layer they are cut from; `part_of`: by strip the part that lights it, of the lay or, beyond it, of `parts`.
    `lacks`: why none could be laid round pieces moved by hand, in words."""

    region: str
    bundle: int
    strips: tuple[Line, ...]
    width_mm: float
    length_mm: float
    extra_mm: float
    wanted_mm: float = 0.0
    ply: str = ""
    part_of: tuple[int, ...] = ()
    parts: tuple[Part, ...] = ()
    lacks: str = ""


@dataclass(frozen=True, slots=True)
class LaidCloth:
    """The cloth as laid (not as typed): gaps and ends that the checker holds us to."""

    name: str
    width_mm: float
    lengths_mm: tuple[float, ...]
    up: Up
    gap_mm: float
    end_mm: float
    selvedge_mm: float
    ply_mm: float


@dataclass(frozen=True, slots=True)
class Lay:
    """One cloth's lay; `others` holds the other cloths' lays by name."""

    cloth: LaidCloth
    plan: Plan
    regions: tuple[Region, ...]
    placed: tuple[Placed, ...]
    parts: tuple[Part, ...]
    cloth_needed_mm: float
    utilisation: float
    trials: int
    seed: int
    why: tuple[str, ...] = ()
    others: Mapping[str, "Lay"] = field(default_factory=dict)
    binding: Binding | None = None

    @property
    def lays(self) -> tuple["Lay", ...]:
        """This cloth's lay and the other cloths'."""
        return (self, *self.others.values())

    def flat_mm(self, region: Region) -> float:
        """Cloth of one length that a region folds up: its plies' extents along it, each stretch of cloth once."""
        x = region.x[1] - region.x[0]
        if self.plan in ("crosswise", "crossed_four"):
            return 2.0 * x
        if self.plan == "quarters_across":
            return sum(ply.x[1] - ply.x[0] for ply in region.ply)
        return x

    def as_json(self) -> dict[str, Any]:
        """The whole of lay.json."""
        told = {key: value for key, value in asdict(self).items() if key not in {"plan", "regions", "others"}}
        told["fold"] = {"plan": self.plan, "regions": [asdict(region) for region in self.regions]}
        told["why"] = list(self.why)
        if self.binding is None:
            del told["binding"]
        told["others"] = {name: lay.as_json() for name, lay in self.others.items()}
        return {"format": 1, **told}
