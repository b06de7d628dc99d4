"""Outlines of flat things (paper, card, cloth) lying on the table, from a photograph turned into table mm.

Red and blue are steady in the calibration light, so there the thing differs from the table by its brightness alone. The brightness
is told as a smooth surface (lamp and room) times a step: the step is found by fitting both, the edge half-way up the step, across
the edge, to a part of a px. Corners, which every lens rounds, are set back to where the two straight runs beside them meet.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calibration.arrays import Array
from calibration.errors import Refused
from calibration.find import kind_pictures
from calibration.flat_photo import FlatPhoto

Mask = NDArray[np.bool_]
LEAST_CONTRAST = 0.12  # step of the logarithm, 13 % brighter or darker: less is lost in wood grain
LEAST_AREA_MM2 = 3000.0  # a collar stand is larger, a coin or a label smaller
RIM_MM = 12.0  # the table's own brightness is taken along the light's edge
LABEL_RADIUS_MM = 60.0
ACROSS_MM = 2.5  # how far across the edge its step is looked at
CORNER_DEG = 22.0  # a sharper turn is a corner; a smooth curve of 15 mm radius turns 17 degrees between the two runs
RUN_MM = (2.0, 7.0)  # the straight runs beside a corner, clear of what the lens rounds
SMOOTH_MM = 1.2
CURVE_MM = 2.5  # draws a curve of 75 mm radius 0.04 mm in (sd² / 2 r), and noise away
STRAIGHT_MM, BOW_MM = 0.7, 0.15  # single points and the middle against both ends: a ruled paper edge, photographed
LEAST_LINE_MM = 25.0
STEP_MM = 0.5
SHOWN_POWER = 2.2  # light is about the picture's value to this power (sRGB, IEC 61966-2-1); a lens mixes light, not values


@dataclass(frozen=True, slots=True, eq=False)
class Outline:
    """One thing: `ring` (N, 2) table mm, counter-clockwise, first point not repeated; `corners`: which points are corners."""

    ring: Array
    corners: tuple[int, ...]
    contrast: float

    @property
    def area_mm2(self) -> float:
        """By the shoelace rule."""
        x, y = self.ring.T
        return float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2


def outlines_in(flat: FlatPhoto) -> list[Outline]:
    """Every thing that lies wholly in the light, from left to right. Raises Refused with the reason and numbers."""
    import cv2

    bright = np.log(np.maximum(kind_pictures(flat.picture)["printed"], 1e-4))
    smooth = np.asarray(cv2.GaussianBlur(bright, (0, 0), 1.0), dtype=np.float32)
    step, level = _levelled(smooth, flat)
    even = smooth - level
    thing = ((even > step / 2) if step > 0 else (even < step / 2)) & flat.lit
    kernel = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (9, 9))
    closed = cv2.morphologyEx(cv2.morphologyEx(thing.astype(np.uint8), cv2.MORPH_OPEN, kernel), cv2.MORPH_CLOSE, kernel)
    contours, _ = cv2.findContours(closed, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    light = np.exp(SHOWN_POWER * (bright - level))  # not smoothed: a smoothed logarithm would draw bright things larger
    found = []
    for contour in contours:
        rough = contour[:, 0].astype(np.float64)
        if cv2.contourArea(contour) * flat.mm_per_px**2 < LEAST_AREA_MM2 or _is_label(flat, rough):
            continue
        _refuse_cut_off(flat, rough)
        found.append(_traced(flat, light, rough, step))
    if not found:
        raise Refused(
            "No piece is found on the table.",
            f"Nothing larger than {LEAST_AREA_MM2 / 100:.0f} cm² differs from the table by {100 * LEAST_CONTRAST:.0f} %.",
            "Lay light paper on a dark cloth, or dark card on a light one.",
        )
    return sorted(found, key=lambda outline: float(outline.ring[:, 0].min()))


def _levelled(bright: NDArray[np.float32], flat: FlatPhoto) -> tuple[float, NDArray[np.float32]]:
    """(height of the step from table to thing, the light's unevenness (h, w), so that brightness less it is 0 on the table).

    Model: brightness = cubic surface + step where a thing lies; which places are thing, and the surface, are settled in turn, begun
    from the brightness itself (large things) and from what a surface alone leaves (small ones); the better fit counts. Raises Refused.
    """
    import cv2

    rows, columns = np.nonzero(flat.lit[::8, ::8])
    value = bright[::8, ::8][rows, columns].astype(np.float64)
    h, w = bright.shape
    surface = _cubic(np.asarray(columns, dtype=np.float64) * 8.0, np.asarray(rows, dtype=np.float64) * 8.0, w, h)
    near_rim = _near_rim(flat)[::8, ::8][rows, columns]
    left = value - surface @ np.linalg.lstsq(surface, value, rcond=None)[0]
    _, terms, is_any = min((_settled(surface, value, _apart(start, near_rim)) for start in (value, left)), key=lambda fit: fit[0])
    step = float(terms[-1])
    if not is_any or abs(step) < LEAST_CONTRAST:
        raise Refused(
            "The pieces cannot be told from the table.",
            f"They differ by {100 * abs(np.expm1(step)):.0f} % in brightness; {100 * LEAST_CONTRAST:.0f} % are needed.",
            "Lay light paper on a dark cloth, or dark card on a light one.",
        )
    ys, xs = np.mgrid[0:h:16, 0:w:16]
    coarse = (
        (_cubic(np.asarray(xs.ravel() + 7.5, dtype=np.float64), np.asarray(ys.ravel() + 7.5, dtype=np.float64), w, h) @ terms[:-1])
        .reshape(xs.shape)
        .astype(np.float32)
    )
    level = cv2.resize(coarse, (coarse.shape[1] * 16, coarse.shape[0] * 16), interpolation=cv2.INTER_LINEAR)[:h, :w]
    return step, np.asarray(level, dtype=np.float32)


def _apart(value: Array, near_rim: Mask) -> Mask:
    """The two classes of N. Otsu (IEEE Trans. SMC 9, 1979); the one that the light's edge is not in is called thing."""
    import cv2

    coded = np.clip((value - value.min()) / max(float(np.ptp(value)), 1e-6) * 255, 0, 255).astype(np.uint8)
    split = cv2.threshold(coded, 0, 1, cv2.THRESH_BINARY | cv2.THRESH_OTSU)[1].ravel() > 0
    return np.asarray(split != (float(np.mean(split[near_rim])) > 0.5))


def _settled(surface: Array, value: Array, is_thing: Mask) -> tuple[float, Array, bool]:
    """(mean square left, terms of surface and step, whether anything is a thing)."""
    terms = np.zeros(surface.shape[1] + 1)
    for _ in range(12):
        terms = np.linalg.lstsq(np.column_stack([surface, is_thing]), value, rcond=None)[0]
        step = float(terms[-1])
        away = value - surface @ terms[:-1]
        again = away > step / 2 if step > 0 else away < step / 2
        if (again == is_thing).all():
            break
        is_thing = again
    left = value - surface @ terms[:-1] - terms[-1] * is_thing
    return float(np.mean(left**2)), terms, bool(is_thing.any())


def _cubic(x: Array, y: Array, w: int, h: int) -> Array:
    u, v = 2.0 * x / w - 1.0, 2.0 * y / h - 1.0
    return np.stack([u**i * v**k for i in range(4) for k in range(4 - i)], axis=1)


def _near_rim(flat: FlatPhoto) -> Mask:
    """The strip along the light's edge, where no piece has to lie."""
    import cv2

    far = cv2.distanceTransform(np.pad(flat.lit.astype(np.uint8), 1), cv2.DIST_L2, 3)[1:-1, 1:-1]
    return np.asarray(flat.lit & (far * flat.mm_per_px < RIM_MM))


def _is_label(flat: FlatPhoto, rough: Array) -> bool:
    """Whether a small thing is one of the labels stuck to the table."""
    middle, reach = flat.mm(rough).mean(axis=0), np.ptp(flat.mm(rough), axis=0).max()
    return bool(reach < 2 * LABEL_RADIUS_MM and len(flat.labels_mm) and np.hypot(*(flat.labels_mm - middle).T).min() < LABEL_RADIUS_MM)


def _refuse_cut_off(flat: FlatPhoto, rough: Array) -> None:
    strip = _near_rim(flat)
    near = strip[rough[:, 1].astype(int), rough[:, 0].astype(int)]
    if near.sum() * flat.mm_per_px > RIM_MM:
        x, y = flat.mm(rough[near]).mean(axis=0)
        raise Refused(
            "A piece runs out of the light.",
            f"At {x:.0f}, {y:.0f} mm it comes within {RIM_MM:.0f} mm of the light's edge.",
            "Lay it further in, or photograph large pieces one at a time.",
        )


def _traced(flat: FlatPhoto, even: NDArray[np.float32], rough: Array, step: float) -> Outline:
    """The fine outline of one rough one (px)."""
    mm = _ring(_even_steps(flat.mm(rough)), SMOOTH_MM)
    edge = _on_the_edge(flat, even, mm, float(np.exp(SHOWN_POWER * step)))
    ring = _even_steps(edge)
    corners = _corner_places(ring)
    return _joined(ring, corners, step)


def _even_steps(ring: Array) -> Array:
    """The closed ring again at STEP_MM, counter-clockwise."""
    closed = np.vstack([ring, ring[:1]])
    reach = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(closed, axis=0).T))])
    places = np.linspace(0.0, reach[-1], max(int(reach[-1] / STEP_MM), 16) + 1)[:-1]
    again = np.column_stack([np.interp(places, reach, closed[:, axis]) for axis in (0, 1)])
    x, y = again.T
    return again if np.dot(x, np.roll(y, -1)) > np.dot(y, np.roll(x, -1)) else np.ascontiguousarray(again[::-1])


