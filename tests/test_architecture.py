"""Who may import what (DEVELOPERS.md, "Map of the house"), read from the source by ast, lazy imports included."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]

CALIBRATION_DOOR = {"calibration.errors", "calibration.names", "calibration.units"}  # imported by every stage: import nothing themselves
STAGES = ["body", "draft", "garment", "lay", "steps"]
PURE = {"numpy", "shapely"}
STDLIB_FORBIDDEN = {"os", "io", "pathlib", "time", "datetime", "random", "socket", "subprocess", "threading", "multiprocessing"}
"""A stage has no files, clock or processes; seeds and budgets come from outside (random.Random is handed in)."""

MAY: dict[str, set[str]] = {}
for _place, _stage in enumerate(STAGES):
    MAY[_stage] = set(STAGES[: _place + 1])
MAY["book"] = {*STAGES, "book"}
MAY["session"] = {*STAGES, "session"}
MAY["scene"] = {*STAGES, "session", "scene"}
MAY["picture"] = {"scene", "picture"}
MAY["window"] = {*STAGES, "session", "scene", "picture", "book", "window"}
MAY["paper"] = {*STAGES, "session", "scene", "picture", "book", "paper"}
MAY["web"] = {*STAGES, "session", "scene", "picture", "book", "web"}


def _imports(file: Path) -> set[str]:
    found: set[str] = set()
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module and node.level == 0:
            found |= {node.module, *(f"{node.module}.{alias.name}" for alias in node.names)}
        elif isinstance(node, ast.ImportFrom) and node.level:
            pytest.fail(f"{file}: relative import; write it whole")
    return found


def _files(part: str) -> list[Path]:
    found = sorted((ROOT / "projector" / part).rglob("*.py"))
    assert found, f"projector/{part} has no files: its rules would hold of nothing"
    return found


@pytest.mark.parametrize("part", sorted(MAY))
def test_each_part_imports_only_those_before_it(part: str) -> None:
    for file in _files(part):
        for name in _imports(file):
            if name.startswith("projector."):
                target = name.split(".")[1]
                assert target in MAY[part] or target == "__version__", f"{file} imports {name}"


@pytest.mark.parametrize("part", STAGES)
def test_stages_are_pure(part: str) -> None:
    allowed_calibration = CALIBRATION_DOOR
    for file in _files(part):
        for name in _imports(file):
            root = name.split(".")[0]
            if root == "calibration":
                assert any(name == door or name.startswith(door + ".") for door in allowed_calibration), f"{file} imports {name}"
            elif root == "projector":
                continue
            else:
                assert root in sys.stdlib_module_names or root in PURE, f"{file} imports {name}"
                assert root not in STDLIB_FORBIDDEN, f"{file} imports {name}"


def test_calibration_knows_no_dresses_and_no_window() -> None:
    for file in sorted((ROOT / "calibration").rglob("*.py")):
        assert not {name for name in _imports(file) if name.split(".")[0] in {"projector", "pygame"}}, file


CHECKERS = ("garment_checker", "lay_checker", "cutting", "virtual_table")
BRIDGES = {"cutting/product.py"}
"""What hands the product's files to a checker."""


@pytest.mark.parametrize("checker", CHECKERS)
def test_checkers_share_no_code_with_the_product(checker: str) -> None:
    files = [file for file in sorted((ROOT / "tests" / checker).glob("*.py")) if not file.name.startswith("test_")]
    judges = [file for file in files if f"{checker}/{file.name}" not in BRIDGES]
    assert len(judges) > 3
    for file in judges:
        assert not {name for name in _imports(file) if name.split(".")[0] in {"projector", "calibration"}}, file


def test_pygame_is_known_to_the_window_only() -> None:
    for file in sorted((ROOT / "projector").rglob("*.py")):
        if "window" not in file.relative_to(ROOT).parts:
            assert not {name for name in _imports(file) if name.split(".")[0] == "pygame"}, file


@pytest.mark.parametrize("package", ["projector", "calibration"])
def test_help_imports_nothing_heavy(package: str) -> None:
    heavy = ["numpy", "cv2", "shapely", "scipy", "pygame", "pydantic"]
    code = (
        f"import sys; sys.argv = ['{package}', '--help']\n"
        f"import {package}.__main__ as m; code = m.main()\n"
        f"print('loaded', [name for name in {heavy} if name in sys.modules], code)"
    )
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT, check=True).stdout
    assert told.strip().splitlines()[-1] == "loaded [] 0"


def test_top_level_holds_only_what_belongs() -> None:
    listed = subprocess.run(["git", "ls-files"], capture_output=True, text=True, cwd=ROOT, check=True).stdout.split()
    tops = {name.split("/")[0] for name in listed}
    assert {top for top in tops if not top.startswith(".")} <= {
        "README.md", "DEVELOPERS.md", "pyproject.toml", "projector", "calibration", "tests", "configs",
    }  # fmt: skip


def test_only_errors_and_units_are_free_of_imports() -> None:
    assert not _imports(ROOT / "calibration" / "errors.py")
    roots = {name.split(".")[0] for name in _imports(ROOT / "calibration" / "units.py")}
    assert roots <= {"calibration", *sys.stdlib_module_names}


LONGEST_FILE, LONGEST_FUNCTION = 400, 50


def test_no_file_and_no_function_is_too_long_to_read_at_once() -> None:
    for file in sorted(file for part in ("projector", "calibration", "tests") for file in (ROOT / part).rglob("*.py")):
        text = file.read_text(encoding="utf-8")
        assert text.count("\n") <= LONGEST_FILE, file
        for node in ast.walk(ast.parse(text)):
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef) and node.end_lineno is not None:
                assert node.end_lineno - node.lineno + 1 <= LONGEST_FUNCTION, f"{file}: {node.name}"
