"""Whole copies of an SQLite database: made while the program runs, checked, and put back.

PostgreSQL has its own programs for this and is not served here.
"""

import os
import sqlite3
import tempfile
from collections.abc import Callable, Iterator, Sequence
from collections.abc import Set as AbstractSet
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path

from core.errors import StoreError
from core.store import faults
from core.store.engine import WAIT_S, sqlite_file
from core.store.founding import OURS, check_known
from core.store.sealed import Seal
from core.store.tables import SEALED

Watched = Callable[[int, int], None]  # how many of how many, for who waits
_PLAIN = ("-wal", "-shm")  # what SQLite keeps beside a file in use


def unwatched(done: int, all_: int) -> None:
    """Nobody waits."""


@dataclass(frozen=True, slots=True)
class Contents:
    """What a copy that passed every check holds."""

    people: int
    staff: int
    version: str  # of its tables
    size: int  # in bytes
    unreadable: tuple[str, ...] = ()  # rows with a text that no key opens: table, key and column


def back_up(
    url: str, keys: Sequence[bytes], target: Path, *, clinic_id: str = "clinic", watched: Watched = unwatched
) -> Contents:
    """Write one consistent copy of the database to the new file `target`, others writing meanwhile, and check it.

    Nothing is upgraded on the way. Raises StoreError where the database is not SQLite, cannot be read, does not open
    with `keys`, or `target` is there already or cannot be written.
    """
    with _part_beside(target) as part:
        _copy(_file_of(url), part)
        contents = check_copy(part, keys, clinic_id=clinic_id, watched=watched)
        _publish(part, target)
    return contents


