"""A unit of work is one transaction, and nobody's change is lost to another's."""

import datetime as dt
import sqlite3
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from core.errors import StoreError
from core.records import Course, Dialogue, Due, GuidedState, Person, Status
from core.store import SqlStore, open_store
from core.store.store import SqlUnit
from tests.builders import NOW, TODAY, a_check_in, a_course, a_guided_set, a_person, a_stored_decision, an_episode


def test_what_was_committed_lasts(store: SqlStore) -> None:
    person = a_person()

    with store.writing() as unit:
        unit.people.save(person)
        unit.commit()

    with store.reading() as unit:
        assert unit.people.get(person.id) == person


def test_leaving_without_a_commit_undoes_everything(store: SqlStore) -> None:
    person = a_person()

    with store.writing() as unit:
        unit.people.save(person)

    with store.reading() as unit:
        assert unit.people.get(person.id) is None


def test_an_error_undoes_what_came_after_the_last_commit(store: SqlStore) -> None:
    first, second = a_person(), a_person()

    def half_done() -> None:
        with store.writing() as unit:
            unit.people.save(first)
            unit.commit()
            unit.people.save(second)
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        half_done()

    with store.reading() as unit:
        assert unit.people.all() == (first,)


def test_a_reading_unit_changes_nothing(store: SqlStore) -> None:
    with store.reading() as unit, pytest.raises(StoreError, match="opened for reading"):
        unit.people.save(a_person())


def test_a_reading_unit_sees_and_waits_for_nothing_while_another_writes(store: SqlStore) -> None:
    person = a_person()

    with store.writing() as writer, store.reading() as reader:
        writer.people.save(person)

        assert reader.people.get(person.id) is None


def test_a_store_of_one_clinic_refuses_and_hides_the_rows_of_another(
    store: SqlStore, store_url: str, key: bytes
) -> None:
    person = a_person(clinic_id="elsewhere")
    with store.writing() as unit, pytest.raises(StoreError, match="'clinic' and cannot keep a record of 'elsewhere'"):
        unit.people.save(person)

    other = open_store(store_url, key, clinic_id="elsewhere")
    with other.writing() as unit:
        unit.people.save(person)
        unit.commit()
    other.close()

    with store.reading() as unit:
        assert unit.people.get(person.id) is None
        assert unit.people.at(person.channel, person.address) is None


def test_a_unit_is_of_use_only_inside_its_block(store: SqlStore) -> None:
    with pytest.raises(StoreError, match="not open"):
        store.writing().people.get("x")


def _in_threads(count: int, work: Callable[[int], None]) -> None:
    with ThreadPoolExecutor(count) as pool:
        for done in [pool.submit(work, number) for number in range(count)]:
            done.result()


def test_eight_threads_that_read_and_then_write_lose_no_change(store: SqlStore) -> None:
    person = a_person()
    course = a_course(person)
    with store.writing() as unit:
        unit.people.save(person)
        unit.diary.save_course(course)
        unit.commit()

    def count_up(_: int) -> None:
        for _ in range(50):
            with store.writing() as unit:
                unit.people.get(person.id, lock=True)
                seen = unit.diary.course_of(person.id)
                assert seen is not None
                more = replace(seen.episode, silent_days=seen.episode.silent_days + 1)
                unit.diary.save_course(replace(seen, episode=more))
                unit.commit()

    _in_threads(8, count_up)

    with store.reading() as unit:
        assert unit.diary.course_of(person.id) == replace(course, episode=an_episode(silent_days=400))


def test_a_plain_begin_would_have_failed_where_ours_waits(sqlite_store: SqlStore, tmp_path: Path) -> None:
    """Why writing units begin with the lock: https://sqlite.org/rescode.html#busy_snapshot."""
    one, two = (sqlite3.connect(tmp_path / "store.db", isolation_level=None) for _ in range(2))
    change = "INSERT INTO keyring VALUES (?, '')"

    for connection in (one, two):
        connection.execute("BEGIN")
        connection.execute("SELECT count(*) FROM keyring").fetchone()
    one.execute(change, ["a"])
    one.execute("COMMIT")

    with pytest.raises(sqlite3.OperationalError) as failed:
        two.execute(change, ["b"])
    assert failed.value.sqlite_errorname == "SQLITE_BUSY_SNAPSHOT"
    one.close()
    two.close()


