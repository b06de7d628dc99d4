"""Printed sheets of the virtual table: where they lie, how they were printed, how the paper bends."""

import json
from dataclasses import dataclass
from math import ceil
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from tests.virtual_table.lens import Array

INK, PAPER = 0.05, 0.85  # reflectance of black toner and of office paper (from memory)


@dataclass(frozen=True, slots=True)
class Page:
    """One printed page: picture (RGB, 0 to 255), mm a pixel, page size in mm."""

    picture: NDArray[np.uint8]
    mm_per_px: float
    page_mm: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Bend:
    """The paper lifts along one direction of the page: `height_mm` at the far end of `over_mm` (curl), or waves of that height.

    direction_deg: from the page's x axis; a curl lifts the corner or edge that lies furthest that way.
    """

    height_mm: float
    over_mm: float = 90.0
    direction_deg: float = 45.0
    waves: bool = False


@dataclass(frozen=True, slots=True)
class Sheet:
    """A page on the table. `at`: world place of the page's middle; `turn_deg`: of the page's x axis from world x, seen from above.

    scale: (along the page's width, along its height) by which the printer shrank the print about the middle of the paper.
    """

    page: Page
    at: tuple[float, float]
    turn_deg: float
    scale: tuple[float, float] = (1.0, 1.0)
    bend: Bend | None = None

    def page_from_world(self, world: Array) -> Array:
        """(..., 2) level world x, y to (..., 2) page mm from the page's middle (x right, y up the page)."""
        turn = np.radians(self.turn_deg)
        off = world - np.array(self.at)
        cos, sin = np.cos(turn), np.sin(turn)
        return np.stack([cos * off[..., 0] + sin * off[..., 1], -sin * off[..., 0] + cos * off[..., 1]], axis=-1)

    def world_from_page(self, page: Array) -> Array:
        """Inverse of page_from_world."""
        turn = np.radians(self.turn_deg)
        cos, sin = np.cos(turn), np.sin(turn)
        turned = np.stack([cos * page[..., 0] - sin * page[..., 1], sin * page[..., 0] + cos * page[..., 1]], axis=-1)
        return np.asarray(turned + np.array(self.at))


def picture_of(path: Path) -> NDArray[np.uint8]:
    """An RGB picture from a PNG file."""
    found = cv2.imread(str(path), cv2.IMREAD_COLOR)
    if found is None:
        raise FileNotFoundError(path)
    return np.asarray(cv2.cvtColor(found, cv2.COLOR_BGR2RGB), dtype=np.uint8)


def pages_of(folder: Path) -> list[Page]:
    """The pages that `sheets.json` in `folder` lists."""
    told = json.loads((folder / "sheets.json").read_text(encoding="utf-8"))
    pages = []
    for sheet in told["sheets"]:
        pages.append(
            Page(picture_of(folder / sheet["png"]), float(told["png_mm_per_px"]), (float(told["page_mm"][0]), float(told["page_mm"][1])))
        )
    return pages


@dataclass(frozen=True, slots=True)
class BentPaper:
    """A bend as tables: level distance along the direction to (distance along the paper, height), both in mm."""

    level: Array
    along: Array
    height: Array
    unit: Array

    def lifted(self, flat_page: Array) -> tuple[Array, Array]:
        """(page mm as printed, height mm) for (..., 2) level places in the page's frame. Paper keeps its length."""
        reach = flat_page @ self.unit
        along = np.interp(reach, self.level, self.along)
        return flat_page + (along - reach)[..., None] * self.unit, np.interp(reach, self.level, self.height)


def bent_paper(sheet: Sheet) -> BentPaper | None:
    """The tables of a sheet's bend; None when it lies flat."""
    bend = sheet.bend
    if bend is None or bend.height_mm == 0.0:
        return None
    unit = np.array([np.cos(np.radians(bend.direction_deg)), np.sin(np.radians(bend.direction_deg))])
    half = float(np.abs(unit) @ (np.array(sheet.page.page_mm) / 2))
    along = np.linspace(-half, half, 4001)
    if bend.waves:
        height = bend.height_mm / 2 * (1 - np.cos(2 * np.pi * along / bend.over_mm))
    else:
        height = bend.height_mm * np.clip((along - (half - bend.over_mm)) / bend.over_mm, 0.0, None) ** 2
    slope = np.gradient(height, along)
    level = np.concatenate([[0.0], np.cumsum(np.sqrt(1 - (slope[1:] + slope[:-1]) ** 2 / 4) * np.diff(along))])
    return BentPaper(level - np.interp(0.0, along, level), along, height, unit)


