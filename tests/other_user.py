"""What another user is told: root is stopped by nothing, so a folder that may not be written to is tried by a child that is nobody."""

import os
import warnings
from collections.abc import Callable
from pathlib import Path

from calibration.keep import NotKept

NOBODY = 65534


def open_to_all(folder: Path) -> None:
    """Let another user look into a test's folder and those above it that the test run made."""
    for each in (folder, *folder.parents[:3]):  # one folder more under several workers
        each.chmod(each.stat().st_mode | 0o055)


def not_kept_by_nobody(*tries: Callable[[], object]) -> int:
    """How many of these are told as NotKept in a child without root's rights; anything else that goes wrong there raises here.

    The child is forked and ends at once (`os._exit`): nothing that the parent would write at its own end is written by a user who may
    not, as what a measurement of coverage has counted.
    """
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)  # later Pythons warn of any fork beside threads; the child starts none
        child = os.fork()
    if child == 0:
        told = 255
        try:
            if os.getuid() == 0:
                os.setgid(NOBODY)
                os.setuid(NOBODY)
            told = sum(_is_not_kept(each) for each in tries)
        finally:
            os._exit(told)
    told = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    assert told != 255, "the child failed otherwise"
    return told


def _is_not_kept(what: Callable[[], object]) -> bool:
    try:
        what()
    except NotKept:
        return True
    return False
