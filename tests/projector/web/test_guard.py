"""Who may speak to the page, tried request by request on the app itself: no server, no clock."""

import asyncio
import gzip
import json
import re
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest

from calibration.errors import WrongInput
from projector.desk.desk import Desk
from projector.web.app import FILES, make_app
from projector.web.guard import BURST, LARGEST_JSON_BYTES, Guard
from projector.web.uploads import checked_photo
from tests.projector.made_up import table, work
from tests.projector.web.asking import ask, promised

TOKEN = "right-token"


@pytest.fixture
def app(tmp_path: Path) -> Guard:
    return make_app(Desk(work(), table("ready"), tmp_path / "t.yaml", None), None, TOKEN, ("192.0.2.7",))


@pytest.fixture
def cookie(app: Guard) -> dict[str, str]:
    told = ask(app, "/", query=f"t={TOKEN}").headers["set-cookie"]
    assert "HttpOnly" in told
    assert "SameSite=Strict" in told
    return {"cookie": told.split(";")[0]}


def command(name: str = "grid") -> bytes:
    return json.dumps({"name": name, "args": {}}).encode()


def test_the_code_pairs_and_the_token_leaves_the_address(app: Guard, cookie: dict[str, str]) -> None:
    assert TOKEN not in cookie["cookie"]
    assert ask(app, headers=cookie).status == 200


@pytest.mark.parametrize("query", ["", "t=", "t=wrong", f"t={TOKEN}x", f"T={TOKEN}"])
@pytest.mark.parametrize("path", ["/", "/state", "/file/page.js", "/book", "/code.svg", "/events", "/../etc/passwd"])
def test_without_the_code_nothing_answers_but_where_the_code_is(app: Guard, path: str, query: str) -> None:
    answer = ask(app, path, query=query)
    assert (answer.status, json.loads(answer.body)["error"]["what"]) == (403, "Scan the code on the table.")


@pytest.mark.parametrize(
    "headers",
    [
        {"host": "evil.example"},
        {"host": "evil.example@192.0.2.7"},
        {"host": "192.0.2.7/evil.example"},
        {"host": "192.0.2.7.evil.example"},
        {"host": ""},
        {"host": "[::1"},
        {"origin": "http://evil.example"},
        {"origin": "null"},
        {"sec-fetch-site": "cross-site"},
    ],
)
def test_another_site_is_refused_and_nothing_changes(app: Guard, cookie: dict[str, str], headers: dict[str, str]) -> None:
    before = ask(app, headers=cookie).body
    answer = ask(app, "/command", "POST", {**cookie, **headers}, command())
    assert answer.status == 403
    assert ask(app, headers=cookie).body == before


@pytest.mark.parametrize("body", [b"", b"[]", b"{", b'{"name": 3}', b'{"name": "grid", "args": []}', b'{"name":"grid","from_step":"x"}',
                                  b"[" * 9000,
                                  b'{"name":"no such command"}', b"\xff\xfe"])  # fmt: skip
def test_a_malformed_command_is_told_and_changes_nothing(app: Guard, cookie: dict[str, str], body: bytes) -> None:
    before = ask(app, headers=cookie).body
    answer = ask(app, "/command", "POST", cookie, body)
    assert answer.status == 400
    assert set(json.loads(answer.body)["error"]) == {"what", "why", "next"}
    assert ask(app, headers=cookie).body == before


@pytest.mark.parametrize("path", ["/file/..%2fapp.py", "/file/app.py", "/file/../app.py", "/file/%2e%2e/guard.py", "/no-such"])
def test_only_the_pages_own_files_are_given(app: Guard, cookie: dict[str, str], path: str) -> None:
    assert ask(app, path, headers=cookie).status == 404


def test_bodies_are_limited_told_or_not(app: Guard, cookie: dict[str, str]) -> None:
    large = b" " * (LARGEST_JSON_BYTES + 1)
    assert ask(app, "/command", "POST", cookie, large).status == 413
    assert ask(app, "/command", "POST", cookie, large, chunk=64 * 1024).status == 413
    assert ask(app, "/command", "POST", {**cookie, "content-length": "-5"}, b"{}").status == 413


def test_a_flood_is_slowed(app: Guard, cookie: dict[str, str]) -> None:
    answers = [ask(app, headers=cookie).status for _ in range(int(BURST) * 3)]
    assert 429 in answers
    assert set(answers) == {200, 429}


