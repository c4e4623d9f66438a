"""One transaction and the few ways to run a statement in it; what the parts of a unit of work share."""

import dataclasses
import functools
from collections import defaultdict
from collections.abc import Callable, Sequence
from itertools import chain
from typing import Any, TypeVar

from sqlalchemy import ColumnElement, Connection, CursorResult, Engine, Executable, Row, Select, Table, bindparam
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.sql.dml import Insert

from core.errors import StoreError, UnreadableError
from core.records import Box
from core.store import codec, faults
from core.store.columns import Torn
from core.store.engine import connect

AnyRow = Row[*tuple[Any, ...]]
Record = TypeVar("Record")


def mine(table: Table) -> ColumnElement[bool]:
    """Rows of the clinic this store serves."""
    condition: ColumnElement[bool] = table.c.clinic_id == bindparam("clinic")
    return condition


def fields(table: Table, record: type) -> list[ColumnElement[Any]]:
    """The columns of `table` in the order of the record's fields, so that `record(*row)` builds it."""
    return [table.c[field.name] for field in dataclasses.fields(record)]


def values(record: Any) -> dict[str, Any]:
    """The record's fields by name, not looked into."""
    return {name: getattr(record, name) for name in codec.field_names(record)}


@functools.cache
def insert_new(dialect: str, table: Table, unique: tuple[str, ...]) -> Insert:
    """An insert that leaves a row alone which has the same `unique` columns."""
    statement = _inserting(dialect, table).on_conflict_do_nothing(index_elements=list(unique)).inline()
    return statement.execution_options(preserve_rowcount=True)  # otherwise kept for updates and deletes only


@functools.cache
def upsert(dialect: str, table: Table) -> Insert:
    """An insert that replaces the row with the same primary key."""
    keys = [column.name for column in table.primary_key]
    statement = _inserting(dialect, table)
    new = {column.name: statement.excluded[column.name] for column in table.c if column.name not in keys}
    return statement.on_conflict_do_update(index_elements=keys, set_=new)


@functools.cache
def _locked(query: Select[*tuple[Any, ...]]) -> Select[*tuple[Any, ...]]:
    """With a lock that still lets other rows refer to the found one."""
    return query.with_for_update(key_share=True)


def _inserting(dialect: str, table: Table) -> sqlite.Insert | postgresql.Insert:
    return postgresql.insert(table) if dialect == "postgresql" else sqlite.insert(table)


def _whole(statement: Any, row: AnyRow) -> AnyRow:
    if Torn not in map(type, row):
        return row
    found = dict(zip(statement.exported_columns, row, strict=True))
    column = next(column for column, value in found.items() if type(value) is Torn)
    raise UnreadableError(column.table.name, str(found.get(column.table.c.get("id"), "")), column.name)


def _among(kept: Any, record: Any) -> bool:
    rows = kept if isinstance(kept, tuple) else (kept,)
    return any(each is not None and each.id == record.id for each in rows)


def _renewed(kept: Any, record: Any) -> Any:
    """What was kept, with the record in the place of the one that it replaces."""
    if not _among(kept, record):
        return kept
    return tuple(record if each.id == record.id else each for each in kept) if isinstance(kept, tuple) else record


