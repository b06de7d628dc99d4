"""The page's door: files, state, commands, photographs. Clients and dresses are in book_routes, who may speak in guard.

Nothing here changes the snapshot but through the desk.
"""

import json
import tempfile
from collections.abc import AsyncIterator, Sequence
from dataclasses import asdict, dataclass
from io import BytesIO
from pathlib import Path
from typing import Any, Protocol

import segno
from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response, StreamingResponse
from starlette.routing import Route

from calibration.errors import WrongInput
from calibration.units import mm_from_text
from projector.session.commands import BY_NAME, OFFERS, Command
from projector.session.snapshot import Snapshot, Work
from projector.web.answers import refusal, sent, telling, told
from projector.web.beside_routes import BesideDoor
from projector.web.book_routes import BookDoor, PagesDoor
from projector.web.guard import COOKIE, Guard
from projector.web.step_drawing import step_drawing, tapes_told
from projector.web.uploads import photos_in

STATIC = Path(__file__).parent / "static"
SCRIPTS = (
    "page", "tools", "table", "client", "order", "dress", "cloth", "hand", "cut", "tape", "beside", "fitting", "voice", "figure",
    "picture",
)  # fmt: skip
FILES = {
    "page.css": "text/css", "en.json": "application/json", "fr.json": "application/json", "fr_said.json": "application/json",
    **{f"{name}.js": "text/javascript" for name in SCRIPTS},
}  # fmt: skip
"""Every file of the page; a name that is not here is not looked for on the disk."""


class DeskDoor(Protocol):
    """What the page may ask of the desk."""

    @property
    def snapshot(self) -> Snapshot: ...

    @property
    def work(self) -> Work: ...

    def apply(self, command: Command) -> Snapshot: ...

    def subscribe(self) -> AsyncIterator[Snapshot | None]: ...

    async def solve(self, photos: list[Path], sheets: Path, bar_x_mm: float | None = None, bar_y_mm: float | None = None) -> Any: ...


def _state(snapshot: Snapshot) -> dict[str, Any]:
    return {"format": 1, **asdict(snapshot)}


def _bar(text: object, unit: Any) -> float | None:
    """A bar as the tape reads; empty: not taped."""
    return mm_from_text(str(text), unit) if text not in (None, "") else None


async def _command(request: Request) -> Command:
    data = await sent(request)
    name, args, step = data.get("name"), data.get("args", {}), data.get("from_step")
    is_step = step is None or (isinstance(step, int) and not isinstance(step, bool))
    if not isinstance(name, str) or not isinstance(args, dict) or not is_step or not set(data) <= {"name", "args", "from_step"}:
        raise WrongInput("That is not a command.", "name, args and from_step are wanted.", "Load the page again.")
    known = {*BY_NAME[name].args, "on"} if name in BY_NAME else set(args)
    if not set(args) <= known:
        raise WrongInput(f"{name} does not take that.", f"It takes {', '.join(sorted(known)) or 'nothing'}.", "Load the page again.")
    return Command(name, args, step)


