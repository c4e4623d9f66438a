"""Everybody due at the same moment: one tick over an indexed due time, beside a scheduler job for each patient.

    python -m tests.benchmarks.bench_schedule [patients ...]

Each variant runs in a process of its own, from its start to the end of the rush. A job for each patient is what one
writes first: the scheduler's cron trigger at 19:00 in the patient's zone, all settings left as they are. It is let off
easily: its jobs only count, whereas the tick looks the person up, makes the check-in and queues the question in one
transaction each. "Start" is what every start takes until it could work (a database is there already, jobs are not);
"missed" are those whose question never came; "late" is the last one's lateness.
"""

import asyncio
import datetime as dt
import logging
import math
import multiprocessing
import sys
import tempfile
import time
from collections.abc import Callable
from multiprocessing.connection import Connection
from pathlib import Path

from apscheduler.schedulers.asyncio import AsyncIOScheduler
from apscheduler.triggers.cron import CronTrigger

from bot.run.ticks import tick
from core.store import open_store
from core.store.sealed import new_key
from tests.benchmarks.bench_answers import START, a_house
from tests.benchmarks.bench_digest import peak

SIZES = (1_000, 10_000)
Figures = dict[str, float]


def jobs(patients: int, ended: Connection) -> None:
    """A cron job for each patient, all due together once they are all there."""
    logging.getLogger("apscheduler").setLevel(logging.CRITICAL)  # one line for each missed job otherwise
    base, fired = peak(), list[float]()

    async def ask(number: int) -> None:
        fired.append(time.time())

    async def live() -> Figures:
        began = time.time()
        scheduler = AsyncIOScheduler(timezone="UTC")
        due = dt.datetime.fromtimestamp(began + 10 + patients / 500, dt.UTC).replace(microsecond=0)
        trigger = {"hour": due.hour, "minute": due.minute, "second": due.second, "timezone": "UTC"}
        for number in range(patients):
            scheduler.add_job(ask, CronTrigger(**trigger), args=(number,), id=str(number))
        scheduler.start()
        started = time.time() - began
        assert time.time() < due.timestamp(), "the machine is too slow for so many"
        await asyncio.sleep(due.timestamp() - time.time())
        await asyncio.sleep(2 + patients / 1000)
        late = max(fired, default=math.nan) - due.timestamp()
        scheduler.shutdown(wait=False)
        return {"start": started, "late": late, "missed": patients - len(fired), "MB": peak() - base}

    ended.send(asyncio.run(live()))


def filled(path: str, key: bytes, patients: int) -> None:
    """A database with so many patients, made in a process of its own so that it does not count."""
    store = open_store(path, key)
    a_house(store, patients)
    store.close()


def ticks(path: str, key: bytes, patients: int, ended: Connection) -> None:
    """The program on an SQLite file that is there already, as after a restart."""
    base, began = peak(), time.perf_counter()
    store = open_store(path, key)
    app, clock = a_house(store, 0)
    tick(app)
    started = time.perf_counter() - began
    clock.move_to(START.replace(hour=19))
    began = time.perf_counter()
    tick(app)
    late = time.perf_counter() - began
    with store.reading() as uow:
        asked = uow.figures.queues(clock()).outbox.waiting
    store.close()
    ended.send({"start": started, "late": late, "missed": patients - asked, "MB": peak() - base})


def apart(work: Callable[..., None], *arguments: object) -> Figures:
    """Run in a process of its own; what it sent, if it sends anything."""
    ours, theirs = multiprocessing.Pipe()
    given = (*arguments, theirs) if work is not filled else arguments
    process = multiprocessing.get_context("spawn").Process(target=work, args=given)
    process.start()
    figures: Figures = ours.recv() if work is not filled else {}
    process.join()
    return figures


def main(sizes: tuple[int, ...]) -> None:
    print(f"{'':28}{'start':>10}{'last late':>12}{'missed':>9}{'memory':>10}")
    for patients in sizes:
        with tempfile.TemporaryDirectory() as folder:
            path, key = str(Path(folder) / "bench.db"), new_key()
            apart(filled, path, key, patients)
            rows = {"a job each": apart(jobs, patients), "one tick": apart(ticks, path, key, patients)}
        for name, found in rows.items():
            print(
                f"{patients:7} patients, {name:10}{found['start']:9.2f} s{found['late']:10.2f} s"
                f"{found['missed']:9.0f}{found['MB']:7.0f} MB", flush=True,
            )  # fmt: skip


if __name__ == "__main__":
    main(tuple(map(int, sys.argv[1:])) or SIZES)
