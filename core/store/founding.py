"""What is at a URL already, and bringing it to the tables that this version knows, one process at a time."""

import sqlite3
from contextlib import closing
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import Connection, Engine, inspect, select, text

from core.errors import StoreError
from core.store import faults
from core.store import tables as t
from core.store.engine import WAIT_S, connect, make_engine, sqlite_file
from core.store.tables import HEAD

if TYPE_CHECKING:
    from alembic.config import Config

_FOLDER = Path(__file__).parent / "migrations"
_LOCK = 7_263_541_907  # our number among PostgreSQL's advisory locks; any constant would do
OURS = frozenset({"alembic_version", "keyring", "people"})  # what every database of this program has


class Found(StrEnum):
    """What is at a place already."""

    NOTHING = "nothing"
    TABLES = "tables"  # nothing is sealed in them yet: somebody is founding a clinic, or was broken off
    CLINIC = "clinic"


def what_is_at(url: str, clinic_id: str = "clinic") -> Found:
    """Whether a database with that clinic's key proof is at `url`; only looked at, nothing is made.

    Raises StoreError for a file of no bytes, which a broken copy leaves, and for a server that cannot be reached.
    """
    file = sqlite_file(url)
    if file is None:
        return _on_server(url, clinic_id)
    if not file.exists():
        return Found.NOTHING
    if not file.stat().st_size:
        raise StoreError(
            f"the database {file} is an empty file: put a copy back with holdlower restore; "
            "if there never was a clinic in it, take the file away"
        )
    if clinic_id in clinics_in(file):
        return Found.CLINIC
    return Found.TABLES if t.keyring.name in (_tables(file) or ()) else Found.NOTHING


def make_tables(url: str) -> None:
    """A new database without anybody in it. Raises StoreError for a file that holds something else."""
    file = sqlite_file(url)
    if file is not None and file.exists() and not _free(file):
        raise StoreError(f"there is something else in {file}, so it is left alone; check HOLDLOWER_DATABASE")
    engine = make_engine(url)
    try:
        migrate(engine)
    finally:
        engine.dispose()


def clinics_in(file: Path) -> frozenset[str]:
    """The ids of the clinics that a database file was opened for, none where it is not one of ours.

    Only looked at: nothing is upgraded. Raises StoreError where it cannot be read.
    """
    try:
        with closing(sqlite3.connect(f"{file.absolute().as_uri()}?mode=rw", uri=True, timeout=WAIT_S)) as connection:
            if not _names(connection) >= OURS:
                return frozenset()
            return frozenset(clinic for (clinic,) in connection.execute("SELECT clinic_id FROM keyring"))
    except sqlite3.DatabaseError as error:
        if isinstance(error, sqlite3.OperationalError):
            raise StoreError(f"{file}: {faults.translate(error)}") from error
        return frozenset()  # some other kind of file


def _on_server(url: str, clinic_id: str) -> Found:
    engine = make_engine(url)
    try:
        with connect(engine) as connection:
            if not inspect(connection).has_table(t.keyring.name):
                return Found.NOTHING
            ours = select(t.keyring.c.clinic_id).where(t.keyring.c.clinic_id == clinic_id)
            return Found.CLINIC if connection.execute(ours).first() else Found.TABLES
    except faults.OF_DRIVERS as error:
        raise faults.translate(error) from error
    finally:
        engine.dispose()


def _free(file: Path) -> bool:
    """Nothing is in it, or the tables of a founding that was broken off."""
    names = _tables(file)
    return names is not None and (not names or (t.keyring.name in names and not clinics_in(file)))


def _tables(file: Path) -> set[str] | None:
    """The names of the tables of a file; None where it is no database at all."""
    try:
        with closing(sqlite3.connect(f"{file.absolute().as_uri()}?mode=ro", uri=True)) as connection:
            return _names(connection)
    except sqlite3.DatabaseError:
        return None


def _names(connection: sqlite3.Connection) -> set[str]:
    return {name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}


def migrate(engine: Engine) -> None:
    """Apply what is missing. Raises StoreError when the database is newer than the program."""
    try:
        with connect(engine) as connection:
            if _version(connection) == HEAD:
                return
        with connect(engine.execution_options(writing=True)) as connection:
            _without_foreign_keys(connection)
            _upgrade(connection)
            connection.invalidate()  # its foreign keys are off: never back into the pool
    except faults.OF_DRIVERS as error:
        raise faults.translate(error) from error


def check_current(engine: Engine) -> None:
    """Raises StoreError when the database cannot be reached, or has the tables of another version."""
    try:
        with connect(engine) as connection:
            version = connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
    except faults.OF_DRIVERS as error:
        raise faults.translate(error) from error
    if version != HEAD:
        raise StoreError(f"the database's tables are at {version}, this program needs {HEAD}; start the same version")


def _upgrade(connection: Connection) -> None:
    with connection.begin():  # on SQLite this takes the write lock
        if connection.dialect.name == "postgresql":
            connection.execute(text("SELECT pg_advisory_xact_lock(:number)"), {"number": _LOCK})
        version = _version(connection)  # another process may have been first
        if version == HEAD:
            return
        # a third of a second to import, needed once in the life of a version
        from alembic import command

        if version is not None:
            check_known(version)
        command.upgrade(_config(connection), "head")
        _check_foreign_keys(connection)


def check_known(version: str) -> None:
    """StoreError for tables of a version that this program has never heard of."""
    from alembic.script import ScriptDirectory

    known = {script.revision for script in ScriptDirectory(str(_FOLDER)).walk_revisions()}
    if version not in known:
        raise StoreError(
            f"the database was made by a newer version of the program (its tables are at {version}, "
            f"this program knows up to {HEAD}); install the newer version"
        )


def _config(connection: Connection) -> "Config":
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(_FOLDER).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    config.attributes["connection"] = connection
    return config


def _version(connection: Connection) -> str | None:
    if not inspect(connection).has_table("alembic_version"):
        return None
    version: str | None = connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
    return version


def _without_foreign_keys(connection: Connection) -> None:
    """Batch changes copy tables on SQLite; their references must not bite meanwhile. Outside a transaction only."""
    if connection.dialect.name == "sqlite":
        driver = connection.connection.driver_connection
        if driver is not None:
            driver.execute("PRAGMA foreign_keys = OFF")


def _check_foreign_keys(connection: Connection) -> None:
    if connection.dialect.name == "sqlite" and connection.exec_driver_sql("PRAGMA foreign_key_check").first():
        raise StoreError("bringing the database up to date would break references between rows; nothing was changed")
