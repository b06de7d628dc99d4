"""What is shown now: one frozen record that window, phone and journal read. Table mm, degrees."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import cos, radians, sin
from typing import Literal

from calibration.units import Unit
from projector.garment.pieces import Point
from projector.steps.step import Op, Step

State = Literal["stop", "check", "ready", "demonstration"]
"""STOP, CHECK WITH TAPE, READY, demonstration: what may be cut by."""

Lit = Literal["lines", "off", "plain"]
"""What the lamp throws: the work, nothing, or an even white to work by."""
Colour = Literal["yellow", "white", "green", "cyan"]
COLOURS: tuple[Colour, ...] = ("yellow", "white", "green", "cyan")
Side = Literal["bottom", "right", "top", "left"]
"""Where she stands, named by the picture's edges as the table frame sees them: bottom is y = 0."""
SIDES: tuple[Side, ...] = ("bottom", "right", "top", "left")
WORKER_TURN_DEG: Mapping[Side, float] = {"bottom": 0.0, "right": 90.0, "top": 180.0, "left": -90.0}
"""Table from worker: her right hand's direction in the table frame."""
Hand = Literal["right", "left"]
HANDS: tuple[Hand, ...] = ("right", "left")

Mode = Literal["steps", "frame", "proof", "align", "spots", "shadow", "error", "code", "setup"]
"""steps: the work; frame: the picture to photograph; proof: the long line alone; align: two points put the light on the real
cloth; spots: each light cross is moved onto its table spot; shadow: can you see the line ahead of your shears?; error: how true it is;
code: opens the page on a phone; setup: what the lamp needs before it is photographed."""


@dataclass(frozen=True, slots=True)
class ClothAt:
    """Where the cloth frame lies in the table frame: table = turn (counter-clockwise) of cloth + (x_mm, y_mm).

    `mirrored`: the stack lies the other way round (cloth y against its own sense), allowed only where every piece is cut
    in pairs or on a fold.
    """

    x_mm: float = 0.0
    y_mm: float = 0.0
    turn_deg: float = 0.0
    mirrored: bool = False

    def table_from_cloth(self, point: Point) -> Point:
        """One point, mm."""
        x, y = point[0], -point[1] if self.mirrored else point[1]
        c, s = cos(radians(self.turn_deg)), sin(radians(self.turn_deg))
        return (c * x - s * y + self.x_mm, s * x + c * y + self.y_mm)


@dataclass(frozen=True, slots=True)
class See:
    """What I see: toggles. Allowances off hides every cut line and shows the sewing line alone; bold: every line wider and brighter,
    for cloth that is nearly black."""

    allowances: bool = True
    sewing_lines: bool = True
    marks: bool = True
    labels: bool = True
    cloth: bool = True
    body_lines: bool = True
    grid: bool = False
    long_line: bool = False
    bold: bool = False
    light: Lit = "lines"


@dataclass(frozen=True, slots=True)
class TableSummary:
    """The table in words and few numbers. `shape_mm`, `size_percent`: 95 %; None: not known."""

    name: str
    size_px: tuple[int, int]
    state: State
    day: str = ""
    shape_mm: float | None = None
    size_percent: float | None = None
    spots: tuple[Point, ...] = ()
    """Surveyed table spots, table mm."""
    lit: tuple[Point, ...] = ()
    """The four corners of the light on the table, table mm."""


@dataclass(frozen=True, slots=True)
class Align:
    """Two points put the light on the real cloth: `cloth` points known, `table` where their crosses are thrown now."""

    purpose: Literal["place", "recover", "slide"]
    cloth: tuple[Point, Point]
    table: tuple[Point, Point]
    at: int = 0
    """Which of the two is being moved: 0 or 1."""


@dataclass(frozen=True, slots=True)
class Message:
    """The same three sentences as everywhere; `kind` note: only `what` is filled."""

    kind: Literal["note", "refusal"]
    what: str
    why: str = ""
    next_step: str = ""


@dataclass(frozen=True, slots=True)
class Snapshot:
    """Everything the table and the phone show. `number` grows by one with every change; `step` counts from 0."""

    number: int = 0
    order: str = ""
    unit: Unit = "cm"
    step: int = 0
    of: int = 0
    tape: int = 0
    """Which number of a tape check the keys change."""
    title: str = ""
    say: str = ""
    op: Op | None = None
    mode: Mode = "steps"
    state: State = "stop"
    stop_reason: str = ""
    """Why STOP although the table itself would allow more (display changed, lamp moved): empty when nothing is wrong."""
    cloth_at: ClothAt = ClothAt()
    is_cloth_true: bool = True
    """False after a bump, a power cut or a pause with cuts made, until two points were put on the real cut edges."""
    align: Align | None = None
    places: tuple[tuple[int, ClothAt], ...] = ()
    """Where the cloth lay at each arrival (Work.arrivals) that was left: its step, its place before any pulling along."""
    see: See = See()
    colour: Colour = "yellow"
    worker_side: Side = "bottom"
    lens_side: Side = "top"
    """The edge above which the lamp hangs or stands: shadows fall away from it."""
    cutting_hand: Hand = "right"
    table: TableSummary | None = None
    spot: int = 0
    spot_moves: tuple[Point, ...] = ()
    """In mode spots: how far each light cross was moved by keys, table mm, one per surveyed spot."""
    proof_mm: float = 0.0
    """Length of the long line now shown, table mm; 0: none fits."""
    done: tuple[int, ...] = ()
    """Steps marked done, ascending. What was cut is a fact: back shows the step but does not un-cut it."""
    code: str = ""
    """In mode code: the address that the code in the light holds."""
    job: str = ""
    """A running job in words (\"reading 2 photographs\"); empty when none runs."""
    message: Message | None = None
    is_help: bool = False


@dataclass(frozen=True, slots=True)
class Slide:
    """Pulling the cloth along at one step: the two pinned places (cloth frame) and how far the cloth frame moves, cloth mm."""

    spots: tuple[Point, ...]
    shift_mm: Point


@dataclass(frozen=True, slots=True)
class Work:
    """What the commands act on: the order's steps and what of the lay the commands need. Sent once per order, not per change."""

    order: str
    steps: tuple[Step, ...]
    unit: Unit = "cm"
    mirror_refusal: str = ""
    """Why the stack may not lie mirrored; empty when it may."""
    slides: Mapping[int, Slide] = field(default_factory=dict)
    """By step number, for each `slide` step."""
    fold_points: Mapping[tuple[str, int], tuple[Point, Point]] = field(default_factory=dict)
    """Per cloth and bundle: fold corner and a place along the fold, where a fresh lay is put under the light."""
    arrivals: Mapping[int, ClothAt] = field(default_factory=dict)
    """Steps at which other cloth (or the same anew) comes under the light, and where it is taken to lie before she says."""
    mark: str = ""
    """Of the steps, where it was worked out with them; empty: the journal works it out (0.1 s for a dress)."""
