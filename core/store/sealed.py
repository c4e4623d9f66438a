"""Names and free text are encrypted at rest; the key lives apart from the database.

Uses Fernet (AES-128-CBC with HMAC-SHA256) of the library `cryptography`. The first key seals; every key opens. A
text that no key opens stops nobody: it is read as a mark, said once in the log, and written back as it stood.
"""

import json
import logging
from collections.abc import Mapping, Sequence
from typing import Any, Self
from weakref import WeakKeyDictionary

from cryptography.fernet import Fernet, InvalidToken, MultiFernet
from sqlalchemy import Dialect, Text
from sqlalchemy.types import TypeDecorator

from core.errors import StoreError
from core.records import Worded
from core.store import codec

log = logging.getLogger(__name__)

_ADVICE = "give the key the database was made with; after a change of keys give both, the newest first"
_SEALS: "WeakKeyDictionary[Dialect, Seal]" = WeakKeyDictionary()


NO_WORDS = Worded()


def new_key() -> bytes:
    """A fresh random key, 44 characters of ASCII. Whoever loses it loses every sealed text."""
    return Fernet.generate_key()


class Unreadable(str):
    """Stands for a sealed text that no key opens; `token` is what the database holds, should a key turn up."""

    token: str

    @classmethod
    def of(cls, token: str) -> Self:
        mark = cls("\N{REPLACEMENT CHARACTER}")
        mark.token = token
        return mark


class UnreadableFacts(dict[str, Any]):
    """The same for sealed facts: none are known."""

    token: str


class Seal:
    """Seals and opens texts. Raises StoreError for keys that are none."""

    def __init__(self, keys: bytes | Sequence[bytes]) -> None:
        given = [keys] if isinstance(keys, bytes) else list(keys)
        if not given:
            raise StoreError("no key to seal names and texts with; make one with core.store.sealed.new_key()")
        try:
            self._newest = Fernet(given[0])
            self._fernet = MultiFernet([Fernet(key) for key in given])
            self._reported: set[str] = set()
        except (ValueError, TypeError):
            # no cause: it could carry the key into a log
            raise StoreError("a key is not one of ours: 44 characters of url-safe base64, 32 bytes") from None

    def close(self, text: str) -> str:
        return self._fernet.encrypt(text.encode()).decode("ascii")

    def open(self, token: str) -> str:
        try:
            return self._fernet.decrypt(token.encode()).decode()
        except (InvalidToken, UnicodeError) as error:
            raise StoreError(f"the key does not open a text in the database; {_ADVICE}") from error

    def report(self, token: str) -> None:
        """Say in the log, once each, that a text cannot be opened."""
        if token not in self._reported:
            self._reported.add(token)
            log.error("a sealed text cannot be opened and is left as it is; holdlower backup names its row")

    def is_newest(self, token: str) -> bool:
        """Whether the first key sealed it."""
        try:
            self._newest.decrypt(token.encode())
        except InvalidToken:
            return False
        return True

    def renew(self, token: str) -> str:
        """The same text under the first key."""
        try:
            return self._fernet.rotate(token.encode()).decode("ascii")
        except InvalidToken as error:
            raise StoreError(f"the key does not open a text in the database; {_ADVICE}") from error


def attach(dialect: Dialect, seal: Seal) -> None:
    """Let the sealed columns of one engine use `seal`: types are shared by all engines, the dialect is not."""
    _SEALS[dialect] = seal


class Sealed(TypeDecorator[str]):
    """Text that is encrypted in the database. Only whether it is empty can be seen from outside."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: str | None, dialect: Dialect) -> str | None:
        if isinstance(value, Unreadable):
            return value.token
        return _SEALS[dialect].close(value) if value else value

    def process_result_value(self, value: str | None, dialect: Dialect) -> str | None:
        if not value:
            return value
        try:
            return _SEALS[dialect].open(value)
        except StoreError:
            _SEALS[dialect].report(value)
            return Unreadable.of(value)


class SealedFacts(TypeDecorator[Mapping[str, Any]]):
    """A mapping of JSON values, encrypted; an empty one is kept as nothing."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Mapping[str, Any] | None, dialect: Dialect) -> str:
        if isinstance(value, UnreadableFacts):
            return value.token
        return _SEALS[dialect].close(codec.dumps(value)) if value else ""

    def process_result_value(self, value: str | None, dialect: Dialect) -> Mapping[str, Any]:
        if not value:
            return {}
        try:
            facts: dict[str, Any] = json.loads(_SEALS[dialect].open(value))
        except StoreError:
            _SEALS[dialect].report(value)
            facts = UnreadableFacts()
            facts.token = value
        return facts


class SealedWords(TypeDecorator[Worded]):
    """A message's words and buttons, encrypted. None are kept as nothing; those that no key opens are read so."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Worded | None, dialect: Dialect) -> str:
        return _SEALS[dialect].close(codec.dumps(value)) if value and value != NO_WORDS else ""

    def process_result_value(self, value: str | None, dialect: Dialect) -> Worded:
        if not value:
            return NO_WORDS
        try:
            return codec.loads(Worded, _SEALS[dialect].open(value))
        except StoreError:
            _SEALS[dialect].report(value)
            return NO_WORDS
