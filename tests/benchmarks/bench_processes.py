"""Growth: answers a second by processes, the way of one answer, a tick among a million patients, and memory.

    python -m tests.benchmarks.bench_processes [--only answers,latency,tick,memory] [--patients 1000000]

On a PostgreSQL of its own with commits that wait for the disk (SQLite where it says so). Two processes share two cores
with the database server, so that four cannot be four times one; read the ratios.
"""

import argparse
import asyncio
import contextlib
import datetime as dt
import multiprocessing
import os
import random
import statistics
import sys
import tempfile
import time
from collections.abc import AsyncIterator, Sequence
from multiprocessing.queues import Queue
from multiprocessing.synchronize import Event
from pathlib import Path

from bot.messaging.inbox import run_inbox
from bot.run.app import App, build, random_id, utc_now
from bot.run.in_store import Told, in_thread
from bot.run.opening import CLINIC_ID
from bot.run.service import HANDLED_AT_ONCE
from bot.run.ticks import tick
from bot.settings.file import read_or_make_keys
from bot.telegram import channel as telegram
from bot.telegram.updates import parse_update
from core.programme.file import default_programme
from core.records import Clinic, Update
from core.store import SqlStore, open_store
from core.store.sealed import new_key
from core.use_cases.work import Programmes
from tests.benchmarks.filling import copy, enrol, make_due
from tests.faults.people import midday_zone
from tests.postgres import Cluster
from tests.standin import StandIn
from tests.standin.server import TOKEN

ROOT = Path(__file__).parents[2]
SHARES = ("receive", "handle", "send", "tick", "render")


def app_on(store: SqlStore) -> App:
    clinic = Clinic(CLINIC_ID, "Fennel Lane", midday_zone(), "en", "")
    parse = {telegram.NAME: parse_update}
    return build(store, utc_now, random_id, default_programme(), clinic, dt.time(19), parse)


# answers a second ----------------------------------------------------------------------------------------------------


def handle(url: str, key: bytes, go: Event, over: Event, spent: "Queue[float]") -> None:
    """One process that handles what waits, as the service does."""
    app = app_on(open_store(url, key))

    async def work() -> None:
        stop, wake = asyncio.Event(), asyncio.Event()
        told = Told()
        told.works = False
        task = asyncio.create_task(
            run_inbox(app, in_thread, stop, wake, asyncio.Event(), at_once=HANDLED_AT_ONCE[False], told=told)
        )
        while not go.is_set():
            await asyncio.sleep(0.02)
        began = time.process_time()
        while not over.is_set():
            await asyncio.sleep(0.02)
        spent.put(time.process_time() - began)
        stop.set()
        wake.set()
        await task

    asyncio.run(work())


def answer(number: int, chat: str) -> Update:
    payload = (
        f'{{"update_id":{number},"message":{{"message_id":{number},"date":{int(time.time())},"text":"4, did all",'
        f'"chat":{{"id":{chat},"type":"private"}},"from":{{"id":{chat},"is_bot":false,"first_name":"P"}}}}}}'
    )
    return Update(telegram.NAME, number, chat, utc_now(), payload)


def answers_a_second(
    url: str, key: bytes, store: SqlStore, processes: int, numbers: list[int], count: int
) -> tuple[float, float]:
    """So many patients' evenings, each one update, one decision and one reply, from the inbox to the last commit.

    Returns how many a second, and the processes' milliseconds of processor time for each, which tell of waste
    even where the machine is shared.
    """
    def put(how_many: int) -> list[str]:
        first = numbers[0]
        numbers[0] += how_many
        people = enrol(store, Programmes(default_programme()), utc_now(), 10_000 + first, how_many, midday_zone())
        with store.writing() as uow:
            uow.inbox.put([answer(first + n, person.address) for n, person in enumerate(people)])
            uow.commit()
        return [person.id for person in people]

    def wait() -> None:
        while True:
            with store.reading() as uow:
                if not uow.inbox.untouched(utc_now()):
                    return
            time.sleep(0.01)

    context = multiprocessing.get_context("spawn")
    go, over, spent = context.Event(), context.Event(), context.Queue()
    workers = [context.Process(target=handle, args=(url, key, go, over, spent)) for _ in range(processes)]
    for worker in workers:
        worker.start()
    for _ in range(3):  # statements are compiled and connections opened
        put(12 * processes)
        wait()
        time.sleep(1)
    ids = put(count)
    go.set()
    began = time.perf_counter()
    wait()
    taken = time.perf_counter() - began
    over.set()
    processor = sum(spent.get() for _ in workers)
    for worker in workers:
        worker.join()
    with store.reading() as uow:
        assert all(len(uow.diary.answers(person)) == 1 for person in ids)
    return count / taken, processor / count * 1000


