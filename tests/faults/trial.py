"""One trial: real processes under load while things go wrong; afterwards the database and the phones are counted."""

import asyncio
import contextlib
import os
import random
import signal
import sys
import tempfile
import time
from collections import Counter
from collections.abc import AsyncIterator, Awaitable, Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import sqlalchemy as sa

from bot.run.app import utc_now
from bot.settings.file import read_or_make_keys
from core.store import SqlStore, open_store
from core.store import tables as t
from tests.faults.people import QUESTION, Patient, settle_in
from tests.postgres import Cluster
from tests.standin import StandIn
from tests.standin.server import TOKEN

ROOT = Path(__file__).parents[2]
SETTLES_WITHIN_S = 150.0  # a lease, second tries, and a machine with much else to do
STOPS_WITHIN_S = 60.0  # likewise; the program gives itself a few seconds


@dataclass(frozen=True)
class Counts:
    """What a trial ended with. Everything named `wrong` must be 0."""

    faults: int  # how often something was done to it
    said: int
    answers_wrong: int  # said and not recorded, recorded twice, or out of order
    asked: int
    questions_wrong: int  # dates never asked although reachable, or asked by two messages
    decisions_wrong: int  # dates with none, or more than one that counts
    messages: int
    unknown: int  # deliveries left unknown
    repeats: int
    repeats_wrong: int  # more than there were unknown deliveries
    breaches: int  # of the service's description
    seconds: float

    @property
    def wrong(self) -> int:
        return (
            self.answers_wrong + self.questions_wrong + self.decisions_wrong + self.repeats_wrong + self.breaches
        )


class Trial:
    """A clinic, its patients, and the processes that serve it."""

    def __init__(
        self, folder: Path, url: str, standin: StandIn, store: SqlStore, patients: list[Patient], dice: random.Random
    ) -> None:
        self.folder, self.url, self.standin, self.store = folder, url, standin, store
        self.patients, self.dice = patients, dice
        self.processes: list[asyncio.subprocess.Process] = []
        self.faults = 0
        self.quick = False
        self.speed = 1  # of the processes' clock
        self.cluster: Cluster | None = None
        self._error = folder / "clock"
        self.set_clock(0)

    def set_clock(self, seconds: float) -> None:
        """Make the processes' clock wrong by so much."""
        part = self._error.with_suffix(".part")
        part.write_text(str(seconds))
        part.replace(self._error)

    async def start(self) -> asyncio.subprocess.Process:
        """One more process."""
        environ = {
            "HOME": str(self.folder), "PATH": os.environ["PATH"], "HOLDLOWER_TOKEN": TOKEN,
            "HOLDLOWER_BASE_URL": self.standin.api, "HOLDLOWER_DATABASE": self.url,
            "HOLDLOWER_KEY_FILE": str(self.folder / "keys" / "keys"), "HOLDLOWER_POLL_TIMEOUT": "1",
            "HOLDLOWER_BULK_PER_SECOND": "200", "HOLDLOWER_LOG_LEVEL": "WARNING",
        }  # fmt: skip
        with (self.folder / "log").open("ab") as log:
            process = await asyncio.create_subprocess_exec(
                sys.executable, "-m", "tests.faults.child", str(self._error), *["quick"] * self.quick,
                *[f"speed={self.speed}"] * (self.speed > 1), cwd=ROOT, env=environ, stderr=log
            )
        self.processes.append(process)
        return process

    async def kill(self, process: asyncio.subprocess.Process) -> None:
        self.processes.remove(process)
        if process.returncode is None:
            process.send_signal(signal.SIGKILL)
            await process.wait()

    @property
    def told(self) -> int:
        """How much the processes have complained, in bytes."""
        return (self.folder / "log").stat().st_size

    async def begun(self) -> None:
        """Return when the first question has arrived."""
        while not any(patient.asked.is_set() for patient in self.patients):
            await asyncio.sleep(0.02)

    async def supervise(self) -> None:
        """Start anew what ended by itself, as the service's unit file has it done."""
        while True:
            await asyncio.sleep(0.5)
            for process in [each for each in self.processes if each.returncode is not None]:
                self.processes.remove(process)
                await self.start()

    async def end(self) -> None:
        """Stop what is left in good order; a process that cannot is a failure."""
        left = [each for each in self.processes if each.returncode is None]  # what just ended would be started anew
        for process in left:
            process.send_signal(signal.SIGTERM)
        codes: list[int] = [await asyncio.wait_for(process.wait(), STOPS_WITHIN_S) for process in left]
        # one that was just started anew has not begun to listen to signals
        assert set(codes) <= {0, -signal.SIGTERM}, (codes, (self.folder / "log").read_text()[-3000:])

    @property
    def settled(self) -> bool:
        """Whether everybody has had their last answer and nothing is on its way."""
        if not all(patient.answered for patient in self.patients):
            return False
        with self.store.reading() as uow:
            waiting = sa.select(sa.func.count()).select_from(t.outbox).where(t.outbox.c.done_at.is_(None))
            undone = sa.select(sa.func.count()).select_from(t.inbox).where(t.inbox.c.done_at.is_(None))
            run = uow.connection.execute
            return not run(waiting).scalar() and not run(undone).scalar() and not self.standin.waiting

    async def settle(self) -> None:
        until = time.monotonic() + SETTLES_WITHIN_S
        while True:
            with contextlib.suppress(Exception):  # the database may be away for a moment
                if self.settled:
                    return
            if time.monotonic() > until:
                raise AssertionError(f"it did not settle; {self._state()}")
            await asyncio.sleep(0.1)

    def _state(self) -> str:
        waiting = [patient.phone.chat for patient in self.patients if not patient.answered]
        return f"unanswered {waiting}, log: {(self.folder / 'log').read_text()[-3000:]}"

    def count(self, seconds: float) -> Counts:
        """Compare what was said and what arrived with what is stored."""
        answers = questions = decisions = repeats_wrong = 0
        copies, unknown = Counter[str](), 0
        with self.store.reading() as uow:
            run = uow.connection.execute
            unknown += sum(row.unknowns for row in run(sa.select(t.outbox.c.unknowns)))
            for patient in self.patients:
                course = uow.diary.course_of(patient.id)
                assert course is not None
                recorded = [answer.pain for answer in uow.diary.answers(patient.id)]
                answers += recorded != patient.said
                made = uow.decisions.of(course.id)
                decisions += len(made) != bool(patient.said)
                asked = sum(QUESTION in text for text in patient.phone.texts)
                copies.update({f"{patient.id} {text}": n for text, n in Counter(patient.phone.texts).items()})
                questions += not asked and not patient.phone.blocked
        repeats = sum(n - 1 for n in copies.values())
        repeats_wrong += max(0, repeats - unknown)
        return Counts(
            faults=self.faults,
            said=sum(len(patient.said) for patient in self.patients),
            answers_wrong=answers,
            asked=sum(patient.asked.is_set() for patient in self.patients),
            questions_wrong=questions,
            decisions_wrong=decisions,
            messages=sum(len(patient.phone.got) for patient in self.patients),
            unknown=unknown,
            repeats=repeats,
            repeats_wrong=repeats_wrong,
            breaches=len(self.standin.violations),
            seconds=seconds,
        )