def _bell(sd_mm: float) -> Array:
    half = int(np.ceil(3 * sd_mm / STEP_MM))
    weight = np.exp(-0.5 * (np.arange(-half, half + 1) * STEP_MM / sd_mm) ** 2)
    return np.asarray(weight / weight.sum())


def _ring(ring: Array, sd_mm: float) -> Array:
    """A closed ring smoothed along itself."""
    weight = _bell(sd_mm)
    half = len(weight) // 2
    around = np.vstack([ring[-half:], ring, ring[:half]])
    return np.column_stack([np.convolve(around[:, axis], weight, "valid") for axis in (0, 1)])


def _on_the_edge(flat: FlatPhoto, even: NDArray[np.float32], ring: Array, paper: float) -> Array:
    """Each point moved across the edge to where the brightness is half-way between table and thing, as seen right there."""
    import cv2

    along = np.roll(ring, -2, axis=0) - np.roll(ring, 2, axis=0)
    out = np.column_stack([along[:, 1], -along[:, 0]]) / np.maximum(np.hypot(*along.T), 1e-9)[:, None]
    offsets = np.arange(-ACROSS_MM, ACROSS_MM + 1e-9, flat.mm_per_px / 2)
    asked = ring[:, None] + offsets[None, :, None] * out[:, None]
    px = (asked - np.array(flat.corner_mm)) / np.array([flat.mm_per_px, -flat.mm_per_px])
    rows = cv2.remap(even, px[..., 0].astype(np.float32), px[..., 1].astype(np.float32), cv2.INTER_LINEAR).astype(np.float64)
    ends = max(2, len(offsets) // 8)
    inner, outer = np.median(rows[:, :ends], axis=1), np.median(rows[:, -ends:], axis=1)
    plain = np.abs(inner - outer) > 0.5 * abs(paper - 1.0)
    half = np.where(plain, (inner + outer) / 2, (1.0 + paper) / 2)
    high = (rows - half[:, None]) * np.sign(paper - 1.0)  # above zero inside
    moved = np.zeros(len(ring))
    for number, row in enumerate(high):
        crossings = np.flatnonzero((row[:-1] > 0) & (row[1:] <= 0))
        if len(crossings):
            first = int(crossings[np.argmin(np.abs(offsets[crossings]))])
            moved[number] = offsets[first] + (offsets[1] - offsets[0]) * row[first] / (row[first] - row[first + 1])
    return np.asarray(ring + moved[:, None] * out)


def _runs(ring: Array) -> tuple[Array, Array]:
    """((N, 2, 2) middle of the run before and after each point, (N, 2, 2) their directions, both onward)."""
    first, last = (round(mm / STEP_MM) for mm in RUN_MM)
    middles, ways = [], []
    for sign in (-1, 1):
        near, far = np.roll(ring, -sign * first, axis=0), np.roll(ring, -sign * last, axis=0)
        mean = np.mean([np.roll(ring, -sign * place, axis=0) for place in range(first, last + 1)], axis=0)
        way = (far - near) * sign
        middles.append(mean)
        ways.append(way / np.maximum(np.hypot(*way.T), 1e-9)[:, None])
    return np.stack(middles, axis=1), np.stack(ways, axis=1)


def _corner_places(ring: Array) -> list[tuple[int, Array]]:
    """(place in the ring, true corner) where the runs before and after turn sharply, the sharpest of each neighbourhood."""
    middles, ways = _runs(ring)
    cross = ways[:, 0, 0] * ways[:, 1, 1] - ways[:, 0, 1] * ways[:, 1, 0]
    turn = np.degrees(np.arctan2(np.abs(cross), (ways[:, 0] * ways[:, 1]).sum(axis=1)))
    reach = int(RUN_MM[1] / STEP_MM)
    window = np.max([np.roll(turn, shift) for shift in range(-reach, reach + 1)], axis=0)
    found = []
    for place in np.flatnonzero((turn >= window) & (turn > CORNER_DEG)):
        a, b = middles[place]
        along = float((b - a)[0] * ways[place, 1, 1] - (b - a)[1] * ways[place, 1, 0]) / float(cross[place])
        corner = a + along * ways[place, 0]
        if np.hypot(*(corner - ring[place])) < RUN_MM[1]:
            found.append((int(place), corner))
    return found


def _joined(ring: Array, corners: list[tuple[int, Array]], step: float) -> Outline:
    """Straight or smooth between corners, the corners themselves sharp; few enough points to read."""
    if not corners:
        return Outline(_thinned(_ring(ring, CURVE_MM), closed=True), (), step)
    clear = int(RUN_MM[0] / STEP_MM)
    runs = []
    for (start, _), (end, _) in zip(corners, [*corners[1:], corners[0]], strict=True):
        count = (end - start) % len(ring) or len(ring)
        runs.append(ring[np.arange(start + clear, start + count - clear + 1) % len(ring)] if count > 2 * clear else np.zeros((0, 2)))
    lines = [_line_of(run) for run in runs]
    sharp = [_sharp(corner, lines[number - 1], lines[number]) for number, (_, corner) in enumerate(corners)]
    parts: list[Array] = []
    places: list[int] = []
    for number, (run, line) in enumerate(zip(runs, lines, strict=True)):
        ends = sharp[number], sharp[(number + 1) % len(sharp)]
        whole = np.vstack(ends) if line is not None else _thinned(_open_smooth(np.vstack([ends[0], run, ends[1]])), closed=False)
        places.append(sum(len(part) for part in parts))
        parts.append(whole[:-1])
    return Outline(np.vstack(parts), tuple(places), step)


def _line_of(run: Array) -> tuple[Array, Array] | None:
    """(a point, unit direction) of a run that is straight within what the photograph leaves open; None for a curve."""
    if len(run) < LEAST_LINE_MM / STEP_MM:
        return None
    middle = run.mean(axis=0)
    way = np.linalg.svd(run - middle, full_matrices=False)[2][0]
    off = (run - middle) @ np.array([-way[1], way[0]])
    third = len(off) // 3
    bow = abs(float(np.mean(off[third:-third]) - (np.mean(off[:third]) + np.mean(off[-third:])) / 2))
    return (middle, way) if np.abs(off).max() < STRAIGHT_MM and bow < BOW_MM else None


def _sharp(corner: Array, before: tuple[Array, Array] | None, after: tuple[Array, Array] | None) -> Array:
    """The corner on the straight lines that end in it: where two meet, or the nearest place of one."""
    if before is not None and after is not None:
        (p, u), (q, v) = before, after
        slant = float(u[0] * v[1] - u[1] * v[0])
        met = p + u * float((q - p)[0] * v[1] - (q - p)[1] * v[0]) / slant
        return np.asarray(met if np.hypot(*(met - corner)) < RUN_MM[1] else corner)
    for one in (before, after):
        if one is not None:
            return np.asarray(one[0] + one[1] * float((corner - one[0]) @ one[1]))
    return corner


def _open_smooth(line: Array) -> Array:
    """An open line smoothed along itself, its ends kept (turned about them beyond)."""
    weight = _bell(CURVE_MM)
    half = min(len(weight) // 2, len(line) - 1)
    if half < 2:
        return line
    weight = weight[len(weight) // 2 - half : len(weight) // 2 + half + 1]
    before, after = 2 * line[0] - line[half:0:-1], 2 * line[-1] - line[-2 : -half - 2 : -1]
    around = np.vstack([before, line, after])
    smooth = np.column_stack([np.convolve(around[:, axis], weight / weight.sum(), "valid") for axis in (0, 1)])
    smooth[0], smooth[-1] = line[0], line[-1]
    return smooth


def _thinned(line: Array, *, closed: bool) -> Array:
    from shapely import LineString

    told = np.vstack([line, line[:1]]) if closed else line
    thin = np.array(LineString(told).simplify(0.05).coords)
    return thin[:-1] if closed else thin
