"""The saved calibration of one table: where every millimetre of the table lies in the picture, and how well that is known.

The map of the plane (table frame: mm, z up; pixels: middle of the top-left pixel is (0, 0), y down):

    w (u, v, 1)ᵀ = H (x, y, 1)ᵀ,  w > 0 in front of the lens         ideal pixel, H = `homography_px_from_mm`
    p = c + (u - c)(1 + k1 r² + k2 r⁴),  r = |u - c| / (width / 2)   actual pixel, see lamp_lens.py

On cloth of height h the light at (x, y, h) comes from the place q of the bare table that lies on the same ray:
q = L + ((x, y) - L) Lz / (Lz - h), L the lens position (exact: intercept theorem).

Shape error: covariance of the 12 numbers that fix the map (places on the table of the four ideal corner pixels, centre, k1,
k2), carried to every place after the best rigid fit over the picture; the printed size is taken as true there. Size error
(`size_percent`) comes from what was taped and from nothing else.
"""

from dataclasses import dataclass, field, replace
from functools import lru_cache
from pathlib import Path
from typing import Any, ClassVar, Literal

import numpy as np

from calibration.arrays import Array
from calibration.errors import WrongInput
from calibration.homography import corner_pixels
from calibration.lamp_lens import LampLens, actual_from_ideal, ideal_from_actual
from calibration.light import LAMP
from calibration.made import Made

State = Literal["stop", "check", "ready", "demonstration"]
Matrix = tuple[tuple[float, ...], ...]
MOST_PERCENT = 10.0
"""A paper scaled to the page is 6 % off at most (Letter on A4); a size less well known is a damaged number. Judgement."""
LEAST_PX_MM, MOST_PX_MM = 0.01, 50.0
"""A picture 4096 wide on half a sheet of paper, and one 320 wide on a hall: no lamp over a table is beyond them. Judgement."""
LONGEST_MM = 1e5
"""A hundred metres: no table is as long."""
RIGID_GRID = (33, 19)  # places over the picture at which the rigid fit is made


@dataclass(frozen=True, slots=True)
class LensPosition:
    """Where the lamp's lens is, in the table frame, and the standard deviation of each number; mm."""

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    at_mm: tuple[float, float, float]
    sd_mm: tuple[float, float, float]
    by: Literal["map", "tape"] = "map"


@dataclass(frozen=True, slots=True)
class ShapeError:
    """How well the shape is known.

    `covariance` (12 x 12) of the light's twelve numbers (light.py); it already holds the factor for few photographs.
    `floor_mm`: 95 % radius of what no spot can tell (paper, cloth of the table), added in quadrature everywhere.
    """

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    covariance: Matrix
    floor_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Taped:
    """What her tape read, mm: the two printed bars, then the long line of light (None: not taped)."""

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    bar_x_mm: float | None = None
    bar_y_mm: float | None = None
    line_shown_mm: float | None = None
    line_taped_mm: float | None = None


@dataclass(frozen=True, slots=True)
class TableSpot:
    """One spot stuck to the table: its coded number, its place (mm, table frame) and the covariance of that place (mm²)."""

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    id: int
    at_mm: tuple[float, float]
    covariance_mm2: tuple[tuple[float, float], tuple[float, float]]


@dataclass(frozen=True, slots=True)
class SheetPlace:
    """Where a printed sheet lay when the map was made: its lower-left corner (mm, table frame), turn, true width and height (mm)."""

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    page: int
    at_mm: tuple[float, float]
    turn_deg: float
    size_mm: tuple[float, float]


@dataclass(frozen=True, slots=True)
class PhotographFile:
    """A photograph the map was made from; `sha256` of the file's bytes."""

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    file: str
    sha256: str


@dataclass(frozen=True, slots=True)
class Inputs:
    """From what the map was made."""

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    photographs: tuple[PhotographFile, ...] = ()
    sheets: str = ""
    spots_used: int = 0


@dataclass(frozen=True, slots=True)
class Noise:
    """Standard deviation of one spot in the photographs, px, one axis: printed and of light."""

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    printed_px: float = 0.0
    light_px: float = 0.0


