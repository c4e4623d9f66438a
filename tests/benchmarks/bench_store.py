"""What one answer costs in the store, beside the bare one-row commit of the driver below it.

    python tests/benchmarks/bench_store.py

Both kinds of transaction run interleaved in the same run, round by round; figures are medians of the rounds.
- bare: the driver alone, on the same database, one INSERT of a ready row and COMMIT;
- answer: a writing unit with `add_answer` and commit, the one row an answer adds;
- evening: what an evening's answer does in all: claim the update, lock the person, read the check-in, log the
  answer, save check-in, decision, course, dialogue, queue the reply, finish the update, commit.
The aim is answer >= 0.35 of bare.
"""

import datetime as dt
import sqlite3
import statistics
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import psycopg

from core.records import CheckInState, Priority
from core.store import SqlStore, open_store
from core.store.sealed import new_key
from tests.builders import (
    NOW,
    TODAY,
    a_check_in,
    a_course,
    a_message,
    a_person,
    a_stored_decision,
    an_answer,
    an_update,
    new_id,
)
from tests.postgres import Cluster, NoPostgresError

ROUNDS, ROUND_S = 7, 0.6
BARE = (
    "INSERT INTO answers (clinic_id, check_in_id, person_id, at, pain, sets_done, flag, source, message_id) "
    "VALUES ({0}, {0}, {0}, {0}, {0}, {0}, {0}, {0}, {0})"
)


class Evenings:
    """One person's evenings on one store, each call the next one."""

    def __init__(self, store: SqlStore) -> None:
        self._store = store
        self._today = TODAY
        self.person = a_person()
        self.course = a_course(self.person)
        self.check_in = a_check_in(self.course)
        with store.writing() as unit:
            unit.people.save(self.person)
            unit.diary.save_course(self.course)
            unit.diary.add_check_in(self.check_in)
            unit.commit()

    def answer(self) -> None:
        with self._store.writing() as unit:
            unit.diary.add_answer(an_answer(self.check_in))
            unit.commit()

    def evening(self) -> None:
        self._today += dt.timedelta(days=1)
        with self._store.writing() as unit:
            unit.inbox.put([an_update(address=self.person.address)])
            unit.commit()
        with self._store.writing() as unit:
            (item,) = unit.inbox.claim(NOW, 1)
            person = unit.people.at(self.person.channel, self.person.address, lock=True)
            assert person
            dialogue = unit.dialogues.get(person.id)
            course, check_in = unit.diary.course_of(person.id), unit.diary.check_in(self.check_in.id)
            assert course
            assert check_in
            unit.diary.add_answer(an_answer(check_in, message_id=str(item.id)))
            unit.diary.save_check_in(replace(check_in, pain=4, sets_done=4, state=CheckInState.ANSWERED))
            unit.decisions.supersede_since(course.id, self._today)
            unit.decisions.add(a_stored_decision(course, date=self._today))
            unit.diary.save_course(course)
            unit.dialogues.save(replace(dialogue, facts={"pain": 4}))
            unit.outbox.put(a_message(person, key=new_id("reply"), priority=Priority.REPLY))
            unit.inbox.done(item.id, NOW)
            unit.commit()

    def bare_row(self) -> tuple[Any, ...]:
        return ("clinic", self.check_in.id, self.person.id, 1_772_478_000_000_000, 4, 4, None, "typed", None)


def rate(work: Callable[[], object]) -> float:
    done, began = 0, time.perf_counter()
    while (spent := time.perf_counter() - began) < ROUND_S:
        work()
        done += 1
    return done / spent


def report(name: str, bare: Callable[[], object], evenings: Evenings) -> None:
    work = {"bare": bare, "answer": evenings.answer, "evening": evenings.evening}
    for each in work.values():
        each()
    rates: dict[str, list[float]] = {kind: [] for kind in work}
    for _ in range(ROUNDS):
        for kind, each in work.items():
            rates[kind].append(rate(each))
    base = statistics.median(rates["bare"])
    for kind, found in rates.items():
        middle = statistics.median(found)
        print(f"{name:22} {kind:8} {middle:8.0f}/s  [{min(found):.0f}, {max(found):.0f}]  {middle / base:.2f} of bare")


def on_sqlite(folder: Path) -> None:
    path = folder / "bench.db"
    store = open_store(str(path), new_key())
    evenings = Evenings(store)
    bare = sqlite3.connect(path, isolation_level=None)
    for pragma in ("synchronous = NORMAL", "foreign_keys = ON", "secure_delete = ON"):
        bare.execute(f"PRAGMA {pragma}")

    def one_row() -> None:
        bare.execute("BEGIN IMMEDIATE")
        bare.execute(BARE.format("?"), evenings.bare_row())
        bare.execute("COMMIT")

    report("SQLite file", one_row, evenings)
    bare.close()
    store.close()


def on_postgresql(*, durable: bool) -> None:
    cluster = Cluster(durable=durable)
    try:
        url = cluster.make("bench")
        store = open_store(url, new_key())
        evenings = Evenings(store)
        with psycopg.connect(url) as bare:

            def one_row() -> None:
                bare.execute(BARE.format("%s"), evenings.bare_row())
                bare.commit()

            report("PostgreSQL, durable" if durable else "PostgreSQL, no fsync", one_row, evenings)
        store.close()
    finally:
        cluster.stop()


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        on_sqlite(Path(folder))
    try:
        on_postgresql(durable=True)
        on_postgresql(durable=False)
    except NoPostgresError as error:
        print(f"no PostgreSQL: {error}")
