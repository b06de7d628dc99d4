"""What the page keeps beside orders: notes, style picture, voice; the chalk card for the phone; orders put aside; table spots."""

import asyncio
import tempfile
from collections.abc import Awaitable
from dataclasses import asdict, dataclass
from datetime import date
from pathlib import Path
from typing import Any, Protocol, get_args

from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from calibration.errors import WrongInput
from projector.book import beside
from projector.book.book import checked_name
from projector.session.snapshot import Snapshot, Work
from projector.steps.step import Op
from projector.steps.words import LANGUAGES
from projector.web.answers import part, sent, telling, told
from projector.web.uploads import photos_in

OPS: tuple[str, ...] = get_args(Op)


def _op(request: Request) -> str:
    """The kind of step named in the path. Raises WrongInput for any other."""
    op: str = request.path_params["op"]
    if op not in OPS:
        raise WrongInput("There is no such kind of step.", f"There are {', '.join(OPS)}.", "Choose one of them.")
    return op


def _pictured(request: Request) -> tuple[beside.Pictured, str]:
    """Whose style picture the path names. Raises WrongInput."""
    kind = next((each for each in get_args(beside.Pictured) if each == request.path_params["kind"]), None)
    if kind is None:
        raise WrongInput("Pictures are kept of clients and orders.", "The path names another kind.", "Load the page again.")
    return kind, checked_name(request.path_params["name"])


class StandingDoor(Protocol):
    """What is on the table now."""

    @property
    def snapshot(self) -> Snapshot: ...

    @property
    def work(self) -> Work: ...


class BesideDoors(Protocol):
    """What these routes ask of the desk's pages."""

    @property
    def book(self) -> Path: ...

    def small_picture(self, photo: Path) -> Awaitable[bytes]: ...

    def card(self) -> Awaitable[str]: ...

    def said(self, language: str) -> Awaitable[list[Any]]: ...

    def parked(self) -> list[dict[str, Any]]: ...

    def survey(self, photos: list[Path]) -> Awaitable[None]: ...


@dataclass(frozen=True, slots=True)
class BesideDoor:
    """Routes over one desk."""

    desk: StandingDoor
    pages: BesideDoors

    def _order(self) -> str:
        if not self.desk.work.order:
            raise WrongInput("No order is on the table.", "A note belongs to one.", "Choose an order first.")
        return self.desk.work.order

    async def notes(self, _: Request) -> Response:
        order = self.desk.work.order
        return told({"notes": [asdict(note) for note in beside.notes_of(self.pages.book, order)] if order else []})

    async def note(self, request: Request) -> Response:
        text = " ".join(part(await sent(request), "text", str).split())
        now = self.desk.snapshot
        every = beside.add_note(self.pages.book, self._order(), beside.Note(date.today().isoformat(), now.step, now.title, text))
        return told({"notes": [asdict(note) for note in every]})

    async def picture(self, request: Request) -> Response:
        file = beside.picture_file(self.pages.book, *_pictured(request))
        if not file.exists():
            raise HTTPException(404)
        return Response(file.read_bytes(), media_type="image/jpeg")

    async def keep_picture(self, request: Request) -> Response:
        """Judged by its header, decoded and made small in a job, kept as our own JPEG: nothing of the sent file stays."""
        kind, name = _pictured(request)
        with tempfile.TemporaryDirectory() as folder:
            photos, _ = await photos_in(request, Path(folder), 1)
            jpeg = await self.pages.small_picture(photos[0])
        beside.keep_picture(self.pages.book, kind, name, jpeg)
        return told({"bytes": len(jpeg)})

    async def voices(self, _: Request) -> Response:
        return told({"ops": OPS, "recorded": beside.voices(self.pages.book)})

    async def voice(self, request: Request) -> Response:
        data, media_type = beside.voice(self.pages.book, _op(request))
        return Response(data, media_type=media_type)

    async def keep_voice(self, request: Request) -> Response:
        async with request.form(max_files=1, max_fields=1) as form:
            sound = form.get("sound")
            data = await sound.read(beside.LARGEST_SOUND_BYTES + 1) if isinstance(sound, UploadFile) else b""
        await asyncio.to_thread(beside.keep_voice, self.pages.book, _op(request), data)
        return told({"recorded": beside.voices(self.pages.book)})

    async def forget_voice(self, request: Request) -> Response:
        beside.forget_voice(self.pages.book, _op(request))
        return told({"recorded": beside.voices(self.pages.book)})

    async def card(self, _: Request) -> Response:
        """A file to keep on the phone: it opens with laptop, lamp and network off."""
        name = f"{self._order()} chalk card.html"
        headers = {"content-disposition": f'attachment; filename="{name.encode("ascii", "replace").decode().replace(chr(34), "")}"'}
        return Response(await self.pages.card(), media_type="text/html", headers=headers)

    async def said(self, request: Request) -> Response:
        """Every step's words in another language than the table's own."""
        language = request.path_params["language"]
        if language not in LANGUAGES:
            raise WrongInput("The steps are not told in that language.", f"There are {', '.join(LANGUAGES)}.", "Choose one of them.")
        return told({"said": await self.pages.said(language)})

    async def parked(self, _: Request) -> Response:
        return told({"parked": await asyncio.to_thread(self.pages.parked)})

    async def survey(self, request: Request) -> Response:
        with tempfile.TemporaryDirectory() as folder:
            photos, _ = await photos_in(request, Path(folder))
            await self.pages.survey(photos)
        return told({})

    def routes(self) -> list[Route]:
        """Every route of what is kept beside."""
        return [
            Route("/notes", telling(self.notes)),
            Route("/notes", telling(self.note), methods=["POST"]),
            Route("/picture/{kind:str}/{name:str}", telling(self.picture)),
            Route("/picture/{kind:str}/{name:str}", telling(self.keep_picture), methods=["POST"]),
            Route("/voice", telling(self.voices)),
            Route("/voice/{op:str}", telling(self.voice)),
            Route("/voice/{op:str}", telling(self.keep_voice), methods=["POST"]),
            Route("/voice/{op:str}/forget", telling(self.forget_voice), methods=["POST"]),
            Route("/card.html", telling(self.card)),
            Route("/said/{language:str}", telling(self.said)),
            Route("/parked", telling(self.parked)),
            Route("/survey", telling(self.survey), methods=["POST"]),
        ]
