"""Her whole afternoon on a phone 360 px wide, in a real browser, against the program with its window on a real X server.

Pair, calibrate from a dark table by photographs of the virtual table, client in inches from the shoulder, dress, cloth, a print placed,
another fold, every cut, allowances off and on as the lamp throws them, window and laptop killed in mid-step, fitting, second dress,
once in French.
"""

import os
import select
import signal
from collections.abc import Iterator
from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from calibration.frame import frame_picture
from calibration.sheets_files import write_sheets
from calibration.table import Table
from calibration.yaml_reader import read_yaml, typed_text
from projector.book.orders import load_order
from tests.browser.phone import PATIENCE_S, Phone, opened
from tests.projector.made_up import SIZE
from tests.projector.window.xserver import Server, xvfb
from tests.served import Served, served, window_of
from tests.virtual_table import LANDSCAPE_3MP, good, pages_of, photographs, truth_of
from tests.virtual_table.scene import Scene

pytestmark = [pytest.mark.browser, pytest.mark.screen]
MEASURES = {"bust": "36 1/2", "waist": "29", "hip": "40", "half_length": "16", "shoulder_hip": "25", "shoulder_knee": "38"}
ORDER = "Ottilie day dress"
MOTIF = {"piece": "front centre", "level": "bust", "lower": "1 1/2"}


@pytest.fixture
def phone(tmp_path: Path) -> Iterator[Phone]:
    with opened(tmp_path / "profile") as made:
        yield made


def cut_pixels(picture: NDArray[np.uint8]) -> int:
    """Pixels of a cut line to be cut now: yellow at full light (red and green near 255, blue far below)."""
    red, green, blue = (picture[..., channel].astype(int) for channel in range(3))
    return int(((red > 200) & (green > 150) & (blue < 120)).sum())


# Table --------------------------------------------------------------------------------------------------------------------
def pair(phone: Phone, server: Server, wanted: str) -> None:
    """The code on the table, read as a phone's camera app reads it; without it nothing answers."""
    reader = cv2.QRCodeDetector()
    address = str(phone.wait(lambda: reader.detectAndDecode(server.picture())[0]))
    phone.page.get(address.partition("?")[0])
    assert "Scan the code on the table." in phone.page.page_source
    phone.page.get(address)
    phone.until("#state", wanted)
    assert "t=" not in phone.page.current_url


def every_screen_is_narrow(phone: Phone) -> None:
    for screen in ("client", "dress", "cloth", "fitting", "cut", "table"):
        phone.go(screen)
        assert phone.is_narrow(), screen


def calibrate(phone: Phone, server: Server, folder: Path) -> None:
    """Two photographs of what the lamp really throws, then the long line as her tape reads it on the virtual table."""
    phone.go("table")
    phone.until("#first", "Auto-keystone is off")  # what the lamp needs comes first, on the phone and in the light
    phone.tap("#first button[data-name=frame]")
    framed = frame_picture(SIZE)
    phone.wait(lambda: (server.picture() == framed[..., ::-1]).all())
    scene = good(5, pages_of(folder / "sheets"), SIZE, phone_px=LANDSCAPE_3MP)
    photos = photographs(scene, [server.picture()], folder / "photos")
    phone.find("#photo").send_keys("\n".join(str(photo) for photo in photos))
    phone.tap("#photos button.main")
    phone.until("#message", "reading 2 photographs")
    phone.wait(lambda: phone.state()["mode"] == "proof")
    assert phone.state()["state"] == "stop", "nothing is taped: nothing may be cut"
    phone.type("#as_read", f"{taped_mm(phone, scene, folder / 'table.yaml') / 25.4:.3f} in")
    phone.tap("#taped button")
    phone.until("#state", "READY")
    phone.until("#first", "10 cm ahead")  # the shadow is tried once
    phone.select("#side-first-cutting_hand", "left")
    phone.wait(lambda: phone.state()["cutting_hand"] == "left")
    phone.tap("#first button[data-name=leave]")
    phone.wait(lambda: phone.state()["mode"] == "steps")


def taped_mm(phone: Phone, scene: Scene, table_file: Path) -> float:
    """How long the thrown line truly is on the virtual table: its ends in pixels through the lamp's own truth."""
    table, shown = Table.read(table_file), float(phone.state()["proof_mm"])
    assert shown > 1000
    middle = table.mm_from_px(np.array([[SIZE[0] / 2, SIZE[1] / 2]]))[0]
    half = np.array([shown / 2, 0.0])
    on_table = np.asarray(truth_of(scene).mm_from_px(table.px_from_mm(np.array([middle - half, middle + half]))))
    return float(np.hypot(*(on_table[1] - on_table[0])))


