"""Pictures sent to the page: judged by size and header before anything decodes them, kept under our own names."""

import asyncio
import os
import shutil
import struct
from pathlib import Path
from typing import BinaryIO

from PIL import Image
from starlette.datastructures import UploadFile
from starlette.requests import Request

from calibration.errors import WrongInput

LARGEST_PHOTO_BYTES = 40 * 1024 * 1024
LARGEST_PHOTO_PIXELS = 50_000_000
MOST_PHOTOS = 6


def checked_photo(source: BinaryIO) -> None:
    """Kind and size of a photograph from its header alone, before anything decodes it. Raises WrongInput."""
    try:
        with Image.open(source, formats=("JPEG", "PNG")) as header:
            width, height = header.size
    except (OSError, ValueError, SyntaxError, struct.error, Image.DecompressionBombError, Image.DecompressionBombWarning) as cause:
        raise WrongInput("This is no photograph.", "JPEG or PNG is wanted.", "Send it as the camera took it.") from cause
    if width * height > LARGEST_PHOTO_PIXELS:
        raise WrongInput(
            "This photograph has too many pixels.",
            f"{width} by {height}; {LARGEST_PHOTO_PIXELS // 10**6} million are taken.",
            "Choose a smaller size in the camera.",
        )


def _kept(source: BinaryIO, file: Path) -> Path:
    """The photograph as a file of our own name. Raises WrongInput for anything else."""
    if source.seek(0, os.SEEK_END) > LARGEST_PHOTO_BYTES:
        raise WrongInput(
            "This photograph is too large.", f"It is over {LARGEST_PHOTO_BYTES // 2**20} MB.", "Send it as the camera took it, as JPEG."
        )
    source.seek(0)
    checked_photo(source)
    source.seek(0)
    with file.open("wb") as out:
        shutil.copyfileobj(source, out)
    return file


async def photos_in(request: Request, folder: Path, most: int = MOST_PHOTOS) -> tuple[list[Path], dict[str, str]]:
    """Every `photo` of the form as a file in the folder, and the form's texts. Raises WrongInput without any."""
    kept: list[Path] = []
    async with request.form(max_files=most, max_fields=8) as form:
        for number, photo in enumerate(form.getlist("photo")):
            if isinstance(photo, UploadFile):  # never a name from outside; off the loop, which answers others meanwhile
                kept.append(await asyncio.to_thread(_kept, photo.file, folder / f"photo-{number + 1}.jpg"))
        texts = {name: value for name, value in form.items() if isinstance(value, str)}
    if not kept:
        raise WrongInput("No photograph came.", "The form was empty.", "Choose one or two photographs.")
    return kept, texts
