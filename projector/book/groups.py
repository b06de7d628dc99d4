"""A group order: one style in one cloth for several people, each with a number. As typed, and followed to each one's own order."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, ClassVar

from calibration.errors import WrongInput
from calibration.records import AsTyped, record_from
from calibration.units import Unit
from calibration.yaml_reader import plain, read_record
from projector.book.orders import Order, found_file, order_from
from projector.lay.cloth import ClothCard
from projector.lay.print_place import Motif


@dataclass(frozen=True, slots=True)
class PersonCard:
    """One of the group. `style`: what differs from the group's. `sure`: odd measures were taken again and are right. `cut`: the day."""

    __pydantic_config__: ClassVar[dict[str, Any]] = {"extra": "forbid"}
    client: AsTyped | Mapping[str, Any]
    style: Mapping[str, Any] = field(default_factory=dict)
    sure: bool = False
    cut: AsTyped = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class PrintCard:
    """Where the print is placed on the first dress: a piece, and the point on it (mm: out from the centre, down)."""

    __pydantic_config__: ClassVar[dict[str, Any]] = {"extra": "forbid"}
    piece: str
    point: tuple[float, float]


@dataclass(frozen=True, slots=True)
class GroupCard:
    """A group as typed. The people's numbers are their places in the list."""

    __pydantic_config__: ClassVar[dict[str, Any]] = {"extra": "forbid"}
    people: tuple[PersonCard, ...]
    style: Mapping[str, Any] = field(default_factory=dict)
    cloth: Mapping[str, ClothCard] = field(default_factory=dict)
    unit: Unit | None = None
    motif: PrintCard | None = None
    name: AsTyped = ""
    day: AsTyped = ""
    note: str = ""
    sample: bool = False


@dataclass(frozen=True, slots=True)
class Person:
    """One of the group, ready: `tag` counts from 1."""

    tag: int
    order: Order
    card: PersonCard

    @property
    def name(self) -> str:
        """`2 Ilse Kovač`: told apart on every tag."""
        return f"{self.tag} {self.order.client.name.replace(':', ' ')}"

    @property
    def doubts(self) -> tuple[str, ...]:
        """What has to be measured again before anything of hers is laid."""
        body = self.order.body()
        odd = () if self.card.sure else body.doubts
        return tuple(str(each) for each in (*body.stops, *odd))

    @property
    def fitted(self) -> str:
        """The day of her last fitting for this group's dress, or empty."""
        days = [fitting.day or "day not written" for fitting in self.order.client.card.fittings if fitting.order == self.order.name]
        return days[-1] if days else ""


@dataclass(frozen=True, slots=True)
class Group:
    """The whole group; `motif` on the first person's draft."""

    name: str
    people: tuple[Person, ...]
    motif: Motif | None = None


def load_group(where: str, book: Path | None = None) -> Group:
    """A group by file or by name in the book, else among the samples. Raises WrongInput with the place in the file."""
    file = found_file(where, "groups", Path.cwd(), book, "the group")
    document, card = read_record(file, lambda document: (document, record_from(GroupCard, document.data, "group", document)))
    data: dict[str, Any] = dict(document.data)
    if not card.people:
        raise WrongInput(f"{file.name} names nobody.", "`people:` is an empty list.", "Write a line for each: `- client: NAME`.")
    name = card.name or file.stem
    people = []
    for tag, person in enumerate(card.people, start=1):
        style = {**plain(data.get("style", {})), **plain(person.style)}
        own = {"client": data["people"][tag - 1]["client"], "style": style, "cloth": data.get("cloth", {}), "name": name}
        if card.unit:
            own["unit"] = card.unit
        try:
            order = order_from(own, name, None, file.parent, book)
        except WrongInput as wrong:
            raise wrong.at(document.where(("people", tag - 1))) from wrong
        people.append(Person(tag, order, person))
    motif = Motif(card.motif.piece, card.motif.point) if card.motif else None
    return Group(name, tuple(people), motif)


def with_cut(data: Mapping[str, Any], tags: list[int], day: str) -> dict[str, Any]:
    """The group's file with these people marked as cut. Raises WrongInput for a number nobody has."""
    people = [dict(person) for person in data["people"]]
    for tag in tags:
        if not 1 <= tag <= len(people):
            raise WrongInput(f"Nobody has number {tag}.", f"The group has {len(people)} people.", "Numbers count from 1 down the list.")
        people[tag - 1] |= {"cut": day}
    return {**data, "people": people}