class Transaction:
    """One transaction. Closing without `commit` undoes everything; after a StoreError closing is all that remains."""

    def __init__(
        self, engine: Engine, clinic_id: str, *, writing: bool, committed: Callable[["Transaction"], None]
    ) -> None:
        self._engine = engine
        self.dialect = engine.dialect.name
        self._clinic = clinic_id
        self._writing = writing
        self._committed = committed
        self.erased = False  # somebody was
        self.left: set[Box] = set()  # into which something was put for whoever works on it
        self._connection: Connection | None = None
        # by table, what a writing unit has read, so that no row is asked for twice: until the table is written to,
        # or a lock is waited for, during which another unit may have changed anything
        self._kept: defaultdict[str, dict[tuple[Any, ...], Any]] = defaultdict(dict)

    def open(self) -> None:
        """Begin. Raises StoreError when it is open already, or the database cannot."""
        if self._connection is not None:
            raise StoreError("this unit of work is open already; ask the store for another one")
        connection = connect(self._engine)
        try:
            connection.begin()
        except faults.OF_DRIVERS as error:
            connection.close()
            raise faults.translate(error) from error
        self._connection = connection

    def close(self) -> None:
        """End it; what was not committed is undone."""
        connection, self._connection = self._connection, None
        self._kept.clear()
        if connection is not None:
            connection.close()

    def commit(self) -> None:
        """Make what was done so far last. Raises StoreError when the database cannot."""
        connection = self.opened()
        self._kept.clear()
        try:
            connection.commit()
            if self._writing:
                self._committed(self)
                self.erased, self.left = False, set()
        except faults.OF_DRIVERS as error:
            raise faults.translate(error) from error

    def opened(self) -> Connection:
        """Raises StoreError before it was begun and after its end."""
        if self._connection is None:
            raise StoreError("this unit of work is not open; use it inside its `with` block")
        return self._connection

    def run(self, statement: Executable, parameters: Any) -> CursorResult[*tuple[Any, ...]]:
        if not statement.is_select:
            self._forget(statement)
        try:
            return self.opened().execute(statement, parameters)
        except faults.OF_DRIVERS as error:
            raise faults.translate(error) from error

    def all(self, statement: Executable, **parameters: Any) -> Sequence[AnyRow]:
        """Raises UnreadableError for the first row with a value that cannot be read."""
        return [_whole(statement, row) for row in self.as_it_stands(statement, **parameters)]

    def one(self, statement: Executable, **parameters: Any) -> AnyRow | None:
        row = self.run(statement, {"clinic": self._clinic, **parameters}).first()
        return None if row is None else _whole(statement, row)

    def as_it_stands(self, statement: Executable, **parameters: Any) -> Sequence[AnyRow]:
        """For lists of many people, in which one row must not hide the others: what cannot be read is Torn."""
        return self.run(statement, {"clinic": self._clinic, **parameters}).all()

    def _forget(self, statement: Executable) -> None:
        """What the statement may change; a deletion reaches into other tables."""
        table = getattr(statement, "table", None)
        if statement.is_delete or table is None:
            self._kept.clear()
        else:
            self._kept.pop(table.name, None)

    def once(
        self, table: Table, query: Select[*tuple[Any, ...]], record: Callable[..., Record], *, lock: bool = False,
        **parameters: Any,
    ) -> Record | None:  # fmt: skip
        """The record of the row that `query` finds in `table`, read anew only where it may have changed."""
        statement, key = self.locking(query, lock), (query, *parameters.values())
        kept = self._kept[table.name]
        if key in kept:
            known: Record | None = kept[key]
            return known
        row = self.one(statement, **parameters)
        found = record(*row) if row else None
        if self._writing:
            kept[key] = found
        return found

    def every(
        self, table: Table, query: Select[*tuple[Any, ...]], record: Callable[..., Record], **parameters: Any
    ) -> tuple[Record, ...]:
        """As `once`, of all the rows that `query` finds, in its order."""
        key = (query, *parameters.values())
        if known := self.kept(table, key):
            found: tuple[Record, ...] = known[0]
            return found
        found = tuple(record(*row) for row in self.all(query, **parameters))
        self.keep(table, key, found)
        return found

    def keep(self, table: Table, key: tuple[Any, ...], found: Any) -> None:
        """What was read along with something else: the answer that `once` would have for `key`, query first."""
        if self._writing:
            self._kept[table.name][key] = found

    def kept(self, table: Table, key: tuple[Any, ...]) -> tuple[Any] | None:
        """What was kept for `key`, by itself in a tuple; None where nothing was, or it may have changed."""
        kept = self._kept[table.name]
        return (kept[key],) if key in kept else None

    def seen(self, table: Table, record: type[Record], which: Callable[[Record], bool]) -> Record | None:
        """A record of `table` that was read by another name."""
        kept = (each if isinstance(each, tuple) else (each,) for each in self._kept[table.name].values())
        return next((each for each in chain.from_iterable(kept) if isinstance(each, record) and which(each)), None)

    def put(self, table: Table, record: Any) -> None:
        """Insert or replace; a row that was read before stays kept, as it is now."""
        kept = self._kept.pop(table.name, {})
        self.insert(upsert(self.dialect, table), values(record))
        if any(_among(old, record) for old in kept.values()):
            self._kept[table.name] = {key: _renewed(old, record) for key, old in kept.items()}

    def locking(self, query: Select[*tuple[Any, ...]], lock: bool) -> Select[*tuple[Any, ...]]:
        if lock:
            self._kept.clear()
        return _locked(query) if lock and self._writing else query

    def change(self, statement: Executable, **parameters: Any) -> int:
        """Run an update or delete and say how many rows it met."""
        self.must_write()
        return self.run(statement, {"clinic": self._clinic, **parameters}).rowcount

    def change_all(self, statement: Executable, rows: Sequence[dict[str, Any]]) -> None:
        """Run an update or delete once for each row of parameters, together."""
        self.must_write()
        if rows:
            self.run(statement, [{"clinic": self._clinic, **row} for row in rows])

    def insert(self, statement: Insert, row: dict[str, Any]) -> bool:
        """Insert one row of this clinic; False when the statement left an older one alone."""
        self.must_write()
        clinic = row.setdefault("clinic_id", self._clinic)
        if clinic != self._clinic:
            raise StoreError(
                f"this store was opened for the clinic {self._clinic!r} and cannot keep a record of {clinic!r}; "
                "open it with clinic_id set to that clinic"
            )
        return self.run(statement, row).rowcount > 0

    def must_write(self) -> None:
        if not self._writing:
            raise StoreError("this unit of work was opened for reading; use store.writing() to change something")


class Part:
    """One kind of rows of a unit of work, in its transaction."""

    def __init__(self, transaction: Transaction) -> None:
        self._tx = transaction
