"""Who may speak to the page: this machine's own browser, or a phone that scanned the code on the table.

Pure ASGI, before every route: Host and Origin checked, token turned into a cookie, rates and sizes limited, strict headers.
"""

import asyncio
import hmac
import json
import secrets
from collections import OrderedDict
from collections.abc import Awaitable, Callable, MutableMapping
from dataclasses import dataclass, field
from http.cookies import CookieError, SimpleCookie
from time import monotonic
from typing import Any
from urllib.parse import parse_qs, urlsplit

from starlette.exceptions import HTTPException

from projector.book.beside import LARGEST_SOUND_BYTES
from projector.web.uploads import LARGEST_PHOTO_BYTES, MOST_PHOTOS

Scope = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[MutableMapping[str, Any]]]
Send = Callable[[MutableMapping[str, Any]], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

COOKIE = "table"
LARGEST_JSON_BYTES = 256 * 1024
FORM_BYTES = 4096
"""What a form writes round its files."""
PHOTOGRAPHS_BYTES = MOST_PHOTOS * LARGEST_PHOTO_BYTES
UPLOADS = {
    "/photos": PHOTOGRAPHS_BYTES, "/survey": PHOTOGRAPHS_BYTES,
    "/picture/": LARGEST_PHOTO_BYTES + FORM_BYTES, "/voice/": LARGEST_SOUND_BYTES + FORM_BYTES,
}  # fmt: skip
"""By the path's beginning: what may be sent there; everywhere else words only."""
MOST_UPLOADS = 2
"""Sent or worked on at the same time, whatever they are; each fills the disk's folder for passing files, none of it memory."""
RATE_PER_S, BURST = 25.0, 120.0
"""A thumb makes ten taps a second at most; a page's first load asks for a dozen files."""
MOST_CALLERS = 500
STREAMS_PER_CALLER = 8
SCAN = "Scan the code on the table."
RULES = {
    "default-src": "'none'", "script-src": "'self'", "style-src": "'self'", "img-src": "'self' blob: data:", "connect-src": "'self'",
    "media-src": "'self'",
    "form-action": "'self'", "base-uri": "'none'", "frame-ancestors": "'none'",
}  # fmt: skip
"""Content security policy: nothing from elsewhere, nothing written into the page itself."""
HEADERS = (
    (b"content-security-policy", "; ".join(f"{name} {value}" for name, value in RULES.items()).encode()),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"cache-control", b"no-store"),
)


@dataclass(slots=True)
class Caller:
    """One address: a bucket of requests that fills again, and its open streams."""

    left: float = BURST
    seen_s: float = 0.0
    streams: "OrderedDict[asyncio.Future[None], None]" = field(default_factory=OrderedDict)

    def takes(self, now_s: float) -> bool:
        """One request more, if the bucket holds it."""
        self.left = min(BURST, self.left + (now_s - self.seen_s) * RATE_PER_S)
        self.seen_s = now_s
        if self.left < 1.0:
            return False
        self.left -= 1.0
        return True