def answers(cluster: Cluster, count: int, rounds: int) -> None:
    key = new_key()
    url = cluster.make("answers")
    store = open_store(url, key)
    app_on(store)
    found: dict[int, list[tuple[float, float]]] = {n: [] for n in (1, 2, 3, 4)}
    numbers = [1]
    for _ in range(rounds):
        for processes, rates in found.items():
            rates.append(answers_a_second(url, key, store, processes, numbers, count))
    store.close()
    one = statistics.median(rate for rate, _ in found[1])
    for processes, runs in found.items():
        rates, costs = zip(*runs, strict=True)
        middle = statistics.median(rates)
        print(f"answers handled, {processes} process(es): {middle:5.0f}/s  {middle / one:.2f} of one  "
              f"[{min(rates):.0f}, {max(rates):.0f}]  {statistics.median(costs):.1f} ms of processor each",
              flush=True)  # fmt: skip


# the way of one answer -----------------------------------------------------------------------------------------------


@contextlib.asynccontextmanager
async def serving(folder: Path, url: str, standin: StandIn, shares: Sequence[str]) -> AsyncIterator[list[int]]:
    """`holdlower serve` processes, each with its share ("" is everything); their ids once they are at work."""
    environ = {
        "HOME": str(folder), "PATH": os.environ["PATH"], "HOLDLOWER_TOKEN": TOKEN, "HOLDLOWER_BASE_URL": standin.api,
        "HOLDLOWER_DATABASE": url, "HOLDLOWER_KEY_FILE": str(folder / "keys" / "keys"),
    }  # fmt: skip
    log = (folder / "log").open("wb")
    running = [
        await asyncio.create_subprocess_exec(
            sys.executable, "-m", "bot", "serve", *(["--only", share] if share else []), cwd=ROOT, env=environ,
            stderr=log,
        )
        for share in shares
    ]  # fmt: skip
    try:
        while (folder / "log").read_bytes().count(b" serving ") < len(shares) or not standin.sent("getUpdates"):
            await asyncio.sleep(0.05)
        yield [process.pid for process in running]
    finally:
        for process in running:
            process.terminate()
        await asyncio.gather(*(process.wait() for process in running))
        log.close()


async def one_answer(name: str, url: str, shares: Sequence[str], samples: int = 60) -> None:
    dice = random.Random(7)
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        (folder / "data").mkdir()
        url = url or str(folder / "data" / "clinic.sqlite")
        store = open_store(url, read_or_make_keys(folder / "keys" / "keys"))
        app_on(store)
        people = enrol(store, Programmes(default_programme()), utc_now(), 5000, samples, midday_zone())
        async with StandIn(utc_now) as standin:
            phones = [standin.person("P", chat=int(person.address)) for person in people]
            waits = []
            async with serving(folder, url, standin, shares):
                for phone in phones:
                    await asyncio.sleep(dice.uniform(0.05, 0.25))
                    began = time.perf_counter()
                    phone.says("4, did all")
                    while not phone.got:
                        await asyncio.sleep(0.001)
                    waits.append((time.perf_counter() - began) * 1000)
        store.close()
    waits.sort()
    print(f"one answer, {name}: {statistics.median(waits):4.0f} ms, 95 of 100 within "
          f"{waits[int(0.95 * len(waits))]:4.0f} ms", flush=True)  # fmt: skip


