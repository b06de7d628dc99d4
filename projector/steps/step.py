"""What cutting hands on: one thing to do at the table, in the cloth frame. Frozen data, mm.

The scene turns these lines into table mm by where the cloth lies, the picture into pixels; NN.json is written from both.
"""

from dataclasses import dataclass
from typing import Literal

from projector.garment.pieces import Line, Point

Op = Literal["prepare", "fold", "check", "place", "cut", "mark", "part", "lift", "tag", "slide", "fuse", "hang"]
When = Literal["now", "mark", "later"]
LineKind = Literal["cut", "sew", "fold", "grain", "notch", "point", "dart", "level", "grid", "ruler", "cloth", "slide", "cross"]


@dataclass(frozen=True, slots=True)
class Handle:
    """A piece on one ply: what is freed, tagged, lifted, fused or hung."""

    piece: str
    ply: str


@dataclass(frozen=True, slots=True)
class StepLine:
    """One line to throw, cloth frame. `piece` None: the outer line of several pieces, or of none."""

    kind: LineKind
    piece: str | None
    when: When
    mm: Line
    closed: bool = False


@dataclass(frozen=True, slots=True)
class StepLabel:
    """Words or numerals beside something, cloth frame; `size_mm` is the height of capitals."""

    text: str
    at: Point
    size_mm: float = 12.0


@dataclass(frozen=True, slots=True)
class TapeRead:
    """One number of a tape check: what the tape reads from edge to edge and between the sewing lines, mm. `where` empty: the length."""

    piece: str
    where: str
    mm: float
    sewn_mm: float


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do at the table.

    `title`: at most eight words; `say`: the longer sentence for the phone. `plies`: ids under the lines, top first;
    `through`: ids this step cuts or marks; `frees`: pieces wholly cut loose here; `handles`: what a tag, lift, fuse or
    hang step takes. `needs`: what must be true before (words for the phone). `cloth`, `bundle`, `part`: what lies in the light.
    """

    title: str
    say: str
    op: Op
    cloth: str
    bundle: int
    part: int
    plies: tuple[str, ...] = ()
    through: tuple[str, ...] = ()
    frees: tuple[Handle, ...] = ()
    handles: tuple[Handle, ...] = ()
    lines: tuple[StepLine, ...] = ()
    labels: tuple[StepLabel, ...] = ()
    height_mm: float = 0.0
    needs: tuple[str, ...] = ()
    is_fact: bool = False
    """Done means cut: back shows it but does not un-cut."""
    is_again: bool = False
    """A piece in hand is cut again, since the dress was changed after it was cut."""
    tapes: tuple[TapeRead, ...] = ()
    """The numbers of a tape check; she may change one, then the line behind it moves."""
