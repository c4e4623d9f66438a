"""Column types: aware times, words of an enumeration, frozen values as JSON, sealed texts, growing keys."""

import datetime as dt
import json
from collections.abc import Callable, Mapping
from enum import StrEnum
from typing import Any, cast

from sqlalchemy import BigInteger, Dialect, Integer, Text
from sqlalchemy.types import TypeDecorator, TypeEngine

from core.errors import NaiveTimeError, StoreError
from core.records import Worded
from core.store import codec
from core.store.sealed import Unreadable, seal_of

_EPOCH = dt.datetime(1970, 1, 1, tzinfo=dt.UTC)
_TICK = dt.timedelta(microseconds=1)
NO_WORDS = Worded()


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


class UnreadableFacts(dict[str, Any]):
    """Stands for sealed facts that no key opens: none are known; `token` is what the database holds."""

    token: str


def _opened(token: str, dialect: Dialect) -> str | None:
    """None, and a line in the log, where no key opens it."""
    try:
        return seal_of(dialect).open(token)
    except StoreError:
        seal_of(dialect).report(token)
        return None


class Sealed(TypeDecorator[str]):
    """Text that is encrypted in the database. Only whether it is empty can be seen from outside."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: str | None, dialect: Dialect) -> str | None:
        if isinstance(value, Unreadable):
            return value.token
        return seal_of(dialect).close(value) if value else value

    def process_result_value(self, value: str | None, dialect: Dialect) -> str | None:
        if not value:
            return value
        opened = _opened(value, dialect)
        return Unreadable.of(value) if opened is None else opened


class SealedFacts(TypeDecorator[Mapping[str, Any]]):
    """A mapping of JSON values, encrypted; an empty one is kept as nothing."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Mapping[str, Any] | None, dialect: Dialect) -> str:
        if isinstance(value, UnreadableFacts):
            return value.token
        return seal_of(dialect).close(codec.dumps(value)) if value else ""

    def process_result_value(self, value: str | None, dialect: Dialect) -> Mapping[str, Any]:
        if not value:
            return {}
        if (opened := _opened(value, dialect)) is None:
            facts = UnreadableFacts()
            facts.token = value
            return facts
        known: dict[str, Any] = json.loads(opened)
        return known


class SealedWords(TypeDecorator[Worded]):
    """A message's words and buttons, encrypted. None are kept as nothing; those that no key opens are read so."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Worded | None, dialect: Dialect) -> str:
        return seal_of(dialect).close(codec.dumps(value)) if value and value != NO_WORDS else ""

    def process_result_value(self, value: str | None, dialect: Dialect) -> Worded:
        if not value or (opened := _opened(value, dialect)) is None:
            return NO_WORDS
        try:
            return codec.loads(Worded, opened)
        except StoreError:
            seal_of(dialect).report(value)
            return NO_WORDS
