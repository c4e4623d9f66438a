"""Whether a clinic's database is there, and making the tables of a new one."""

import sqlite3
from contextlib import closing
from enum import StrEnum
from pathlib import Path

from sqlalchemy import inspect, select

from core.errors import StoreError
from core.store import faults
from core.store import tables as t
from core.store.copies import clinics_in
from core.store.engine import connect, make_engine, sqlite_file
from core.store.migrate import migrate


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
            return {name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    except sqlite3.DatabaseError:
        return None
