"""Files that are no whole photograph are told apart: cut short, HEIC, words; what a phone hangs on behind its JPEG is no matter."""

from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
import pytest

from calibration.errors import WrongInput
from calibration.find import Seen
from calibration.judge import advice_for, judge_looks, photo_problem
from calibration.photograph import Photograph, read_photograph
from calibration.sheets import board_of
from calibration.solve import MIRROR_IMAGE, Look, once


def jpeg(progressive: bool = False) -> bytes:
    """A small noisy picture as a JPEG file."""
    picture = np.random.default_rng(3).integers(0, 255, (480, 640, 3), dtype=np.uint8)
    done, data = cv2.imencode(".jpg", picture, [cv2.IMWRITE_JPEG_PROGRESSIVE, int(progressive)])
    assert done
    return data.tobytes()


@pytest.mark.parametrize("progressive", [False, True])
@pytest.mark.parametrize("behind", [b"", b"\x00" * 64, b"ftypmp42 a film \xff\xda\xff\xd8 behind the picture"])
def test_a_whole_jpeg_is_read(tmp_path: Path, progressive: bool, behind: bytes) -> None:
    file = tmp_path / "photo.jpg"
    file.write_bytes(jpeg(progressive) + behind)
    assert read_photograph(file).size == (640, 480)


@pytest.mark.parametrize("progressive", [False, True])
@pytest.mark.parametrize("share", [0.05, 0.5, 0.99])
def test_a_jpeg_cut_short_is_refused(tmp_path: Path, progressive: bool, share: float) -> None:
    """The decoder would fill the rest with grey and say nothing."""
    file = tmp_path / "photo.jpg"
    whole = jpeg(progressive)
    file.write_bytes(whole[: int(share * len(whole))])
    with pytest.raises(WrongInput, match="before its picture does"):
        read_photograph(file)


def test_heic_is_named_with_what_to_do(tmp_path: Path) -> None:
    """ISO/IEC 14496-12: a length, `ftyp`, the brand."""
    file = tmp_path / "photo.heic"
    file.write_bytes(b"\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic" + bytes(400))
    with pytest.raises(WrongInput, match="HEIC") as told:
        read_photograph(file)
    assert "Most Compatible" in told.value.next_step


def test_a_stored_quarter_turn_is_another_lens(tmp_path: Path) -> None:
    """The lens's middle turns with the picture: one set of lens numbers does not serve both."""
    for name, picture in (("a.jpg", np.zeros((480, 640, 3), np.uint8)), ("b.jpg", np.zeros((640, 480, 3), np.uint8))):
        cv2.imwrite(str(tmp_path / name), picture)
    assert read_photograph(tmp_path / "a.jpg").phone != read_photograph(tmp_path / "b.jpg").phone


def look(sha256: str, problem: str | None = None) -> Look:
    """A photograph in which one sheet was found, or nothing for the reason given."""
    blank = Photograph("photo.jpg", sha256, "phone", None, np.zeros((9, 12), np.uint8), np.zeros((9, 12, 3), np.uint8), 1)
    board = board_of("a4", 1)
    found = [] if problem else [Seen(board, np.zeros((1, 2), np.int64), np.zeros((1, 2)), False, 0.0)]
    return Look(blank, found, [], problem=problem)


def test_a_photograph_given_twice_is_one_witness() -> None:
    first, second, third = once([look("a"), look("b"), look("a")])
    assert len(first.printed) == len(second.printed) == 1
    assert not third.printed
    assert photo_problem(third) == "it is the same picture as an earlier one"


@pytest.mark.parametrize(("share", "is_told"), [(0.08, False), (0.12, True)])
def test_a_tenth_of_burnt_out_white_is_too_bright(share: float, is_told: bool) -> None:
    """Of a photograph in which nothing was found. A table that is not white left less than a third white, and a lamp was blamed."""
    grey = np.full((400, 400), 120, np.uint8)
    grey[: round(share * 400)] = 255
    blank = look("a")
    found = Look(replace(blank.photograph, grey=grey, small=np.repeat(grey[:, :, None], 3, 2)), [], [])
    assert (photo_problem(found) == "too bright") == is_told


def test_a_mirror_image_is_named() -> None:
    message = judge_looks([look("a", MIRROR_IMAGE)]).message
    assert "mirror image" in message.what
    assert message.next == advice_for("it is a mirror image")
