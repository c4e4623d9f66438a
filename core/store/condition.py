"""The condition that a clinic's database is in: read through, every seal opened, nothing changed."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from sqlalchemy import Engine, func, select, text

from core.errors import StoreError
from core.store import faults
from core.store import tables as t
from core.store.copies import check_copy
from core.store.engine import connect, make_engine, sqlite_file
from core.store.reseal import BATCH, rows_after, sealed_columns
from core.store.sealed import Seal
from core.store.tables import HEAD


@dataclass(frozen=True, slots=True)
class Condition:
    """`version` of the tables, beside the one that this program `needs`; rows with a text that no key opens."""

    version: str
    people: int
    staff: int
    unreadable: tuple[str, ...]
    needs: str = HEAD


def condition_of(url: str, keys: Sequence[bytes], *, clinic_id: str = "clinic") -> Condition:
    """Look through the whole database, others at work on it meanwhile.

    Raises StoreError when it cannot be reached, is damaged, none of ours, too new, or sealed with other keys.
    """
    file = sqlite_file(url)
    if file is not None:
        found = check_copy(file, keys, clinic_id=clinic_id)
        return Condition(found.version, found.people, found.staff, found.unreadable)
    engine = make_engine(url)
    try:
        return _on_server(engine, Seal(keys), clinic_id)
    except faults.OF_DRIVERS as error:
        raise faults.translate(error) from error
    finally:
        engine.dispose()


def _on_server(engine: Engine, seal: Seal, clinic_id: str) -> Condition:
    with connect(engine) as connection:
        version = connection.execute(text("SELECT version_num FROM alembic_version")).scalar() or "none"
        if version != HEAD:  # the columns below may not be there
            return Condition(version, 0, 0, ())
        people, staff = (
            connection.execute(select(func.count()).where(table.c.clinic_id == clinic_id)).scalar_one()
            for table in (t.people, t.staff)
        )
    return Condition(version, people, staff, tuple(_unreadable(engine, seal, clinic_id)))


def _unreadable(engine: Engine, seal: Seal, clinic_id: str) -> Iterator[str]:
    """Each in a short transaction, so that a large database holds up no clearing of old rows."""
    for table, column in sealed_columns():
        last = None
        while True:
            with connect(engine) as connection:
                rows = rows_after(connection, clinic_id, table, column, last)
            for token, *key in rows:
                try:
                    seal.open(token)
                except StoreError:
                    yield f"{table.name} {'/'.join(str(part) for part in key if part != clinic_id)} {column.name}"
            if len(rows) < BATCH:
                break
            last = rows[-1][1:]
