"""Names and free text are encrypted at rest; the key lives apart from the database.

Uses Fernet (AES-128-CBC with HMAC-SHA256) of the library `cryptography`. The first key seals; every key opens. A
text that no key opens stops nobody: it is read as a mark, said once in the log, and written back as it stood.
"""

import logging
from collections.abc import Sequence
from typing import Self
from weakref import WeakKeyDictionary

from cryptography.fernet import Fernet, InvalidToken, MultiFernet
from sqlalchemy import Dialect

from core.errors import StoreError

log = logging.getLogger(__name__)

_ADVICE = "give the key the database was made with; after a change of keys give both, the newest first"
_SEALS: "WeakKeyDictionary[Dialect, Seal]" = WeakKeyDictionary()


_PROOF = "this text was sealed with the key of this database"


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

    def proof(self) -> str:
        """The sealed line that the first opening leaves in a database; a key that cannot open it is the wrong one."""
        return self.close(_PROOF)

    def check(self, proof: str) -> None:
        """StoreError unless these keys open the line that `proof` once made."""
        if self.open(proof) != _PROOF:
            raise StoreError("the proof of the key in the database was changed by hand; restore a backup")

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


def seal_of(dialect: Dialect) -> Seal:
    return _SEALS[dialect]
