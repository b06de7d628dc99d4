"""Does a test notice a changed number? `python -m tests.bench.mutants --stage draft [--only TEXT] [--inside] [--times 1.15] …`.

In a copy of what is committed, one number at a time is multiplied and tests run until the first failure. Numbers: constants of a
module, also those in tuples and mappings, and defaults of dataclasses; with `--inside` those in formulas as well (numbers.py).
Tests: those of the stage that call a function which reads the number (noted once for each test; `--measured FILE` keeps it), the
quickest first, as many as take `--within` seconds of processor together. Tests slower than that are left out. They run in forked
children (forked.py). Printed per number: caught, by which test, SURVIVED, UNTOUCHED where no test reads it, or why no test need
notice it (searched.py); in the end of each stage how many of each, and every one that is open.
0 and 1 are not tried (in formulas 0.5 and 2 neither). What another module worked out from a number while it was imported, and a
default argument of another module, stay as they were: such a number may be told as survived and be caught all the same.
It shows where tests are missing and is no test itself.
"""

import argparse
import ast
import hashlib
import io
import json
import os
import subprocess
import sys
import tarfile
import tempfile
from functools import lru_cache, partial
from pathlib import Path

import pytest

from tests.bench.forked import Loop, Test, change_loaded, first_failure, in_child, noted
from tests.bench.numbers import Number, changed, numbers
from tests.bench.searched import reason

PATIENCE = 40
"""A child may take this many times the seconds its tests were measured at: the machine may be busy."""
PRODUCT = "product"
"""Under which `--measured FILE` keeps what it was measured on."""
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
    "scene": (("projector/scene",), ("tests/projector/scene", "tests/projector/picture")),
    "calibration": (("calibration",), (*_CALIBRATION, "tests/projector/body", "tests/projector/book")),
}
"""Folders or files of the source, folders or files of tests."""


def committed(root: Path) -> None:
    """What is committed, unpacked."""
    told = subprocess.run(["git", "archive", "HEAD"], capture_output=True, check=True).stdout
    with tarfile.open(fileobj=io.BytesIO(told)) as tree:
        tree.extractall(root, filter="data")


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


def _version(root: Path) -> str:
    """Another one for every change of the product."""
    every = sorted(path for part in ("projector", "calibration") for path in (root / part).rglob("*.py"))
    return hashlib.sha256(b"".join(path.read_bytes() for path in every)).hexdigest()[:12]


def measured(root: Path, items: list[pytest.Item], most_s: float, kept: Path | None) -> list[tuple[Test, pytest.Item]]:
    """Every test that takes no longer than `most_s`, the quickest first; those whose file is in `kept` unchanged are taken from there."""
    known = json.loads(kept.read_text(encoding="utf-8")) if kept is not None and kept.is_file() else {}
    if known and known.get(PRODUCT) != _version(root):
        print(f"{kept} was kept of another version of the product: tests that by now call more than they did are not chosen by it.")
    known[PRODUCT] = known.get(PRODUCT, _version(root))
    found = []
    for item in items:
        key = f"{item.nodeid} {hashlib.sha256(item.path.read_bytes()).hexdigest()[:12]}"
        if key not in known or (not known[key][1] and known[key][0] < most_s):  # broken off at a shorter limit
            failed, seconds, calls = in_child(partial(noted, item, root), PATIENCE * most_s) or ("", most_s + 1, [])
            if failed:
                print(f"{failed} fails without any change and is left out.", flush=True)
                seconds, calls = most_s + 1, []
            known[key] = [seconds, calls]
            if kept is not None:
                kept.write_text(json.dumps(known), encoding="utf-8")
        found.append((Test(known[key][0], frozenset(known[key][1])), item))
    return sorted((each for each in found if each[0].seconds <= most_s), key=lambda each: each[0].seconds)


def _is_read_by(item: pytest.Item, number: Number) -> bool:
    """The test's own file holds the number: it compares it with what was drawn."""
    return not number.within and hasattr(getattr(item, "module", None), number.name.partition("[")[0].partition(".")[0])


def chosen(root: Path, number: Number, tests: list[tuple[Test, pytest.Item]], within_s: float) -> tuple[list[pytest.Item], float]:
    """The quickest tests that call a reader of the number, and their seconds together."""
    wanted, spent = readers(root, number), 0.0
    if not any(wanted & test.calls for test, _ in tests):  # a function newer than what `--measured` keeps
        wanted = {call for test, _ in tests for call in test.calls if call.startswith(f"{number.file}:")}
    found: list[pytest.Item] = []
    for test, item in tests:
        reads = bool(wanted & test.calls) or "*" in test.calls or _is_read_by(item, number)
        if reads and spent + test.seconds <= within_s:
            spent += test.seconds
            found.append(item)
    return found, spent


