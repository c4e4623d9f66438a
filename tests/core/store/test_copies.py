"""A copy made while others write is whole, comes back as it was, and nothing is overwritten by mistake."""

import re
import shutil
import sqlite3
import stat
import threading
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from core.errors import StoreError
from core.store import SqlStore, open_store
from core.store.copies import back_up, put_back
from core.store.sealed import new_key
from tests.builders import a_note, a_person, a_staff

ASIDE = ".before"


@pytest.fixture
def home(tmp_path: Path, sqlite_store: SqlStore) -> Path:
    """A folder with store.db, in which two people live, and which is in use."""
    with sqlite_store.writing() as uow:
        uow.people.save(a_person(id="cook", name="the pastry cook"))
        uow.staff.save(a_staff(id="ben"))
        uow.commit()
    return tmp_path


def url(home: Path, name: str = "store.db") -> str:
    return f"sqlite:///{home / name}"


def pairs_in(file: Path) -> tuple[list[str], list[str]]:
    """The numbered people and notes of a file; each transaction wrote one of both."""
    with closing(sqlite3.connect(file)) as connection:
        people = [row[0] for row in connection.execute("SELECT id FROM people WHERE id LIKE 'p%' ORDER BY id")]
        notes = [row[0] for row in connection.execute("SELECT person_id FROM notes ORDER BY person_id")]
    return people, notes


class Writers:
    """Threads that save a person and a note about them in one transaction, over and over."""

    def __init__(self, store: SqlStore, count: int = 2) -> None:
        self.committed: list[str] = []
        self._store, self._stop = store, threading.Event()
        self._threads = [threading.Thread(target=self._run, args=(number,)) for number in range(count)]

    def __enter__(self) -> "Writers":
        for thread in self._threads:
            thread.start()
        while len(self.committed) < 20:
            assert any(thread.is_alive() for thread in self._threads)
        return self

    def __exit__(self, *_: object) -> None:
        self._stop.set()
        for thread in self._threads:
            thread.join()

    def _run(self, number: int) -> None:
        turn = 0
        while not self._stop.is_set():
            turn += 1
            person = a_person(id=f"p{number}-{turn:06}", address=f"{number}-{turn}", name="somebody" * 40)
            with self._store.writing() as uow:
                uow.people.save(person)
                uow.people.add_note(a_note(person, text="a long line " * 60))
                uow.commit()
            self.committed.append(person.id)


def test_a_copy_made_under_writing_holds_all_that_was_committed_before_and_no_half_of_anything(
    home: Path, sqlite_store: SqlStore, key: bytes
) -> None:
    with Writers(sqlite_store) as writers:
        for number in range(5):
            before = set(writers.committed)
            contents = back_up(url(home), [key], home / f"copy-{number}.sqlite")
            people, notes = pairs_in(home / f"copy-{number}.sqlite")
            assert people == notes, "each transaction whole or not at all"
            assert before <= set(people)
            assert (contents.people, contents.staff) == (len(people) + 1, 1)
    assert len(writers.committed) > len(before), "nobody had to wait for the copies to end"


def test_a_copy_put_back_is_the_database_of_its_moment_and_lives_on(
    home: Path, sqlite_store: SqlStore, key: bytes
) -> None:
    with Writers(sqlite_store):
        back_up(url(home), [key], home / "copy.sqlite")
    sqlite_store.close()
    kept = pairs_in(home / "copy.sqlite")
    later = pairs_in(home / "store.db")
    assert len(later[0]) > len(kept[0])

    _, before = put_back(home / "copy.sqlite", url(home), [key], aside=ASIDE, replace=True)

    assert before == home / "store.db.before"
    assert pairs_in(before) == later, "what was there stays, with what its log held"
    assert pairs_in(home / "store.db") == kept
    with closing(sqlite3.connect(home / "store.db")) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
    store = open_store(url(home), key)
    with store.writing() as uow:
        cook = uow.people.get("cook")
        assert cook
        assert cook.name == "the pastry cook"
        uow.people.add_note(a_note(cook))
        uow.commit()
    store.close()


