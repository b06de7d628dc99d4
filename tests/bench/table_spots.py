"""python -m tests.bench.table_spots [--trials 10]: what stands after the calibration: re-calibration by spots, check, watch, cloth height.

Re-calibration and check at spot level (noise 0.05 px printed, 0.08 px light), height by joint solves of the same, watch on rendered
frames of two webcams. Truth is the virtual table's.
"""

import argparse
import tempfile
from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np

from calibration.frame import frame_picture
from calibration.hang import hung
from calibration.lens_place import lens_position
from calibration.sheets_files import write_sheets
from calibration.stuck import checked, hung_on_spots, surveyed
from calibration.watch import watch
from tests.calibration.exact import MADE, bench, exact_table, knocked, solved_table, spot_look, with_survey
from tests.calibration.points import jointly, points_of, table_from, without_breathing
from tests.calibration.test_watch import Frame, largest_movement
from tests.virtual_table import good, labels_of, scored, stuck_labels, truth_of
from tests.virtual_table.hostile import turned_lamp
from tests.virtual_table.lens import Lens
from tests.virtual_table.photo import developed
from tests.virtual_table.render import radiance
from tests.virtual_table.scene import Room, Sensor
from tests.virtual_table.scenes import GOOD, drawn_phone
from tests.virtual_table.truth import grid_px

WEBCAMS = {
    "1920x1080 good": ((1920, 1080), 0.010, 85, 0.15),
    "1920x1080 poor": ((1920, 1080), 0.020, 75, 0.40),
    "1280x720 good": ((1280, 720), 0.010, 85, 0.15),
    "1280x720 poor": ((1280, 720), 0.020, 75, 0.40),
}
"""Size, noise, JPEG quality, room light."""


def told(label: str, numbers: list[float]) -> None:
    """Median and worst of a row."""
    print(f"{label}: median {np.median(numbers):.3f}, worst {max(numbers):.3f}", flush=True)


def by_spots(trials: int) -> None:
    """One photograph after a knock of 1 degree, for survey errors of 0, 0.05 and 0.10 mm; then `check` after small knocks."""
    for sd_mm in (0.0, 0.05, 0.10):
        rms, largest, inside = [], [], []
        for seed in range(trials):
            random = np.random.default_rng([seed, 14])
            scene, truth, stuck = bench(100 + seed)
            table = with_survey(solved_table(truth, random), truth, stuck, sd_mm, random)
            moved, phone = knocked(scene, truth, 1.0, random)
            again = hung_on_spots(table, [spot_look(phone, moved, stuck, random)], MADE)
            score = scored(again.mm_from_px, moved, again.shape_error_mm)
            rms.append(score.rms_mm)
            largest.append(score.max_mm)
            inside.append(score.covered)
        told(f"one photograph, survey {sd_mm:.2f} mm, rms mm", rms)
        told(f"one photograph, survey {sd_mm:.2f} mm, largest mm", largest)
        print(f"    within the stated radius {100 * np.mean(inside):.1f} %")
    for degrees in (0.0, 0.01, 0.02, 0.05, 0.2):
        off, matters = [], 0
        for seed in range(trials):
            random = np.random.default_rng([seed, 15])
            scene, truth, stuck = bench(100 + seed)
            table = surveyed(solved_table(truth, random), [spot_look(phone, truth, stuck, random) for phone in scene.phones], MADE)
            moved, phone = knocked(scene, truth, degrees, random)
            px = grid_px(truth.lamp.size)
            far = float(np.percentile(np.linalg.norm(moved.mm_from_px(px) - truth.mm_from_px(px), axis=1), 95))
            found = checked(table, [spot_look(phone, moved, stuck, random)], MADE)
            off.append(abs(found.moved_mm - far))
            matters += found.matters
        told(f"check, knocked {degrees:g} degrees ({far:.2f} mm), told minus true mm", off)
        print(f"    said to matter: {matters} of {trials}")


