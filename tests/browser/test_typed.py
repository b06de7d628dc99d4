"""What hurried thumbs type into a measure, and the buttons for an eighth beside it: the page's own script, its files served plainly."""

import threading
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest

from projector.web.app import STATIC
from tests.browser.phone import Phone

pytestmark = pytest.mark.browser
WANTED = {
    "34 1/2": ["34 5/8", "34 3/8"], "34½": ["34 5/8", "34 3/8"], "0": ["1/8", "0"], "": ["", ""], "trente": ["trente", "trente"],
    "34 1/0": ["34 1/0", "34 1/0"], "9" * 21: ["9" * 21, "9" * 21], "87.6 cm": ["88 cm", "87 cm"],
}  # fmt: skip
"""Typed, an eighth (or half a centimetre) more, and less: `34 1/0` once became Infinity, `34½` did not move."""


class _Files(SimpleHTTPRequestHandler):
    def translate_path(self, path: str) -> str:
        return str(STATIC / (path.removeprefix("/file/").split("?")[0].strip("/") or "page.html"))

    def log_message(self, *_: object) -> None:
        pass


def test_an_eighth_more_or_less_of_what_was_typed(tmp_path: Path) -> None:
    server = ThreadingHTTPServer(("127.0.0.1", 0), _Files)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    phone = Phone(tmp_path / "profile")
    try:
        phone.page.get(f"http://127.0.0.1:{server.server_address[1]}/")
        found = phone.page.execute_async_script(
            "const [typed, done] = arguments; import('/file/client.js').then(({ stepped }) =>"
            " done(Object.fromEntries(typed.map(text => [text, [stepped(text, 'in', 1), stepped(text, 'in', -1)]]))))",
            list(WANTED),
        )
    finally:
        phone.page.quit()
        server.shutdown()
        server.server_close()
    assert found == WANTED
