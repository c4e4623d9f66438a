"""A clinic with as many patients as one likes, written by SQL from one that was enrolled by the program."""

import datetime as dt
from dataclasses import replace

import sqlalchemy as sa

from bot.clock import random_id
from core.records import Person
from core.store import SqlStore
from core.store import tables as t
from core.timetable import local_date
from core.use_cases.enrolling import begin_course
from core.use_cases.work import Shelf, Work
from tests.builders import a_person


def enrol(store: SqlStore, shelf: Shelf, now: dt.datetime, first_chat: int, count: int, zone: str) -> list[Person]:
    """Patients who began today; their question comes in the evening."""
    made = []
    with store.writing() as uow:
        work = Work(uow, now, random_id, shelf)
        for chat in range(first_chat, first_chat + count):
            person = a_person(
                id=random_id(), channel="telegram", address=str(chat), zone=zone, created_at=now, name=""
            )
            uow.save_person(person)
            made.append(begin_course(work, person, {"elbow": "left", "rating": 4}).person)
        uow.commit()
    return made


def copy(store: SqlStore, count: int) -> None:
    """Copy the first patient and course of the database so often, each copy's question far away."""
    numbers = _numbers(store)
    with store.writing() as uow:
        connection = uow._open()
        person = connection.execute(sa.select(t.people.c.id).limit(1)).scalar_one()
        for table, key in ((t.people, "id"), (t.courses, "person_id")):
            columns = []
            for column in table.c:
                if column.name in ("id", "person_id", "address"):
                    columns.append(f"{column.name} || '-' || n")
                elif column.name == "next_due":
                    columns.append("next_due + 86400000000 + n")
                else:
                    columns.append(column.name)
            names = ", ".join(column.name for column in table.c)
            connection.execute(
                sa.text(f"{numbers['with']} INSERT INTO {table.name} ({names}) SELECT {', '.join(columns)} "
                        f"FROM {table.name}, {numbers['from']} WHERE {key} = :person")
                if not numbers["with"] else
                sa.text(f"INSERT INTO {table.name} ({names}) {numbers['with']} SELECT {', '.join(columns)} "
                        f"FROM {table.name}, {numbers['from']} WHERE {key} = :person"),
                {"person": person, "count": count},
            )  # fmt: skip
        uow.commit()
    with store.writing() as uow:
        uow._open().exec_driver_sql("ANALYZE")
        uow.commit()


def make_due(store: SqlStore, now: dt.datetime, count: int, zone: str) -> None:
    """Make the question of so many copies due now, on a date that has none yet."""
    with store.writing() as uow:
        connection = uow._open()
        today = local_date(now, zone)
        chosen = sa.select(t.people.c.id).where(t.people.c.id.like("%-%")).limit(count)
        connection.execute(
            sa.update(t.people).where(t.people.c.id.in_(chosen)).values(next_due=now, next_date=today)
        )
        for table in (t.check_ins, t.outbox, t.dialogues):
            connection.execute(sa.delete(table))
        uow.commit()


def plan(person: Person, due: dt.datetime) -> Person:
    """The person, asked at that moment."""
    return replace(person, next_due=due, next_date=local_date(due, person.zone))


def _numbers(store: SqlStore) -> dict[str, str]:
    if store._reading.dialect.name == "postgresql":
        return {"with": "", "from": "generate_series(1, :count) AS numbers(n)"}
    more = "WITH RECURSIVE numbers(n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM numbers WHERE n < :count)"
    return {"with": more, "from": "numbers"}
