"""From a mapping (YAML, JSON of the page) to a frozen dataclass, checked once, at the door.

The dataclasses stay plain: `__pydantic_config__ = {"extra": "forbid"}` in the class body is all they carry. Pydantic's
errors become ours: file, line, column, and the nearest name for an unknown key or value.
"""

import types
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from math import isfinite
from typing import Annotated, Any, TypeVar, Union, get_args, get_origin, get_type_hints

from pydantic import BeforeValidator, TypeAdapter, ValidationError

from calibration.errors import WrongInput
from calibration.names import unknown_name
from calibration.yaml_reader import Document, TypedFloat, TypedInt, typed_text

T = TypeVar("T")
Loc = tuple[str | int, ...]

_UNKNOWN = {"unexpected_keyword_argument", "extra_forbidden"}
_MISSING = {"missing", "missing_argument"}
_COUNTED = {"too_long", "too_short"}
_NUMBERS = {int: "whole numbers", float: "numbers", str: "words"}
_WANTED = {
    "dict_type": "`name: value` lines are wanted",
    "mapping_type": "`name: value` lines are wanted",
    "dataclass_type": "`name: value` lines are wanted",
    "list_type": "A list is wanted",
    "tuple_type": "A list is wanted",
    "string_type": "A word is wanted",
    "float_parsing": "A number is wanted",
    "float_type": "A number is wanted",
    "int_parsing": "A whole number is wanted",
    "int_type": "A whole number is wanted",
    "int_from_float": "A whole number is wanted",
    "bool_parsing": "true or false is wanted",
    "bool_type": "true or false is wanted",
}


def _as_typed(value: object) -> object:
    if isinstance(value, TypedInt | TypedFloat) or (isinstance(value, int | float) and not isinstance(value, bool)):
        return typed_text(value)
    return value


AsTyped = Annotated[str, BeforeValidator(_as_typed)]
"""A text that may look like a number: kept as typed. For names and for lengths as a tape reads them."""


def record_from(kind: type[T], data: object, named: str, document: Document | None = None, path: Loc = ()) -> T:
    """Check a mapping and build the frozen dataclass `kind` from it.

    document: where `data` came from and `path`: its place there, for line and column in messages.
    Raises WrongInput; a WrongInput raised by the dataclass itself keeps its words and gains the place.
    """
    where = document.where(path) if document else named
    if not isinstance(data, Mapping):
        seen = "nothing" if data is None else f"{type(data).__name__} {str(data)[:40]!r}"
        raise WrongInput(f"{where}: a {named} is wanted here.", f"There is {seen} instead of `name: value` lines.", "See the samples.")
    try:
        record: T = _adapter(kind).validate_python(data)
    except ValidationError as cause:
        raise _in_words(cause, kind, named, data, document, path) from cause
    except WrongInput as wrong:
        raise wrong.at(where) from wrong
    _refuse_not_finite(record, where)
    return record


_ADAPTERS: dict[Any, TypeAdapter[Any]] = {}


def _adapter(kind: Any) -> TypeAdapter[Any]:
    if kind not in _ADAPTERS:
        _ADAPTERS[kind] = TypeAdapter(kind)
    return _ADAPTERS[kind]


def _in_words(cause: ValidationError, kind: type, named: str, data: object, document: Document | None, path: Loc) -> WrongInput:
    errors: list[Any] = [{**error, "loc": _real_loc(error, data)} for error in cause.errors(include_url=False)]
    errors.sort(key=_weight)
    told = _one(errors[0], kind, named, document, path)
    others = len({error["loc"] for error in errors}) - 1
    more = f" ({others} more to correct after it.)" if others > 0 else ""
    return WrongInput(told.what, f"{told.why}{more}", told.next_step)


def _real_loc(error: Any, data: object) -> Loc:
    """Pydantic's place without the names of union members that it puts between."""
    loc: Loc = error["loc"]
    kept: list[str | int] = []
    for place, step in enumerate(loc):
        is_absent_key = error["type"] in _MISSING and place == len(loc) - 1
        if isinstance(data, Mapping) and (step in data or is_absent_key):
            kept.append(step)
            data = data.get(step)
        elif isinstance(data, list | tuple) and isinstance(step, int):
            kept.append(step)
            data = data[step] if step < len(data) else None
    return tuple(kept)


