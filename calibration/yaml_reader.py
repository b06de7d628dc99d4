"""The one YAML reader of both packages: plain values, and where each stands in the file.

Plain YAML surprises: 28:30 becomes 1710, `no` becomes false, 1_000 a number, a key written twice wins silently. Here only
plain whole and decimal numbers, true, false and null are read as such (a number still knows the text typed);
everything else stays text. Aliases, tags and duplicate keys are refused, sizes limited.
"""

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

import yaml

from calibration.errors import WrongInput
from calibration.keep import load_kept

LARGEST_BYTES = 4 * 1024 * 1024
LARGEST_DEPTH = 40
LARGEST_COUNT = 200_000

Path_ = tuple[str | int, ...]
T = TypeVar("T")
INT = re.compile(r"[-+]?\d{1,15}")
FLOAT = re.compile(r"[-+]?(\d{1,15}\.\d{0,20}|\.\d{1,20}|\d{1,15}(\.\d{0,20})?[eE][-+]?\d{1,2})")
WORDS = {"true": True, "True": True, "false": False, "False": False, "null": None, "~": None, "": None}
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class TypedInt(int):
    """A whole number that still knows the text typed (`007`)."""

    typed: str


class TypedFloat(float):
    """A decimal number that still knows the text typed (`36.50`)."""

    typed: str


@dataclass(frozen=True, slots=True)
class Place:
    """Line and column, counted from 1."""

    line: int
    column: int


@dataclass(frozen=True, slots=True)
class Document:
    """One file read: its values and where each stands. `places` are by path from the top: ("measures", "bust")."""

    file: str
    data: Any
    places: Mapping[Path_, Place]

    def where(self, path: Iterable[str | int] = ()) -> str:
        """`anna.yaml, line 4, column 9` of the value (or the nearest thing round it) at that path."""
        found: Path_ = ()
        for step in path:
            if (*found, step) in self.places:
                found = (*found, step)
        place = self.places.get(found, Place(1, 1))
        return f"{self.file}, line {place.line}, column {place.column}"


def typed_text(value: object) -> str:
    """The text as typed in the file; for a value from elsewhere its plain text."""
    return value.typed if isinstance(value, TypedInt | TypedFloat) else str(value)


def read_yaml(file: Path) -> Document:
    """Read one YAML file. Raises WrongInput (Damaged when an older version can be read) with line and column."""
    return load_kept(file, lambda data: document_from(data, file.name))


def read_record(file: Path, read: Callable[[Document], T]) -> T:
    """What `read` makes of a file of `name: value` lines. Raises WrongInput, Damaged when an older version would do."""

    def whole(data: bytes) -> T:
        document = document_from(data, file.name)
        if not isinstance(document.data, Mapping):
            raise WrongInput(f"{file.name} holds no card.", "`name: value` lines are wanted.", "See the samples.")
        return read(document)

    return load_kept(file, whole)


def read_card(file: Path, check: Callable[[Document], object] = lambda _: None) -> Document:
    """A file of `name: value` lines that `check` takes, as it was read. Raises as `read_record`."""

    def checked(document: Document) -> Document:
        check(document)
        return document

    return read_record(file, checked)


def document_from(data: bytes | str, file: str) -> Document:
    """Read YAML that is already in memory; `file` is the name for messages."""
    text = text_from(data, file)
    try:
        _check_events(text, file)
        node = yaml.compose(text, Loader=_LOADER)
    except yaml.MarkedYAMLError as cause:
        raise _unreadable(cause, file, text) from cause
    except yaml.YAMLError as cause:
        raise WrongInput(f"{file} cannot be read as YAML.", " ".join(str(cause).split()), "Save it as plain text.") from cause
    places: dict[Path_, Place] = {}
    value = None if node is None else _value(node, (), places, file)
    return Document(file, value, places)


def as_number(value: object) -> object:
    """A text that this reader takes for a number, as that number (it still knows the text); anything else as it is."""
    return _scalar(value, is_quoted=False) if isinstance(value, str) and (INT.fullmatch(value) or FLOAT.fullmatch(value)) else value


def plain(data: Any) -> Any:
    """Mappings, lists and numbers without the text typed behind them."""
    if isinstance(data, Mapping):
        return {str(key): plain(value) for key, value in data.items()}
    if isinstance(data, list | tuple):
        return [plain(value) for value in data]
    if isinstance(data, TypedInt | TypedFloat):
        return int(data) if isinstance(data, int) else float(data)
    return data


def text_from(data: bytes | str, file: str) -> str:
    """The bytes of a file as text. Raises WrongInput for what is too large or no UTF-8."""
    if len(data) > LARGEST_BYTES:
        raise WrongInput(f"{file} is too large.", f"It is over {LARGEST_BYTES // 2**20} MB.", "Is it the right file?")
    if isinstance(data, str):
        return data
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as cause:
        line = data[: cause.start].count(b"\n") + 1
        raise WrongInput(
            f"{file}, line {line}: not plain text.", f"Byte {cause.start + 1} is not UTF-8.", "Save it as UTF-8 text."
        ) from cause


