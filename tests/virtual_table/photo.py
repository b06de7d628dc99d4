"""The phone: from light on its sensor to a JPEG file."""

import io

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from tests.virtual_table.lamp import Light, Picture
from tests.virtual_table.scene import Phone, Sensor

FULL = 60000.0  # sensor counts at white


def _coloured_edges(light: Light, lateral: float) -> None:
    """Lateral colour: red drawn a little larger, blue a little smaller about the middle."""
    h, w = light.shape[:2]
    for channel, scale in ((0, 1.0 + lateral), (2, 1.0 - lateral)):
        grow = np.array([[scale, 0.0, (1 - scale) * (w - 1) / 2], [0.0, scale, (1 - scale) * (h - 1) / 2]])
        plane = np.ascontiguousarray(light[..., channel])
        light[..., channel] = cv2.warpAffine(plane, grow, (w, h), flags=cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE)


def _softened(light: Light, sensor: Sensor) -> Light:
    soft = cv2.GaussianBlur(light, (0, 0), sensor.defocus_px) if sensor.defocus_px > 0.15 else light
    if sensor.edge_defocus_px > 0.0:
        far = cv2.GaussianBlur(light, (0, 0), float(np.hypot(sensor.defocus_px, 2 * sensor.edge_defocus_px)))
        share = _radius_square(light.shape[1], light.shape[0])[..., None]
        soft = soft + (far - soft) * np.minimum(share, 1.0)
    if sensor.movement_px > 1.0:
        length = round(sensor.movement_px)
        soft = cv2.filter2D(soft, -1, np.full((1, length), 1.0 / length, np.float32))
    return np.asarray(soft, dtype=np.float32)


def _radius_square(w: int, h: int) -> NDArray[np.float32]:
    """1 in the corners, 0 in the middle."""
    half = np.float32(np.hypot(w, h) / 2)
    x = ((np.arange(w, dtype=np.float32) - (w - 1) / 2) / half) ** 2
    y = ((np.arange(h, dtype=np.float32) - (h - 1) / 2) / half) ** 2
    return np.asarray(y[:, None] + x[None], dtype=np.float32)


def _counted(light: Light, sensor: Sensor, seed: int) -> NDArray[np.uint16]:
    """Through Bayer's filter with shot and reading noise, and back to three colours; (h, w, 3) RGB counts."""
    random = np.random.default_rng(seed)
    h, w = light.shape[0] // 2 * 2, light.shape[1] // 2 * 2
    light = light[:h, :w]
    if not sensor.demosaic:
        noisy = light + random.standard_normal(light.shape, dtype=np.float32) * (sensor.noise * np.sqrt(0.05 + np.clip(light, 0, 1)))
        return np.asarray(np.clip(noisy * FULL, 0, 65535), dtype=np.uint16)
    mosaic = light[..., 1].copy()
    mosaic[0::2, 0::2] = light[0::2, 0::2, 0]
    mosaic[1::2, 1::2] = light[1::2, 1::2, 2]
    mosaic += random.standard_normal(mosaic.shape, dtype=np.float32) * (sensor.noise * np.sqrt(0.05 + np.clip(mosaic, 0, 1)))
    counts = np.clip(mosaic * FULL, 0, 65535).astype(np.uint16)
    return np.asarray(cv2.demosaicing(counts, cv2.COLOR_BayerBG2RGB_EA), dtype=np.uint16)


def _tone_curve() -> NDArray[np.uint8]:
    value = np.minimum(np.arange(65536) / FULL, 1.0)
    coded = np.where(value <= 0.0031308, 12.92 * value, 1.055 * value ** (1 / 2.4) - 0.055)  # IEC 61966-2-1
    return np.asarray(np.round(coded * 255), dtype=np.uint8)


def exposure_of(light: Light, sensor: Sensor) -> float:
    """The phone's own exposure: the 98th percentile of the brightest channel comes to 0.75 of white, then `sensor.exposure`."""
    bright = np.percentile(light[::8, ::8].max(axis=-1), 98)
    return float(sensor.exposure * 0.75 / max(float(bright), 1e-6))


def developed(light: Light, phone: Phone) -> bytes:
    """JPEG bytes with the EXIF orientation of the phone."""
    sensor = phone.sensor
    light = light * np.float32(exposure_of(light, sensor))
    light *= (1.0 - sensor.vignetting * _radius_square(*phone.size))[..., None]
    if sensor.lateral_colour:
        _coloured_edges(light, sensor.lateral_colour)
    coded = _tone_curve()[_counted(_softened(light, sensor), sensor, phone.seed)]
    if sensor.sharpen:
        coded = np.asarray(
            cv2.addWeighted(coded, 1 + sensor.sharpen, cv2.GaussianBlur(coded, (0, 0), 1.2), -sensor.sharpen, 0), dtype=np.uint8
        )
    return _as_file(coded, phone)


def _as_file(coded: Picture, phone: Phone) -> bytes:
    sensor = phone.sensor
    if sensor.shrunk_to_px:
        times = sensor.shrunk_to_px / max(coded.shape[:2])
        coded = np.asarray(cv2.resize(coded, None, fx=times, fy=times, interpolation=cv2.INTER_AREA), dtype=np.uint8)
    image = Image.fromarray(coded)
    file = io.BytesIO()
    if sensor.exif and not sensor.shrunk_to_px:
        exif = Image.Exif()
        exif[0x0112] = phone.orientation
        exif[0x010F], exif[0x0110] = "Virtual", "Table phone"
        image.save(file, "JPEG", quality=sensor.quality, subsampling="4:2:0", exif=exif)
    else:
        image.save(file, "JPEG", quality=sensor.quality, subsampling="4:2:0")
    return file.getvalue()
