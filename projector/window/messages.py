"""What desk and window say to each other through their pipe."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from calibration.table import Table
from projector.session.commands import Command
from projector.session.snapshot import Snapshot, Work


@dataclass(frozen=True, slots=True)
class Settings:
    """How the window is opened. `display` None: framed, for the demonstration alone; `wanted_px`: the table's picture size."""

    display: int | None
    wanted_px: tuple[int, int]
    title: str = ""
    may_be_dummy: bool = False
    keys: Mapping[str, str] = field(default_factory=dict)
    """Key name to command, beside or instead of the program's own keys; an empty command silences a key."""


@dataclass(frozen=True, slots=True)
class Load:
    """The order's steps and the table; sent when either changes."""

    work: Work
    table: Table | None


@dataclass(frozen=True, slots=True)
class Show:
    """One snapshot to show; the newest waiting one wins."""

    snapshot: Snapshot


@dataclass(frozen=True, slots=True)
class Quit:
    """Close the window and end."""


@dataclass(frozen=True, slots=True)
class Opened:
    """The window is there. `is_full`: the whole display, true pixels."""

    size: tuple[int, int]
    driver: str
    is_full: bool


@dataclass(frozen=True, slots=True)
class NotOpened:
    """Three sentences why there is no window."""

    what: str
    why: str
    next_step: str


@dataclass(frozen=True, slots=True)
class Flipped:
    """The picture of this snapshot is on the display. `drawing_ms`: time from message to flip."""

    number: int
    drawing_ms: float


@dataclass(frozen=True, slots=True)
class Pressed:
    """A key, as a command of the step that was in the light when it was pressed."""

    command: Command


@dataclass(frozen=True, slots=True)
class DisplayChanged:
    """Displays were plugged, pulled or changed; the window ends after saying so."""

    why: str


@dataclass(frozen=True, slots=True)
class Closed:
    """The framed window was closed by hand."""


ToWindow = Load | Show | Quit
FromWindow = Opened | NotOpened | Flipped | Pressed | DisplayChanged | Closed