def _reflectance(page: Page, mm_per_texel: float) -> tuple[NDArray[np.float32], float]:
    """(reflectance of the print, one channel when it is grey, made coarser towards `mm_per_texel`; its mm a pixel)."""
    picture = page.picture
    grey = bool((picture[::7, ::7] == picture[::7, ::7, :1]).all())
    curve = np.where(np.arange(256) <= 10, np.arange(256) / 255 / 12.92, ((np.arange(256) / 255 + 0.055) / 1.055) ** 2.4)
    reflectance = (INK + (PAPER - INK) * curve).astype(np.float32)[picture[..., 0] if grey else picture]
    times = max(1, int(mm_per_texel / page.mm_per_px))
    if times > 1:
        h, w = (side // times * times for side in reflectance.shape[:2])
        if (h, w) != reflectance.shape[:2]:  # a margin of paper, so that the middle stays the middle
            low, right = -reflectance.shape[0] % (2 * times), -reflectance.shape[1] % (2 * times)
            edges = (low // 2, low - low // 2, right // 2, right - right // 2)
            reflectance = np.asarray(cv2.copyMakeBorder(reflectance, *edges, cv2.BORDER_CONSTANT, value=(PAPER,) * 3), dtype=np.float32)
        coarse = cv2.resize(reflectance, None, fx=1 / times, fy=1 / times, interpolation=cv2.INTER_AREA)
        return np.asarray(coarse, dtype=np.float32), page.mm_per_px * times
    return reflectance, page.mm_per_px


def page_texture(sheet: Sheet, mm_per_texel: float, soft_mm: float) -> tuple[NDArray[np.float32], Array]:
    """(reflectance and cover, premultiplied, float32 (h, w, 4); 3 x 3 texel from mm on the paper, from its middle, y up).

    `soft_mm`: standard deviation of the softening that stands for the photograph's pixel. The texels are the print's own pixels, whole
    blocks or whole parts of them: a print sampled on another grid puts its steps up to 0.03 mm from their places.
    """
    reflectance, picture_mm = _reflectance(sheet.page, mm_per_texel)
    if picture_mm > mm_per_texel:
        finer = ceil(picture_mm / mm_per_texel)
        reflectance = np.asarray(cv2.resize(reflectance, None, fx=finer, fy=finer, interpolation=cv2.INTER_NEAREST), dtype=np.float32)
        picture_mm /= finer
    mm = picture_mm * np.array(sheet.scale)
    count = np.array(reflectance.shape[1::-1])
    size = np.array(sheet.page.page_mm) / mm  # of the paper, which keeps its own
    margin = np.ceil(np.maximum(size - count, 0.0) / 2 + 4 * soft_mm / mm).astype(int) + 2
    around = (int(margin[1]), int(margin[1]), int(margin[0]), int(margin[0]))
    soft = max(0.6, soft_mm / picture_mm)
    whole = cv2.copyMakeBorder(reflectance, *around, cv2.BORDER_CONSTANT, value=(PAPER,) * 3)
    printed = cv2.GaussianBlur(whole, (0, 0), soft)
    printed = printed if printed.ndim == 3 else cv2.merge([printed, printed, printed])
    middle = (count - 1) / 2 + margin
    across, down = (np.clip(size[axis] / 2 + 0.5 - np.abs(np.arange(printed.shape[1 - axis]) - middle[axis]), 0.0, 1.0) for axis in (0, 1))
    cover = cv2.GaussianBlur(np.outer(down, across).astype(np.float32), (0, 0), soft)
    done = np.asarray(np.dstack([printed * cover[..., None], cover]), dtype=np.float32)
    return done, np.array([[1 / mm[0], 0, middle[0]], [0, -1 / mm[1], middle[1]], [0, 0, 1.0]])


def labels_of(folder: Path, side_mm: float = 92.0) -> dict[int, Page]:
    """The table spots of `spots.json` in `folder`, each cut out as a square of `side_mm` about its middle."""
    told = json.loads((folder / "spots.json").read_text(encoding="utf-8"))
    mm, cut = float(told["png_mm_per_px"]), {}
    for page in told["pages"]:
        picture = picture_of(folder / page["png"])
        high, wide = picture.shape[:2]
        half = round(side_mm / 2 / mm)
        for spot in page["spots"]:  # the page's middle lies in the picture's middle; the cut is whole pixels wide
            x = (spot["at"][0] - told["page_mm"][0] / 2) / mm + wide / 2
            y = -(spot["at"][1] - told["page_mm"][1] / 2) / mm + high / 2
            left, top = round(x) - half, round(y) - half
            piece = cv2.copyMakeBorder(picture, half, half, half, half, cv2.BORDER_CONSTANT, value=(255, 255, 255))
            square = piece[top + half : top + 3 * half, left + half : left + 3 * half]
            cut[int(spot["id"])] = Page(np.ascontiguousarray(square), mm, (2 * half * mm, 2 * half * mm))
    return cut
