"""What a therapist's whole week costs, from the tick on the database to the last file, for 100 and for 1,000 patients.

    python -m tests.benchmarks.bench_digest [patients ...]

A real SQLite file holds twenty lived courses of 5 to 180 evenings, again and again; the clock says that the digest is
due. From there it goes its way as in service: tick, outbox, gathered in a thread, drawn in the child process, handed to
a channel that keeps nothing. Beside it somebody else writes a row twenty times a second, as an answer would.

Printed: seconds and peak memory of both processes, the longest that the other writer had to wait and how often it
failed, and the ratio of the times. The aim is a ratio of at most 12 for ten times as many patients, a peak that does
not grow with them, and no wait of more than a second.
"""

import asyncio
import datetime as dt
import multiprocessing
import sys
import tempfile
import threading
import time
from dataclasses import dataclass, replace
from itertools import islice
from pathlib import Path

from bot.drawing import Drawing
from bot.messaging.delivery import Delivery
from bot.messaging.pace import Bucket, Pace
from bot.messaging.rendering import Rendering
from bot.ports import Rendered
from bot.run.app import App, build, random_id
from bot.run.in_store import in_thread
from bot.run.ticks import tick
from core.errors import StoreError
from core.records import CheckInState, Staff
from core.store import SqlStore, open_store
from core.store.sealed import new_key
from tests.bot.digest_cases import usual
from tests.builders import a_check_in, a_clinic, a_course, a_person, a_staff, a_stored_decision
from tests.caseload import MONDAY, Lived
from tests.courses import PROGRAMME

SIZES = (100, 1000)
MORNING = dt.datetime.combine(MONDAY + dt.timedelta(days=7), dt.time(7, 31), dt.UTC)
BEGAN = MORNING - dt.timedelta(days=200)
BETWEEN_WRITES_S = 0.05
A_BATCH = 50  # patients a transaction while the database is filled


@dataclass
class Nowhere:
    """A channel that counts what it is handed and keeps none of it, so that no process holds more than one file."""

    name: str = "terminal"
    texts: int = 0
    pictures: int = 0
    files: int = 0
    octets: int = 0

    async def send(self, address: str, message: Rendered) -> str | None:
        self.texts += bool(message.text) + len(message.further)
        self.pictures += message.picture is not None
        self.files += message.document is not None
        self.octets += len(message.document[1]) if message.document else 0
        return None

    async def edit(self, address: str, message_id: str, message: Rendered) -> None:
        raise NotImplementedError


class OtherWriter(threading.Thread):
    """Commits a row again and again, and notes how long the lock was somebody else's."""

    def __init__(self, store: SqlStore) -> None:
        super().__init__(daemon=True)
        self._store, self._over = store, threading.Event()
        self.longest_s, self.failed, self.writes = 0.0, 0, 0

    def run(self) -> None:
        while not self._over.wait(BETWEEN_WRITES_S):
            began = time.perf_counter()
            try:
                with self._store.writing() as uow:
                    uow.staff.save(a_staff(id="beside", address="beside", therapist=False))
                    uow.commit()
            except StoreError:
                self.failed += 1
            self.writes += 1
            self.longest_s = max(self.longest_s, time.perf_counter() - began)

    def stop(self) -> None:
        self._over.set()
        self.join()


def fill(store: SqlStore, patients: int) -> None:
    """A therapist whose digest is due, with so many patients, a rating of each one's own."""
    therapist = a_staff(zone="UTC", next_digest=MORNING - dt.timedelta(minutes=1))
    with store.writing() as uow:
        uow.staff.save(therapist)
        uow.commit()
    numbers = iter(range(patients))
    while some := list(islice(numbers, A_BATCH)):
        with store.writing() as uow:
            for number in some:
                _add(uow, therapist, number)
            uow.commit()


