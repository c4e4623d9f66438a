"""Seals every text of a clinic with the newest key, a short transaction at a time.

What the newest key opens already is left alone, so that a run that was broken off is simply begun again.
"""

from collections.abc import Callable, Iterator
from typing import Any, cast

from sqlalchemy import (
    Column,
    Connection,
    Engine,
    Table,
    Text,
    and_,
    bindparam,
    func,
    select,
    tuple_,
    type_coerce,
    update,
)

from core.store.engine import connect, empty_log
from core.store.sealed import Seal, Sealed, SealedFacts, SealedWords
from core.store.tables import keyring, metadata

BATCH = 500  # rows a transaction: some 30 ms, so that nobody waits long and a kill loses little
_Key = tuple[Any, ...]
Watched = Callable[[int, int], None]  # how many of how many, for who waits


def unwatched(done: int, all_: int) -> None:
    """Nobody waits."""


def reseal(engine: Engine, seal: Seal, clinic_id: str, watched: Watched = unwatched) -> int:
    """Renew each sealed text and say how many were. Raises StoreError for a text that no key opens."""
    renewed = read = 0
    with connect(engine) as connection:
        every = sum(_how_many(connection, clinic_id, *each) for each in sealed_columns())
    for table, column in sealed_columns():
        last: _Key | None = None
        while True:
            with connect(engine) as connection, connection.begin():
                rows = rows_after(connection, clinic_id, table, column, last)
                renewed += _renew(connection, seal, table, column, rows)
            read += len(rows)
            if rows:
                watched(min(read, every), every)
            if len(rows) < BATCH:
                break
            last = rows[-1][1:]
    _wipe(engine)
    return renewed


def _how_many(connection: Connection, clinic_id: str, table: Table, column: "Column[object]") -> int:
    there = type_coerce(column, Text) != ""
    query = select(func.count()).select_from(table).where(table.c.clinic_id == clinic_id, there)
    return int(connection.execute(query).scalar_one())


def sealed_columns() -> Iterator[tuple[Table, "Column[object]"]]:
    """Each column whose texts are sealed, with its table."""
    for table in metadata.sorted_tables:
        for column in table.c:
            if isinstance(column.type, Sealed | SealedFacts | SealedWords) or column is keyring.c.proof:
                yield table, column


def rows_after(
    connection: Connection, clinic_id: str, table: Table, column: "Column[object]", last: _Key | None,
    *, empty: bool = False,
) -> list[_Key]:  # fmt: skip
    """The next texts as they are stored, `empty` ones too, each with its row's key."""
    raw = type_coerce(column, Text)  # past the type that would open it
    keys = list(table.primary_key)
    there = raw.is_not(None) if empty else raw != ""
    query = select(raw, *keys).where(table.c.clinic_id == clinic_id, there).order_by(*keys).limit(BATCH)
    if last is not None:
        query = query.where(tuple_(*keys) > last)
    return [tuple(row) for row in connection.execute(query)]


def _renew(connection: Connection, seal: Seal, table: Table, column: "Column[object]", rows: list[_Key]) -> int:
    keys = list(table.primary_key)
    old = [(cast("str", token), key) for token, *key in rows if not seal.is_newest(cast("str", token))]
    if not old:
        return 0
    this_row = and_(*(key == bindparam(f"key_{key.name}") for key in keys))
    change = update(table).where(this_row).values({column.name: bindparam("token", type_=Text())})
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
