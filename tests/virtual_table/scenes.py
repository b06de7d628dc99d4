"""Scenes by number: good and poor conditions, drawn at random and always the same for the same seed."""

from dataclasses import dataclass, replace

import numpy as np

from tests.virtual_table.lamp import Lamp
from tests.virtual_table.lens import Array, Lens, Pose, looking_at
from tests.virtual_table.paper import Page, Sheet
from tests.virtual_table.scene import Ground, Phone, Room, Scene, Sensor

LANDSCAPE_12MP = (4032, 3024)
LANDSCAPE_3MP = (2048, 1536)
ORIENTATION = {0: 1, 90: 6, 180: 3, 270: 8}
STUCK_AT = ((0.06, 0.10), (0.5, 0.09), (0.94, 0.11), (0.93, 0.90), (0.5, 0.91), (0.07, 0.89))
"""Where labels are stuck, shares of the light's width and height: near its edge, where no cloth lies."""


@dataclass(frozen=True, slots=True)
class Make:
    """How hard a scene is: ranges from which a scene is drawn."""

    tilt_deg: float
    lens_shift: float
    lamp_k1: float
    phone_k1: float
    lamp_blur: float


GOOD = Make(tilt_deg=3.0, lens_shift=0.15, lamp_k1=0.008, phone_k1=0.02, lamp_blur=0.45)
POOR = Make(tilt_deg=8.0, lens_shift=0.55, lamp_k1=0.03, phone_k1=0.06, lamp_blur=0.7)


def drawn_lamp(random: np.random.Generator, make: Make, size: tuple[int, int], tilt_deg: float | None = None) -> Lamp:
    """A projector over the table; the light is 1.1 to 1.6 m wide."""
    w, h = size
    width, height = random.uniform(1100, 1600), random.uniform(1450, 1900)
    towards = random.uniform(0, 2 * np.pi)
    tilt = np.radians(make.tilt_deg * random.uniform(0.6, 1.0) if tilt_deg is None else tilt_deg)
    forward = np.array([np.sin(tilt) * np.cos(towards), np.sin(tilt) * np.sin(towards), -np.cos(tilt)])
    at = np.array([random.uniform(-80, 80), random.uniform(-80, 80), height])
    shift = make.lens_shift * random.uniform(0.3, 1.0)
    focal = w * height / width
    centre = ((w - 1) / 2 + random.uniform(-0.01, 0.01) * w * (make.tilt_deg > 5), (h - 1) * (0.5 + shift))
    k1 = make.lamp_k1 * random.uniform(0.4, 1.0) * random.choice([-1, 1])
    lens = Lens(focal, centre, k1, -0.4 * k1 * random.uniform(0, 1))
    return Lamp(size, lens, looking_at(at, at + 1000 * forward, random.uniform(-4, 4)), make.lamp_blur, falloff=random.uniform(0.1, 0.3))


def corner_sheets(random: np.random.Generator, lamp: Lamp, pages: list[Page], loose_deg: float = 9.0) -> tuple[Sheet, ...]:
    """Four sheets near the corners of the light, turned against each other, the second crosswise."""
    w, h = lamp.size
    shares = [(0.14, 0.25), (0.86, 0.25), (0.86, 0.75), (0.14, 0.75)]
    turns = [0.0, 90.0, 180.0, 0.0]
    sheets = []
    for page, (x, y), turn in zip(pages[:4], shares, turns, strict=False):
        px = np.array([x * (w - 1), y * (h - 1)]) + random.uniform(-0.015, 0.015, 2) * w
        at = lamp.world_from_px(px)
        sheets.append(Sheet(page, (float(at[0]), float(at[1])), turn + random.uniform(-loose_deg, loose_deg)))
    return tuple(sheets)


def _fits(pose: Pose, lens: Lens, size: tuple[int, int], places: Array, margin: float) -> bool:
    seen = pose.seen(np.column_stack([places, np.zeros(len(places))]))
    if (seen[:, 2] < 100).any():
        return False
    flat = seen[:, :2] / seen[:, 2:3]
    if np.abs(flat).max() > 1.2:
        return False
    px = lens.px(flat)
    edge = margin * size[0]
    return bool((px > edge).all() and (px[:, 0] < size[0] - edge).all() and (px[:, 1] < size[1] - edge).all())