def test_a_copy_can_be_put_where_no_database_is(home: Path, key: bytes, tmp_path: Path) -> None:
    back_up(url(home), [key], home / "copy.sqlite")
    (tmp_path / "new").mkdir()
    contents, before = put_back(home / "copy.sqlite", url(tmp_path / "new"), [key], aside=ASIDE)
    assert (contents.people, contents.staff, before) == (1, 1, None)
    assert [file.name for file in (tmp_path / "new").iterdir()] == ["store.db"]


def test_a_copy_is_one_file_for_its_owner_alone_without_the_key(home: Path, key: bytes) -> None:
    (home / "copies").mkdir()
    back_up(url(home), [key], home / "copies" / "copy.sqlite")
    (copy,) = (home / "copies").iterdir()
    assert stat.S_IMODE(copy.stat().st_mode) == 0o600
    raw = copy.read_bytes()
    assert key not in raw
    assert b"pastry" not in raw


def test_a_text_that_no_key_opens_is_named_and_put_back_only_when_told(
    home: Path, sqlite_store: SqlStore, key: bytes, tmp_path: Path
) -> None:
    sqlite_store.close()
    with closing(sqlite3.connect(home / "store.db")) as connection:
        connection.execute("UPDATE people SET name = 'torn' WHERE id = 'cook'")
        connection.commit()
    copy = tmp_path / "copy.sqlite"

    assert back_up(url(home), [key], copy).unreadable == ("people cook name",)
    with pytest.raises(StoreError, match=r"people cook name.*--damaged"):
        put_back(copy, url(home), [key], aside=ASIDE, replace=True)
    assert put_back(copy, url(home), [key], aside=ASIDE, replace=True, damaged=True)[0].people == 1