Fault = Callable[[Trial], Awaitable[None]]


@contextlib.asynccontextmanager
async def clinic(
    cluster: Cluster | None, people: int, within_s: float, dice: random.Random
) -> AsyncIterator[Trial]:
    """A clinic of so many patients whose questions are due within so many seconds, on SQLite or on `cluster`."""
    name = f"trial{dice.getrandbits(40)}"
    with tempfile.TemporaryDirectory(prefix="trial-") as place:
        folder = Path(place)
        (folder / "data").mkdir()
        url = cluster.make(name) if cluster else f"sqlite:///{folder / 'data' / 'clinic.sqlite'}"
        store = open_store(url, read_or_make_keys(folder / "keys" / "keys"))
        try:
            async with StandIn(utc_now) as standin:
                patients = settle_in(store, standin, people, dice, within_s)
                trial = Trial(folder, url, standin, store, patients, dice)
                trial.cluster = cluster
                try:
                    yield trial
                finally:
                    for process in [*trial.processes]:
                        if process.returncode is None:
                            await trial.kill(process)
        finally:
            store.close()
            if cluster:
                cluster.drop(name)


async def run(
    faults: Sequence[Fault],
    *,
    cluster: Cluster | None = None,
    processes: int = 1,
    people: int = 6,
    lines: int = 4,
    seed: int = 20260302,
    poison: bool = False,
    quick: bool = False,
) -> Counts:
    """Let patients be asked and answer while all of `faults` happen beside each other; returns what is counted."""
    dice, began = random.Random(seed), time.monotonic()
    async with clinic(cluster, people, 4.0, dice) as trial:
        trial.quick = quick
        for _ in range(processes):
            await trial.start()
        supervising = asyncio.create_task(trial.supervise())
        lives = [
            asyncio.create_task(patient.live(lines, random.Random(dice.random()), poison=poison))
            for patient in trial.patients
        ]
        try:
            await asyncio.gather(*(fault(trial) for fault in faults))
            await asyncio.wait_for(asyncio.gather(*lives), SETTLES_WITHIN_S)
            await trial.settle()
            supervising.cancel()
            await trial.end()
        except TimeoutError:
            raise AssertionError(f"somebody was never asked; {trial._state()}") from None
        finally:
            for task in (supervising, *lives):
                task.cancel()
            await asyncio.gather(supervising, *lives, return_exceptions=True)
        return trial.count(time.monotonic() - began)
