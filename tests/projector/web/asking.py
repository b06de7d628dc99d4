"""What a phone, or somebody hostile, sends to the page: requests straight into the app, forms of files, pictures that promise too much."""

import asyncio
import struct
import zlib
from dataclasses import dataclass
from typing import Any

from projector.web.guard import Guard

HOST = "192.0.2.7:8000"
OWN = {"host": "127.0.0.1:8000"}
"""The header of this machine's own browser."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What came back."""

    status: int
    headers: dict[str, str]
    body: bytes


def ask(
    app: Guard,
    path: str = "/state",
    method: str = "GET",
    headers: dict[str, str] | None = None,
    body: bytes = b"",
    query: str = "",
    chunk: int = 0,
) -> Answer:
    """One request straight into the app. `chunk`: the body comes in pieces of that size, without a length told before."""
    sent: list[dict[str, Any]] = []
    parts = [body[at : at + chunk] for at in range(0, len(body), chunk)] if chunk else [body]
    incoming = [{"type": "http.request", "body": part, "more_body": n < len(parts) - 1} for n, part in enumerate(parts)]
    given = {"host": HOST, **({} if chunk else {"content-length": str(len(body))}), **(headers or {})}

    async def receive() -> dict[str, Any]:
        return incoming.pop(0) if incoming else {"type": "http.disconnect"}

    async def send(message: Any) -> None:
        sent.append(dict(message))

    scope = {
        "type": "http", "http_version": "1.1", "method": method, "path": path, "raw_path": path.encode(), "query_string": query.encode(),
        "headers": [(name.encode(), value.encode()) for name, value in given.items()], "client": ("198.51.100.9", 5), "scheme": "http",
        "server": None,
        "root_path": "",
    }  # fmt: skip
    asyncio.run(app(scope, receive, send))
    told = {name.decode().lower(): value.decode() for name, value in sent[0]["headers"]}
    return Answer(sent[0]["status"], told, b"".join(each.get("body", b"") for each in sent[1:]))


def form(field: str, *files: tuple[str, bytes]) -> tuple[bytes, str]:
    """(body, content type) of a form of files, each (its name, its bytes), as a browser sends it."""
    head = f'--edge\r\nContent-Disposition: form-data; name="{field}"; filename="{{}}"\r\nContent-Type: image/jpeg\r\n\r\n'
    parts = [head.format(name).encode() + data + b"\r\n" for name, data in files]
    return b"".join(parts) + b"--edge--\r\n", "multipart/form-data; boundary=edge"


def png(width: int, height: int, *chunks: tuple[bytes, bytes]) -> bytes:
    """A whole PNG of one grey; `chunks` before its picture. 40 megapixels are 40 KB here: a decompression bomb."""

    def chunk(name: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    rows = zlib.compressobj(9)
    line = b"\0" * (width + 1)
    packed = b"".join(rows.compress(line) for _ in range(height)) + rows.flush()
    first = chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + first + b"".join(chunk(*each) for each in chunks) + chunk(b"IDAT", packed) + chunk(b"IEND", b"")


def promised(width: int, height: int) -> bytes:
    """A header that promises any size over almost no data."""
    small = bytearray(png(1, 1))
    small[16:24] = struct.pack(">II", width, height)
    small[29:33] = struct.pack(">I", zlib.crc32(bytes(small[12:29])))
    return bytes(small)
