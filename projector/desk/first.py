"""What the desk starts from: the first snapshot of an order, resumed where its journal stands; photographs in a folder."""

from dataclasses import replace
from pathlib import Path

from calibration.errors import WrongInput
from projector.desk.journal import Resumed
from projector.session.change import told, with_table
from projector.session.place import has_cuts
from projector.session.snapshot import ClothAt, Message, Snapshot, TableSummary, Work
from projector.web.uploads import MOST_PHOTOS

PHOTO_ENDINGS = (".jpg", ".jpeg", ".png")
TORN = ("The last line of what was done cannot be read.", "One step more may be done than is marked.", "Look at the cloth before you cut.")


def first_snapshot(work: Work, table: TableSummary | None, resumed: Resumed) -> Snapshot:
    """The order's first step, or where she stood: with cuts made the light goes onto the cut edges first."""
    snapshot = told(Snapshot(number=1, cloth_at=work.arrivals.get(0, ClothAt())), work)
    if resumed.stood is not None and work.steps:
        s = resumed.stood
        snapshot = replace(
            snapshot, step=s.step, cloth_at=s.cloth_at, places=s.places, done=s.done, see=s.see, colour=s.colour,
            worker_side=s.worker_side, lens_side=s.lens_side, cutting_hand=s.cutting_hand,
        )  # fmt: skip
        is_cut = has_cuts(snapshot, work, snapshot.step)
        note = "Cuts were made before: put the light on the cut edges." if is_cut else "Where you left it."
        message = Message("refusal", *TORN) if resumed.is_torn else Message("note", note)
        snapshot = told(replace(snapshot, is_cloth_true=not is_cut, message=message), work)
    elif not resumed.is_same and resumed.cuts_before:
        why = f"{resumed.cuts_before} steps were done by another draft or lay of this order."
        snapshot = replace(
            snapshot, message=Message("refusal", "This is not the lay that was cut.", why, "Cut by the old one, or take fresh cloth.")
        )
    return with_table(snapshot, table)


def newest_photographs(folder: Path | None, since: float) -> list[Path]:
    """The newest photographs there, taken since that time (seconds since 1970). Raises WrongInput without any."""
    if folder is None:
        raise WrongInput("No folder of photographs was named.", "There is none to look into.", "Send them from the page.")
    found = [file for file in folder.iterdir() if file.suffix.lower() in PHOTO_ENDINGS]
    fresh = sorted((file for file in found if file.stat().st_mtime >= since), key=lambda file: file.stat().st_mtime)
    if not fresh:
        raise WrongInput("There is no new photograph.", f"{folder} holds {len(found)}, all older than the frame.", "Take two.")
    return fresh[-MOST_PHOTOS:]