def _weight(error: Any) -> tuple[bool, int]:
    """A misspelt key explains a missing one, and the deepest of a union's complaints is the one that was meant."""
    return error["type"] not in _UNKNOWN, -len(error["loc"])


def _one(error: Any, kind: type, named: str, document: Document | None, path: Loc) -> WrongInput:
    loc: Loc = error["loc"]
    where = document.where((*path, *loc)) if document else named
    last = next((str(step) for step in reversed(loc) if isinstance(step, str)), named)
    sort = error["type"]
    if sort in _UNKNOWN:
        return unknown_name(str(loc[-1]), _names_at(kind, loc[:-1]), where, "the key")
    if sort in _COUNTED or (sort in _MISSING and isinstance(loc[-1], int)):
        return _miscounted(error, kind, where, last)
    if sort in _MISSING:
        return WrongInput(f"{where}: {last!r} is missing.", f"A {named} has to have it.", f"Add a line `{last}: …`.")
    if sort in {"literal_error", "enum"}:
        known = [each.strip(" '\"") for each in error["ctx"]["expected"].replace(" or ", ", ").split(",")]
        return unknown_name(typed_text(error["input"]), known, where, f"{last}:")
    if error["input"] is None:
        return WrongInput(f"{where}: {last!r} is empty.", "Nothing stands behind its colon.", "Write its value, or take the line out.")
    given = typed_text(error["input"])[:60]
    is_run_on = sort in {"dict_type", "mapping_type", "dataclass_type"} and isinstance(error["input"], str)
    advice = "Write each as `name: value`, a blank after the colon." if is_run_on else "Correct the value."
    return WrongInput(f"{where}: {last!r} cannot be {given!r}.", f"{_WANTED.get(sort, error['msg'])}.", advice)


def _miscounted(error: Any, kind: type, where: str, last: str) -> WrongInput:
    """A list of another length than the pair, triple or row that is wanted."""
    within = error["loc"][:-1] if error["type"] in _MISSING else error["loc"]
    hint: Any = kind
    for step in within:
        below = get_type_hints(hint) if is_dataclass(hint) else dict(enumerate(get_args(hint)))
        hint = below.get(step)
    wanted, given = [each for each in get_args(hint) if each is not Ellipsis], typed_text(error["input"])[:60]
    sort = _NUMBERS.get(wanted[0], "values") if len(set(wanted)) == 1 else "values"
    count = f"{len(wanted)} {sort} are wanted" if wanted else "Another number of values is wanted"
    return WrongInput(
        f"{where}: {last!r} cannot be {given!r}.", f"{count}, {len(error['input'])} stand there.", "Write them in one list: `[…, …]`."
    )


def _names_at(kind: type, loc: Loc) -> list[str]:
    """Field names of the dataclass that stands at `loc` below `kind`."""
    here: list[Any] = [kind]
    for step in loc:
        if isinstance(step, str):
            here = [hint for each in here for hint in _below(each, step)] or here  # a key of a mapping leads no deeper
    return [field.name for each in here for field in fields(each)]


def _below(kind: Any, step: str) -> list[Any]:
    return list(_dataclasses_in(get_type_hints(kind).get(step)))


def _dataclasses_in(hint: Any) -> Iterator[Any]:
    if isinstance(hint, type) and is_dataclass(hint):
        yield hint
    elif get_origin(hint) in {Union, types.UnionType, Annotated} or get_args(hint):
        for argument in get_args(hint):
            yield from _dataclasses_in(argument)


def _refuse_not_finite(value: Any, where: str) -> None:
    if isinstance(value, float) and not isfinite(value):
        raise WrongInput(f"{where}: {value} is not a number to work with.", "Numbers have to be finite.", "Correct the value.")
    if is_dataclass(value):
        for field in fields(value):
            _refuse_not_finite(getattr(value, field.name), where)
    elif isinstance(value, Mapping):
        for each in value.values():
            _refuse_not_finite(each, where)
    elif isinstance(value, list | tuple):
        for each in value:
            _refuse_not_finite(each, where)
