"""What those who watch are told of the queues and the database."""

import datetime as dt
from pathlib import Path

import pytest
from sqlalchemy import text

from core.errors import StoreError
from core.records import Queue, Queues
from core.store import SqlStore, open_store
from core.store.tables import HEAD
from tests.builders import NOW, a_message, a_person, an_update

MINUTE = dt.timedelta(minutes=1)


def test_the_queues_count_what_waits_now_and_tell_since_when(store: SqlStore) -> None:
    people = [a_person(id=f"p{n}", address=str(n)) for n in range(5)]
    with store.writing() as unit:
        assert unit.figures.queues(NOW) == Queues(Queue(0, None), Queue(0, None))
        for n, person in enumerate(people):
            unit.outbox.put(a_message(person, at=NOW - n * MINUTE))
        unit.outbox.put(a_message(people[0], at=NOW - 60 * MINUTE, not_before=NOW + MINUTE))  # not yet waiting
        unit.outbox.put(a_message(people[0], at=NOW - 60 * MINUTE, not_before=NOW - 2 * MINUTE))  # since that moment
        unit.inbox.put([an_update(address="1", received_at=NOW - n * MINUTE) for n in range(3)])
        unit.commit()
    with store.writing() as unit:
        before = unit.figures.queues(NOW)
        unit.inbox.done(unit.inbox.claim(NOW, 1)[0].id, NOW)
        first = next(one for one in unit.sending.claim(NOW, 9, "one", 60) if one.message.person_id == "p4")
        still = unit.figures.queues(NOW)  # being sent is waiting still
        unit.sending.sent(first.id, NOW, "7")
        unit.commit()
    with store.reading() as unit:
        after = unit.figures.queues(NOW)

    assert before == Queues(Queue(3, NOW - 2 * MINUTE), Queue(6, NOW - 4 * MINUTE))
    assert still.outbox == before.outbox
    assert after.inbox.waiting == 2
    assert after.outbox == Queue(5, NOW - 3 * MINUTE)


def test_a_current_database_passes_the_check_and_one_of_another_version_does_not(store: SqlStore) -> None:
    store.check()
    with store._writing.connect() as connection, connection.begin():
        connection.execute(text("UPDATE alembic_version SET version_num = 'later'"))
    try:
        with pytest.raises(StoreError, match="tables are at later, this program needs"):
            store.check()
    finally:
        with store._writing.connect() as connection, connection.begin():
            connection.execute(text("UPDATE alembic_version SET version_num = :head"), {"head": HEAD})
    store.check()


def test_a_database_that_is_gone_does_not_pass_the_check(tmp_path: Path, key: bytes) -> None:
    store = open_store(str(tmp_path / "gone.db"), key)
    for file in tmp_path.glob("gone.db*"):
        file.unlink()
    store._reading.dispose()
    with pytest.raises(StoreError):
        store.check()
    store.close()
