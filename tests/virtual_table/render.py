"""From a scene to a photograph: every pixel asks which place of the table it sees, and what light comes from there.

Smooth maps (pixel to table, pixel to lamp) are worked out every 16 pixels in double precision and filled in; printed and
thrown pictures are softened to the photograph's pixel before sampling.
"""

from collections.abc import Callable
from functools import lru_cache

import cv2
import numpy as np
from numpy.typing import NDArray

from tests.virtual_table.ground import reflectance_of
from tests.virtual_table.lamp import Lamp, Light, Picture, light_texture
from tests.virtual_table.lens import Array
from tests.virtual_table.paper import Sheet, bent_paper, page_texture
from tests.virtual_table.photo import developed
from tests.virtual_table.scene import Phone, Room, Scene

STEP = 16
PIXEL_SD = 0.35  # softening before sampling, in px of the photograph: a pixel's own width (sd 0.29) and a little lens
Box = tuple[int, int, int, int]


@lru_cache(maxsize=256)
def _fourfold(count: int) -> Array:
    """(4 × count, count) matrix: cubic Lagrange interpolation from nodes to four points a node step, inside the outer nodes."""
    place = (np.arange(count * 4) + 0.5) / 4 - 0.5
    first = np.clip(np.floor(place) - 1, 0, count - 4).astype(int)
    matrix = np.zeros((count * 4, count))
    for own in range(4):
        others = [other for other in range(4) if other != own]
        weight = np.prod([(place - (first + other)) / (own - other) for other in others], axis=0)
        matrix[np.arange(count * 4), first + own] = weight
    return matrix


