"""A photograph as stored: never turned by its EXIF orientation, for another turn must not become another lens."""

import hashlib
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from calibration.arrays import Array
from calibration.errors import WrongInput

SMALL_LONG_PX = 1500
"""Codes are read in a picture reduced by 2, 4 or 8 while its long side keeps this much: JPEG stores colour at half size anyway."""

LARGEST_PIXELS = 120_000_000
EXIF_MODEL, EXIF_DETAILS, EXIF_FOCAL_35 = 0x0110, 0x8769, 0xA405  # Exif 2.32 tags: Model, Exif IFD, FocalLengthIn35mmFilm
FULL_FRAME_LONG_MM = 36.0
IN_JPEG = "Let the phone take JPEG (on an iPhone: Settings, Camera, Formats, Most Compatible) and photograph again."

Grey = NDArray[np.uint8]


@dataclass(frozen=True, slots=True, eq=False)
class Photograph:
    """One photograph. `grey`: (h, w) brightness, full size. `small`: (h / n, w / n, 3) blue, green, red; n = `reduced`."""

    file: str
    sha256: str
    phone: str
    focal_px: float | None
    grey: Grey
    small: Grey
    reduced: int

    @property
    def size(self) -> tuple[int, int]:
        """Width and height of the full picture in px."""
        return self.grey.shape[1], self.grey.shape[0]


def full_from_small(at: Array, reduced: int) -> Array:
    """Px of the reduced picture to px of the full one (both: middle of the top-left pixel is (0, 0))."""
    return np.asarray((at + 0.5) * reduced - 0.5)


def small_from_full(at: Array, reduced: int) -> Array:
    """The inverse."""
    return np.asarray((at + 0.5) / reduced - 0.5)


def reduction(long_px: int) -> int:
    """1, 2, 4 or 8."""
    return max(n for n in (1, 2, 4, 8) if n == 1 or long_px / n >= SMALL_LONG_PX)


def read_photograph(path: Path) -> Photograph:
    """Decode one photograph. Raises WrongInput."""
    import cv2
    from PIL import Image, UnidentifiedImageError

    try:
        data = path.read_bytes()
    except OSError as error:
        raise WrongInput(
            f"The photograph {path.name} cannot be opened.", str(error.strerror or error), "Name the photograph's file."
        ) from error
    if data[4:8] == b"ftyp":  # ISO/IEC 14496-12, the box that HEIC and AVIF pictures start with
        raise _no_picture(path, f"It is a {data[8:12].decode('ascii', 'replace').upper()} file, not a JPEG, PNG or TIFF.", IN_JPEG)
    if _cut_short(data):
        raise _no_picture(path, f"The file ends after {len(data) / 1e6:.1f} MB, before its picture does.", "Send it once more, whole.")
    try:
        with Image.open(BytesIO(data)) as opened:
            width, height = opened.size
            exif = opened.getexif()
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError, Image.DecompressionBombError) as error:
        raise _no_picture(path, "It is not a JPEG, PNG or TIFF, or it is broken.") from error
    if width * height > LARGEST_PIXELS:
        raise _no_picture(path, f"It has {width * height / 1e6:.0f} megapixels; up to {LARGEST_PIXELS / 1e6:.0f} are read.")
    reduced = reduction(max(width, height))
    plain = cv2.IMREAD_IGNORE_ORIENTATION
    colour = {1: cv2.IMREAD_COLOR, 2: cv2.IMREAD_REDUCED_COLOR_2, 4: cv2.IMREAD_REDUCED_COLOR_4, 8: cv2.IMREAD_REDUCED_COLOR_8}[reduced]
    raw = np.frombuffer(data, dtype=np.uint8)
    grey = cv2.imdecode(raw, cv2.IMREAD_GRAYSCALE | plain)
    small = cv2.imdecode(raw, colour | plain)
    if grey is None or small is None:
        raise _no_picture(path, "It is not a JPEG, PNG or TIFF, or it is broken.")
    focal_35 = exif.get_ifd(EXIF_DETAILS).get(EXIF_FOCAL_35)
    focal = float(focal_35) / FULL_FRAME_LONG_MM * max(width, height) if focal_35 else None
    phone = f"{exif.get(EXIF_MODEL, '')} {width}x{height}"  # a stored quarter turn moves the lens's own middle: another lens
    return Photograph(path.name, hashlib.sha256(data).hexdigest(), phone, focal, np.asarray(grey), np.asarray(small), reduced)


def _cut_short(data: bytes) -> bool:
    """Whether a JPEG's picture has no end (ITU-T T.81, annex B: segments, start of scan, FFD9; what follows is no matter)."""
    if data[:2] != b"\xff\xd8":
        return False
    at = 2
    while data[at : at + 1] == b"\xff" and len(data) >= at + 4:
        if data[at + 1] == 0xDA:
            return data.find(b"\xff\xd9", at) < 0
        at += 2 + int.from_bytes(data[at + 2 : at + 4], "big")
    return len(data) < at + 4


def _no_picture(path: Path, why: str, following: str = "Send the photograph itself, as the phone took it (JPEG).") -> WrongInput:
    return WrongInput(f"The photograph {path.name} cannot be read.", why, following)
