"""What goes wrong at real tables: each case takes a good scene and spoils one thing."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from tests.virtual_table.lamp import Lamp
from tests.virtual_table.lens import Pose
from tests.virtual_table.paper import Bend, Page
from tests.virtual_table.scene import Ground, Room, Scene, Thing
from tests.virtual_table.scenes import GOOD as GOOD_MAKE
from tests.virtual_table.scenes import LANDSCAPE_12MP, corner_sheets, drawn_lamp, drawn_phone, good

Spoil = Callable[[Scene], Scene]


def _every_sheet(scene: Scene, **changes: object) -> Scene:
    return replace(scene, sheets=tuple(replace(sheet, **changes) for sheet in scene.sheets))  # type: ignore[arg-type]


def _every_sensor(scene: Scene, **changes: object) -> Scene:
    phones = tuple(replace(phone, sensor=replace(phone.sensor, **changes)) for phone in scene.phones)  # type: ignore[arg-type]
    return replace(scene, phones=phones)


def turned_lamp(lamp: Lamp, degrees: float) -> Lamp:
    """The lamp knocked: turned about a slanted level axis."""
    angle = np.radians(degrees)
    axis = np.array([0.8, 0.6, 0.0])
    cross = np.array([[0, -axis[2], axis[1]], [axis[2], 0, -axis[0]], [-axis[1], axis[0], 0]])
    turn = np.eye(3) + np.sin(angle) * cross + (1 - np.cos(angle)) * cross @ cross
    return replace(lamp, pose=Pose(lamp.pose.at, turn @ lamp.pose.turn))


def _moved(degrees: float) -> Spoil:
    def spoil(scene: Scene) -> Scene:
        last = replace(scene.phones[-1], lamp=turned_lamp(scene.lamp, degrees))
        return replace(scene, phones=(*scene.phones[:-1], last))

    return spoil


def _keystone(lamp: Lamp, amount: float) -> Lamp:
    """The lamp squeezes its picture's upper edge by `amount` by itself."""
    w, h = lamp.size
    squeeze = np.array(
        [[1.0, -amount / 2 * (w - 1) / (h - 1), amount / 2 * (w - 1)], [0.0, 1.0 - amount, amount * (h - 1)], [0.0, -amount / (h - 1), 1.0]]
    )
    corners = np.array([[0, 0, 1], [w - 1, 0, 1], [w - 1, h - 1, 1], [0, h - 1, 1]]) @ squeeze.T
    high = float((corners[:, :2] / corners[:, 2:]).max(axis=0)[0] / (w - 1))
    return replace(lamp, keystone=np.diag([1 / high, 1 / high, 1.0]) @ squeeze if high > 1 else squeeze)


def _keystone_changes(scene: Scene) -> Scene:
    last = replace(scene.phones[-1], lamp=_keystone(scene.lamp, 0.06))
    return replace(scene, phones=(*scene.phones[:-1], last))


def _on_every_sheet(radius: float) -> Spoil:
    def spoil(scene: Scene) -> Scene:
        return replace(scene, things=tuple(Thing((sheet.at[0] + 20, sheet.at[1] - 15), radius) for sheet in scene.sheets))

    return spoil


