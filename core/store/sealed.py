"""Names and free text are encrypted at rest; the key lives apart from the database.

Uses Fernet (AES-128-CBC with HMAC-SHA256) of the library `cryptography`. The first key seals; every key opens.
"""

import json
from collections.abc import Mapping, Sequence
from typing import Any
from weakref import WeakKeyDictionary

from cryptography.fernet import Fernet, InvalidToken, MultiFernet
from sqlalchemy import Dialect, Text
from sqlalchemy.types import TypeDecorator

from core.errors import StoreError
from core.store import codec

_ADVICE = "give the key the database was made with; after a change of keys give both, the newest first"
_SEALS: "WeakKeyDictionary[Dialect, Seal]" = WeakKeyDictionary()


def new_key() -> bytes:
    """A fresh random key, 44 characters of ASCII. Whoever loses it loses every sealed text."""
    return Fernet.generate_key()


class Seal:
    """Seals and opens texts. Raises StoreError for keys that are none."""

    def __init__(self, keys: bytes | Sequence[bytes]) -> None:
        given = [keys] if isinstance(keys, bytes) else list(keys)
        if not given:
            raise StoreError("no key to seal names and texts with; make one with core.store.sealed.new_key()")
        try:
            self._newest = Fernet(given[0])
            self._fernet = MultiFernet([Fernet(key) for key in given])
        except (ValueError, TypeError):
            # no cause: it could carry the key into a log
            raise StoreError("a key is not one of ours: 44 characters of url-safe base64, 32 bytes") from None

    def close(self, text: str) -> str:
        return self._fernet.encrypt(text.encode()).decode("ascii")

    def open(self, token: str) -> str:
        try:
            return self._fernet.decrypt(token.encode()).decode()
        except InvalidToken as error:
            raise StoreError(f"the key does not open a text in the database; {_ADVICE}") from error

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
        return _SEALS[dialect].close(value) if value else value

    def process_result_value(self, value: str | None, dialect: Dialect) -> str | None:
        return _SEALS[dialect].open(value) if value else value


class SealedFacts(TypeDecorator[Mapping[str, Any]]):
    """A mapping of JSON values, encrypted; an empty one is kept as nothing."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Mapping[str, Any] | None, dialect: Dialect) -> str:
        return _SEALS[dialect].close(codec.dumps(value)) if value else ""

    def process_result_value(self, value: str | None, dialect: Dialect) -> Mapping[str, Any]:
        if not value:
            return {}
        facts: dict[str, Any] = json.loads(_SEALS[dialect].open(value))
        return facts
