"""A number changed at a tape check: the line moves by what was typed, seams meet, nothing overlaps, and what is cut stays."""

import json
from functools import lru_cache

import pytest

from calibration.errors import Refused
from projector.book.orders import Order, load_order
from projector.garment.pieces import Garment
from projector.lay.cloth import Budget, Light
from projector.lay.lay import Lay
from projector.lay_jobs import search_tools
from projector.making import garment_of, lay_of
from projector.retape import Retaped, retape
from projector.steps.make import make_steps
from projector.steps.step import Step, TapeRead
from tests.garment_checker import corners, sewing
from tests.garment_checker.model import read
from tests.lay_checker.check import faults as lay_faults

EIGHTH_MM = 25.4 / 8
MEETS = (sewing.lengths, sewing.partners, sewing.matched, sewing.notches_meet, corners.declared, corners.run_on)
READ_MM = 0.5
"""A tape is read to 1/32 in (0.8 mm) at best."""


@lru_cache
def laid() -> tuple[Order, Garment, Lay, tuple[Step, ...]]:
    """A small dress, its first lay and steps."""
    order = load_order("tomasina_plain")
    garment = garment_of(order)
    lay = lay_of(order, garment, "lengthwise", Budget(1, 1), search_tools())
    return order, garment, lay, make_steps(garment, lay, "in")


def read_of(piece: str, where: str, steps: tuple[Step, ...] | None = None) -> TapeRead:
    return next(read for step in steps or laid()[3] for read in step.tapes if (read.piece, read.where) == (piece, where))


def lay_anew(order: Order, garment: Garment) -> Lay:
    raise AssertionError("there was room to ease it in")


def changed(piece: str, where: str, by_mm: float, done: tuple[int, ...] = ()) -> Retaped:
    order, _, lay, steps = laid()
    read = read_of(piece, where)
    return retape(order, lay, steps, done, read, read.sewn_mm + by_mm, {}, Light(), lay_anew)


@pytest.mark.parametrize(("piece", "where", "by"), [("skirt front", "hip", 2), ("back", "bust", -3), ("skirt back", "", 4)])
def test_the_tape_reads_what_was_typed_and_all_is_sound(piece: str, where: str, by: int) -> None:
    wanted = read_of(piece, where).sewn_mm + by * EIGHTH_MM
    made = changed(piece, where, by * EIGHTH_MM)
    assert read_of(piece, where, made.steps).sewn_mm == pytest.approx(wanted, abs=READ_MM)
    pieces = json.loads(json.dumps(made.garment.as_json()))
    lay = json.loads(json.dumps(made.lay.as_json()))
    assert lay_faults(lay, pieces) == []
    sewn = read(pieces)
    assert [fault for check in MEETS for fault in check(sewn)] == []
    assert made.is_same_way


def test_what_is_cut_never_changes() -> None:
    steps = laid()[3]
    cut = next(n for n, step in enumerate(steps) if step.is_fact and any(one.piece == "skirt front" for one in step.frees))
    with pytest.raises(Refused, match="skirt front"):
        changed("skirt back", "hip", EIGHTH_MM, (cut,))
    assert changed("back", "bust", -EIGHTH_MM, (cut,)).changes.keys() == {"side_underarm"}


def test_a_number_without_a_seam_of_its_own_is_refused() -> None:
    with pytest.raises(Refused, match="front centre"):
        changed("front centre", "bust", EIGHTH_MM)
    with pytest.raises(Refused, match="60 mm is the most"):
        changed("skirt front", "hip", 90.0)
