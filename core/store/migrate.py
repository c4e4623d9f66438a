"""Brings a database to the tables this version knows, one process at a time."""

from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import Connection, Engine, inspect, text

from core.errors import StoreError
from core.store import faults
from core.store.engine import connect
from core.store.tables import HEAD

if TYPE_CHECKING:
    from alembic.config import Config

_FOLDER = Path(__file__).parent / "migrations"
_LOCK = 7_263_541_907  # our number among PostgreSQL's advisory locks; any constant would do


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
