"""Clients, dresses, lays and fittings: what the page asks of the book and the workers."""

from asyncio import to_thread
from collections.abc import Awaitable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Protocol, get_args

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from calibration.errors import WrongInput
from calibration.keep import ABSENT, fingerprint_of, load_kept, read_kept
from calibration.records import record_from
from calibration.units import UNITS, length_text, signed_mm
from calibration.yaml_reader import document_from, plain
from projector.body.body import Body
from projector.body.kinds import KINDS
from projector.book import book as kept
from projector.book.cards import Fitting, FittingKind
from projector.book.forget import forget, still_named
from projector.book.orders import client_from, names_in
from projector.book.places import configs_folder
from projector.draft.adjust import LINES, adjust_from
from projector.draft.style import (
    CIRCLE_TURNS,
    EASES,
    HELP,
    OPTIONAL_MM,
    RANGES_MM,
    Neck,
    Princess,
    Skirt,
    Sleeve,
    Style,
    Zip,
    style_from_mapping,
)
from projector.lay.lay import PLANS
from projector.steps.step import Step
from projector.web.answers import part, sent, telling, told
from projector.web.beside_routes import BesideDoors

CHOICES: dict[str, tuple[Any, ...]] = {
    "neck": get_args(Neck), "princess": get_args(Princess), "sleeve": get_args(Sleeve), "skirt": get_args(Skirt), "zip": get_args(Zip),
    "length": ("knee", "full"), "ease": tuple(EASES), "circle_turn": CIRCLE_TURNS, "bodice": (True, False), "lining": (True, False),
    "facings": (True, False),
}  # fmt: skip


class PagesDoor(BesideDoors, Protocol):
    """What the page may ask beyond the snapshot."""

    def warm(self) -> None: ...

    def look(self, order: dict[str, Any], with_pieces: bool) -> Awaitable[Any]: ...

    def lay(self, order: dict[str, Any], fold: str | None, motif: dict[str, Any] | None = None) -> Awaitable[Any]: ...

    def fitting(self, order: str, pinned: dict[str, Any]) -> Awaitable[Any]: ...

    def by_hand(self, act: dict[str, Any]) -> Awaitable[Any]: ...

    def open_order(self, name: str, order: dict[str, Any] | None = None) -> Awaitable[None]: ...

    def changeable(self, step: Step) -> list[bool]: ...

    def retape(self, place: int, typed: str) -> Awaitable[None]: ...


def facts() -> dict[str, Any]:
    """What measures and styles there are; the same for every client."""
    measures = [
        {"key": kind.key, "trade": kind.trade, "iso": kind.iso, "how": kind.how, "sort": kind.sort, "shop": kind.shop} for kind in KINDS
    ]
    return {
        "measures": measures,
        "units": UNITS,
        "choices": CHOICES,
        "ranges": RANGES_MM,
        "optional": OPTIONAL_MM,
        "help": HELP,
        "default": Style().as_mapping(),
        "plans": PLANS,
        "lines": [_line(key, words) for key, words in LINES.items()],
        "kinds": get_args(FittingKind),
    }


def _line(key: str, words: str) -> dict[str, str]:
    """`side seam at the waist: out or in` taken apart: what is moved, which way is plus, which minus."""
    what, _, ways = words.rpartition(": ")
    more, _, less = ways.partition(" or ")
    return {"key": key, "words": what, "more": more, "less": less}


def _checked_fitting(pinned: dict[str, Any], unit: Any) -> None:
    """Something was pinned, and every amount can be read and is an alteration of a known line. Raises WrongInput."""
    fitting = _fitting(pinned)
    if not (fitting.changes or fitting.left or fitting.right or fitting.note.strip()):
        raise WrongInput("Nothing was pinned.", "The fitting holds no line and no note.", "Type what was pinned, then keep it.")
    for typed in (fitting.changes, fitting.left, fitting.right):
        adjust_from({line: signed_mm(text, unit) for line, text in typed.items()})


def _fitting(pinned: object) -> Fitting:
    return record_from(Fitting, pinned, "fitting")


def body_told(body: Body, unit: Any) -> dict[str, Any]:
    """Measures with origin and doubt, and what stops."""
    return {
        "measures": {
            key: {"mm": round(each.mm, 1), "shown": length_text(each.mm, unit), "from": each.origin, "doubt": each.doubt}
            for key, each in body.measures.items()
        },
        "stop": [{"key": stop.key, "text": str(stop)} for stop in body.stops],
        "doubt": [{"key": doubt.key, "text": str(doubt)} for doubt in body.doubts],
    }


def _found(book: Path, kind: str, name: str) -> tuple[Path, bool]:
    """The file of a name, and whether it is a sample. Raises WrongInput."""
    clean = kept.checked_name(name)
    for folder, is_sample in ((book, False), (configs_folder(), True)):
        file = folder / kind / f"{clean}.yaml"
        if file.is_file():
            return file, is_sample
    raise WrongInput(f"There is no {clean!r}.", f"Neither the book nor the samples have it under {kind}.", "Choose from the list.")


def _as_it_stands(file: Path) -> tuple[dict[str, Any], str]:
    """A card's values and the fingerprint they were read under. Raises WrongInput, Damaged when an older version would do."""

    def read(data: bytes) -> tuple[dict[str, Any], str]:
        values = plain(document_from(data, file.name).data)
        if not isinstance(values, dict):
            raise WrongInput(f"{file.name} is no card.", "`name: value` lines are wanted.", "See the samples.")
        return values, fingerprint_of(data)

    return load_kept(file, read)


