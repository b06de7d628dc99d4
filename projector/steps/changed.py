"""A dress changed in mid-cut: which pieces go on by their old line and are cut again in hand, which by their new one. Pure; mm.

`facts.missing_cloth` says before whether the cloth allows the change at all.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from shapely.geometry import Polygon

from calibration.errors import Refused
from projector.garment.pieces import Garment, Piece
from projector.lay.again import eased
from projector.lay.lay import Lay, Placed
from projector.lay.realise import faults_of
from projector.steps.copies import ENOUGH_MM, Way, copies_cut, goes_by_old_line, way_in_hand
from projector.steps.step import Step

ENDS_MM = (7.0, 5.0, 3.0)
"""Kept clear of the ends of cloth that is being cut, instead of the 10 mm of a new lay. Judgement, no source."""


def changed_in_cut(old: Garment, lay: Lay, steps: Sequence[Step], done: Collection[int], changed: Garment) -> tuple[Garment, Lay]:
    """The changed dress with each piece that is cut by its old line first (`was`), and the lay with where it is cut again.

    Raises Refused for a second change after something was cut again.
    """
    if any(steps[number].is_again and steps[number].is_fact for number in done):
        raise Refused(
            "This dress was already cut again once.",
            "A second change cannot be told from what was trimmed.",
            "Cut by the drawing on the phone, or cut those pieces from new cloth.",
        )
    was: dict[str, Piece] = {}
    ways: dict[int, Way] = {}
    for one, copies in copies_cut(old, lay, steps, done):
        regions = {region.id: region for region in one.regions}
        for name in dict.fromkeys(copy.kept.piece.name for copy in copies):
            mine, new = [copy for copy in copies if copy.kept.piece.name == name], changed.piece(name)
            if goes_by_old_line(new, mine, regions):
                was[name] = mine[0].kept.piece
                ways |= {id(copy.kept.placed): way_in_hand(new, copy.kept, regions)[0] for copy in mine}
    pieces = tuple(replace(piece, was=was.get(piece.name)) for piece in changed.pieces)
    others = {name: _shifted(one, ways) for name, one in lay.others.items()}
    return replace(changed, pieces=pieces), replace(_shifted(lay, ways), others=others)


def pushed_apart(laid: Lay, old: Garment, lay: Lay, steps: Sequence[Step], done: Collection[int]) -> tuple[Lay, list[str]]:
    """The lay with pieces that nothing is cut of pushed apart by what is missing, and what is wrong with it still.

    `laid`: `lay` with the changed pieces, in the same order. A pushed piece must lie on cloth that is still there.
    """
    every = lay.lays
    cut = {one.cloth.name: copies for one, copies in copies_cut(old, lay, steps, done)}
    begun = {copy.kept.piece.name for copies in cut.values() for copy in copies if copy.is_begun}
    eased_all = [_nearer_the_end(eased(one, begun)) for one in laid.lays]
    faults = [fault for one in eased_all for fault in faults_of(one)]
    for before, after in zip(every, eased_all, strict=True):
        have = {(id(copy.kept.placed), copy.ply): copy.have for copy in cut.get(before.cloth.name, ())}
        for was, now in zip(before.placed, after.placed, strict=True):
            outline = Polygon(now.outline)
            for ply in now.on if now.piece not in begun and before.cloth.name in cut else ():
                if not have[id(was), ply].buffer(ENOUGH_MM).covers(outline):
                    faults.append(f"{now.piece} would lie where the cloth is cut away")
    top, *rest = eased_all
    return replace(top, others={one.cloth.name: one for one in rest}), faults


def _nearer_the_end(lay: Lay) -> Lay:
    """The same lay with less kept clear of the cloth's ends, where that alone is wrong with it: the ends are trimmed square by now."""
    for end_mm in ENDS_MM if faults_of(lay) else ():
        nearer = replace(lay, cloth=replace(lay.cloth, end_mm=min(end_mm, lay.cloth.end_mm)))
        if not faults_of(nearer):
            return nearer
    return lay


def _shifted(lay: Lay, ways: Mapping[int, Way]) -> Lay:
    return replace(lay, placed=tuple(_moved(placed, ways.get(id(placed), (0.0, 0.0))) for placed in lay.placed))


def _moved(placed: Placed, way: Way) -> Placed:
    x, y = placed.shift
    return replace(placed, shift=(x + way[0], y + way[1])) if any(way) else placed
