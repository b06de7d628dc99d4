"""The page's door: state, commands, photographs. Small on purpose; the pages themselves are files beside this one.

Nothing here changes the snapshot but through the desk. A page of another site may not send commands: a request that names
another origin is refused; on a network the address carries a token.
"""

import json
import tempfile
from collections.abc import AsyncIterator
from dataclasses import asdict
from pathlib import Path
from typing import Any, Protocol
from urllib.parse import urlsplit

from starlette.applications import Starlette
from starlette.datastructures import UploadFile
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, Response, StreamingResponse
from starlette.routing import Route

from calibration.errors import TableError, WrongInput
from projector.session.commands import OFFERS, Command
from projector.session.snapshot import Snapshot

LARGEST_PHOTO_BYTES = 40 * 1024 * 1024
MOST_PHOTOS = 6
PAGE = Path(__file__).parent / "page.html"


class DeskDoor(Protocol):
    """What the page may ask of the desk."""

    @property
    def snapshot(self) -> Snapshot: ...

    def apply(self, command: Command) -> Snapshot: ...

    def subscribe(self) -> AsyncIterator[Snapshot]: ...

    async def solve(self, photos: list[Path], sheets: Path, bar_x_mm: float | None = None, bar_y_mm: float | None = None) -> Any: ...


def _told(snapshot: Snapshot) -> dict[str, Any]:
    return {"format": 1, **asdict(snapshot)}


def _refusal(error: TableError) -> JSONResponse:
    return JSONResponse({"format": 1, "error": error.as_json()}, status_code=400 if isinstance(error, WrongInput) else 409)


def _number(text: object) -> float | None:
    try:
        return float(str(text)) if text not in (None, "") else None
    except ValueError as cause:
        raise WrongInput(f"{text!r} is not a number.", "The bar as your tape reads it is wanted.", "Type it in mm.") from cause


async def _command(request: Request) -> Command:
    try:
        told = json.loads(await request.body())
        name, args, step = told["name"], told.get("args", {}), told.get("from_step")
    except (ValueError, KeyError, TypeError, AttributeError) as cause:
        raise WrongInput("That is not a command.", "name, args and from_step are wanted.", "Reload the page.") from cause
    if not isinstance(name, str) or not isinstance(args, dict) or not (step is None or isinstance(step, int)):
        raise WrongInput("That is not a command.", "name, args and from_step are wanted.", "Reload the page.")
    return Command(name, args, step)


async def _photos(request: Request, folder: Path) -> tuple[list[Path], float | None, float | None]:
    kept: list[Path] = []
    async with request.form(max_files=MOST_PHOTOS) as form:
        for number, photo in enumerate(form.getlist("photo")):
            if not isinstance(photo, UploadFile):
                continue
            data = await photo.read(LARGEST_PHOTO_BYTES + 1)
            if len(data) > LARGEST_PHOTO_BYTES:
                raise WrongInput("This photograph is too large.", "It is over 40 MB.", "Send it as the camera took it, as JPEG.")
            kept.append(folder / f"photo-{number + 1}.jpg")  # never a name from outside
            kept[-1].write_bytes(data)
        bars = _number(form.get("bar_x_mm")), _number(form.get("bar_y_mm"))
    if not kept:
        raise WrongInput("No photograph came.", "The form was empty.", "Choose one or two photographs.")
    return kept, *bars


def make_app(desk: DeskDoor, sheets: Path | None, token: str = "", hosts: tuple[str, ...] = ("127.0.0.1", "localhost")) -> Starlette:
    """The page of one desk. `token` empty: only this machine's own names are answered."""

    def guard(request: Request) -> Response | None:
        host = (urlsplit(f"//{request.headers.get('host', '')}").hostname or "").lower()
        origin = request.headers.get("origin")
        if origin is not None and (urlsplit(origin).netloc or "").lower() != request.headers.get("host", "").lower():
            return JSONResponse({"error": "another site"}, status_code=403)
        if token:
            given = request.query_params.get("t") or request.cookies.get("t")
            return None if given == token else JSONResponse({"error": "token"}, status_code=403)
        return None if host in hosts else JSONResponse({"error": "host"}, status_code=403)

    async def page(request: Request) -> Response:
        refused = guard(request)
        if refused:
            return refused
        answer = HTMLResponse(PAGE.read_text(encoding="utf-8"), headers={"Content-Security-Policy": "default-src 'self' 'unsafe-inline'"})
        if token:
            answer.set_cookie("t", token, httponly=True, samesite="strict")
        return answer

    async def state(request: Request) -> Response:
        return guard(request) or JSONResponse(_told(desk.snapshot))

    async def offers(request: Request) -> Response:
        return guard(request) or JSONResponse({"format": 1, "offers": [asdict(offer) for offer in OFFERS]})

    async def command(request: Request) -> Response:
        refused = guard(request)
        if refused:
            return refused
        try:
            return JSONResponse(_told(desk.apply(await _command(request))))
        except TableError as error:
            return _refusal(error)

    async def events(request: Request) -> Response:
        refused = guard(request)
        if refused:
            return refused

        async def lines() -> AsyncIterator[str]:
            async for snapshot in desk.subscribe():
                yield f"data: {json.dumps(_told(snapshot))}\n\n"

        return StreamingResponse(lines(), media_type="text/event-stream", headers={"Cache-Control": "no-store"})

    async def photographs(request: Request) -> Response:
        refused = guard(request)
        if refused:
            return refused
        if int(request.headers.get("content-length") or 0) > MOST_PHOTOS * LARGEST_PHOTO_BYTES:
            return JSONResponse({"error": "too large"}, status_code=413)
        try:
            if sheets is None:
                raise WrongInput("The printed sheets are not known.", "No sheets.json was named.", "Start with --sheets sheets.json.")
            with tempfile.TemporaryDirectory() as folder:
                kept, bar_x, bar_y = await _photos(request, Path(folder))
                await desk.solve(kept, sheets, bar_x, bar_y)
            return JSONResponse(_told(desk.snapshot))
        except TableError as error:
            return _refusal(error)

    return Starlette(
        routes=[
            Route("/", page), Route("/state", state), Route("/offers", offers), Route("/events", events),
            Route("/command", command, methods=["POST"]), Route("/photos", photographs, methods=["POST"]),
        ]
    )  # fmt: skip
