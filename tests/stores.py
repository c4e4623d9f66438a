"""Stores of the tests: opened quickly, and put back to what they held before."""

import sqlite3
from typing import Any

from sqlalchemy import Dialect

from core.store import SqlStore
from core.store.engine import make_engine
from core.store.sealed import Seal, attach, new_key

KEY = new_key()
_SEAL = Seal(KEY)
_dialects: dict[str, Dialect] = {}
_compiled: dict[Any, Any] = {}


def opened(url: str) -> SqlStore:
    """The store at `url`, whose tables are there and sealed with KEY.

    All of a process have one dialect, for which each statement is compiled once: for an engine of its own each test
    would compile its thirty statements again, which takes longer than to carry them out.
    """
    engine = make_engine(url)
    engine.dialect = _dialects.setdefault(engine.name, engine.dialect)
    engine.update_execution_options(compiled_cache=_compiled)
    attach(engine.dialect, _SEAL)
    return SqlStore(engine, "clinic", _SEAL)


def kept(store: SqlStore) -> sqlite3.Connection | None:
    """A copy in memory of all that an SQLite store holds; None of PostgreSQL's."""
    if store._reading.name != "sqlite":
        return None
    memory = sqlite3.connect(":memory:")
    with store._reading.connect() as connection:
        connection.connection.driver_connection.backup(memory)
    return memory


def fill(store: SqlStore, memory: sqlite3.Connection) -> None:
    """Let the store hold what was kept, and nothing else."""
    with store._reading.connect() as connection:
        memory.backup(connection.connection.driver_connection)
