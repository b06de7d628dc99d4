"""Paper blocks on the virtual table: outlines of straight lines and arcs, as a page whose rest looks like the bare table."""

from dataclasses import replace

import cv2
import numpy as np
from numpy.typing import NDArray

from tests.virtual_table.lens import Array
from tests.virtual_table.paper import INK, PAPER, Page, Sheet
from tests.virtual_table.scene import Ground, Scene

MM_PER_PX = 0.125


def arc(middle: tuple[float, float], radius: float, start_deg: float, end_deg: float) -> Array:
    """(61, 2) points of an arc."""
    t = np.radians(np.linspace(start_deg, end_deg, 61))
    return np.column_stack([middle[0] + radius * np.cos(t), middle[1] + radius * np.sin(t)])


def bodice_block() -> Array:
    """A half bodice, 240 × 420 mm: straight centre, hollowed neck and armhole, sloping shoulder; y up, counter-clockwise."""
    neck = arc((0.0, 420.0), 75.0, 0.0, -90.0)[::-1]
    armhole = arc((255.0, 385.0), 95.0, 270.0, 180.0)
    outline = [np.array([[0.0, 0.0], [215.0, 4.0]]), np.array([[255.0, 290.0]]), armhole[1:], np.array([[75.0, 420.0]]), neck[1:-1][::-1]]
    return np.vstack([*outline, np.array([[0.0, 345.0]])])


def sleeve_block() -> Array:
    """A sleeve, 300 mm wide: its head a curve without corners, its hem straight."""
    x = np.linspace(150.0, -150.0, 121)
    head = np.column_stack([x, 180.0 + 110.0 * np.cos(np.pi * x / 300.0) ** 2])
    return np.vstack([np.array([[-105.0, 0.0], [105.0, 0.0]]), head])


def _shade(reflectance: float) -> int:
    """The picture's value that `paper` prints as this reflectance (sRGB, IEC 61966-2-1)."""
    linear: float = (reflectance - INK) / (PAPER - INK)
    return int(255 * (1.055 * float(np.power(linear, 1 / 2.4)) - 0.055) + 0.5)


def block_sheet(outline: Array, at: tuple[float, float], turn_deg: float, block: float, table: float) -> tuple[Sheet, Array]:
    """(the sheet to lay on the table, the outline's world places). Reflectances of block and table."""
    low, high = outline.min(axis=0), outline.max(axis=0)
    middle = (low + high) / 2
    size = np.ceil((high - low + 40.0) / MM_PER_PX).astype(int)
    picture: NDArray[np.uint8] = np.full((int(size[1]), int(size[0]), 3), _shade(table), np.uint8)
    px = (outline - middle) * np.array([1.0, -1.0]) / MM_PER_PX + (size - 1) / 2
    cv2.fillPoly(picture, [np.round(px * 16).astype(np.int32)], (_shade(block),) * 3, shift=4)
    sheet = Sheet(Page(picture, MM_PER_PX, (float(size[0] * MM_PER_PX), float(size[1] * MM_PER_PX))), at, turn_deg)
    return sheet, sheet.world_from_page(outline - middle)


def with_blocks(
    scene: Scene, blocks: list[tuple[Array, tuple[float, float], float]], block: float, table: float
) -> tuple[Scene, list[Array]]:
    """(the scene with blocks laid at shares of the light's width and height, their outlines in the world)."""
    w, h = scene.lamp.size
    sheets, outlines = [], []
    for outline, share, turn in blocks:
        x, y = scene.lamp.world_from_px(np.array([share[0] * (w - 1), share[1] * (h - 1)]))
        sheet, world = block_sheet(outline, (float(x), float(y)), turn, block, table)
        sheets.append(sheet)
        outlines.append(world)
    return replace(scene, sheets=(*scene.sheets, *sheets), ground=Ground((table, table, table), "even")), outlines