def latency(cluster: Cluster) -> None:
    cases = (
        ("SQLite, 1 process", "", [""]), ("PostgreSQL, 1 process", "a", [""]), ("PostgreSQL, 4 alike", "b", [""] * 4),
        ("PostgreSQL, 5 with a part each", "c", SHARES),
    )  # fmt: skip
    for name, database, shares in cases:
        asyncio.run(one_answer(name, database and cluster.make(f"way{database}"), shares))


# a tick among many, and memory ---------------------------------------------------------------------------------------


def ticks(cluster: Cluster, patients: int, few: int = 10_000, due: int = 1000) -> None:
    key, zone, rounds = new_key(), midday_zone(), 3
    with tempfile.TemporaryDirectory() as folder:
        for kind in ("PostgreSQL", "SQLite"):
            apps: dict[int, App] = {}
            for count in (few, patients):
                url = cluster.make(f"tick{count}") if kind == "PostgreSQL" else f"{folder}/{count}.sqlite"
                store = open_store(url, key)
                apps[count] = app_on(store)
                enrol(store, Programmes(default_programme()), utc_now(), 1, 1, zone)
                copy(store, count)
            found: dict[int, list[float]] = {count: [] for count in apps}
            for _ in range(rounds):
                for count, app in apps.items():
                    make_due(app.store, utc_now(), due, zone)  # type: ignore[arg-type]
                    began = time.perf_counter()
                    assert tick(app) == due
                    found[count].append(time.perf_counter() - began)
            for app in apps.values():
                app.store.close()
            small, large = (statistics.median(found[count]) for count in (few, patients))
            print(f"a tick with {due:,} due, {kind}: {small:.2f} s among {few:,}, {large:.2f} s among {patients:,}: "
                  f"{large / small:.2f} times", flush=True)  # fmt: skip


async def resident(url: str, patients: int, answering: int = 50) -> float:
    """MiB of a whole `holdlower serve` that has handled a few answers in a clinic of so many."""
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        store = open_store(url, read_or_make_keys(folder / "keys" / "keys"))
        app_on(store)
        people = enrol(store, Programmes(default_programme()), utc_now(), 5000, answering, midday_zone())
        copy(store, patients - answering)
        make_due(store, utc_now(), min(50, patients - answering), midday_zone())
        async with StandIn(utc_now) as standin:
            phones = [standin.person("P", chat=int(person.address)) for person in people]
            async with serving(folder, url, standin, [""]) as (pid,):
                for phone in phones:
                    phone.says("4, did all")
                while not all(phone.got for phone in phones):
                    await asyncio.sleep(0.05)
                await asyncio.sleep(6)
                status = Path(f"/proc/{pid}/status").read_text()
        store.close()
    return int(status.split("VmHWM:")[1].split()[0]) / 1024


def memory(cluster: Cluster, many: int = 100_000, few: int = 100) -> None:
    most = {count: asyncio.run(resident(cluster.make(f"memory{count}"), count)) for count in (few, many)}
    print(f"memory at most: {most[few]:.0f} MiB with {few:,} patients, {most[many]:.0f} with {many:,}: "
          f"{most[many] / most[few]:.2f} times", flush=True)  # fmt: skip


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.bench_processes")
    parser.add_argument("--only", default="answers,latency,tick,memory")
    parser.add_argument("--patients", type=int, default=1_000_000)
    parser.add_argument("--answers", type=int, default=300)
    parser.add_argument("--rounds", type=int, default=3)
    chosen = parser.parse_args()
    cluster = Cluster(durable=True)
    try:
        parts = {
            "answers": lambda server: answers(server, chosen.answers, chosen.rounds), "latency": latency,
            "memory": memory,
        }  # fmt: skip
        for name in chosen.only.split(","):
            if name == "tick":
                ticks(cluster, chosen.patients)
            else:
                parts[name](cluster)
    finally:
        cluster.stop()


if __name__ == "__main__":
    main()
