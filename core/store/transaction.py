"""One transaction and the few ways to run a statement in it; what the parts of a unit of work share.

A record is a row of its table (`tables.OF`), field by field: `rows` selects them, `Transaction` reads and saves them.
"""

import dataclasses
import functools
from collections import defaultdict
from collections.abc import Callable, Sequence
from itertools import chain
from typing import Any, TypeVar

from sqlalchemy import (
    Column,
    ColumnElement,
    Connection,
    CursorResult,
    Engine,
    Executable,
    Row,
    Select,
    Table,
    UniqueConstraint,
    bindparam,
    select,
)
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.sql import visitors
from sqlalchemy.sql.dml import Insert

from core.errors import StoreError, UnreadableError
from core.records import Box
from core.store import codec, faults
from core.store import tables as t
from core.store.columns import Torn
from core.store.engine import connect

AnyRow = Row[*tuple[Any, ...]]
Rows = Select[*tuple[Any, ...]]
Record = TypeVar("Record")


def mine(table: Table) -> ColumnElement[bool]:
    """Rows of the clinic this store serves."""
    clinic = t.clinics.c.id if table is t.clinics else table.c.clinic_id
    return clinic == bindparam("clinic")


def fields(record: type) -> list[ColumnElement[Any]]:
    """The columns of a record's table in the order of its fields, so that `record(*row)` builds it."""
    return [t.OF[record].c[field.name] for field in dataclasses.fields(record)]


def rows(record: type, *by: str) -> Rows:
    """The rows of this clinic that are such records; each column in `by` equals the parameter of its name."""
    table = t.OF[record]
    return select(*fields(record)).where(mine(table), *(table.c[name] == bindparam(name) for name in by))


_ADD = {record: table.insert().inline() for record, table in t.OF.items()}  # nobody needs the number it gets
_BY_ID = {record: rows(record, "id") for record, table in t.OF.items() if "id" in table.c}


@functools.cache
def insert_new(dialect: str, table: Table) -> Insert:
    """An insert that leaves a row alone which has the same unique columns; without such, the same key."""
    unique = next((each for each in table.constraints if isinstance(each, UniqueConstraint)), table.primary_key)
    names = [column.name for column in unique.columns]
    statement = _inserting(dialect, table).on_conflict_do_nothing(index_elements=names).inline()
    return statement.execution_options(preserve_rowcount=True)  # otherwise kept for updates and deletes only


@functools.cache
def _upsert(dialect: str, table: Table) -> Insert:
    """An insert that replaces the row with the same primary key."""
    keys = [column.name for column in table.primary_key]
    statement = _inserting(dialect, table)
    new = {column.name: statement.excluded[column.name] for column in table.c if column.name not in keys}
    return statement.on_conflict_do_update(index_elements=keys, set_=new)


@functools.cache
def _locked(query: Rows) -> Rows:
    """With a lock that still lets other rows refer to the found one."""
    return query.with_for_update(key_share=True)


def _inserting(dialect: str, table: Table) -> sqlite.Insert | postgresql.Insert:
    return postgresql.insert(table) if dialect == "postgresql" else sqlite.insert(table)


def _values(record: Any) -> dict[str, Any]:
    """The record's fields by name, not looked into."""
    return {name: getattr(record, name) for name in codec.field_names(record)}


def _whole(statement: Any, row: AnyRow) -> AnyRow:
    if Torn not in map(type, row):
        return row
    found = dict(zip(statement.exported_columns, row, strict=True))
    column = next(column for column, value in found.items() if type(value) is Torn)
    raise UnreadableError(column.table.name, str(found.get(column.table.c.get("id"), "")), column.name)


@functools.cache
def _looks_at(query: Rows) -> frozenset[str]:
    """The columns that say which rows a query finds, and in which order."""
    parts = (*query._where_criteria, *query._order_by_clauses)
    return frozenset(each.name for part in parts for each in visitors.iterate(part) if isinstance(each, Column))


