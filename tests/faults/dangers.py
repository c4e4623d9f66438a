"""Danger while something is wrong with the clinic itself: who reads the advice, and whether anybody on the staff hears.

`python -m tests.faults.dangers` prints the table: a real process on SQLite, a therapist who is no lead, a lead who is
none, four patients who write of danger while it is so. Untold is who read no advice, or of whom nobody at work heard.
"""

import argparse
import asyncio
import dataclasses
import random
import resource
import sqlite3
import sys
import time
from collections.abc import AsyncIterator, Callable, Sequence
from contextlib import AbstractAsyncContextManager, asynccontextmanager
from dataclasses import dataclass
from typing import Any

from bot.run.app import random_id, utc_now
from bot.wording.messages import in_words
from core.programme.file import default_programme
from core.records import Staff
from core.use_cases.staffing import shut_out
from core.use_cases.work import Programmes, Work
from tests.faults.outages import at_work
from tests.faults.people import Patient
from tests.faults.trial import Trial, clinic
from tests.standin import Person as Phone
from tests.standin import trouble

WRITING = 4
WORDS = "my whole hand is numb"
STOPPED, UNWRITTEN = "I have stopped your programme", "I cannot write your words down"
UNREADABLE = "\N{REPLACEMENT CHARACTER}"  # stands for the one name that no key opens
SETTLES_WITHIN_S = 60.0
YEAR_AND_MORE_S = 400 * 86400.0
THERAPIST, LEAD = "ben", "mara"

Wrong = Callable[[Trial, dict[str, Phone]], AbstractAsyncContextManager[None]]


@asynccontextmanager
async def therapist_blocked(trial: Trial, staff: dict[str, Phone]) -> AsyncIterator[None]:
    staff[THERAPIST].blocked = True
    yield


@asynccontextmanager
async def damaged_rows(trial: Trial, staff: dict[str, Phone]) -> AsyncIterator[None]:
    """Names that no key opens: of one of the patients, and of the therapist."""
    first = trial.patients[0].id
    with sqlite3.connect(trial.folder / "data" / "clinic.sqlite", timeout=30) as rows:
        rows.execute("UPDATE people SET name = 'torn' WHERE id = ?", (first,))
        rows.execute("UPDATE staff SET name = 'torn' WHERE id = ?", (THERAPIST,))
        rows.execute("UPDATE dialogues SET facts = 'torn' WHERE person_id = ?", (first,))
    yield


@asynccontextmanager
async def database_missing(trial: Trial, staff: dict[str, Phone]) -> AsyncIterator[None]:
    """It is gone at a start, which is refused and makes nothing, and is put back."""
    await trial.end()
    trial.processes.clear()
    data, away = trial.folder / "data", trial.folder / "away"
    data.rename(away)
    data.mkdir()
    refused = await trial.start()
    assert await asyncio.wait_for(refused.wait(), SETTLES_WITHIN_S) != 0
    assert list(data.glob("*.sqlite")) == [], "no clinic is made where one was"
    yield
    for each in data.iterdir():
        each.unlink()
    data.rmdir()
    away.rename(data)
    trial.processes.clear()
    await trial.start()


@asynccontextmanager
async def clock_ahead(trial: Trial, staff: dict[str, Phone]) -> AsyncIterator[None]:
    trial.set_clock(YEAR_AND_MORE_S)
    yield
    await asyncio.sleep(3)
    trial.set_clock(0)


@asynccontextmanager
async def disk_full(trial: Trial, staff: dict[str, Phone]) -> AsyncIterator[None]:
    """No file may grow: the advice comes from memory, the rest when there is room again."""
    (process,) = trial.processes
    limits = resource.RLIMIT_FSIZE
    resource.prlimit(process.pid, limits, (1024, resource.RLIM_INFINITY))
    yield
    until = time.monotonic() + SETTLES_WITHIN_S
    while not all(any(UNWRITTEN in text for text in patient.phone.texts) for patient in trial.patients):
        assert time.monotonic() < until, "the advice needs no disk"
        await asyncio.sleep(0.1)
    resource.prlimit(process.pid, limits, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))


@asynccontextmanager
async def flooded(trial: Trial, staff: dict[str, Phone]) -> AsyncIterator[None]:
    stranger = trial.standin.person("Passer-by", chat=79)
    for number in range(60):
        stranger.says(f"{number} my elbow hurt after the garden but no more than before. " * 60)
    yield


