"""`calibration watch`: a fixed camera, or a folder of its frames, and an alarm when the light moves."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from collections.abc import Iterator

    import numpy as np
    from numpy.typing import NDArray


def watch(
    table: Annotated[Path, typer.Option(help="The table.yaml of this light.")],
    camera: Annotated[int | None, typer.Option(help="Number of the camera, 0 for the first.")] = None,
    frames: Annotated[Path | None, typer.Option(help="Folder of frames (JPEG or PNG), taken in the order of their names.")] = None,
    as_json: Annotated[bool, typer.Option("--json", help="One JSON object a look on stdout.")] = False,
) -> None:
    """One line for each look; show frame-1.png, the table spots in view. Stop with Ctrl-C."""
    from calibration.command_line import print_json, print_note
    from calibration.errors import WrongInput
    from calibration.table import Table
    from calibration.watch import watch as watched

    if (camera is None) == (frames is None):
        raise WrongInput("One camera or one folder is watched.", "Give --camera or --frames, not both.", "For example --camera 0.")
    pictures = _from_folder(frames) if frames is not None else _from_camera(camera or 0)
    for look in watched(pictures, Table.read(table)):
        if as_json:
            print_json(look.as_json())
        moved = "cannot be told" if look.moved_mm is None else f"{look.moved_mm:.2f} mm"
        print_note(f"Movement {moved} ({look.seen} spots).{' ALARM: the light has moved.' if look.alarm else ''}")


def _from_folder(folder: Path) -> "Iterator[NDArray[np.uint8]]":
    import cv2
    import numpy as np

    from calibration.errors import WrongInput

    files = sorted(path for path in folder.iterdir() if path.suffix.lower() in {".jpg", ".jpeg", ".png"}) if folder.is_dir() else []
    if not files:
        raise WrongInput(f"No frames in {folder.name}.", "JPEG and PNG files are read.", "Name the folder that holds the camera's frames.")

    def pictures() -> "Iterator[NDArray[np.uint8]]":
        for path in files:
            picture = cv2.imread(str(path), cv2.IMREAD_COLOR | cv2.IMREAD_IGNORE_ORIENTATION)
            if picture is None:
                raise WrongInput(f"The frame {path.name} cannot be read.", "It is no whole JPEG or PNG.", "Take it out of the folder.")
            yield np.asarray(picture, dtype=np.uint8)

    return pictures()


def _from_camera(number: int) -> "Iterator[NDArray[np.uint8]]":
    import cv2
    import numpy as np

    from calibration.errors import WrongInput

    device = cv2.VideoCapture(number)
    if not device.isOpened():
        raise WrongInput(f"Camera {number} does not open.", "None answers under that number.", "Plug it in, or try --camera 0 or 1.")

    def pictures() -> "Iterator[NDArray[np.uint8]]":
        try:
            while True:
                whole, picture = device.read()
                if not whole:
                    raise WrongInput(
                        f"Camera {number} gives no more pictures.", "It was pulled out or is used elsewhere.", "Plug it in again."
                    )
                yield np.asarray(picture, dtype=np.uint8)
        finally:
            device.release()

    return pictures()