def _first_failure_with(number: Number, text: str, items: list[pytest.Item]) -> str:
    """In a child: change what is loaded, run."""
    module = sys.modules.get(number.file.removesuffix(".py").replace("/", "."))
    if module is not None:
        change_loaded(module, text)
    return first_failure(items)


def verdict(root: Path, number: Number, factor: float, items: list[pytest.Item], seconds: float) -> str:
    """'caught by TEST', 'caught: too slow', 'SURVIVED', or 'UNTOUCHED' where no test reads the number."""
    if not items:
        return "UNTOUCHED"
    file = root / number.file
    text = file.read_text(encoding="utf-8")
    file.write_text(changed(text, number, factor), encoding="utf-8")  # for children that tests start
    failed = in_child(partial(_first_failure_with, number, changed(text, number, factor), items), PATIENCE * (seconds + 3))
    file.write_text(text, encoding="utf-8")
    return "caught: too slow" if failed is None else f"caught by {failed}" if failed else "SURVIVED"


def _asked() -> argparse.Namespace:
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("--stage", choices=[*STAGES], action="append", help="which stage, may be said again; all without it")
    ask.add_argument("--only", default="", help="numbers whose FILE:NAME contains one of these, between commas")
    ask.add_argument("--inside", action="store_true", help="numbers inside functions too")
    ask.add_argument("--times", type=float, action="append", help="factor, may be said again; 1.15 without it")
    ask.add_argument("--within", type=float, default=60.0, help="seconds of tests per number")
    ask.add_argument("--measured", type=Path, help="keeps what each test calls and takes")
    ask.add_argument("--tests", action="append", help="files or folders of tests instead of the stage's")
    ask.add_argument("--list", action="store_true", help="print the numbers only")
    return ask.parse_args()


def _try_all(said: argparse.Namespace, root: Path, stage: str, wanted: list[Number], items: list[pytest.Item]) -> None:
    """Prints one line per number, then the stage's sums and what is open."""
    tests = measured(root, items, said.within, said.measured)
    print(f"{len(tests)} of {len(items)} tests, {sum(test.seconds for test, _ in tests):.0f} s", flush=True)
    judged = 0
    still_open: list[str] = []
    for number in wanted:
        label = f"{number.file}:{number.line}:{number.name}"
        if why := reason(number):
            judged += 1
            print(f"{label}: {why}", flush=True)
            continue
        chosen_items, seconds = chosen(root, number, tests, said.within)
        for factor in said.times or [1.15]:
            found = verdict(root, number, factor, chosen_items, seconds)
            told = f"{label} {number.value:g} → {number.times(factor):g}: {found}"
            print(told, flush=True)
            if found in ("SURVIVED", "UNTOUCHED") and (not still_open or not still_open[-1].startswith(f"{label} ")):
                still_open.append(told)  # open once, however many factors are not noticed
    caught = len(wanted) - judged - len(still_open)
    print(f"{stage}: {len(wanted)} numbers: {caught} caught, {judged} need no test, {len(still_open)} open", flush=True)
    print("\n".join(f"open: {told}" for told in still_open), flush=True)


def main() -> None:
    """One pytest session a stage in a copy of what is committed."""
    said = _asked()
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder).resolve()
        committed(root)
        if said.measured is not None:
            said.measured = said.measured.resolve()
        here = str(Path.cwd())
        os.chdir(root)
        sys.path[:] = [str(root), *(place for place in sys.path if place not in ("", here))]
        for name in [each for each in sys.modules if each.partition(".")[0] == "tests"]:
            del sys.modules[name]  # the copy's own are imported by the session
        for stage in said.stage or STAGES:
            places, test_places = STAGES[stage]
            wanted = [each for place in places for each in numbers(root, place, said.inside)]
            wanted = [each for each in wanted if any(part in f"{each.file}:{each.name}" for part in said.only.split(","))]
            if said.list:
                print("\n".join(f"{each.file}:{each.line}:{each.name} {each.value:g}" for each in wanted))
                continue
            arguments = ["-q", "-s", "-p", "no:cacheprovider", "--hypothesis-seed=0", "-m", "not long", *(said.tests or test_places)]
            pytest.main(arguments, plugins=[Loop(partial(_try_all, said, root, stage, wanted))])


if __name__ == "__main__":
    main()