def damaged(copy: Path) -> None:
    """Overwrite the middle, as a bad disk would."""
    raw = bytearray(copy.read_bytes())
    raw[len(raw) // 3 : len(raw) // 3 + 20_000] = b"\xff" * 20_000
    copy.write_bytes(raw)


def of_the_future(copy: Path) -> None:
    with closing(sqlite3.connect(copy)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")
        connection.commit()


def of_something_else(copy: Path) -> None:
    copy.unlink()
    with closing(sqlite3.connect(copy)) as connection:
        connection.execute("CREATE TABLE people (id TEXT)")


def of_another_clinic(copy: Path) -> None:
    with closing(sqlite3.connect(copy)) as connection:
        connection.execute("UPDATE keyring SET clinic_id = 'other'")
        connection.commit()


SPOILT: dict[str, Callable[[Path], object]] = {
    "damaged|malformed": damaged,
    "not an SQLite database": lambda copy: copy.write_text("a letter to a friend\n" * 1000),
    "no database of this program": of_something_else,
    "newer version of the program.*9999": of_the_future,
    "of another clinic": of_another_clinic,
    "there is no file": lambda copy: copy.unlink(),
    "no database of this program ": lambda copy: copy.write_bytes(b""),
}


@pytest.mark.parametrize("said", SPOILT)
def test_what_is_no_good_copy_is_refused_and_everything_stays(
    home: Path, sqlite_store: SqlStore, key: bytes, said: str
) -> None:
    back_up(url(home), [key], home / "copy.sqlite")
    sqlite_store.close()
    SPOILT[said](home / "copy.sqlite")
    was = (home / "store.db").read_bytes()
    with pytest.raises(StoreError, match=said.strip()):
        put_back(home / "copy.sqlite", url(home), [key], aside=ASIDE, replace=True)
    assert (home / "store.db").read_bytes() == was
    assert {file.name for file in home.iterdir()} <= {"store.db", "copy.sqlite"}


def test_a_copy_that_the_key_does_not_open_is_neither_made_nor_put_back(
    home: Path, sqlite_store: SqlStore, key: bytes
) -> None:
    with pytest.raises(StoreError, match="key file does not open"):
        back_up(url(home), [new_key()], home / "copy.sqlite")
    assert not (home / "copy.sqlite").exists()
    back_up(url(home), [key], home / "copy.sqlite")
    sqlite_store.close()
    with pytest.raises(StoreError, match="as a last line"):
        put_back(home / "copy.sqlite", url(home), [new_key()], aside=ASIDE, replace=True)
    put_back(home / "copy.sqlite", url(home), [new_key(), key], aside=ASIDE, replace=True)


def test_a_database_with_people_is_replaced_only_when_told(home: Path, sqlite_store: SqlStore, key: bytes) -> None:
    back_up(url(home), [key], home / "copy.sqlite")
    sqlite_store.close()
    with pytest.raises(StoreError, match=r"holds 2 people .* --replace"):
        put_back(home / "copy.sqlite", url(home), [key], aside=ASIDE)
    open_store(url(home, "empty.db"), key).close()
    put_back(home / "copy.sqlite", url(home, "empty.db"), [key], aside=ASIDE)
    assert pairs_in(home / "empty.db") == pairs_in(home / "store.db")


def test_a_database_that_is_damaged_is_set_aside_with_its_log_when_told(home: Path, key: bytes) -> None:
    back_up(url(home), [key], home / "copy.sqlite")
    for ending in ("", "-wal", "-shm"):
        shutil.copy(home / f"store.db{ending}", home / f"old.db{ending}")
    (home / "old.db").write_bytes(b"no header at all" * 500)
    with pytest.raises(StoreError, match=r"cannot be read .* --replace"):
        put_back(home / "copy.sqlite", url(home, "old.db"), [key], aside=ASIDE)
    _, before = put_back(home / "copy.sqlite", url(home, "old.db"), [key], aside=ASIDE, replace=True)
    assert before
    assert before.read_bytes().startswith(b"no header")
    assert not list(home.glob("old.db-*")), "an old log would be played into the copy"
    open_store(url(home, "old.db"), key).close()


def test_a_database_in_use_is_not_replaced(home: Path, sqlite_store: SqlStore, key: bytes) -> None:
    back_up(url(home), [key], home / "copy.sqlite")
    with sqlite_store.writing(), pytest.raises(StoreError, match="in use"):
        put_back(home / "copy.sqlite", url(home), [key], aside=ASIDE, replace=True)
    with sqlite_store.reading() as uow:
        assert len(uow.people.all()) == 1


def test_a_change_of_files_that_breaks_off_leaves_the_database_where_it_was(
    home: Path, sqlite_store: SqlStore, key: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    back_up(url(home), [key], home / "copy.sqlite")
    sqlite_store.close()

    def killed(self: Path, target: Path) -> Path:
        raise SystemError("killed")

    monkeypatch.setattr(Path, "replace", killed)
    with pytest.raises(SystemError):
        put_back(home / "copy.sqlite", url(home), [key], aside=ASIDE, replace=True)
    store = open_store(url(home), key)
    with store.reading() as uow:
        assert uow.people.get("cook")
    store.close()


def test_a_file_that_is_there_is_never_overwritten_and_a_missing_database_not_made(home: Path, key: bytes) -> None:
    (home / "copy.sqlite").write_text("mine")
    with pytest.raises(StoreError, match="there already"):
        back_up(url(home), [key], home / "copy.sqlite")
    assert (home / "copy.sqlite").read_text() == "mine"
    with pytest.raises(StoreError, match="there is no database"):
        back_up(url(home, "none.db"), [key], home / "other.sqlite")
    with pytest.raises(StoreError, match="there is no folder"):
        back_up(url(home), [key], home / "nowhere" / "copy.sqlite")
    with pytest.raises(StoreError, match="pg_dump"):
        back_up("postgresql://db.example/clinic", [key], home / "other.sqlite")
    assert not re.search("none|other", " ".join(file.name for file in home.iterdir()))
