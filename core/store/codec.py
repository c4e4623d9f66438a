"""Frozen dataclasses to JSON and back, exactly.

Every field is written, defaults too: a stored decision must replay the same after a default has changed.
A field that is missing takes its default, so that older rows stay readable after one is added.
"""

import dataclasses
import datetime as dt
import functools
import json
import types
import typing
from collections.abc import Callable, Mapping
from enum import Enum
from typing import Any, TypeVar, cast

from core.errors import StoreError

T = TypeVar("T")
_Reader = Callable[[Any], Any]


def dumps(value: object) -> str:
    """Compact JSON of a dataclass, or of any JSON value. Raises StoreError for what JSON cannot hold."""
    try:
        return json.dumps(plain(value), ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    except (TypeError, ValueError) as error:
        raise StoreError(f"a value cannot be stored as JSON: {error}; store numbers, texts, lists, mappings") from error


def loads(shape: type[T], text: str) -> T:
    """The dataclass that `dumps` wrote. Raises StoreError when the text does not fit `shape`."""
    try:
        built: T = _reader(cast("Any", shape))(json.loads(text))
    except (TypeError, ValueError, KeyError, AttributeError) as error:
        raise StoreError(
            f"a stored {shape.__name__} cannot be read ({error}); it was written by a newer version of the "
            "program, or the database was changed by hand: run the newer version or restore a backup"
        ) from error
    return built


def plain(value: object) -> Any:
    """The value as dicts, lists and scalars; dates and times in ISO 8601, sets sorted."""
    if value is None or type(value) in (str, int, float, bool):
        return value
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, dt.date | dt.time):  # a datetime is a date
        return value.isoformat()
    if dataclasses.is_dataclass(value):
        return {name: plain(getattr(value, name)) for name in field_names(value)}
    if isinstance(value, Mapping):
        return {_key(key): plain(item) for key, item in value.items()}
    if isinstance(value, frozenset | set):
        return sorted(plain(item) for item in value)
    if isinstance(value, tuple | list):
        return [plain(item) for item in value]
    raise TypeError(f"{type(value).__name__} is not a JSON value")


def field_names(record: object) -> tuple[str, ...]:
    """The names of a dataclass instance's fields, in order."""
    return _names(cast("Any", type(record)))


def _key(key: object) -> str:
    if not isinstance(key, str):
        raise TypeError(f"the key {key!r} of a mapping is not a text")
    return str(key)


@functools.cache
def _names(shape: Any) -> tuple[str, ...]:
    return tuple(field.name for field in dataclasses.fields(shape))


@functools.cache
def _reader(hint: Any) -> _Reader:
    origin, inner = typing.get_origin(hint), typing.get_args(hint)
    if origin in (types.UnionType, typing.Union):
        return _optional(hint, inner)
    if origin is tuple:
        return _tuple(inner)
    if origin is frozenset:
        item = _reader(inner[0])
        return lambda items: frozenset(map(item, items))
    if origin is Mapping:
        item = _reader(inner[1])
        return lambda items: {key: item(value) for key, value in items.items()}
    if dataclasses.is_dataclass(hint):
        return _dataclass(cast("type", hint))
    if hint is dt.date:
        return dt.date.fromisoformat
    if hint is Any:
        return lambda value: value
    if isinstance(hint, type) and (issubclass(hint, Enum) or hint in (float, int, str, bool)):
        return hint
    raise TypeError(f"no way to read {hint!r} from JSON")


def _optional(hint: Any, inner: tuple[Any, ...]) -> _Reader:
    others = [one for one in inner if one is not types.NoneType]
    if len(others) != 1:
        raise TypeError(f"no way to read {hint!r} from JSON")
    read = _reader(others[0])
    return lambda value: None if value is None else read(value)


def _tuple(inner: tuple[Any, ...]) -> _Reader:
    if len(inner) == 2 and inner[1] is Ellipsis:
        item = _reader(inner[0])
        return lambda items: tuple(map(item, items))
    readers = tuple(map(_reader, inner))
    return lambda items: tuple(read(one) for read, one in zip(readers, items, strict=True))


def _dataclass(shape: type) -> _Reader:
    hints = typing.get_type_hints(shape)
    readers = {name: _reader(hints[name]) for name in _names(shape)}

    def read(fields: dict[str, Any]) -> Any:
        return shape(**{name: readers[name](value) for name, value in fields.items()})

    return read
