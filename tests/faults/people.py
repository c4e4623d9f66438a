"""The patients of a trial: enrolled today, asked within seconds, and answering as soon as they are asked."""

import asyncio
import datetime as dt
import random
from dataclasses import dataclass, field, replace

from bot.run.app import random_id, utc_now
from bot.wording.messages import in_words
from core.programme.file import default_programme
from core.records import Clinic, Person, Status
from core.store import SqlStore
from core.timetable import local_date
from core.use_cases.enrolling import begin_course
from core.use_cases.work import Programmes, Work
from tests.standin import Person as Phone
from tests.standin import StandIn

POISON = "a poisonous word"
QUESTION = "How much did your elbow hurt"
FIRST_PAIN = 3


def midday_zone() -> str:
    """A zone where it is about noon now, so that no day ends while a trial runs."""
    return f"Etc/GMT{utc_now().hour - 12:+d}"  # POSIX signs: Etc/GMT-3 is three hours ahead


@dataclass
class Patient:
    """One patient with their phone and what they have said so far."""

    id: str
    phone: Phone
    said: list[int] = field(default_factory=list)
    asked: asyncio.Event = field(default_factory=asyncio.Event)
    done: bool = False

    @property
    def wanted(self) -> str:
        """What the answer to their last line reads like."""
        return f"pain {self.said[-1]}, 4 of 4 sets."

    @property
    def answered(self) -> bool:
        return self.phone.blocked or (self.done and any(self.wanted in text for text in self.phone.texts))

    async def live(self, lines: int, dice: random.Random, *, poison: bool) -> None:
        """Wait for the question, answer it, and change the answer again and again."""
        await self.asked.wait()
        for line in range(lines):
            pain = FIRST_PAIN + line
            self.said.append(pain)
            self.phone.says(f"{pain}, did 4" if line == 0 else f"sorry, meant {pain}")
            if poison and line == 1:
                self.phone.says(f"what {POISON}")
            if self.phone.blocked:
                break
            await asyncio.sleep(dice.uniform(0.0, 2 * PAUSE_S))
        self.done = True


PAUSE_S = 0.25


def settle_in(store: SqlStore, standin: StandIn, count: int, dice: random.Random, within_s: float) -> list[Patient]:
    """So many patients, whose question is due within so many seconds."""
    with store.writing() as uow:
        uow.clinics.save(Clinic("clinic", "Fennel Lane", midday_zone(), "en", ""))
        work = Work(uow, utc_now(), random_id, Programmes(default_programme()), in_words)
        patients = [_enrol(work, standin, 2000 + number, dice.uniform(0, within_s)) for number in range(count)]
        uow.commit()
    by_chat = {patient.phone.chat: patient for patient in patients}

    def seen(phone: Phone, message: object) -> None:
        if QUESTION in phone.texts[-1]:
            by_chat[phone.chat].asked.set()

    standin.on_seen = seen
    return patients


def _enrol(work: Work, standin: StandIn, chat: int, due_in_s: float) -> Patient:
    zone = midday_zone()
    person = Person(
        random_id(), "clinic", "telegram", str(chat), "en", zone, dt.time(19), Status.ENROLLING, work.now
    )
    work.uow.people.save(person)
    person = begin_course(work, person, {"side": "left", "rating": 4}).person
    due = work.now + dt.timedelta(seconds=due_in_s)
    work.uow.people.save(replace(person, next_due=due, next_date=local_date(due, zone)))
    return Patient(person.id, standin.person("Patient", chat=chat))
