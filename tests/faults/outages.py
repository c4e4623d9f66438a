"""The messaging service out of order for a while: who is told of danger, who is asked, and how often.

`python -m tests.faults.outages` prints the table. Patients write of danger and questions fall due just as it begins;
their therapist is there. The ten minutes are lived on a clock that runs ROUND times as fast: every pause between tries
is measured on the program's clock, which is handed in.
"""

import argparse
import asyncio
import dataclasses
import random
import sys
import time
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from bot.run.app import utc_now
from core.records import Staff
from tests.faults.people import QUESTION, Patient
from tests.faults.trial import Trial, clinic
from tests.postgres import Cluster
from tests.standin import DropAfter, DropBefore, trouble
from tests.standin.troubles import Trouble

KINDS: dict[str, Trouble] = {"504": trouble(504), "cut before": DropBefore(), "cut after": DropAfter()}
LENGTHS = (12.0, 20.0, 40.0, 600.0)
ROUND = 20  # how much faster the clock runs in the longest
WRITING, ASKED = 4, 4  # patients who write of danger, patients whose question falls due
WORDS = "my whole hand is numb"
ADVICE = "I have stopped your programme"
WORKS_WITHIN_S = 120.0  # processes have started, on a machine with much else to do


@dataclass(frozen=True)
class Outage:
    """`seconds` by the program's clock; `processes` 0 means one on SQLite, otherwise so many on PostgreSQL."""

    kind: str
    seconds: float
    processes: int = 0

    @property
    def speed(self) -> int:
        return ROUND if self.seconds > 60 else 1


@dataclass(frozen=True)
class Told:
    """What had become of it when nothing more was to be expected."""

    outage: Outage
    unadvised: int  # wrote of danger and read no advice
    unnoticed: int  # whose danger never reached the therapist
    unasked: int
    arrived: int  # deliveries left unknown that had arrived
    repeats: int
    after_s: float  # from the end of the outage until the last was told, by the program's clock

    @property
    def wrong(self) -> int:
        return self.unadvised + self.unnoticed + self.unasked + max(0, self.repeats - self.arrived)


async def live_through(outage: Outage, cluster: Cluster | None) -> Told:
    """One outage and its end."""
    dice = random.Random(f"{outage}")  # and so a database of its own name
    async with clinic(cluster if outage.processes else None, WRITING + ASKED, 1e6, dice) as trial:
        trial.speed = outage.speed
        therapist = trial.standin.person("Therapist", chat=77)
        _hire(trial, therapist.chat)
        for _ in range(outage.processes or 1):
            await trial.start()
        await at_work(trial)
        trial.standin.troubles.lasting["sendMessage"] = KINDS[outage.kind]
        writing, asked = trial.patients[:WRITING], trial.patients[WRITING:]
        for patient in writing:
            patient.phone.says(WORDS)
        _make_due(trial, asked)
        await asyncio.sleep(outage.seconds / outage.speed)
        trial.standin.troubles.lasting.clear()
        over = time.monotonic()

        def left() -> tuple[int, int, int]:
            notices = " ".join(therapist.texts)
            return (
                sum(not any(ADVICE in text for text in patient.phone.texts) for patient in writing),
                sum(_name(patient) not in notices for patient in writing),
                sum(not any(QUESTION in text for text in patient.phone.texts) for patient in asked),
            )

        while any(left()) and time.monotonic() < over + 1.6 * outage.seconds / outage.speed + 25:
            await asyncio.sleep(0.1)
        after = (time.monotonic() - over) * outage.speed
        await trial.end()
        copies = Counter[tuple[int, str]]()
        for phone in trial.standin.people.values():
            copies.update((phone.chat, text) for text in phone.texts)
        return Told(outage, *left(), trial.standin.unheard, sum(n - 1 for n in copies.values()), after)


def _hire(trial: Trial, chat: int) -> None:
    with trial.store.writing() as unit:
        therapist = Staff("therapist", "clinic", "telegram", str(chat), "Ben", True, True, "en", "UTC", utc_now())
        unit.staff.save(therapist)
        for patient in trial.patients:
            person = unit.people.get(patient.id)
            assert person is not None
            unasked: dict[str, Any] = {"next_due": None, "next_date": None}
            unit.people.save(dataclasses.replace(person, therapist_id="therapist", name=_name(patient), **unasked))
        unit.commit()


def _name(patient: Patient) -> str:
    return f"Patient {patient.phone.chat}"


def _make_due(trial: Trial, patients: Sequence[Patient]) -> None:
    with trial.store.writing() as unit:
        for patient in patients:
            person = unit.people.get(patient.id)
            assert person is not None
            now = utc_now()
            unit.people.save(dataclasses.replace(person, next_due=now, next_date=now.date()))
        unit.commit()


async def at_work(trial: Trial) -> None:
    """Return when a stranger has been answered."""
    stranger = trial.standin.person("Passer-by", chat=78)
    stranger.says("hello")
    async with asyncio.timeout(WORKS_WITHIN_S):
        while not stranger.got:
            await asyncio.sleep(0.05)


async def side_by_side(outages: Sequence[Outage], cluster: Cluster | None, at_once: int = 6) -> list[Told]:
    """Several at the same time, since they mostly wait."""
    places = asyncio.Semaphore(at_once)

    async def one(outage: Outage) -> Told:
        async with places:
            told = await live_through(outage, cluster)
            print(_line(told), flush=True)
            return told

    return list(await asyncio.gather(*map(one, outages)))


def _line(told: Told) -> str:
    outage = told.outage
    whole = not (told.unadvised or told.unnoticed or told.unasked)
    cells = (
        f"PostgreSQL, {outage.processes}" if outage.processes else "SQLite, 1", f"{outage.seconds:g} s", outage.kind,
        f"{told.unadvised} of {WRITING}", f"{told.unnoticed} of {WRITING}", f"{told.unasked} of {ASKED}",
        told.arrived, told.repeats, f"{told.after_s:.0f} s" if whole else "never",
    )  # fmt: skip
    return "| " + " | ".join(map(str, cells)) + " |"


def main() -> int:
    """Print the table; returns 1 when somebody stayed untold or got more repeats than arrived unheard."""
    parser = argparse.ArgumentParser(prog="python -m tests.faults.outages", description=__doc__)
    parser.add_argument("--only", choices=("sqlite", "postgresql"), help="one database")
    chosen = parser.parse_args()
    databases = {"sqlite": 0, "postgresql": 2}
    outages = [
        Outage(kind, seconds, processes)
        for name, processes in databases.items() if chosen.only in (None, name)
        for seconds in LENGTHS for kind in KINDS
    ]  # fmt: skip
    print("| database | outage | kind | unadvised | unnoticed | unasked | arrived unheard | repeats | all told after |")
    print("|" + " --- |" * 9, flush=True)
    cluster = None if chosen.only == "sqlite" else Cluster(durable=True)
    try:
        found = asyncio.run(side_by_side(outages, cluster))
    finally:
        if cluster:
            cluster.stop()
    return 1 if any(told.wrong for told in found) else 0


if __name__ == "__main__":
    sys.exit(main())
