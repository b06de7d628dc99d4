"""Keys, presenter and foot switch: remapped by a file, next names its step, a bouncing pedal never skips a cut."""

import random
from pathlib import Path

import pygame
import pytest

from calibration.errors import WrongInput
from projector.desk.keys_file import read_keys
from projector.session.change import STEPPING, apply
from projector.session.commands import OFFERS
from projector.session.keys import COMMANDS, KEY_NAMES, keys_shown, own_keys
from projector.window.keys import SCANCODES, Keys, code_of
from tests.projector.made_up import snapshot, work

WORK = work()
PRESSED = (
    (pygame.K_PAGEDOWN, "done"), (pygame.K_PAGEUP, "back"), (pygame.K_SPACE, "done"), (pygame.K_n, "next"), (pygame.K_F5, "light_off"),
    (pygame.K_b, "light_off"), (pygame.K_ESCAPE, "leave"), (pygame.K_F1, "help"),
)  # fmt: skip
WRONG = (
    ("page dwon: done", "page down"), ("space: doen", "done"), ("space: go", "no command"), ("q: next", "held keys"),
    ("- a\n", "list of keys"),
)  # fmt: skip


def test_every_key_name_is_a_key_and_every_command_can_be_asked_by_a_bare_key() -> None:
    assert len({code_of(name) for name in KEY_NAMES if name not in SCANCODES}) == len(KEY_NAMES) - len(SCANCODES)
    assert set(own_keys()) <= set(KEY_NAMES)
    assert set(own_keys().values()) <= set(COMMANDS)
    own = [offer.key for offer in OFFERS if offer.key]
    assert len(own) == len(set(own)), "no key asks for two things"


def test_the_sample_file_takes_no_key_from_the_keyboard(tmp_path: Path) -> None:
    """`i` once went back a step instead of making the lines of dark cloth bolder."""
    read = read_keys(tmp_path)
    assert {key: read[key] for key in own_keys() if key in read} == {key: own_keys()[key] for key in own_keys() if key in read}


def test_the_sample_file_serves_presenter_and_foot_switch(tmp_path: Path) -> None:
    keys = Keys(read_keys(tmp_path))
    held, now = snapshot(), 0.0
    for code, wanted in PRESSED:
        now += 1000.0
        asked = keys.down(code, 0, 0, now, held)
        assert asked is not None
        assert (asked.name, asked.from_step) == (wanted, 0 if wanted in STEPPING else None)
    volume = keys.down(0, SCANCODES["volume up"], 0, now + 1000.0, held)
    assert volume is not None
    assert volume.name == "done"


def test_a_file_of_the_book_remaps_silences_and_is_told_by_help(tmp_path: Path) -> None:
    (tmp_path / "keys.yaml").write_text("tab: next\npage down: allowances\nb:\nf5: ''\n", encoding="utf-8")
    read = read_keys(tmp_path)
    keys = Keys(read)
    asked = {code: keys.down(code, 0, 0, 1000.0 * number, snapshot()) for number, code in enumerate((pygame.K_TAB, pygame.K_PAGEDOWN), 1)}
    assert [command.name for command in asked.values() if command] == ["next", "allowances"]
    assert keys.down(pygame.K_b, 0, 0, 9000.0, snapshot()) is None
    assert keys.down(pygame.K_F5, 0, 0, 9999.0, snapshot()) is None
    told = keys_shown(read)
    assert (told["allowances"], told["done"], told["light_off"]) == ("a", "space", "period")
    assert told["next"] == "n"


@pytest.mark.parametrize(("text", "said"), WRONG)
def test_a_wrong_file_is_told_with_the_nearest_name(tmp_path: Path, text: str, said: str) -> None:
    (tmp_path / "keys.yaml").write_text(text, encoding="utf-8")
    with pytest.raises(WrongInput) as told:
        read_keys(tmp_path)
    assert said in f"{told.value.what} {told.value.why}"


@pytest.mark.parametrize("late_ms", [0.0, 20.0, 400.0])
def test_a_bouncing_pedal_never_skips_a_step(late_ms: float) -> None:
    """A foot presses once a second; each stroke bounces up to five times within 250 ms (half a foot switch's worst, from memory), and
    the picture it sees is `late_ms` old. Every stroke is one step, never two."""
    chance = random.Random(7)
    keys, held, now = Keys(), snapshot(), 0.0
    for stroke in range(len(WORK.steps)):
        seen, newest = held, held
        for bounce in sorted(chance.uniform(0.0, 250.0) for _ in range(chance.randint(1, 6))):
            light = seen if bounce < late_ms else newest
            asked = keys.down(pygame.K_PAGEDOWN, 0, 0, now + bounce, light)
            if asked is not None:
                newest = apply(newest, WORK, asked)
        held, now = newest, now + 1000.0
        assert held.done == tuple(range(stroke + 1))


def test_two_pedals_at_once_are_one_step() -> None:
    """Presenter and foot switch, each for itself, ask from the same step: the second finds another step in hand and is ignored."""
    foot, presenter, held = Keys(), Keys(), snapshot()
    asked = [keys.down(pygame.K_PAGEDOWN, 0, 0, 1000.0, held) for keys in (foot, presenter)]
    for command in asked:
        assert command is not None
        held = apply(held, WORK, command)
    assert (held.step, held.done) == (1, (0,))
