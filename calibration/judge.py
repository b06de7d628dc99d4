"""Is the result good enough to hand over, and if not: which photograph, which sheet, what to do."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from calibration.solve import MIRROR_IMAGE, SAME, Look, Work
from calibration.table import Table
from calibration.unknowns import LIGHT

FEWEST_SPOTS = 8
FEWEST_LIGHT = 24
DARK_LEVEL, BRIGHT_SHARE = 40, 0.1
"""Of photographs taken well under 0.001 % is burnt out, of those taken six times too bright 13 to 30 % (seven of the bench's scenes)."""
DIM_LEVEL = 70
BLURRED_RATIO = 1.35
BLURRED_PX = 3.5  # width of an edge in a picture of 4000 px that leaves too little clear paper round the spots; a steady phone: under 2
SMALL_PIXELS = 1_900_000
LARGEST_SHAPE_MM = 2.0
"""Refuse when the 95 % radius at the worst place is beyond the trade's tolerance at sides, ±2 mm: no line is worth showing then."""
MOST_REFUSED = 0.12
"""Share of spots refused singly that a good solve stays below (good benches: under 0.03; a moved lamp or curled sheets: over 0.12)."""

NOTHING = "neither sheets nor the light's pattern found"
NO_SHEET, NO_LIGHT = "no sheet found", "the light's pattern not found"
ADVICE: dict[str, str] = {
    SAME: "Photograph once more from another side.",
    MIRROR_IMAGE: "Use the camera at the phone's back, or switch mirroring off in the webcam's program.",
    "too dark": "Photograph again with the lamp on and, if need be, some room light.",
    "too bright": "Tap on the brightest sheet before taking the photograph, so that the phone darkens the picture.",
    "blurred": "Hold the phone still, wait until it is sharp, and photograph again.",
    "shrunk": "Send the photograph itself, as a file or by cable: chat programs shrink pictures.",
    NO_SHEET: "Lay the printed sheets flat into the light, nothing on them, and photograph all of it.",
    NO_LIGHT: "Show frame-1.png full screen on the lamp and photograph the whole light.",
    NOTHING: "Show frame-1.png on the lamp, lay the sheets into it, hold the phone still and photograph the whole light.",
}
FLAT_SHEETS = "Print the pages at actual size on matt, heavier paper, lay them flat, weigh their corners down and photograph again."
MORE_SHEETS = "Lay four sheets flat, near the corners of the light, and photograph the whole light twice from different sides."


@dataclass(frozen=True, slots=True)
class Message:
    """What happened, why (with numbers), what to do next."""

    what: str
    why: str
    next: str

    def as_json(self) -> dict[str, str]:
        """As in every --json output."""
        return {"what": self.what, "why": self.why, "next": self.next}


@dataclass(frozen=True, slots=True)
class Verdict:
    """Solved or refused, one problem (or none) for each photograph, the message."""

    solved: bool
    problems: tuple[str | None, ...]
    message: Message


def sharpness(look: Look) -> float:
    """Strongest slope at a blur of 1 px over that at 4 px (reduced picture): 4 for sharp edges, 1 for edges blurred wide."""
    import cv2

    grey = cv2.cvtColor(np.asarray(look.photograph.small), cv2.COLOR_BGR2GRAY).astype(np.float32)

    def steepest(sigma: float) -> float:
        smooth = cv2.GaussianBlur(grey, (0, 0), sigma)
        slope = np.hypot(cv2.Sobel(smooth, cv2.CV_32F, 1, 0)[::2, ::2], cv2.Sobel(smooth, cv2.CV_32F, 0, 1)[::2, ::2])
        return float(np.percentile(slope, 99.8))

    return steepest(1.0) / max(steepest(4.0), 1e-6)


def photo_problem(look: Look) -> str | None:
    """Why a photograph alone can be of no use; None when it holds sheets and light."""
    if look.printed and look.light:
        return None
    if look.problem is not None:
        return look.problem
    grey = look.photograph.grey[::4, ::4]
    if np.percentile(grey, 99) < DARK_LEVEL:
        return "too dark"
    frames = [name for name in look.other if name.startswith("frame")]
    if frames:
        return f"it shows the light's pattern for {frames[0].split()[1]}"
    strange = [name for name in look.other if not name.startswith("frame")]
    if strange:
        return f"it shows sheets that the list does not hold ({', '.join(strange)})"
    if np.mean(grey > 250) > BRIGHT_SHARE:
        return "too bright"
    if sharpness(look) < BLURRED_RATIO:
        return "blurred"
    if look.photograph.grey.size < SMALL_PIXELS:
        return "shrunk"
    if not look.printed and not look.light:
        return NOTHING
    return NO_SHEET if not look.printed else NO_LIGHT


def advice_for(problem: str) -> str:
    """What to do about a photograph's problem."""
    if problem in ADVICE:
        return ADVICE[problem]
    if "pattern for" in problem:
        return "Give --size as the lamp's own pixels, make frame-1.png anew for it, and show it full screen without scaling."
    return "Name the sheets.json that was written together with the printed pages."


def _told(number: int, problem: str) -> str:
    if problem == "shrunk":
        return f"Photograph {number + 1} cannot be used: this picture was shrunk, as chat programs do."
    return f"Photograph {number + 1} cannot be used: {problem}."


def judge_looks(looks: list[Look]) -> Verdict:
    """When nothing could be solved: the first photograph's reason."""
    problems = tuple(photo_problem(look) for look in looks)
    found = sum(len(seen.spots) for look in looks for seen in look.printed + look.light)
    why = f"{found} spots found in {len(looks)} photograph{'s' if len(looks) > 1 else ''}."
    for number, problem in enumerate(problems):
        if problem:
            return Verdict(False, problems, Message(_told(number, problem), why, advice_for(problem)))
    return Verdict(False, problems, Message("The photographs hold too few spots.", why, MORE_SHEETS))


def used_on(work: Work, drawing: int) -> int:
    """Spots used of one drawing, in all photographs."""
    return int((work.solved.used & (work.solved.spots.drawing == drawing)).sum())


def _group_problems(work: Work) -> tuple[list[str | None], list[int]]:
    """(problem of each photograph, sheets refused wherever they were seen)."""
    problems = [photo_problem(look) for look in work.looks]
    for photo, drawing in work.solved.refused:
        what = "the light" if drawing == LIGHT else f"sheet {work.pages[drawing]}"
        number = work.tied[photo]
        problems[number] = problems[number] or f"{what} does not fit the rest"
    for number in set(range(len(work.looks))) - set(work.tied):
        problems[number] = problems[number] or "it shares no sheet with the other photographs"
    seen = {(int(p), int(d)) for p, d in zip(work.solved.spots.photo, work.solved.spots.drawing, strict=True) if d != LIGHT}
    crooked = [
        d for d in range(len(work.pages)) if any(g[1] == d for g in seen) and all(g in work.solved.refused for g in seen if g[1] == d)
    ]
    return problems, [work.pages[drawing] for drawing in crooked]


def judge_work(work: Work, table: Table) -> Verdict:
    """Judge a finished solve."""
    solved = work.solved
    found, crooked = _group_problems(work)
    problems = tuple(found)
    printed = sum(used_on(work, sheet) for sheet in range(len(work.pages)))
    light, total = used_on(work, LIGHT), len(solved.spots)
    sheets = sum(1 for sheet in range(len(work.pages)) if used_on(work, sheet) >= FEWEST_SPOTS)
    worst = float(np.nanmax(table.shape_error_mm(table.places_mm())))
    spots = f"{printed} printed spots on {sheets} sheet{'s' if sheets != 1 else ''} and {light} of light"

    def refused(what: str, why: str, following: str) -> Verdict:
        return Verdict(False, problems, Message(what, why, following))

    bad = next(((number, problem) for number, problem in enumerate(problems) if problem in ADVICE), None)
    if sheets == 0 or light < FEWEST_LIGHT:
        bad = bad or _spoilt(work)
        if bad is None and crooked:
            seen = int((solved.spots.drawing != LIGHT).sum())
            what = f"{_sheets(crooked)} cannot be used: not flat, or not printed at actual size."
            return refused(what, f"{printed} of {seen} printed spots fit, {light} of light.", FLAT_SHEETS)
        what = _told(*bad) if bad else "Too few spots could be used."
        return refused(what, f"{spots}.", advice_for(bad[1]) if bad else MORE_SHEETS)
    if len(crooked) >= sheets and (spoilt := _spoilt(work)) is not None:
        return refused(_told(*spoilt), f"{spots}.", advice_for(spoilt[1]))
    if len(crooked) >= sheets:
        what = f"The sheets contradict each other: {_sheets(crooked).lower()} against the rest."
        return refused(what, f"{len(crooked)} of {len(work.pages)} sheets do not fit; {spots} do.", FLAT_SHEETS)
    lost = 1.0 - solved.used.sum() / max(total, 1)
    if lost > MOST_REFUSED and not crooked:
        what, following = _misfit(work)
        return refused(what, f"{lost:.0%} of {total} spots do not fit ({spots} do).", following)
    if not solved.settled or not worst < LARGEST_SHAPE_MM:
        return refused("The map is not true enough.", f"At the worst place it may be {worst:.1f} mm off (95 %), from {spots}.", MORE_SHEETS)
    why = f"{spots} in {len(work.tied)} photograph{'s' if len(work.tied) > 1 else ''}; at the worst place {worst:.2f} mm (95 %)."
    return Verdict(True, problems, _solved_message(work, table, why, crooked, bad))


def _sheets(pages: list[int]) -> str:
    """`Sheet 2`, `Sheets 2, 3 and 4`."""
    names = [str(page) for page in sorted(pages)]
    return f"Sheet {names[0]}" if len(names) == 1 else f"Sheets {', '.join(names[:-1])} and {names[-1]}"


def _spoilt(work: Work) -> tuple[int, str] | None:
    """The photograph that is to blame when the spots of good sheets do not fit: it was shrunk, is blurred or dark."""
    return _shrunk(work) or _blurred(work) or _dim(work)


def _dim(work: Work) -> tuple[int, str] | None:
    """The first photograph in which paper in the light is hardly grey."""
    white = ((number, np.percentile(work.looks[number].photograph.grey[::4, ::4], 99)) for number in work.tied)
    return next(((number, "too dark") for number, level in white if level < DIM_LEVEL), None)


def _shrunk(work: Work) -> tuple[int, str] | None:
    """The first photograph with too few pixels."""
    small = (number for number in work.tied if work.looks[number].photograph.grey.size < SMALL_PIXELS)
    return next(((number, "shrunk") for number in small), None)


def _blurred(work: Work) -> tuple[int, str] | None:
    """The photograph whose edges are widest, when they are too wide."""
    widths = {number: work.blur[new] * 4000.0 / max(4000.0, *work.looks[number].photograph.size) for new, number in enumerate(work.tied)}
    worst = max(widths, key=lambda number: widths[number])
    return (worst, "blurred") if widths[worst] > BLURRED_PX else None


def _misfit(work: Work) -> tuple[str, str]:
    """(the photograph and drawing that lost most of their spots, named; what to do about it)."""
    spots, used = work.solved.spots, work.solved.used
    groups = sorted({(int(p), int(d)) for p, d in zip(spots.photo, spots.drawing, strict=True)})

    def share(group: tuple[int, int]) -> float:
        mask = (spots.photo == group[0]) & (spots.drawing == group[1])
        return float(1.0 - used[mask].mean())

    photo, drawing = max(groups, key=share)
    where = f"Photograph {work.tied[photo] + 1}"
    if drawing == LIGHT:
        return f"{where}: the light does not fit the sheets.", MORE_SHEETS
    return f"{where}: sheet {work.pages[drawing]} is not flat, or not printed as the others.", FLAT_SHEETS


def _solved_message(work: Work, table: Table, why: str, crooked: list[int], bad: tuple[int, str] | None) -> Message:
    following = (
        "Check the long line with your tape." if table.size_percent is not None else "Tape both bars of a sheet: nothing is cut before."
    )
    if table.mirrored:
        return Message("The table is calibrated, but the light is a mirror image.", why,
                       "Choose front projection instead of rear in the lamp's menu, then calibrate again.")  # fmt: skip
    if work.moved is not None:
        first, second, by = work.moved.first + 1, work.moved.second + 1, work.moved.by_mm
        return Message(f"The lamp moved between photographs {first} and {second}, or corrected its picture by itself.",
                       f"Its corners lie up to {by:.1f} mm apart; the map is that of photograph {second}. {why}",
                       f"Switch auto-keystone off, fix the lamp, photograph again. {following}")  # fmt: skip
    if crooked:
        return Message(
            f"The table is calibrated without {_sheets(crooked).lower()}: not flat, or not printed as the others.", why, following
        )
    if bad is not None:
        return Message(f"The table is calibrated without photograph {bad[0] + 1}: {bad[1]}.", why, following)
    return Message("The table is calibrated.", why, following)


def photo_rows(work: Work | None, looks: list[Look], verdict: Verdict) -> list[dict[str, Any]]:
    """The `photos` rows of --json."""
    table = []
    for number, look in enumerate(looks):
        used = 0
        rms: float | None = None
        if work is not None and number in work.tied:
            mine = work.solved.used & (work.solved.spots.photo == work.tied.index(number))
            used = int(mine.sum())
            rms = round(float(np.sqrt(np.mean(work.solved.residual[mine] ** 2))), 4) if used else None
        table.append({"file": look.photograph.file, "spots": used, "rms_px": rms, "problem": verdict.problems[number]})
    return table
