"""From a URL to an engine that behaves: SQLite as a proper transactional database, PostgreSQL as it is."""

import os
import sqlite3
import time
from functools import partial
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event, make_url, text
from sqlalchemy.exc import ArgumentError, NoSuchModuleError
from sqlalchemy.pool import NullPool

from core.errors import StoreError
from core.store import faults

WAIT_S = 15.0  # how long a writer waits for another one
THREADS = 32  # as many connections at most as asyncio has worker threads by default
APPLICATION = "holdlower"
# Every statement here is short; compiling one whose cost is overrated would take a hundred times its own time.
# A process that is frozen or cut off gives back what it holds within 30 s: the server ends a transaction in which
# nothing happens, and both ends notice when the other one's host is gone. (One that dies is noticed at once.)
_SESSION = (
    "-c jit=off -c idle_in_transaction_session_timeout=20s "
    "-c tcp_keepalives_idle=10 -c tcp_keepalives_interval=5 -c tcp_keepalives_count=3"
)
_POSTGRESQL = {
    "connect_timeout": 10, "application_name": APPLICATION,
    "keepalives_idle": 10, "keepalives_interval": 5, "keepalives_count": 3, "tcp_user_timeout": 25_000,
}  # fmt: skip
_EXPECTED = "expected sqlite:///path/to/file.db, a plain path, or postgresql://user@host/database"
_OTHERS = text(
    "SELECT count(*) FROM pg_stat_activity WHERE datname = current_database() AND application_name = :name "
    "AND pid <> pg_backend_pid()"
)


def make_engine(url: str) -> Engine:
    """An engine for `url`, not connected yet. Raises StoreError for a URL we do not serve."""
    parsed = _parse(url)
    if parsed.get_backend_name() == "sqlite":
        return _sqlite(parsed)
    try:
        return create_engine(
            parsed, hide_parameters=True, pool_size=8, max_overflow=THREADS - 8, connect_args=_arguments(parsed)
        )
    except (ModuleNotFoundError, NoSuchModuleError) as error:
        raise StoreError("PostgreSQL needs its driver: pip install '.[postgres]' in the folder of this copy") from error


def one_connection(engine: Engine) -> Connection:
    """A connection to the same PostgreSQL database outside the pool, which notices soon that it was cut."""
    soon = {"keepalives_idle": 2, "keepalives_interval": 1, "tcp_user_timeout": 5_000}
    arguments = _arguments(engine.url) | soon
    return connect(create_engine(engine.url, hide_parameters=True, poolclass=NullPool, connect_args=arguments))


def _arguments(url: URL) -> dict[str, Any]:
    return _POSTGRESQL | {"options": f"{url.query.get('options', '')} {_SESSION}".strip()}


def sqlite_file(url: str) -> Path | None:
    """The file of an SQLite database; None for a server's. Raises StoreError for a URL we do not serve."""
    parsed = _parse(url)
    return Path(str(parsed.database)) if parsed.get_backend_name() == "sqlite" else None


def _parse(url: str) -> URL:
    if "://" not in url and url and not url.startswith(":"):
        return URL.create("sqlite", database=url)
    try:
        parsed = make_url(url)
    except (ArgumentError, ValueError):
        raise StoreError(f"the database URL cannot be read; {_EXPECTED}") from None  # it may hold a password
    if parsed.drivername == "sqlite":
        if not parsed.database or parsed.database == ":memory:":
            raise StoreError(f"the database URL names no file; {_EXPECTED}")
        if parsed.query.get("synchronous", "normal") not in ("normal", "full") or set(parsed.query) - {"synchronous"}:
            raise StoreError(
                "the database URL has a setting we do not know; the only one for SQLite is ?synchronous=full, "
                "which waits for the disk at each commit, so that a power cut loses nothing"
            )
        return parsed
    if parsed.drivername in ("postgresql", "postgres", "postgresql+psycopg"):
        return parsed.set(drivername="postgresql+psycopg")
    raise StoreError(f"the database URL begins with {parsed.drivername!r}; {_EXPECTED}")


def _sqlite(url: URL) -> Engine:
    path = Path(str(url.database))
    _own_file(path)
    engine = create_engine(
        url.set(query={}), hide_parameters=True, pool_size=8, max_overflow=THREADS - 8, connect_args={"timeout": WAIT_S}
    )
    event.listen(engine, "connect", partial(_prepare_sqlite, str(url.query.get("synchronous", "normal"))))
    event.listen(engine, "begin", _begin_sqlite)
    return engine


def _own_file(path: Path) -> None:
    """Make the file ours alone before SQLite does: it holds health data. The -wal and -shm files copy its mode."""
    try:
        os.close(os.open(path, os.O_RDWR | os.O_CREAT, 0o600))
    except OSError as error:
        raise StoreError(
            f"the database file {path} cannot be opened ({error.strerror}); "
            "check that its folder exists and is ours to write"
        ) from error


def _prepare_sqlite(synchronous: str, connection: sqlite3.Connection, record: Any) -> None:
    connection.isolation_level = None  # we say BEGIN ourselves, or a SELECT would stand outside the transaction
    connection.execute(f"PRAGMA busy_timeout = {int(WAIT_S * 1000)}")
    if _journal(connection) != "wal":
        raise StoreError("SQLite could not switch to its write-ahead log; put the file on a local disk")
    # by default a power cut may lose the last moments, never the file; a killed process loses nothing
    connection.execute(f"PRAGMA synchronous = {synchronous}")
    connection.execute("PRAGMA foreign_keys = ON")
    connection.execute("PRAGMA secure_delete = ON")  # what is deleted is overwritten


def _journal(connection: sqlite3.Connection) -> str:
    deadline = time.monotonic() + WAIT_S
    while True:
        try:
            mode: str = connection.execute("PRAGMA journal_mode = WAL").fetchone()[0]
            return mode
        except sqlite3.OperationalError as error:
            # the busy timeout does not cover two processes switching a new file at once
            if error.sqlite_errorname != "SQLITE_BUSY" or time.monotonic() > deadline:
                raise
            time.sleep(0.01)


def _begin_sqlite(connection: Connection) -> None:
    # a transaction that reads first and writes later cannot take the lock once another has committed
    # (https://sqlite.org/rescode.html#busy_snapshot), so writing units take it at once
    writing = connection.get_execution_options().get("writing", False)
    driver = connection.connection.driver_connection
    if driver is not None:  # spoken to directly: a fifth of the cost of a small transaction
        driver.execute("BEGIN IMMEDIATE" if writing else "BEGIN")


def empty_log(connection: Connection) -> bool:
    """Write SQLite's log into its file and cut it to nothing; False when a reader is in the way.

    On PostgreSQL there is nothing to do: its server recycles its own log.
    """
    driver = connection.connection.driver_connection
    if connection.dialect.name != "sqlite" or driver is None:
        return True
    driver.execute("PRAGMA busy_timeout = 0")  # nobody waits for housekeeping
    try:
        busy: int = driver.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()[0]
    except sqlite3.Error:
        return False  # what was to be done is committed; this can wait
    finally:
        driver.execute(f"PRAGMA busy_timeout = {int(WAIT_S * 1000)}")
    return not busy


def others(connection: Connection) -> int:
    """How many other connections of this program the same PostgreSQL database has; 0 on SQLite."""
    if connection.dialect.name == "sqlite":
        return 0
    found: int = connection.execute(_OTHERS, {"name": APPLICATION}).scalar_one()
    return found


def connect(engine: Engine) -> Connection:
    """A connection, or StoreError in plain words."""
    try:
        return engine.connect()
    except faults.OF_DRIVERS as error:
        raise faults.translate(error) from error
