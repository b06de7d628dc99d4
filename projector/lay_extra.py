"""The extra `lay`: an outside packing library asked for a closer lay of one open layer. Its answer is only a start that must pass
our own squeeze and checks. It runs in a child process (it can panic, and its clock makes it unrepeatable), so it is
used only where a clock was asked for.

As a program (`python -m projector.lay_extra`): reads one JSON object on stdin, writes one on stdout.
"""

import json
import os
import subprocess
import sys
from collections import defaultdict
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from importlib.util import find_spec
from time import monotonic
from typing import Any

import shapely
from shapely.geometry import Polygon

from projector.lay.board import Spot
from projector.lay.shapes import Shape
from projector.lay.task import Task
from projector.lay.wanted import Job, Option

START_S, GRACE_S = 1.0, 6.0
"""The child needs so long to start, and may answer so much after the time it was given (a busy machine starts it late)."""
MOST_SEEDS = 3
"""So many seeds side by side where there are processors left beside our own search and the screen; the shortest lay is taken."""
LEAST_RUN_S = 8
"""A seed given less ends longer: of six dresses one run of 8 s of processor took 1.244 of the bound, the best of four of 2 s 1.253."""


def has_extra() -> bool:
    """Whether the library is installed."""
    return find_spec("spyrrow") is not None


def suits(task: Task) -> bool:
    """One open layer of one length, nothing held, no print to keep in step."""
    return task.plan == "open" and len(task.board.bays) == 1 and not task.start.spots and not any(task.board.repeats_mm)


def nothing() -> None:
    """What there is to collect when nothing was asked."""


def ask_extra(task: Task, seconds: float) -> Callable[[], tuple[Spot, ...] | None]:
    """Start the child beside our own search; the answer is collected by calling what is returned.

    None is collected when the task does not suit, the child fails, or a piece is missing in its answer.
    """
    whole = int(seconds - START_S)
    if not (suits(task) and has_extra() and whole >= 1):
        return nothing
    groups: dict[tuple[str, bool], list[Job]] = defaultdict(list)
    for job in task.jobs:
        groups[(job.piece.name, job.options[0].shape.turn.is_flipped)].append(job)
    margin = task.cloth.gap_mm / 2.0
    bay = task.board.bays[0]
    height = bay.top - bay.origin[1] + 2.0 * margin + 1e-3
    seeds = max(1, min(MOST_SEEDS, (os.cpu_count() or 1) - 2))
    items = [_item(task, str(n), jobs) for n, jobs in enumerate(groups.values())]
    asked = {"height": height, "seconds": whole, "seeds": seeds, "items": items}
    child = subprocess.Popen(
        [sys.executable, "-m", "projector.lay_extra"], stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
    )
    assert child.stdin is not None
    child.stdin.write(json.dumps(asked))
    child.stdin.close()

    end = monotonic() + seconds + GRACE_S

    def collect() -> tuple[Spot, ...] | None:
        told = _answer(child, end - monotonic())
        return None if told is None else _spots(task, list(groups.values()), told, margin)

    return collect


def _answer(child: subprocess.Popen[str], patience_s: float) -> list[dict[str, Any]] | None:
    """The child's answer; None when it stopped with an error or takes too long."""
    child.stdin = None  # written and closed
    try:
        out, _ = child.communicate(timeout=max(0.1, patience_s))
    except subprocess.TimeoutExpired:
        child.kill()
        child.communicate()
        return None
    if child.returncode:
        return None
    told: list[dict[str, Any]] = json.loads(out)
    return told


def _item(task: Task, number: str, jobs: list[Job]) -> dict[str, Any]:
    plain = _plain(jobs[0])
    angles = sorted({180.0 if option.shape.turn.is_turned != plain.shape.turn.is_turned else 0.0 for option in jobs[0].options})
    shape = _grown(task.fine.of(Spot(jobs[0], plain, 0.0, 0.0)), task.cloth.gap_mm / 2.0)
    return {"id": number, "shape": shape, "count": len(jobs), "angles": angles}


def _plain(job: Job) -> Option:
    """As the library is given it: not turned where it may lie so."""
    return next((option for option in job.options if not option.shape.turn.is_turned), job.options[0])


def _grown(shape: Shape, margin: float) -> list[list[float]]:
    """The grown outline as one ring, cut off at half the gap beyond its true box: every piece keeps the same way from the edges."""
    whole = shapely.union_all([Polygon(part).buffer(1e-7) for part in shape.parts]).intersection(
        shapely.box(-margin, -margin, shape.size[0] + margin, shape.size[1] + margin)
    )
    return [[float(x), float(y)] for x, y in whole.exterior.coords[:-1]]


def _spots(task: Task, groups: list[list[Job]], told: list[dict[str, Any]], margin: float) -> tuple[Spot, ...] | None:
    left = [list(jobs) for jobs in groups]
    made = []
    for placed in told:
        jobs = left[int(placed["id"])]
        if not jobs:
            return None
        made.append(_spot(task, jobs.pop(), placed, margin))
    return None if any(left) else tuple(made)


def _spot(task: Task, job: Job, placed: dict[str, Any], margin: float) -> Spot:
    is_turned = abs(placed["angle"] % 360.0 - 180.0) < 1.0
    wanted = _plain(job).shape.turn.is_turned != is_turned
    option: Option = next(option for option in job.options if option.shape.turn.is_turned == wanted)
    bay, (wide, deep) = task.board.bays[0], option.shape.size
    x, y = placed["at"]
    if is_turned:
        x, y = x - wide, y - deep
    x, y = x + bay.origin[0] - margin, y + bay.origin[1] - margin
    return Spot(job, option, max(x, bay.origin[0]), min(max(y, bay.origin[1]), bay.top - deep))


def main() -> None:
    """The child: one instance in, the items of its shortest lay out."""
    asked = json.load(sys.stdin)
    with ThreadPoolExecutor(asked["seeds"]) as threads:  # the library lets other threads run while it searches
        found = list(threads.map(lambda first: _shortest(asked, first), range(1, asked["seeds"] + 1)))
    shortest = min(found, key=lambda one: float(one.width))
    told = [{"id": one.id, "angle": one.rotation, "at": list(one.translation)} for one in shortest.placed_items]
    sys.stdout.write(json.dumps(told))


def _shortest(asked: dict[str, Any], first: int) -> Any:
    """The shortest of as many lays, one after the other, as the seconds hold; a run may end early when it gains nothing more."""
    import spyrrow

    items = [spyrrow.Item(item["id"], [tuple(point) for point in item["shape"]], item["count"], item["angles"]) for item in asked["items"]]
    instance = spyrrow.StripPackingInstance("lay", asked["height"], items)
    end, best, seed = monotonic() + asked["seconds"], None, first
    left = asked["seconds"]
    while best is None or left >= LEAST_RUN_S:
        runs = max(1, left // (2 * LEAST_RUN_S))
        found = instance.solve(spyrrow.StripPackingConfig(total_computation_time=max(1, left // runs), num_workers=1, seed=seed))
        best = found if best is None or found.width < best.width else best
        seed += asked["seeds"]
        left = int(end - monotonic())
    return best


if __name__ == "__main__":
    main()
