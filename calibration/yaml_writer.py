"""YAML as a person reads and edits it: one name a line, numbers as they were typed, her comments where she put them."""

import re
from collections.abc import Iterator, Mapping
from typing import Any

import yaml

from calibration.yaml_reader import FLOAT, INT, TypedFloat, TypedInt, typed_text

_NUMBER, _WORD, _NOTHING = "tag:yaml.org,2002:float", "tag:yaml.org,2002:bool", "tag:yaml.org,2002:null"
_NEVER_WRAPPED = 2**20

Path_ = tuple[str | int, ...]


class _ByLine(yaml.SafeDumper):
    """Mappings one name a line, lists of plain values on one line. Quoted is only what our reader would take for something else."""

    def ignore_aliases(self, _: Any) -> bool:
        """The reader refuses & and *."""
        return True


_ByLine.yaml_implicit_resolvers = {}  # not YAML's own: a day or a clock needs no quotes here
for _pattern, _tag in ((INT.pattern, _NUMBER), (FLOAT.pattern, _NUMBER), ("true|True|false|False", _WORD), ("null|~|", _NOTHING)):
    _ByLine.add_implicit_resolver(_tag, re.compile(f"(?:{_pattern})$"), None)


def _mapping(dumper: yaml.SafeDumper, data: Mapping[Any, Any]) -> yaml.Node:
    return dumper.represent_mapping("tag:yaml.org,2002:map", {str(key): value for key, value in data.items()}, flow_style=False)


def _list(dumper: yaml.SafeDumper, data: list[Any] | tuple[Any, ...]) -> yaml.Node:
    is_plain = not any(isinstance(each, Mapping | list | tuple) for each in data)
    return dumper.represent_sequence("tag:yaml.org,2002:seq", data, flow_style=is_plain)


def _text(dumper: yaml.SafeDumper, data: str) -> yaml.Node:
    return dumper.represent_scalar("tag:yaml.org,2002:str", data, style="|" if "\n" in data else None)


_ByLine.add_representer(str, _text)
_ByLine.add_representer(dict, _mapping)
_ByLine.add_representer(list, _list)
_ByLine.add_representer(tuple, _list)
for _kind in (TypedInt, TypedFloat):
    _ByLine.add_representer(_kind, lambda dumper, data: dumper.represent_scalar(_NUMBER, typed_text(data)))
for _plain in (int, float):
    _ByLine.add_representer(_plain, lambda dumper, data: dumper.represent_scalar(_NUMBER, repr(data)))


def yaml_text(data: Any) -> str:
    """Values as YAML that the reader reads back alike, keys in the order given."""
    return str(yaml.dump(data, Dumper=_ByLine, sort_keys=False, allow_unicode=True, width=_NEVER_WRAPPED))


def with_comments(text: str, old: str) -> str:
    """`text` with the comments of `old` at the same names; those whose name is gone stand at the end, so that none is lost.

    Both are YAML that the reader takes.
    """
    above, behind, last = _comments(old)
    lines = text.splitlines()
    names = _names(text)
    at: dict[Path_, int] = {}
    for place, name in names.items():
        at.setdefault(name, place)
    left = [*(each for path, some in above.items() if path not in at for each in some)]
    left += [each for path, each in behind.items() if path not in at]
    told: list[str] = []
    for number, line in enumerate(lines):
        path = names.get(number)
        if path is not None and at[path] == number:
            indent = line[: len(line) - len(line.lstrip(" "))]
            told += [indent + each for each in above.get(path, [])]
            line += f"  {behind[path]}" if path in behind else ""
        told.append(line)
    return "\n".join([*told, *last, *left]) + "\n"


def _comments(text: str) -> tuple[dict[Path_, list[str]], dict[Path_, str], list[str]]:
    """Comments by the name they stand above, by the name they stand behind, and those at the end."""
    ends, inside = _tokens(text)
    names = _names(text)
    above: dict[Path_, list[str]] = {}
    behind: dict[Path_, str] = {}
    waiting: list[str] = []
    path: Path_ = ()
    for number, line in enumerate(text.splitlines()):
        rest = line[ends.get(number, 0) :].strip() if number not in inside else ""
        if number in names:
            path = names[number]
            if waiting:
                above.setdefault(path, []).extend(waiting)
            waiting = []
        if not rest.startswith("#"):
            continue
        if line.strip() == rest:
            waiting.append(rest)
        else:
            behind[path] = f"{behind[path]} {rest}" if path in behind else rest
    return above, behind, waiting


def _tokens(text: str) -> tuple[dict[int, int], set[int]]:
    """Where the last word of each line ends, and the lines that begin inside a text running over several."""
    ends: dict[int, int] = {}
    inside: set[int] = set()
    for token in yaml.scan(text, Loader=yaml.SafeLoader):
        if token.start_mark.index == token.end_mark.index:
            continue
        is_block = isinstance(token, yaml.ScalarToken) and token.style in ("|", ">")
        last = token.end_mark.line - (1 if is_block and token.end_mark.column == 0 else 0)
        inside.update(range(token.start_mark.line + 1, last + (1 if is_block else 0)))
        ends[token.end_mark.line] = max(ends.get(token.end_mark.line, 0), token.end_mark.column)
    return ends, inside


def _names(text: str) -> dict[int, Path_]:
    """The outermost name (or place in a list) that begins on each line, from 0."""
    found: dict[int, Path_] = {}
    for line, path in _walk(yaml.compose(text, Loader=yaml.SafeLoader), ()):
        found.setdefault(line, path)
    return found


def _walk(node: yaml.Node | None, path: Path_) -> Iterator[tuple[int, Path_]]:
    if isinstance(node, yaml.MappingNode):
        for key, value in node.value:
            yield key.start_mark.line, (*path, str(key.value))
            yield from _walk(value, (*path, str(key.value)))
    elif isinstance(node, yaml.SequenceNode):
        for place, value in enumerate(node.value):
            yield value.start_mark.line, (*path, place)
            yield from _walk(value, (*path, place))