@dataclass
class Guard:
    """Wraps the page's app. `token` empty: only this machine's own names are answered and no code is needed."""

    app: App
    token: str = ""
    hosts: tuple[str, ...] = ("127.0.0.1", "localhost")
    paired: Callable[[], None] = field(default=lambda: None)
    """Called when a phone has come in by the code."""
    _session: str = field(default_factory=lambda: secrets.token_urlsafe(24))
    _uploads: int = 0
    _callers: OrderedDict[str, Caller] = field(default_factory=OrderedDict)

    def renew(self) -> str:
        """A new code; whoever came in by an older one is out, open streams end."""
        self.token, self._session = secrets.token_urlsafe(12), secrets.token_urlsafe(24)
        for caller in self._callers.values():
            for stream in caller.streams:
                stream.cancel()
        return self.token

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            return
        headers = {name.lower(): value.decode("latin-1") for name, value in scope["headers"]}
        caller = self._caller(str((scope.get("client") or ("?", 0))[0]))
        if not caller.takes(monotonic()):
            await _answer(send, 429, "Too many requests.", "Wait a moment.")
            return
        refused = self._refused(scope, headers)
        if refused is not None:
            await _heard_out(headers, receive)
            await _answer(send, *refused)
            return
        if self.token and not self._is_paired(headers):
            await _heard_out(headers, receive)
            await self._pair(scope, send)
            return
        if scope["path"] == "/events":
            await self._stream(caller, scope, receive, send)
        elif scope["method"] == "POST" and _is_upload(scope["path"]):
            await self._upload(headers, scope, receive, send)
        else:
            await self._through(scope, receive, send)

    async def _stream(self, caller: Caller, scope: Scope, receive: Receive, send: Send) -> None:
        """One stream more for this caller; its oldest ends for it: a phone that slept has left dead ones behind."""
        running = asyncio.ensure_future(self._through(scope, receive, send))
        caller.streams[running] = None
        if len(caller.streams) > STREAMS_PER_CALLER:
            caller.streams.popitem(last=False)[0].cancel()
        try:
            await asyncio.wait({running})
        finally:
            caller.streams.pop(running, None)
            running.cancel()
        if not running.cancelled():
            running.result()

    async def _upload(self, headers: dict[bytes, str], scope: Scope, receive: Receive, send: Send) -> None:
        """One upload more, while no more are coming than may."""
        if self._uploads >= MOST_UPLOADS:
            await _heard_out(headers, receive)
            await _answer(send, 409, f"{self._uploads} uploads are coming in already.", "Wait until they are read.")
            return
        self._uploads += 1
        try:
            await self._through(scope, receive, send)
        finally:
            self._uploads -= 1

    def _caller(self, address: str) -> Caller:
        caller = self._callers.pop(address, None) or Caller(seen_s=monotonic())
        self._callers[address] = caller
        while len(self._callers) > MOST_CALLERS:
            self._callers.popitem(last=False)
        return caller

    def _refused(self, scope: Scope, headers: dict[bytes, str]) -> tuple[int, str, str] | None:
        host = headers.get(b"host", "")
        name, _ = _site(f"//{host}")
        if name not in self.hosts:
            return 403, "This name is not the table's.", "Use the address thrown on the table."
        origin = headers.get(b"origin")
        if origin is not None and _site(origin)[1] != host.lower():
            return 403, "Another site asked.", "Open the table's own page."
        if headers.get(b"sec-fetch-site") == "cross-site" and scope["method"] != "GET":
            return 403, "Another site asked.", "Open the table's own page."
        length = headers.get(b"content-length", "0")
        if not (length.isascii() and length.isdigit()) or int(length) > _limit(scope["path"]):
            return 413, "Too much was sent.", f"At most {_limit(scope['path']) // 1024} KB are taken here."
        return None

    def _is_paired(self, headers: dict[bytes, str]) -> bool:
        try:
            morsel = SimpleCookie(headers.get(b"cookie", "")).get(COOKIE)
        except CookieError:
            return False
        return morsel is not None and hmac.compare_digest(morsel.value.encode(), self._session.encode())

    async def _pair(self, scope: Scope, send: Send) -> None:
        """The code's token becomes a cookie and leaves the address bar; anything else hears only where the code is."""
        given = parse_qs(scope["query_string"].decode("latin-1")).get("t", [""])[0]
        if not hmac.compare_digest(given.encode(), self.token.encode()):
            await _answer(send, 403, SCAN, "")
            return
        cookie = f"{COOKIE}={self._session}; Path=/; HttpOnly; SameSite=Strict"
        # A redirect within the same visit would not carry a Strict cookie back when the code app opened the page.
        body = b'<!doctype html><meta charset="utf-8"><meta http-equiv="refresh" content="0; url=/"><a href="/">Open the table</a>'
        await send(
            {
                "type": "http.response.start",
                "status": 200,
                "headers": [(b"content-type", b"text/html; charset=utf-8"), (b"set-cookie", cookie.encode()), *HEADERS],
            }
        )
        await send({"type": "http.response.body", "body": body})
        self.paired()

    async def _through(self, scope: Scope, receive: Receive, send: Send) -> None:
        limit, came = _limit(scope["path"]), 0

        async def counted() -> MutableMapping[str, Any]:
            nonlocal came
            message = await receive()
            came += len(message.get("body", b""))
            if came > limit:
                raise HTTPException(413, f"At most {limit // 1024} KB are taken here.")
            return message

        async def with_headers(message: MutableMapping[str, Any]) -> None:
            if message["type"] == "http.response.start":
                ours = {name for name, _ in HEADERS}
                message["headers"] = [(name, value) for name, value in message["headers"] if name.lower() not in ours] + list(HEADERS)
            await send(message)

        await self.app(scope, counted, with_headers)


def _site(address: str) -> tuple[str, str]:
    """(host name, host with port) of an address, small letters; empty where it is none, or holds more (RFC 9110, 7.2: no user, no path)."""
    try:
        parts = urlsplit(address)
        is_bare = parts.netloc == address.partition("//")[2] and "@" not in parts.netloc
        return ((parts.hostname or "").lower(), parts.netloc.lower()) if is_bare else ("", "")
    except ValueError:
        return "", ""


def _is_upload(path: str) -> bool:
    return path.startswith(tuple(UPLOADS))


def _limit(path: str) -> int:
    return next((limit for start, limit in UPLOADS.items() if path.startswith(start)), LARGEST_JSON_BYTES)


async def _heard_out(headers: dict[bytes, str], receive: Receive) -> None:
    """Take a small body before it is refused: closing on unread bytes resets the line, and the answer would be lost."""
    length = headers.get(b"content-length", "0")
    if length.isascii() and length.isdigit() and 0 < int(length) <= LARGEST_JSON_BYTES:
        while (await receive()).get("more_body"):
            pass


async def _answer(send: Send, status: int, what: str, next_step: str) -> None:
    body = json.dumps({"format": 1, "error": {"what": what, "why": "", "next": next_step}}).encode()
    await send({"type": "http.response.start", "status": status, "headers": [(b"content-type", b"application/json"), *HEADERS]})
    await send({"type": "http.response.body", "body": body})
