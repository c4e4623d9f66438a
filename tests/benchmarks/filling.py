"""A clinic with as many patients as one likes, written by SQL from one that was enrolled by the program."""

import datetime as dt

import sqlalchemy as sa

from bot.run.app import random_id
from bot.wording.messages import in_words
from core.records import Person
from core.store import SqlStore
from core.store import tables as t
from core.timetable import local_date
from core.use_cases.enrolling import begin_course
from core.use_cases.work import Programmes, Work
from tests.builders import a_person


def enrol(
    store: SqlStore, programmes: Programmes, now: dt.datetime, first_chat: int, count: int, zone: str
) -> list[Person]:
    """Patients who began today; their question comes in the evening."""
    made = []
    with store.writing() as uow:
        work = Work(uow, now, random_id, programmes, in_words)
        for chat in range(first_chat, first_chat + count):
            person = a_person(
                id=random_id(), channel="telegram", address=str(chat), zone=zone, created_at=now, name=""
            )
            uow.people.save(person)
            made.append(begin_course(work, person, {"side": "left", "rating": 4}).person)
        uow.commit()
    return made


def copy(store: SqlStore, count: int) -> None:
    """Copy the first patient and course of the database so often, each copy's question far away."""
    with store.reading() as uow:
        person = uow.connection.execute(sa.select(t.people.c.id).limit(1)).scalar_one()
    for table, key in ((t.people, t.people.c.id), (t.courses, t.courses.c.person_id)):
        with store.writing() as uow:
            uow.connection.execute(sa.text(_copying(store, table, key.name)), {"person": person, "count": count})
            uow.commit()
        with store.writing() as uow:
            uow.connection.exec_driver_sql("ANALYZE")  # or each reference would be looked for in the whole table
            uow.commit()


def _copying(store: SqlStore, table: sa.Table, key: str) -> str:
    """The statement that copies one row of `table`, numbered."""
    numbered = {name: f"{name} || '-' || n" for name in ("id", "person_id", "address")}
    numbered["next_due"] = "next_due + 86400000000 + n"
    names = [column.name for column in table.c]
    chosen = ", ".join(numbered.get(name, name) for name in names)
    if store._reading.dialect.name == "postgresql":
        numbers, source = "", "generate_series(1, :count) AS numbers(n)"
    else:
        numbers, source = (
            "WITH RECURSIVE numbers(n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM numbers WHERE n < :count) ", "numbers",
        )  # fmt: skip
    return (
        f"INSERT INTO {table.name} ({', '.join(names)}) {numbers}"
        f"SELECT {chosen} FROM {table.name}, {source} WHERE {key} = :person"
    )


def make_due(store: SqlStore, now: dt.datetime, count: int, zone: str) -> None:
    """Make the question of so many copies due now, on a date that has none yet."""
    with store.writing() as uow:
        connection = uow.connection
        today = local_date(now, zone)
        chosen = sa.select(t.people.c.id).where(t.people.c.id.like("%-%")).limit(count)
        connection.execute(
            sa.update(t.people).where(t.people.c.id.in_(chosen)).values(next_due=now, next_date=today)
        )
        for table in (t.check_ins, t.outbox, t.dialogues):
            connection.execute(sa.delete(table))
        uow.commit()