def by_height(trials: int) -> None:
    """The lamp's lens from the map, and what it leaves on cloth of 3, 8 and 12 mm."""
    away, left = [], {3.0: list[float](), 8.0: list[float](), 12.0: list[float]()}
    known = 0
    for seed in range(trials):
        scene = without_breathing(100 + seed)
        truth = truth_of(scene)
        solved = jointly(scene, points_of(scene, truth, 0.06, np.random.default_rng([seed, 16])).spots)
        at = solved.setting.lamp_at(0)
        lamp, covariance, _ = hung(solved.x[at], solved.covariance[np.ix_(at, at)], scene.lamp.size)
        lens = lens_position(lamp, covariance, scene.lamp.size)
        if lens is None:
            continue
        known += 1
        away.append(float(np.abs(np.array(lens.at_mm) - truth.lens_position_mm).max()))
        table = replace(table_from(solved), lens_position=lens)
        px = grid_px(scene.lamp.size)
        bare = table.mm_from_px(px) - truth.mm_from_px(px)
        for height, row in left.items():
            row.append(float(np.linalg.norm(table.mm_from_px(px, height) - truth.mm_from_px(px, height) - bare, axis=1).max()))
    print(f"lens position from the map: {known} of {trials}")
    told("    off at most, mm", away)
    for height, row in left.items():
        told(f"    left on cloth of {height:g} mm, largest mm", row)


def by_watching() -> None:
    """Twelve still frames, then the lamp turned by five small angles, for each webcam."""
    picture = np.ascontiguousarray(frame_picture((1920, 1080))[..., ::-1])
    with tempfile.TemporaryDirectory() as name:
        write_sheets(Path(name), "a4", 1, 300.0, labels=True)
        labels = list(labels_of(Path(name)).values())[:6]
    for label, (size, noise, quality, room) in WEBCAMS.items():
        random = np.random.default_rng(17)
        scene = good(103, [])
        w, h = size
        lens = Lens(0.8 * w, ((w - 1) / 2, (h - 1) / 2), -0.03, 0.01)
        phone = drawn_phone(random, GOOD, scene.lamp, size, Sensor(noise=noise, quality=quality, defocus_px=0.6), lens, turn=0)
        scene = replace(scene, sheets=stuck_labels(random, scene.lamp, labels), phones=(phone,), room=Room(room))
        frames: list[Frame] = []
        true: list[float] = []
        for degrees, count in ((0.0, 12), (0.0025, 1), (0.005, 1), (0.01, 1), (0.02, 1), (0.04, 1)):
            turned = replace(phone, lamp=turned_lamp(scene.lamp, degrees))
            light = radiance(scene, turned, picture)
            for _ in range(count):
                file = developed(light.copy(), replace(turned, seed=len(frames) + 1))
                frames.append(np.asarray(cv2.imdecode(np.frombuffer(file, np.uint8), cv2.IMREAD_COLOR), dtype=np.uint8))
                true.append(largest_movement(scene, degrees) if degrees else 0.0)
        looks = list(watch(frames[:12], exact_table(truth_of(scene))))
        still = [look.moved_mm for look in looks if look.moved_mm is not None]
        alarms = sum(look.alarm for look in looks)
        print(
            f"{label}: still {len(still)} of 12 compared, largest {max(still, default=np.nan):.3f} mm, alarms {alarms}; moved, true->told:",
            end="",
        )
        for number in range(12, len(frames)):
            last = list(watch([*frames[:4], frames[number]], exact_table(truth_of(scene))))[-1]
            seen = "-" if last.moved_mm is None else f"{last.moved_mm:.2f}"
            print(f" {true[number]:.2f}->{seen}{'!' if last.alarm else ''}", end="")
        print(flush=True)


def main() -> None:
    """All of it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--trials", type=int, default=10)
    given = parser.parse_args()
    by_watching()
    by_spots(given.trials)
    by_height(max(3, given.trials // 2))


if __name__ == "__main__":
    main()