def drawn_phone(
    random: np.random.Generator,
    make: Make,
    lamp: Lamp,
    size: tuple[int, int],
    sensor: Sensor,
    lens: Lens | None = None,
    turn: int | None = None,
) -> Phone:
    """A handheld photograph of the whole light: leant 5 to 30 degrees from straight down, as close as it all fits."""
    w, h = size
    corners = lamp.world_from_px(
        np.array([[0, 0], [lamp.size[0] - 1, 0], [lamp.size[0] - 1, lamp.size[1] - 1], [0, lamp.size[1] - 1]]) * 1.0
    )
    middle = np.append(corners.mean(axis=0), 0.0)
    if lens is None:
        centre = ((w - 1) / 2 + random.uniform(-0.008, 0.008) * w, (h - 1) / 2 + random.uniform(-0.008, 0.008) * w)
        k1 = make.phone_k1 * random.uniform(0.3, 1.0) * random.choice([-1, 1])
        sideways = 6e-4 if make is POOR else 2e-4
        p1, p2 = random.uniform(-1, 1, 2) * sideways
        lens = Lens(w * random.uniform(0.71, 0.78), centre, k1, -0.7 * k1 * random.uniform(0, 1), p1, p2)
    breathing = 1.0 + random.uniform(-0.001, 0.001)
    lens = replace(lens, focal_px=lens.focal_px * breathing)
    roll = (int(random.choice([0, 0, 180, 90])) if turn is None else turn) % 360
    lean, side = np.radians(random.uniform(5, 30)), np.radians(random.uniform(-60, 60))
    from_middle = np.array([np.sin(lean) * np.sin(side), -np.sin(lean) * np.cos(side), np.cos(lean)])
    up = np.array([-from_middle[0], -from_middle[1], 0.0])
    aim = middle + np.append(random.uniform(-40, 40, 2), 0.0)
    wobble, reach = random.uniform(-6, 6), 900.0
    pose = looking_at(middle + reach * from_middle, aim, roll + wobble, up)
    while not _fits(pose, lens, size, corners, 0.01) and reach < 5000:
        reach *= 1.02
        pose = looking_at(middle + reach * from_middle, aim, roll + wobble, up)
    return Phone(size, lens, pose, sensor, orientation=ORIENTATION[roll], seed=int(random.integers(1 << 30)))


def good(
    seed: int, pages: list[Page], size: tuple[int, int] = (1920, 1080), photographs: int = 2, phone_px: tuple[int, int] = LANDSCAPE_12MP
) -> Scene:
    """Dim room, light table, lamp nearly overhead."""
    random = np.random.default_rng([seed, 1])
    lamp = drawn_lamp(random, GOOD, size)
    sheets = corner_sheets(random, lamp, pages)
    sensor = Sensor(noise=random.uniform(0.004, 0.010), quality=int(random.integers(90, 97)))
    phones = _same_phone(random, GOOD, lamp, phone_px, sensor, photographs)
    kind = str(random.choice(["plain", "wood", "mat"]))
    colour = tuple(float(c) for c in random.uniform(0.3, 0.7) * np.array([1.0, random.uniform(0.85, 1.0), random.uniform(0.7, 1.0)]))
    ground = Ground((colour[0], colour[1], colour[2]), kind, seed)  # type: ignore[arg-type]
    return Scene(f"good {seed}", lamp, sheets, phones, ground, Room(random.uniform(0.08, 0.2)))


def poor(
    seed: int, pages: list[Page], size: tuple[int, int] = (1920, 1080), photographs: int = 2, phone_px: tuple[int, int] = LANDSCAPE_12MP
) -> Scene:
    """Tilt up to 8°, lens shift, lens distortion, noise, bright room, dark table."""
    random = np.random.default_rng([seed, 2])
    lamp = drawn_lamp(random, POOR, size)
    sheets = corner_sheets(random, lamp, pages)
    sensor = Sensor(
        noise=random.uniform(0.015, 0.025), quality=int(random.integers(82, 91)), lateral_colour=4e-4, defocus_px=0.7, edge_defocus_px=0.6,
        vignetting=0.5,
    )  # fmt: skip
    phones = _same_phone(random, POOR, lamp, phone_px, sensor, photographs)
    dark = random.uniform(0.10, 0.22)
    ground = Ground((dark, dark * 0.9, dark * random.uniform(0.6, 1.1)), "wood" if seed % 2 else "plain", seed)
    return Scene(f"poor {seed}", lamp, sheets, phones, ground, Room(random.uniform(0.5, 1.0), uneven=0.4))


def _same_phone(
    random: np.random.Generator, make: Make, lamp: Lamp, size: tuple[int, int], sensor: Sensor, photographs: int
) -> tuple[Phone, ...]:
    first = drawn_phone(random, make, lamp, size, sensor)
    others = [drawn_phone(random, make, lamp, size, sensor, lens=first.lens) for _ in range(photographs - 1)]
    return (first, *others)


def stuck_labels(random: np.random.Generator, lamp: Lamp, labels: list[Page]) -> tuple[Sheet, ...]:
    """Labels stuck inside the light near its edge: along the upper and lower side, turned anyhow."""
    w, h = lamp.size
    sheets = []
    for page, (x, y) in zip(labels, STUCK_AT, strict=False):
        at = lamp.world_from_px(np.array([x * (w - 1), y * (h - 1)]) + random.uniform(-0.01, 0.01, 2) * w)
        sheets.append(Sheet(page, (float(at[0]), float(at[1])), float(random.uniform(-180, 180))))
    return tuple(sheets)