@dataclass(frozen=True, slots=True)
class Door:
    """The routes of one desk: page files, state, commands, steps, photographs. `addresses`: what the code holds, by network."""

    desk: DeskDoor
    sheets: Path | None
    addresses: Sequence[str]
    pages: PagesDoor | None = None

    async def page(self, _: Request) -> Response:
        if self.pages is not None:
            self.pages.warm()
        return Response((STATIC / "page.html").read_bytes(), media_type="text/html")

    async def file(self, request: Request) -> Response:
        name = request.path_params["name"]
        if name not in FILES:
            raise HTTPException(404)
        return Response((STATIC / name).read_bytes(), media_type=FILES[name])

    async def state(self, _: Request) -> Response:
        return JSONResponse(_state(self.desk.snapshot))

    async def offers(self, _: Request) -> Response:
        return told({"offers": [asdict(offer) for offer in OFFERS]})

    async def command(self, request: Request) -> Response:
        return JSONResponse(_state(self.desk.apply(await _command(request))))

    async def steps(self, _: Request) -> Response:
        listed = [{"title": step.title, "op": step.op, "cloth": step.cloth, "is_fact": step.is_fact} for step in self.desk.work.steps]
        return told({"order": self.desk.work.order, "steps": listed})

    async def step(self, request: Request) -> Response:
        number = request.path_params["number"]
        if number >= len(self.desk.work.steps):
            raise HTTPException(404)
        shown = self.desk.work.steps[number]
        layers = {"lying": len(shown.plies), "through": len(shown.through)}
        return told(
            {
                "drawing": step_drawing(shown), "layers": layers, "needs": list(shown.needs), "op": shown.op, "is_fact": shown.is_fact,
                "tapes": tapes_told(shown, self.desk.work.unit, self.pages.changeable(shown) if self.pages else []),
            }
        )  # fmt: skip

    async def events(self, _: Request) -> Response:
        async def lines() -> AsyncIterator[str]:
            async for snapshot in self.desk.subscribe():
                yield f"data: {json.dumps(_state(snapshot))}\n\n" if snapshot else "event: alive\ndata:\n\n"

        return StreamingResponse(lines(), media_type="text/event-stream")

    async def photographs(self, request: Request) -> Response:
        if self.sheets is None:
            raise WrongInput("The printed sheets are not known.", "No sheets.json was named.", "Start with --sheets sheets.json.")
        with tempfile.TemporaryDirectory() as folder:
            kept, typed = await photos_in(request, Path(folder))
            bar_x, bar_y = (_bar(typed.get(name), self.desk.snapshot.unit) for name in ("bar_x", "bar_y"))
            await self.desk.solve(kept, self.sheets, bar_x, bar_y)
        return JSONResponse(_state(self.desk.snapshot))

    async def told_addresses(self, _: Request) -> Response:
        """Where phones find this page; none: it was started for this machine alone."""
        return told({"addresses": [address.partition("?")[0] for address in self.addresses]})

    async def code(self, request: Request) -> Response:
        drawn, place = BytesIO(), request.query_params.get("n", "0")
        if not (place.isascii() and place.isdigit()) or len(place) > 2 or int(place) >= max(1, len(self.addresses)):
            raise HTTPException(404)
        segno.make(self.addresses[int(place)] if self.addresses else "-", error="m").save(
            drawn, kind="svg", border=4, dark="#000", light="#fff", xmldecl=False, svgns=True
        )
        return Response(drawn.getvalue(), media_type="image/svg+xml")

    async def leave(self, _: Request) -> Response:
        answer = told({})
        answer.delete_cookie(COOKIE)
        return answer

    def routes(self) -> list[Route]:
        """Every route but the book's."""
        return [
            Route("/", self.page),
            Route("/file/{name:str}", self.file),
            Route("/state", self.state),
            Route("/offers", self.offers),
            Route("/events", self.events),
            Route("/steps", self.steps),
            Route("/steps/{number:int}", self.step),
            Route("/code.svg", self.code),
            Route("/addresses", self.told_addresses),
            Route("/command", telling(self.command), methods=["POST"]),
            Route("/photos", telling(self.photographs), methods=["POST"]),
            Route("/leave", self.leave, methods=["POST"]),
        ]


async def _told_http(_: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    what = WrongInput("There is no such page." if error.status_code == 404 else "That was refused.", error.detail, "Load the page again.")
    answer = refusal(what)
    answer.status_code = error.status_code
    return answer


def make_app(
    desk: DeskDoor,
    sheets: Path | None,
    token: str = "",
    hosts: tuple[str, ...] = ("127.0.0.1", "localhost"),
    pages: PagesDoor | None = None,
    addresses: Sequence[str] = (),
) -> Guard:
    """The page of one desk, guarded. `token` empty: no code is needed. `addresses`: what the code holds, one for each
    network; the caller's own list, which changes with a new code."""
    routes = [
        *Door(desk, sheets, addresses, pages).routes(),
        *(BookDoor(pages).routes() if pages else []),
        *(BesideDoor(desk, pages).routes() if pages else []),
    ]
    return Guard(Starlette(routes=routes, exception_handlers={HTTPException: _told_http}), token, hosts)