def filled(fine: Callable[[Array], Array], box: Box) -> Light:
    """A smooth field asked at every 16th px of the box (x0, y0, x1, y1) and filled in: (h, w, channels) float32.

    Cubic to every 4th px, then straight: at the curvature of a tilted view (1e-4 mm a px²) that is exact to 2e-4 mm.
    """
    x0, y0, x1, y1 = box
    columns, lines = -(-(x1 - x0) // STEP) + 4, -(-(y1 - y0) // STEP) + 4
    xs = x0 + (np.arange(columns) - 2 + 0.5) * STEP - 0.5
    ys = y0 + (np.arange(lines) - 2 + 0.5) * STEP - 0.5
    rough = np.clip(np.nan_to_num(fine(np.stack(np.meshgrid(xs, ys), axis=-1)), nan=-1e6), -1e6, 1e6)
    closer = np.einsum("ij,jkc->ikc", _fourfold(lines), rough, optimize=True)
    closer = np.einsum("kl,ilc->ikc", _fourfold(columns), closer, optimize=True).astype(np.float32)
    full = cv2.resize(closer, (columns * STEP, lines * STEP), interpolation=cv2.INTER_LINEAR)
    return np.asarray(full[2 * STEP : 2 * STEP + y1 - y0, 2 * STEP : 2 * STEP + x1 - x0], dtype=np.float32)


def _world(flat: Array, height: float | Array = 0.0) -> Array:
    return np.concatenate([flat, np.broadcast_to(np.asarray(height, dtype=np.float64), flat.shape[:-1])[..., None]], axis=-1)


def _sampled(texture: Light, places: Light, border: int = cv2.BORDER_CONSTANT) -> Light:
    return np.asarray(cv2.remap(texture, places[..., 0], places[..., 1], cv2.INTER_LINEAR, borderMode=border), dtype=np.float32)


def _lamp_texels(lamp: Lamp, times: int, world: Array) -> Array:
    """World places to places in the enlarged light picture."""
    return (np.clip(np.nan_to_num(lamp.px_from_world(world), nan=-9e3), -9e3, 2e4) + 0.5) * times - 0.5


def _room_light(room: Room, places: Array, middle: Array) -> Array:
    slope = 1.0 + room.uneven * ((places[..., 0] - middle[0]) / 1000.0 - 0.6 * (places[..., 1] - middle[1]) / 1000.0)
    return np.asarray(room.level * np.clip(slope, 0.2, 3.0)[..., None])


def _sheet_box(phone: Phone, sheet: Sheet) -> Box | None:
    w, h = (side / 2 + 8.0 for side in sheet.page.page_mm)
    corners = sheet.world_from_page(np.array([[-w, -h], [w, -h], [w, h], [-w, h]]))
    seen = [phone.pose.seen(_world(corners, height)) for height in (0.0, 0.0 if sheet.bend is None else sheet.bend.height_mm)]
    points = np.concatenate(seen)
    if (points[:, 2] <= 1.0).any():
        return None
    px = phone.lens.px(points[:, :2] / points[:, 2:3])
    x0, y0 = np.maximum(np.floor(px.min(axis=0)).astype(int) - 4, 0)
    x1, y1 = np.minimum(np.ceil(px.max(axis=0)).astype(int) + 5, phone.size)
    return (int(x0), int(y0), int(x1), int(y1)) if x1 - x0 > 8 and y1 - y0 > 8 else None


def _lay_sheet(phone: Phone, lamp: Lamp, times: int, sheet: Sheet, albedo: Light, lamp_texels: Light) -> None:
    """Paints one sheet into `albedo` and, where its paper is lifted, shifts the light in `lamp_texels`."""
    box = _sheet_box(phone, sheet)
    if box is None:
        return
    x0, y0, x1, y1 = box
    middle = phone.pose.seen(np.array([*sheet.at, 0.0]))[2]
    pixel_mm = float(middle) / phone.lens.focal_px
    texture, texel_from_page = page_texture(sheet, 0.5 * pixel_mm, PIXEL_SD * pixel_mm)
    bent = bent_paper(sheet)
    scale, shift = texel_from_page.diagonal()[:2], texel_from_page[:2, 2]

    def texel_if_flat(px: Array) -> Array:
        return sheet.page_from_world(phone.pose.met(phone.lens.normalised(px))) * scale + shift

    if bent is None:
        texels = filled(texel_if_flat, box)
    else:
        rays = filled(lambda px: phone.lens.normalised(px), box).astype(np.float64)
        height: Array = np.zeros(rays.shape[:2])
        for _ in range(6):  # slopes stay under 0.3: each round shrinks the miss by that
            place = phone.pose.met(rays, height)
            page, height = bent.lifted(sheet.page_from_world(place))
        texels = (page * scale + shift).astype(np.float32)
    paint = _sampled(texture, texels)
    cover = paint[..., 3:]
    part = albedo[y0:y1, x0:x1]
    part *= 1.0 - cover
    part += paint[..., :3]
    if bent is not None:
        lifted = _lamp_texels(lamp, times, _world(place, height)).astype(np.float32)
        lamp_texels[y0:y1, x0:x1] = np.where(cover > 0.5, lifted, lamp_texels[y0:y1, x0:x1])


def _put_things(scene: Scene, phone: Phone, lamp: Lamp, times: int, albedo: Light, lamp_texels: Light, places: Light) -> Light | None:
    """Round things: their top hides the table, their shadow keeps the lamp's light off. Returns the share of light left."""
    if not scene.things:
        return None
    open_share = np.ones(albedo.shape[:2], np.float32)
    h, w = albedo.shape[:2]
    for thing in scene.things:
        foot = lamp.pose.at[:2] + (places - lamp.pose.at[:2].astype(np.float32)) * np.float32(
            (lamp.pose.at[2] - thing.height_mm) / lamp.pose.at[2]
        )
        open_share[np.hypot(foot[..., 0] - thing.at[0], foot[..., 1] - thing.at[1]) < thing.radius_mm] = 0.0
        level = thing.height_mm

        def on_top(px: Array, level: float = level) -> Array:
            return phone.pose.met(phone.lens.normalised(px), level)

        top = filled(on_top, (0, 0, w, h))
        inside = np.hypot(top[..., 0] - thing.at[0], top[..., 1] - thing.at[1]) < thing.radius_mm
        albedo[inside] = thing.colour
        open_share[inside] = 1.0
        lamp_texels[inside] = _lamp_texels(lamp, times, _world(top[inside].astype(np.float64), level)).astype(np.float32)
    return open_share


def radiance(scene: Scene, phone: Phone, picture: Picture) -> Light:
    """Linear RGB light on the sensor before its own faults; white paper in the lamp's white is about 0.85."""
    lamp = phone.lamp or scene.lamp
    box = (0, 0, *phone.size)
    texture, times = light_texture(picture, lamp)

    def seen(px: Array) -> Array:
        return np.clip(phone.pose.met(phone.lens.normalised(px)), -2e4, 2e4)

    places = filled(seen, box)
    texels = filled(lambda px: _lamp_texels(lamp, times, _world(seen(px))), box)
    albedo = reflectance_of(scene.ground, places, float(phone.pose.at[2]) / phone.lens.focal_px)
    for sheet in scene.sheets:
        _lay_sheet(phone, lamp, times, sheet, albedo, texels)
    share = _put_things(scene, phone, lamp, times, albedo, texels, places)
    light = _sampled(texture, texels)
    if share is not None:
        light *= share[..., None]
    middle = lamp.world_from_px(np.array([(lamp.size[0] - 1) / 2, (lamp.size[1] - 1) / 2]))
    room = filled(lambda px: _room_light(scene.room, seen(px), middle), box).reshape(light.shape[:2])
    for channel, colour in enumerate(scene.room.colour):
        light[..., channel] += room * np.float32(colour)
    cv2.multiply(light, albedo, light)
    if scene.room.glare_share > 0.0:
        light += _glare(scene.room, lamp, places)[..., None]
    return light


def _glare(room: Room, lamp: Lamp, places: Light) -> NDArray[np.float32]:
    """A window's mirror image on the table: a soft blot many times brighter than paper."""
    w, h = lamp.size
    left, right = lamp.world_from_px(np.array([[0.0, h / 2], [w - 1.0, h / 2]]))
    at = lamp.world_from_px(np.array([room.glare_at[0] * w, room.glare_at[1] * h]))
    radius = room.glare_share * float(np.linalg.norm(right - left)) / 2
    square = np.square(places - at.astype(np.float32)).sum(axis=-1) / np.float32(radius * radius)
    return np.asarray(3.0 * np.exp(-(square**2)), dtype=np.float32)


def photograph(scene: Scene, index: int, pictures: list[Picture]) -> bytes:
    """The JPEG file of photograph `index`; `pictures`: what the lamp throws (RGB), chosen by the phone's `frame`."""
    phone = scene.phones[index]
    return developed(radiance(scene, phone, pictures[phone.frame]), phone)
