"""Does a test notice a changed constant? `python -m tests.bench.mutants [--only TEXT] [--times 1.15]`.

In a copy of what is committed, one named constant at a time is multiplied and the tests of its stage run until the first failure.
Printed per constant: caught, by which test, or SURVIVED. Takes hours with `--all`, which also runs the slow tests of the stage on
those that survive the quick ones. It shows where tests are missing and is no test itself.
"""

import argparse
import ast
import io
import subprocess
import sys
import tarfile
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

PATIENCE_S = 900
STAGES: dict[str, tuple[str, ...]] = {
    "projector/body": ("tests/projector/body", "tests/projector/draft", "tests/projector/garment"),
    "projector/draft": ("tests/published/test_drafting_rules.py", "tests/projector/draft", "tests/projector/garment"),
    "projector/garment": ("tests/projector/garment", "tests/projector/steps"),
    "projector/lay": ("tests/projector/lay",),
    "projector/steps": ("tests/projector/steps", "tests/cutting"),
    "projector/paper": ("tests/projector/paper",),
    "calibration/outlines.py": ("tests/calibration/test_outlines.py",),
    "calibration/units.py": ("tests/projector/body", "tests/projector/book"),
    "calibration/size.py": ("tests/calibration", "tests/virtual_table"),
    "calibration/stuck.py": ("tests/calibration", "tests/virtual_table"),
    "calibration/watch.py": ("tests/calibration", "tests/virtual_table"),
    "calibration/by_eye.py": ("tests/calibration", "tests/virtual_table"),
    "calibration/judge.py": ("tests/calibration", "tests/virtual_table"),
    "calibration/sheets.py": ("tests/calibration", "tests/virtual_table"),
}
SLOW: dict[str, tuple[str, ...]] = {
    "projector/body": ("tests/published",),
    "projector/draft": ("tests/published",),
    "projector/garment": ("tests/published", "tests/cutting"),
}


@dataclass(frozen=True, slots=True)
class Constant:
    """One number of the source: file, name, and where its text stands (line from 1, columns from 0, in UTF-8 bytes)."""

    file: str
    name: str
    line: int
    start: int
    end: int
    value: float


def constants(root: Path, place: str) -> Iterator[Constant]:
    """Module constants in capitals that are plain numbers; whole numbers are counts or limits of a search and are left out below 2."""
    files = [root / place] if place.endswith(".py") else sorted((root / place).glob("*.py"))
    for file in files:
        for node in ast.parse(file.read_text(encoding="utf-8")).body:
            if not (isinstance(node, ast.Assign) and len(node.targets) == 1 and isinstance(node.targets[0], ast.Name)):
                continue
            value = node.value
            if isinstance(value, ast.Constant) and isinstance(value.value, float) and value.end_col_offset is not None:
                yield Constant(
                    str(file.relative_to(root)), node.targets[0].id, value.lineno, value.col_offset, value.end_col_offset, value.value
                )


def changed(text: str, constant: Constant, times: float) -> str:
    """The source with that one number multiplied."""
    lines = text.split("\n")
    row = lines[constant.line - 1].encode()
    lines[constant.line - 1] = (row[: constant.start] + repr(constant.value * times).encode() + row[constant.end :]).decode()
    return "\n".join(lines)


def verdict(root: Path, tests: tuple[str, ...]) -> str:
    """'caught by TEST', 'caught: too slow' or 'SURVIVED'."""
    command = [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", "-m", "not long", *tests]
    try:
        done = subprocess.run(command, cwd=root, capture_output=True, text=True, timeout=PATIENCE_S, check=False)
    except subprocess.TimeoutExpired:
        return "caught: too slow"
    if done.returncode == 0:
        return "SURVIVED"
    named = [line.split(" ")[1] for line in done.stdout.splitlines() if line.startswith(("FAILED ", "ERROR "))]
    return f"caught by {named[0] if named else 'exit ' + str(done.returncode)}"


def main() -> None:
    """Prints one line per constant and the survivors' share."""
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("--only", default="", help="constants whose FILE:NAME contains this")
    ask.add_argument("--all", action="store_true", help="the slow tests too")
    ask.add_argument("--times", type=float, default=1.15)
    said = ask.parse_args()
    tried = survived = 0
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        committed = subprocess.run(["git", "archive", "HEAD"], capture_output=True, check=True).stdout
        with tarfile.open(fileobj=io.BytesIO(committed)) as tree:
            tree.extractall(root, filter="data")
        for place, tests in STAGES.items():
            for constant in constants(root, place):
                if said.only not in f"{constant.file}:{constant.name}":
                    continue
                file = root / constant.file
                text = file.read_text(encoding="utf-8")
                file.write_text(changed(text, constant, said.times), encoding="utf-8")
                found = verdict(root, tests)
                if found == "SURVIVED" and said.all and place in SLOW:
                    found = verdict(root, SLOW[place])
                file.write_text(text, encoding="utf-8")
                tried, survived = tried + 1, survived + (found == "SURVIVED")
                print(f"{constant.file}:{constant.name} {constant.value:g} → {constant.value * said.times:g}: {found}", flush=True)
    print(f"{survived} of {tried} survived")


if __name__ == "__main__":
    main()
