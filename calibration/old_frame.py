"""`solve --keep old.yaml`: a new map in the old table frame, so that the lay stays where the cloth is.

With four surveyed table spots in one photograph (and no bars taped anew) the light is found by the spots alone. Else the sheets
are solved as always, and the new map is turned and shifted until the spots lie where they were surveyed.
"""

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from calibration.arrays import Array
from calibration.calibrate import Calibrated, calibrate, shape_mm
from calibration.errors import Refused, WrongInput
from calibration.frame import other_size
from calibration.homography import rigid_matrix, rigid_move
from calibration.judge import Message, Verdict
from calibration.light import carry_of
from calibration.made import made_by
from calibration.spot_find import SpotLook
from calibration.spot_solve import FEWEST_FOR_LIGHT, survey
from calibration.stuck import hung_on_spots, looks_of
from calibration.table import LensPosition, ShapeError, Table, rows, rows3

FEWEST_FOR_FRAME = 2
SLIPPED_MM = 1.5


@dataclass(frozen=True, slots=True, eq=False)
class InOldFrame:
    """A solve that kept the frame: the same face as `Calibrated`."""

    verdict: Verdict
    table: Table
    looks: list[SpotLook]

    def as_json(self) -> dict[str, Any]:
        """The object of `solve --json`."""
        photos = [
            {"file": look.photograph.file, "spots": len(look.at) + len(look.stuck), "rms_px": None, "problem": problem}
            for look, problem in zip(self.looks, self.verdict.problems, strict=True)
        ]
        size = self.table.size_percent
        return {
            "status": "solved",
            "spots_used": sum(len(look.at) + len(look.stuck) for look in self.looks),
            "photos": photos,
            "shape_mm": shape_mm(self.table),
            "size_percent": None if size is None else round(size, 3),
            "message": self.verdict.message.as_json(),
        }


def calibrate_in_old_frame(
    photos: list[Path], sheets_file: Path, size: tuple[int, int], old_file: Path, bar_x_mm: float | None, bar_y_mm: float | None
) -> Calibrated | InOldFrame:
    """Solve and keep the frame of the table in `old_file`. Raises WrongInput, Refused."""
    old = Table.read(old_file)
    if old.size != size:
        raise other_size(old_file.name, old.size, size)
    if not old.spots:
        return calibrate(photos, sheets_file, size, bar_x_mm, bar_y_mm)
    looks = looks_of(photos, size)
    known = {spot.id for spot in old.spots}
    seen = max(len({spot.id for spot in look.stuck} & known) for look in looks)
    if seen >= FEWEST_FOR_LIGHT and bar_x_mm is None and bar_y_mm is None:
        return _by_spots(old, looks)
    fresh = calibrate(photos, sheets_file, size, bar_x_mm, bar_y_mm)
    if not fresh.verdict.solved or fresh.table is None:
        return fresh
    return replace(fresh, table=in_old_frame(fresh.table, old, looks))


def _by_spots(old: Table, looks: list[SpotLook]) -> InOldFrame:
    table = hung_on_spots(old, looks, made_by("solve --keep"))
    problems = tuple(None if look.stuck and len(look.at) else "table spots or light not found" for look in looks)
    worst = shape_mm(table)["worst"]
    message = Message(
        "The table is true again.",
        f"{len({spot.id for look in looks for spot in look.stuck})} table spots; the shape is true within {worst:.2f} mm everywhere.",
        "Look whether each light cross lies on its spot, then go on.",
    )
    return InOldFrame(Verdict(True, problems, message), table, looks)


def in_old_frame(table: Table, old: Table, looks: list[SpotLook]) -> Table:
    """A freshly solved table turned and shifted so that the surveyed spots lie where they were; the spots are kept."""
    places = {spot.id: np.array(spot.at_mm) for spot in old.spots}
    found = survey([look.with_only(places) for look in looks], table)
    if len(found.ids) < FEWEST_FOR_FRAME:
        raise WrongInput(
            f"Only {len(found.ids)} surveyed table spot can be seen.", "Two are needed to keep the frame.", "Photograph the spots too."
        )
    target = np.array([places[number] for number in found.ids])
    move = rigid_matrix(rigid_move(found.spots, target))
    left = np.linalg.norm(found.spots @ move[:2, :2].T + move[:2, 2] - target, axis=1)
    if left.max() > SLIPPED_MM:
        raise Refused(
            f"Table spot {found.ids[int(left.argmax())]} is not where it was surveyed.",
            f"It lies {left.max():.1f} mm beside its place.",
            "Stick it down, solve without --keep and survey the spots again.",
        )
    return replace(moved_frame(table, move), spots=old.spots)


def moved_frame(table: Table, move: Array) -> Table:
    """The same light seen from another table frame: `move` takes old mm to new mm (3 x 3, turn and shift)."""
    carry = carry_of(move)
    lens: LensPosition | None = None
    if table.lens_position is not None:
        x, y, _ = move @ np.array([*table.lens_position.at_mm[:2], 1.0])
        lens = replace(table.lens_position, at_mm=(float(x), float(y), table.lens_position.at_mm[2]))
    turn = float(np.degrees(np.arctan2(move[1, 0], move[0, 0])))
    ends = [move @ np.array([*sheet.at_mm, 1.0]) for sheet in table.sheets]
    sheets = tuple(
        replace(sheet, at_mm=(float(x), float(y)), turn_deg=sheet.turn_deg + turn)
        for sheet, (x, y, _) in zip(table.sheets, ends, strict=True)
    )
    return replace(
        table,
        sheets=sheets,
        homography_px_from_mm=rows3(np.array(table.homography_px_from_mm) @ np.linalg.inv(move)),
        shape=ShapeError(rows(carry @ np.array(table.shape.covariance) @ carry.T), table.shape.floor_mm),
        lens_position=lens,
    )
