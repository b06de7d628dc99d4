"""How long a picture takes: `python -m tests.bench.render`. CPU time of this process, medians of 30, one OpenCV thread.

The scene is as busy as a full table gets: 20 curved pieces with cut, sewing and fold lines, grain, notches, rulers, grid and
40 labels. Goals: 6, 8 and 12 ms of CPU at 720, 1080 and 2160 rows for a whole frame; a nudge redraws all of it.

Other programs on the same cores slow memory down and with it CPU time. The goals were set on a machine where one look-up table
over a BGRX picture of 1080 rows took YARDSTICK_MS; it is timed between the pictures, and figures are told in its measure too.
"""

import resource
import statistics
import time
from collections.abc import Callable
from dataclasses import replace

import cv2
import numpy as np

from calibration.table import Table
from projector.picture.light import ENCODE
from projector.picture.painter import Painter
from projector.scene.compose import Scenes
from projector.session.snapshot import ClothAt, See, Snapshot, Work
from projector.session.summary import summary_of
from projector.steps.step import Step, StepLabel, StepLine

SIZES = ((1280, 720), (1920, 1080), (3840, 2160))
ROUNDS = 30
YARDSTICK_MS = 2.0
_PICTURE = np.zeros((1080, 1920, 4), dtype=np.uint8)
_OTHER = np.zeros_like(_PICTURE)


def busy_step() -> Step:
    """20 pieces of 200 points each on 1300 x 700 mm."""
    lines: list[StepLine] = []
    labels: list[StepLabel] = []
    turn = np.linspace(0.0, 2 * np.pi, 200, endpoint=False)
    for number in range(20):
        middle = np.array([120.0 + 260.0 * (number % 5), 90.0 + 170.0 * (number // 5)])
        shape = np.column_stack([110 * np.cos(turn) + 8 * np.cos(5 * turn), 70 * np.sin(turn)])
        ring = tuple((float(x), float(y)) for x, y in middle + shape)
        inner = tuple((float(x), float(y)) for x, y in middle + shape * 0.88)
        name = f"piece {number + 1}"
        lines += [StepLine("cut", name, "now", ring, True), StepLine("sew", name, "mark", inner, True)]
        lines.append(StepLine("fold", name, "mark", ((middle[0] - 100, middle[1] - 60), (middle[0] + 100, middle[1] - 60))))
        lines.append(StepLine("grain", name, "mark", ((middle[0] - 60, middle[1]), (middle[0] + 60, middle[1]))))
        lines += [StepLine("notch", name, "now", (point, (point[0], point[1] + 4.0))) for point in ring[::40]]
        labels += [
            StepLabel(f"{number + 1}  {name}", (float(middle[0]), float(middle[1]) + 20)),
            StepLabel("2", (middle[0], middle[1] - 30)),
        ]
    return Step(
        "A full table", "A full table.", "cut", "main", 0, 0, ("main-1.1",), ("main-1.1",), lines=tuple(lines), labels=tuple(labels)
    )


def median_ms(work: Callable[[int], object]) -> float:
    """CPU milliseconds, median of ROUNDS after two to warm up."""
    told = []
    for number in range(ROUNDS + 2):
        start = time.process_time()
        work(number)
        told.append(1000 * (time.process_time() - start))
    return statistics.median(told[2:])


def slowness() -> float:
    """How many times slower than where the goals were set this machine is just now."""
    return median_ms(lambda _: cv2.LUT(_PICTURE, ENCODE, dst=_OTHER)) / YARDSTICK_MS


def main() -> None:
    """Print one line a size."""
    work = Work("bench", (busy_step(),))
    print("size         scene  light  encode  whole frame  whole, nudged  slowness  nudged / slowness  (CPU ms, median)")
    for size in SIZES:
        table = replace(Table.demonstration(size), is_demonstration=False, size_percent=0.1)
        scenes, painter = Scenes.of(work), Painter(table)
        shown = Snapshot(of=1, state="check", table=summary_of(table), see=See(grid=True, long_line=True), cloth_at=ClothAt(30.0, 20.0))
        frame = np.zeros((size[1], size[0], 4), dtype=np.uint8)
        scene = scenes.scene(shown, table)

        def nudged(number: int, scenes: Scenes = scenes, painter: Painter = painter, shown: Snapshot = shown, table: Table = table) -> None:
            moved = replace(shown, cloth_at=ClothAt(30.0 + 0.5 * number, 20.0))
            painter.into(scenes.scene(moved, table), frame)  # noqa: B023

        before = slowness()
        figures = (
            median_ms(lambda _: scenes.scene(shown, table)),  # noqa: B023
            median_ms(lambda _: painter.light(scene)),  # noqa: B023
            median_ms(lambda _: painter.into(scene, frame)),  # noqa: B023
            median_ms(lambda _: painter.into(scenes.scene(shown, table), frame)),  # noqa: B023
            median_ms(nudged),
        )
        scene_ms, light_ms, into_ms, whole_ms, nudged_ms = figures
        slow = (before + slowness()) / 2
        told = f"{scene_ms:6.1f} {light_ms:6.1f} {max(0.0, into_ms - light_ms):7.1f} {whole_ms:12.1f} {nudged_ms:14.1f}"
        count = f"{len(scene.laid().strokes)} strokes, {len(scene.laid().labels)} labels"
        print(f"{size[0]}x{size[1]:<6} {told} {slow:9.1f} {nudged_ms / slow:18.1f}   {count}")
    print(f"resident {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")


if __name__ == "__main__":
    main()