def _add(uow: object, therapist: Staff, number: int) -> None:
    course = _course_of(number)
    person = a_person(address=f"chat-{number}", name=f"patient {number:04}", therapist_id=therapist.id, zone="UTC")
    after = course.made[-1].decision.after
    kept = a_course(person, programme_version=PROGRAMME.version, episode=after)
    uow.people.save(person)  # type: ignore[attr-defined]
    uow.diary.save_course(kept)  # type: ignore[attr-defined]
    before = course.start
    for evening, made in zip(course.diary, course.made, strict=True):
        answered = CheckInState.SILENT if evening.pain is None else CheckInState.ANSWERED
        check_in = a_check_in(
            kept, date=evening.date, state=answered if evening.asked else CheckInState.NOT_ASKED,
            pain=evening.pain, sets_done=evening.sets_done, sets_asked=evening.sets_asked, flag=evening.flag,
            remind_at=None, close_at=None,
        )  # fmt: skip
        stored = a_stored_decision(kept, date=evening.date, decision=made.decision, before=before, made_at=BEGAN)
        uow.diary.add_check_in(check_in)  # type: ignore[attr-defined]
        uow.decisions.add(stored)  # type: ignore[attr-defined]
        before = made.decision.after


def _course_of(number: int) -> Lived:
    """One of twenty courses with one rating of its own, so that no two pictures are alike and none is shared."""
    course = usual()[number % 20][1]
    evenings = list(course.diary)
    place = number // 20 % len(evenings)
    evenings[place] = replace(evenings[place], pain=10 if number // 20 < len(evenings) else 9)
    return Lived(course.start, tuple(evenings), course.made)


async def from_tick_to_file(app: App, drawing: Drawing) -> Nowhere:
    """The tick, then everything it has queued, the way it goes in service."""
    taken = Nowhere()
    render = Rendering(drawing, app.digests(in_thread, drawing))
    delivery = Delivery(
        app.store, {taken.name: taken}, render, Pace(Bucket.unlimited()), app.clock, in_thread, owner="bench",
        drawn=True, in_flight=2,
    )  # fmt: skip
    await in_thread(lambda: tick(app))
    await delivery.drain_once()
    return taken


def peak(pid: int | str = "self") -> float:
    """Megabytes a process has held at most; 0 where the system does not tell."""
    status = Path(f"/proc/{pid}/status")
    lines = status.read_text().splitlines() if status.exists() else []
    return next((int(line.split()[1]) / 1024 for line in lines if line.startswith("VmHWM")), 0.0)


async def one_week(folder: Path, patients: int, drawing: Drawing) -> tuple[float, Nowhere, OtherWriter]:
    store = open_store(str(folder / f"{patients}.db"), new_key())
    app = build(store, lambda: MORNING, random_id, PROGRAMME, a_clinic(zone="UTC"), dt.time(19), {})
    fill(store, patients)
    beside = OtherWriter(store)
    beside.start()
    began = time.perf_counter()
    taken = await from_tick_to_file(app, drawing)
    took = time.perf_counter() - began
    beside.stop()
    store.close()
    return took, taken, beside


async def main(sizes: tuple[int, ...]) -> None:
    times = []
    for patients in sizes:
        drawing = Drawing()
        with tempfile.TemporaryDirectory() as folder:
            await one_week(Path(folder), 1, drawing)  # the child is there, its libraries and fonts read
            (child,) = multiprocessing.active_children()
            took, taken, beside = await one_week(Path(folder), patients, drawing)
        times.append(took)
        print(
            f"{patients:5} patients: {took:6.1f} s, {1000 * took / patients:4.0f} ms each; {taken.texts} messages, "
            f"{taken.pictures} pictures, {taken.files} files of {taken.octets / 1e6:.1f} MB; "
            f"another writer waited {beside.longest_s:.2f} s at most, failed {beside.failed} of {beside.writes} times; "
            f"peak {peak():.0f} MB here, {peak(child.pid or 0):.0f} MB in the child",
            flush=True,
        )
        drawing.close()
    if len(times) > 1:
        print(f"ratio of times {times[-1] / times[0]:.1f} for {sizes[-1] / sizes[0]:g} times as many")


if __name__ == "__main__":
    asyncio.run(main(tuple(map(int, sys.argv[1:])) or SIZES))
