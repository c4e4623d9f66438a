"""What only one process may do at a time: an advisory lock that the server takes back with the connection it is on.

It belongs to an open transaction on a connection of its own. A process that dies loses both at once; one that is
frozen, or cut off, when nothing has been heard of it for SILENT_S. A pooler lends a connection with an open transaction
to nobody else, so one in transaction mode does no harm; and the transaction reads no row, so no vacuum waits for it.
On SQLite there is one process, and the lock is a name in its memory.
"""

from collections import Counter

from sqlalchemy import Connection, Engine, text

from core.store import faults
from core.store.engine import connect, one_connection

SILENT_S = 8  # judgement: a busy process is heard each second; a frozen one should not keep the others waiting

_KEY = "hashtextextended('holdlower ' || :name, 0)"
_ALONE = text(f"SELECT pg_try_advisory_xact_lock({_KEY})")
_SHARED = text(f"SELECT pg_try_advisory_xact_lock_shared({_KEY})")
_BEGIN = text(f"SET LOCAL idle_in_transaction_session_timeout = '{SILENT_S}s'")
_STILL = text("SELECT 1")
_HELD = text(
    f"SELECT EXISTS (SELECT FROM pg_locks, (SELECT {_KEY} AS key) AS wanted, pg_database "
    "WHERE locktype = 'advisory' AND granted AND objsubid = 1 AND database = oid AND datname = current_database() "
    "AND classid::bigint = (key >> 32) & 4294967295 AND objid::bigint = key & 4294967295)"
)


class Holds:
    """The locks of one clinic."""

    def __init__(self, engine: Engine, clinic_id: str) -> None:
        self._engine, self._clinic = engine, clinic_id
        self._here: Counter[str] = Counter()  # on SQLite

    def hold(self, name: str, *, shared: bool = False) -> "Hold":
        """One that is not taken yet; `shared` ones of a name go together."""
        if self._engine.dialect.name == "sqlite":
            return HoldHere(self._here, name, shared=shared)
        return HoldThere(self._engine, f"{self._clinic} {name}", shared=shared)

    def held(self, name: str) -> bool:
        """By anybody. Raises StoreError when the database cannot say."""
        if self._engine.dialect.name == "sqlite":
            return self._here[name] > 0
        try:
            with connect(self._engine) as connection:
                found: bool = connection.execute(_HELD, {"name": f"{self._clinic} {name}"}).scalar_one()
        except faults.OF_DRIVERS as error:
            raise faults.translate(error) from error
        return found


class HoldThere:
    """A lock on a PostgreSQL server. For one thread at a time."""

    def __init__(self, engine: Engine, name: str, *, shared: bool) -> None:
        self._engine, self._name, self._lock = engine, name, _SHARED if shared else _ALONE
        self._connection: Connection | None = None
        self._ours = False

    def take(self) -> bool:
        """Whether it is ours now: taken, or, when it was ours before, asked of the server whether it still is.

        To be called more often than every SILENT_S. Raises StoreError, and has lost it, when the server is not there.
        """
        try:
            if self._connection is None:
                self._connection = one_connection(self._engine)
            if self._ours:
                self._connection.execute(_STILL)
            else:
                self._connection.execute(_BEGIN)
                self._ours = self._connection.execute(self._lock, {"name": self._name}).scalar_one()
                if not self._ours:
                    self._connection.rollback()
        except faults.OF_DRIVERS as error:
            self.drop()
            raise faults.translate(error) from error
        return self._ours

    def drop(self) -> None:
        """Give it back, if it is ours; never fails."""
        connection, self._connection, self._ours = self._connection, None, False
        if connection is not None:
            connection.invalidate()
            connection.close()


class HoldHere:
    """A lock within this process."""

    def __init__(self, here: Counter[str], name: str, *, shared: bool) -> None:
        self._here, self._name, self._shared = here, name, shared
        self._ours = False

    def take(self) -> bool:
        if not self._ours and (self._shared or not self._here[self._name]):
            self._here[self._name] += 1
            self._ours = True
        return self._ours

    def drop(self) -> None:
        self._here[self._name] -= self._ours
        self._ours = False


Hold = HoldThere | HoldHere
