"""What a checker can say, read from its source: every sentence with its rule, so that each can be asked for a case in which it is said."""

import ast
from dataclasses import dataclass
from pathlib import Path

TELLERS = {"Fault": 2, "tell": 1, "Unreadable": 0, "ValueError": 0}
"""Calls that say something, and which argument holds the words; the rule, if there is one, is the first argument before them."""
UNREADABLE = "format"


@dataclass(frozen=True, slots=True)
class Sentence:
    """One sentence: `rule` ("" where the checker names none), its fixed words, figures and names left out."""

    place: str
    rule: str
    words: tuple[str, ...]

    def holds(self, part: str) -> bool:
        """These words stand in it without a figure between them."""
        return any(part in fixed for fixed in self.words)


def _fixed(node: ast.expr) -> tuple[str, ...]:
    """Literal parts of a string or f-string; () for anything else."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return (node.value,)
    if isinstance(node, ast.JoinedStr):
        return tuple(str(part.value) for part in node.values if isinstance(part, ast.Constant))
    return ()


def _told(node: ast.AST) -> list[tuple[str, ast.expr]]:
    """(rule, words) that this node says."""
    if isinstance(node, ast.Call):
        name = node.func.attr if isinstance(node.func, ast.Attribute) else node.func.id if isinstance(node.func, ast.Name) else ""
        if name == "append":
            return [("", node.args[0])]
        if (place := TELLERS.get(name)) is not None and len(node.args) > place:
            rule = "".join(_fixed(node.args[0])) if place else UNREADABLE if name == "Unreadable" else ""
            return [(rule, node.args[place])]
    if isinstance(node, ast.ListComp):
        return [("", node.elt)]
    return [("", each) for each in node.elts] if isinstance(node, ast.List) else []


def sentences(folder: Path, apart: tuple[str, ...] = ()) -> list[Sentence]:
    """Every sentence of the modules in a folder, tests and those named `apart` left out.

    Fixed words without a space between letters are a name, no sentence.
    """
    found = []
    for file in sorted(folder.glob("*.py")):
        if not file.name.startswith("test_") and file.stem not in apart:
            for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
                for rule, words in _told(node):
                    if any(" " in fixed and any(map(str.isalpha, fixed)) for fixed in _fixed(words)):
                        found.append(Sentence(f"{file.name}:{words.lineno}", rule, _fixed(words)))
    return found


def unsaid(folder: Path, said: set[tuple[str, str]], apart: tuple[str, ...] = ()) -> list[str]:
    """Sentences that none of these (rule, words) stands for, and words that stand for none or for several."""
    every = sentences(folder, apart)
    wrong = [each.place for each in every if not any(rule == each.rule and each.holds(words) for rule, words in said)]
    for rule, words in sorted(said):
        meant = [each.place for each in every if rule == each.rule and each.holds(words)]
        wrong += [] if len(meant) == 1 else [f"{rule} {words!r} stands for {meant}"]
    return wrong
