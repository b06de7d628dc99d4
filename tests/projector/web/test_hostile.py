"""Hostile requests against the program itself, with its window on a real X server: raw sockets, twenty callers, floods.

After every row the state is what it was, the window is the same process and memory is bounded. One server for the whole table.
"""

import json
import socket
import struct
import threading
import zlib
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from io import BytesIO
from typing import Any

import pytest
from PIL import Image

from calibration.sheets_files import write_sheets
from projector.session.commands import OFFERS
from tests.projector.made_up import SIZE, table
from tests.projector.web.asking import form, png, promised
from tests.projector.window.xserver import Server, xvfb
from tests.served import Served, children_of, memory_mb, served, window_of

pytestmark = pytest.mark.screen
MEMORY_MORE_MB = 60.0
"""What a whole table of attacks may leave behind: two spooled uploads of 1 MB, buffers of 64 KB for 300 connections, the rest is slack."""


@dataclass
class Table:
    """The program under attack; `source()` is another caller each time, so that no row eats another's rate."""

    program: Served
    server: Server
    cookie: str
    callers: int = 1
    slow: list[socket.socket] = field(default_factory=list)

    def source(self) -> str:
        self.callers += 1
        return f"127.0.{self.callers // 250 + 1}.{self.callers % 250 + 1}"

    def ask(self, method: str, path: str, body: bytes | None = None, **headers: str) -> tuple[int, bytes]:
        told = self.program.send(method, path, body, {"Cookie": self.cookie, **headers}, self.source())
        return told.status, told.body

    def state(self) -> dict[str, Any]:
        told: dict[str, Any] = json.loads(self.ask("GET", "/state")[1])
        return told


@pytest.fixture(scope="module")
def attacked(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Table]:
    folder = tmp_path_factory.mktemp("attacked")
    table("ready").write(folder / "table.yaml")
    write_sheets(folder / "sheets", "a4", 4, 100.0, False)
    options = ("--table", str(folder / "table.yaml"), "--sheets", str(folder / "sheets" / "sheets.json"))
    with xvfb(SIZE, folder) as server, served("tomasina_plain", folder / "book", *options, display=server.name) as program:
        cookie = program.cookie()
        made = Table(program, server, cookie)
        made.ask("POST", "/command", b'{"name": "leave"}')  # the crosses on the table spots
        with slow_lines(made) as made.slow:
            yield made


@contextmanager
def slow_lines(a: "Table") -> Iterator[list[socket.socket]]:
    """Ten heads and ten bodies that never come whole, open through the whole table."""
    with ExitStack() as held:
        wires = []
        for number in range(20):
            wire = held.enter_context(socket.create_connection(("127.0.0.1", a.program.port), 40, (a.source(), 0)))
            body = head("POST", "/command", a.cookie, "Content-Length: 90000") + b"{"
            wire.sendall(body if number % 2 else b"GET /state HTTP/1.1\r\nHost: ")
            wires.append(wire)
        yield wires


def head(method: str, path: str, cookie: str = "", *more: str) -> bytes:
    """A request's head as it goes over the wire."""
    lines = [f"{method} {path} HTTP/1.1", "Host: 127.0.0.1", *([f"Cookie: {cookie}"] if cookie else []), *more]
    return ("\r\n".join(lines) + "\r\n\r\n").encode("latin-1")


def jpeg(is_torn: bool) -> bytes:
    made = BytesIO()
    Image.effect_noise((900, 600), 60).save(made, "JPEG")
    return made.getvalue()[: 20_000 if is_torn else None]


def upload(attacked: Table, *files: tuple[str, bytes]) -> int:
    body, kind = form("photo", *files)
    return attacked.ask("POST", "/photos", body, **{"Content-Type": kind})[0]


