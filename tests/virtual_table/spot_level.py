"""Without pictures: where spots of light and print appear in a photograph, from the exact lenses, plus noise. For many trials."""

import numpy as np

from tests.virtual_table.lens import Array
from tests.virtual_table.scene import Phone
from tests.virtual_table.truth import Truth


def seen_at(phone: Phone, world: Array) -> Array:
    """(N, 2) places of the level table to (N, 2) px of the photograph."""
    seen = phone.pose.seen(np.column_stack([world, np.zeros(len(world))]))
    return phone.lens.px(seen[:, :2] / seen[:, 2:])


def light_seen(phone: Phone, truth: Truth, on_px: Array, sd_px: float, random: np.random.Generator) -> Array:
    """Where pixels of light appear in the photograph, with noise."""
    at = seen_at(phone, truth.lamp.world_from_px(on_px))
    return np.asarray(at + random.normal(0.0, sd_px, at.shape))


def plane_numbers(truth: Truth) -> tuple[Array, Array]:
    """((3, 3) ideal px from table mm, (4,) distortion centre x, y px and the terms k1, k2 counted in half widths), exact."""
    lamp = truth.lamp
    inside = np.array([[lamp.lens.focal_px, 0, lamp.lens.centre_px[0]], [0, lamp.lens.focal_px, lamp.lens.centre_px[1]], [0, 0, 1.0]])
    across = np.array([-truth.along[1], truth.along[0]])
    world_from_table = np.array(
        [[truth.along[0], across[0], truth.origin[0]], [truth.along[1], across[1], truth.origin[1]], [0, 0, 0], [0, 0, 1]]
    )
    lens_from_world = np.column_stack([lamp.pose.turn.T, -lamp.pose.turn.T @ lamp.pose.at])
    half = lamp.size[0] / 2 / lamp.lens.focal_px
    return inside @ lens_from_world @ world_from_table, np.array([*lamp.lens.centre_px, lamp.lens.k1 * half**2, lamp.lens.k2 * half**4])
