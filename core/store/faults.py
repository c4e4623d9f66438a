"""What a driver's error means, in plain words. Values never appear: they could be a person's."""

import sqlite3

from sqlalchemy.exc import SQLAlchemyError

from core.errors import HoldlowerError, StoreError, StoreTroubleError

OF_DRIVERS = (SQLAlchemyError, sqlite3.Error)  # SQLite is spoken to directly in places

# SQLite: names of https://sqlite.org/rescode.html, the most telling first
_SQLITE = {
    "SQLITE_FULL": "the disk is full; free some space and start again",
    "SQLITE_BUSY": "another program holds the database's write lock; close it, or try again in a moment",
    "SQLITE_LOCKED": "another program holds the database's write lock; close it, or try again in a moment",
    "SQLITE_CANTOPEN": "the database file cannot be opened; check that its folder exists and is ours to write",
    "SQLITE_PERM": "the database file is not ours to read or write; check its owner and mode",
    "SQLITE_AUTH": "the database file is not ours to read or write; check its owner and mode",
    "SQLITE_READONLY": "the database file or its folder is read-only; check owner, mode and mount",
    "SQLITE_NOTADB": "the file is not an SQLite database; check the path",
    "SQLITE_CORRUPT": "the database file is damaged; restore a backup",
    "SQLITE_IOERR": "the disk reported an error; check it, then restore a backup if need be",
}
# PostgreSQL: SQLSTATE codes of https://www.postgresql.org/docs/current/errcodes-appendix.html
_POSTGRESQL = {
    "53100": "the database server's disk is full",
    "53300": "the database server has no free connection; raise max_connections or start fewer processes",
    "28": "the database server refused the user or password; check the URL",
    "3D000": "the database server knows no database of that name; create it or check the URL",
    "42501": "the database user lacks a right; grant it the tables or the schema",
    "40": "two units of work stood in each other's way; run this one again",
    "55P03": "a lock was not free in time; run this unit of work again",
    "57P": "the database server ended the connection; run this unit of work again",
    "08": "the connection to the database server was lost; run this unit of work again",
    "25P02": "an earlier statement of this unit of work failed; leave it and run it again",
    "25P03": "the database server ended a unit of work that stood still too long; run this unit of work again",
    "25006": "the database server is read-only at the moment",
}
_RULES = "the database refused a change that breaks one of its rules"


def translate(error: Exception) -> HoldlowerError:
    """The StoreError to raise from a SQLAlchemy or driver error; our own errors come back as they are."""
    origin = getattr(error, "orig", None) or error
    if isinstance(origin, HoldlowerError):
        return origin
    for each in (error, origin):
        # PostgreSQL adds the values of the row in further lines; nobody's chat belongs in a log
        each.args = (_first_line(each),)
    words = _of_sqlite(origin) or _of_postgresql(origin)
    if words and not words.startswith(_RULES):
        return StoreTroubleError(words)
    return StoreError(words or f"the database refused: {type(origin).__name__}: {_first_line(origin)}")


def _of_sqlite(origin: BaseException) -> str | None:
    name = getattr(origin, "sqlite_errorname", None)
    if name is None:
        return None
    if name.startswith("SQLITE_CONSTRAINT"):
        return f"{_RULES}: {_first_line(origin)}"
    return next((words for code, words in _SQLITE.items() if name.startswith(code)), None)


def _of_postgresql(origin: BaseException) -> str | None:
    state = getattr(origin, "sqlstate", None)
    if state is None:
        # libpq gives no code for what happens before or outside a session
        if type(origin).__module__.startswith("psycopg") and type(origin).__name__ == "OperationalError":
            return f"the database server cannot be reached ({_first_line(origin)}); check that it runs, and the URL"
        return None
    if state.startswith("23"):
        diag = getattr(origin, "diag", None)
        return f"{_RULES}: {getattr(diag, 'constraint_name', None) or getattr(diag, 'column_name', None) or state}"
    return next((words for code, words in _POSTGRESQL.items() if state.startswith(code)), None)


def _first_line(error: BaseException) -> str:
    lines = str(error).strip().splitlines()
    return lines[0] if lines else type(error).__name__
