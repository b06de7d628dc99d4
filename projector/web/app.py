"""The page's door: files, state, commands, photographs. Clients and dresses are in book_routes, who may speak in guard.

Nothing here changes the snapshot but through the desk.
"""

import asyncio
import json
import os
import shutil
import struct
import tempfile
import warnings
from collections.abc import AsyncIterator
from dataclasses import asdict, dataclass, field
from io import BytesIO
from pathlib import Path
from typing import Any, BinaryIO, Protocol

import segno
from PIL import Image
from starlette.applications import Starlette
from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response, StreamingResponse
from starlette.routing import Route

from calibration.errors import Refused, WrongInput
from calibration.units import mm_from_text
from projector.session.commands import BY_NAME, OFFERS, Command
from projector.session.snapshot import Snapshot, Work
from projector.web.answers import refusal, sent, telling, told
from projector.web.book_routes import BookDoor, PagesDoor
from projector.web.guard import COOKIE, Guard
from projector.web.step_drawing import step_drawing

LARGEST_PHOTO_BYTES = 40 * 1024 * 1024
LARGEST_PHOTO_PIXELS = 50_000_000
MOST_PHOTOS = 6
MOST_UPLOADS = 2
"""Sent at the same time; each may fill 240 MB of the disk's folder for passing files, none of it memory."""
STATIC = Path(__file__).parent / "static"
FILES = {
    "page.css": "text/css", "page.js": "text/javascript", "table.js": "text/javascript", "client.js": "text/javascript",
    "dress.js": "text/javascript", "cut.js": "text/javascript", "tools.js": "text/javascript", "figure.js": "text/javascript",
    "en.json": "application/json", "fr.json": "application/json",
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
    known = {*BY_NAME[name].args, "on", "number"} if name in BY_NAME else set(args)
    if not set(args) <= known:
        raise WrongInput(f"{name} does not take that.", f"It takes {', '.join(sorted(known)) or 'nothing'}.", "Load the page again.")
    return Command(name, args, step)


def checked_photo(source: BinaryIO) -> None:
    """Kind and size of a photograph from its header alone, before anything decodes it. Raises WrongInput."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(source, formats=("JPEG", "PNG")) as header:
                width, height = header.size
    except (OSError, ValueError, SyntaxError, struct.error, Image.DecompressionBombError, Image.DecompressionBombWarning) as cause:
        raise WrongInput("This is no photograph.", "JPEG or PNG is wanted.", "Send it as the camera took it.") from cause
    if width * height > LARGEST_PHOTO_PIXELS:
        raise WrongInput(
            "This photograph has too many pixels.", f"{width} by {height}; 50 million are taken.", "Choose a smaller size in the camera."
        )


def _kept(source: BinaryIO, file: Path) -> Path:
    """The photograph as a file of our own name. Raises WrongInput for anything else."""
    if source.seek(0, os.SEEK_END) > LARGEST_PHOTO_BYTES:
        raise WrongInput("This photograph is too large.", "It is over 40 MB.", "Send it as the camera took it, as JPEG.")
    source.seek(0)
    checked_photo(source)
    source.seek(0)
    with file.open("wb") as out:
        shutil.copyfileobj(source, out)
    return file


async def _photos(request: Request, folder: Path, unit: Any) -> tuple[list[Path], float | None, float | None]:
    kept: list[Path] = []
    async with request.form(max_files=MOST_PHOTOS, max_fields=8) as form:
        for number, photo in enumerate(form.getlist("photo")):
            if isinstance(photo, UploadFile):  # never a name from outside; off the loop, which answers others meanwhile
                kept.append(await asyncio.to_thread(_kept, photo.file, folder / f"photo-{number + 1}.jpg"))
        bars = _bar(form.get("bar_x"), unit), _bar(form.get("bar_y"), unit)
    if not kept:
        raise WrongInput("No photograph came.", "The form was empty.", "Choose one or two photographs.")
    return kept, *bars


@dataclass(frozen=True, slots=True)
class Door:
    """The routes of one desk: page files, state, commands, steps, photographs. `address`: what the code holds."""

    desk: DeskDoor
    sheets: Path | None
    address: str
    uploads: set[Request] = field(default_factory=set)

    async def page(self, _: Request) -> Response:
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
            {"drawing": step_drawing(shown), "layers": layers, "needs": list(shown.needs), "op": shown.op, "is_fact": shown.is_fact}
        )

    async def events(self, _: Request) -> Response:
        async def lines() -> AsyncIterator[str]:
            async for snapshot in self.desk.subscribe():
                yield f"data: {json.dumps(_state(snapshot))}\n\n" if snapshot else "event: alive\ndata:\n\n"

        return StreamingResponse(lines(), media_type="text/event-stream")

    async def photographs(self, request: Request) -> Response:
        if self.sheets is None:
            raise WrongInput("The printed sheets are not known.", "No sheets.json was named.", "Start with --sheets sheets.json.")
        if len(self.uploads) >= MOST_UPLOADS:
            raise Refused("Photographs are coming in already.", f"{len(self.uploads)} are being sent.", "Wait until they are read.")
        self.uploads.add(request)
        try:
            with tempfile.TemporaryDirectory() as folder:
                kept, bar_x, bar_y = await _photos(request, Path(folder), self.desk.snapshot.unit)
                await self.desk.solve(kept, self.sheets, bar_x, bar_y)
        finally:
            self.uploads.discard(request)
        return JSONResponse(_state(self.desk.snapshot))

    async def code(self, _: Request) -> Response:
        drawn = BytesIO()
        segno.make(self.address or "-", error="m").save(drawn, kind="svg", border=4, dark="#000", light="#fff", xmldecl=False, svgns=True)
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
    address: str = "",
) -> Guard:
    """The page of one desk, guarded. `token` empty: no code is needed. `address`: what the code on the table holds."""
    routes = [*Door(desk, sheets, address).routes(), *(BookDoor(pages).routes() if pages else [])]
    return Guard(Starlette(routes=routes, exception_handlers={HTTPException: _told_http}), token, hosts)
