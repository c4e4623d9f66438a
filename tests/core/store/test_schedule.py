"""What is due is found by an index, the longest due first, and given to one process only."""

import datetime as dt
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
import sqlalchemy as sa

from core.records import Due
from core.store import SqlStore
from core.store.store import SqlUnit
from tests.builders import NOW, TODAY, a_check_in, a_course, a_message, a_person

HOUR = dt.timedelta(hours=1)


def test_people_are_due_from_their_time_on_the_longest_first(store: SqlStore) -> None:
    early, late = a_person(next_due=NOW - HOUR, next_date=TODAY), a_person(next_due=NOW, next_date=TODAY)
    with store.writing() as unit:
        for person in (late, early, a_person(next_due=NOW + HOUR), a_person()):
            unit.people.save(person)

        assert unit.due.ids(Due.ASK, NOW, 10) == (early.id, late.id)
        assert unit.due.ids(Due.ASK, NOW, 1) == (early.id,)
        assert unit.due.ids(Due.ASK, NOW - 2 * HOUR, 10) == ()
        assert unit.due.kinds(NOW) == {Due.ASK}
        assert unit.due.kinds(NOW - 2 * HOUR) == frozenset()

        unit.due.put_off(Due.ASK, early.id, NOW + HOUR)
        assert unit.due.ids(Due.ASK, NOW, 10) == (late.id,)
        assert unit.people.get(early.id) == replace(early, next_due=NOW + HOUR)


def test_reminders_and_closings_are_due_until_they_are_done(store: SqlStore) -> None:
    person = a_person()
    course = a_course(person)
    with store.writing() as unit:
        unit.people.save(person)
        unit.diary.save_course(course)
        check_in = a_check_in(course, remind_at=NOW, close_at=NOW + HOUR)
        unit.diary.add_check_in(check_in)

        assert unit.due.ids(Due.REMIND, NOW, 5) == (check_in.id,)
        assert unit.due.ids(Due.CLOSE, NOW, 5) == ()

        reminded = replace(check_in, remind_at=None)
        unit.diary.save_check_in(reminded)
        assert unit.due.ids(Due.REMIND, NOW + HOUR, 5) == ()
        assert unit.due.ids(Due.CLOSE, NOW + HOUR, 5) == (reminded.id,)

        unit.diary.save_check_in(replace(reminded, close_at=None))
        assert unit.due.ids(Due.CLOSE, NOW + HOUR, 5) == ()
        assert unit.due.kinds(NOW + HOUR) == frozenset()


def test_the_next_work_is_the_earliest_of_all_queues(store: SqlStore) -> None:
    person = a_person(next_due=NOW + 5 * HOUR)
    course = a_course(person)
    with store.writing() as unit:
        assert unit.due.next(NOW) is None

        unit.people.save(person)
        assert unit.due.next(NOW) == NOW + 5 * HOUR

        unit.diary.save_course(course)
        unit.diary.add_check_in(a_check_in(course, remind_at=None, close_at=NOW + 4 * HOUR))
        assert unit.due.next(NOW) == NOW + 4 * HOUR

        tomorrow = TODAY + dt.timedelta(days=1)
        unit.diary.add_check_in(a_check_in(course, date=tomorrow, remind_at=NOW + 3 * HOUR, close_at=None))
        assert unit.due.next(NOW) == NOW + 3 * HOUR

        unit.outbox.put(a_message(person, not_before=NOW + 2 * HOUR))
        assert unit.due.next(NOW) == NOW + 2 * HOUR

        unit.outbox.put(a_message(person))
        assert unit.due.next(NOW) == NOW

        unit.sending.claim(NOW, 5, "a sender", 30)
        assert unit.due.next(NOW) == NOW + 3 * HOUR, "behind what is being sent now, nothing of that chat is due"


@pytest.mark.parametrize("store_url", ["postgresql"], indirect=True)
def test_two_processes_share_what_is_due_without_waiting(store: SqlStore) -> None:
    people = [a_person(next_due=NOW + n * dt.timedelta(seconds=1)) for n in range(4)]
    with store.writing() as unit:
        for person in people:
            unit.people.save(person)
        unit.commit()

    with store.writing() as one, store.writing() as two:
        assert one.due.ids(Due.ASK, NOW + HOUR, 3) == tuple(person.id for person in people[:3])
        assert two.due.ids(Due.ASK, NOW + HOUR, 3) == (people[3].id,)


def erase_somebody(unit: SqlUnit) -> None:
    person = a_person()
    unit.people.save(person)
    unit.people.erase(person.id)