CHANGES: dict[str, Callable[[SqlUnit, Person, Course, dt.date], object]] = {
    "status": lambda unit, person, course, date: unit.people.save(replace(person, status=Status.AWAY)),
    "put_off": lambda unit, person, course, date: unit.due.put_off(Due.ASK, person.id, NOW),
    "erase": lambda unit, person, course, date: unit.people.erase(person.id),
    "dialogue": lambda unit, person, course, date: unit.dialogues.save(Dialogue(person.id, str(date))),
    "episode": lambda unit, person, course, date: unit.diary.save_course(replace(course, episode=an_episode(step=3))),
    "end": lambda unit, person, course, date: unit.diary.save_course(replace(course, ended_at=NOW)),
    "go_on": lambda unit, person, course, date: unit.diary.save_course(course),
    "ask": lambda unit, person, course, date: unit.diary.add_check_in(a_check_in(course, date=date, id=f"on {date}")),
    "answer": lambda unit, person, course, date: unit.diary.save_check_in(
        a_check_in(course, date=date, id=f"on {date}", pain=date.day % 10)
    ),
    "decide": lambda unit, person, course, date: unit.decisions.add(a_stored_decision(course, date=date)),
    "count": lambda unit, person, course, date: unit.sets.save(a_guided_set(course, id="set-1")),
    "counted": lambda unit, person, course, date: unit.sets.save(
        a_guided_set(course, id="set-1", state=GuidedState.DONE)
    ),
    "moved": lambda unit, person, course, date: unit.people.save(replace(person, address=f"chat {date}")),
    "supersede": lambda unit, person, course, date: unit.decisions.supersede_since(course.id, date),
}  # fmt: skip


def everything(unit: SqlUnit, person: Person, course: Course) -> list[object]:
    """What a unit knows, asked for in every way."""
    dates = [TODAY + dt.timedelta(days=day) for day in range(3)]
    found: list[object] = [unit.people.get(person.id), unit.people.at(person.channel, person.address)]
    found += [unit.dialogues.get(person.id), unit.diary.course_of(person.id), unit.diary.course(course.id)]
    found += [unit.diary.latest_check_in(course.id), *(unit.diary.check_in_on(course.id, date) for date in dates)]
    found += [unit.diary.check_in(f"on {date}") for date in dates]
    found += [unit.dialogues.of_patient(person.id), unit.sets.open_of(person.id), unit.sets.get("set-1")]
    found += [unit.decisions.of(course.id, since=date) for date in reversed(dates)]
    return [*found, unit.decisions.latest(course.id), *(unit.decisions.on(course.id, date) for date in dates)]


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.tuples(st.sampled_from(sorted(CHANGES)), st.integers(0, 2)), max_size=8))
def test_what_a_unit_has_read_before_is_what_the_database_holds(
    sqlite_store: SqlStore, changes: list[tuple[str, int]]
) -> None:
    """After any changes within it; it keeps what it has read, so as not to ask twice."""
    person = a_person()
    course = a_course(person)
    with sqlite_store.writing() as unit:
        unit.people.save(person)
        unit.diary.save_course(course)
        for change, day in changes:
            everything(unit, person, course)
            try:
                CHANGES[change](unit, person, course, TODAY + dt.timedelta(days=day))
            except StoreError:  # a second decision of an evening, a check-in of somebody erased
                break
            kept = everything(unit, person, course)
            unit._transaction._kept.clear()
            assert kept == everything(unit, person, course)


def test_what_another_unit_changed_while_a_lock_was_waited_for_is_read_anew(store: SqlStore) -> None:
    person = a_person()
    with store.writing() as unit:
        unit.people.save(person)
        unit.commit()
    if store._writing.dialect.name == "sqlite":
        pytest.skip("on SQLite a unit that may write is alone")

    with store.writing() as unit:
        assert unit.people.get(person.id) == person
        with store.writing() as another:
            another.people.save(replace(person, status=Status.AWAY))
            another.commit()
        unit.people.at(person.channel, person.address, lock=True)
        now = unit.people.get(person.id)
    assert now
    assert now.status is Status.AWAY
