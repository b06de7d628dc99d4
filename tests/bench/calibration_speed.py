"""python -m tests.bench.calibration_speed [--rounds 5]: finding and solving against OpenCV's detectMarkers on the same grey picture.

Renders one good scene of three 12-megapixel photographs, then prints medians: decoding, finding (ours / detectMarkers), solving
(ours / detectMarkers), the whole command for three photographs as a fresh process, and its peak of resident memory.
"""

import argparse
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import cv2
import numpy as np

from calibration.find import find_boards, kind_pictures
from calibration.frame import frame_board, frame_picture
from calibration.photograph import Photograph, read_photograph
from calibration.sheets import Sheets, read_sheets
from calibration.sheets_files import write_sheets
from calibration.solve import look_at, work_out
from tests.virtual_table import good, pages_of, photographs

SIZE = (1920, 1080)
WITH_PEAK = """
import runpy, sys
try:
    runpy.run_module("calibration", run_name="__main__", alter_sys=True)
finally:
    print(next(line for line in open("/proc/self/status") if line.startswith("VmHWM")), file=sys.stderr)
"""
"""A command that tells its own peak: what the system counts for a child holds its parent's memory too."""


def seconds(what: Callable[[], object], rounds: int) -> float:
    """Median seconds of a call, the first one left out."""
    what()
    taken = []
    for _ in range(rounds):
        start = time.perf_counter()
        what()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


def find_all(photograph: Photograph, sheets: Sheets) -> None:
    """Both kinds of boards in one photograph, as `look_at` does after decoding."""
    pictures = kind_pictures(photograph.small)
    find_boards(photograph, pictures, "printed", list(sheets.boards.values()), mirrors=False)
    find_boards(photograph, pictures, "light", [frame_board(SIZE)], mirrors=True)


def main() -> None:
    """Render, measure, print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=5)
    rounds = parser.parse_args().rounds
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        write_sheets(folder, "a4", 4, 300.0)
        scene = good(3, pages_of(folder), SIZE, 3)
        files = photographs(scene, [np.ascontiguousarray(frame_picture(SIZE)[..., ::-1])], folder / "photos")
        sheets = read_sheets(folder / "sheets.json")
        photograph = read_photograph(files[0])
        detector = cv2.aruco.ArucoDetector(cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_250))
        marker = seconds(lambda: detector.detectMarkers(photograph.grey), rounds)
        decode = seconds(lambda: read_photograph(files[0]), rounds)
        find = seconds(lambda: find_all(photograph, sheets), rounds)
        looks = [look_at(file, sheets, SIZE) for file in files]
        one = seconds(lambda: work_out(looks[:1], sheets, SIZE, np.ones(2)), rounds)
        solve = seconds(lambda: work_out(looks, sheets, SIZE, np.ones(2)), rounds)
        print(f"detectMarkers {marker:.3f} s; decoding {decode:.3f} s")
        print(f"finding, one photograph {find:.3f} s = {find / marker:.2f} x detectMarkers (goal 6)")
        print(
            f"second look and joint solve: one photograph {one:.3f} s = {one / marker:.2f} x, three {solve:.3f} s = {solve / marker:.2f} x"
        )
        print(f"the same for each of three photographs {solve / 3:.3f} s = {solve / 3 / marker:.2f} x (goal 3)")
        command = [sys.executable, "-c", WITH_PEAK, "solve", *map(str, files), "--sheets", str(folder / "sheets.json"),
                   "--size", "1920x1080", "--out", str(folder / "table.yaml")]  # fmt: skip
        told = subprocess.run(command, check=True, capture_output=True, text=True).stderr
        whole = seconds(lambda: subprocess.run(command, check=True, capture_output=True), max(1, rounds // 2))
        peak = int(told.split("VmHWM:")[1].split()[0]) / 1024
        print(f"the whole command, three photographs: {whole:.2f} s (goal 6), peak {peak:.0f} MiB resident (goal 1024)")


if __name__ == "__main__":
    main()
