"""One clinic on a real database, its clock moved by hand: people are let in, the clock ticks, messages go out."""

import datetime as dt
import itertools
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, TypeVar

from core.model import Decision, Evening, Flag, ReasonCode
from core.programme import Programme
from core.programme.file import default_programme
from core.records import (
    CheckIn,
    Course,
    Due,
    Notice,
    OutboxItem,
    Outgoing,
    Person,
    Staff,
    Status,
    StoredDecision,
    Worded,
)
from core.rule import begin, clear_danger, decide, report_danger, resume
from core.rule.override import act_of, replay
from core.store import SqlStore
from core.timetable import evening_of
from core.use_cases.answering import Recorded, Said, open_evening, record
from core.use_cases.due import do_due
from core.use_cases.enrolling import begin_course
from core.use_cases.reporting import danger_told
from core.use_cases.work import Programmes, Work
from tests.builders import a_clinic, a_person, a_staff

T = TypeVar("T")
PROGRAMME: Programme = default_programme()
MORNING = dt.datetime(2026, 3, 2, 9, 0, tzinfo=dt.UTC)
_people = itertools.count(1)


def unworded(kind: str, language: str, facts: Mapping[str, object]) -> Worded:
    """In place of the wording: what would be worded, to be looked at by the tests."""
    return Worded(kind, to_draw=facts)


@dataclass(frozen=True, slots=True)
class Sent:
    """A message that has left, with what it tells."""

    message: Outgoing

    @property
    def facts(self) -> Mapping[str, Any]:
        return self.message.words.to_draw

    def __getattr__(self, name: str) -> Any:
        return getattr(self.message, name)


class World:
    """`now` is the clock; everything else goes through the use cases."""

    def __init__(self, store: SqlStore, now: dt.datetime = MORNING, programme: Programme = PROGRAMME) -> None:
        self.store, self.now, self.programme = store, now, programme
        self.sent: list[tuple[dt.datetime, Sent]] = []
        self.delivers = True
        self._ids = itertools.count(1)
        with store.writing() as uow:
            uow.clinics.save(a_clinic())
            uow.clinics.save_programme(programme.version, programme.text, now)
            uow.commit()

    def new_id(self) -> str:
        return f"id-{next(self._ids)}"

    def do(self, what: Callable[..., T], *given: Any, **named: Any) -> T:
        """One use case in one transaction."""
        with self.store.writing() as uow:
            result = what(Work(uow, self.now, self.new_id, Programmes(self.programme), unworded), *given, **named)
            uow.commit()
        return result

    def read(self, what: Callable[[Any], T]) -> T:
        with self.store.reading() as uow:
            return what(uow)

    # people
    def somebody(self, rating: int = 4, wait_days: int = 0, **given: Any) -> str:
        """A person whose course begins now."""
        person = a_person(**{"id": f"somebody-{next(_people)}", "status": Status.ENROLLING} | given)
        self.do(lambda work: work.uow.people.save(person))
        self.do(begin_course, person, {"side": "right", "rating": rating}, wait_days=wait_days)
        return person.id

    def staff(self, **given: Any) -> Staff:
        """Somebody who works here; a therapist unless it is said otherwise."""
        staff = a_staff(**given)
        self.do(lambda work: work.uow.staff.save(staff))
        return staff

    def person(self, who: str) -> Person:
        found = self.read(lambda uow: uow.people.get(who))
        assert found
        return found

    def course(self, who: str) -> Course:
        found = self.read(lambda uow: uow.diary.course_of(who))
        assert found
        return found

    def check_in(self, who: str, date: dt.date) -> CheckIn | None:
        course = self.course(who)
        return self.read(lambda uow: uow.diary.check_in_on(course.id, date))

    def decisions(self, who: str) -> tuple[StoredDecision, ...]:
        course = self.course(who)
        return self.read(lambda uow: uow.decisions.of(course.id))

    def notices(self, kind: str = "") -> list[Notice]:
        return [each for each in self.read(lambda uow: uow.notices.newest()) if not kind or each.kind == kind]

    # time
    def at(self, day: int, time: str) -> None:
        """Move the clock on to a UTC time of day, `day` days after the first; nothing happens on the way."""
        moment = dt.datetime.combine(MORNING.date() + dt.timedelta(days=day), dt.time.fromisoformat(time), dt.UTC)
        assert moment >= self.now
        self.now = moment

    def tick(self) -> None:
        for due in (Due.CLOSE, Due.ASK, Due.REMIND):
            while self.do(do_due, due, 1):
                pass
        if self.delivers:
            self.deliver()

    def deliver(self) -> None:
        while items := self.do(lambda work: work.uow.sending.claim(work.now, 50, "test", 60.0)):
            for item in items:
                self._send(item)

    def _send(self, item: OutboxItem) -> None:
        self.sent.append((self.now, Sent(item.message)))
        self.do(lambda work: work.uow.sending.sent(item.id, work.now, str(item.id)))

    def live_until(self, moment: dt.datetime) -> None:
        """Let everything that is due until `moment` happen when it is due."""
        while not self.delivers and self.now < moment:  # what waits to be sent is due for ever
            self.now = min(self.now + dt.timedelta(minutes=10), moment)
            self.tick()
        while self.delivers and (due := self.read(lambda uow: uow.due.next(self.now))) is not None and due <= moment:
            self.now = max(self.now, due)
            self.tick()
        self.now = max(self.now, moment)

    def live_to(self, day: int, time: str) -> None:
        self.live_until(
            dt.datetime.combine(MORNING.date() + dt.timedelta(days=day), dt.time.fromisoformat(time), dt.UTC)
        )

    # what people do
    def answer(self, who: str, pain: int | None = None, sets: int | None = None, **more: Any) -> Recorded:
        """An answer for the evening that is on; 99 sets stands for all."""
        return self.answer_for(who, evening_of(self.now, self.person(who).zone), pain, sets, **more)

    def answer_for(
        self, who: str, date: dt.date, pain: int | None = None, sets: int | None = None, **more: Any
    ) -> Recorded:
        def tell(work: Work) -> Recorded:
            person, course = self._both(work, who)
            check_in = open_evening(work, person, course, date)
            done = check_in.sets_asked if sets == 99 else sets
            person = work.uow.people.get(who) or person
            return record(work, person, course, check_in, Said(pain, done, **more))

        return self.do(tell)

    def _both(self, work: Work, who: str) -> tuple[Person, Course]:
        person, course = work.uow.people.get(who), work.uow.diary.course_of(who)
        assert person
        assert course
        return person, course

    def on(self, who: str, use_case: Callable[..., T], *given: Any, **named: Any) -> T:
        """A use case that takes the person."""
        return self.do(lambda work: use_case(work, self._both(work, who)[0], *given, **named))

    def messages(self, who: str, kind: str = "") -> list[tuple[dt.datetime, Sent]]:
        return [each for each in self.sent if each[1].person_id == who and (not kind or each[1].kind == kind)]


