"""The condition that a clinic's database is in: read through, every seal opened, nothing changed."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from sqlalchemy import Column, Engine, Table, func, select, text

from core.errors import StoreError
from core.store import faults
from core.store import tables as t
from core.store.columns import Frozen, Torn, Word
from core.store.copies import check_copy
from core.store.engine import connect, make_engine, sqlite_file
from core.store.reseal import BATCH, rows_after, sealed_columns
from core.store.sealed import Seal
from core.store.tables import HEAD, metadata


@dataclass(frozen=True, slots=True)
class Condition:
    """`version` of the tables, beside the one that this program `needs`; rows with a text that no key opens, and rows
    with another value that cannot be read: table, key and column."""

    version: str
    people: int
    staff: int
    unreadable: tuple[str, ...]
    torn: tuple[str, ...] = ()
    needs: str = HEAD


def condition_of(url: str, keys: Sequence[bytes], *, clinic_id: str = "clinic") -> Condition:
    """Look through the whole database, others at work on it meanwhile.

    Raises StoreError when it cannot be reached, is damaged, none of ours, too new, or sealed with other keys.
    """
    file = sqlite_file(url)
    copy = check_copy(file, keys, clinic_id=clinic_id) if file is not None else None
    engine = make_engine(url)
    try:
        if copy is None:
            return _on_server(engine, Seal(keys), clinic_id)
        torn = tuple(_torn(engine, clinic_id)) if copy.version == HEAD else ()
        return Condition(copy.version, copy.people, copy.staff, copy.unreadable, torn)
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
    unreadable = tuple(_failing(engine, clinic_id, sealed_columns(), lambda column, token: not _opens(seal, token)))
    return Condition(version, people, staff, unreadable, tuple(_torn(engine, clinic_id)))


def _torn(engine: Engine, clinic_id: str) -> Iterator[str]:
    def torn(column: "Column[object]", stored: str) -> bool:
        assert isinstance(column.type, Word | Frozen)
        return isinstance(column.type.process_result_value(stored, engine.dialect), Torn)

    return _failing(engine, clinic_id, _plain_columns(), torn)


def _plain_columns() -> Iterator[tuple[Table, "Column[object]"]]:
    for table in metadata.sorted_tables:
        yield from ((table, column) for column in table.c if isinstance(column.type, Word | Frozen))


def _opens(seal: Seal, token: str) -> bool:
    try:
        if token:
            seal.open(token)
    except StoreError:
        return False
    return True


def _failing(
    engine: Engine, clinic_id: str, columns: Iterable[tuple[Table, "Column[object]"]],
    fails: Callable[["Column[object]", str], bool],
) -> Iterator[str]:  # fmt: skip
    """Each in a short transaction, so that a large database holds up no clearing of old rows."""
    for table, column in columns:
        last = None
        while True:
            with connect(engine) as connection:
                rows = rows_after(connection, clinic_id, table, column, last, empty=True)
            for stored, *key in rows:
                if fails(column, stored):
                    yield f"{table.name} {'/'.join(str(part) for part in key if part != clinic_id)} {column.name}"
            if len(rows) < BATCH:
                break
            last = rows[-1][1:]