# Client, dress, cloth -----------------------------------------------------------------------------------------------------
def her_picture(phone: Phone, photo: Path) -> None:
    """The style picture she brought is kept on her card, and seen there at once."""
    phone.find("#style-picture").send_keys(str(photo))
    phone.until("#message", "Picture kept.")
    phone.wait(lambda: phone.find("img.style-picture").is_displayed())


def new_client(phone: Phone) -> None:
    phone.go("client")
    phone.tap("#new-client")
    phone.type("#client-name", "Ottilie")
    phone.select("#unit", "in")
    for key, text in MEASURES.items():
        phone.type(f"#m-{key}", text)
    phone.type("#m-hip", "39 cm")
    phone.until("#m-hip-note", "did you mean 39 in?")
    phone.type("#m-hip", "40")
    phone.until("#verdict", "A dress can be drafted")
    phone.tap(".measure:has(#m-bust) button[aria-label$='1/8 more']")
    assert phone.find("#m-bust").get_attribute("value") == "36 5/8"
    phone.tap("#save-client")
    phone.until("h1", "Ottilie")


def drawn_again(phone: Phone, css: str) -> None:
    """Tap, and wait until the dress is drawn again; a drawing asked for before may come in between."""
    before = phone.drawings()
    phone.tap(css)
    phone.wait(lambda: phone.drawings() > before)


def new_dress(phone: Phone) -> None:
    phone.go("dress")
    phone.select("#orders", "+")
    phone.type("#order-name", ORDER)
    phone.select("#client", "Ottilie")
    phone.until("#look", "they meet")
    for choice in ("neck v", "lining false"):
        drawn_again(phone, f"input[data-choice='{choice}']")
    phone.until("#look", "they meet")
    phone.tap("#save-order")
    phone.until("#message", "Kept")


def lay_and_open(phone: Phone) -> None:
    phone.go("cloth")
    phone.type("#c-main-width", "12 in")
    phone.tap("#lay-it")
    phone.until("#lay .stop", "too narrow")
    phone.type("#c-main-width", "60 in")
    phone.tap("#lay-it")
    phone.until("#lay", " yd)")
    print_placed(phone)
    another_fold(phone)
    phone.tap("#to-table")
    phone.until("#order", ORDER)
    phone.find("main[data-screen=cut]")


def print_placed(phone: Phone) -> None:
    """The print stands up along the cloth and repeats: its motif on the front, the same row on every partner."""
    phone.select("#c-main-up", "along")
    phone.type("#c-main-repeat", "12 in")
    phone.tap("#place-print summary")
    phone.select("#motif-piece", MOTIF["piece"])
    phone.select("#motif-level", MOTIF["level"])
    phone.type("#motif-lower", MOTIF["lower"])
    phone.tap("#lay-it")
    phone.until("#lay", "The row meets again at: princess, side")
    phone.find("#lay .motif")


def another_fold(phone: Phone) -> None:
    """A fold that the print forbids is refused with its reason; one of the other ways, told with its length, is taken."""
    phone.select("#fold", "crosswise")
    phone.tap("#lay-it")
    phone.until("#lay .stop", "Not folded across. The print stands along the cloth")
    phone.select("#fold", "lengthwise")
    phone.tap("#lay-it")
    phone.until("#lay", "folded along the middle")
    phone.until("#lay", "it may be cut so")
    phone.find("#lay .motif")


# Cutting ------------------------------------------------------------------------------------------------------------------
def one_step(phone: Phone, number: int, is_fact: bool) -> None:
    """Done by the thumb: a cut asks first, and is a fact only when pressed again."""
    phone.until(".count", f"{number + 1} /")
    phone.find(f"#done[data-firm={'yes' if is_fact else 'no'}]")
    phone.tap("#done")
    if is_fact:
        phone.until("#done", "Press again")
        phone.tap("#done")
    phone.wait(lambda: int(phone.find("body").get_attribute("data-number") or 0) and number in phone.state()["done"])


def cut_until(phone: Phone, steps: list[dict[str, object]], first: int, last: int) -> None:
    """From this step to before that one; every one marked done, none skipped."""
    for number in range(first, last):
        one_step(phone, number, bool(steps[number]["is_fact"]))
    assert phone.state()["done"] == list(range(last))


def allowances(phone: Phone, server: Server) -> None:
    """Off: no cut line is thrown any more. On: the very picture that was there."""
    phone.wait(lambda: cut_pixels(server.picture()) > 500)
    before = server.picture()
    phone.tap("button[data-name=allowances]")
    phone.find("button[data-name=allowances][aria-pressed=false]")
    phone.wait(lambda: cut_pixels(server.picture()) == 0)
    assert (server.picture() > 60).any(), "the sewing lines stay"
    phone.tap("button[data-name=allowances]")
    phone.wait(lambda: (server.picture() == before).all())


