"""A photograph of the table turned into a picture in table millimetres, by the spots of light that stand in it.

The light's frame tells where each of its corners lies on the table (the solved map), and where it is seen in the photograph. A
plane map and what the phone's lens bends (a polynomial of fifth order, as Brown's k1 and k2 are) carry the one to the other; the
spots that do not fit, such as those beside a paper's edge, are left out. Paper lies 0.1 to 0.3 mm high: aside by half of that.
"""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from calibration.arrays import Array
from calibration.errors import Refused
from calibration.homography import corner_pixels, plane_map, through
from calibration.spot_find import look_for_spots
from calibration.table import Table

MM_PER_PX = 0.4  # a 12-megapixel photograph of a 1.5 m light has about as much
ORDER = 5
FEWEST_SPOTS = 80  # 21 numbers each way, well over three spots a number
WORST_LEFT_MM = 0.3  # 95 % of the spots have to fit this well; a third of the 1 mm asked of an outline
NODE_PX = 16  # the smooth map is worked out every so many px and filled in straight: exact to 0.001 px


@dataclass(frozen=True, slots=True, eq=False)
class FlatPhoto:
    """`picture` (h, w, 3) blue, green, red, seen from above; pixel (0, 0) has its middle at `corner_mm` (x, y), rows run towards
    smaller y. `lit` (h, w): whether the light reaches there. `left_mm`: 95 % of the spots fit better. `labels_mm`: stuck labels."""

    picture: NDArray[np.uint8]
    lit: NDArray[np.bool_]
    corner_mm: tuple[float, float]
    mm_per_px: float
    left_mm: float
    labels_mm: Array

    def mm(self, px: Array) -> Array:
        """(N, 2) px of the picture (x right, y down) to (N, 2) table mm."""
        return np.asarray(px * np.array([self.mm_per_px, -self.mm_per_px]) + np.array(self.corner_mm))


@dataclass(frozen=True, slots=True, eq=False)
class _Bent:
    """Photograph px from table mm: a plane map, then what is left as a polynomial of the normalised place."""

    plane: Array
    terms: Array
    middle: Array
    reach: float

    def px(self, mm: Array) -> Array:
        return np.asarray(through(self.plane, mm) + _powers((mm - self.middle) / self.reach) @ self.terms)


def _powers(u: Array) -> Array:
    """(N, 21) products x^i y^k, i + k <= ORDER."""
    return np.stack([u[:, 0] ** i * u[:, 1] ** k for i in range(ORDER + 1) for k in range(ORDER + 1 - i)], axis=1)


def _fitted(mm: Array, px: Array) -> tuple[_Bent, Array] | None:
    """(map, distances in px of the spots kept); None when too few agree."""
    plane = plane_map(mm, px, 40.0)
    if plane is None or len(mm) < FEWEST_SPOTS:
        return None
    middle = (mm.min(axis=0) + mm.max(axis=0)) / 2
    reach = float(np.ptp(mm, axis=0).max() / 2)
    keep = np.ones(len(mm), dtype=bool)
    for _ in range(8):
        powers = _powers((mm - middle) / reach)
        terms = np.asarray(np.linalg.lstsq(powers[keep], (px - through(plane, mm))[keep], rcond=None)[0], dtype=np.float64)
        bent = _Bent(plane, terms, middle, reach)
        off = np.linalg.norm(bent.px(mm) - px, axis=1)
        again = off < max(4.0 * float(np.median(off[keep])), 0.3)
        if again.sum() < FEWEST_SPOTS:
            return None
        if (again == keep).all():
            break
        keep = again
    return bent, off[keep]


def flat_photo(path: Path, table: Table) -> FlatPhoto:
    """The photograph in table mm. The calibration picture (frame-1.png) has to be thrown while it is taken.

    Raises WrongInput when the file is no picture, Refused when the light is not found in it or does not fit the table.
    """
    look = look_for_spots(path, table.size)
    told = "Throw the calibration picture (frame-1.png), photograph the whole light from above, hold the phone still."
    fitted = _fitted(table.mm_from_px(look.on), look.at) if len(look.on) else None
    if fitted is None:
        raise Refused(f"The light is not found in {path.name}.", f"{len(look.on)} spots of light fit; {FEWEST_SPOTS} are needed.", told)
    bent, off = fitted
    left_mm = float(np.percentile(off, 95)) / _px_per_mm(bent)
    if left_mm > WORST_LEFT_MM:
        raise Refused(
            f"{path.name} does not fit this table.",
            f"Its spots lie {left_mm:.2f} mm off the map; {WORST_LEFT_MM} mm pass.",
            "Was the lamp moved since it was calibrated? Check the table, then photograph again.",
        )
    labels = [spot.at for spot in look.stuck]
    return _flattened(path, table, bent, left_mm, np.array(labels).reshape(-1, 2))


def _px_per_mm(bent: _Bent) -> float:
    step = bent.px(bent.middle + np.array([[0.0, 0.0], [1.0, 0.0]]))
    return float(np.linalg.norm(step[1] - step[0]))


def _flattened(path: Path, table: Table, bent: _Bent, left_mm: float, labels_px: Array) -> FlatPhoto:
    import cv2

    rim = corner_pixels(table.size)
    edge = np.vstack([np.linspace(a, b, 33)[:-1] for a, b in zip(rim, np.roll(rim, -1, axis=0), strict=True)])
    around = table.mm_from_px(edge)
    low, high = around.min(axis=0), around.max(axis=0)
    columns, rows = (int(np.ceil(side / MM_PER_PX / NODE_PX)) for side in high - low)
    corner = (float(low[0]), float(high[1]))
    xs, ys = ((np.arange(-1, count + 1) + 0.5) * NODE_PX - 0.5 for count in (columns, rows))
    places = np.stack(np.meshgrid(corner[0] + xs * MM_PER_PX, corner[1] - ys * MM_PER_PX), axis=-1)
    nodes = bent.px(places.reshape(-1, 2)).reshape(*places.shape).astype(np.float32)
    full = cv2.resize(nodes, ((columns + 2) * NODE_PX, (rows + 2) * NODE_PX), interpolation=cv2.INTER_LINEAR)
    asked = np.ascontiguousarray(full[NODE_PX:-NODE_PX, NODE_PX:-NODE_PX])
    colour = cv2.imread(str(path), cv2.IMREAD_COLOR | cv2.IMREAD_IGNORE_ORIENTATION)
    if colour is None:
        raise Refused(f"{path.name} cannot be read again.", "It was there a moment ago.", "Photograph again.")
    picture = cv2.remap(colour, asked[..., 0], asked[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT)
    lit = np.zeros(picture.shape[:2], np.uint8)
    cv2.fillPoly(lit, [np.round((around - corner) / (MM_PER_PX, -MM_PER_PX)).astype(np.int32)], 1)
    inside = (asked > 2).all(axis=-1) & (asked < np.array(colour.shape[1::-1]) - 3).all(axis=-1)
    labels = through(np.asarray(np.linalg.inv(bent.plane)), labels_px) if len(labels_px) else labels_px
    return FlatPhoto(np.asarray(picture, dtype=np.uint8), (lit > 0) & inside, corner, MM_PER_PX, left_mm, labels)
