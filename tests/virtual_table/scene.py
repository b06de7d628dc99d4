"""What stands, lies and shines at the virtual table: plain descriptions, no picture yet."""

from dataclasses import dataclass, field
from typing import Literal

from tests.virtual_table.lamp import Lamp
from tests.virtual_table.lens import Lens, Pose
from tests.virtual_table.paper import Sheet


@dataclass(frozen=True, slots=True)
class Ground:
    """The bare table: reflectance RGB; `kind` even, plain (fine grain), wood, mat (fine light grid), checks (cloth of 20 mm checks)."""

    colour: tuple[float, float, float] = (0.55, 0.50, 0.42)
    kind: Literal["even", "plain", "wood", "mat", "checks"] = "plain"
    seed: int = 0


@dataclass(frozen=True, slots=True)
class Thing:
    """A round thing in the way (cup, fist): world place, radius, height of its top, reflectance."""

    at: tuple[float, float]
    radius_mm: float
    height_mm: float = 90.0
    colour: tuple[float, float, float] = (0.5, 0.35, 0.28)


@dataclass(frozen=True, slots=True)
class Room:
    """Room light as a share of the lamp's white on the table, its colour, how unevenly it falls, glare of a window or bulb."""

    level: float = 0.15
    colour: tuple[float, float, float] = (1.0, 0.93, 0.82)
    uneven: float = 0.2
    glare_share: float = 0.0
    glare_at: tuple[float, float] = (0.4, 0.4)


@dataclass(frozen=True, slots=True)
class Sensor:
    """What the phone does with the light."""

    noise: float = 0.008
    defocus_px: float = 0.5
    edge_defocus_px: float = 0.3
    lateral_colour: float = 1e-4
    vignetting: float = 0.3
    demosaic: bool = True
    sharpen: float = 0.3
    quality: int = 93
    exposure: float = 1.0
    movement_px: float = 0.0
    shrunk_to_px: int = 0
    exif: bool = True


@dataclass(frozen=True, slots=True)
class Phone:
    """One photograph: sensor size, lens in px of it, pose, what it does with light; `lamp` when it was moved before this one."""

    size: tuple[int, int]
    lens: Lens
    pose: Pose
    sensor: Sensor = field(default_factory=Sensor)
    lamp: Lamp | None = None
    orientation: int = 1
    frame: int = 0
    seed: int = 0


@dataclass(frozen=True, slots=True)
class Scene:
    """Everything. `name` is told in reports."""

    name: str
    lamp: Lamp
    sheets: tuple[Sheet, ...]
    phones: tuple[Phone, ...]
    ground: Ground = field(default_factory=Ground)
    room: Room = field(default_factory=Room)
    things: tuple[Thing, ...] = ()
