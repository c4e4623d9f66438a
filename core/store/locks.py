"""What several processes share: locks that one loses by dying, and the one pace of sending.

A lock is an advisory one that the server takes back with the connection it is on. It belongs to an open transaction on
a connection of its own. A process that dies loses both at once; one that is frozen, or cut off, when nothing has been
heard of it for SILENT_S. A pooler lends a connection with an open transaction to nobody else, so one in transaction
mode does no harm; and the transaction reads no row, so no vacuum waits for it. On SQLite there is one process, and the
lock is a name in its memory.

The pace is one row: when the next message of the whole clinic may leave. It runs on the database server's own clock,
so that hosts whose clocks differ cannot send faster together.
"""

from collections import Counter

from sqlalchemy import (
    BigInteger,
    Connection,
    Engine,
    bindparam,
    case,
    cast,
    func,
    literal_column,
    select,
    text,
    update,
)

from core.records import Turns
from core.store import faults
from core.store import tables as t
from core.store.engine import connect, one_connection
from core.store.transaction import Part, mine

SILENT_S = 8  # judgement: a busy process is heard each second; a frozen one should not keep the others waiting


def key_of(name: str) -> str:
    """The number that the server knows a lock by, from a parameter with its name."""
    return f"hashtextextended('holdlower ' || {name}, 0)"


_KEY = key_of(":name")
_ALONE = text(f"SELECT pg_try_advisory_xact_lock({_KEY})")
_SHARED = text(f"SELECT pg_try_advisory_xact_lock_shared({_KEY})")
_SOON = text(f"SET LOCAL idle_in_transaction_session_timeout = '{SILENT_S}s'")
_STILL = text("SELECT 1")
_HELD = text(
    f"SELECT EXISTS (SELECT FROM pg_locks, (SELECT {_KEY} AS key) AS wanted, pg_database "
    "WHERE locktype = 'advisory' AND granted AND objsubid = 1 AND database = oid AND datname = current_database() "
    "AND classid::bigint = (key >> 32) & 4294967295 AND objid::bigint = key & 4294967295)"
)

AHEAD_US = 5_000_000  # so far ahead no turn is ever given
LONGEST_HALT_US = 24 * 3600 * 1_000_000

_SERVER_US = {
    "postgresql": cast(func.extract("epoch", func.clock_timestamp()) * 1_000_000, BigInteger),
    "sqlite": literal_column("CAST((julianday('now') - 2440587.5) * 86400000000 AS INTEGER)", BigInteger),
}
_PACE = {
    dialect: select(t.pace.c.next_at, t.pace.c.halted_until, now.label("now")).where(mine(t.pace)).with_for_update()
    for dialect, now in _SERVER_US.items()
}
_NEXT = update(t.pace).where(mine(t.pace)).values(next_at=bindparam("then"))
_HALT = {
    dialect: update(t.pace)
    .where(mine(t.pace))
    .values(
        halted_until=case(
            (t.pace.c.halted_until > now + bindparam("pause"), t.pace.c.halted_until), else_=now + bindparam("pause")
        )
    )
    for dialect, now in _SERVER_US.items()
}


class Locks:
    """The locks of one clinic."""

    def __init__(self, engine: Engine, clinic_id: str) -> None:
        self._engine, self._clinic = engine, clinic_id
        self._here: Counter[str] = Counter()  # on SQLite

    def lock(self, name: str, *, shared: bool = False) -> "Lock":
        """One that is not taken yet; `shared` ones of a name go together."""
        if self._engine.dialect.name == "sqlite":
            return MemoryLock(self._here, name, shared=shared)
        return ServerLock(self._engine, f"{self._clinic} {name}", shared=shared)

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


class ServerLock:
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
                self._ours = self._connection.execute(self._lock, {"name": self._name}).scalar_one()
                if self._ours:
                    self._connection.execute(_SOON)
                else:
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


class MemoryLock:
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


Lock = ServerLock | MemoryLock


class Pace(Part):
    """The row about how fast all may send together."""

    def take(self, count: int, gap_s: float, ahead_s: float) -> Turns:
        """Take up to `count` turns at sending, `gap_s` apart from each other and from all others' turns.

        Only turns within the next `ahead_s` are given; Turns says how many and when, from now, the first is.
        """
        now, start, halted = self._pace()
        first, gap, ahead = max(start, halted), int(gap_s * 1e6), now + int(ahead_s * 1e6)
        given = min(count, 1 + (ahead - first) // max(gap, 1)) if first <= ahead else 0
        if given:
            self._tx.change(_NEXT, then=first + given * gap)
        return Turns(given, (first - now) / 1e6)

    def halt(self, seconds: float) -> None:
        """Give no turn within the next `seconds`; of several halts the latest end holds."""
        self._pace()
        self._tx.change(_HALT[self._tx.dialect], pause=int(seconds * 1e6))

    def _pace(self) -> tuple[int, int, int]:
        """The server's now, the next turn, the end of a halt, in microseconds; locked until the unit ends."""
        self._tx.must_write()
        row = self._tx.one(_PACE[self._tx.dialect])
        if row is None:
            self._tx.add_row(t.pace, next_at=0, halted_until=0)
            row = self._tx.one(_PACE[self._tx.dialect])
            assert row is not None
        # a server clock that was set back must not stop all sending until it has caught up
        start = row.next_at if row.next_at < row.now + AHEAD_US else row.now
        halted = row.halted_until if row.halted_until < row.now + LONGEST_HALT_US else 0
        return row.now, max(start, row.now), halted