HOSTILE: dict[str, Spoil] = {
    "print 98": lambda scene: _every_sheet(scene, scale=(0.98, 0.98)),
    "print 97": lambda scene: _every_sheet(scene, scale=(0.97, 0.97)),
    "stretch 1": lambda scene: _every_sheet(scene, scale=(1.0, 0.99)),
    "stretch 0.3": lambda scene: _every_sheet(scene, scale=(1.0, 0.997)),
    "one sheet 98": lambda scene: replace(scene, sheets=(replace(scene.sheets[0], scale=(0.98, 0.98)), *scene.sheets[1:])),
    "curled 5": lambda scene: _every_sheet(scene, bend=Bend(5.0)),
    "curled 2": lambda scene: _every_sheet(scene, bend=Bend(2.0)),
    "curled 25": lambda scene: _every_sheet(scene, bend=Bend(25.0)),
    "wavy": lambda scene: _every_sheet(scene, bend=Bend(1.5, 110.0, 20.0, waves=True)),
    "wavy 6": lambda scene: _every_sheet(scene, bend=Bend(6.0, 110.0, 20.0, waves=True)),
    "lamp moved 0.2": _moved(0.2),
    "lamp moved 0.05": _moved(0.05),
    "lamp moved 2": _moved(2.0),
    "auto keystone": lambda scene: replace(scene, lamp=_keystone(scene.lamp, 0.05)),
    "auto keystone changes": _keystone_changes,
    "mirrored": lambda scene: replace(scene, lamp=replace(scene.lamp, mirrored=True)),
    "desktop scaled": lambda scene: replace(scene, lamp=replace(scene.lamp, panel_width=scene.lamp.size[0] * 2 // 3)),
    "blur 6": lambda scene: _every_sensor(scene, defocus_px=6.0),
    "blur 15": lambda scene: _every_sensor(scene, defocus_px=15.0),
    "shaken": lambda scene: _every_sensor(scene, movement_px=25.0),
    "dark": lambda scene: _every_sensor(scene, exposure=0.02, noise=0.02),
    "overexposed": lambda scene: _every_sensor(scene, exposure=6.0),
    "noise": lambda scene: _every_sensor(scene, noise=0.04),
    "no sheets": lambda scene: replace(scene, sheets=()),
    "one sheet": lambda scene: replace(scene, sheets=scene.sheets[:1]),
    "glare 15": lambda scene: replace(scene, room=replace(scene.room, glare_share=0.15, glare_at=(0.2, 0.3))),
    "glare 30": lambda scene: replace(scene, room=replace(scene.room, glare_share=0.30, glare_at=(0.3, 0.4))),
    "cups": _on_every_sheet(45.0),
    "hands": _on_every_sheet(110.0),
    "checked cloth": lambda scene: replace(scene, ground=Ground((0.10, 0.09, 0.12), "checks", 1)),
    "bright room": lambda scene: replace(scene, room=Room(2.5)),
    "chat program": lambda scene: _every_sensor(scene, shrunk_to_px=1280, quality=60),
    "chat program tiny": lambda scene: _every_sensor(scene, shrunk_to_px=640, quality=45),
    "light off": lambda scene: replace(scene, lamp=replace(scene.lamp, black=1.0)),
}
"""name: what is spoilt. `wrong frame` needs no scene: throw a picture of another size (the lamp stretches it)."""


def hostile(
    name: str,
    seed: int,
    pages: list[Page],
    size: tuple[int, int] = (1920, 1080),
    phone_px: tuple[int, int] = LANDSCAPE_12MP,
    photographs: int = 2,
) -> Scene:
    """A good scene with one thing spoilt; `shelf N`: a lamp tilted N degrees instead."""
    if name.startswith("shelf"):
        return shelf(float(name.split()[1]), seed, pages, size, phone_px, photographs)
    scene = HOSTILE[name](good(seed, pages, size, photographs, phone_px))
    return replace(scene, name=f"{name} {seed}")


def shelf(tilt_deg: float, seed: int, pages: list[Page], size: tuple[int, int], phone_px: tuple[int, int], photographs: int = 2) -> Scene:
    """A lamp standing on a shelf: tilted by `tilt_deg`."""
    random = np.random.default_rng([seed, 3])
    base = good(seed, pages, size, photographs, phone_px)
    lamp = drawn_lamp(random, GOOD_MAKE, size, tilt_deg)
    sensor = base.phones[0].sensor
    phones = tuple(drawn_phone(random, GOOD_MAKE, lamp, phone_px, sensor, base.phones[0].lens) for _ in range(photographs))
    return replace(base, name=f"shelf {tilt_deg:g} {seed}", lamp=lamp, sheets=corner_sheets(random, lamp, pages), phones=phones)
