"""No cut runs through a piece that is still to be lifted: refused in words, never drawn."""

from collections.abc import Sequence

from shapely.geometry.base import BaseGeometry

from calibration.errors import Refused
from calibration.units import length_text
from projector.steps.before import Bench
from projector.steps.unit import Unit

HURT_MM = 0.3
"""A line no further than this inside another outline is that outline: a chalk line."""
THREAD_MM = 1.0
"""A cut this short inside another piece is no more than the blade's own width."""


def refuse_damage(bench: Bench, every: Sequence[Unit], names: Sequence[str], drawn: BaseGeometry, through: Sequence[str]) -> None:
    """Raise Refused where these lines would run through another piece on a layer they cut."""
    for unit in every:
        if not set(unit.plies) & set(through):
            continue
        far = drawn.intersection(unit.kept.keep.buffer(-HURT_MM, quad_segs=2)).length
        if far > THREAD_MM:
            raise Refused(
                f"The cut for {bench.words.listed(list(names))} would run through {bench.words.piece(unit.name)}.",
                f"{length_text(far, bench.unit)} of the line lie inside it on the same layer.",
                "Lay the order again, or choose another fold.",
            )
