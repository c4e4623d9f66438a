"""Frozen dataclasses to JSON and back, exactly, by pydantic's readers and writers of their declarations.

Every field is written, defaults too: a stored decision must replay the same after a default has changed. A field that
is missing takes its default; one that is not known is refused.
"""

import dataclasses
import functools
import json
from typing import Any, TypeVar, cast

import pydantic_core
from pydantic import ConfigDict, TypeAdapter, ValidationError

from core.errors import StoreError

T = TypeVar("T")
_CLOSED = ConfigDict(extra="forbid", strict=True, allow_inf_nan=False, ser_json_inf_nan="constants")


def dumps(value: object) -> str:
    """Compact JSON of a dataclass, or of any JSON value. Raises StoreError for what JSON cannot hold."""
    try:
        if dataclasses.is_dataclass(value):
            text = _adapter(cast("Any", type(value))).dump_json(value, warnings=False).decode()
        else:
            text = pydantic_core.to_json(value, inf_nan_mode="constants").decode()
        if "NaN" in text or "Infinity" in text:  # a word of somebody's, perhaps
            json.loads(text, parse_constant=_refuse)
    except ValueError as error:
        raise StoreError(f"a value cannot be stored as JSON: {error}; store numbers, texts, lists, mappings") from error
    return text


def loads(shape: type[T], text: str) -> T:
    """The dataclass that `dumps` wrote. Raises StoreError when the text does not fit `shape`."""
    try:
        built: T | None = _adapter(cast("Any", shape)).validate_json(text)
        if built is None:
            raise ValueError("nothing is stored")
    except ValueError as error:
        raise StoreError(
            f"a stored {shape.__name__} cannot be read ({_what(error)}); it was written by a newer version of the "
            "program, or the database was changed by hand: run the newer version or restore a backup"
        ) from error
    return built


def prepare(*shapes: type) -> None:
    """Build readers and writers now rather than within the first transaction that needs them: some 10 ms each."""
    for shape in shapes:
        _adapter(cast("Any", shape))


def plain(value: object) -> Any:
    """The value as dicts, lists and scalars; dates and times in ISO 8601."""
    return pydantic_core.to_jsonable_python(value)


def field_names(record: object) -> tuple[str, ...]:
    """The names of a dataclass instance's fields, in order."""
    return _names(cast("Any", type(record)))


@functools.cache
def _adapter(shape: Any) -> TypeAdapter[Any]:
    """What is closed holds for the dataclasses within too, and can only be said of a type that is none itself."""
    return TypeAdapter(shape | None, config=_CLOSED)


def _what(error: ValueError) -> str:
    """Which field and what is wrong with it, never its value, which may be somebody's words."""
    if not isinstance(error, ValidationError):
        return str(error)
    first = error.errors(include_url=False, include_input=False, include_context=False)[0]
    return f"{'.'.join(map(str, first['loc']))}: {first['msg']}"


def _refuse(constant: str) -> float:
    raise ValueError(f"{constant} is no number of JSON")


@functools.cache
def _names(shape: Any) -> tuple[str, ...]:
    return tuple(field.name for field in dataclasses.fields(shape))