def test_every_answer_carries_the_strict_rules(app: Guard, cookie: dict[str, str]) -> None:
    for answer in (ask(app, "/", headers=cookie), ask(app, headers=cookie), ask(app), ask(app, "/no-such", headers=cookie)):
        rules = answer.headers["content-security-policy"]
        assert "default-src 'none'" in rules
        assert "unsafe" not in rules
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["cache-control"] == "no-store"


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"", "no photograph"), (b"\xff\xd8\xff", "no photograph"), (b"<svg/>", "no photograph"), (b"GIF89a" + b"\0" * 40, "no photograph"),
        (promised(40_000, 40_000), "no photograph"), (promised(2**31 - 1, 2**31 - 1), "no photograph"),
        (promised(8000, 6300), "too many pixels"),
    ],
)  # fmt: skip
def test_photographs_are_judged_by_their_header(data: bytes, why: str) -> None:
    with pytest.raises(WrongInput, match=why):
        checked_photo(BytesIO(data))


def test_a_header_of_under_fifty_million_pixels_is_taken() -> None:
    """49.6 million: the largest that phones send is 48 (50.4 million are refused above)."""
    checked_photo(BytesIO(promised(8000, 6200)))


def test_the_page_is_small(app: Guard, cookie: dict[str, str]) -> None:
    """First paint at most 100 KB compressed without drawings (DEVELOPERS.md)."""
    answers = [ask(app, name, headers=cookie) for name in ("/", *(f"/file/{name}" for name in FILES))]
    assert {answer.status for answer in answers} == {200}
    assert sum(len(gzip.compress(answer.body)) for answer in answers) < 100_000


def test_every_word_that_the_page_uses_is_in_both_languages() -> None:
    folder = Path(__file__).resolve().parents[3] / "projector" / "web" / "static"
    english, french = (json.loads((folder / f"{name}.json").read_text("utf-8")) for name in ("en", "fr"))
    assert set(english) <= set(french)  # French has more: what the program itself tells in English
    assert all(re.findall(r"\{\w+\}", english[key]) == re.findall(r"\{\w+\}", french[key]) for key in english)
    used = {word for file in folder.glob("*.js") for word in re.findall(r'\bt\("([a-z_.]+)"', file.read_text("utf-8"))}
    assert used
    assert used <= set(english)


def test_every_sentence_told_in_french_is_one_the_program_says() -> None:
    """A sentence changed in the program and not in the list would stay English in silence: its words must stand in the source."""
    folder = Path(__file__).resolve().parents[3] / "projector"
    told = json.loads((folder / "web" / "static" / "fr_said.json").read_text("utf-8"))
    source = " ".join(file.read_text("utf-8") for file in folder.rglob("*.py"))
    assert told
    for english, french in told.items():
        assert sorted(re.findall(r"\{\w+\}", english)) == sorted(re.findall(r"\{\w+\}", french))
        parts = [part for part in re.split(r"\{\w+\}", english) if part.strip()]
        # `farther apart` and `nearer together` are put together by the program: their sentence is looked for word group by word group
        groups = [group for part in parts for group in re.split(r"(?<=apart)|(?<=together)|(?= farther)|(?= nearer)", part)]
        assert all(group.strip() in source for group in groups), english


@pytest.mark.parametrize("path", ["/photos", "/survey", "/picture/clients/Ottilie", "/voice/cut"])
def test_two_uploads_at_a_time_whatever_they_are(path: str) -> None:
    """The third is refused before a byte of it is kept, and taken once another has ended."""
    arrived: list[str] = []

    async def whole() -> list[int]:
        go_on = asyncio.Event()

        async def slow(scope: Any, receive: Any, send: Any) -> None:
            arrived.append(scope["path"])
            await go_on.wait()
            await send({"type": "http.response.start", "status": 200, "headers": []})
            await send({"type": "http.response.body", "body": b""})

        guard, told = Guard(slow), []

        async def receive() -> dict[str, Any]:
            return {"type": "http.request", "body": b"", "more_body": False}

        async def send(message: Any) -> None:
            told.extend([message["status"]] if "status" in message else [])

        def one(to: str) -> Any:
            scope = {"type": "http", "method": "POST", "path": to, "headers": [(b"host", b"localhost")], "client": ("198.51.100.9", 5)}
            return guard(scope, receive, send)

        first = [asyncio.ensure_future(one("/photos")), asyncio.ensure_future(one("/voice/cut"))]
        await asyncio.sleep(0)
        await one(path)
        go_on.set()
        await asyncio.gather(*first)
        await one(path)
        return told

    assert asyncio.run(whole()) == [409, 200, 200, 200]
    assert arrived == ["/photos", "/voice/cut", path]