@dataclass(frozen=True, slots=True)
class Table:
    """One calibrated table. Immutable, hashable, picklable; plain numbers only."""

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    size: tuple[int, int]
    homography_px_from_mm: tuple[tuple[float, float, float], tuple[float, float, float], tuple[float, float, float]]
    lens: LampLens
    shape: ShapeError
    made: Made
    lens_position: LensPosition | None = None
    size_percent: float | None = None
    taped: Taped = field(default_factory=Taped)
    spots: tuple[TableSpot, ...] = ()
    sheets: tuple[SheetPlace, ...] = ()
    noise: Noise = field(default_factory=Noise)
    inputs: Inputs = field(default_factory=Inputs)
    is_demonstration: bool = False

    def __post_init__(self) -> None:
        numbers = np.array(self.homography_px_from_mm, dtype=np.float64)
        if numbers.shape != (3, 3) or not np.isfinite(numbers).all() or abs(np.linalg.det(numbers)) < 1e-300:
            raise _broken("the map's nine numbers do not make a map")
        if min(self.size) < 16:
            raise _broken(f"a picture of {self.size[0]} x {self.size[1]} pixels is none")
        if np.array(self.shape.covariance).shape != (LAMP, LAMP):
            raise _broken(f"the shape error needs {LAMP} x {LAMP} numbers")
        if self.lens_position is not None and self.lens_position.at_mm[2] <= 0.0:
            raise _broken("the lens lies below the table")
        self._refuse_untaped()
        self._refuse_no_light()

    def _refuse_untaped(self) -> None:
        """What says that cut lines may be shown has to be a reading of a tape, never a damaged number."""
        if self.size_percent is not None and not 0.0 <= self.size_percent <= MOST_PERCENT:
            raise _broken(f"the size is true within {self.size_percent:g} %, which no tape gives")
        read = (self.taped.bar_x_mm, self.taped.bar_y_mm, self.taped.line_shown_mm, self.taped.line_taped_mm)
        if not all(each is None or 0.0 < each <= LONGEST_MM for each in read):
            raise _broken("a length taped is none")
        if min(np.diag(np.array(self.shape.covariance, dtype=np.float64))) < 0.0:
            raise _broken("a variance of the shape is below 0")

    def _refuse_no_light(self) -> None:
        """The middle pixel has to lie on the table, as a pixel may: LEAST_PX_MM to MOST_PX_MM wide and high."""
        w, h = self.size
        with np.errstate(all="ignore"):
            middle, right, down = self.mm_from_px(np.array([[w / 2, h / 2], [w / 2 + 1, h / 2], [w / 2, h / 2 + 1]]))
        sides = [float(np.hypot(*(right - middle))), float(np.hypot(*(down - middle)))]
        if not all(LEAST_PX_MM <= side <= MOST_PX_MM for side in sides) or not np.abs(middle).max() <= LONGEST_MM:
            raise _broken(f"the map makes a pixel {sides[0]:.3g} x {sides[1]:.3g} mm")

    @property
    def state(self) -> State:
        """What may be shown with it: nothing taped, no cut line."""
        if self.is_demonstration:
            return "demonstration"
        if self.size_percent is None:
            return "stop"
        return "ready" if self.taped.line_taped_mm is not None else "check"

    @property
    def mirrored(self) -> bool:
        """True when the light is thrown as a mirror image (pixels being y down, a true one has a negative determinant)."""
        w, h = self.size
        middle, right, down = self.mm_from_px(np.array([[w / 2, h / 2], [w / 2 + 1, h / 2], [w / 2, h / 2 + 1]]))
        (ax, ay), (bx, by) = right - middle, down - middle
        return bool(ax * by - ay * bx > 0.0)

    @property
    def ideal_corners_mm(self) -> Array:
        """(4, 2) places of the ideal corner pixels, in the order of `corner_pixels`."""
        return _through(_mm_from_ideal(self), corner_pixels(self.size))

    def px_from_mm(self, points_mm: Array, height_mm: float = 0.0) -> Array:
        """(N, 2) table mm at `height_mm` above the table to (N, 2) px. nan, nan on or beyond the horizon.

        Raises WrongInput for a height without a lens position, or at or above the lens.
        """
        places = self._to_plane(np.asarray(points_mm, dtype=np.float64).reshape(-1, 2), height_mm)
        return actual_from_ideal(_through(_plane(self), places), self.lens, self.size[0])

    def mm_from_px(self, points_px: Array, height_mm: float = 0.0) -> Array:
        """(N, 2) px to (N, 2) table mm at `height_mm`. nan, nan for pixels that never meet the table."""
        ideal = ideal_from_actual(np.asarray(points_px, dtype=np.float64).reshape(-1, 2), self.lens, self.size[0])
        places = _through(_mm_from_ideal(self), ideal)
        if height_mm == 0.0:
            return places
        lens = self._lens_for(height_mm)
        return np.asarray(lens[:2] + (places - lens[:2]) * ((lens[2] - height_mm) / lens[2]))

    def _to_plane(self, points_mm: Array, height_mm: float) -> Array:
        if height_mm == 0.0:
            return points_mm
        lens = self._lens_for(height_mm)
        return np.asarray(lens[:2] + (points_mm - lens[:2]) * (lens[2] / (lens[2] - height_mm)))

    def _lens_for(self, height_mm: float) -> Array:
        if self.lens_position is None:
            raise WrongInput(
                "The lens position of this table is not known.",
                f"Without it the light cannot be set for cloth {height_mm:g} mm high.",
                "Calibrate again; a lens position comes with it.",
            )
        lens = np.array(self.lens_position.at_mm)
        if not height_mm < lens[2]:
            raise WrongInput(
                f"A height of {height_mm:g} mm cannot be lit.",
                f"The lens is {lens[2]:.0f} mm above the table.",
                "Give the height of the folded cloth in mm.",
            )
        return lens

    def shape_error_mm(self, points_mm: Array) -> Array:
        """(N,) 95 % radius in mm of the shape error at (N, 2) places of the table; nan beyond the horizon."""
        from calibration.shape_error import shape_radius_mm

        return shape_radius_mm(self, np.asarray(points_mm, dtype=np.float64).reshape(-1, 2))

    def places_mm(self, across: int = RIGID_GRID[0], down: int = RIGID_GRID[1]) -> Array:
        """(across × down, 2) places of the table lit by an even grid over the whole picture, row by row from the top left."""
        w, h = self.size
        x, y = np.meshgrid(np.linspace(0.0, w - 1.0, across), np.linspace(0.0, h - 1.0, down))
        return self.mm_from_px(np.stack([x.ravel(), y.ravel()], axis=1))

    def scaled(self, factor: float) -> "Table":
        """The same light on a table whose millimetres are `factor` times what was thought (true = factor × thought)."""
        plane = _plane(self) @ np.diag([1.0 / factor, 1.0 / factor, 1.0])
        grow = np.array([factor] * 8 + [1.0] * 4)
        covariance = np.array(self.shape.covariance) * np.outer(grow, grow)
        lens = self.lens_position
        if lens is not None:
            x, y, z = lens.at_mm
            lens = replace(lens, at_mm=(x * factor, y * factor, z * factor if lens.by == "map" else z))
        spots = tuple(
            replace(spot, at_mm=(spot.at_mm[0] * factor, spot.at_mm[1] * factor), covariance_mm2=_rows2(spot.covariance_mm2, factor**2))
            for spot in self.spots
        )
        sheets = tuple(
            replace(
                sheet,
                at_mm=(sheet.at_mm[0] * factor, sheet.at_mm[1] * factor),
                size_mm=(sheet.size_mm[0] * factor, sheet.size_mm[1] * factor),
            )
            for sheet in self.sheets
        )
        shape = replace(self.shape, covariance=rows(covariance))
        return replace(self, homography_px_from_mm=rows3(plane), shape=shape, lens_position=lens, spots=spots, sheets=sheets)

    @classmethod
    def read(cls, path: Path) -> "Table":
        """Read table.yaml. Raises WrongInput that names the line when it cannot be used."""
        from calibration.table_file import read_table

        return read_table(Path(path))

    def write(self, path: Path) -> None:
        """Write table.yaml whole or not at all."""
        from calibration.table_file import write_table

        write_table(self, Path(path))

    @classmethod
    def demonstration(cls, size: tuple[int, int]) -> "Table":
        """A computed, plausible table for `size` px: about 1.4 m wide, mild keystone. Nothing may be cut with it."""
        from calibration.demonstration import demonstration_table

        return demonstration_table(size)


