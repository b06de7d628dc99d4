"""Photographs and truth as files."""

import json
from pathlib import Path

from tests.virtual_table.lamp import Picture
from tests.virtual_table.render import photograph
from tests.virtual_table.scene import Scene
from tests.virtual_table.truth import grid_px, truth_of


def photographs(scene: Scene, pictures: list[Picture], out: Path) -> list[Path]:
    """Writes photo-1.jpg ... and returns the paths."""
    out.mkdir(parents=True, exist_ok=True)
    paths = []
    for index in range(len(scene.phones)):
        paths.append(out / f"photo-{index + 1}.jpg")
        paths[-1].write_bytes(photograph(scene, index, pictures))
    return paths


def write_truth(scene: Scene, path: Path) -> None:
    """truth.json: size, lens position (mm, table frame), 33 × 19 pairs of px and table mm."""
    truth = truth_of(scene)
    px = grid_px(truth.lamp.size)
    told = {
        "scene": scene.name,
        "size": list(truth.lamp.size),
        "lens_position_mm": truth.lens_position_mm.tolist(),
        "mirrored": truth.lamp.mirrored,
        "px": px.tolist(),
        "mm": truth.mm_from_px(px).tolist(),
    }
    path.write_text(json.dumps(told), encoding="utf-8")
