"""`calibration frame`: the picture that the lamp shows while photographs are taken."""

from pathlib import Path
from typing import Annotated

import typer


def frame(
    size: Annotated[str, typer.Option(help="The lamp's own pixels, WIDTHxHEIGHT.")],
    out: Annotated[Path, typer.Option(help="Folder for frame-1.png.")],
    fit: Annotated[Path | None, typer.Option(help="Accepted; no second frame is made yet: frame-1.png serves every photograph.")] = None,
) -> None:
    """Write the coded picture for the lamp: show it full screen, one pixel of the file on one pixel of the lamp."""
    import cv2

    from calibration.command_line import print_note
    from calibration.frame import frame_picture, read_size

    pixels = read_size(size)
    out.mkdir(parents=True, exist_ok=True)
    cv2.imwrite(str(out / "frame-1.png"), frame_picture(pixels))
    if fit is not None:
        print_note("No second frame is fitted to the sheets by this version; frame-1.png serves every photograph.")
    print_note(f"{out / 'frame-1.png'}: show it full screen, without scaling, and photograph the whole light.")