def _broken(why: str) -> WrongInput:
    return WrongInput("This table cannot be used.", f"In its file {why}.", "Calibrate again, or take an older version of the file.")


def rows3(matrix: Array) -> Any:
    """3 x 3 array as nested tuples of plain floats."""
    return tuple(tuple(float(number) for number in row) for row in np.asarray(matrix).reshape(3, 3))


def rows(matrix: Array) -> Matrix:
    """Any matrix as nested tuples of plain floats."""
    return tuple(tuple(float(number) for number in row) for row in np.asarray(matrix))


def _rows2(matrix: Any, factor: float) -> Any:
    return tuple(tuple(float(number) * factor for number in row) for row in matrix)


@lru_cache(maxsize=64)
def _plane(table: Table) -> Array:
    """H scaled so that w > 0 in the middle of the picture (the lit side) and no number is huge."""
    plane = np.array(table.homography_px_from_mm, dtype=np.float64)
    ideal = ideal_from_actual(np.array([[(table.size[0] - 1) / 2, (table.size[1] - 1) / 2]]), table.lens, table.size[0])[0]
    lit = np.linalg.solve(plane, np.array([ideal[0], ideal[1], 1.0]))
    # lit = (x, y, 1) / w up to the scale of H: its third number has the sign of w in the middle
    return np.asarray(plane / (np.abs(plane[2]).max() * (1.0 if lit[2] > 0.0 else -1.0)))


@lru_cache(maxsize=64)
def _mm_from_ideal(table: Table) -> Array:
    return np.asarray(np.linalg.inv(_plane(table)))


def _through(matrix: Array, points: Array) -> Array:
    """(N, 2) through a 3 x 3 map; nan, nan where the third number is not positive."""
    moved = points @ matrix[:, :2].T + matrix[:, 2]
    third = moved[:, 2:3]
    ahead = third > 1e-12 * np.abs(matrix[2]).max()
    return np.where(ahead, moved[:, :2] / np.where(ahead, third, 1.0), np.nan)
