"""The print at the table: one piece's sewing line as a window on it, and the same cross on every partner. Cloth frame, mm. Pure.

Crosses of one letter must show the same place of the print: A the motif and its row on each middle, then each side seam at bust,
waist and hip, on both sides of it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil, floor

from shapely.geometry import Point as Place
from shapely.geometry import box

from projector.garment.pieces import Point
from projector.steps.before import Bench, cross
from projector.steps.shown import body_of, levels_of, pins_of
from projector.steps.stack import Kept
from projector.steps.step import Step, StepLabel, StepLine

SMALL_MM, LETTER_MM, BESIDE_MM = 14.0, 12.0, 9.0
WAY_MM = 60.0
MOTIF = "A"
SAME_MM = 0.5
"""Both halves of an opened piece share the places on its middle."""


@dataclass(frozen=True, slots=True)
class Seen:
    """One cross: the letter it shares with its partners, the piece and the place on the cloth."""

    letter: str
    kept: Kept
    at: Point


def letter_of(number: int) -> str:
    """Of the motif (0) and of the side seams' places, counted from 1."""
    return chr(ord(MOTIF) + number)


def is_printed(bench: Bench, every: Sequence[Kept]) -> bool:
    """This cloth has a print to be placed: one that stands up, or whose motif or repeat was said."""
    places = bench.printed.places if bench.printed else {}
    return bench.lay.cloth.up != "none" or any(one.piece.name in places for one in every)


def place_print(bench: Bench, part: int, every: Sequence[Kept]) -> Step:
    """The motif brought into the cross: its piece's sewing line, levels and points as they lie round it, partners in this light."""
    up = bench.lay.cloth.up
    placed = _placed_motif(bench, part, every)
    if placed is None:
        lit = [one for one in every if one.placed.part == part] or list(every)
        front = next((one for one in lit if "front" in one.piece.part and one.piece.on_fold), lit[0])
        placed = front, _print_point(front), (0.0, 0.0)
    kept, (x, y), by = placed
    seen = [one for one in crosses_in(bench, part, every) if not (one.kept is kept and one.letter == MOTIF)]
    way = ((x - WAY_MM, y), (x + WAY_MM, y)) if up != "across" else ((x, y - WAY_MM), (x, y + WAY_MM))
    window = [line for line in (*body_of(kept), *levels_of(kept), *pins_of(kept, "mark")) if line.kind != "grain"]
    drawn = [_moved(replace(line, when="now") if line.kind == "sew" else line, by) for line in window]
    arrow = [StepLine("grain", kept.piece.name, "now", way)] if up != "none" else []
    title, say = bench.words.text("print" if up != "none" else "print_any", up=bench.words.said(up) if up != "none" else "")
    say += _letters_told(bench, seen, with_motif=True) if seen else ""
    labels = (StepLabel(MOTIF, (x + BESIDE_MM, y + BESIDE_MM), LETTER_MM), *_letters(seen)) if seen else ()
    lines = [*cross(x, y), *arrow, *drawn, *_partner_lines(seen, but=kept)]
    return bench.step("place", (title, say), part, lines, labels=labels, needs=(bench.words.said("need_light"),))


def see_print(bench: Bench, part: int, every: Sequence[Kept]) -> list[Step]:
    """Before anything is cut in another light: the crosses that lie in it; [] where there are none."""
    seen = crosses_in(bench, part, every)
    if not seen:
        return []
    title, say = bench.words.text("print_seen")
    say += _letters_told(bench, seen, with_motif=any(one.letter == MOTIF for one in seen))
    need = bench.words.said("need_light")
    return [bench.step("check", (title, say), part, _partner_lines(seen), labels=_letters(seen), needs=(need,))]


def crosses_in(bench: Bench, part: int, every: Sequence[Kept]) -> list[Seen]:
    """Every cross that this light shows: of pieces lit by it, and of larger ones where their own light does not reach."""
    if bench.printed is None:
        return []
    rect = box(*bench.lay.parts[part].rect)
    found: list[Seen] = []
    for letter, name, point in _places(bench):
        for kept in (one for one in every if one.piece.name == name):
            for half in range(len(kept.halves)):
                (at,) = kept.at([point], half)
                is_own = kept.placed.part == part or not box(*bench.lay.parts[kept.placed.part].rect).covers(Place(at))
                is_new = all(one.kept is not kept or one.letter != letter or Place(at).distance(Place(one.at)) > SAME_MM for one in found)
                if is_own and is_new and rect.covers(Place(at)):
                    found.append(Seen(letter, kept, at))
    return found


