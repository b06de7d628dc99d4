"""Kinds of lines told apart without colour, and under simulated colour-blindness on plain cloths.

Simulation: G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, "A Physiologically-based Model for Simulation of Color Vision
Deficiency", IEEE Transactions on Visualization and Computer Graphics 15 (2009), table of severity 1.0, for linear RGB.
Contrast: (light with line - without) / without, Weber; 0.25 is ten times the 0.02 that the eye needs for a large patch.
"""

from itertools import combinations

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from calibration.table import Table
from projector.picture.light import COLOURS, COMPANION, QUIET
from projector.picture.painter import Painter
from projector.scene.lines import KINDS, WIDTH_PX
from projector.scene.primitives import Scene, Stroke
from tests.projector.picture.centroids import light_from_code

Array = NDArray[np.float64]
MACHADO_2009 = {
    "protan": [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]],
    "deutan": [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]],
    "tritan": [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]],
}
LUMINANCE = np.array([0.2126, 0.7152, 0.0722])  # ITU-R BT.709
CLOTHS = {
    "white": (0.85, 0.85, 0.85),
    "grey": (0.3, 0.3, 0.3),
    "black": (0.04, 0.04, 0.04),
    "red": (0.45, 0.05, 0.06),
    "green": (0.06, 0.3, 0.1),
}
AMBIENT = 0.3


def test_simulation_matrices_keep_white() -> None:
    for name, matrix in MACHADO_2009.items():
        assert np.abs(np.sum(matrix, axis=1) - 1.0).max() < 2e-6, name  # rounded to six digits there


def _runs(profile: Array, px_per_mm: float) -> tuple[float, float]:
    """Median lit and dark run along a line, mm, from its own light alone; (0, 0) for a whole line."""
    is_lit = profile > 0.5 * np.percentile(profile, 95)
    edges = np.flatnonzero(np.diff(is_lit.astype(int)))
    if len(edges) < 3:
        return 0.0, 0.0
    runs = np.diff(edges) / px_per_mm
    lit = is_lit[edges[:-1] + 1]
    return float(np.median(runs[lit])), float(np.median(runs[~lit]))


@pytest.fixture(scope="module")
def seen() -> dict[tuple[str, str], tuple[float, float, float]]:
    """(kind, when) -> lit run mm, dark run mm, width px: read back from a grey picture of level lines, no colour used."""
    table = Table.demonstration((1920, 1080))
    names = [(kind, when) for kind in ("cut", "sew", "fold", "grain", "dart", "level", "cloth", "slide") for when in ("now", "later")]
    rows = np.linspace(80.0, 700.0, len(names))
    strokes = []
    for (kind, when), y in zip(names, rows, strict=True):
        strokes.append(Stroke(kind, None, when, np.array([[150.0, y], [1250.0, y]]), KINDS[kind].look(when)))  # type: ignore[arg-type, index]
    light = light_from_code(Painter(table).rgb(Scene("ready", "yellow", 0.0, tuple(strokes), (), ()))) @ LUMINANCE
    told = {}
    for name, y in zip(names, rows, strict=True):
        ends = np.asarray(table.px_from_mm(np.array([[150.0, y], [700.0, y], [1250.0, y]])))
        xs = np.arange(int(ends[0, 0]) + 2, int(ends[2, 0]) - 2)
        ys = np.polyval(np.polyfit(ends[:, 0], ends[:, 1], 2), xs)
        band = np.array([light[round(row) - 4 : round(row) + 5, x] for x, row in zip(xs, ys, strict=True)])
        profile = band.sum(axis=1)
        bright = band[profile > 0.9 * profile.max()]
        width = float(np.median(bright.sum(axis=1) / bright.max(axis=1)))
        told[name] = (*_runs(profile, (ends[2, 0] - ends[0, 0]) / 1100.0), width)
    return told


def test_dash_and_weight_alone_tell_kinds_apart(seen: dict[tuple[str, str], tuple[float, float, float]]) -> None:
    """Any two kinds differ in a lit or dark run by 1 mm and a quarter of it, or in weight by half a pixel and a quarter."""
    own = {name: run for name, run in seen.items() if name[1] == "now" or name[0] == "cut"}
    for (a, x), (b, y) in combinations(own.items(), 2):
        apart = any(abs(p - q) >= max(1.0, 0.25 * max(p, q)) for p, q in zip(x[:2], y[:2], strict=True))
        heavier = abs(x[2] - y[2]) >= max(0.5, 0.25 * min(x[2], y[2]))
        assert apart or heavier, f"{a} {x} and {b} {y}"
    for (kind, when), (lit, dark, width) in own.items():
        dash = KINDS[kind].look(when).dash_mm or (0.0, 0.0)  # type: ignore[arg-type, index]
        assert (lit, dark) == pytest.approx(dash, abs=0.75), (kind, when)  # a pixel is 0.73 mm
        assert width == pytest.approx(WIDTH_PX[KINDS[kind].look(when).weight], abs=0.4), (kind, when)  # type: ignore[arg-type, index]


@pytest.mark.parametrize("sight", ["full", *MACHADO_2009])
@pytest.mark.parametrize("cloth", sorted(CLOTHS))
def test_bright_lines_are_seen_on_every_cloth_by_every_eye(sight: str, cloth: str) -> None:
    """Cut line in the colour chosen first, sewing line beside it: luminance step on cloth at a room light of 0.3."""
    matrix = np.array(MACHADO_2009[sight]) if sight in MACHADO_2009 else np.eye(3)
    own = np.array(CLOTHS[cloth])
    ground = matrix @ (own * AMBIENT)
    for name, colour in (("cut", COLOURS["yellow"]), ("sew", COLOURS[COMPANION["yellow"]]), ("fold", QUIET)):
        lit = matrix @ (own * (AMBIENT + KINDS[name].now * np.array(colour)))  # type: ignore[index]
        step = (LUMINANCE @ lit - LUMINANCE @ ground) / (LUMINANCE @ ground)
        assert step >= 0.25, (name, step)


def test_the_picture_keeps_its_kinds_when_all_colour_is_gone() -> None:
    """The yellow picture, made grey by each sight, still has the cut line's light well above a sewing line's and a later one's."""
    table = Table.demonstration((1280, 720))
    rows = {("cut", "now"): 200.0, ("sew", "now"): 350.0, ("cut", "later"): 500.0}
    strokes = [
        Stroke(kind, None, when, np.array([[300.0, y], [1100.0, y]]), KINDS[kind].look(when))  # type: ignore[arg-type, index]
        for (kind, when), y in rows.items()
    ]
    light = light_from_code(Painter(table).rgb(Scene("ready", "yellow", 0.0, tuple(strokes), (), ())))
    for matrix in (np.eye(3), *(np.array(one) for one in MACHADO_2009.values())):
        grey = np.clip(light @ matrix.T, 0.0, 1.0) @ LUMINANCE
        blurred = cv2.GaussianBlur(grey, (0, 0), 1.5)
        most = []
        for y in rows.values():
            x, row = np.rint(np.asarray(table.px_from_mm(np.array([[700.0, y]])))[0]).astype(int)
            most.append(float(blurred[row - 6 : row + 7, x - 150 : x + 150].sum()))
        assert most[0] > 1.5 * most[1] > 1.5 * 2.0 * most[2], most
