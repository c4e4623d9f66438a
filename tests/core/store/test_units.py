"""A unit of work is one transaction, and nobody's change is lost to another's."""

import sqlite3
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path

import pytest

from core.errors import StoreError
from core.store import SqlStore, open_store
from tests.builders import a_course, a_person, an_episode


def test_what_was_committed_lasts(store: SqlStore) -> None:
    person = a_person()

    with store.writing() as unit:
        unit.save_person(person)
        unit.commit()

    with store.reading() as unit:
        assert unit.person(person.id) == person


def test_leaving_without_a_commit_undoes_everything(store: SqlStore) -> None:
    person = a_person()

    with store.writing() as unit:
        unit.save_person(person)

    with store.reading() as unit:
        assert unit.person(person.id) is None


def test_an_error_undoes_what_came_after_the_last_commit(store: SqlStore) -> None:
    first, second = a_person(), a_person()

    def half_done() -> None:
        with store.writing() as unit:
            unit.save_person(first)
            unit.commit()
            unit.save_person(second)
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        half_done()

    with store.reading() as unit:
        assert unit.people("clinic") == (first,)


def test_a_reading_unit_changes_nothing(store: SqlStore) -> None:
    with store.reading() as unit, pytest.raises(StoreError, match="opened for reading"):
        unit.save_person(a_person())


def test_a_reading_unit_sees_and_waits_for_nothing_while_another_writes(store: SqlStore) -> None:
    person = a_person()

    with store.writing() as writer, store.reading() as reader:
        writer.save_person(person)

        assert reader.person(person.id) is None


def test_a_store_of_one_clinic_refuses_and_hides_the_rows_of_another(
    store: SqlStore, store_url: str, key: bytes
) -> None:
    person = a_person(clinic_id="elsewhere")
    with store.writing() as unit, pytest.raises(StoreError, match="'clinic' and cannot keep a record of 'elsewhere'"):
        unit.save_person(person)

    other = open_store(store_url, key, clinic_id="elsewhere")
    with other.writing() as unit:
        unit.save_person(person)
        unit.commit()
    other.close()

    with store.reading() as unit:
        assert unit.person(person.id) is None
        assert unit.person_at(person.channel, person.address) is None


def test_a_unit_is_of_use_only_inside_its_block(store: SqlStore) -> None:
    with pytest.raises(StoreError, match="not open"):
        store.writing().person("x")


def _in_threads(count: int, work: Callable[[int], None]) -> None:
    with ThreadPoolExecutor(count) as pool:
        for done in [pool.submit(work, number) for number in range(count)]:
            done.result()


def test_eight_threads_that_read_and_then_write_lose_no_change(store: SqlStore) -> None:
    person = a_person()
    course = a_course(person)
    with store.writing() as unit:
        unit.save_person(person)
        unit.save_course(course)
        unit.commit()

    def count_up(_: int) -> None:
        for _ in range(50):
            with store.writing() as unit:
                unit.person(person.id, lock=True)
                seen = unit.course_of(person.id)
                assert seen is not None
                more = replace(seen.episode, silent_days=seen.episode.silent_days + 1)
                unit.save_course(replace(seen, episode=more))
                unit.commit()

    _in_threads(8, count_up)

    with store.reading() as unit:
        assert unit.course_of(person.id) == replace(course, episode=an_episode(silent_days=400))


def test_a_plain_begin_would_have_failed_where_ours_waits(sqlite_store: SqlStore, tmp_path: Path) -> None:
    """Why writing units begin with the lock: https://sqlite.org/rescode.html#busy_snapshot."""
    one, two = (sqlite3.connect(tmp_path / "store.db", isolation_level=None) for _ in range(2))
    change = "INSERT INTO clinics VALUES (?, '', '', '', '', 2, 4)"

    for connection in (one, two):
        connection.execute("BEGIN")
        connection.execute("SELECT count(*) FROM clinics").fetchone()
    one.execute(change, ["a"])
    one.execute("COMMIT")

    with pytest.raises(sqlite3.OperationalError) as failed:
        two.execute(change, ["b"])
    assert failed.value.sqlite_errorname == "SQLITE_BUSY_SNAPSHOT"
    one.close()
    two.close()