def _same_row(one: Any, other: Any) -> bool:
    keys = [column.name for column in t.OF[type(other)].primary_key if column.name != "clinic_id"]
    return type(one) is type(other) and all(getattr(one, key) == getattr(other, key) for key in keys)


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
            self.must_write()
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

    def get(self, record: type[Record], id_: str, *, lock: bool = False) -> Record | None:
        """The record of that id; one that was read by another name is not read again, but for a lock."""
        known = None if lock else self.seen(record, lambda each: each.id == id_)
        return known or self.find(record, _BY_ID[record], lock=lock, id=id_)

    def find(self, record: type[Record], query: Rows, *, lock: bool = False, **parameters: Any) -> Record | None:
        """The first of `every`. A lock is held until the unit ends and means nothing in a reading unit."""
        return next(iter(self.every(record, query, lock=lock, **parameters)), None)

    def every(
        self, record: type[Record], query: Rows, *, lock: bool = False, **parameters: Any
    ) -> tuple[Record, ...]:
        """The records that `query` finds, read anew only where they may have changed."""
        statement = self.locking(query, lock)
        known: tuple[Record, ...] | None = self.kept(record, query, **parameters)
        if known is not None:
            return known
        found = tuple(record(*row) for row in self.all(statement, **parameters))
        self.keep(record, query, found, **parameters)
        return found

    def standing(self, record: type[Record], query: Executable, **parameters: Any) -> tuple[Record, ...]:
        """As `every`, for lists of many people: with what cannot be read, and nothing is kept."""
        return tuple(record(*row) for row in self.as_it_stands(query, **parameters))

    def locking(self, query: Rows, lock: bool) -> Rows:
        if lock:
            self._kept.clear()
        return _locked(query) if lock and self._writing else query

    def keep(self, record: type, query: Rows, found: tuple[Any, ...], **parameters: Any) -> None:
        """What was read along with something else: what `every` is to find."""
        if self._writing:
            self._kept[t.OF[record].name][(query, *parameters.values())] = found

    def kept(self, record: type, query: Rows, **parameters: Any) -> tuple[Any, ...] | None:
        """What was kept so; None where nothing was, or it may have changed."""
        return self._kept[t.OF[record].name].get((query, *parameters.values()))

    def seen(self, record: type[Record], which: Callable[[Any], bool]) -> Record | None:
        """A record that was read by whatever name."""
        kept = chain.from_iterable(self._kept[t.OF[record].name].values())
        return next((each for each in kept if type(each) is record and which(each)), None)

    def save(self, record: Any) -> None:
        """Insert or replace. What was read stays kept where the change takes no row out of it, nor any into it."""
        table = t.OF[type(record)]
        before = self.seen(type(record), lambda each: _same_row(each, record))
        kept = self._kept.pop(table.name, {})
        self._insert(_upsert(self.dialect, table), table, _values(record))
        if before is not None:
            moved = {name for name, value in _values(record).items() if value != getattr(before, name)}
            self._kept[table.name] = {
                key: tuple(record if _same_row(each, record) else each for each in found)
                for key, found in kept.items()
                if not moved & _looks_at(key[0])
            }

    def add(self, record: Any) -> None:
        """Insert. Raises StoreError where there is such a row, or not the one that it belongs to."""
        self._insert(_ADD[type(record)], t.OF[type(record)], _values(record))

    def add_new(self, record: Any, **more: Any) -> bool:
        """Insert, with `more` columns than the record has; False: there is such a row, and it was left alone."""
        return self.add_row(t.OF[type(record)], **_values(record), **more)

    def add_row(self, table: Table, **row: Any) -> bool:
        """The same for a row that is no record."""
        return self._insert(insert_new(self.dialect, table), table, row)

    def change(self, statement: Executable, **parameters: Any) -> int:
        """Run an update or delete and say how many rows it met."""
        return self.run(statement, {"clinic": self._clinic, **parameters}).rowcount

    def change_all(self, statement: Executable, rows: Sequence[dict[str, Any]]) -> None:
        """Run an update or delete once for each row of parameters, together."""
        if rows:
            self.run(statement, [{"clinic": self._clinic, **row} for row in rows])

    def _insert(self, statement: Insert, table: Table, row: dict[str, Any]) -> bool:
        clinic = row.setdefault("clinic_id", self._clinic) if "clinic_id" in table.c else row["id"]
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