def kill_window(phone: Phone, program: Served, server: Server) -> None:
    """The window dies in mid-step: another one is there by itself, with the same picture, and follows the phone."""
    before, old = server.picture(), window_of(program.child.pid)
    gone = os.pidfd_open(old)
    os.kill(old, signal.SIGKILL)
    assert select.select([gone], [], [], PATIENCE_S)[0]
    os.close(gone)
    phone.tap("button[data-name=grid]")
    phone.wait(lambda: (server.picture() != before).any() and server.picture().max() > 100)
    phone.tap("button[data-name=grid]")
    phone.wait(lambda: (server.picture() == before).all())
    assert window_of(program.child.pid) != old


def power_cut(phone: Phone, program: Served) -> None:
    """The laptop goes dark: the window ends by itself, the phone says that it is stale."""
    window = os.pidfd_open(window_of(program.child.pid))
    program.child.send_signal(signal.SIGKILL)
    assert select.select([window], [], [], PATIENCE_S)[0], "the window outlived its desk"
    os.close(window)
    phone.until("#stale", "Not connected")


def onto_cut_edges(phone: Phone, server: Server) -> None:
    """After the power came back no cut line is thrown until two crosses lie on the real edges."""
    assert cut_pixels(server.picture()) == 0
    phone.tap("button[data-name=align]")
    for _ in range(2):
        number = phone.state()["number"]
        phone.tap("button[data-name=fix]")
        phone.wait(lambda before=number: phone.state()["number"] > before)  # type: ignore[misc]
    assert phone.state()["is_cloth_true"]


# After --------------------------------------------------------------------------------------------------------------------
def fitting(phone: Phone) -> None:
    phone.go("fitting")
    phone.select("#fit-client", "Ottilie")
    phone.select("#fit-order", ORDER)
    phone.type(".pinned .by", "1/4")
    phone.tap("input[data-choice='kind figure']")
    phone.tap("#save-fitting")
    phone.until("#message", "1 fittings")


def in_french(phone: Phone) -> None:
    phone.go("table")
    phone.select("#tongue", "fr")
    phone.find("html[lang=fr]")
    phone.until("nav a[data-name=client]", "Cliente")
    every_screen_is_narrow(phone)
    phone.go("cut")
    phone.tap("#next")  # a sentence of the program itself, in her language
    phone.until("#message", "C'est la dernière étape.")
    phone.go("table")
    phone.select("#tongue", "en")
    phone.find("html[lang=en]")


@pytest.mark.timeout(900)  # the whole walk: a minute alone, several on a busy machine
def test_the_whole_afternoon(phone: Phone, tmp_path: Path) -> None:
    book, table_file = tmp_path / "book", tmp_path / "table.yaml"
    write_sheets(tmp_path / "sheets", "a4", 4, 200.0, False)
    options = ("--table", str(table_file), "--sheets", str(tmp_path / "sheets" / "sheets.json"))
    with xvfb(SIZE, tmp_path) as server:
        with served("tomasina_plain", book, *options, "--calibrate", display=server.name) as program:
            pair(phone, server, "STOP")
            every_screen_is_narrow(phone)
            calibrate(phone, server, tmp_path)
            new_client(phone)
            her_picture(phone, next((tmp_path / "photos").iterdir()))
            new_dress(phone)
            lay_and_open(phone)
            steps = phone.fetch("/steps")["steps"]
            facts = [number for number, step in enumerate(steps) if step["is_fact"]]
            cut_until(phone, steps, 0, facts[0])
            allowances(phone, server)
            cut_until(phone, steps, facts[0], facts[1])
            kill_window(phone, program, server)
            power_cut(phone, program)
        with served(ORDER, book, *options, display=server.name):
            pair(phone, server, "READY")
            phone.go("cut")
            phone.until("#order", ORDER)
            phone.until(".count", f"{facts[1] + 1} / {len(steps)}")  # the same step of the same lay
            assert phone.state()["done"] == list(range(facts[1]))
            onto_cut_edges(phone, server)
            cut_until(phone, steps, facts[1], len(steps))
            phone.until("#message", "All steps are done")
            fitting(phone)
            phone.go("dress")
            phone.select("#orders", ORDER)
            phone.until("#look", "from the fitting")  # the second dress starts from it
            in_french(phone)
    assert phone.faults() == []
    assert typed_text(read_yaml(book / "clients" / "Ottilie.yaml").data["measures"]["hip"]) == "40"
    kept = load_order(ORDER, book)
    assert kept.style.fitted
    assert kept.card.motif is not None
    assert {name: getattr(kept.card.motif, name) for name in MOTIF} == MOTIF