def check_copy(
    file: Path, keys: Sequence[bytes], *, clinic_id: str = "clinic", watched: Watched = unwatched
) -> Contents:
    """Read the whole file and open every seal in it.

    Raises StoreError when it is damaged, none of ours, too new, or sealed with other keys.
    """
    try:
        with closing(_open(file)) as connection:
            tables = {name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
            if not tables >= OURS:
                raise StoreError(f"{file} is no database of this program; name a file that holdlower backup wrote")
            found = [row[0] for row in connection.execute("PRAGMA integrity_check(1)")]
            if found != ["ok"]:
                raise StoreError(f"{file} is damaged ({found[0]}); take an older copy")
            (version,) = connection.execute("SELECT version_num FROM alembic_version").fetchone() or ("none",)
            check_known(version)
            _check_key(connection, file, keys, clinic_id)
            people, staff = (_count(connection, name, clinic_id) for name in ("people", "staff"))
            unreadable = tuple(_unreadable(connection, tables, Seal(keys), clinic_id, watched))
    except sqlite3.Error as error:
        raise StoreError(f"{file}: {faults.translate(error)}") from error
    return Contents(people, staff, version, file.stat().st_size, unreadable)


def put_back(
    source: Path, url: str, keys: Sequence[bytes], *, aside: str, replace: bool = False, damaged: bool = False,
    clinic_id: str = "clinic",
) -> tuple[Contents, Path | None]:
    """Make the copy `source` the database at `url`, with nobody using it; what was there before stays under the name
    with `aside` added, and is returned.

    Raises StoreError, with everything as it was, for a copy that fails a check, for one with texts that no key opens
    unless `damaged` says so, and for a database that holds people or cannot be read unless `replace` does.
    """
    target = _file_of(url, must_exist=False)
    if not source.is_file():
        raise StoreError(f"there is no file {source}; name a file that holdlower backup wrote")
    if target.exists() and source.samefile(target):
        raise StoreError(f"{source} is the database itself; name a copy")
    with _part_beside(target) as part:
        _copy(source, part)
        contents = check_copy(part, keys, clinic_id=clinic_id)
        if contents.unreadable and not damaged:
            raise StoreError(
                f"{source} has texts that no key opens ({', '.join(contents.unreadable[:5])}); take an older copy, "
                "add the key of its time to the key file as a last line, or take it as it is with --damaged"
            )
        if target.exists() and not replace:
            _check_empty(target, clinic_id)
        before = _set_aside(target, aside) if target.exists() else None
        part.replace(target)
        _flush_folder(target.parent)
    return contents, before


def _file_of(url: str, *, must_exist: bool = True) -> Path:
    path = sqlite_file(url)
    if path is None:
        raise StoreError("only an SQLite database is copied here; PostgreSQL has pg_dump and pg_restore for it")
    if must_exist and not path.is_file():
        raise StoreError(f"there is no database at {path}; check HOLDLOWER_DATABASE")
    return path


def _open(file: Path, wait_s: float = WAIT_S) -> sqlite3.Connection:
    """Only what is there: a wrong path makes no new database."""
    return sqlite3.connect(f"{file.absolute().as_uri()}?mode=rw", uri=True, timeout=wait_s, isolation_level=None)


def _copy(source: Path, part: Path) -> None:
    """All pages in one step: a reader of the write-ahead log, which holds up no writer and sees one moment."""
    try:
        with closing(_open(source)) as here, closing(_open(part)) as there:
            here.backup(there)
            there.execute("PRAGMA journal_mode = DELETE")  # one file, nothing beside it
    except sqlite3.Error as error:
        raise StoreError(f"{source} cannot be copied: {faults.translate(error)}") from error
    with part.open("rb") as file:
        os.fsync(file.fileno())


def _check_key(connection: sqlite3.Connection, file: Path, keys: Sequence[bytes], clinic_id: str) -> None:
    proof = connection.execute("SELECT proof FROM keyring WHERE clinic_id = ?", (clinic_id,)).fetchone()
    if proof is None:
        raise StoreError(f"{file} is of another clinic; name a copy of this one")
    try:
        Seal(keys).check(proof[0])
    except StoreError as error:
        raise StoreError(
            f"the key file does not open {file}; add the key of its time to the key file as a last line"
        ) from error


def _unreadable(
    connection: sqlite3.Connection, tables: AbstractSet[str], seal: Seal, clinic_id: str, watched: Watched
) -> Iterator[str]:
    columns = [each for each in SEALED if each.table.name in tables]
    for number, column in enumerate(columns, 1):
        watched(number, len(columns))
        name, keys = column.table.name, ", ".join(key.name for key in column.table.primary_key)
        query = f"SELECT {column.name}, {keys} FROM {name} WHERE clinic_id = ? AND {column.name} <> ''"  # names of ours
        for token, *key in connection.execute(query, (clinic_id,)):
            try:
                seal.open(token)
            except StoreError:
                yield f"{name} {'/'.join(str(part) for part in key if part != clinic_id)} {column.name}"


def _count(connection: sqlite3.Connection, table: str, clinic_id: str) -> int:
    if not connection.execute("SELECT 1 FROM sqlite_master WHERE name = ?", (table,)).fetchone():
        return 0  # of before there was such a table
    count: int = connection.execute(
        f"SELECT count(*) FROM {table} WHERE clinic_id = ?", (clinic_id,)  # one of two names of ours
    ).fetchone()[0]
    return count


def _check_empty(target: Path, clinic_id: str) -> None:
    try:
        with closing(_open(target)) as connection:
            held = sum(_count(connection, name, clinic_id) for name in ("people", "staff"))
    except sqlite3.Error as error:
        raise StoreError(
            f"the database {target} cannot be read ({faults.translate(error)}); --replace puts the copy in its place"
        ) from error
    if held:
        raise StoreError(
            f"the database {target} holds {held} people (patients and staff) and stays as it is; "
            "--replace puts the copy in its place"
        )


def _set_aside(target: Path, mark: str) -> Path:
    """Under another name, log and all: a log left behind would be played into the copy."""
    try:
        with closing(_open(target, 0.0)) as connection:
            connection.execute("PRAGMA journal_mode = DELETE")  # folds the log in; nobody else may have it open
    except sqlite3.OperationalError as error:
        raise StoreError(f"the database {target} is in use: {faults.translate(error)}") from error
    except sqlite3.DatabaseError:
        pass  # too damaged to fold: the parts go together, as they are
    before = target.with_name(target.name + mark)
    for ending in _PLAIN:
        beside = target.with_name(target.name + ending)
        if beside.exists():
            beside.replace(before.with_name(before.name + ending))
    try:
        before.hardlink_to(target)  # so that there is a database at every moment, whatever breaks off now
    except OSError:  # a disk without hard links
        target.replace(before)
    return before


@contextmanager
def _part_beside(target: Path) -> Iterator[Path]:
    """A new file that only this user may read, in the folder of `target`; gone afterwards."""
    if not target.parent.is_dir():
        raise StoreError(f"there is no folder {target.parent}; make it first")
    try:
        descriptor, name = tempfile.mkstemp(prefix=f".{target.name}-", dir=target.parent)
    except OSError as error:
        raise StoreError(f"{target.parent} cannot be written to ({error.strerror}); name another folder") from error
    os.close(descriptor)
    part = Path(name)
    try:
        yield part
    finally:
        for ending in ("", "-journal", *_PLAIN):
            part.with_name(part.name + ending).unlink(missing_ok=True)


def _publish(part: Path, target: Path) -> None:
    """Give the finished file its name, in one step and never over another file."""
    try:
        target.hardlink_to(part)
    except FileExistsError as error:
        raise StoreError(f"{target} is there already and stays; name another file") from error
    except OSError:  # a disk without hard links, such as a memory stick
        if target.exists():
            raise StoreError(f"{target} is there already and stays; name another file") from None
        part.rename(target)
    _flush_folder(target.parent)


def _flush_folder(folder: Path) -> None:
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
