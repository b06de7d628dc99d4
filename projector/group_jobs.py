"""A group as a job: who is ready, each dress by itself and all together in one cloth, what that costs and saves."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from calibration.made import made_by
from calibration.units import Unit, cloth_text, length_text, yards_text
from projector.book.groups import Group, Person
from projector.garment.pieces import Garment, Piece
from projector.lay.cloth import Budget, Cloth
from projector.lay.errors import ClothTooSmall
from projector.lay.lay import Lay
from projector.lay.needs import cost_of, price_words
from projector.lay.print_place import Motif
from projector.lay.stage import Ask, lay_out
from projector.lay.together import Saving, together
from projector.lay_jobs import search_tools
from projector.making import garment_of
from projector.paper.figure import as_svg
from projector.paper.group_pdf import GroupSheet, PersonRow, group_pdf, tags_pdf
from projector.paper.lay_figure import lay_figure
from projector.paper.lay_pdf import lay_pdf
from projector.paper_jobs import cost_words


@dataclass(frozen=True, slots=True)
class Ready:
    """One whose measures are settled: her pieces and her own lay. `motif`: the print's place on her dress."""

    person: Person
    garment: Garment
    lay: Lay
    motif: Motif | None


@dataclass(frozen=True, slots=True)
class GroupWork:
    """`ready` are laid, `waiting` are measured again first. `whole`: all together, None where that was not possible (`why_not`)."""

    group: Group
    ready: tuple[Ready, ...]
    waiting: tuple[Person, ...]
    whole: Lay | None
    why_not: str

    def savings(self) -> dict[str, Saving]:
        """By cloth: together against each apart."""
        if self.whole is None:
            return {}
        apart: dict[str, float] = {}
        for each in self.ready:
            for one in each.lay.lays:
                apart[one.cloth.name] = apart.get(one.cloth.name, 0.0) + one.cloth_needed_mm
        return {one.cloth.name: Saving(one.cloth_needed_mm, apart[one.cloth.name]) for one in self.whole.lays}

    def as_json(self) -> dict[str, Any]:
        """What `--json` tells."""
        savings = self.savings()
        return {
            "name": self.group.name,
            "people": [self._person(person) for person in self.group.people],
            "together_mm": {name: saving.together_mm for name, saving in savings.items()},
            "apart_mm": {name: saving.apart_mm for name, saving in savings.items()},
        }

    def _person(self, person: Person) -> dict[str, Any]:
        own = next((each for each in self.ready if each.person.tag == person.tag), None)
        return {
            "tag": person.tag,
            "client": person.order.client.name,
            "measured": not person.doubts,
            "doubts": list(person.doubts),
            "cut": person.card.cut,
            "fitted": person.fitted,
            "cloth_mm": {one.cloth.name: one.cloth_needed_mm for one in own.lay.lays} if own else {},
            "motif": list(own.motif.point) if own and own.motif else None,
        }


LEAST_SAVED_MM = 10.0
"""Less than a centimetre is no saving."""


def _level(piece: Piece, point_y: float) -> tuple[str, float]:
    """The body's level nearest to a place of the piece (its top edge where it has none): name and y."""
    name = min(piece.levels, key=lambda each: abs(piece.level_y(each) - point_y), default="")
    return name, _level_or_top(piece, name)


def _level_or_top(piece: Piece, name: str) -> float:
    return piece.level_y(name) if name in piece.levels else min(y for _, y in piece.seam_line)


def motif_as_on(first: Garment, motif: Motif, other: Garment) -> Motif | None:
    """The first dress's motif on another body: as far out from the centre and as far from the same level. None: no such piece."""
    if motif.piece not in {piece.name for piece in other.pieces}:
        return None
    level, from_y = _level(first.piece(motif.piece), motif.point[1])
    to_y = _level_or_top(other.piece(motif.piece), level)
    return replace(motif, point=(motif.point[0], motif.point[1] - from_y + to_y))


def work_out(group: Group, trials: int) -> GroupWork:
    """Draft and lay everyone whose measures are settled. Raises what drafting and laying raise.

    A print is placed on the first person's dress: while her measures are doubtful nobody knows where it lies, and nobody is laid.
    """
    settled = [person for person in group.people if not person.doubts]
    waiting = tuple(person for person in group.people if person.doubts)
    if group.motif and group.people[0] in waiting:
        why_not = f"The print is placed on {group.people[0].name}'s dress: nobody is laid before her measures are settled."
        return GroupWork(group, (), waiting, None, why_not)
    garments = {person.tag: garment_of(person.order) for person in settled}
    first = next(iter(garments.values()), None)
    ready = []
    for person in settled:
        garment = garments[person.tag]
        motif = motif_as_on(first, group.motif, garment) if group.motif and first else None
        ask = Ask(budget=Budget(trials, 1), motif=motif)
        ready.append(Ready(person, garment, lay_out(garment, person.order.cloths, ask, search_tools()), motif))
    whole, why_not = _all_together(ready, trials)
    return GroupWork(group, tuple(ready), waiting, whole, why_not)