QUEUES: dict[str, tuple[str, Callable[[SqlUnit], object]]] = {
    "anything due": ("ix_people_due", lambda unit: unit.due.kinds(NOW)),
    "prompts": ("ix_people_due", lambda unit: unit.due.ids(Due.ASK, NOW, 5)),
    "reminders": ("ix_check_ins_remind", lambda unit: unit.due.ids(Due.REMIND, NOW, 5)),
    "closings": ("ix_check_ins_close", lambda unit: unit.due.ids(Due.CLOSE, NOW, 5)),
    "updates": ("ix_inbox_waiting", lambda unit: unit.inbox.claim(NOW, 1)),
    "updates of the same chat": ("ix_inbox_chat", lambda unit: unit.inbox.claim(NOW, 1)),
    "messages": ("ix_outbox_claim", lambda unit: unit.sending.claim(NOW, 5, "a sender", 30)),
    "messages of the same chat": ("ix_outbox_chat", lambda unit: unit.sending.claim(NOW, 5, "a sender", 30)),
    "edited answers": ("ix_answers_clinic_id_person_id_message_id", lambda unit: unit.diary.answered_by("p", "m")),
    "messages being sent": ("ix_outbox_lease", lambda unit: unit.sending.claim(NOW, 5, "a sender", 30)),
    "messages that expire": ("ix_outbox_expire", lambda unit: unit.sending.claim(NOW, 5, "a sender", 30)),
    "digests": ("ix_staff_due", lambda unit: unit.due.ids(Due.DIGEST, NOW, 5)),
    "the next digest": ("ix_staff_due", lambda unit: unit.due.next(NOW)),
    "a therapist's patients": ("ix_people_therapist", lambda unit: unit.people.of("s")),
    "the trail of a person": ("ix_audits_clinic_id_person_id_at", lambda unit: unit.audit.latest("p")),
    "the trail": ("ix_audits_clinic_id_at", lambda unit: unit.audit.latest()),
    "tasks": ("ix_tasks_open", lambda unit: unit.people.tasks("p")),
    "notes": ("ix_notes_clinic_id_person_id_at", lambda unit: unit.people.notes("p")),
    "scores": ("ix_outcomes_clinic_id_person_id_at", lambda unit: unit.people.outcomes("p")),
    "notices about a person": ("ix_notices_clinic_id_person_id_at", lambda unit: unit.notices.about("p", NOW)),
    "messages about an erased person": ("ix_outbox_about", erase_somebody),
    "the next work": ("ix_outbox_later", lambda unit: unit.due.next(NOW)),
    "forgetting updates": ("ix_inbox_forget", lambda unit: unit.inbox.forget(NOW)),
    "forgetting messages": ("ix_outbox_forget", lambda unit: unit.outbox.forget(NOW)),
    "forgetting keys": ("ix_outbox_forgotten", lambda unit: unit.outbox.forget(NOW)),
}


def _scans(line: str) -> bool:
    """A line of a plan that reads a whole table: neither an index, nor what was picked, nor no table at all."""
    return line.startswith("SCAN") and not any(word in line for word in ("INDEX", "picked", "CONSTANT ROW"))


@pytest.mark.parametrize("queue", QUEUES)
def test_a_queue_is_read_through_its_index_and_never_as_a_whole(sqlite_store: SqlStore, queue: str) -> None:
    """Asks SQLite itself for its plan of each statement that was run."""
    index, ask = QUEUES[queue]
    plans: list[str] = []

    def explain(connection: sa.Connection, cursor: object, statement: str, parameters: object, *_: object) -> None:
        if statement.startswith(("SELECT", "WITH", "UPDATE", "DELETE")):
            driver = connection.connection.driver_connection
            assert driver is not None
            plans.extend(row[3] for row in driver.execute(f"EXPLAIN QUERY PLAN {statement}", parameters))

    with sqlite_store.writing() as unit:
        engine = unit.connection.engine
        sa.event.listen(engine, "before_cursor_execute", explain)
        ask(unit)

    assert any(f"INDEX {index} " in line for line in plans), plans
    whole_tables = [line for line in plans if _scans(line)]
    assert not whole_tables, plans


def test_the_file_is_ours_alone(sqlite_store: SqlStore, tmp_path: Path) -> None:
    with sqlite_store.writing() as unit:
        unit.people.save(a_person())
        unit.commit()

    modes = {path.name: path.stat().st_mode & 0o077 for path in tmp_path.glob("store.db*")}
    assert set(modes) == {"store.db", "store.db-wal", "store.db-shm"}