@asynccontextmanager
async def shut_out_meanwhile(trial: Trial, staff: dict[str, Phone]) -> AsyncIterator[None]:
    """Notices wait for a therapist, since the service is away, when their access ends."""
    trial.standin.troubles.lasting["sendMessage"] = trouble(504)
    yield
    until = time.monotonic() + SETTLES_WITHIN_S
    while _noticed(trial) < WRITING and time.monotonic() < until:
        await asyncio.sleep(0.1)
    with trial.store.writing() as unit:
        ben = unit.staff.get(THERAPIST)
        assert ben is not None
        shut_out(Work(unit, utc_now(), random_id, Programmes(default_programme()), in_words), ben)
        unit.commit()
    before = len(staff[THERAPIST].texts)
    trial.standin.troubles.lasting.clear()
    await asyncio.sleep(5)
    assert len(staff[THERAPIST].texts) == before, "whoever is shut out reads nothing more"
    del staff[THERAPIST]


WRONGS: dict[str, Wrong] = {
    "therapist blocked the bot": therapist_blocked, "rows that no key opens": damaged_rows,
    "database missing at a start": database_missing, "clock 400 days ahead": clock_ahead, "disk full": disk_full,
    "a stranger's 60 long texts": flooded, "shut out while notices wait": shut_out_meanwhile,
}  # fmt: skip
SHORT = ("database missing at a start", "disk full", "shut out while notices wait")


@dataclass(frozen=True)
class Heard:
    """What had become of it in the end."""

    name: str
    unadvised: int
    unnoticed: int
    lost: int  # dangers that are not stored, once each
    after_s: float  # from when things were right again, until everybody was told

    @property
    def wrong(self) -> int:
        return self.unadvised + self.unnoticed + self.lost


async def live_through(name: str) -> Heard:
    """One of them and its end."""
    async with clinic(None, WRITING, 1e6, random.Random(name)) as trial:
        staff = {who: trial.standin.person(who, chat=chat) for who, chat in ((THERAPIST, 77), (LEAD, 76))}
        _hire(trial, staff)
        trial.quick = True
        await trial.start()
        await at_work(trial)
        async with WRONGS[name](trial, staff):
            for patient in trial.patients:
                patient.phone.says(WORDS)
        began = time.monotonic()

        def left() -> tuple[int, int]:
            notices = " ".join(text for phone in staff.values() for text in phone.texts)
            return (
                sum(not any(STOPPED in text for text in patient.phone.texts) for patient in trial.patients),
                sum(_name(patient) not in notices for patient in trial.patients) - (UNREADABLE in notices),
            )

        while max(left()) > 0 and time.monotonic() < began + SETTLES_WITHIN_S:
            await asyncio.sleep(0.1)
        after = time.monotonic() - began
        await trial.end()
        unadvised, unnoticed = left()
        return Heard(name, unadvised, max(unnoticed, 0), abs(WRITING - _noticed(trial)), after)


def _noticed(trial: Trial) -> int:
    with trial.store.reading() as unit:
        return sum(each.kind.value == "danger" for each in unit.notices.newest())


def _hire(trial: Trial, phones: dict[str, Phone]) -> None:
    with trial.store.writing() as unit:
        for who, phone in phones.items():
            lead = who == LEAD
            unit.staff.save(
                Staff(who, "clinic", "telegram", str(phone.chat), who, lead, not lead, "en", "UTC", utc_now())
            )
        for patient in trial.patients:
            person = unit.people.get(patient.id)
            assert person is not None
            unasked: dict[str, Any] = {"next_due": None, "next_date": None}
            unit.people.save(dataclasses.replace(person, therapist_id=THERAPIST, name=_name(patient), **unasked))
        unit.commit()


def _name(patient: Patient) -> str:
    return f"Patient {patient.phone.chat}"


async def side_by_side(names: Sequence[str]) -> list[Heard | BaseException]:
    """Several at the same time, since they mostly wait."""
    return list(await asyncio.gather(*map(live_through, names), return_exceptions=True))


def main() -> int:
    """Print the table; returns 1 when somebody stayed untold."""
    parser = argparse.ArgumentParser(prog="python -m tests.faults.dangers", description=__doc__)
    parser.add_argument("--only", default="", help="rows whose name contains this")
    chosen, wrong = parser.parse_args(), 0
    print("| what is wrong | untold: advice | untold: staff | lost or doubled | all told after |\n|" + " --- |" * 5)
    for name in WRONGS:
        if chosen.only in name:
            heard = asyncio.run(live_through(name))
            cells = (name, heard.unadvised, heard.unnoticed, heard.lost, f"{heard.after_s:.1f} s")
            print("| " + " | ".join(map(str, cells)) + " |", flush=True)
            wrong += heard.wrong
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