def tell_danger(world: World, who: str, flag: Flag = Flag.RED_FLAG) -> None:
    world.on(who, danger_told, Said(flag=flag, text="my fingers are numb"), world.now)


def stopped(world: World, who: str) -> Flag | None:
    return world.course(who).episode.paused_for


def answered_days(world: World, who: str, days: int) -> None:
    for day in range(days):
        world.live_to(day, "19:10")
        world.answer(who, 3, 99)


def replayed(stored: StoredDecision, diary: tuple[Evening, ...]) -> Decision:
    """The decision made once more by the rule alone, from what is stored."""
    before, date = stored.before, stored.date
    if stored.kind == "resume":
        counted = [dict(why.numbers)["days"] for why in stored.decision.reasons if why.code == ReasonCode.RESUMED]
        return resume(PROGRAMME, before, date, int(counted[0]) if counted else 0)
    if stored.kind == "clear":
        return clear_danger(PROGRAMME, before, date)
    if stored.kind == "override":
        act = act_of(stored.decision)
        assert act
        return replay(PROGRAMME, before, date, act)
    if stored.kind == "danger":
        assert stored.decision.flag
        return report_danger(PROGRAMME, before, date, stored.decision.flag)
    return decide(PROGRAMME, before, diary, date)


def assert_replays(world: World, who: str) -> None:
    """Every live decision comes out of the rule again, each from where the one before left off."""
    course, live = world.course(who), world.decisions(who)
    episode = begin(PROGRAMME, course.episode.started, course.episode.start_rating)
    for stored in live:
        if stored is not live[0]:
            assert stored.before == episode, (stored.date, stored.kind)
        first, last = stored.date - dt.timedelta(days=60), stored.date
        diary = world.read(lambda uow, first=first, last=last: uow.diary.evenings(course.id, first, last))
        assert replayed(stored, diary) == stored.decision, (stored.date, stored.kind)
        episode = stored.decision.after
    assert not live or course.episode == episode
