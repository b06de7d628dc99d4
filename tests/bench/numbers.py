"""Numbers of the source that a test should notice when they change, found by ast. Used by `tests.bench.mutants`."""

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

PLAIN = (0.0, 0.5, 1.0, 2.0)
"""Inside formulas these are halves, doubles and beginnings: changing them breaks the geometry at once or says nothing."""
TINY = 1e-3
"""Inside formulas smaller ones are tolerances of the arithmetic."""
COUNTERS = {"range", "round", "islice", "enumerate", "combinations", "leggauss"}


@dataclass(frozen=True, slots=True)
class Number:
    """One number: file, name, who reads it, and where its text stands (line from 1, columns from 0, in UTF-8 bytes).

    `name`: the constant, with its place in a tuple or mapping (`AXES[1]`); a default (`Ease.bust_mm`); `function#2` for the second
    number inside a function. `within`: the function it stands in, or "".
    """

    file: str
    name: str
    within: str
    line: int
    start: int
    end: int
    value: float

    def times(self, factor: float) -> float:
        """The changed value; a whole number stays whole and moves by one at least."""
        if isinstance(self.value, int):
            moved = round(self.value * factor)
            return moved if moved != self.value else self.value + (1 if factor > 1 else -1)
        return self.value * factor


def changed(text: str, number: Number, factor: float) -> str:
    """The source with that one number multiplied."""
    lines = text.split("\n")
    row = lines[number.line - 1].encode()
    lines[number.line - 1] = (row[: number.start] + repr(number.times(factor)).encode() + row[number.end :]).decode()
    return "\n".join(lines)


def _plain(node: ast.AST) -> Iterator[ast.Constant]:
    """Numbers under a node in the order they are written; not places in a list, counts of turns, keywords' words."""
    if isinstance(node, ast.Constant):
        if isinstance(node.value, int | float) and not isinstance(node.value, bool):
            yield node
        return
    if isinstance(node, ast.JoinedStr):
        return
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name | ast.Attribute):
        name = node.func.id if isinstance(node.func, ast.Name) else node.func.attr
        if name in COUNTERS:
            return
    for field, child in ast.iter_fields(node):
        if isinstance(node, ast.Subscript) and field == "slice":
            continue
        for each in child if isinstance(child, list) else [child]:
            if isinstance(each, ast.AST):
                yield from _plain(each)


def _assigned(node: ast.stmt) -> Iterator[tuple[str, ast.expr]]:
    """Names and values of a module's or class's assignment; `A, B = 1.0, 2.0` gives two."""
    if isinstance(node, ast.AnnAssign) and node.value is not None and isinstance(node.target, ast.Name):
        yield node.target.id, node.value
    if isinstance(node, ast.Assign) and len(node.targets) == 1:
        target = node.targets[0]
        if isinstance(target, ast.Name):
            yield target.id, node.value
        if isinstance(target, ast.Tuple) and isinstance(node.value, ast.Tuple):
            for name, value in zip(target.elts, node.value.elts, strict=True):
                if isinstance(name, ast.Name):
                    yield name.id, value


def _named(file: str, node: ast.stmt, owner: str = "") -> Iterator[Number]:
    for name, value in _assigned(node):
        found = [each for each in _plain(value) if each.value and not (isinstance(each.value, int) and each.value < 2)]
        for place, each in enumerate(found):
            label = owner + (name if each is value else f"{name}[{place}]")
            yield _number(file, label, "", each)


def _number(file: str, name: str, within: str, node: ast.Constant) -> Number:
    if node.end_col_offset is None or not isinstance(node.value, int | float):
        raise ValueError(f"{file}: {name} has no place in the text")
    return Number(file, name, within, node.lineno, node.col_offset, node.end_col_offset, node.value)


def _inside(file: str, function: ast.FunctionDef) -> Iterator[Number]:
    """Numbers of formulas, defaults of arguments with them."""
    found = [each for part in (*function.args.defaults, *function.args.kw_defaults, *function.body) if part for each in _plain(part)]
    for place, each in enumerate(found):
        value = each.value
        if not isinstance(value, int | float) or abs(value) in PLAIN or abs(value) < TINY:
            continue
        yield _number(file, f"{function.name}#{place}", function.name, each)


def numbers(root: Path, place: str, inside: bool) -> Iterator[Number]:
    """All numbers of a folder or file: constants and defaults by name, with `inside` those within functions too."""
    for path in [root / place] if place.endswith(".py") else sorted((root / place).glob("*.py")):
        file = str(path.relative_to(root))
        tree = ast.parse(path.read_text(encoding="utf-8"))
        functions: list[ast.FunctionDef] = []
        for node in tree.body:
            yield from _named(file, node)
            if isinstance(node, ast.ClassDef):
                for member in node.body:
                    yield from _named(file, member, f"{node.name}.")
            functions += [each for each in ast.walk(node) if isinstance(each, ast.FunctionDef)] if inside else []
        outer = [each for each in functions if not any(each is not other and each in ast.walk(other) for other in functions)]
        for function in outer:
            yield from _inside(file, function)
