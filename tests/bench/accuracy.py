"""python -m tests.bench.accuracy [--scene good] [--seeds 0-5] [--photographs 2] [--sheets 4]: how true the solved maps are.

Prints one line a scene and the medians: rms, p95, max after the best rigid fit (mm), share of places within the stated radius.
"""

import argparse
import tempfile
import time
from dataclasses import replace
from pathlib import Path

import numpy as np

from calibration.calibrate import calibrate
from calibration.frame import frame_picture
from calibration.sheets_files import write_sheets
from tests.virtual_table import LANDSCAPE_3MP, LANDSCAPE_12MP, good, hostile, pages_of, photographs, poor, scored, truth_of
from tests.virtual_table.scene import Scene


def drawn(name: str, seed: int, given: argparse.Namespace, folder: Path) -> Scene:
    """The scene of one seed."""
    pages, phone = pages_of(folder), LANDSCAPE_3MP if given.small else LANDSCAPE_12MP
    width, height = (int(part) for part in given.size.split("x"))
    make = {"good": good, "poor": poor}.get(name)
    if make is None:
        return hostile(name, seed, pages, (width, height), phone, given.photographs)
    scene = make(seed, pages, (width, height), given.photographs, phone)
    if given.sheets == 1:
        middle = scene.lamp.world_from_px(np.array([(width - 1) / 2, (height - 1) / 2]))
        return replace(scene, sheets=(replace(scene.sheets[0], at=(float(middle[0]), float(middle[1]))),))
    return replace(scene, sheets=scene.sheets[: given.sheets])


def main() -> None:
    """Render, solve and score."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--scene", nargs="+", default=["good"])
    parser.add_argument("--seeds", default="0-5")
    parser.add_argument("--photographs", type=int, default=2)
    parser.add_argument("--sheets", type=int, default=4)
    parser.add_argument("--size", default="1920x1080")
    parser.add_argument("--small", action="store_true", help="3 megapixels")
    given = parser.parse_args()
    first, _, last = given.seeds.partition("-")
    width, height = (int(part) for part in given.size.split("x"))
    picture = np.ascontiguousarray(frame_picture((width, height))[..., ::-1])
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        write_sheets(folder, "a4", 4, 300.0)
        scores = []
        for kind in given.scene:
            for seed in range(int(first), int(last or first) + 1):
                scene = drawn(kind, seed, given, folder)
                files = photographs(scene, [picture], folder / "photos")
                start = time.perf_counter()
                try:
                    result = calibrate(files, folder / "sheets.json", (width, height), None, None)
                except Exception as defect:  # told, and the next scene goes on
                    print(f"{scene.name}: DEFECT {type(defect).__name__}: {defect}", flush=True)
                    continue
                took, message = time.perf_counter() - start, result.verdict.message
                if result.table is None:
                    print(f"{scene.name}: {message.what} {message.why} ({took:.1f} s)", flush=True)
                    continue
                score = scored(result.table.mm_from_px, truth_of(scene), result.table.shape_error_mm)
                scores.append(score)
                verdict = "" if result.verdict.solved else f" REFUSED: {message.what} {message.why}"
                print(f"{scene.name}: {score.line()} ({took:.1f} s){verdict}", flush=True)
    for label in ("rms_mm", "p95_mm", "max_mm", "covered", "stated_over_true"):
        values = [getattr(score, label) for score in scores]
        if values:
            print(f"{label}: median {np.median(values):.3f}, worst {min(values) if label == 'covered' else max(values):.3f}")


if __name__ == "__main__":
    main()
