"""Paper blocks as a job: photograph and table to outlines, named blocks, and a picture of what was traced."""

from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any, get_args

import numpy as np

from calibration.errors import Refused, WrongInput
from calibration.flat_photo import FlatPhoto, flat_photo
from calibration.made import made_by
from calibration.names import unknown_name
from calibration.outlines import Outline, outlines_in
from calibration.table import Table
from projector.garment.own import Block, FoldSide, outline_of

LINE_BGR, CORNER_BGR = (40, 40, 230), (230, 120, 20)


def trace(photo: Path, table: Table) -> tuple[FlatPhoto, list[Outline]]:
    """What lies on the table, from left to right. Raises WrongInput for a table whose size nobody taped, Refused with the reason."""
    if table.state in ("stop", "demonstration"):
        raise WrongInput(
            "Blocks cannot be traced on this table.",
            "It is a demonstration." if table.is_demonstration else "Nothing was taped on it, so its millimetres are not proved.",
            "Calibrate it and tape the printed bars or the long line: calibration solve, calibration proof.",
        )
    flat = flat_photo(photo, table)
    return flat, outlines_in(flat)


def sides_from(text: str) -> list[FoldSide]:
    """`left, none` as sides. Raises WrongInput."""
    sides: list[FoldSide] = []
    for word in text.split(","):
        known = [side for side in get_args(FoldSide) if side == word.strip()]
        if not known:
            raise unknown_name(word.strip(), get_args(FoldSide), "--fold", "the side")
        sides += known
    return sides


def blocks_of(
    found: Sequence[Outline],
    names: Sequence[str],
    folds: Sequence[FoldSide],
    *,
    down_deg: float,
    allowance_mm: float,
    count: int | None,
    cloth: str,
    made: dict[str, str],
) -> list[Block]:
    """One block a name, in the order in which they lie. Raises WrongInput when there are more or fewer names than blocks.

    `count` None: one on a fold, else a pair.
    """
    if len(names) != len(found):
        lie = "1 block lies" if len(found) == 1 else f"{len(found)} blocks lie"
        sizes = ", ".join(size_words(outline) for outline in found)
        raise WrongInput(
            f"{lie} on the table; names given: {len(names)}.",
            f"From left to right: {sizes}.",
            "Name each, from left to right, with commas between.",
        )
    rest: tuple[FoldSide, ...] = (folds[0] if len(folds) == 1 else "none",) * len(names)
    sides = [*folds, *rest]
    blocks = []
    for outline, name, fold in zip(found, names, sides[: len(names)], strict=True):
        pieces = count or (1 if fold != "none" else 2)
        mirrored = fold == "none" and pieces % 2 == 0
        try:
            ring = outline_of(outline.ring, down_deg, fold)
        except Refused as cause:
            raise Refused(f"{name}: {cause.what}", cause.why, cause.next_step) from cause
        blocks.append(Block(name, ring, fold != "none", pieces, mirrored, cloth, 90.0, allowance_mm, made))
    return blocks


def size_words(outline: Outline) -> str:
    """`24 x 42 cm, 6 corners`."""
    wide, tall = np.ptp(outline.ring, axis=0) / 10
    return f"{wide:.0f} x {tall:.0f} cm, {len(outline.corners)} corners"


def told(block: Block) -> dict[str, Any]:
    """The block as its file holds it."""
    data = asdict(block)
    data["outline"] = [list(point) for point in block.outline]
    return data


def made_words(photo: Path, flat: FlatPhoto, table_file: Path) -> dict[str, str]:
    """From what a block was traced."""
    made = made_by("blocks")
    return {
        "day": made.day, "version": made.version, "photograph": photo.name, "table": table_file.name,
        "spots within": f"{flat.left_mm:.2f} mm",
    }  # fmt: skip


def picture_png(flat: FlatPhoto, found: Sequence[Outline]) -> bytes:
    """The table from above with every traced outline, its corners and its number."""
    import cv2

    picture = np.ascontiguousarray(flat.picture)
    for number, outline in enumerate(found, start=1):
        px = (outline.ring - np.array(flat.corner_mm)) / np.array([flat.mm_per_px, -flat.mm_per_px])
        cv2.polylines(picture, [np.round(px * 8).astype(np.int32)], True, LINE_BGR, 3, cv2.LINE_AA, 3)
        for corner in outline.corners:
            x, y = (round(float(value)) for value in px[corner])
            cv2.circle(picture, (x, y), 12, CORNER_BGR, 3, cv2.LINE_AA)
        x, y = (round(float(value)) for value in px.mean(axis=0))
        cv2.putText(picture, str(number), (x - 40, y + 40), cv2.FONT_HERSHEY_SIMPLEX, 5.0, LINE_BGR, 12, cv2.LINE_AA)
    small = cv2.resize(picture, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA)
    return bytes(cv2.imencode(".png", small)[1])
