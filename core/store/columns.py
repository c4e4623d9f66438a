"""Column types: aware times, words of an enumeration, frozen values as JSON, growing keys."""

import datetime as dt
from collections.abc import Callable
from enum import StrEnum
from typing import Any, cast

from sqlalchemy import BigInteger, Dialect, Integer, Text
from sqlalchemy.types import TypeDecorator, TypeEngine

from core.errors import NaiveTimeError, StoreError
from core.store import codec
from core.store.sealed import Unreadable

_EPOCH = dt.datetime(1970, 1, 1, tzinfo=dt.UTC)
_TICK = dt.timedelta(microseconds=1)


def growing_key() -> TypeEngine[int]:
    """A 64-bit key that the database counts up; SQLite only counts columns declared INTEGER."""
    return BigInteger().with_variant(Integer(), "sqlite")


class UtcTime(TypeDecorator[dt.datetime]):
    """An aware instant, kept as whole microseconds since 1970 in UTC.

    An integer sorts, indexes and compares alike on both databases, loses nothing, and depends on neither
    the server's zone nor a driver's idea of text. Refuses naive times with NaiveTimeError; returns UTC.
    """

    impl = BigInteger
    cache_ok = True

    def process_bind_param(self, value: dt.datetime | None, dialect: Dialect) -> int | None:
        if value is None:
            return None
        if value.utcoffset() is None:
            raise NaiveTimeError(f"the time {value.isoformat()} has no zone; store aware times, best in UTC")
        return (value - _EPOCH) // _TICK

    def process_result_value(self, value: int | None, dialect: Dialect) -> dt.datetime | None:
        return None if value is None else _EPOCH + value * _TICK


class Torn(Unreadable):
    """Stands for a value that cannot be read: like no word there is, told as `value`, and written back as it stood."""

    value = "unreadable"


class Word(TypeDecorator[StrEnum]):
    """One word of an enumeration, kept as its value; one that is not known is Torn."""

    impl = Text
    cache_ok = True

    def __init__(self, words: type[StrEnum]) -> None:
        super().__init__()
        self.words = words

    def process_bind_param(self, value: StrEnum | None, dialect: Dialect) -> str | None:
        if isinstance(value, Torn):
            return value.token
        return None if value is None else self.words(value).value

    def process_result_value(self, value: str | None, dialect: Dialect) -> StrEnum | None:
        if value is None:
            return None
        try:
            return self.words(value)
        except ValueError:
            return cast("StrEnum", Torn.of(value))


class Frozen(TypeDecorator[Any]):
    """A frozen value of the domain, kept as JSON text (see codec); one that does not fit its shape is Torn."""

    impl = Text
    cache_ok = True

    def __init__(self, shape: type) -> None:
        super().__init__()
        self.shape = shape

    def process_bind_param(self, value: object | None, dialect: Dialect) -> str | None:
        if isinstance(value, Torn):
            return value.token
        return None if value is None else codec.dumps(value)

    def process_result_value(self, value: str | None, dialect: Dialect) -> object | None:
        try:
            return None if value is None else cast("Callable[..., object]", codec.loads)(self.shape, value)
        except StoreError:
            return Torn.of(value or "")