PATHS = (
    "/file/../../../etc/passwd", "/file/..%2f..%2fapp.py", "/file/%2e%2e/guard.py", "//etc/passwd", "/file/page.js%00", "/file/",
    "/book/clients/..%2f..%2f..%2fetc%2fpasswd", "/book/clients/.versions", "/book/../clients/x", "/steps/99999999999999999999",
    "/steps/-1", "/" + "a" * 9000, "/file/" + "%00" * 900, "/code.svg?n=99", "/code.svg?n=-1", "/code.svg?n=%C2%B2", "/picture/..",
    "/picture/%2e%2e%2fx", "/picture/%00", "/voice/passwd", "/voice/..", "/said/..%2f..%2fx", "/said/xx",
)  # fmt: skip
NO_VALUES = ("NaN", "Infinity", "-Infinity", "1e999", "1" + "0" * 4000, "9" * 400, '"x"', "true", "null", "[]", "{}", '"\\ud800"')
BAD_COMMANDS = (
    b"", b"\xff\xfe", b"[" * 100_000, b'{"a":' * 20_000, b'{"name": "grid", "more": 1}', b'{"name": "grid", "args": {"more": 1}}',
    b'{"name": "\\ud800"}', b'{"name": "move", "args": {"dx_mm": 1e300}}', b'{"name": ["grid"]}', b'{"name": "next", "from_step": 1e999}',
)  # fmt: skip
JSON_PATHS = (
    "/check", "/look", "/lay", "/open", "/book/clients", "/book/orders", "/fitting/tomasina", "/fit", "/hand", "/tape", "/notes",
)  # fmt: skip
BAD_CARDS = (
    b"{}", b'{"client": {"name": "\\ud800"}}', b'{"order": {"cloth": NaN}}', b'{"name": "../../x"}', b'{"data": {"name": "../x"}}',
    b'{"order": {"client": "/etc/passwd", "style": {}, "cloth": {"main": {"width": 1e308, "lengths": [9]}}}}',
)  # fmt: skip


# The rows: each returns what it saw, for its own assertion ---------------------------------------------------------------
def strangers(a: Table) -> None:
    for path in ("/", "/state", "/book", "/events", "/command", "/code.svg", "/?t=", "/?t=%00", "/?t=wrong"):
        for cookie in ({}, {"Cookie": "table=guess"}, {"Cookie": "table=" + "x" * 4000}, {"Cookie": "\x01;;=;table"}):
            told = a.program.send("GET", path, None, cookie, a.source())
            assert (told.status, b"Scan the code" in told.body) == (403, True), path


def other_sites(a: Table) -> None:
    port = a.program.port
    origins = ("http://evil.example", "null", f"http://127.0.0.1:{port}.evil.example", f"http://evil@127.0.0.1:{port + 1}", "http://[::1")
    hosts = (
        "evil.example",
        "",
        "127.0.0.1.evil.example",
        "127.0.0.1@evil.example",
        "evil.example@127.0.0.1",
        "127.0.0.1/evil.example",
        "[::1",
    )
    asked = [*({"Origin": each} for each in origins), *({"Host": each} for each in hosts), {"Sec-Fetch-Site": "cross-site"}]
    for more in asked:
        assert a.ask("POST", "/command", b'{"name": "next"}', **more)[0] == 403, more


def paths(a: Table) -> None:
    for path in PATHS:
        status, body = a.ask("GET", path)
        assert status in (400, 404), (path, status)
        assert b"root:" not in body
        assert b"Traceback" not in body


def no_http(a: Table) -> None:
    for data in (b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03" + b"\0" * 600, b"\0" * 70_000, b"GET / HTTP/9.9\r\n\r\n", b"GET /\r\n\r\n",
                 b"A" * 200_000, b"GET / HTTP/1.1\r\nHost: a\r\nHost: b\r\n\r\n", head("GET", "/", "", "X: a\0b"), head("BREW", "/state"),
                 head("POST", "/command", a.cookie, "Content-Length: 3", "Content-Length: 30") + b"{}",
                 head("POST", "/command", a.cookie, "Transfer-Encoding: chunked") + b"-5\r\n{}\r\n0\r\n\r\n",
                 head("POST", "/command", a.cookie, "Transfer-Encoding: chunked") + b"FFFFFFFFFFFFFFFFF\r\n{}"):  # fmt: skip
        answer = a.program.raw(data, a.source(), is_ended=True)
        assert answer.split(b" ")[1:2] in ([], [b"400"], [b"403"], [b"413"]), (data[:60], answer[:200])
    assert (
        b" 101 " not in a.program.raw(head("GET", "/events", a.cookie, "Connection: Upgrade", "Upgrade: websocket"), a.source(), True)[:40]
    )


def header_floods(a: Table) -> None:
    many = head("GET", "/state", a.cookie, *(f"X-{n}: {n}" for n in range(20_000)))
    large = head("GET", "/state", a.cookie, "X: " + "y" * 2_000_000)
    for data in (many, large, b"GET /state HTTP/1.1\r\n" + b"X: y\r\n" * 100_000):
        assert a.program.raw(data, a.source(), is_ended=True).split(b" ")[1:2] in ([], [b"400"])


