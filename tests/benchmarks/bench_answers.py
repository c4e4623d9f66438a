"""Answers handled a second, from the waiting update to the committed decision and reply, beside bare one-row commits.

    python -m tests.benchmarks.bench_answers [--people 200] [--evenings 3]

Each evening everybody is asked by the tick, says "4, did all" in one line, and every update goes through the program's
own inbox: read, understood, decided by the rule, worded as facts, queued, committed. Beside it, evening by evening on
the same database, as many bare one-row commits of the driver. Printed besides: what the parts cost without a database.
"""

import argparse
import datetime as dt
import json
import sqlite3
import statistics
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager

import psycopg

from bot.app import App, build
from bot.channels import telegram
from bot.clock import SteppedClock, random_id
from bot.receiving.inbox import handle_next
from bot.serve import CLINIC_ID, parse_update
from bot.ticks import tick
from core.answers import understand
from core.programme.file import default_programme
from core.records import Clinic, Person, Status, Update
from core.store import SqlStore
from core.use_cases.enrolling import begin_course
from tests.benchmarks.bench_rush import postgresql, sqlite
from tests.benchmarks.bench_store import BARE
from tests.postgres import NoPostgresError

START = dt.datetime(2026, 3, 2, 9, 0, tzinfo=dt.UTC)
WORDS = "4, did all"
VARIANTS = (("SQLite", sqlite, 1), *(("PostgreSQL", postgresql, at_once) for at_once in (1, 4, 8)))


def a_house(store: SqlStore, people: int) -> tuple[App, SteppedClock]:
    """A clinic with so many enrolled people, whose first question comes this evening."""
    clock = SteppedClock(START)
    clinic = Clinic(CLINIC_ID, "Fennel Lane", "UTC", "en", "In an emergency call 000.")
    app = build(store, clock, random_id, default_programme(), clinic, dt.time(19), {telegram.NAME: parse_update})
    with store.writing() as uow:
        for number in range(people):
            chat = str(number + 1)
            person = Person(
                random_id(), CLINIC_ID, "telegram", chat, "en", "UTC", dt.time(19), Status.ENROLLING, clock()
            )
            uow.save_person(person)
            begin_course(app.work(uow), person, {"side": "left", "rating": 5})
        uow.commit()
    return app, clock


def said(number: int, chat: int, at: dt.datetime) -> Update:
    facts = {
        "message_id": number, "date": int(at.timestamp()), "text": WORDS,
        "chat": {"id": chat, "type": "private"}, "from": {"id": chat, "is_bot": False, "first_name": "P"},
    }  # fmt: skip
    return Update("telegram", number, str(chat), at, json.dumps({"update_id": number, "message": facts}))


def drain(app: App) -> None:
    while handle_next(app):
        pass


def evening(app: App, clock: SteppedClock, people: int, day: int, at_once: int) -> float:
    """Answers a second on one evening."""
    clock.move_to(START.replace(hour=19) + dt.timedelta(days=day))
    tick(app)
    clock.move_to(clock() + dt.timedelta(minutes=5))
    with app.store.writing() as uow:
        uow.put_updates([said(day * people + n, n + 1, clock()) for n in range(people)])
        uow.commit()
    began = time.perf_counter()
    with ThreadPoolExecutor(at_once) as pool:
        list(pool.map(lambda _: drain(app), range(at_once)))
    taken = time.perf_counter() - began
    with app.store.reading() as uow:
        decided = sum(
            uow.decision_on(course.id, clock().date()) is not None
            for person in uow.people(CLINIC_ID)
            if (course := uow.course_of(person.id))
        )
    assert decided == people
    return people / taken


def bare_rate(commit_one: Callable[[], None], commits: int) -> float:
    began = time.perf_counter()
    for _ in range(commits):
        commit_one()
    return commits / (time.perf_counter() - began)


@contextmanager
def bare_commits(store: SqlStore, check_in: str, person: str) -> Iterator[Callable[[], None]]:
    """The driver alone on the same database: insert a ready row, commit."""
    row = (CLINIC_ID, check_in, person, 1_772_478_000_000_000, 4, 4, None, "bare", None)
    url = store._writing.url
    if url.get_backend_name() == "sqlite":
        with sqlite3.connect(str(url.database), isolation_level=None) as lite:
            for pragma in ("synchronous = NORMAL", "foreign_keys = ON", "secure_delete = ON"):
                lite.execute(f"PRAGMA {pragma}")

            def commit_lite() -> None:
                lite.execute("BEGIN IMMEDIATE")
                lite.execute(BARE.format("?"), row)
                lite.execute("COMMIT")

            yield commit_lite
        lite.close()
        return
    plain = url.set(drivername="postgresql").render_as_string(hide_password=False)
    with psycopg.connect(plain) as connection:

        def commit_pg() -> None:
            connection.execute(BARE.format("%s"), row)
            connection.commit()

        yield commit_pg


def report(name: str, store: SqlStore, people: int, evenings: int, at_once: int) -> None:
    app, clock = a_house(store, people)
    answers = [evening(app, clock, people, 0, at_once)]
    with store.reading() as uow:
        person = uow.people(CLINIC_ID)[0]
        course = uow.course_of(person.id)
        check_in = uow.latest_check_in(course.id) if course else None
    assert check_in is not None
    bare = []
    with bare_commits(store, check_in.id, person.id) as commit_one:
        for day in range(1, evenings + 1):
            bare.append(bare_rate(commit_one, people))
            answers.append(evening(app, clock, people, day, at_once))
    ours, theirs = statistics.median(answers[1:]), statistics.median(bare)
    print(f"{name:24} {ours:7.0f} answers a second, bare commits {theirs:7.0f}, ratio {ours / theirs:.3f}", flush=True)


def without_a_database(seconds: float = 0.5) -> None:
    """What reading one line costs."""
    count, began = 0, time.perf_counter()
    while (spent := time.perf_counter() - began) < seconds:
        understand(WORDS)
        count += 1
    print(f"reading one typed line: {count / spent:.0f} a second")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--people", type=int, default=200)
    parser.add_argument("--evenings", type=int, default=3)
    chosen = parser.parse_args()
    for name, database, at_once in VARIANTS:
        try:
            with database() as store:
                report(f"{name}, {at_once} at once", store, chosen.people, chosen.evenings, at_once)
        except NoPostgresError as error:
            print(f"{name}: {error}")


if __name__ == "__main__":
    main()