@dataclass(frozen=True, slots=True)
class BookDoor:
    """Clients, orders, dresses, lays and fittings."""

    pages: PagesDoor

    async def whole(self, _: Request) -> Response:
        own = {kind: [entry.name for entry in kept.entries(self.pages.book, kind)] for kind in kept.KINDS}
        samples = {kind: [name for name in names_in(kind, self.pages.book) if name not in own[kind]] for kind in kept.KINDS}
        return told({"own": own, "samples": samples})

    async def read(self, request: Request) -> Response:
        kind = request.path_params["kind"]
        file, is_sample = _found(self.pages.book, kind, request.path_params["name"])
        data, seen = _as_it_stands(file)
        return told({"data": data, "seen": ABSENT if is_sample else seen, "is_sample": is_sample})

    async def keep(self, request: Request) -> Response:
        data = await sent(request)
        kind = request.path_params["kind"]
        entry = await to_thread(kept.put, self.pages.book, kind, part(data, "data", dict), data.get("seen"))  # a lock may make it wait
        return told({"name": entry.name, "seen": read_kept(entry.file).fingerprint})

    async def forget(self, request: Request) -> Response:
        name = f"{request.path_params['kind']}/{request.path_params['name']}"
        removed = await to_thread(forget, self.pages.book, name)
        left = await to_thread(still_named, self.pages.book, request.path_params["name"])
        return told({"removed": [file.name for file in removed], "left": left})

    async def check(self, request: Request) -> Response:
        data = await sent(request)
        client = client_from(part(data, "client", dict))
        style = style_from_mapping(data.get("style") or {})
        body = client.body(needs_sleeve=style.is_sleeved, needs_bodice=style.bodice)
        return told(body_told(body, client.shown))

    async def look(self, request: Request) -> Response:
        data = await sent(request)
        return told(await self.pages.look(part(data, "order", dict), data.get("pieces") is True))

    async def lay(self, request: Request) -> Response:
        data = await sent(request)
        fold = data.get("fold") or None
        motif = part(data, "motif", dict) if data.get("motif") else None
        return told(await self.pages.lay(part(data, "order", dict), str(fold) if fold else None, motif))

    async def by_hand(self, request: Request) -> Response:
        return told(await self.pages.by_hand(part(await sent(request), "act", dict)))

    async def open_order(self, request: Request) -> Response:
        data = await sent(request)
        order = part(data, "order", dict) if data.get("order") else None
        await self.pages.open_order(kept.checked_name(part(data, "name", str)), order)
        return told({})

    async def tape(self, request: Request) -> Response:
        data = await sent(request)
        await self.pages.retape(part(data, "place", int), part(data, "reads", str))
        return told({})

    async def fitting(self, request: Request) -> Response:
        data = await sent(request)
        pinned = part(data, "fitting", dict)
        file, is_sample = _found(self.pages.book, "clients", request.path_params["name"])
        card, seen = _as_it_stands(file)
        _checked_fitting(pinned, card.get("unit"))
        before = card.get("fittings", [])
        if before and _fitting(before[-1]) == _fitting(pinned):  # tapped twice: let out once
            return told({"name": card["name"], "fittings": len(before)})
        card["fittings"] = [*before, pinned]
        entry = await to_thread(kept.put, self.pages.book, "clients", card, ABSENT if is_sample else seen)
        return told({"name": entry.name, "fittings": len(card["fittings"])})

    async def try_fitting(self, request: Request) -> Response:
        data = await sent(request)
        return told(await self.pages.fitting(kept.checked_name(part(data, "order", str)), part(data, "fitting", dict)))

    async def what_there_is(self, _: Request) -> Response:
        return told(facts())

    def routes(self) -> list[Route]:
        """Every route of the book."""
        return [
            Route("/facts", self.what_there_is),
            Route("/book", telling(self.whole)),
            Route("/book/{kind:str}/{name:str}", telling(_only(("clients", "orders", "styles", "cloths"), self.read))),
            Route("/book/{kind:str}", telling(_only(("clients", "orders"), self.keep)), methods=["POST"]),
            Route("/book/{kind:str}/{name:str}/forget", telling(_only(("clients", "orders"), self.forget)), methods=["POST"]),
            Route("/fitting/{name:str}", telling(self.fitting), methods=["POST"]),
            Route("/fit", telling(self.try_fitting), methods=["POST"]),
            Route("/check", telling(self.check), methods=["POST"]),
            Route("/look", telling(self.look), methods=["POST"]),
            Route("/lay", telling(self.lay), methods=["POST"]),
            Route("/hand", telling(self.by_hand), methods=["POST"]),
            Route("/open", telling(self.open_order), methods=["POST"]),
            Route("/tape", telling(self.tape), methods=["POST"]),
        ]


def _only(kinds: tuple[str, ...], handler: Any) -> Any:
    async def route(request: Request) -> Response:
        if request.path_params["kind"] not in kinds:
            raise WrongInput("That is not in the book.", f"There are {', '.join(kinds)}.", "Load the page again.")
        answer: Response = await handler(request)
        return answer

    return route
