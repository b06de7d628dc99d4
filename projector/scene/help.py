"""The keys, thrown on the table: one column for each group, from the same table as the page's buttons."""

from collections.abc import Mapping
from dataclasses import replace

from projector.scene.primitives import Label, Scene
from projector.scene.shapes import flat
from projector.scene.view import Light, view_of
from projector.session.commands import OFFERS, Group
from projector.session.snapshot import Snapshot
from projector.session.words import word

COLUMNS: tuple[Group, ...] = ("what I see", "where it lies", "next", "table")
CAPITALS_MM = 12.0


def help_scene(snapshot: Snapshot, light: Light, blank: Scene, keys: Mapping[str, str]) -> Scene:
    """What each key does, flat for her side; rows shrink to fit, capitals never under 10 mm."""
    view = view_of(light, 0.0, snapshot.worker_side)
    x0, y0, x1, y1 = view.inner
    labels: list[Label] = [flat(view, word("help_title"), ((x0 + x1) / 2, y1 - 44.0), 20.0, "middle", is_bold=True, light=1.0)]
    wide = (x1 - x0 - 60.0) / len(COLUMNS)
    rows = max(sum(1 for offer in OFFERS if offer.group == group and offer.name in keys) for group in COLUMNS)
    pitch = min(40.0, (y1 - y0 - 140.0) / (rows + 1))
    size = max(10.0, min(CAPITALS_MM, pitch * 0.5))
    for column, group in enumerate(COLUMNS):
        x = x0 + 30.0 + column * wide
        labels.append(flat(view, group, (x, y1 - 92.0), size + 2, is_bold=True, light=0.9))
        for row, offer in enumerate(offer for offer in OFFERS if offer.group == group and offer.name in keys):
            y = y1 - 92.0 - (row + 1) * pitch
            labels.append(flat(view, keys[offer.name], (x, y), size, is_bold=True, light=1.0, role="cut"))
            labels.append(flat(view, offer.words, (x + 0.36 * wide, y), size, light=0.6))
    return replace(blank, height_mm=0.0, labels=tuple(labels))
