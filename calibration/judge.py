"""Is the result good enough to hand over, and if not: which photograph, which sheet, what to do."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from calibration.solve import Look, Work
from calibration.table import Table
from calibration.unknowns import LIGHT

FEWEST_SPOTS = 8
DARK_LEVEL, BRIGHT_SHARE = 40, 0.3
BLURRED_RATIO = 1.35
LARGEST_SHAPE_MM = 1.0
"""Refuse when the 95 % radius at the worst place is beyond a cutting tolerance of the trade's smallest, ±1 mm."""


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


def brightness_problem(look: Look) -> str | None:
    """Too dark, too bright or blurred, judged on the picture alone."""
    grey = look.photograph.grey[::4, ::4]
    if np.percentile(grey, 99) < DARK_LEVEL:
        return "too dark"
    if np.mean(grey > 250) > BRIGHT_SHARE:
        return "too bright"
    return "blurred" if sharpness(look) < BLURRED_RATIO else None


def sharpness(look: Look) -> float:
    """Strongest slope at a blur of 1 px over that at 4 px (reduced picture): 4 for sharp edges, 1 for edges blurred wide."""
    import cv2

    grey = cv2.cvtColor(np.asarray(look.photograph.small), cv2.COLOR_BGR2GRAY).astype(np.float32)

    def steepest(sigma: float) -> float:
        smooth = cv2.GaussianBlur(grey, (0, 0), sigma)
        return float(
            np.percentile(np.hypot(cv2.Sobel(smooth, cv2.CV_32F, 1, 0)[::2, ::2], cv2.Sobel(smooth, cv2.CV_32F, 0, 1)[::2, ::2]), 99.8)
        )

    return steepest(1.0) / max(steepest(4.0), 1e-6)


def photo_problem(look: Look) -> str | None:
    """Why a photograph alone can be of no use."""
    if look.printed and look.light:
        return None
    seen = brightness_problem(look)
    if seen:
        return seen
    if not look.printed and not look.light:
        return "neither sheets nor the light's pattern found"
    return "no sheet found" if not look.printed else "the light's pattern not found"


ADVICE: dict[str, str] = {
    "too dark": "Photograph again with the lamp on and, if need be, some room light.",
    "too bright": "Tap on the brightest sheet before taking the photograph, so that the phone darkens the picture.",
    "blurred": "Hold the phone still, wait until it is sharp, and photograph again.",
    "no sheet found": "Lay the printed sheets flat into the light and photograph all of it.",
    "the light's pattern not found": "Show frame-1.png full screen on the lamp and photograph the whole light.",
    "neither sheets nor the light's pattern found": "Show frame-1.png on the lamp, lay the sheets into it, photograph the whole light.",
}


def name_of(number: int) -> str:
    """`photograph 2`."""
    return f"photograph {number + 1}"


def judge_looks(looks: list[Look]) -> Verdict:
    """When nothing could be solved: the first photograph's reason."""
    problems = tuple(photo_problem(look) for look in looks)
    number = next((index for index, problem in enumerate(problems) if problem), None)
    if number is None:
        return Verdict(False, problems, Message("The photographs do not go together.", "No sheet is seen together with enough of the light.",
                                                "Photograph the whole light with all sheets in it."))  # fmt: skip
    problem = problems[number] or ""
    told = f"P{name_of(number)[1:]} cannot be used: {problem}."
    found = sum(len(seen.spots) for look in looks for seen in look.printed + look.light)
    return Verdict(False, problems, Message(told, f"{found} spots found in {len(looks)} photographs.", ADVICE[problem]))


def judge_work(work: Work, table: Table) -> Verdict:
    """Judge a finished solve."""
    problems = [photo_problem(look) for look in work.looks]
    solved = work.solved
    for photo, drawing in solved.refused:
        what = "the light" if drawing == LIGHT else f"sheet {work.pages[drawing]}"
        problems[work.tied[photo]] = problems[work.tied[photo]] or f"{what} does not fit the rest"
    printed = [int((solved.used & (solved.spots.drawing == number)).sum()) for number in range(len(work.pages))]
    light = int((solved.used & (solved.spots.drawing == LIGHT)).sum())
    worst = float(np.nanmax(table.shape_error_mm(table.places_mm())))
    told = tuple(problems)
    if max(printed, default=0) < FEWEST_SPOTS or light < FEWEST_SPOTS:
        return Verdict(
            False, told, Message("Too few spots.", f"{sum(printed)} printed and {light} of light could be used.", ADVICE["no sheet found"])
        )
    if not worst < LARGEST_SHAPE_MM:
        return Verdict(False, told, Message("The map is not true enough.", f"At the worst place it may be {worst:.1f} mm off (95 %).",
                                            "Lay more sheets, near the corners of the light, and photograph twice from different sides."))  # fmt: skip
    sheets = sum(1 for count in printed if count >= FEWEST_SPOTS)
    why = f"{int(solved.used.sum())} spots on {sheets} sheets in {len(work.tied)} photographs; at the worst place {worst:.2f} mm (95 %)."
    if table.mirrored:
        return Verdict(True, told, Message("The table is calibrated, but the light is a mirror image.", why,
                                           "Choose front projection (not rear) in the lamp's menu, then calibrate again."))  # fmt: skip
    following = (
        "Check the long line with your tape." if table.size_percent is not None else "Tape both bars of a sheet: nothing is cut before."
    )
    return Verdict(True, told, Message("The table is calibrated.", why, following))


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
