"""Answers handled a second, from the waiting update to the committed decision and reply, beside bare one-row commits.

    python -m tests.benchmarks.bench_answers [--people 200] [--evenings 3]

Each evening everybody is asked by the tick, says "4, did all" in one line, and every update goes through the program's
own inbox: read, understood, decided by the rule, worded as facts, queued, committed. Beside it, evening by evening on
the same database, as many bare one-row commits of the driver. Printed besides, one at a time: statements and processor
time for each typed answer and each tap, the least of the evenings' best tenth, for other work on the machine makes it
more; and what the parts cost without a database.
"""

import argparse
import datetime as dt
import json
import math
import sqlite3
import statistics
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager

import psycopg

from bot.messaging.inbox import handle_next
from bot.run.app import App, SteppedClock, build, random_id
from bot.run.opening import CLINIC_ID
from bot.run.ticks import tick
from bot.telegram import channel as telegram
from bot.telegram.updates import parse_update
from core.answers import understand
from core.programme.file import default_programme
from core.records import CheckIn, Clinic, Person, Status, Update
from core.store import SqlStore
from core.use_cases.enrolling import begin_course
from tests.benchmarks.bench_rush import postgresql, sqlite
from tests.benchmarks.bench_store import BARE
from tests.postgres import NoPostgresError
from tests.statements import statements

START = dt.datetime(2026, 3, 2, 9, 0, tzinfo=dt.UTC)
WORDS = "4, did all"
LONG = "It was about a four today, worse when I lifted the kettle; did all of them, with 1.5 kg, and slept badly. "
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
            uow.people.save(person)
            begin_course(app.work(uow), person, {"side": "left", "rating": 5})
        uow.commit()
    return app, clock


def said(number: int, chat: int, at: dt.datetime) -> Update:
    return _update(number, chat, at, {"message": _message(number, chat, at, WORDS)})


def tapped(number: int, chat: int, at: dt.datetime, data: str) -> Update:
    under = _message(number, chat, at, "How was the pain?")
    return _update(number, chat, at, {"callback_query": {"id": str(number), "from": _sender(chat), "chat_instance": "1",
                                                         "data": data, "message": under}})  # fmt: skip


def _sender(chat: int) -> dict[str, object]:
    return {"id": chat, "is_bot": False, "first_name": "P"}


def _message(number: int, chat: int, at: dt.datetime, text: str) -> dict[str, object]:
    where = {"chat": {"id": chat, "type": "private"}, "from": _sender(chat)}
    return where | {"message_id": number, "date": int(at.timestamp()), "text": text}


def _update(number: int, chat: int, at: dt.datetime, facts: dict[str, object]) -> Update:
    return Update("telegram", number, str(chat), at, json.dumps({"update_id": number, **facts}))


def drain(app: App) -> None:
    while handle_next(app):
        pass


def ask(app: App, clock: SteppedClock, day: int) -> None:
    clock.move_to(START.replace(hour=19) + dt.timedelta(days=day))
    tick(app)
    clock.move_to(clock() + dt.timedelta(minutes=5))


def put(app: App, updates: list[Update]) -> None:
    with app.store.writing() as uow:
        uow.inbox.put(updates)
        uow.commit()


def asked(app: App, clock: SteppedClock) -> list[tuple[Person, CheckIn]]:
    """Everybody with tonight's check-in."""
    with app.store.reading() as uow:
        evenings = [(person, uow.diary.course_of(person.id)) for person in uow.people.all()]
        found = [
            (person, uow.diary.check_in_on(course.id, clock().date()))
            for person, course in evenings
            if course is not None
        ]
    return [(person, check_in) for person, check_in in found if check_in is not None]


def evening(app: App, clock: SteppedClock, people: int, day: int, at_once: int) -> float:
    """Answers a second on one evening."""
    ask(app, clock, day)
    put(app, [said(day * people + n, n + 1, clock()) for n in range(people)])
    began = time.perf_counter()
    with ThreadPoolExecutor(at_once) as pool:
        list(pool.map(lambda _: drain(app), range(at_once)))
    taken = time.perf_counter() - began
    assert sum(check_in.pain is not None for _, check_in in asked(app, clock)) == people
    return people / taken


def each_costs(app: App, clock: SteppedClock, store: SqlStore, day: int, *, tap: bool) -> tuple[float, float]:
    """Statements for each update of one evening, and milliseconds of this process's processor for its best tenth."""
    ask(app, clock, day)
    updates = []
    for n, (person, check_in) in enumerate(asked(app, clock)):
        number, chat = 10_000_000 + day * 100_000 + 2 * n, int(person.address)
        if tap:
            updates += [tapped(number + m, chat, clock(), f"1.{each}.{check_in.id}.4") for m, each in enumerate("ps")]
        else:
            updates.append(said(number, chat, clock()))
    put(app, updates)
    spent = []
    with statements(store._writing) as seen:
        for _ in updates:
            began = time.process_time()
            handle_next(app)
            spent.append(time.process_time() - began)
    assert all(check_in.answered_at for _, check_in in asked(app, clock))
    if tap:  # one of the two is the first of the evening, the other decides it
        spent = [(one + other) / 2 for one, other in zip(spent[::2], spent[1::2], strict=True)]
    return len(seen) / len(updates), 1000 * statistics.quantiles(spent, n=10)[0]


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
        person = uow.people.all()[0]
        course = uow.diary.course_of(person.id)
        check_in = uow.diary.latest_check_in(course.id) if course else None
    assert check_in is not None
    bare = []
    with bare_commits(store, check_in.id, person.id) as commit_one:
        for day in range(1, evenings + 1):
            bare.append(bare_rate(commit_one, people))
            answers.append(evening(app, clock, people, day, at_once))
    ours, theirs = statistics.median(answers[1:]), statistics.median(bare)
    print(f"{name:24} {ours:7.0f} answers a second, bare commits {theirs:7.0f}, ratio {ours / theirs:.3f}", flush=True)
    if at_once == 1:
        day = evenings + 1
        for what, tap in (("a typed answer", False), ("a tap", True)):
            costs = [each_costs(app, clock, store, day + n, tap=tap) for n in range(evenings)]
            day += evenings
            print(f"{'':24} {what}: {costs[-1][0]:.1f} statements, {min(ms for _, ms in costs):.2f} ms of processor")


def without_a_database(seconds: float = 0.5) -> None:
    """What reading one line costs."""
    for name, text in (("one typed line", WORDS), ("4,096 characters", (LONG * 100)[:4096])):
        understand(text)
        least = math.inf
        until = time.perf_counter() + seconds
        while time.perf_counter() < until:
            began = time.process_time()
            understand(text)
            least = min(least, time.process_time() - began)
        print(f"reading {name}: {1000 * least:.2f} ms of processor")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--people", type=int, default=200)
    parser.add_argument("--evenings", type=int, default=3)
    chosen = parser.parse_args()
    without_a_database()
    for name, database, at_once in VARIANTS:
        try:
            with database() as store:
                report(f"{name}, {at_once} at once", store, chosen.people, chosen.evenings, at_once)
        except NoPostgresError as error:
            print(f"{name}: {error}")


if __name__ == "__main__":
    main()
