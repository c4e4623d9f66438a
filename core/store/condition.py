"""Every text and value of a clinic, one after the other: looked through, or sealed with the newest key."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, cast

from sqlalchemy import (
    Column,
    Connection,
    Engine,
    Text,
    and_,
    bindparam,
    func,
    select,
    text,
    tuple_,
    type_coerce,
    update,
)

from core.errors import StoreError
from core.store import faults
from core.store import tables as t
from core.store.columns import Frozen, Torn, Word
from core.store.copies import Watched, check_copy, unwatched
from core.store.engine import connect, empty_log, make_engine, sqlite_file
from core.store.sealed import Seal
from core.store.tables import HEAD, SEALED, metadata

BATCH = 500  # rows a transaction: some 30 ms, so that nobody waits long and a kill loses little
_Key = tuple[Any, ...]
_PLAIN: tuple["Column[object]", ...] = tuple(
    column for table in metadata.sorted_tables for column in table.c if isinstance(column.type, Word | Frozen)
)


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
    unreadable = tuple(_failing(engine, clinic_id, SEALED, lambda column, token: not _opens(seal, token)))
    return Condition(version, people, staff, unreadable, tuple(_torn(engine, clinic_id)))


def _torn(engine: Engine, clinic_id: str) -> Iterator[str]:
    def torn(column: "Column[object]", stored: str) -> bool:
        assert isinstance(column.type, Word | Frozen)
        return isinstance(column.type.process_result_value(stored, engine.dialect), Torn)

    return _failing(engine, clinic_id, _PLAIN, torn)


def _opens(seal: Seal, token: str) -> bool:
    try:
        if token:
            seal.open(token)
    except StoreError:
        return False
    return True


def _failing(
    engine: Engine, clinic_id: str, columns: Iterable["Column[object]"],
    fails: Callable[["Column[object]", str], bool],
) -> Iterator[str]:  # fmt: skip
    """Each in a short transaction, so that a large database holds up no clearing of old rows."""
    for column in columns:
        last = None
        while True:
            with connect(engine) as connection:
                rows = _rows_after(connection, clinic_id, column, last, empty=True)
            for stored, *key in rows:
                if fails(column, stored):
                    row = "/".join(str(part) for part in key if part != clinic_id)
                    yield f"{column.table.name} {row} {column.name}"
            if len(rows) < BATCH:
                break
            last = rows[-1][1:]


def reseal(engine: Engine, seal: Seal, clinic_id: str, watched: Watched = unwatched) -> int:
    """Renew each sealed text and say how many were. Raises StoreError for a text that no key opens."""
    renewed = read = 0
    with connect(engine) as connection:
        every = sum(_how_many(connection, clinic_id, each) for each in SEALED)
    for column in SEALED:
        last: _Key | None = None
        while True:
            with connect(engine) as connection, connection.begin():
                rows = _rows_after(connection, clinic_id, column, last)
                renewed += _renew(connection, seal, column, rows)
            read += len(rows)
            if rows:
                watched(min(read, every), every)
            if len(rows) < BATCH:
                break
            last = rows[-1][1:]
    _wipe(engine)
    return renewed


def _how_many(connection: Connection, clinic_id: str, column: "Column[object]") -> int:
    there = type_coerce(column, Text) != ""
    query = select(func.count()).select_from(column.table).where(column.table.c.clinic_id == clinic_id, there)
    return int(connection.execute(query).scalar_one())


def _rows_after(
    connection: Connection, clinic_id: str, column: "Column[object]", last: _Key | None,
    *, empty: bool = False,
) -> list[_Key]:  # fmt: skip
    """The next texts as they are stored, `empty` ones too, each with its row's key."""
    raw = type_coerce(column, Text)  # past the type that would open it
    keys = list(column.table.primary_key)
    there = raw.is_not(None) if empty else raw != ""
    query = select(raw, *keys).where(column.table.c.clinic_id == clinic_id, there).order_by(*keys).limit(BATCH)
    if last is not None:
        query = query.where(tuple_(*keys) > last)
    return [tuple(row) for row in connection.execute(query)]


def _renew(connection: Connection, seal: Seal, column: "Column[object]", rows: list[_Key]) -> int:
    keys = list(column.table.primary_key)
    old = [(cast("str", token), key) for token, *key in rows if not seal.is_newest(cast("str", token))]
    if not old:
        return 0
    this_row = and_(*(key == bindparam(f"key_{key.name}") for key in keys))
    change = update(column.table).where(this_row).values({column.name: bindparam("token", type_=Text())})
    named = [f"key_{key.name}" for key in keys]
    connection.execute(
        change, [{"token": seal.renew(token), **dict(zip(named, key, strict=True))} for token, key in old]
    )
    return len(old)


def _wipe(engine: Engine) -> None:
    """On SQLite, write the file anew, so that no page holds a text under an older key.

    PostgreSQL keeps the old rows until it is told VACUUM FULL, which is its owner's to say.
    """
    if engine.dialect.name != "sqlite":
        return
    with connect(engine) as connection:
        driver = connection.connection.driver_connection
        if driver is not None:
            driver.execute("VACUUM")
        empty_log(connection)
