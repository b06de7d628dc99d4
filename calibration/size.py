"""How true the size is, by what her tape read: GUM (JCGM 100:2008), k = 2.

Parts, each rectangular (standard uncertainty = half width / √3, GUM 4.3.7):
reading    ±0.5 mm
tape       class II: ±(0.3 + 0.2 L) mm, L in metres rounded up (Measuring Instruments Directive 2014/32/EU, annex X, MI-008;
           UK SI 2016/1153 schedule 1I)
"""

from dataclasses import dataclass, replace
from math import ceil, hypot, isfinite, sqrt

import numpy as np

from calibration.arrays import Array
from calibration.errors import Refused, WrongInput
from calibration.made import Made
from calibration.shape_error import ROUND_95
from calibration.sheets import Sheets
from calibration.table import Table, Taped

READING_MM = 0.5
COVERAGE = 2.0
MISREAD_PERCENT = 8.0  # a page "fitted" from Letter to A4 or back loses 3 to 6 %; beyond that it is a misreading


@dataclass(frozen=True, slots=True)
class Proved:
    """What `proof` found: factor true / thought, and the table that stands now."""

    factor: float
    table: Table


def tape_limit_mm(length_mm: float) -> float:
    """Largest permitted error of a class II tape over `length_mm`."""
    return 0.3 + 0.2 * ceil(length_mm / 1000.0)


def taped_sd_mm(length_mm: float) -> float:
    """Standard uncertainty of one length as taped, mm."""
    return hypot(READING_MM, tape_limit_mm(length_mm)) / sqrt(3.0)


def bar_percent(bar_mm: float) -> float:
    """95 % size error left by one taped bar: 250 mm leave 0.33 %."""
    return 100.0 * COVERAGE * taped_sd_mm(bar_mm) / bar_mm


def bars_percent(bar_x_mm: float, bar_y_mm: float) -> float:
    """95 % size error left by both bars: the readings are two, the tape (and its error a millimetre) is one.

    The size of the light is the mean of both directions: reading errors average, the tape's do not.
    """
    reading = READING_MM / sqrt(3.0) * hypot(1.0 / bar_x_mm, 1.0 / bar_y_mm) / 2.0
    tape = (tape_limit_mm(bar_x_mm) / bar_x_mm + tape_limit_mm(bar_y_mm) / bar_y_mm) / 2.0 / sqrt(3.0)
    return 100.0 * COVERAGE * hypot(reading, tape)


def size_percent(taped: Taped) -> float | None:
    """95 % size error left by the taped bars; None when nothing was taped."""
    bars = [bar for bar in (taped.bar_x_mm, taped.bar_y_mm) if bar is not None]
    if len(bars) == 2:
        return bars_percent(bars[0], bars[1])
    return bar_percent(bars[0]) if bars else None


def stretch_of(sheets: Sheets, bar_x_mm: float | None, bar_y_mm: float | None) -> Array:
    """(2,) true / nominal along the page's width and height; one bar alone stands for both."""
    given = [bar for bar in (bar_x_mm, bar_y_mm) if bar is not None]
    for bar, nominal in ((bar_x_mm, sheets.bars_mm[0]), (bar_y_mm, sheets.bars_mm[1])):
        if bar is not None and not abs(bar / nominal - 1.0) < MISREAD_PERCENT / 100.0:
            raise WrongInput(
                f"A bar of {bar:g} mm does not go with these sheets.",
                f"It is {nominal:g} mm long when printed at actual size.",
                "Tape it again, from end to end, and look whether the tape reads inches.",
            )
    if not given:
        return np.ones(2)
    x = bar_x_mm / sheets.bars_mm[0] if bar_x_mm is not None else None
    y = bar_y_mm / sheets.bars_mm[1] if bar_y_mm is not None else None
    return np.array([x if x is not None else y, y if y is not None else x], dtype=np.float64)


def line_percent(table: Table, line_mm: float) -> float:
    """95 % size error left by the long line: reading, tape, and the shape error at both ends of the line."""
    radii = table.shape_error_mm(table.places_mm())
    shape_sd = sqrt(2.0) * float(np.nanmedian(radii)) / ROUND_95
    return 100.0 * COVERAGE * hypot(taped_sd_mm(line_mm), shape_sd) / line_mm


def proved(table: Table, shown_mm: float, taped_mm: float, made: Made) -> Proved:
    """The table corrected by the long line: `shown_mm` as drawn, `taped_mm` as her tape read it.

    Raises WrongInput for lengths that no line of this light has, Refused when bars and line contradict each other.
    """
    _check_lengths(table, shown_mm, taped_mm)
    factor = taped_mm / shown_mm
    after = line_percent(table, shown_mm)
    _check_agreement(table, factor, after)
    corrected = replace(
        table.scaled(factor),
        size_percent=after,
        taped=replace(table.taped, line_shown_mm=shown_mm, line_taped_mm=taped_mm),
        made=made,
    )
    return Proved(factor, corrected)


def _check_lengths(table: Table, shown_mm: float, taped_mm: float) -> None:
    if table.is_demonstration:
        raise WrongInput("A demonstration cannot be proved.", "It was computed, not measured.", "Calibrate the table first.")
    if not (isfinite(shown_mm) and isfinite(taped_mm) and shown_mm > 0.0 and taped_mm > 0.0):
        raise WrongInput("The line needs two lengths.", f"Shown {shown_mm:g}, taped {taped_mm:g}.", "Give both in mm, above 0.")
    places = table.places_mm(2, 2)
    longest = float(np.nanmax(np.linalg.norm(places[:, None] - places[None], axis=2), initial=0.0))  # 0: no corner lies on the table
    if shown_mm > 1.02 * longest:
        raise WrongInput(
            f"A line of {shown_mm:g} mm was not shown.", f"The light is {longest:.0f} mm from corner to corner.", "Give the length in mm."
        )
    if shown_mm < 300.0:
        raise WrongInput(
            f"A line of {shown_mm:g} mm is too short to prove the size.",
            f"Read to {READING_MM} mm it leaves {bar_percent(shown_mm):.2f} %.",
            "Tape the long line, or one of at least 300 mm.",
        )


def _check_agreement(table: Table, factor: float, after: float) -> None:
    off = 100.0 * (factor - 1.0)
    if table.size_percent is None:
        if abs(off) > MISREAD_PERCENT:
            raise Refused(
                "The tape and the line do not go together.",
                f"They differ by {off:+.1f} %; a badly printed sheet explains up to {MISREAD_PERCENT:.0f} %.",
                "Tape the line again, and look whether the tape reads inches.",
            )
        return
    allowed = 1.5 * hypot(table.size_percent, after)
    if abs(off) > allowed:
        before = "the line taped before" if table.taped.line_taped_mm is not None else "the bars"
        raise Refused(
            f"The long line contradicts {before}.",
            f"It is off by {off:+.2f} %; both readings together explain {allowed:.2f} %.",
            "Tape the line again, then the bars; solve again with what is right.",
        )