def bad_json(a: Table) -> None:
    bodies = list(BAD_COMMANDS)
    for offer in OFFERS:
        bodies += [f'{{"name": "{offer.name}", "args": {{"{key}": {value}}}}}'.encode() for key in offer.args for value in NO_VALUES]
    for body in bodies:
        status, told = a.ask("POST", "/command", body)
        assert status == 400, (body[:80], status, told[:200])
        assert set(json.loads(told)["error"]) == {"what", "why", "next"}
    for path in JSON_PATHS:
        for body in BAD_CARDS:
            status, told = a.ask("POST", path, body)
            assert status in (400, 409), (path, body, status, told[:300])


def large_bodies(a: Table) -> None:
    large = b" " * (10 * 1024 * 1024)
    for path in ("/command", "/look", "/book/clients"):
        told = head("POST", path, a.cookie, f"Content-Length: {len(large)}") + large
        untold = head("POST", path, a.cookie, "Transfer-Encoding: chunked") + b"A00000\r\n" + large + b"\r\n0\r\n\r\n"
        for data in (told, untold):
            assert a.program.raw(data, a.source(), is_ended=True).split(b" ")[1:2] in ([], [b"413"])
    assert a.program.raw(head("POST", "/photos", a.cookie, "Content-Length: 9999999999"), a.source(), True).split(b" ")[1] == b"413"


def pictures(a: Table) -> None:
    text = ("zTXt", b"k\0\0" + zlib.compress(b"\0" * 80_000_000, 9))
    refused = [b"", b"\xff\xd8\xff", b"<svg xmlns='http://www.w3.org/2000/svg'/>", b"GIF89a" + b"\0" * 90, promised(40_000, 40_000),
               promised(2**31 - 1, 2**31 - 1), promised(8000, 6300), b"\x89PNG\r\n\x1a\n" + b"\xff" * 5000]  # fmt: skip
    for data in refused:
        assert upload(a, ("x.jpg", data)) == 400, data[:30]
    places = ("/picture/orders/tomasina_plain", "/picture/clients/..%2fx", "/picture/passwd/x")
    for path in ("/survey", *places, "/voice/cut", "/voice/..", "/voice/passwd"):
        for data in refused:
            body, kind = form("sound" if "voice" in path else "photo", ("../../x.jpg", data))
            assert a.ask("POST", path, body, **{"Content-Type": kind})[0] in (400, 404, 409)
    assert upload(a, *[("x.jpg", jpeg(False))] * 7) == 400
    assert upload(a, ("large.jpg", jpeg(False) + b"\0" * (41 * 1024 * 1024))) == 400
    assert a.ask("POST", "/photos", b"no form", **{"Content-Type": "multipart/form-data"})[0] == 400
    assert a.ask("POST", "/photos", b"x" * 100, **{"Content-Type": "multipart/form-data; boundary=B"})[0] == 400
    many = b"".join(b'--B\r\nContent-Disposition: form-data; name="f"\r\n\r\n1\r\n' for _ in range(5000)) + b"--B--\r\n"
    assert a.ask("POST", "/photos", many, **{"Content-Type": "multipart/form-data; boundary=B"})[0] == 400
    assert upload(a, ("../../../tmp/x.jpg", jpeg(True)), ("/etc/passwd", png(8000, 6000))) in (400, 409)
    assert upload(a, ("bomb.png", png(10, 10, (text[0].encode(), text[1])))) in (400, 409)


