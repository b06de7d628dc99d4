"""No-fit areas on the lattice against shapely's own intersection of the same outlines, at places drawn by seed."""

import numpy as np
import shapely
from shapely.geometry import Polygon

from projector.lay.cloth import Cloth
from projector.lay.lattice import inside_grid, sum_rings
from projector.lay.shapes import Shape, convex_parts
from projector.lay.squeeze import free_slide
from projector.lay.task import Bench, make_task
from tests.projector.lay.made_up import dress


def _shapes() -> list[Shape]:
    cloth = Cloth("main", 1150.0)
    task = make_task(Bench(cloth), cloth, dress(), "open")
    return [option.shape for job in task.jobs for option in job.options]


def _whole(shape: Shape) -> Polygon:
    return shapely.union_all([Polygon(part).buffer(0) for part in shape.parts])


def _moved(shape: Polygon, by: np.ndarray) -> Polygon:
    return shapely.transform(shape, lambda told: told + by)


def test_places_are_free_exactly_where_the_outlines_do_not_overlap() -> None:
    shapes, chance = _shapes(), np.random.default_rng(5)
    seen = {True: 0, False: 0}
    for _ in range(25):
        still, moving = (shapes[number] for number in chance.integers(len(shapes), size=2))
        grid, first_x, first_y = inside_grid(sum_rings(still, moving), 4.0, 4.0)
        a, b = _whole(still), _whole(moving)
        for _ in range(30):
            column, row = chance.integers(grid.shape[0]), chance.integers(grid.shape[1])
            area = a.intersection(_moved(b, np.array([first_x + column, first_y + row]) * 4.0)).area
            assert (area > 1e-6) == grid[column, row]
            seen[bool(grid[column, row])] += 1
    assert min(seen.values()) > 100


def test_a_slide_ends_where_the_outlines_touch() -> None:
    shapes, chance = _shapes(), np.random.default_rng(6)
    way, touched = np.array([-1.0, 0.0]), 0
    for _ in range(60):
        still, moving = (shapes[number] for number in chance.integers(len(shapes), size=2))
        at = np.array([1500.0, chance.uniform(-300.0, 300.0)])
        far = free_slide(still, moving, at, way, 3000.0)
        a, b = _whole(still), _whole(moving)
        assert a.intersection(_moved(b, at + way * far)).area < 0.01  # touching: mm2 of rounding
        if far < 3000.0:
            touched += 1
            assert a.distance(_moved(b, at + way * far)) < 1e-3
            assert a.intersection(_moved(b, at + way * (far + 1.0))).area > 0.0
    assert touched > 20


def test_convex_parts_cover_an_outline_and_no_more() -> None:
    for shape in _shapes():
        outline = _whole(shape)
        parts = convex_parts(Polygon(outline.exterior))
        rings = [Polygon(part) for part in parts]
        assert abs(sum(ring.area for ring in rings) - outline.area) < 1e-6 * outline.area
        assert all(ring.convex_hull.area - ring.area < 1e-6 for ring in rings)