def _places(bench: Bench) -> Iterator[tuple[str, str, Point]]:
    """(letter, piece, point of the piece): the motif and its row, then the side seams."""
    assert bench.printed is not None
    for name, point in bench.printed.places.items():
        yield MOTIF, name, point
    for number, each in enumerate(bench.printed.sides, start=1):
        for side in each.sides:
            yield letter_of(number), side.piece, side.point


def _letters(seen: Sequence[Seen]) -> tuple[StepLabel, ...]:
    return tuple(StepLabel(one.letter, (one.at[0] + BESIDE_MM, one.at[1] + BESIDE_MM), LETTER_MM) for one in seen)


def _letters_told(bench: Bench, seen: Sequence[Seen], with_motif: bool) -> str:
    """Which letter stands for what, and what to do where the print does not agree."""
    assert bench.printed is not None
    words, here = bench.words, {one.letter for one in seen}
    told = [words.said("letter_motif", letter=MOTIF)] if with_motif else []
    for number, each in enumerate(bench.printed.sides, start=1):
        letter, skirt = letter_of(number), "skirt_" if each.is_skirt else ""
        if letter in here:
            told.append(words.said("letter_side", letter=letter, level=words.said(f"at_{skirt}{each.level}")))
    key = "print_repeats" if bench.printed.repeat_mm else "print_by_hand"
    return words.text("print_letters", letters=", ".join(told))[1] + words.text(key)[1]


def _partner_lines(seen: Sequence[Seen], but: Kept | None = None) -> list[StepLine]:
    """Small crosses, and the sewing lines of their pieces to see which is which."""
    pieces = list({id(one.kept): one.kept for one in seen if one.kept is not but}.values())
    arms = [line for one in seen for line in _small_cross(one)]
    return [*arms, *(body_of(kept)[0] for kept in pieces)]


def _small_cross(one: Seen) -> list[StepLine]:
    x, y = one.at
    ways = (((x - SMALL_MM, y), (x + SMALL_MM, y)), ((x, y - SMALL_MM), (x, y + SMALL_MM)))
    return [StepLine("cross", one.kept.piece.name, "now", way) for way in ways]


def _moved(line: StepLine, by: Point) -> StepLine:
    return replace(line, mm=tuple((x + by[0], y + by[1]) for x, y in line.mm))


def _placed_motif(bench: Bench, part: int, every: Sequence[Kept]) -> tuple[Kept, Point, Point] | None:
    """The piece, the place on the cloth where the motif (else its row on a partner) is seen in this light, and how far that is from
    the piece itself: beyond the light whole repeats nearer, where the same motif stands again. None: nothing is placed or lit."""
    if bench.printed is None:
        return None
    x0, y0, x1, y1 = bench.lay.parts[part].rect
    repeat_mm = bench.printed.repeat_mm
    for name, point in bench.printed.places.items():
        for kept in sorted((one for one in every if one.piece.name == name), key=lambda one: one.placed.part != part):
            x, y = (float(value) for value in kept.at([point])[0])
            by = 0.0
            if repeat_mm and not x0 <= x <= x1:
                by = -repeat_mm * (ceil((x - x1) / repeat_mm) if x > x1 else floor((x - x0) / repeat_mm))
            if x0 <= x + by <= x1 and y0 <= y <= y1:
                return kept, (x + by, y), (by, 0.0)
    return None


def _print_point(kept: Kept) -> Point:
    """Where the centre line meets the bust line (else the middle of the piece)."""
    if "bust" not in kept.piece.levels:
        middle = kept.keep.representative_point()
        return (middle.x, middle.y)
    (told,) = kept.at([(min(x for x, _ in kept.piece.seam_line), kept.piece.level_y("bust"))])
    return told
