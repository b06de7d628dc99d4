"""`calibration frame`: the pictures that the lamp shows while photographs are taken."""

from pathlib import Path
from typing import Annotated

import typer


def frame(
    size: Annotated[str, typer.Option(help="The lamp's own pixels, WIDTHxHEIGHT.")],
    out: Annotated[Path, typer.Option(help="Folder for frame-1.png.")],
    fit: Annotated[
        Path | None, typer.Option(help="A table.yaml solved from frame-1.png: adds frame-2.png, which leaves its sheets in plain light.")
    ] = None,
) -> None:
    """Write the coded picture for the lamp: show it full screen, one pixel of the file on one pixel of the lamp."""
    import cv2

    from calibration.command_line import print_note
    from calibration.frame import frame_picture, read_size

    pixels = read_size(size)
    pictures = {"frame-1.png": frame_picture(pixels)}
    if fit is not None:
        from calibration.fitted import fitted_picture
        from calibration.table import Table

        pictures["frame-2.png"] = fitted_picture(Table.read(fit), pixels)
    out.mkdir(parents=True, exist_ok=True)
    for name, picture in pictures.items():
        cv2.imwrite(str(out / name), picture)
    print_note(f"{out / 'frame-1.png'}: show it full screen, without scaling, and photograph the whole light.")
    if fit is not None:
        print_note(f"{out / 'frame-2.png'}: the same once more, the sheets untouched; then solve all photographs together.")
