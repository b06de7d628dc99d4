"""`calibration frame`: the picture that the lamp shows while photographs are taken."""

from pathlib import Path
from typing import Annotated

import typer


def frame(
    size: Annotated[str, typer.Option(help="The lamp's own pixels, WIDTHxHEIGHT.")],
    out: Annotated[Path, typer.Option(help="Folder for frame-1.png.")],
    fit: Annotated[Path | None, typer.Option(help="A table.yaml: also write frame-2.png, plain light where its sheets lie.")] = None,
) -> None:
    """Write the coded picture for the lamp: show it full screen, one pixel of the file on one pixel of the lamp."""
    import cv2

    from calibration.command_line import print_note
    from calibration.frame import frame_picture, read_size

    pixels = read_size(size)
    out.mkdir(parents=True, exist_ok=True)
    cv2.imwrite(str(out / "frame-1.png"), frame_picture(pixels))
    print_note(f"{out / 'frame-1.png'}: show it full screen, without scaling, and photograph the whole light.")
