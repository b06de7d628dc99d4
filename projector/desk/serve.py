"""Starting it all: a free port, the page, the window, one line when it answers, a clean end on a signal."""

import asyncio
import contextlib
import logging
import secrets
import signal
import socket
import sys
import threading
from collections.abc import Awaitable, Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import uvicorn

from calibration.errors import Refused
from projector.book.places import book_folder
from projector.desk.desk import Desk
from projector.desk.on_table import OnTable
from projector.desk.pages import Pages
from projector.web.app import make_app
from projector.web.connections import CarefulConnection
from projector.web.guard import Guard

LOOPBACK = "127.0.0.1"


class PortTaken(Refused):
    """The port is in use or not allowed."""


@dataclass(frozen=True, slots=True)
class Serving:
    """How the page is served. `port` 0: any free one; `is_lan`: phones in the same network, with a token in the address."""

    port: int = 0
    is_lan: bool = False
    sheets: Path | None = None
    book: Path | None = None
    on_table: OnTable | None = None
    """What puts orders on this table; None: it shows one."""


class _Server(uvicorn.Server):
    """Signals are ours: the desk ends the window and the journal first."""

    @contextlib.contextmanager
    def capture_signals(self) -> Iterator[None]:
        yield


def bound(serving: Serving) -> socket.socket:
    """A listening socket. Raises PortTaken with the port."""
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind(("0.0.0.0" if serving.is_lan else LOOPBACK, serving.port))
    except (OSError, OverflowError) as cause:
        listening.close()
        raise PortTaken(
            f"Port {serving.port} cannot be used.", f"{cause}.", "Choose another with --port, or --port 0 for any free one."
        ) from cause
    return listening


PROBES = ("192.0.2.1", "10.255.255.254", "172.31.255.254", "172.20.10.14", "192.168.255.254", "192.168.43.254", "192.168.137.254")
"""TEST-NET-1 of RFC 5737 for the usual way out, then the private ranges of RFC 1918 with the hotspots phones and laptops make."""


def addresses_in_network() -> list[str]:
    """This machine's addresses as phones in its networks see them, the usual way out first; [] without a network. Nothing is sent."""
    found: dict[str, None] = {}
    for probe in PROBES:
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked, contextlib.suppress(OSError):
            asked.connect((probe, 9))
            found[str(asked.getsockname()[0])] = None
    with contextlib.suppress(OSError):
        found |= dict.fromkeys(socket.gethostbyname_ex(socket.gethostname())[2])
    return [address for address in found if not address.startswith(("127.", "0."))]


def _addresses(hosts: list[str], port: int, token: str) -> list[str]:
    """What a code holds, one for each network."""
    return [f"http://{host}:{port}/" + (f"?t={token}" if token else "") for host in hosts]


class _NotAtTheEnd(logging.Filter):
    """An answer cut short because she ends the table is no error, and twenty lines of it would frighten."""

    def filter(self, record: logging.LogRecord) -> bool:
        """False for what is cut short."""
        kind = record.exc_info[0] if record.exc_info else None
        is_cut_short = kind is not None and issubclass(kind, asyncio.CancelledError)
        return not is_cut_short and "graceful shutdown exceeded" not in record.getMessage()


_NOT_AT_THE_END = _NotAtTheEnd()


def _server(app: Guard) -> _Server:
    config = uvicorn.Config(
        app,
        http=CarefulConnection,
        log_level="error",
        access_log=False,
        lifespan="off",
        timeout_graceful_shutdown=1,
        server_header=False,
        proxy_headers=False,  # no proxy stands before it: a caller may not name its own address
    )
    logging.getLogger("uvicorn.error").addFilter(_NOT_AT_THE_END)
    return _Server(config)


async def _until_ended(desk: Desk, prepare: Callable[[], Awaitable[None]], prepared: Callable[[], None]) -> None:
    """Prepare, tell, wait for the end; an end that comes first takes what prepares with it."""
    preparing, ended = asyncio.ensure_future(prepare()), asyncio.ensure_future(desk.ended.wait())
    await asyncio.wait({preparing, ended}, return_when=asyncio.FIRST_COMPLETED)
    if preparing.done():
        preparing.result()
        prepared()
    else:
        preparing.cancel()
        await asyncio.gather(preparing, return_exceptions=True)  # its child is ended with it
    await ended


async def serve(
    desk: Desk,
    serving: Serving,
    open_window: Callable[[], None],
    prepare: Callable[[], Awaitable[None]],
    answers: Callable[[str, int], None],
) -> None:
    """Run until a signal, or until the framed window is closed.

    Page and window come first, then `prepare` puts the order on the table, then `answers(url, port)` is told. What `prepare`
    raises ends it.
    """
    listening = bound(serving)
    port = int(listening.getsockname()[1])
    token = secrets.token_urlsafe(12) if serving.is_lan else ""
    hosts = addresses_in_network() if serving.is_lan else []
    urls = _addresses(hosts or [LOOPBACK], port, token)
    pages = Pages(desk, book_folder(serving.book), serving.on_table)
    desk.change_number = pages.change_number
    app = make_app(desk, serving.sheets, token, (LOOPBACK, "localhost", *hosts), pages, urls if hosts else ())

    def code_of(is_new: bool) -> str:
        if is_new:
            urls[:] = _addresses(hosts, port, app.renew())
        return urls[0]

    if hosts:
        desk.code_of, app.paired = code_of, desk.paired
    server = _server(app)
    loop = asyncio.get_running_loop()
    is_main = threading.current_thread() is threading.main_thread()  # elsewhere signals are not ours
    has_handlers = sys.platform != "win32"  # there Ctrl-C comes as KeyboardInterrupt
    for name in (signal.SIGINT, signal.SIGTERM) if is_main and has_handlers else ():
        loop.add_signal_handler(name, desk.ended.set)
    running = asyncio.ensure_future(server.serve(sockets=[listening]))
    while not server.started:
        if running.done():
            running.result()
        await asyncio.sleep(0.01)
    try:
        open_window()
        if hosts and desk.window_pid is not None:
            desk.show_code()  # the lamp lights up: the code opens the page on her phone
        await _until_ended(desk, prepare, lambda: answers(urls[0], port))
    finally:
        desk.close()
        await pages.close()
        server.should_exit = True
        await running
        listening.close()