def _at(mark: Any, file: str) -> str:
    return f"{file}, line {mark.line + 1}, column {mark.column + 1}"


def _unreadable(cause: yaml.MarkedYAMLError, file: str, text: str) -> WrongInput:
    mark = cause.problem_mark or cause.context_mark
    where = _at(mark, file) if mark is not None else file
    why = ", ".join(str(part) for part in (cause.context, cause.problem) if part)
    line = "".join(text.splitlines()[mark.line : mark.line + 1]) if mark is not None else ""
    is_tab = mark is not None and "\t" in line[: mark.column + 1]
    for sign, words, advice in _SLIPS:
        if sign in ("\t" if is_tab else why.lower()):
            return WrongInput(f"{where}: this cannot be read.", words, advice)
    return WrongInput(f"{where}: this is not YAML.", f"{why[:1].upper()}{why[1:]}.", "Check colons, quotes and the blanks before the line.")


_SLIPS = (
    ("\t", "A tab stands before or between the words.", "Put blanks in its place."),
    ("quoted scalar", "A quote is opened here or before and never closed.", "Close it, or take it out."),
    ("mapping values are not allowed", "A second colon, or more blanks before this line than before the one above.",
     "Begin it below the line above; a text with a colon wants quotes."),
    ("could not find expected ':'", "A name stands here without its colon.", "Write `name: value`, a blank after the colon."),
    ("flow", "A bracket is opened here or before and never closed.", "Close it: [ with ], { with }."),
    ("did not find expected key", "The blanks before this line are other than before the lines above.", "Begin it where they begin."),
    ("did not find expected '-'", "The blanks before this line are other than before the lines above.", "Begin it where they begin."),
)  # fmt: skip
"""What stands in the reader's own message, what it means to her, what to do."""


def _check_events(text: str, file: str) -> None:
    """Aliases, tags, depth and number of entries, before anything is built from them."""
    depth = count = 0
    for event in yaml.parse(text, Loader=_LOADER):
        if isinstance(event, yaml.AliasEvent) or getattr(event, "anchor", None) is not None:
            raise WrongInput(f"{_at(event.start_mark, file)}: & and * are not used here.", "Each value stands by itself.", "Write it out.")
        if getattr(event, "tag", None) is not None:
            raise WrongInput(f"{_at(event.start_mark, file)}: ! is not used here.", "Values carry no type.", "Leave it out.")
        count += isinstance(event, yaml.NodeEvent)
        depth += isinstance(event, yaml.CollectionStartEvent) - isinstance(event, yaml.CollectionEndEvent)
        if depth > LARGEST_DEPTH or count > LARGEST_COUNT:
            raise WrongInput(
                f"{_at(event.start_mark, file)}: too much in one file.",
                f"At most {LARGEST_DEPTH} levels and {LARGEST_COUNT} entries are read.",
                "Is it the right file?",
            )


def _value(node: yaml.Node, path: Path_, places: dict[Path_, Place], file: str) -> Any:
    places[path] = Place(node.start_mark.line + 1, node.start_mark.column + 1)
    if isinstance(node, yaml.MappingNode):
        return _mapping(node, path, places, file)
    if isinstance(node, yaml.SequenceNode):
        return [_value(each, (*path, place), places, file) for place, each in enumerate(node.value)]
    return _scalar(str(node.value), is_quoted=isinstance(node, yaml.ScalarNode) and bool(node.style))


def _mapping(node: yaml.MappingNode, path: Path_, places: dict[Path_, Place], file: str) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for key_node, value_node in node.value:
        if not isinstance(key_node, yaml.ScalarNode):
            raise WrongInput(
                f"{_at(key_node.start_mark, file)}: a name is wanted before the colon.", "This is a list.", "Write `name: value`."
            )
        key = str(key_node.value)
        if key in found:
            before = places[(*path, key)].line
            raise WrongInput(
                f"{_at(key_node.start_mark, file)}: {key!r} stands here twice.",
                f"It was given in line {before} already.",
                "Take one of them out.",
            )
        found[key] = _value(value_node, (*path, key), places, file)
    return found


def _scalar(text: str, is_quoted: bool) -> Any:
    if is_quoted:  # text, whatever it looks like
        return text
    if text in WORDS:
        return WORDS[text]
    number: TypedInt | TypedFloat
    if INT.fullmatch(text):
        number = TypedInt(text)
    elif FLOAT.fullmatch(text):
        number = TypedFloat(text)
    else:
        return text
    number.typed = text
    return number