def _all_together(ready: list[Ready], trials: int) -> tuple[Lay | None, str]:
    """All in one cloth, bought as one length; a placed print asks for each dress's own place and is laid apart."""
    if len(ready) < 2:
        return None, "Fewer than two are ready to be cut."
    if any(each.motif for each in ready):
        return None, "A placed print is laid dress by dress, so that each gets the motif where the first has it."
    whole = together({each.person.name: each.garment for each in ready})
    cloths = {name: replace(cloth, lengths_mm=()) for name, cloth in ready[0].person.order.cloths.items()}
    try:
        return lay_out(whole, cloths, Ask(budget=Budget(trials, 1)), search_tools()), ""
    except ClothTooSmall as cause:
        return None, str(cause)


def tags_of(ready: tuple[Ready, ...]) -> Iterator[tuple[int, str, str, str, str]]:
    """(number, client, piece, `1 of 2`, cloth) for every single part that is cut, person by person."""
    for each in ready:
        for piece in each.garment.pieces:
            for copy in range(1, piece.count + 1):
                which = f"{copy} of {piece.count}" if piece.count > 1 else ""
                yield each.person.tag, each.person.order.client.name, piece.name, which, piece.cloth


def cloth_words(work: GroupWork) -> list[str]:
    """A sentence a cloth: together, apart, saved, cost; or why they are not laid together and what all need."""
    cloths = work.ready[0].person.order.cloths if work.ready else {}
    if work.whole is None:
        needed: dict[str, float] = {}
        for one in (one for each in work.ready for one in each.lay.lays):
            needed[one.cloth.name] = needed.get(one.cloth.name, 0.0) + one.cloth_needed_mm
        return [work.why_not, *(_sentence(f"{name}: {cloth_text(mm)} for all", cloths.get(name), mm) for name, mm in needed.items())]
    return [_saving_words(name, saving, cloths.get(name)) for name, saving in work.savings().items()]


def _saving_words(name: str, saving: Saving, cloth: Cloth | None) -> str:
    saved, apart = saving.apart_mm - saving.together_mm, cloth_text(saving.apart_mm)
    if saved < LEAST_SAVED_MM:  # one dress after the other takes no more than that, whatever the search together found
        return _sentence(f"{name}: {apart} one after the other; together saves nothing", cloth, saving.apart_mm)
    words = f"{name}: together {cloth_text(saving.together_mm)}, apart {apart}; saves {saved / 10:.0f} cm"
    told = _sentence(words, cloth, saving.together_mm)
    if cloth is None or not cloth.price:
        return told
    return f"{told[:-1]} instead of {price_words(cost_of(cloth, saving.apart_mm), cloth.currency)}."


def _sentence(words: str, cloth: Cloth | None, needed_mm: float) -> str:
    """With the cost where the cloth has a price."""
    return "; ".join(part for part in (words, cost_words(cloth, needed_mm)) if part) + "."


def sheet_of(work: GroupWork, made: str) -> GroupSheet:
    """What the group's page shows."""
    laid = {each.person.tag: each for each in work.ready}
    rows = []
    for person in work.group.people:
        own = laid.get(person.tag)
        cloth = ", ".join(_short(one, person.order.client.shown) for one in own.lay.lays) if own else "not laid yet"
        measured = "again" if person.doubts else "yes"
        cells = (str(person.tag), person.order.client.name, measured, person.card.cut or "not yet", person.fitted or "not yet", cloth)
        rows.append(PersonRow(cells, person.doubts))
    motifs = [_motif_words(each, each.motif) for each in work.ready if each.motif]
    return GroupSheet(work.group.name, made, rows, cloth_words(work), motifs)


def _short(lay: Lay, unit: Unit) -> str:
    """A cloth's length as she buys it, in one unit: the row has no room for both."""
    return f"{lay.cloth.name} " + (yards_text(lay.cloth_needed_mm) if unit == "in" else f"{lay.cloth_needed_mm / 1000:.2f} m")


def _motif_words(ready: Ready, motif: Motif) -> str:
    """Where it sits, as her own tape reads it."""
    out, down = (length_text(value, ready.person.order.client.shown) for value in motif.point)
    return f"{ready.person.name}: the motif on {motif.piece}, {out} out and {down} down."


def group_files(work: GroupWork, sheet: str) -> Iterator[tuple[str, str | bytes]]:
    """(file name, content) of everything a group has on paper."""
    yield "group.pdf", group_pdf(sheet_of(work, made_by(f"group {work.group.name}").words), sheet)
    yield "tags.pdf", tags_pdf(tags_of(work.ready), work.group.name, sheet)
    if work.whole:
        title = f"{work.group.name}: how all the pieces lie"
        yield "lay.pdf", lay_pdf(work.whole, title, work.ready[0].person.order.client.shown)
        yield "lay.svg", as_svg(lay_figure(work.whole), title)