def dropped(a: Table) -> None:
    """Half a request, half an upload, a stream that is never read: then the line is gone, half of them by a reset."""
    body, kind = form("photo", ("x.jpg", jpeg(False) * 20))
    sending = head("POST", "/photos", a.cookie, f"Content-Type: {kind}", f"Content-Length: {len(body)}") + body[: len(body) // 2]
    half = head("POST", "/command", a.cookie, "Content-Length: 500") + b'{"name": '
    starts = [b"GET /sta", half, head("GET", "/events", a.cookie), sending]
    for number in range(60):
        wire = socket.create_connection(("127.0.0.1", a.program.port), 20, (a.source(), 0))
        wire.sendall(starts[number % len(starts)])
        if number % 2:
            wire.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
        wire.close()


def streams(a: Table) -> None:
    """One caller opens stream after stream and reads none: its oldest ones end, the newest lives."""
    source = a.source()
    with ExitStack() as held:
        wires = [held.enter_context(socket.create_connection(("127.0.0.1", a.program.port), 30, (source, 0))) for _ in range(20)]
        for wire in wires:
            wire.sendall(head("GET", "/events", a.cookie))
            assert wire.recv(15) == b"HTTP/1.1 200 OK"
        while wires[0].recv(65536):
            pass  # the end of the oldest
        number = a.state()["number"]
        a.ask("POST", "/command", b'{"name": "grid"}')
        a.ask("POST", "/command", b'{"name": "grid"}')
        came = b""
        while f'"number": {number + 2}'.encode() not in came:
            part = wires[-1].recv(65536)
            assert part, "the newest stream ended"
            came += part


def crowd(a: Table) -> None:
    """Connections that ask for nothing: one address gets a hundred, another is answered meanwhile."""
    source = a.source()
    with ExitStack() as held:
        wires = [held.enter_context(socket.create_connection(("127.0.0.1", a.program.port), 30, (source, 0))) for _ in range(180)]
        ended = 0
        for wire in wires[-60:]:
            try:
                ended += not wire.recv(1)
            except ConnectionResetError:
                ended += 1
        assert ended == 60
        assert a.state()["state"] == "ready"


ROWS: tuple[Callable[[Table], None], ...] = (
    strangers, other_sites, paths, no_http, header_floods, bad_json, large_bodies, pictures, dropped, streams, crowd,
)  # fmt: skip
LOUD = ("number", "message", "job")
"""What a refusal may change: the number, and what is told."""


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.__name__)
def test_state_window_and_memory_stand(attacked: Table, row: Callable[[Table], None]) -> None:
    desk = attacked.program.child.pid
    before, window, memory = attacked.state(), window_of(desk), memory_mb(desk)
    row(attacked)
    after = attacked.state()
    for told in (before, after):
        for name in LOUD:
            told.pop(name)
    assert after == before
    assert window_of(desk) == window
    assert memory_mb(desk) < memory + MEMORY_MORE_MB


def test_a_thousand_commands_from_twenty_callers(attacked: Table) -> None:
    """Every one is answered, every one taken counts once, and the window shows the last."""
    before = attacked.state()
    taken: list[int] = []

    def press(source: str) -> None:
        connection = attacked.program.connection(source)
        for _ in range(50):
            connection.request("POST", "/command", b'{"name": "grid"}', {"Cookie": attacked.cookie})
            answer = connection.getresponse()
            answer.read()
            taken.append(answer.status)
        connection.close()

    callers = [threading.Thread(target=press, args=(attacked.source(),)) for _ in range(20)]
    for caller in callers:
        caller.start()
    for caller in callers:
        caller.join()
    assert taken == [200] * 1000
    after = attacked.state()
    assert (after["number"], after["see"]) == (before["number"] + 1000, before["see"])
    assert memory_mb(attacked.program.child.pid, "VmHWM") < 400.0


def test_one_caller_who_floods_is_slowed_and_no_other(attacked: Table) -> None:
    source = attacked.source()
    cookie = {"Cookie": attacked.cookie}
    told = [attacked.program.send("GET", "/state", None, cookie, source).status for _ in range(300)]
    assert 429 in told
    assert attacked.ask("GET", "/state")[0] == 200


def test_a_hundred_jobs_asked_for_at_once_are_one(attacked: Table) -> None:
    """Each `taped` would be a child of its own: one runs, the others are told to wait; nothing is proved by a wrong number."""
    before, pid = attacked.state(), attacked.program.child.pid
    idle, most = len(children_of(pid)), 0
    for _ in range(100):
        assert attacked.ask("POST", "/command", b'{"name": "taped", "args": {"mm": 900000}}')[0] == 200
        most = max(most, len(children_of(pid)) - idle)
    after = attacked.state()
    assert most == 1
    assert after["number"] - before["number"] >= 99, "all but the one at work were refused at once, not kept waiting"
    assert after["table"] == before["table"]


def test_slow_lines_were_ended(attacked: Table) -> None:
    """Opened before the first row: they held nobody up, and 12 s after their last byte their lines are ended."""
    for wire in attacked.slow:
        try:
            came = wire.recv(1000)
        except ConnectionResetError:
            came = b""
        assert came == b""
